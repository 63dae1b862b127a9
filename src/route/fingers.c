// Copyright 2026 the rowcall developers
// SPDX-License-Identifier: MIT

#include "rowcall/route.h"

#include "base/order.h"

#include <math.h>
#include <string.h>

static const double same_place = 1e-6; // mm, for sums that are the same but for rounding

guint
rc_finger_of_player(const RcLayout *layout, guint finger)
{
  return layout->mirrored && finger ? RC_FINGER_INDEX + RC_FINGER_LITTLE - finger : finger;
}

RcFingers
rc_fingers(void)
{
  static const double semitone = 13.7;
  static const double short_of_next = 13;
  static const guint8 practical[RC_N_SPANS] = { 5, 4, 5, 7, 7, 10 };
  static const guint8 comfortable[RC_N_SPANS] = { 3, 2, 3, 5, 5, 8 };
  RcFingers fingers = { .school = RC_SCHOOL_4_3 };
  for (guint i = 0; i < RC_N_SPANS; ++i) {
    fingers.spans[i] = practical[i] * semitone;
    fingers.comfort[i] = comfortable[i] * semitone + short_of_next;
  }
  return fingers;
}

gboolean
rc_spans_parse(const char *text, RcFingers *fingers)
{
  const RcFingers usual = rc_fingers();
  double spans[RC_N_SPANS];
  char *end = NULL;
  for (guint i = 0; i < RC_N_SPANS; ++i, text = end + 1) {
    spans[i] = g_ascii_strtod(text, &end);
    if (end == text || *end != (i + 1 < RC_N_SPANS ? ',' : '\0') || !(spans[i] >= 10 && spans[i] <= 300)) {
      return FALSE;
    }
  }
  for (guint i = 0; i < RC_N_SPANS; ++i) {
    fingers->comfort[i] = spans[i] * usual.comfort[i] / usual.spans[i];
    fingers->spans[i] = spans[i];
  }
  return TRUE;
}

// ------------------------------------------------------------------------------------------------- what a hand can do

// The place of two fingers among the spans.
static guint
pair_of(guint a, guint b)
{
  static const guint8 first[] = { 0, 0, 3, 5 }; // by how many fingers on the other is
  const guint low = MIN(a, b);
  return first[MAX(a, b) - low] + low - RC_FINGER_INDEX;
}

static double
distance(const RcButton *a, const RcButton *b)
{
  return hypot(a->x - b->x, a->y - b->y);
}

static gboolean
can_hold_two(const RcFingers *fingers, const RcLayout *layout, guint a, guint b, guint with_a, guint with_b)
{
  const RcButton *one = rc_layout_button(layout, a);
  const RcButton *other = rc_layout_button(layout, b);
  const double along = one->x - other->x;
  const gboolean abreast = fabs(along) <= layout->column_mm / 2 + same_place;
  return with_a != with_b && (abreast || (along > 0) == (with_a < with_b)) &&
         distance(one, other) <= fingers->spans[pair_of(with_a, with_b)] + same_place;
}

gboolean
rc_fingers_can(const RcFingers *fingers, const RcLayout *layout, const guint16 *buttons, const guint8 *with, guint n)
{
  for (guint i = 1; i < n; ++i) {
    for (guint j = 0; j < i; ++j) {
      if (!can_hold_two(fingers, layout, buttons[i], buttons[j], with[i], with[j])) {
        return FALSE;
      }
    }
  }
  return TRUE;
}

static guint
buttons_of(const RcGrip *grip, guint16 buttons[RC_GRIP_PRESS])
{
  for (guint i = 0; i < rc_grip_count(grip); ++i) {
    buttons[i] = (guint16)rc_grip_button(grip, i);
  }
  return rc_grip_count(grip);
}

static double
stretch_of(const RcFingers *fingers, const RcLayout *layout, const guint16 *buttons, const guint8 *with, guint n)
{
  double sum = 0;
  for (guint i = 1; i < n; ++i) {
    for (guint j = 0; j < i; ++j) {
      const double apart = distance(rc_layout_button(layout, buttons[i]), rc_layout_button(layout, buttons[j]));
      sum += MAX(0, apart - fingers->comfort[pair_of(with[i], with[j])]);
    }
  }
  return sum;
}

double
rc_grip_stretch(const RcFingers *fingers, const RcLayout *layout, const RcGrip *grip, const RcFingering *fingering)
{
  guint16 buttons[RC_GRIP_PRESS];
  guint8 with[RC_GRIP_PRESS];
  const guint n = buttons_of(grip, buttons);
  for (guint i = 0; i < n; ++i) {
    with[i] = (guint8)rc_grip_finger(grip, fingering, i);
  }
  return stretch_of(fingers, layout, buttons, with, n);
}

double
rc_grip_spread(const RcLayout *layout, const RcGrip *grip, const RcFingering *fingering)
{
  guint16 buttons[RC_GRIP_PRESS];
  const guint n = buttons_of(grip, buttons);
  double sum = 0;
  for (guint i = 1; i < n; ++i) {
    for (guint j = 0; j < i; ++j) {
      const double apart = distance(rc_layout_button(layout, buttons[i]), rc_layout_button(layout, buttons[j]));
      const int fingers = (int)rc_grip_finger(grip, fingering, i) - (int)rc_grip_finger(grip, fingering, j);
      sum += MAX(0, apart - ABS(fingers) * layout->column_mm);
    }
  }
  return sum;
}

double
rc_grip_span(const RcLayout *layout, const RcGrip *grip)
{
  guint16 buttons[RC_GRIP_PRESS];
  const guint n = buttons_of(grip, buttons);
  double span = 0;
  for (guint i = 1; i < n; ++i) {
    for (guint j = 0; j < i; ++j) {
      span = MAX(span, distance(rc_layout_button(layout, buttons[i]), rc_layout_button(layout, buttons[j])));
    }
  }
  return span;
}

// ----------------------------------------------------------------------------------------------- what a school teaches

// What speaks against a fingering, in this order.
typedef struct {
  int crossed;     // buttons of which the outer one has the higher finger
  gint64 stretch;  // micrometres
  int from_school; // fingers between the bass finger and the school's
  int gaps;        // fingers left out between those used
} Against;

guint
rc_school_finger(RcSchool school)
{
  return school == RC_SCHOOL_4_3 ? 4 : 3;
}

static int
count_crossed(const RcLayout *layout, const guint16 *buttons, const guint8 *with, guint n)
{
  int crossed = 0;
  for (guint i = 0; i < n; ++i) {
    for (guint j = 0; j < n; ++j) {
      const guint row = rc_layout_button(layout, buttons[i])->row;
      crossed += row > rc_layout_button(layout, buttons[j])->row && with[i] > with[j];
    }
  }
  return crossed;
}

static Against
judge(const RcFingers *fingers, const RcLayout *layout, const guint16 *buttons, const guint8 *with, guint n)
{
  guint low = with[0];
  guint high = with[0];
  for (guint i = 1; i < n; ++i) {
    low = MIN(low, with[i]);
    high = MAX(high, with[i]);
  }
  return (Against){ count_crossed(layout, buttons, with, n),
                    llround(1000 * stretch_of(fingers, layout, buttons, with, n)),
                    ABS((int)with[0] - (int)rc_school_finger(fingers->school)), (int)(high - low) };
}

static int
compare_against(const Against *a, const Against *b)
{
  const int crossed = rc_order(a->crossed, b->crossed);
  const int stretch = rc_order(a->stretch, b->stretch);
  const int from_school = rc_order(a->from_school, b->from_school);
  return crossed ? crossed : stretch ? stretch : from_school ? from_school : rc_order(a->gaps, b->gaps);
}

typedef struct {
  const RcFingers *fingers;
  const RcLayout *layout;
  const RcGrip *grip;
  guint16 buttons[RC_GRIP_PRESS];
  guint n;
  Against least; // of those kept; more than any before there are such
  RcFingering *ways;
  guint n_ways;
} Search;

// The fingers `with` as those of the grip's basses and of its chord buttons.
static RcFingering
fingering_of(const RcGrip *grip, const guint8 with[RC_GRIP_PRESS])
{
  RcFingering fingering = { { 0 }, { 0 } };
  memcpy(fingering.basses, with, grip->n_basses);
  memcpy(fingering.chords, with + grip->n_basses, grip->n_chords);
  return fingering;
}

static void
consider(Search *s, const guint8 with[RC_GRIP_PRESS])
{
  if (!rc_fingers_can(s->fingers, s->layout, s->buttons, with, s->n)) {
    return;
  }
  const Against against = judge(s->fingers, s->layout, s->buttons, with, s->n);
  const int order = s->n > 1 ? compare_against(&against, &s->least) : 0;
  if (order > 0) {
    return;
  }
  if (order < 0) {
    s->n_ways = 0;
    s->least = against;
  }
  s->ways[s->n_ways++] = fingering_of(s->grip, with);
}

static void
try_fingers(Search *s, guint8 with[RC_GRIP_PRESS], guint placed)
{
  if (placed >= s->n || placed >= RC_GRIP_PRESS) {
    consider(s, with);
    return;
  }
  for (guint finger = RC_FINGER_INDEX; finger <= RC_FINGER_LITTLE; ++finger) {
    with[placed] = (guint8)finger;
    try_fingers(s, with, placed + 1);
  }
}

guint
rc_fingers_ways(const RcFingers *fingers, const RcLayout *layout, const RcGrip *grip, RcFingering ways[RC_FINGERINGS])
{
  Search search = {
    .fingers = fingers, .layout = layout, .grip = grip, .least = { .crossed = G_MAXINT }, .ways = ways
  };
  guint8 with[RC_GRIP_PRESS] = { 0 };
  search.n = buttons_of(grip, search.buttons);
  try_fingers(&search, with, 0);
  return search.n_ways;
}

// ------------------------------------------------------------------------------------------------- alternating bass

static gboolean
reaches(const RcFingers *fingers, const RcLayout *layout, const RcGrip *grip, const RcFingering *fingering,
        guint16 button, guint finger)
{
  const guint16 buttons[RC_GRIP_PRESS] = { button, grip->chords[0], grip->chords[1] };
  const guint8 with[RC_GRIP_PRESS] = { (guint8)finger, fingering->chords[0], fingering->chords[1] };
  return finger >= RC_FINGER_INDEX && finger <= RC_FINGER_LITTLE &&
         rc_fingers_can(fingers, layout, buttons, with, 1U + grip->n_chords);
}

static guint8
second_finger(const RcFingers *fingers, const RcLayout *layout, const RcGrip *grip, const RcFingering *fingering,
              guint16 button)
{
  const gboolean to_chin = rc_layout_button(layout, button)->x > rc_layout_button(layout, grip->basses[0])->x;
  const guint next = to_chin ? fingering->basses[0] - 1U : fingering->basses[0] + 1U;
  const guint order[] = { next, fingering->basses[0], 4, 3, 2, 5 };
  for (guint i = 0; i < G_N_ELEMENTS(order); ++i) {
    if (reaches(fingers, layout, grip, fingering, button, order[i])) {
      return (guint8)order[i];
    }
  }
  return 0;
}

// The columns from the bass of `grip` to `button`.
static guint
hop_to(const RcLayout *layout, const RcGrip *grip, guint button)
{
  const guint bass = rc_layout_button(layout, grip->basses[0])->column;
  const guint second = rc_layout_button(layout, button)->column;
  return MAX(bass, second) - MIN(bass, second);
}

// The nearest bass button that sounds `pc`, the first of several, at most `hop` columns from the first bass and within
// reach of the chord buttons.
static gboolean
find_bass(const RcLayout *layout, const RcGrip *grip, guint reach, guint hop, guint pc, guint16 *button)
{
  double nearest = INFINITY;
  const RcButton *bass = rc_layout_button(layout, grip->basses[0]);
  for (guint i = 0; i < layout->buttons->len; ++i) {
    const RcButton *candidate = rc_layout_button(layout, i);
    RcGrip with_second = *grip;
    with_second.basses[0] = (guint16)i;
    if (candidate->sound.kind == RC_SOUND_BASS && rc_note_pc(candidate->sound.root) == pc &&
        rc_bellows_agree(rc_grip_bellows(layout, grip), candidate->bellows) && hop_to(layout, grip, i) <= hop &&
        rc_grip_reach(layout, &with_second) <= reach && distance(bass, candidate) < nearest - same_place) {
      nearest = distance(bass, candidate);
      *button = (guint16)i;
    }
  }
  return nearest < INFINITY;
}

static gboolean
chord_tone(const RcChord *chord, RcDegrees among, guint *pc)
{
  for (guint degree = 0; degree < RC_N_DEGREES; ++degree) {
    if (chord->degrees & among & (1U << degree)) {
      *pc = rc_chord_degree_pc(chord, (RcDegree)degree);
      return TRUE;
    }
  }
  return FALSE;
}

RcSecondBass
rc_second_bass(const RcFingers *fingers, const RcLayout *layout, guint reach, const RcChord *chord, const RcGrip *grip,
               const RcFingering *fingering)
{
  enum { NEIGHBOUR = 1 };
  const struct {
    RcDegrees tones;
    guint hop;
  } order[] = { { RC_FIFTHS, reach }, { RC_BIT(1), reach }, { RC_THIRDS | RC_SUSPENDED, NEIGHBOUR } };
  const guint bass = rc_note_pc(rc_layout_button(layout, grip->basses[0])->sound.root);
  RcSecondBass second = { 0 };
  guint pc = 0;
  for (guint i = 0; i < G_N_ELEMENTS(order) && !second.found && grip->n_basses == 1; ++i) {
    second.found = chord_tone(chord, order[i].tones, &pc) && pc != bass &&
                   find_bass(layout, grip, reach, order[i].hop, pc, &second.button);
  }
  if (second.found) {
    second.finger = second_finger(fingers, layout, grip, fingering, second.button);
  }
  return second;
}
