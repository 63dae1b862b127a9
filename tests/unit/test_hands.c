// Copyright 2026 the rowcall developers
// SPDX-License-Identifier: MIT

// What fingers can hold and what a school has them do, worked out anew for every grip of random boards by trying all
// fingers, and the bass to alternate with by looking at all buttons.

#undef NDEBUG

#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>

#include <cmocka.h>

#include "rowcall/route.h"

#include <math.h>
#include <string.h>

enum { BOARDS = 40 / THINNED + 4, SEED = 20261126, FINGERS = 4, MOST = FINGERS * FINGERS * FINGERS };

static const double tolerance = 1e-6; // mm

static guint
draw(GRand *random, guint n)
{
  return (guint)g_rand_int_range(random, 0, (int)n);
}

// ----------------------------------------------------------------------------------------------------------- a board

static const char *const row_sets[] = { "fundamental, major", "major, fundamental, minor",
                                        "counterbass, fundamental, major, minor",
                                        "counterbass, fundamental, major, minor, seventh, diminished" };

// Slants of half a column, as usual, and of less and more, so that neighbours in a column are abreast or are not.
static RcLayout *
random_board(GRand *random)
{
  static const char *const spacings[] = { "{column: 16, row: 12.5, slant: 8}", "{column: 20, row: 14, slant: 0}",
                                          "{column: 13, row: 21, slant: 7}", "{column: 24, row: 18.5, slant: 11.5}" };
  GError *error = NULL;
  char *text = g_strdup_printf("name: t\ntitle: t\nsource: [none]\ncolumns: %s\nrows: [%s]\nspacing: %s\n",
                               draw(random, 2) ? "F..A" : "Bb..G", row_sets[draw(random, G_N_ELEMENTS(row_sets))],
                               spacings[draw(random, G_N_ELEMENTS(spacings))]);
  RcLayout *layout = rc_layout_parse(text, strlen(text), "t.yaml", &error);
  assert_null(error);
  g_free(text);
  return layout;
}

static RcFingers
random_fingers(GRand *random)
{
  static const char *const spans[] = { NULL, "40,32,40,56,56,80", "30,22,34,41,48,62", "55,28,33,70,36,90" };
  RcFingers fingers = rc_fingers();
  const char *own = spans[draw(random, G_N_ELEMENTS(spans))];
  assert_true(!own || rc_spans_parse(own, &fingers));
  fingers.school = draw(random, 2) ? RC_SCHOOL_4_3 : RC_SCHOOL_3_2;
  return fingers;
}

static double
apart(const RcLayout *layout, guint one, guint other)
{
  const RcButton *a = rc_layout_button(layout, one);
  const RcButton *b = rc_layout_button(layout, other);
  return sqrt((a->x - b->x) * (a->x - b->x) + (a->y - b->y) * (a->y - b->y));
}

// ------------------------------------------------------------------------------------------------------ one fingering

// Spans are listed for 2-3, 3-4, 4-5, 2-4, 3-5 and 2-5.
static double
of_pair(const double spans[RC_N_SPANS], guint one, guint other)
{
  static const guint pairs[RC_N_SPANS] = { 23, 34, 45, 24, 35, 25 };
  const guint pair = 10 * MIN(one, other) + MAX(one, other);
  guint at = 0;
  while (pairs[at] != pair) {
    ++at;
  }
  return spans[at];
}

// At most half a column from each other along the board.
static gboolean
are_abreast(const RcLayout *layout, guint one, guint other)
{
  const double along = rc_layout_button(layout, one)->x - rc_layout_button(layout, other)->x;
  return fabs(along) < layout->column_mm / 2 + tolerance;
}

// Two fingers on two buttons: not the same, within their span, and the lower one nearer to the chin.
static gboolean
pair_can(const RcFingers *fingers, const RcLayout *layout, guint one, guint other, guint with_one, guint with_other)
{
  if (with_one == with_other || apart(layout, one, other) > of_pair(fingers->spans, with_one, with_other) + tolerance) {
    return FALSE;
  }
  const RcButton *chinward = rc_layout_button(layout, with_one < with_other ? one : other);
  const RcButton *kneeward = rc_layout_button(layout, with_one < with_other ? other : one);
  return are_abreast(layout, one, other) || chinward->x > kneeward->x;
}

// What is said of a grip and its fingers.
typedef struct {
  gboolean can;
  guint crossed; // pairs of buttons abreast of which the outer one has the higher finger
  double stretch;
  double spread;
  guint from_school;
  guint between; // the lowest finger and the highest
} Said;

static Said
say(const RcFingers *fingers, const RcLayout *layout, const RcGrip *grip, const guint with[RC_GRIP_PRESS])
{
  Said said = { .can = TRUE };
  for (guint i = 0; i < rc_grip_count(grip); ++i) {
    for (guint j = i + 1; j < rc_grip_count(grip); ++j) {
      const guint one = rc_grip_button(grip, i);
      const guint other = rc_grip_button(grip, j);
      const guint gap = MAX(with[i], with[j]) - MIN(with[i], with[j]);
      if (!pair_can(fingers, layout, one, other, with[i], with[j])) {
        said.can = FALSE;
        return said;
      }
      const guint row = rc_layout_button(layout, one)->row;
      const guint of_other = rc_layout_button(layout, other)->row;
      const gboolean rises = (row > of_other && with[i] > with[j]) || (of_other > row && with[j] > with[i]);
      said.crossed += rises && are_abreast(layout, one, other);
      said.stretch += MAX(0, apart(layout, one, other) - of_pair(fingers->comfort, with[i], with[j]));
      said.spread += MAX(0, apart(layout, one, other) - gap * layout->column_mm);
      said.between = MAX(said.between, gap);
    }
  }
  const guint school = fingers->school == RC_SCHOOL_4_3 ? 4 : 3;
  said.from_school = MAX(with[0], school) - MIN(with[0], school);
  return said;
}

static int
compare_said(const Said *a, const Said *b)
{
  const int crossed = (int)a->crossed - (int)b->crossed;
  const int stretch = fabs(a->stretch - b->stretch) < 0.001 ? 0 : a->stretch < b->stretch ? -1 : 1;
  const int school = (int)a->from_school - (int)b->from_school;
  return crossed ? crossed : stretch ? stretch : school ? school : (int)a->between - (int)b->between;
}

static RcFingering
fingering_of(const RcGrip *grip, const guint with[RC_GRIP_PRESS])
{
  RcFingering fingering;
  memset(&fingering, 0, sizeof fingering);
  for (guint i = 0; i < rc_grip_count(grip); ++i) {
    if (i < grip->n_basses) {
      fingering.basses[i] = (guint8)with[i];
    } else {
      fingering.chords[i - grip->n_basses] = (guint8)with[i];
    }
  }
  return fingering;
}

// -------------------------------------------------------------------------------------------------------- all fingers

typedef struct {
  const RcLayout *layout;
  RcFingers fingers;
  guint held;
  guint several;
  guint wide;
  guint refused;
} World;

static void
check_can(const World *w, const RcGrip *grip, const guint with[RC_GRIP_PRESS], gboolean can)
{
  guint16 buttons[RC_GRIP_PRESS] = { 0 };
  guint8 on[RC_GRIP_PRESS] = { 0 };
  for (guint i = 0; i < rc_grip_count(grip); ++i) {
    buttons[i] = (guint16)rc_grip_button(grip, i);
    on[i] = (guint8)with[i];
  }
  assert_int_equal(rc_fingers_can(&w->fingers, w->layout, buttons, on, rc_grip_count(grip)), can);
}

static void
check_measures(World *w, const RcGrip *grip, const RcFingering *fingering, const Said *said)
{
  const double stretch = rc_grip_stretch(&w->fingers, w->layout, grip, fingering);
  assert_true(fabs(stretch - said->stretch) < tolerance);
  assert_true(fabs(rc_grip_spread(w->layout, grip, fingering) - said->spread) < tolerance);
  w->wide += stretch > 0;
}

// Of all fingers that can hold a grip those against which least speaks, in rising order; a bass alone may have any.
static void
check_grip(const RcGrip *grip, gpointer data)
{
  World *w = data;
  guint with[MOST][RC_GRIP_PRESS];
  Said said[MOST];
  guint n = 0;
  const guint buttons = rc_grip_count(grip);
  const guint all = buttons == 1 ? FINGERS : buttons == 2 ? FINGERS * FINGERS : MOST;
  for (guint i = 0; i < all; ++i) {
    for (guint b = 0, rest = i; b < RC_GRIP_PRESS; ++b, rest /= FINGERS) {
      with[n][b < buttons ? buttons - 1 - b : b] = RC_FINGER_INDEX + rest % FINGERS;
    }
    said[n] = say(&w->fingers, w->layout, grip, with[n]);
    check_can(w, grip, with[n], said[n].can);
    n += said[n].can ? 1 : 0;
  }
  RcFingering expected[MOST];
  guint n_expected = 0;
  for (guint i = 0; i < n; ++i) {
    gboolean best = TRUE;
    for (guint j = 0; j < n && buttons > 1; ++j) {
      best &= compare_said(&said[i], &said[j]) <= 0;
    }
    const RcFingering fingering = fingering_of(grip, with[i]);
    check_measures(w, grip, &fingering, &said[i]);
    if (best) {
      expected[n_expected++] = fingering;
    }
  }
  RcFingering ways[RC_FINGERINGS];
  assert_int_equal(rc_fingers_ways(&w->fingers, w->layout, grip, ways), n_expected);
  assert_memory_equal(ways, expected, n_expected * sizeof *expected);
  w->held += n_expected > 0;
  w->refused += n_expected == 0;
  w->several += n_expected > 1 && buttons > 1;
}

static void
check_span(const RcGrip *grip, gpointer data)
{
  const World *w = data;
  double span = 0;
  for (guint i = 0; i < rc_grip_count(grip); ++i) {
    for (guint j = 0; j < rc_grip_count(grip); ++j) {
      span = fmax(span, apart(w->layout, rc_grip_button(grip, i), rc_grip_button(grip, j)));
    }
  }
  assert_true(fabs(rc_grip_span(w->layout, grip) - span) < tolerance);
}

static void
every_grip_has_the_fingers_against_which_least_speaks(void **state)
{
  (void)state;
  World w = { 0 };
  GRand *random = g_rand_new_with_seed(SEED);
  for (guint i = 0; i < BOARDS; ++i) {
    RcLayout *layout = random_board(random);
    w.layout = layout;
    w.fingers = random_fingers(random);
    rc_layout_each_grip(layout, (RcHand){ 3, RC_GRIP_PRESS }, check_grip, &w);
    rc_layout_each_grip(layout, (RcHand){ 3, RC_GRIP_PRESS }, check_span, &w);
    rc_layout_free(layout);
  }
  g_rand_free(random);
  assert_true(w.held > 1000 && w.refused > 1000 && w.wide > 1000 && w.several > 10);
}

// --------------------------------------------------------------------------------------------------- alternating bass

// A kind of chord on C, and the semitones of its fifth and of its third or what is in its place; 0: it has none.
typedef struct {
  const char *text;
  guint fifth;
  guint third;
} Kind;

static const Kind kinds[] = { { "", 7, 4 },     { "m", 7, 3 },    { "dim", 6, 3 }, { "aug", 8, 4 },
                              { "sus4", 7, 5 }, { "sus2", 7, 2 }, { "7b5", 6, 4 }, { "5", 7, 0 },
                              { "m7b5", 6, 3 }, { "maj7", 7, 4 }, { "no5", 0, 4 } };

static guint
columns_between(const RcLayout *layout, guint one, guint other)
{
  const guint a = rc_layout_button(layout, one)->column;
  const guint b = rc_layout_button(layout, other)->column;
  return MAX(a, b) - MIN(a, b);
}

// Whether `button` is a bass that sounds `pc` and that the hand reaches without letting go of the chord buttons.
static gboolean
may_alternate(const RcLayout *layout, const RcGrip *grip, guint reach, guint hop, guint pc, guint button)
{
  const RcButton *b = rc_layout_button(layout, button);
  gboolean good = b->sound.kind == RC_SOUND_BASS && rc_note_pc(b->sound.root) == pc &&
                  columns_between(layout, button, grip->basses[0]) <= hop;
  for (guint i = 0; i < grip->n_chords; ++i) {
    good = good && columns_between(layout, button, grip->chords[i]) <= reach;
  }
  for (guint i = 0; i < rc_grip_count(grip); ++i) {
    const RcBellows of = rc_layout_button(layout, rc_grip_button(grip, i))->bellows;
    good = good && (of == b->bellows || of == RC_BELLOWS_BOTH || b->bellows == RC_BELLOWS_BOTH);
  }
  return good;
}

static gboolean
find_nearest(const RcLayout *layout, const RcGrip *grip, guint reach, guint hop, guint pc, guint *button)
{
  gboolean found = FALSE;
  for (guint i = 0; i < layout->buttons->len; ++i) {
    if (may_alternate(layout, grip, reach, hop, pc, i) &&
        (!found || apart(layout, i, grip->basses[0]) < apart(layout, *button, grip->basses[0]) - tolerance)) {
      *button = i;
      found = TRUE;
    }
  }
  return found;
}

static gboolean
gets_there(const RcFingers *fingers, const RcLayout *layout, const RcGrip *grip, const RcFingering *fingering,
           guint button, guint finger)
{
  gboolean good = finger >= 2 && finger <= 5;
  for (guint i = 0; i < grip->n_chords && good; ++i) {
    good = pair_can(fingers, layout, button, grip->chords[i], finger, fingering->chords[i]);
  }
  return good;
}

// The next finger on the side of the button, else that of the first bass, else another.
static guint
find_finger(const RcFingers *fingers, const RcLayout *layout, const RcGrip *grip, const RcFingering *fingering,
            guint button)
{
  const guint first = fingering->basses[0];
  const gboolean to_chin = rc_layout_button(layout, button)->x > rc_layout_button(layout, grip->basses[0])->x;
  const guint order[] = { to_chin ? first - 1 : first + 1, first, 4, 3, 2, 5 };
  for (guint i = 0; i < G_N_ELEMENTS(order); ++i) {
    if (gets_there(fingers, layout, grip, fingering, button, order[i])) {
      return order[i];
    }
  }
  return 0;
}

// The fifth, the root, or the third beside the bass; whichever the bass is not.
static RcSecondBass
expect_second(const RcFingers *fingers, const RcLayout *layout, guint reach, guint root, const Kind *kind,
              const RcGrip *grip, const RcFingering *fingering)
{
  const guint tones[] = { (root + kind->fifth) % 12, root, (root + kind->third) % 12 };
  const guint hops[] = { reach, reach, 1 };
  const guint first = rc_note_pc(rc_layout_button(layout, grip->basses[0])->sound.root);
  RcSecondBass second = { 0 };
  guint button = 0;
  for (guint i = 0; i < G_N_ELEMENTS(tones) && !second.found && grip->n_basses == 1; ++i) {
    const gboolean there = i == 0 ? kind->fifth > 0 : i == 1 || kind->third > 0;
    second.found = there && tones[i] != first && find_nearest(layout, grip, reach, hops[i], tones[i], &button);
  }
  if (second.found) {
    second.button = (guint16)button;
    second.finger = (guint8)find_finger(fingers, layout, grip, fingering, button);
  }
  return second;
}

typedef struct {
  GRand *random;
  const RcLayout *layout;
  RcFingers fingers;
  guint odds; // one grip in so many is tried
  guint reach;
  guint found;
  guint moved;
  guint tried;
} Alternating;

static void
check_second(const RcGrip *grip, gpointer data)
{
  static const char *const roots[] = { "C", "Db", "D", "Eb", "E", "F", "F#", "G", "Ab", "A", "Bb", "B" };
  Alternating *a = data;
  RcChord chord;
  RcFingering ways[RC_FINGERINGS];
  const guint n = draw(a->random, a->odds) ? 0 : rc_fingers_ways(&a->fingers, a->layout, grip, ways);
  for (guint i = 0; i < n; ++i) {
    const guint root = draw(a->random, 12);
    const Kind *kind = &kinds[draw(a->random, G_N_ELEMENTS(kinds))];
    char *text = g_strconcat(roots[root], kind->text, NULL);
    assert_int_equal(rc_chord_parse(text, (guint)strlen(text), RC_NAMES_ENGLISH, &chord, NULL), RC_SYMBOL_CHORD);
    const RcSecondBass expected = expect_second(&a->fingers, a->layout, a->reach, root, kind, grip, &ways[i]);
    const RcSecondBass second = rc_second_bass(&a->fingers, a->layout, a->reach, &chord, grip, &ways[i]);
    assert_int_equal(second.found, expected.found);
    if (second.found) {
      assert_int_equal(second.button, expected.button);
      assert_int_equal(second.finger, expected.finger);
    }
    a->found += second.found ? 1 : 0;
    a->moved += second.found && !second.finger;
    ++a->tried;
    g_free(text);
  }
}

static void
the_bass_to_alternate_with_is_the_nearest_that_is_left(void **state)
{
  (void)state;
  static const struct {
    const char *name;
    guint odds;
  } boards[] = { { "12", 1 }, { "48-8x6", 4 }, { "120", 60 }, { "120-mirrored", 60 }, { "push-pull-8-gc", 1 } };
  Alternating a = { .random = g_rand_new_with_seed(SEED + 1) };
  for (guint i = 0; i < 6 * G_N_ELEMENTS(boards); ++i) {
    RcLayout *layout = i % 2 ? random_board(a.random) : rc_layout_find(boards[i / 6].name, NULL);
    a.layout = layout;
    a.odds = (i % 2 ? 6 : boards[i / 6].odds) * THINNED;
    a.fingers = random_fingers(a.random);
    a.reach = 1 + draw(a.random, RC_GRIP_REACH);
    rc_layout_each_grip(layout, (RcHand){ a.reach, RC_GRIP_PRESS }, check_second, &a);
    rc_layout_free(layout);
  }
  g_rand_free(a.random);
  print_message("%u grips tried, of %u the bass alternates, for %u the hand moves\n", a.tried, a.found, a.moved);
  assert_true(a.tried > 1000 / THINNED && 4 * a.found > a.tried && a.moved > 20 / THINNED);
}

// -------------------------------------------------------------------------------------------------------- the player

// On a mirrored board the index is where the little finger is planned.
static void
a_mirrored_board_is_played_with_mirrored_fingers(void **state)
{
  (void)state;
  static const guint mirrored[] = { 0, 99, 5, 4, 3, 2 }; // by the finger planned
  RcLayout *usual = rc_layout_find("120", NULL);
  RcLayout *other = rc_layout_find("120-mirrored", NULL);
  for (guint finger = 0; finger < G_N_ELEMENTS(mirrored); ++finger) {
    assert_int_equal(rc_finger_of_player(usual, finger), finger);
    if (finger != 1) {
      assert_int_equal(rc_finger_of_player(other, finger), mirrored[finger]);
    }
  }
  rc_layout_free(usual);
  rc_layout_free(other);
}

static void
spans_of_no_hand_are_refused(void **state)
{
  (void)state;
  static const char *const good[] = { "10,10,10,10,10,10", "300,300,300,300,300,300", "70.5,56,70,98,98,142.25" };
  static const char *const bad[] = { "",
                                     "70",
                                     "70,56,70,98,98",
                                     "70,56,70,98,98,",
                                     "70,56,70,98,98,142,",
                                     "70,56,70,98,98,142,142",
                                     "70,56,70,98,98,142 ",
                                     "70;56;70;98;98;142",
                                     ",56,70,98,98,142",
                                     "70,,70,98,98,142",
                                     "9.99,56,70,98,98,142",
                                     "70,56,70,98,98,300.01",
                                     "70,56,70,98,98,nan",
                                     "a,56,70,98,98,142" };
  for (guint i = 0; i < G_N_ELEMENTS(good); ++i) {
    RcFingers fingers = rc_fingers();
    assert_true(rc_spans_parse(good[i], &fingers));
  }
  for (guint i = 0; i < G_N_ELEMENTS(bad); ++i) {
    const RcFingers usual = rc_fingers();
    RcFingers fingers = rc_fingers();
    assert_false(rc_spans_parse(bad[i], &fingers));
    for (guint span = 0; span < RC_N_SPANS; ++span) { // it left them alone
      assert_true(fabs(fingers.spans[span] - usual.spans[span]) < tolerance);
      assert_true(fabs(fingers.comfort[span] - usual.comfort[span]) < tolerance);
    }
  }
}

int
main(void)
{
  const struct CMUnitTest tests[] = {
    cmocka_unit_test(every_grip_has_the_fingers_against_which_least_speaks),
    cmocka_unit_test(the_bass_to_alternate_with_is_the_nearest_that_is_left),
    cmocka_unit_test(a_mirrored_board_is_played_with_mirrored_fingers),
    cmocka_unit_test(spans_of_no_hand_are_refused),
  };
  return cmocka_run_group_tests(tests, NULL, NULL);
}
