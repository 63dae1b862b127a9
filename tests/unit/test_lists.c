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
  return make_scratch("tunes");
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

static void
assert_same_counts(const RcCounts *one, const RcCounts *other)
{
  assert_memory_equal(one->chords, other->chords, sizeof one->chords);
  assert_memory_equal(one->ticks, other->ticks, sizeof one->ticks);
  assert_int_equal(one->tunes, other->tunes);
  assert_int_equal(one->native, other->native);
  assert_int_equal(one->playable, other->playable);
  assert_int_equal(one->playable_alone, other->playable_alone);
  assert_int_equal(one->one_short, other->one_short);
}

// What the roll kept of each tune says how it fares, as the tune itself does.
static void
check_kept(const Asked *asked)
{
  const RcBoards *boards = asked->boards;
  RcCounts *counts = g_new(RcCounts, boards->n);
  RcFares *fares = g_new(RcFares, boards->n);
  for (guint i = 0; i < asked->rolled->n_tunes; ++i) {
    rc_panel_counts(boards->panel, &boards->settings.route.roll, asked->rolled->tunes[i], counts);
    rc_roll_tune_fares(asked->rolled->roll, i, fares);
    for (guint board = 0; board < boards->n; ++board) {
      const RcCounts kept = rc_roll_tune_counts(asked->rolled->roll, i, board);
      assert_same_counts(&kept, &counts[board]);
      assert_int_equal(fares[board], rc_counts_fares(&counts[board], rc_roll_accept(asked->rolled->roll)));
    }
  }
  g_free(fares);
  g_free(counts);
}

// And rolled again on other keyboards, the tunes count as they would had they been read for these.
static void
check_again(const Asked *asked, const char *const *paths)
{
  const RcRepertoire repertoire = { paths, NULL, 0, 0 };
  RcBoards *boards = rc_boards_find_usual(NULL, &asked->boards->settings, NULL);
  RcRolled *again = rc_rolled_again(asked->rolled, boards);
  RcRolled *read = rc_repertoire_roll(&repertoire, boards, FALSE, NULL);
  const RcTiming timing = rc_roll_timing(again->roll);
  const RcTiming expected = rc_roll_timing(read->roll);
  assert_memory_equal(&timing, &expected, sizeof timing);
  for (guint i = 0; i < boards->n; ++i) {
    const RcCounts one = rc_roll_counts(again->roll, i);
    const RcCounts other = rc_roll_counts(read->roll, i);
    assert_same_counts(&one, &other);
    assert_int_equal(rc_roll_gain(again->roll, i).explained, rc_roll_gain(read->roll, i).explained);
  }
  rc_rolled_free(read);
  rc_rolled_free(again);
  rc_boards_free(boards);
}

static void
tunes_that_are_kept_need_not_be_asked_again(void **state)
{
  (void)state;
  const char *const corpus[] = { g_getenv("ROWCALL_TEST_CORPUS"), NULL };
  Asked asked = ask("12", "48-8x6", corpus, "C");
  check_kept(&asked);
  check_again(&asked, corpus);
  clear(&asked);
  const char *const few[] = { path, NULL };
  asked = ask_text("8", "title: Weir\nkey: G\nmeter: 4/4\nparts:\n  A: \"G | C F#m | Xq | Gb\"\norder: A A\n---\n"
                        "title: Silence\nparts:\n  A: \"N.C.\"\n---\n"
                        "title: Sluice\nkey: Db\nmeter: 4/4\nparts:\n  A: \"Gbm . Gb F# | F#\"\n---\n"
                        "title: Mist\nmeter: 4/4\nparts:\n  A: \"Xq\"\n");
  check_kept(&asked);
  check_again(&asked, few);
  clear(&asked);
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

// D minor on an 8 in D, where it lasts, is F major over D, borrowed; for half a second the bare D has to do. Where no
// more than C is accepted it lacks both ways, and is called what it is at worst, though it is bare for longer.
static void
a_lack_is_told_at_its_worst(void **state)
{
  (void)state;
  const char *const paths[] = { path, NULL };
  assert_true(g_file_set_contents(path,
                                  "title: Weir\nkey: D\nmeter: 4/4\ntempo: 60\n"
                                  "parts: {A: D | Dm . . D | D Dm D Dm D Dm D Dm | D Dm D Dm D Dm D Dm}\n",
                                  -1, NULL));
  Asked asked = ask("8", NULL, paths, "C");
  RcTuneList *list = rc_tune_list_new(asked.rolled, asked.boards, RC_LIST_LACK);
  const RcTuneOn *on = &list->tunes[0].on[0];
  assert_int_equal(on->n_lacks, 1);
  assert_int_equal(on->lacks[0].times, 9);
  assert_true(on->lacks[0].ticks == 7 * RC_QUARTER);
  assert_int_equal(on->lacks[0].verdict, RC_BORROWED);
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

// ------------------------------------------------------------------------------------- the lacks of several tunes

typedef struct {
  const char *chord;
  const char *grip;
  RcVerdict grade;
  RcLackWhere where;
} Lack;

static void
assert_lacks(const char *on, const char *text, const Lack *expected, guint n_expected)
{
  Asked asked = ask_text(on, text);
  guint n = 0;
  RcLack *lacks = rc_lacks_find(asked.rolled->roll, 0, &n);
  assert_int_equal(n, n_expected);
  for (guint i = 0; i < n; ++i) {
    char *chord = rc_chord_name(&lacks[i].chord, RC_SIGNS_ASCII);
    char *grip = rc_grip_describe(asked.boards->layouts[0], &lacks[i].answer.grip, RC_SIGNS_ASCII);
    assert_string_equal(chord, expected[i].chord);
    assert_string_equal(grip, expected[i].grip);
    assert_int_equal(lacks[i].answer.verdict, expected[i].grade);
    assert_int_equal(lacks[i].where, expected[i].where);
    g_free(grip);
    g_free(chord);
  }
  g_free(lacks);
  clear(&asked);
}

#define TUNE(title, key, bars) "title: " title "\nkey: " key "\nmeter: 4/4\ntempo: 60\nparts: {A: " bars "}\n"
#define ASSERT_LACKS(on, text, expected) assert_lacks(on, text, expected, G_N_ELEMENTS(expected))

// An 8 has the basses and major chords of F, C, G and D. D with a fourth for its third, D G A, is G major over D: the B
// is the sixth above, which D major has; F major has none, but the C and E of C major; B flat major has neither B nor
// E, so that the basses G and D have to do. A fifth that is missing is excused beside the fourth.
static void
a_lack_says_in_which_keys_its_grip_holds(void **state)
{
  (void)state;
  static const Lack two_keys[] = { { "Dsus4", "D bass + G major", RC_RICHER, RC_LACK_KEY },
                                   { "Dsus4", "D bass + C major", RC_RICHER, RC_LACK_OTHER_KEYS } };
  static const Lack three_keys[] = { { "Dsus4", "D bass + C major", RC_RICHER, RC_LACK_KEY },
                                     { "Dsus4", "G bass + D bass", RC_BORROWED, RC_LACK_OTHER_KEYS },
                                     { "Dsus4", "D bass + G major", RC_RICHER, RC_LACK_KEY } };
  ASSERT_LACKS("8", TUNE("Weir", "D", "D | Dsus4 | Dsus4 | G") "---\n" TUNE("Lock", "F", "F | Dsus4 C | F"), two_keys);
  ASSERT_LACKS(
    "8",
    TUNE("Weir", "D", "D | Dsus4 | G") "---\n" TUNE("Lock", "F", "F | Dsus4 | C | Dsus4 | C | Dsus4 | F") "---\n" TUNE(
      "Mill", "Bb", "F | Dsus4 | C | Dsus4 | F"),
    three_keys);
}

// D minor on an 8 is F major over D, whose C the key of D has not, or, where it lasts less than a second (here half a
// second), the D bass alone.
static void
a_lack_says_how_long_its_chord_may_last(void **state)
{
  (void)state;
  static const Lack expected[] = { { "Dm", "D bass + F major", RC_BORROWED, RC_LACK_LONGER },
                                   { "Dm", "D bass", RC_BARE, RC_LACK_SHORT } };
  ASSERT_LACKS("8", TUNE("Weir", "D", "D | Dm | D | D D D D D D Dm D"), expected);
}

// A 24 has the bass of A too: G, D and A are all that is asked for, in any key. G major over D is what else there is.
static void
a_grip_with_the_same_notes_holds_anywhere(void **state)
{
  (void)state;
  static const Lack expected[] = { { "Dsus4", "G bass + D bass + A bass", RC_SAME, RC_LACK_ANYWHERE },
                                   { "Dsus4", "D bass + G major", RC_RICHER, RC_LACK_ELSEWHERE } };
  ASSERT_LACKS("24", TUNE("Weir", "D", "D | Dsus4 | G") "---\n" TUNE("Lock", "Bb", "F | Dsus4 | C | Dsus4 | F"),
               expected);
}

// F sharp minor as A major over F sharp is richer in D, which has the E, and borrowed in D flat, which has not. It is
// called what it is for longer; for as long, the better; a chord that is also spelled G flat minor is so named.
static void
a_grip_is_called_the_grade_it_has_for_longest(void **state)
{
  (void)state;
  static const struct {
    const char *text;
    const char *chord, *also;
    RcVerdict grade;
  } cases[] = {
    { TUNE("Hedge", "D", "F#m | D") "---\n" TUNE("Ditch", "Db", "Gbm | Ab7 | Gbm"), "F#m", "Gbm", RC_BORROWED },
    { TUNE("Hedge", "D", "F#m | D") "---\n" TUNE("Ditch", "Db", "Gbm | Ab7"), "F#m", "Gbm", RC_RICHER },
    { TUNE("Ditch", "Db", "Gbm | Ab7") "---\n" TUNE("Hedge", "D", "F#m | D"), "Gbm", "F#m", RC_RICHER },
    { TUNE("Hedge", "D", "F#m | D | F#m"), "F#m", "F#m", RC_RICHER },
    // Chords over words have no lengths: there the more times count.
    { "{title: Hedge}\n{key: D}\n[F#m]Hedge and [D]ditch\n{new_song}\n{title: Ditch}\n{key: Db}\n"
      "[Gbm]Ditch and [Ab7]hedge and [Gbm]stile\n",
      "F#m", "Gbm", RC_BORROWED },
    { "{title: Hedge}\n{key: D}\n[F#m]Hedge and [D]ditch\n{new_song}\n{title: Ditch}\n{key: Db}\n"
      "[Gbm]Ditch and [Ab7]hedge\n",
      "F#m", "Gbm", RC_RICHER },
  };
  for (guint i = 0; i < G_N_ELEMENTS(cases); ++i) {
    Asked asked = ask_text("48-8x6", cases[i].text);
    guint n = 0;
    guint at = 0;
    RcLack *lacks = rc_lacks_find(asked.rolled->roll, 0, &n);
    while (at < n && rc_note_pc(lacks[at].chord.root) != 6) {
      ++at;
    }
    assert_in_range(at, 0, n - 1);
    char *chord = rc_chord_name(&lacks[at].chord, RC_SIGNS_ASCII);
    char *also = rc_chord_name(&lacks[at].also, RC_SIGNS_ASCII);
    assert_string_equal(chord, cases[i].chord);
    assert_string_equal(also, cases[i].also);
    assert_int_equal(lacks[at].answer.verdict, cases[i].grade);
    g_free(also);
    g_free(chord);
    g_free(lacks);
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

// A 48-8x6 has nothing for B7, and Bm is a stand-in there: a semitone down, Bb7 and Am are both native; as far up, with
// C7 and Bm, the tune plays, too.
static void
of_two_moves_as_small_the_one_with_more_native_is_nearest(void **state)
{
  (void)state;
  Asked asked = ask_text("48-8x6", "title: Teal\nkey: E\nparts: {A: B7 | Bbm}\n");
  RcKeys *keys = rc_keys_judge(asked.rolled, NULL);
  const RcTuneMoves *moves = &keys->tunes[0].moves;
  assert_int_equal(moves->counts[RC_AS_WRITTEN].playable, 0);
  assert_int_equal(moves->counts[RC_AS_WRITTEN + 1].playable, 1);
  assert_int_equal(moves->counts[RC_AS_WRITTEN + 1].native, 0);
  assert_int_equal(moves->playable - RC_AS_WRITTEN, -1);
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

// Middle C is 60: the melody of Teal goes from the D above it up to the G of the next octave, wherever these come.
static void
keys_say_how_far_a_melody_goes(void **state)
{
  (void)state;
  static const char head[] = "X:1\nT:Teal\nM:4/4\nL:1/4\nK:G\n";
  static const char *const melodies[] = { "\"G\"GBdg|\"D\"DFAd|]\n", "\"D\"DFAd|\"G\"gBdg|]\n" };
  for (guint i = 0; i < G_N_ELEMENTS(melodies); ++i) {
    char *text = g_strconcat(head, melodies[i], NULL);
    Asked asked = ask_text("24", text);
    RcKeys *keys = rc_keys_judge(asked.rolled, NULL);
    assert_int_equal(keys->n, 1);
    assert_int_equal(keys->tunes[0].lowest, 62);
    assert_int_equal(keys->tunes[0].highest, 79);
    rc_keys_free(keys);
    clear(&asked);
    g_free(text);
  }
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
    IN_FOLDER(tunes_that_are_kept_need_not_be_asked_again),
    IN_FOLDER(lacks_name_chord_and_bar),
    IN_FOLDER(each_lack_has_its_own_bar),
    IN_FOLDER(a_lack_is_told_at_its_worst),
    IN_FOLDER(the_worst_come_first_by_their_time),
    IN_FOLDER(a_lack_says_in_which_keys_its_grip_holds),
    IN_FOLDER(a_lack_says_how_long_its_chord_may_last),
    IN_FOLDER(a_grip_with_the_same_notes_holds_anywhere),
    IN_FOLDER(a_grip_is_called_the_grade_it_has_for_longest),
    IN_FOLDER(a_customary_key_comes_before_a_near_one),
    IN_FOLDER(a_tune_that_plays_is_native_elsewhere),
    IN_FOLDER(of_two_moves_as_small_the_one_with_more_native_is_nearest),
    IN_FOLDER(keys_count_the_tunes_as_written),
    IN_FOLDER(keys_say_how_far_a_melody_goes),
    IN_FOLDER(custom_is_what_nine_tunes_in_ten_have),
    cmocka_unit_test(bad_keys_are_refused),
    cmocka_unit_test(nothing_is_freed_without_harm),
  };
  return cmocka_run_group_tests(tests, NULL, NULL);
}
