// Copyright 2026 the rowcall developers
// SPDX-License-Identifier: MIT

// Which bars of a tune are heard, and what is said of the bellows.

#undef NDEBUG

#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <string.h>

#include <cmocka.h>

#include "rowcall/study.h"

#include "scratch.h"

static const char tune_text[] = "title: Eel Trap\nmeter: 3/4\nkey: G\nparts:\n"
                                "  A: \"G | D | G | D\"\n  Turn: \"D | E\"\norder: A Turn A\n";

typedef struct {
  RcBoards *boards;
  RcCorpus *corpus; // owns the tune's file name
  RcTune *tune;
  RcListening *listening;
} Heard;

static Heard
start_with(const char *on, const char *text)
{
  const char *const paths[] = { path, NULL };
  assert_true(g_file_set_contents(path, text, -1, NULL));
  Heard h = { .boards = rc_boards_find(&(RcBoardName){ on, NULL }, 1, NULL, NULL),
              .corpus = rc_corpus_new(paths, (RcCorpusOptions){ 0 }),
              .tune = rc_tune_new() };
  assert_non_null(h.boards);
  assert_int_equal(rc_corpus_next(h.corpus, h.tune, NULL), RC_READ_TUNE);
  h.listening = rc_listening_new(h.boards, 0);
  return h;
}

static void
clear(Heard *h)
{
  rc_listening_free(h->listening);
  rc_tune_free(h->tune);
  rc_corpus_free(h->corpus);
  rc_boards_free(h->boards);
}

static Heard
start(const char *on)
{
  return start_with(on, tune_text);
}

// The bars of 3/4 that are heard.
static guint
bars_of(const RcHearing *hearing)
{
  Heard h = start("48-8x6");
  assert_true(rc_listening_add_tune(h.listening, hearing, h.tune, NULL));
  const RcTicks length = rc_listening_score(h.listening)->length;
  const RcTicks bar = 3 * RC_QUARTER;
  assert_true(length % bar == 0);
  clear(&h);
  return (guint)(length / bar);
}

static void
a_part_or_some_bars_are_heard(void **state)
{
  (void)state;
  assert_int_equal(bars_of(&(RcHearing){ .part = NULL }), 10);
  assert_int_equal(bars_of(&(RcHearing){ .part = "A" }), 4);
  assert_int_equal(bars_of(&(RcHearing){ .part = "turn" }), 2); // in any case
  assert_int_equal(bars_of(&(RcHearing){ .first_bar = 2, .last_bar = 3 }), 2);
  assert_int_equal(bars_of(&(RcHearing){ .part = "A", .first_bar = 2 }), 3);
  assert_int_equal(bars_of(&(RcHearing){ .first_bar = 6, .last_bar = 6 }), 1); // the last as written
  assert_int_equal(bars_of(&(RcHearing){ .first_bar = 4, .last_bar = 99 }), 3);
  assert_int_equal(bars_of(&(RcHearing){ .part = "A", .first_bar = 1, .last_bar = 1 }), 1);
}

static void
what_is_not_there_is_said(void **state)
{
  (void)state;
  static const struct {
    RcHearing hearing;
    const char *message;
  } cases[] = {
    { { .part = "B" }, "tune:1: Eel Trap has no part B" },
    { { .first_bar = 7, .last_bar = 8 }, "Eel Trap has no bar 7" },
    { { .part = "Turn", .first_bar = 3 }, "Eel Trap has no bar 3 there" },
  };
  for (guint i = 0; i < G_N_ELEMENTS(cases); ++i) {
    Heard h = start("48-8x6");
    GError *error = NULL;
    assert_false(rc_listening_add_tune(h.listening, &cases[i].hearing, h.tune, &error));
    assert_non_null(strstr(error->message, cases[i].message));
    g_error_free(error);
    clear(&h);
  }
}

// A pickup of one beat belongs to the first bar, and has no number of its own.
static void
a_pickup_is_heard_with_the_first_bar(void **state)
{
  (void)state;
  static const char text[] = "X:1\nT:Weir\nM:3/4\nL:1/4\nK:G\n\"D\"D|\"G\"G3|\"C\"c3|\"D\"A3|\"G\"G3|]\n";
  static const struct {
    guint first, last, quarters;
  } cases[] = { { 1, 1, 4 }, { 1, 2, 7 }, { 2, 2, 3 }, { 2, 3, 6 }, { 4, 4, 3 } };
  for (guint i = 0; i < G_N_ELEMENTS(cases); ++i) {
    Heard h = start_with("48-8x6", text);
    const RcHearing hearing = { .first_bar = cases[i].first, .last_bar = cases[i].last };
    guint n = 0;
    assert_true(rc_listening_add_tune(h.listening, &hearing, h.tune, NULL));
    const RcHeard *heard = rc_listening_heard(h.listening, &n);
    assert_int_equal(n, 1);
    assert_true(heard->length == cases[i].quarters * RC_QUARTER);
    clear(&h);
  }
}

// Two tunes are two beats apart; each says where it begins and how long it lasts, how fast it is, and whether its
// melody is missing.
static void
tunes_are_heard_one_after_another(void **state)
{
  (void)state;
  Heard h = start_with("24", "X:1\nT:Weir\nM:3/4\nL:1/4\nQ:1/4=80\nK:G\n\"G\"G3|\"C\"c3|]\n");
  guint n = 0;
  const RcHearing kinds[] = { { .melody = TRUE }, { .wanted = TRUE } };
  assert_true(rc_listening_add_tune(h.listening, &kinds[0], h.tune, NULL));
  assert_true(rc_listening_add_tune(h.listening, &kinds[1], h.tune, NULL));
  const RcHeard *heard = rc_listening_heard(h.listening, &n);
  assert_int_equal(n, 2);
  for (guint i = 0; i < n; ++i) {
    assert_int_equal(heard[i].kind, i ? RC_HEARD_TUNE_WANTED : RC_HEARD_TUNE);
    assert_true(heard[i].start == (i ? 8 : 0) * RC_QUARTER);
    assert_true(heard[i].length == 6 * RC_QUARTER);
    assert_string_equal(heard[i].text, "Weir");
    assert_string_equal(heard[i].layout->name, i ? "120" : "24");
    assert_true(heard[i].tempo.quarters == 80);
    assert_true(heard[i].meter.beats == 3 && heard[i].meter.unit == 4);
    assert_int_equal(heard[i].no_melody, i == 0); // the corpus was not asked to keep it
  }
  assert_true(rc_listening_score(h.listening)->length == 14 * RC_QUARTER);
  clear(&h);
}

// Five minutes each, with two seconds between.
static void
no_more_is_heard_after_half_an_hour(void **state)
{
  (void)state;
  GString *text = g_string_new("title: Weir\nmeter: 4/4\ntempo: 60\nparts: {A: '|");
  for (guint i = 0; i < 75; ++i) {
    g_string_append(text, " G |");
  }
  g_string_append(text, "'}\n");
  Heard h = start_with("8", text->str);
  guint n = 0;
  for (guint i = 0; i < 10; ++i) {
    assert_true(rc_listening_add_tune(h.listening, &(RcHearing){ .part = NULL }, h.tune, NULL));
  }
  rc_listening_heard(h.listening, &n);
  assert_int_equal(n, 6); // after the sixth there are ten seconds more than half an hour
  clear(&h);
  g_string_free(text, TRUE);
}

// As many bars as fit into two and a half seconds: in 3/4 at 240 quarter notes a minute a bar lasts three quarters of a
// second, so three. B minor on a 48 is D major over B, richer by an A.
static void
a_chord_and_its_stand_in_are_heard_twice(void **state)
{
  (void)state;
  static const struct {
    const char *meter, *tempo;
    guint bar;  // quarter notes
    guint bars; // that fit into two and a half seconds, but one at least
  } cases[] = {
    { "4/4", "96", 4, 1 }, { "4/4", "97", 4, 1 }, { "3/4", "240", 3, 3 }, { "2/4", "96", 2, 2 }, { "4/4", "40", 4, 1 }
  };
  for (guint i = 0; i < G_N_ELEMENTS(cases); ++i) {
    Heard h = start("48-8x6");
    guint n = 0;
    RcTicks at = 0;
    assert_true(rc_listening_set_meter(h.listening, cases[i].meter, NULL));
    assert_true(rc_listening_set_tempo(h.listening, cases[i].tempo, NULL));
    assert_false(rc_listening_add_chord(h.listening, "Xq", RC_NAMES_ENGLISH));
    assert_true(rc_listening_add_chord(h.listening, "Bm", RC_NAMES_ENGLISH));
    const RcHeard *heard = rc_listening_heard(h.listening, &n);
    assert_int_equal(n, 4);
    for (guint j = 0; j < n; ++j) { // with a beat between
      const RcTicks length = (RcTicks)cases[i].bar * cases[i].bars * RC_QUARTER;
      assert_int_equal(heard[j].kind, j % 2 ? RC_HEARD_STAND_IN : RC_HEARD_WANTED);
      assert_true(heard[j].start == at && heard[j].length == length);
      assert_string_equal(heard[j].text, "Bm");
      assert_string_equal(heard[j].layout->name, j % 2 ? "48-8x6" : "120");
      assert_int_equal(heard[j].answer.verdict, j % 2 ? RC_RICHER : RC_NATIVE);
      at += length + RC_QUARTER;
    }
    assert_true(rc_listening_score(h.listening)->length == at - RC_QUARTER);
    clear(&h);
  }
}

// Whatever tempo was given before, a meter has its usual one.
static void
a_meter_has_its_usual_tempo(void **state)
{
  (void)state;
  static const char *const meters[] = { "4/4", "6/8", "3/4", "2/2" };
  for (guint i = 0; i < G_N_ELEMENTS(meters); ++i) {
    RcMeter meter;
    Heard h = start("48-8x6");
    assert_true(rc_meter_parse(meters[i], &meter));
    assert_true(rc_listening_set_tempo(h.listening, "37", NULL));
    assert_true(rc_listening_set_meter(h.listening, meters[i], NULL));
    assert_true(rc_listening_add_chord(h.listening, "Bm", RC_NAMES_ENGLISH));
    const RcScoreTempo *tempo = &g_array_index(rc_listening_score(h.listening)->tempi, RcScoreTempo, 0);
    assert_true(tempo->quarters == rc_tempo_assume(NULL, meter).quarters);
    assert_true(tempo->meter.beats == meter.beats && tempo->meter.unit == meter.unit);
    clear(&h);
  }
}

// An 8 has nothing for F sharp minor: its silence is no stand-in.
static void
a_chord_without_a_grip_is_heard_as_wanted_alone(void **state)
{
  (void)state;
  Heard h = start("8");
  guint n = 0;
  assert_true(rc_listening_add_chord(h.listening, "F#m", RC_NAMES_ENGLISH));
  const RcHeard *heard = rc_listening_heard(h.listening, &n);
  assert_int_equal(n, 2);
  assert_int_equal(heard[0].kind, RC_HEARD_WANTED);
  assert_int_equal(heard[1].kind, RC_HEARD_WANTED);
  clear(&h);
}

static void
meters_and_tempi_of_chords_are_read(void **state)
{
  (void)state;
  Heard h = start("8");
  GError *error = NULL;
  assert_false(rc_listening_set_meter(h.listening, "3", &error));
  assert_string_equal(error->message, "expected a meter such as 3/4 or 6/8");
  g_clear_error(&error);
  assert_false(rc_listening_set_tempo(h.listening, "fast", &error));
  assert_string_equal(error->message,
                      "expected beats a minute, such as 96, or a note value and a number, such as 1/4=96");
  g_clear_error(&error);
  clear(&h);
}

// A hand that presses one button has no B minor on a 48-8x6; what is wanted is heard with bass and chord all the same.
static void
the_real_chord_is_heard_whatever_the_hand(void **state)
{
  (void)state;
  RcSettings settings = rc_settings();
  assert_true(rc_settings_set(&settings, "press", "1", NULL));
  RcBoards *boards = rc_boards_find(&(RcBoardName){ "48-8x6", NULL }, 1, &settings, NULL);
  RcListening *listening = rc_listening_new(boards, 0);
  guint n = 0;
  assert_true(rc_listening_add_chord(listening, "Bm", RC_NAMES_ENGLISH));
  const RcHeard *heard = rc_listening_heard(listening, &n);
  assert_true(n >= 1);
  assert_int_equal(heard[0].kind, RC_HEARD_WANTED);
  assert_int_equal(heard[0].answer.verdict, RC_NATIVE);
  assert_int_equal(rc_grip_count(&heard[0].answer.grip), 2);
  rc_listening_free(listening);
  rc_boards_free(boards);
}

// A G/C box has D on the pull alone and E on the push alone, so that each chord of the turn is a stroke of its own.
static void
strokes_are_told_where_the_bellows_turn(void **state)
{
  (void)state;
  static const char *const expected[] = { "D", "E" };
  Heard h = start("push-pull-8-gc");
  guint n = 0;
  guint strokes = 0;
  assert_true(rc_listening_add_tune(h.listening, &(RcHearing){ .part = "Turn" }, h.tune, NULL));
  const RcHeard *heard = rc_listening_heard(h.listening, &n);
  for (guint i = 0; i < n; ++i) {
    if (heard[i].kind == RC_HEARD_STROKE) {
      assert_in_range(strokes, 0, G_N_ELEMENTS(expected) - 1);
      assert_string_equal(heard[i].text, expected[strokes]);
      assert_int_equal(heard[i].bellows, strokes ? RC_BELLOWS_PUSH : RC_BELLOWS_PULL);
      assert_true(heard[i].start == strokes * 3 * RC_QUARTER && heard[i].length == 3 * RC_QUARTER);
      ++strokes;
    }
  }
  assert_int_equal(strokes, G_N_ELEMENTS(expected));
  clear(&h);
}

// On the same box: D and D7's D on the pull are one stroke; N.C. between two chords of one direction turns nothing.
static void
a_stroke_lasts_until_the_bellows_turn(void **state)
{
  (void)state;
  Heard h = start_with("push-pull-8-gc", "title: Weir\nmeter: 4/4\nkey: G\nparts: {A: 'E | D | N.C. | D | E'}\n");
  static const struct {
    const char *chords;
    guint start, length; // bars
  } expected[] = { { "E", 0, 1 }, { "D D", 1, 3 }, { "E", 4, 1 } };
  guint n = 0;
  assert_true(rc_listening_add_tune(h.listening, &(RcHearing){ .part = NULL }, h.tune, NULL));
  const RcHeard *heard = rc_listening_heard(h.listening, &n);
  assert_int_equal(n, 1 + G_N_ELEMENTS(expected));
  for (guint i = 0; i < G_N_ELEMENTS(expected); ++i) {
    assert_int_equal(heard[1 + i].kind, RC_HEARD_STROKE);
    assert_string_equal(heard[1 + i].text, expected[i].chords);
    assert_true(heard[1 + i].start == expected[i].start * 4 * RC_QUARTER);
    assert_true(heard[1 + i].length == expected[i].length * 4 * RC_QUARTER);
  }
  clear(&h);
}

static int
make_folder(void **state)
{
  (void)state;
  return make_scratch("tune");
}

#define IN_FOLDER(test) cmocka_unit_test_setup_teardown(test, make_folder, remove_scratch)

int
main(void)
{
  const struct CMUnitTest tests[] = {
    IN_FOLDER(a_part_or_some_bars_are_heard),
    IN_FOLDER(what_is_not_there_is_said),
    IN_FOLDER(the_real_chord_is_heard_whatever_the_hand),
    IN_FOLDER(a_pickup_is_heard_with_the_first_bar),
    IN_FOLDER(tunes_are_heard_one_after_another),
    IN_FOLDER(no_more_is_heard_after_half_an_hour),
    IN_FOLDER(a_chord_and_its_stand_in_are_heard_twice),
    IN_FOLDER(a_meter_has_its_usual_tempo),
    IN_FOLDER(a_chord_without_a_grip_is_heard_as_wanted_alone),
    IN_FOLDER(meters_and_tempi_of_chords_are_read),
    IN_FOLDER(strokes_are_told_where_the_bellows_turn),
    IN_FOLDER(a_stroke_lasts_until_the_bellows_turn),
  };
  return cmocka_run_group_tests(tests, NULL, NULL);
}
