// Copyright 2026 the rowcall developers
// SPDX-License-Identifier: MIT

// Lists of tunes, moves to other keys, and orders of learning. Tunes are made up; what is said of them was worked out
// by hand.

#undef NDEBUG

#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>

#include <cmocka.h>

#include "rowcall/report.h"

#include "scratch.h"

#include <string.h>

static int
make_folder(void **state)
{
  (void)state;
  return make_scratch("tunes.yaml");
}

#define IN_FOLDER(test) cmocka_unit_test_setup_teardown(test, make_folder, remove_scratch)

typedef struct {
  RcBoards *boards;
  RcRolled *rolled;
} Asked;

static Asked
ask(const char *on, const char *against, const char *const *paths, const char *accept)
{
  const RcBoardName names[] = { { on, NULL }, { against, NULL } };
  RcSettings settings = rc_settings();
  settings.corpus.melody_notes = TRUE;
  assert_true(rc_settings_set(&settings, "accept", accept, NULL));
  Asked asked = { .boards = rc_boards_find(names, against ? 2 : 1, &settings, NULL) };
  const RcRepertoire repertoire = { paths, NULL, 0, 0 };
  assert_non_null(asked.boards);
  asked.rolled = rc_repertoire_roll(&repertoire, asked.boards, TRUE, NULL);
  assert_non_null(asked.rolled);
  return asked;
}

static Asked
ask_text(const char *on, const char *text)
{
  const char *const paths[] = { path, NULL };
  assert_true(g_file_set_contents(path, text, -1, NULL));
  return ask(on, NULL, paths, "D");
}

static void
clear(Asked *asked)
{
  rc_rolled_free(asked->rolled);
  rc_boards_free(asked->boards);
}

// ------------------------------------------------------------------------------------------------------------- list

// Adds up the rows of a list and holds them against the roll.
static void
check_sums(const RcTuneList *list, guint nth)
{
  RcCounts sums = { .tunes = 0 };
  const RcCounts counts = rc_roll_counts(list->rolled->roll, nth);
  const RcVerdict accept = rc_roll_accept(list->rolled->roll);
  RcTicks carried = 0;
  for (guint i = 0; i < list->n; ++i) {
    const RcTuneOn *on = &list->tunes[i].on[nth];
    ++sums.tunes;
    sums.playable += on->fares == RC_FARES_PLAYS;
    sums.one_short += on->fares == RC_FARES_ONE_SHORT;
    sums.native += on->counts.native;
    carried += rc_counts_carried(&on->counts, accept);
    assert_int_equal(on->fares == RC_FARES_PLAYS, on->n_lacks == 0);
    assert_true(on->fares != RC_FARES_ONE_SHORT || on->n_lacks == 1);
    RcTicks lacking = 0;
    for (guint j = 0; j < on->n_lacks; ++j) {
      lacking += on->lacks[j].ticks;
      assert_true(on->lacks[j].times > 0 && on->lacks[j].verdict > accept);
    }
    assert_int_equal(lacking + rc_counts_carried(&on->counts, accept), rc_counts_ticks(&on->counts));
  }
  assert_int_equal(sums.tunes, counts.tunes);
  assert_int_equal(sums.playable, counts.playable);
  assert_int_equal(sums.one_short, counts.one_short);
  assert_int_equal(sums.native, counts.native);
  assert_int_equal(carried, rc_counts_carried(&counts, accept));
}

static void
rows_add_up_to_what_compare_says_on_every_size(void **state)
{
  (void)state;
  static const char examples[] = "/usr/share/doc/abcm2ps"; // of Debian's package, where it is installed
  const gboolean there = g_file_test(examples, G_FILE_TEST_IS_DIR);
  const char *const paths[] = { g_getenv("ROWCALL_TEST_CORPUS"), there ? examples : NULL, NULL };
  static const char *const grades[] = { "D", "A" };
  for (const char *const *name = rc_layout_usual_names(); *name; ++name) {
    for (guint i = 0; i < G_N_ELEMENTS(grades); ++i) {
      Asked asked = ask(*name, "60", paths, grades[i]);
      RcTuneList *list = rc_tune_list_new(asked.rolled, asked.boards, RC_LIST_LACK);
      check_sums(list, 0);
      check_sums(list, 1);
      rc_tune_list_free(list);
      clear(&asked);
    }
  }
}

// On an 8 (C, G and D among its basses and chords, no minor chords) F#m has no grip. The tune repeats A.
static void
lacks_name_chord_and_bar(void **state)
{
  (void)state;
  Asked asked = ask_text("8", "title: Weir\nkey: G\nmeter: 4/4\nparts:\n  A: \"G | C F#m | G | F#m\"\norder: A A\n---\n"
                              "title: Sluice\nmeter: 4/4\nparts:\n  A: \"G | Xq | Xq\"\n---\n"
                              "title: Silence\nparts:\n  A: \"N.C.\"\n---\n"
                              "title: Lock\nparts:\n  A: \"G | C\"\n");
  RcTuneList *list = rc_tune_list_new(asked.rolled, asked.boards, RC_LIST_LACK);
  assert_int_equal(list->n, 3);
  assert_int_equal(list->n_chordless, 1);
  assert_string_equal(list->chordless[0]->title, "Silence");
  static const char *const order[] = { "Sluice", "Weir", "Lock" };
  static const RcFares fares[] = { RC_FARES_UNREAD, RC_FARES_ONE_SHORT, RC_FARES_PLAYS };
  for (guint i = 0; i < 3; ++i) {
    assert_string_equal(list->tunes[i].tune->title, order[i]);
    assert_int_equal(list->tunes[i].on[0].fares, fares[i]);
  }
  const RcTuneLack *weir = &list->tunes[1].on[0].lacks[0];
  assert_int_equal(weir->bar, 1);
  assert_int_equal(weir->times, 4);
  assert_int_equal(weir->ticks, 12 * RC_QUARTER);
  const RcTuneLack *sluice = &list->tunes[0].on[0].lacks[0];
  assert_int_equal(sluice->verdict, RC_UNREAD);
  assert_int_equal(sluice->bar, 1);
  assert_int_equal(list->tunes[2].smallest, 0);
  rc_tune_list_free(list);
  clear(&asked);
}

// Each chord that lacks is named with its own bar and count, not with the first that lacks.
static void
each_lack_has_its_own_bar(void **state)
{
  (void)state;
  Asked asked = ask_text("8", "title: Weir\nkey: G\nmeter: 4/4\nparts:\n  A: \"G | F#m | C#m | C#m\"\n");
  RcTuneList *list = rc_tune_list_new(asked.rolled, asked.boards, RC_LIST_LACK);
  static const char *const chords[] = { "C#m", "F#m" }; // the longer first
  static const guint bars[] = { 2, 1 };
  assert_int_equal(list->tunes[0].on[0].n_lacks, 2);
  for (guint i = 0; i < 2; ++i) {
    const RcTuneLack *lack = &list->tunes[0].on[0].lacks[i];
    assert_string_equal(rc_tune_symbol(list->tunes[0].tune, lack->symbol)->text, chords[i]);
    assert_int_equal(lack->bar, bars[i]);
  }
  rc_tune_list_free(list);
  clear(&asked);
}

// An 8 plays G and C, and has none of the minor chords here. It carries half of Reed and ford, 3 bars of 5 of Spout, 5
// of 8 of Mill and half of Brook, which is one short.
static void
the_worst_come_first_by_their_time(void **state)
{
  (void)state;
  static const char tunes[] = "title: Spout\nparts:\n  A: \"G | F#m | C#m | G | G\"\n---\n"
                              "title: Reed\nparts:\n  A: \"F#m | C#m | G | G\"\n---\n"
                              "title: ford\nparts:\n  A: \"G | G | F#m | C#m\"\n---\n"
                              "title: Mill\nparts:\n  A: \"F#m | C#m | G#m | G | G | G | G | G\"\n---\n"
                              "title: Brook\nparts:\n  A: \"G | F#m\"\n---\n"
                              "title: Pond\nparts:\n  A: \"G | C\"\n";
  static const struct {
    RcListOrder order;
    const char *titles[6];
  } cases[] = {
    { RC_LIST_WORST, { "ford", "Reed", "Spout", "Mill", "Brook", "Pond" } },
    { RC_LIST_LACK, { "Mill", "Reed", "ford", "Spout", "Brook", "Pond" } },
  };
  for (guint i = 0; i < G_N_ELEMENTS(cases); ++i) {
    Asked asked = ask_text("8", tunes);
    RcTuneList *list = rc_tune_list_new(asked.rolled, asked.boards, cases[i].order);
    assert_int_equal(list->n, 6);
    for (guint j = 0; j < list->n; ++j) {
      assert_string_equal(list->tunes[j].tune->title, cases[i].titles[j]);
    }
    rc_tune_list_free(list);
    clear(&asked);
  }
}

// ------------------------------------------------------------------------------------------------------------- keys

// The 48-8x6 has the columns Eb to E: E7 and D are there, B7 is not.
static void
a_customary_key_comes_before_a_near_one(void **state)
{
  (void)state;
  Asked asked = ask_text("48-8x6", "title: Peat\nkey: A\nparts:\n  A: \"A | D | E7 | B7 | A\"\n");
  RcKeys *keys = rc_keys_judge(asked.rolled, NULL);
  const RcTuneMoves *moves = &keys->tunes[0].moves;
  // Native with the columns from D to B a fifth flatter or more: in Bb (up 1), G (down 2), C, F and D. All but Bb are
  // customary where one tune does not tell.
  assert_int_equal(moves->native - RC_AS_WRITTEN, 1);
  assert_int_equal(moves->best - RC_AS_WRITTEN, -2);
  assert_int_equal(keys->custom.source, RC_CUSTOM_FEW);
  rc_keys_free(keys);
  RcCustom custom;
  assert_true(rc_custom_read(&custom, "Bb, Em", RC_NAMES_ENGLISH, NULL));
  keys = rc_keys_judge(asked.rolled, &custom);
  assert_int_equal(keys->tunes[0].moves.best - RC_AS_WRITTEN, 1);
  assert_int_equal(keys->n_to_move, 1);
  assert_int_equal(keys->outside, 0);
  rc_keys_free(keys);
  assert_true(rc_custom_read(&custom, "B", RC_NAMES_ENGLISH, NULL)); // where it does not play
  keys = rc_keys_judge(asked.rolled, &custom);
  assert_int_equal(keys->tunes[0].moves.customary, RC_NO_MOVE);
  assert_int_equal(keys->outside, 1);
  rc_keys_free(keys);
  clear(&asked);
}

// A 48-8x6 has no button for Bm, but a stand-in: as written the tune plays; a tone lower, with Am, it is native.
static void
a_tune_that_plays_is_native_elsewhere(void **state)
{
  (void)state;
  Asked asked = ask_text("48-8x6", "title: Teal\nkey: G\nparts: {A: G | Bm}\n");
  RcKeys *keys = rc_keys_judge(asked.rolled, NULL);
  const RcTuneMoves *moves = &keys->tunes[0].moves;
  assert_int_equal(moves->playable, RC_AS_WRITTEN);
  assert_int_equal(moves->native - RC_AS_WRITTEN, -2);
  rc_keys_free(keys);
  clear(&asked);
}

// Of four tunes on a 48-8x6 one has a button for each chord, two play, one with Bm as a stand-in, one does not, and one
// cannot be read.
static void
keys_count_the_tunes_as_written(void **state)
{
  (void)state;
  Asked asked = ask_text("48-8x6", "title: Sluice\nkey: G\nparts: {A: G | D7}\n---\n"
                                   "title: Teal\nkey: G\nparts: {A: G | Bm}\n---\n"
                                   "title: Peat\nkey: A\nparts: {A: A | B7}\n---\n"
                                   "title: Mill\nkey: G\nparts: {A: G | Xq}\n");
  RcKeys *keys = rc_keys_judge(asked.rolled, NULL);
  assert_int_equal(keys->native, 1);
  assert_int_equal(keys->playable, 2);
  assert_int_equal(keys->easier, 1);
  assert_int_equal(keys->n_to_move, 1);
  assert_int_equal(keys->nowhere, 1);
  assert_int_equal(keys->unread, 1);
  rc_keys_free(keys);
  clear(&asked);
}

static void
custom_is_what_nine_tunes_in_ten_have(void **state)
{
  (void)state;
  GString *text = g_string_new(NULL);
  static const char *const written[] = { "G", "Em", "A dorian", "D", "D", "Bm", "A", "A", "C", "Eb" };
  for (guint i = 0; i < G_N_ELEMENTS(written); ++i) {
    g_string_append_printf(text, "%stitle: T%u\nkey: %s\nparts:\n  A: \"C\"\n", i ? "---\n" : "", i, written[i]);
  }
  Asked asked = ask_text("8", text->str);
  const RcCustom custom = rc_custom_find(asked.rolled->tunes, asked.rolled->n_tunes);
  assert_int_equal(custom.source, RC_CUSTOM_TUNES);
  assert_int_equal(custom.keyed, 10);
  assert_int_equal(custom.tunes, 9);
  static const guint8 expected[] = { 7, 2, 9, 0 }; // G and D have three each, A two, C comes before Eb
  assert_int_equal(custom.n, G_N_ELEMENTS(expected));
  assert_memory_equal(custom.order, expected, sizeof expected);
  RcKey key;
  assert_true(rc_key_parse("E phrygian", RC_NAMES_ENGLISH, &key, NULL)); // the notes of C
  assert_true(rc_custom_has(&custom, key));
  assert_false(rc_custom_has(&custom, (RcKey){ RC_MODE_NONE, 0 }));
  clear(&asked);
  g_string_free(text, TRUE);
}

static void
bad_keys_are_refused(void **state)
{
  (void)state;
  static const char *const bad[] = { "", "G,", "G,X", "G D", "," };
  for (guint i = 0; i < G_N_ELEMENTS(bad); ++i) {
    RcCustom custom;
    GError *error = NULL;
    assert_false(rc_custom_read(&custom, bad[i], RC_NAMES_ENGLISH, &error));
    assert_string_equal(error->message, "expected keys separated by commas, such as G,D,Em");
    g_error_free(error);
  }
}

static void
nothing_is_freed_without_harm(void **state)
{
  (void)state;
  rc_tune_list_free(NULL);
  rc_keys_free(NULL);
}

int
main(void)
{
  const struct CMUnitTest tests[] = {
    cmocka_unit_test(rows_add_up_to_what_compare_says_on_every_size),
    IN_FOLDER(lacks_name_chord_and_bar),
    IN_FOLDER(each_lack_has_its_own_bar),
    IN_FOLDER(the_worst_come_first_by_their_time),
    IN_FOLDER(a_customary_key_comes_before_a_near_one),
    IN_FOLDER(a_tune_that_plays_is_native_elsewhere),
    IN_FOLDER(keys_count_the_tunes_as_written),
    IN_FOLDER(custom_is_what_nine_tunes_in_ten_have),
    cmocka_unit_test(bad_keys_are_refused),
    cmocka_unit_test(nothing_is_freed_without_harm),
  };
  return cmocka_run_group_tests(tests, NULL, NULL);
}
