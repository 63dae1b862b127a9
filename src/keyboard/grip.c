// Copyright 2026 the rowcall developers
// SPDX-License-Identifier: MIT

#include "rowcall/keyboard.h"

gboolean
rc_grip_equal(const RcGrip *a, const RcGrip *b)
{
  gboolean equal = a->n_basses == b->n_basses && a->n_chords == b->n_chords;
  for (guint i = 0; equal && i < rc_grip_count(a); ++i) {
    equal = rc_grip_button(a, i) == rc_grip_button(b, i);
  }
  return equal;
}

RcPcSet
rc_grip_basses(const RcLayout *layout, const RcGrip *grip)
{
  guint tones = 0;
  for (guint i = 0; i < grip->n_basses; ++i) {
    tones |= rc_layout_button(layout, grip->basses[i])->sound.tones;
  }
  return (RcPcSet)tones;
}

RcPcSet
rc_grip_tones(const RcLayout *layout, const RcGrip *grip)
{
  guint tones = 0;
  for (guint i = 0; i < rc_grip_count(grip); ++i) {
    tones |= rc_layout_button(layout, rc_grip_button(grip, i))->sound.tones;
  }
  return (RcPcSet)tones;
}

RcBellows
rc_grip_bellows(const RcLayout *layout, const RcGrip *grip)
{
  RcBellows bellows = RC_BELLOWS_BOTH;
  for (guint i = 0; i < rc_grip_count(grip); ++i) {
    bellows |= rc_layout_button(layout, rc_grip_button(grip, i))->bellows;
  }
  return bellows;
}

gboolean
rc_bellows_agree(RcBellows a, RcBellows b)
{
  return a == b || a == RC_BELLOWS_BOTH || b == RC_BELLOWS_BOTH;
}

guint
rc_grip_reach(const RcLayout *layout, const RcGrip *grip)
{
  guint low = rc_layout_button(layout, grip->basses[0])->column;
  guint high = low;
  for (guint i = 1; i < rc_grip_count(grip); ++i) {
    const guint column = rc_layout_button(layout, rc_grip_button(grip, i))->column;
    low = MIN(low, column);
    high = MAX(high, column);
  }
  return high - low;
}

char *
rc_grip_describe(const RcLayout *layout, const RcGrip *grip, RcSigns signs)
{
  const RcBellows bellows = rc_grip_bellows(layout, grip);
  GString *words = g_string_new(NULL);
  for (guint i = 0; i < rc_grip_count(grip); ++i) {
    char *name = rc_button_name(layout, rc_layout_button(layout, rc_grip_button(grip, i)), signs);
    g_string_append_printf(words, "%s%s", i ? " + " : "", name);
    g_free(name);
  }
  if (bellows != RC_BELLOWS_BOTH) {
    g_string_append_printf(words, ", on %s", rc_bellows_name(bellows));
  }
  return g_string_free(words, FALSE);
}

// Half columns from between C and G: the same from C, but F sharp before G flat.
static int
button_distance(const RcLayout *layout, guint index)
{
  return ABS(2 * rc_button_column(layout, rc_layout_button(layout, index)) - 1);
}

// Of all its buttons.
static int
distance_from_c(const RcLayout *layout, const RcGrip *grip)
{
  int sum = 0;
  for (guint i = 0; i < rc_grip_count(grip); ++i) {
    sum += button_distance(layout, rc_grip_button(grip, i));
  }
  return sum;
}

// Buttons are numbered by row, then by column, so comparing indices compares rows and columns.
int
rc_grip_compare(const RcLayout *layout, const RcGrip *a, const RcGrip *b)
{
  if (rc_grip_count(a) != rc_grip_count(b)) {
    return (int)rc_grip_count(a) - (int)rc_grip_count(b);
  }
  const int reach = (int)rc_grip_reach(layout, a) - (int)rc_grip_reach(layout, b);
  if (reach) {
    return reach;
  }
  const int distance = distance_from_c(layout, a) - distance_from_c(layout, b);
  if (distance) {
    return distance;
  }
  for (guint i = 0; i < rc_grip_count(a); ++i) {
    if (rc_grip_button(a, i) != rc_grip_button(b, i)) {
      return (int)rc_grip_button(a, i) - (int)rc_grip_button(b, i);
    }
  }
  return 0;
}

typedef struct {
  const RcLayout *layout;
  RcHand hand;
  RcGripFunc each;
  gpointer data;
} GripWalk;

static gboolean
is_chord_button(const RcButton *button)
{
  return button->sound.kind != RC_SOUND_DEAD && button->sound.kind != RC_SOUND_BASS;
}

// Calls for `grip`, which lies between two columns and sounds in one direction of the bellows, then for it with each
// further chord button from `from` on.
static void
walk_chords(const GripWalk *walk, RcGrip *grip, guint from, guint low, guint high, RcBellows bellows)
{
  walk->each(grip, walk->data);
  if (grip->n_chords == RC_GRIP_CHORDS || rc_grip_count(grip) >= walk->hand.press) {
    return;
  }
  for (guint i = from; i < walk->layout->buttons->len; ++i) {
    const RcButton *button = rc_layout_button(walk->layout, i);
    const guint lowest = MIN(low, button->column);
    const guint highest = MAX(high, button->column);
    if (is_chord_button(button) && highest - lowest <= walk->hand.reach && rc_bellows_agree(bellows, button->bellows)) {
      grip->chords[grip->n_chords++] = (guint16)i;
      walk_chords(walk, grip, i + 1, lowest, highest, bellows | button->bellows);
      --grip->n_chords;
    }
  }
}

// Whether `next` is the neighbour of `bass` in its row, on the side of the chin, and sounds a fifth above it.
static gboolean
is_fifth_above(const RcButton *bass, const RcButton *next)
{
  enum { FIFTH = 7, PITCH_CLASSES = 12 };
  return next->sound.kind == RC_SOUND_BASS && next->row == bass->row && next->column == bass->column + 1 &&
         (rc_note_pc(bass->sound.root) + FIFTH) % PITCH_CLASSES == rc_note_pc(next->sound.root);
}

// Adds basses after the last, each time a neighbour, and calls for all grips with these.
static void
walk_basses(const GripWalk *walk, RcGrip *grip, guint low, guint high, RcBellows bellows)
{
  walk_chords(walk, grip, 0, low, high, bellows);
  if (grip->n_basses == RC_GRIP_BASSES || rc_grip_count(grip) >= walk->hand.press || high - low >= walk->hand.reach) {
    return;
  }
  const guint last = grip->basses[grip->n_basses - 1];
  for (guint i = last + 1; i < walk->layout->buttons->len; ++i) {
    const RcButton *next = rc_layout_button(walk->layout, i);
    if (is_fifth_above(rc_layout_button(walk->layout, last), next) && rc_bellows_agree(bellows, next->bellows)) {
      grip->basses[grip->n_basses++] = (guint16)i;
      walk_basses(walk, grip, low, next->column, bellows | next->bellows);
      --grip->n_basses;
    }
  }
}

void
rc_layout_each_grip(const RcLayout *layout, RcHand hand, RcGripFunc each, gpointer data)
{
  const GripWalk walk = { layout, hand, each, data };
  for (guint i = 0; i < layout->buttons->len; ++i) {
    const RcButton *button = rc_layout_button(layout, i);
    if (button->sound.kind == RC_SOUND_BASS) {
      RcGrip grip = { .basses = { (guint16)i }, .n_basses = 1 };
      walk_basses(&walk, &grip, button->column, button->column, button->bellows);
    }
  }
}
