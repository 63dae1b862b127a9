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
start(const char *on)
{
  const char *const paths[] = { path, NULL };
  assert_true(g_file_set_contents(path, tune_text, -1, NULL));
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
}

static void
what_is_not_there_is_said(void **state)
{
  (void)state;
  static const struct {
    RcHearing hearing;
    const char *message;
  } cases[] = {
    { { .part = "B" }, "tune.yaml:1: Eel Trap has no part B" },
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
      ++strokes;
    }
  }
  assert_int_equal(strokes, G_N_ELEMENTS(expected));
  clear(&h);
}

static int
make_folder(void **state)
{
  (void)state;
  return make_scratch("tune.yaml");
}

#define IN_FOLDER(test) cmocka_unit_test_setup_teardown(test, make_folder, remove_scratch)

int
main(void)
{
  const struct CMUnitTest tests[] = {
    IN_FOLDER(a_part_or_some_bars_are_heard),
    IN_FOLDER(what_is_not_there_is_said),
    IN_FOLDER(the_real_chord_is_heard_whatever_the_hand),
    IN_FOLDER(strokes_are_told_where_the_bellows_turn),
  };
  return cmocka_run_group_tests(tests, NULL, NULL);
}
