// Copyright 2026 the rowcall developers
// SPDX-License-Identifier: MIT

// Fingers as published, each source a case, and one of common practice. Fingers are 2 (index) to 5 (little finger).

#undef NDEBUG

#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>

#include <cmocka.h>

#include "rowcall/corpus.h"
#include "rowcall/route.h"

#include <glib/gstdio.h>
#include <math.h>
#include <string.h>
#include <unistd.h>

// What is held against a source.
typedef enum {
  TEACHES, // the school gives these fingers, and these alone
  CAN      // the hand can hold it so
} Claim;

typedef struct {
  const char *row;
  const char *column;
  guint8 finger; // 0: not said
} Press;

typedef struct {
  const char *what;
  const char *source;
  Claim claim;
  RcSchool school;
  Press press[3]; // the bass first where there is one
} Case;

#define STRADLING "R. Stradling, Playing major 7th chords on the left hand"
#define BOXTEACHER "boxteacher blog, Third Floor Going Up (2006)"
#define WIKIBOOKS "English Wikibooks, Accordion/Left hand/Lesson 3"
#define GALLA_RINI "A. Galla-Rini, The Diminished Chord Button (Accordion Review, Aug 1950)"
#define SACKPFEYFFER "Sackpfeyffer zu Linden, Accordion in another way"
#define MELLOWOOD "mellowood.ca, augmented chords on the accordion"

static const Case cases[] = {
  { "C major", STRADLING, TEACHES, RC_SCHOOL_4_3, { { "fundamental", "C", 4 }, { "major", "C", 3 } } },
  { "A minor", STRADLING, TEACHES, RC_SCHOOL_4_3, { { "fundamental", "A", 4 }, { "minor", "A", 3 } } },
  { "Bb major", BOXTEACHER, TEACHES, RC_SCHOOL_3_2, { { "fundamental", "Bb", 3 }, { "major", "Bb", 2 } } },
  { "C major", BOXTEACHER, TEACHES, RC_SCHOOL_3_2, { { "fundamental", "C", 3 }, { "major", "C", 2 } } },
  { "D minor", BOXTEACHER, TEACHES, RC_SCHOOL_3_2, { { "fundamental", "D", 3 }, { "minor", "D", 2 } } },
  { "G major", WIKIBOOKS, TEACHES, RC_SCHOOL_3_2, { { "fundamental", "G", 3 }, { "major", "G", 2 } } },
  { "F7", GALLA_RINI, TEACHES, RC_SCHOOL_4_3, { { "fundamental", "F", 4 }, { "diminished", "C", 2 } } },
  { "F7", GALLA_RINI, TEACHES, RC_SCHOOL_3_2, { { "fundamental", "F", 4 }, { "diminished", "C", 2 } } },
  { "F7", GALLA_RINI, TEACHES, RC_SCHOOL_4_3, { { "counterbass", "C#", 2 }, { "diminished", "C", 5 } } },
  { "F7", GALLA_RINI, CAN, RC_SCHOOL_4_3, { { "major", "F", 4 }, { "diminished", "C", 2 } } },
  { "F7", GALLA_RINI, CAN, RC_SCHOOL_4_3, { { "seventh", "F", 3 }, { "diminished", "C", 2 } } },
  { "Cmaj7/B", STRADLING, TEACHES, RC_SCHOOL_4_3, { { "counterbass", "G", 4 }, { "minor", "E", 2 } } },
  { "Cmaj7", SACKPFEYFFER, TEACHES, RC_SCHOOL_4_3, { { "fundamental", "C", 5 }, { "minor", "E", 0 } } },
  { "C+",
    MELLOWOOD,
    CAN,
    RC_SCHOOL_4_3,
    { { "fundamental", "C", 2 }, { "counterbass", "C", 3 }, { "fundamental", "Ab", 5 } } },
  { "Bm on a 48", "common practice", TEACHES, RC_SCHOOL_4_3, { { "counterbass", "G", 4 }, { "major", "D", 2 } } },
};

static RcLayout *board;

static int
load_board(void **state)
{
  (void)state;
  board = rc_layout_find("120", NULL);
  return board ? 0 : -1;
}

static int
free_board(void **state)
{
  (void)state;
  rc_layout_free(board);
  return 0;
}

static guint16
find(const RcLayout *layout, const char *row, const char *column)
{
  for (guint16 i = 0; i < layout->buttons->len; ++i) {
    const RcButton *button = rc_layout_button(layout, i);
    if (!strcmp(rc_button_row(layout, button), row) &&
        !strcmp(rc_note_name(rc_button_column(layout, button), RC_SIGNS_ASCII), column)) {
      return i;
    }
  }
  fail_msg("no button %s %s", row, column);
  return 0;
}

static void
check_can(const RcFingers *fingers, const Case *c)
{
  guint16 buttons[3];
  guint8 with[3];
  guint n = 0;
  for (; n < 3 && c->press[n].row; ++n) {
    buttons[n] = find(board, c->press[n].row, c->press[n].column);
    with[n] = c->press[n].finger;
  }
  if (!rc_fingers_can(fingers, board, buttons, with, n)) {
    fail_msg("%s: %s cannot be held as published", c->source, c->what);
  }
}

static void
check_teaches(const RcFingers *fingers, const Case *c)
{
  RcFingering ways[RC_FINGERINGS];
  const RcGrip grip = {
    { find(board, c->press[0].row, c->press[0].column) }, { find(board, c->press[1].row, c->press[1].column) }, 1, 1
  };
  const guint n = rc_fingers_ways(fingers, board, &grip, ways);
  assert_true(n >= 1);
  for (guint i = 0; i < n; ++i) {
    if (ways[i].basses[0] != c->press[0].finger || (c->press[1].finger && ways[i].chords[0] != c->press[1].finger)) {
      fail_msg("%s: %s is held with %u and %u", c->source, c->what, ways[i].basses[0], ways[i].chords[0]);
    }
  }
}

static void
published_fingers_are_taught_or_possible(void **state)
{
  (void)state;
  for (guint i = 0; i < G_N_ELEMENTS(cases); ++i) {
    RcFingers fingers = rc_fingers();
    fingers.school = cases[i].school;
    if (cases[i].claim == TEACHES) {
      check_teaches(&fingers, &cases[i]);
    } else {
      check_can(&fingers, &cases[i]);
    }
  }
}

// "Cm7 as C bass + Eb major": called very hard to finger by Sackpfeyffer zu Linden; so no school's bass finger and
// chord finger reach it in their usual order, the chord lying on the little finger's side.
static void
cm7_lies_behind_its_bass(void **state)
{
  (void)state;
  RcFingering ways[RC_FINGERINGS];
  const RcFingers fingers = rc_fingers();
  const RcGrip grip = { { find(board, "fundamental", "C") }, { find(board, "major", "Eb") }, 1, 1 };
  assert_int_equal(rc_fingers_ways(&fingers, board, &grip, ways), 1);
  assert_true(ways[0].chords[0] > ways[0].basses[0]);
}

// "Cm/Eb as Eb counterbass with 5 + C minor", by the same: seven columns, further than the largest practical span of
// the ergonomic table. Two sources disagree, and the hand keeps to the smaller; one that reaches it takes the same
// finger.
static void
cm_over_e_flat_is_for_larger_hands(void **state)
{
  (void)state;
  RcFingering ways[RC_FINGERINGS];
  RcFingers fingers = rc_fingers();
  const RcGrip grip = { { find(board, "counterbass", "Cb") }, { find(board, "minor", "C") }, 1, 1 };
  assert_int_equal(rc_fingers_ways(&fingers, board, &grip, ways), 0);
  assert_true(rc_spans_parse("70,56,70,98,98,142", &fingers));
  assert_int_equal(rc_fingers_ways(&fingers, board, &grip, ways), 1);
  assert_int_equal(ways[0].basses[0], 5);
}

// The pairs of the table of spans in the order of `RcFingers`: R. Parncutt, J. A. Sloboda, E. F. Clarke, M. Raekallio,
// P. Desain, An Ergonomic Model of Keyboard Fingering for Melodic Fragments, Music Perception 14 (4), 1997; semitones.
static const struct {
  guint8 comfortable;
  guint8 practical;
} published[RC_N_SPANS] = { { 3, 5 }, { 2, 4 }, { 3, 5 }, { 5, 7 }, { 5, 7 }, { 8, 10 } };

static void
spans_are_those_of_the_published_table(void **state)
{
  (void)state;
  const double semitone = 13.7; // an octave of a piano is about 164 mm (common practice)
  const RcFingers fingers = rc_fingers();
  for (guint i = 0; i < RC_N_SPANS; ++i) {
    assert_true(fabs(fingers.spans[i] - published[i].practical * semitone) < 1e-6);
    assert_true(fingers.comfort[i] >= published[i].comfortable * semitone);
    assert_true(fingers.comfort[i] < (published[i].comfortable + 1) * semitone);
  }
}

static void
own_spans_are_comfortable_in_the_same_part(void **state)
{
  (void)state;
  RcFingers own = rc_fingers();
  const RcFingers usual = rc_fingers();
  assert_true(rc_spans_parse("34.25,27.4,34.25,47.95,47.95,68.5", &own)); // half the usual
  for (guint i = 0; i < RC_N_SPANS; ++i) {
    assert_true(fabs(own.spans[i] - usual.spans[i] / 2) < 1e-6);
    assert_true(fabs(own.comfort[i] - usual.comfort[i] / 2) < 1e-6);
  }
  assert_false(rc_spans_parse("70,56,70,98,98", &own));
  assert_false(rc_spans_parse("70,56,70,98,98,9", &own)); // no hand
  assert_false(rc_spans_parse("70,56,70,98,98,301", &own));
  assert_true(fabs(own.spans[0] - 34.25) < 1e-6);
}

// F and the diminished C lie 69 mm apart on the 120: 4 and 2 reach 82 mm easily, 3 and 2 only 54, unless the hand is
// larger.
static void
a_grip_beyond_comfort_is_wide(void **state)
{
  (void)state;
  RcFingers fingers = rc_fingers();
  const RcGrip grip = { { find(board, "fundamental", "F") }, { find(board, "diminished", "C") }, 1, 1 };
  const RcFingering easy = { { 4 }, { 2 } };
  const RcFingering far = { { 3 }, { 2 } }; // 54 mm are easy
  assert_true(rc_grip_stretch(&fingers, board, &grip, &easy) == 0);
  assert_true(fabs(rc_grip_stretch(&fingers, board, &grip, &far) - (hypot(48, 50) - 54.1)) < 0.01);
  assert_true(rc_spans_parse("90,56,70,98,98,142", &fingers));
  assert_true(rc_grip_stretch(&fingers, board, &grip, &far) == 0);
}

// ------------------------------------------------------------------------------------------------- hand positions

// Plans `yaml` on a row of basses and checks the finger each chord gets, by its root.
static void
check_position(RcSchool school, const char *yaml, const char *roots, const guint8 *with)
{
  static const char bass_row[] = "name: basses\ntitle: a row of basses\nsource: [none]\ncolumns: F..D\n"
                                 "rows: [fundamental]\nspacing: {column: 16, row: 12.5, slant: 8}\n";
  GError *error = NULL;
  RcLayout *layout = rc_layout_parse(bass_row, strlen(bass_row), "basses.yaml", &error);
  assert_null(error);
  RcRouteSettings settings = rc_route_settings();
  settings.hand.press = 1; // the sources speak of basses one after the other
  settings.fingers.school = school;
  char *path = g_build_filename(g_get_tmp_dir(), "rowcall-fingers-XXXXXX.yaml", NULL);
  const int file = g_mkstemp(path);
  assert_true(file >= 0 && write(file, yaml, strlen(yaml)) == (gssize)strlen(yaml));
  close(file);
  const char *const paths[] = { path, NULL };
  RcCorpus *corpus = rc_corpus_new(paths, (RcCorpusOptions){ 0 });
  RcTune *tune = rc_tune_new();
  assert_int_equal(rc_corpus_next(corpus, tune, &error), RC_READ_TUNE);
  RcPlanner *planner = rc_planner_new(layout, &settings);
  RcRoute *route = rc_route_new(planner);
  rc_route_plan(route, tune);
  assert_int_equal(route->steps->len, strlen(roots));
  assert_true(route->travel == 0);
  for (guint i = 0; i < route->steps->len; ++i) {
    const RcStep *step = &g_array_index(route->steps, RcStep, i);
    assert_true(step->held);
    assert_int_equal(rc_note_name(rc_layout_button(layout, step->grip.basses[0])->sound.root, RC_SIGNS_ASCII)[0],
                     roots[i]);
    assert_int_equal(step->fingers.basses[0], with[i]);
  }
  rc_route_free(route);
  rc_planner_free(planner);
  rc_tune_free(tune);
  rc_corpus_free(corpus);
  rc_layout_free(layout);
  g_unlink(path);
  g_free(path);
}

// studiomusica.eu, Posizione della mano sinistra: on the fundamental row C 4, G 3, D 2, F 5.
static void
four_basses_lie_under_four_fingers(void **state)
{
  (void)state;
  check_position(RC_SCHOOL_4_3, "title: T\nmeter: 4/4\ntempo: 200\nparts: {A: \"| C G | D F | C G |\"}\n", "CGDFCG",
                 (const guint8[]){ 4, 3, 2, 5, 4, 3 });
}

// blipfoto 908888: the ring finger on C. ehow, accordion bass notes: C 3, G 2, F 4.
static void
the_school_puts_its_finger_on_c(void **state)
{
  (void)state;
  static const char yaml[] = "title: T\nmeter: 4/4\ntempo: 200\nparts: {A: \"| C G | F C |\"}\n";
  check_position(RC_SCHOOL_4_3, yaml, "CGFC", (const guint8[]){ 4, 3, 5, 4 });
  check_position(RC_SCHOOL_3_2, yaml, "CGFC", (const guint8[]){ 3, 2, 4, 3 });
}

// ---------------------------------------------------------------------------------------------- alternating bass

// Common practice: B minor on an 8 by 6 keyboard is B counterbass with 4 and D major with 2; F# alternates under 3.
static void
b_minor_alternates_with_f_sharp_under_3(void **state)
{
  (void)state;
  RcLayout *small = rc_layout_find("48-8x6", NULL);
  RcChord chord;
  RcFingering ways[RC_FINGERINGS];
  const RcFingers fingers = rc_fingers();
  assert_int_equal(rc_chord_parse("Bm", 2, RC_NAMES_ENGLISH, &chord, NULL), RC_SYMBOL_CHORD);
  const RcRequest request = { .chord = chord };
  RcCatalogue *catalogue = rc_catalogue_new(small, (RcHand){ RC_GRIP_REACH, RC_GRIP_PRESS });
  const RcGrip grip = rc_catalogue_best(catalogue, rc_taste(), &request).grip;
  assert_int_equal(rc_fingers_ways(&fingers, small, &grip, ways), 1);
  const RcSecondBass second = rc_second_bass(&fingers, small, RC_GRIP_REACH, &chord, &grip, &ways[0]);
  assert_int_equal(grip.basses[0], find(small, "counterbass", "G"));
  assert_int_equal(grip.chords[0], find(small, "major", "D"));
  assert_int_equal(ways[0].basses[0], 4);
  assert_int_equal(ways[0].chords[0], 2);
  assert_true(second.found);
  assert_int_equal(second.button, find(small, "counterbass", "D"));
  assert_int_equal(second.finger, 3);
  rc_catalogue_free(catalogue);
  rc_layout_free(small);
}

// The second bass of `text`, held as it is best on the layout `name`; the bass again where there is none.
static const char *
alternates(const char *name, const char *text)
{
  RcLayout *layout = rc_layout_find(name, NULL);
  RcChord chord;
  RcFingering ways[RC_FINGERINGS];
  const RcFingers fingers = rc_fingers();
  assert_int_equal(rc_chord_parse(text, (guint)strlen(text), RC_NAMES_ENGLISH, &chord, NULL), RC_SYMBOL_CHORD);
  RcCatalogue *catalogue = rc_catalogue_new(layout, (RcHand){ RC_GRIP_REACH, RC_GRIP_PRESS });
  const RcRequest request = { .chord = chord };
  const RcGrip grip = rc_catalogue_best(catalogue, rc_taste(), &request).grip;
  assert_true(rc_fingers_ways(&fingers, layout, &grip, ways) >= 1);
  const RcSecondBass second = rc_second_bass(&fingers, layout, RC_GRIP_REACH, &chord, &grip, &ways[0]);
  const guint button = second.found ? second.button : grip.basses[0];
  const char *note = rc_note_name(rc_layout_button(layout, button)->sound.root, RC_SIGNS_ASCII);
  rc_catalogue_free(catalogue);
  rc_layout_free(layout);
  return note;
}

// Common practice. A 12 has the basses Bb, F, C, G, D and A: no E under A, and C is three columns away, too far to hop
// to in a jig, so A comes again.
static void
an_alternating_bass_is_the_fifth_or_the_root_again(void **state)
{
  (void)state;
  assert_string_equal(alternates("12", "G"), "D");
  assert_string_equal(alternates("12", "Am"), "A");
  assert_string_equal(alternates("12", "C/G"), "C");
  assert_string_equal(alternates("120", "Am"), "E");
  assert_string_equal(alternates("48-8x6", "E"), "B"); // counterbass of G
  assert_string_equal(alternates("120", "A"), "E");
}

// Common practice. Asus4 on a 12, A with D major: no E, but D is next to A.
static void
a_neighbour_alternates_where_there_is_no_fifth(void **state)
{
  (void)state;
  RcLayout *small = rc_layout_find("12", NULL);
  const RcFingers fingers = rc_fingers();
  const RcChord chord = { 3, 3, RC_BIT(1) | RC_BIT(SUS_4) | RC_BIT(5) }; // A is three fifths from C
  const RcGrip grip = { { find(small, "fundamental", "A") }, { find(small, "major", "D") }, 1, 1 };
  RcFingering ways[RC_FINGERINGS];
  assert_true(rc_fingers_ways(&fingers, small, &grip, ways) >= 1);
  const RcSecondBass second = rc_second_bass(&fingers, small, RC_GRIP_REACH, &chord, &grip, &ways[0]);
  assert_true(second.found);
  assert_int_equal(second.button, find(small, "fundamental", "D"));
  rc_layout_free(small);
}

int
main(void)
{
  const struct CMUnitTest tests[] = {
    cmocka_unit_test(published_fingers_are_taught_or_possible),
    cmocka_unit_test(cm7_lies_behind_its_bass),
    cmocka_unit_test(cm_over_e_flat_is_for_larger_hands),
    cmocka_unit_test(spans_are_those_of_the_published_table),
    cmocka_unit_test(own_spans_are_comfortable_in_the_same_part),
    cmocka_unit_test(a_grip_beyond_comfort_is_wide),
    cmocka_unit_test(four_basses_lie_under_four_fingers),
    cmocka_unit_test(the_school_puts_its_finger_on_c),
    cmocka_unit_test(b_minor_alternates_with_f_sharp_under_3),
    cmocka_unit_test(an_alternating_bass_is_the_fifth_or_the_root_again),
    cmocka_unit_test(a_neighbour_alternates_where_there_is_no_fifth),
  };
  return cmocka_run_group_tests(tests, load_board, free_board);
}
