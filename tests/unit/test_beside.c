// Copyright 2026 the rowcall developers
// SPDX-License-Identifier: MIT

// Books beside each other, what two repertoires share, and which grips stretch the hand. Tunes are made up; what is
// said of them was worked out by hand.

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

static RcRolled *
roll_path(const RcBoards *boards, const char *tunes)
{
  const char *const paths[] = { tunes, NULL };
  const RcRepertoire repertoire = { paths, NULL, 0, 0 };
  RcRolled *rolled = rc_repertoire_roll(&repertoire, boards, TRUE, NULL);
  assert_non_null(rolled);
  return rolled;
}

static RcRolled *
roll_text(const RcBoards *boards, const char *text)
{
  assert_true(g_file_set_contents(path, text, -1, NULL));
  return roll_path(boards, path);
}

static RcBoards *
boards_of(const char *on)
{
  const RcBoardName name = { on, NULL };
  RcBoards *boards = rc_boards_find(&name, 1, NULL, NULL);
  assert_non_null(boards);
  return boards;
}

// ------------------------------------------------------------------------------------------------------------- books

static void
books_add_up_to_what_compare_says_on_every_size(void **state)
{
  (void)state;
  for (const char *const *name = rc_layout_usual_names(); *name; ++name) {
    RcBoards *boards = boards_of(*name);
    RcRolled *rolled = roll_path(boards, g_getenv("ROWCALL_TEST_CORPUS"));
    RcBooks *books = rc_books_new(rolled);
    const RcCounts all = rc_roll_counts(rolled->roll, 0);
    RcCounts sums = { .tunes = 0 };
    RcTicks lacking = 0;
    assert_int_equal(books->n, rolled->intake.files);
    for (guint i = 0; i < books->n; ++i) {
      const RcBook *book = &books->books[i];
      sums.tunes += book->counts.tunes;
      sums.native += book->counts.native;
      sums.playable += book->counts.playable;
      sums.one_short += book->counts.one_short;
      assert_int_equal(book->n_left_out, book->counts.tunes - book->counts.playable);
      assert_int_equal(book->n_lacks == 0, book->n_left_out == 0);
      for (guint j = 0; j < book->n_lacks; ++j) {
        lacking += book->lacks[j].ticks;
      }
    }
    assert_int_equal(sums.tunes, all.tunes);
    assert_int_equal(sums.native, all.native);
    assert_int_equal(sums.playable, all.playable);
    assert_int_equal(sums.one_short, all.one_short);
    assert_int_equal(lacking + rc_counts_carried(&all, rc_roll_accept(rolled->roll)), rc_counts_ticks(&all));
    rc_books_free(books);
    rc_rolled_free(rolled);
    rc_boards_free(boards);
  }
}

// On an 8, which has no minor chords, F#m has no grip; it is played four times, since A is repeated.
static void
a_book_names_what_it_lacks(void **state)
{
  (void)state;
  RcBoards *boards = boards_of("8");
  RcRolled *rolled =
    roll_text(boards, "title: Weir\nkey: G\nmeter: 4/4\nparts:\n  A: \"G | F#m | G | F#m\"\norder: A A\n---\n"
                      "title: Silence\nparts:\n  A: \"N.C.\"\n---\n"
                      "title: Lock\nparts:\n  A: \"G | C\"\n");
  RcBooks *books = rc_books_new(rolled);
  assert_int_equal(books->n, 1);
  const RcBook *book = &books->books[0];
  assert_string_equal(book->file, path);
  assert_int_equal(book->n_tunes, 3);
  assert_int_equal(book->counts.tunes, 2);
  assert_int_equal(book->n_lacks, 1);
  assert_int_equal(book->lacks[0].times, 4);
  assert_int_equal(book->n_left_out, 1);
  assert_string_equal(book->left_out[0]->title, "Weir");
  GString *out = g_string_new(NULL);
  rc_report_books(out, RC_TEXT_TABLE, books);
  assert_non_null(strstr(out->str, "    lacks F#m x4\n    one short: Weir\n"));
  g_string_free(out, TRUE);
  rc_books_free(books);
  rc_rolled_free(rolled);
  rc_boards_free(boards);
}

// An 8 has neither F#m nor C#m: a tune with both does not play, with one it is one short.
static void
a_book_names_the_tunes_one_short_apart(void **state)
{
  (void)state;
  RcBoards *boards = boards_of("8");
  RcRolled *rolled = roll_text(boards, "title: Weir\nparts:\n  A: \"G | F#m | C#m\"\n---\n"
                                       "title: Spout\nparts:\n  A: \"G | F#m\"\n---\n"
                                       "title: Lock\nparts:\n  A: \"G | C\"\n");
  RcBooks *books = rc_books_new(rolled);
  const RcBook *book = &books->books[0];
  assert_int_equal(book->n_one_short, book->counts.one_short);
  assert_int_equal(book->n_left_out, 2);
  GString *out = g_string_new(NULL);
  rc_report_books(out, RC_TEXT_TABLE, books);
  assert_non_null(strstr(out->str, "\n    one short: Spout\n    does not play: Weir\n"));
  g_string_free(out, TRUE);
  rc_books_free(books);
  rc_rolled_free(rolled);
  rc_boards_free(boards);
}

// ------------------------------------------------------------------------------------------------------------ shared

static const char here[] = "title: The Gander at the Sluice\nkey: G\nparts:\n  A: \"G | D | Em | G\"\n---\n"
                           "title: Weir, Lock\nkey: D\nparts:\n  A: \"D | A7\"\n---\n"
                           "title: Café, A\nkey: Bm\nparts:\n  A: \"Bm | F#7\"\n";
static const char there[] = "title: gander at the sluice, The\nkey: A\nparts:\n  A: \"A | E7 | A | D\"\n---\n"
                            "title: Lock\nkey: D\nparts:\n  A: \"D | G\"\n---\n"
                            "title: Cafe!\nkey: Gb\nparts:\n  A: \"Gb\"\n---\n"
                            "title: Pond\nkey: D\nparts:\n  A: \"D\"\n";

#define TUNE(key) "title: Tune\nkey: " key "\nparts:\n  A: \"" key "\"\n---\n"

static const RcKeyOfBoth *
find_key(const RcShared *shared, const char *name)
{
  for (guint i = 0; i < shared->n_keys; ++i) {
    char *key = rc_key_name(shared->keys[i].key, RC_SIGNS_ASCII);
    const gboolean same = g_str_equal(key, name);
    g_free(key);
    if (same) {
      return &shared->keys[i];
    }
  }
  return NULL;
}

static void
two_repertoires_share_tunes_keys_and_chords(void **state)
{
  (void)state;
  RcBoards *boards = boards_of("48-8x6");
  RcRolled *first = roll_text(boards, here);
  RcRolled *second = roll_text(boards, there);
  RcShared *shared = rc_shared_new(first, second);
  assert_int_equal(shared->n_tunes, 2);
  assert_string_equal(shared->tunes[0].of[1]->title, "gander at the sluice, The");
  assert_string_equal(shared->tunes[1].of[1]->title, "Cafe!");
  assert_int_equal(shared->n_keys, 5); // D in both, then G, Bm, A and Gb
  assert_int_equal(find_key(shared, "D major")->tunes[0], 1);
  assert_int_equal(find_key(shared, "D major")->tunes[1], 2);
  assert_int_equal(find_key(shared, "G major")->tunes[1], 0);
  // in both D (2 times and 3) and G (2 and 1); Em, A7, Bm and F#7 in the first alone, A, E7 and Gb in the second
  assert_int_equal(shared->n_chords, 9);
  assert_int_equal(shared->chords[0].times[0], 2);
  assert_int_equal(shared->chords[0].times[1], 3);
  assert_true(shared->chords[1].times[0] == 2 && shared->chords[1].times[1] == 1);
  assert_int_equal(MIN(shared->chords[2].times[0], shared->chords[2].times[1]), 0);
  rc_shared_free(shared);
  rc_rolled_free(first);
  rc_rolled_free(second);
  rc_boards_free(boards);
}

// Titles are of one tune but for case, accents, punctuation and one article at the beginning, or after a comma at the
// end.
static void
titles_of_one_tune(void **state)
{
  (void)state;
  static const struct {
    const char *one, *other;
    gboolean same;
  } cases[] = {
    { "The Lock", "Lock", TRUE },
    { "A Lock", "lock", TRUE },
    { "An Otter", "Otter", TRUE },
    { "Otter, An", "OTTER", TRUE },
    { "Otter, A", "the otter", TRUE },
    { "Lock,  the ", "Lock", TRUE },
    { "Weir  Lock", "weir lock", TRUE },
    { "Weir-Lock", "Weirlock!", TRUE },
    { "\u00c9tang", "etang", TRUE },
    { "Stra\u00dfe", "STRASSE", TRUE },
    { "Theatre", "Atre", FALSE },
    { "Another", "Other", FALSE },
    { "The A Lock", "Lock", FALSE },
    { "Lock, Weir", "Lock", FALSE },
    { "Weir 2", "Weir 3", FALSE },
    { "Lock, The Old", "Lock", FALSE },
    { "!!!", "???", FALSE },
    { "The", "A", FALSE },
    { "Lock The", "Lock", FALSE },
  };
  RcBoards *boards = boards_of("8");
  for (guint i = 0; i < G_N_ELEMENTS(cases); ++i) {
    const char *const titles[] = { cases[i].one, cases[i].other };
    RcRolled *rolled[2] = { NULL };
    for (guint j = 0; j < 2; ++j) {
      char *text = g_strdup_printf("title: \"%s\"\nparts: {A: G}\n", titles[j]);
      rolled[j] = roll_text(boards, text);
      g_free(text);
    }
    RcShared *shared = rc_shared_new(rolled[i % 2], rolled[1 - i % 2]);
    if (shared->n_tunes != (cases[i].same ? 1 : 0)) {
      fail_msg("%s and %s", cases[i].one, cases[i].other);
    }
    rc_shared_free(shared);
    rc_rolled_free(rolled[0]);
    rc_rolled_free(rolled[1]);
  }
  rc_boards_free(boards);
}

// What both have comes first, by the smaller of its two counts, then by the sum; equal ones in the order of chords, and
// of keys. By hand: A has 2 and 2, D 3 and 1, C and G 1 each, F 5 and none.
static void
what_both_have_most_comes_first(void **state)
{
  (void)state;
  static const char *const chords[] = { "A", "D", "C", "G", "F" };
  static const char *const keys[] = { "A major", "D major", "C major", "G major", "F major" };
  RcBoards *boards = boards_of("48-8x6");
  RcRolled *first = roll_text(boards, TUNE("G") TUNE("F") TUNE("F") TUNE("D") TUNE("D") TUNE("F") TUNE("C") TUNE("D")
                                        TUNE("A") TUNE("A") TUNE("F") TUNE("F"));
  RcRolled *second = roll_text(boards, TUNE("G") TUNE("C") TUNE("A") TUNE("A") TUNE("D"));
  RcShared *shared = rc_shared_new(first, second);
  assert_int_equal(shared->n_chords, G_N_ELEMENTS(chords));
  assert_int_equal(shared->n_keys, G_N_ELEMENTS(keys));
  for (guint i = 0; i < G_N_ELEMENTS(chords); ++i) {
    char *chord = rc_chord_name(&shared->chords[i].chord, RC_SIGNS_ASCII);
    char *key = rc_key_name(shared->keys[i].key, RC_SIGNS_ASCII);
    assert_string_equal(chord, chords[i]);
    assert_string_equal(key, keys[i]);
    g_free(key);
    g_free(chord);
  }
  rc_shared_free(shared);
  rc_rolled_free(first);
  rc_rolled_free(second);
  rc_boards_free(boards);
}

// Whatever shares all with itself has nothing of its own.
static void
a_repertoire_shares_all_with_itself(void **state)
{
  (void)state;
  RcBoards *boards = boards_of("72");
  RcRolled *rolled = roll_path(boards, g_getenv("ROWCALL_TEST_CORPUS"));
  RcShared *shared = rc_shared_new(rolled, rolled);
  assert_int_equal(shared->n_tunes, rolled->n_tunes);
  const RcCounts counts = rc_roll_counts(rolled->roll, 0);
  guint64 chords = 0;
  guint64 tunes = 0;
  for (guint i = 0; i < shared->n_chords; ++i) {
    assert_int_equal(shared->chords[i].times[0], shared->chords[i].times[1]);
    chords += shared->chords[i].times[0];
  }
  for (guint i = 0; i < shared->n_keys; ++i) {
    assert_int_equal(shared->keys[i].tunes[0], shared->keys[i].tunes[1]);
    tunes += shared->keys[i].tunes[0];
  }
  assert_int_equal(chords, rc_counts_chords(&counts) - counts.chords[RC_UNREAD]);
  assert_int_equal(tunes, counts.tunes);
  rc_shared_free(shared);
  rc_rolled_free(rolled);
  rc_boards_free(boards);
}

// -------------------------------------------------------------------------------------------------------------- wide

static void
check_wide(const RcLayout *layout, const RcWideGrip *grips, guint n, guint64 tunes)
{
  assert_int_equal(n, 1);
  char *chord = rc_chord_name(&grips[0].chord, RC_SIGNS_ASCII);
  char *grip = rc_grip_describe(layout, &grips[0].grip, RC_SIGNS_ASCII);
  assert_string_equal(chord, "Bm");
  assert_string_equal(grip, "B bass (counterbass of G) + D major");
  assert_int_equal(grips[0].times, 3);
  assert_int_equal(grips[0].tunes, tunes);
  assert_true(grips[0].mm > 40.5 && grips[0].mm < 40.7);
  g_free(chord);
  g_free(grip);
}

// On a 48 the counterbass of G and D major lie a column of 16 mm and two rows of 12.5 mm apart, each row 8 mm further
// on: 32 and 25 mm, so 40.6 mm. All fingers of this small hand reach 41 mm or more and are comfortable up to less
// than 39. Bm is played twice in the first tune, where the second bar holds it on, and once in the second.
static void
wide_grips_are_counted_by_tune(void **state)
{
  (void)state;
  RcSettings settings = rc_settings();
  const RcBoardName names[] = { { "48-8x6", NULL }, { "48-8x6", NULL } };
  assert_true(rc_settings_set(&settings, "spans", "45,41,45,42,42,43", NULL));
  RcBoards *boards = rc_boards_find(names, 2, &settings, NULL);
  RcRolled *rolled = roll_text(boards, "title: Weir\nkey: D\nparts:\n  A: \"D | Bm | Bm | G | Bm\"\n---\n"
                                       "title: Lock\nkey: D\nparts:\n  A: \"D | Bm | G | D\"\n---\n"
                                       "title: Pond\nkey: D\nparts:\n  A: \"D | G\"\n");
  RcWideTally *tally = rc_wide_tally_new(boards->layouts, 2, &settings);
  guint n = 0;
  for (guint i = 0; i < rolled->n_tunes; ++i) {
    rc_wide_tally_add(tally, rolled->tunes[i]);
  }
  for (guint i = 0; i < 2; ++i) {
    RcWideGrip *grips = rc_wide_tally_grips(tally, i, &n);
    check_wide(boards->layouts[i], grips, n, 2);
    g_free(grips);
  }
  RcWideGrip *grips = rc_wide_in_roll(rolled->roll, 0, &settings, &n);
  check_wide(boards->layouts[0], grips, n, 0);
  g_free(grips);
  RcBooks *books = rc_books_new(rolled);
  check_wide(boards->layouts[0], books->wide, books->n_wide, 2);
  rc_books_free(books);
  RcComparison *comparison = rc_compare(rolled);
  assert_int_equal(comparison->by_time, 0); // the first of two that are the same
  check_wide(boards->layouts[0], comparison->wide, comparison->n_wide, 0);
  rc_comparison_free(comparison);
  rc_wide_tally_free(tally);
  rc_rolled_free(rolled);
  rc_boards_free(boards);
}

// Boards that differ in one thing are not one board: each has the wide grips that it has alone.
static void
what_stands_beside_a_keyboard_changes_nothing(void **state)
{
  (void)state;
  static const char *const lines[] = {
    "spacing: {column: 16, row: 12.5, slant: 8}\n",
    "spacing: {column: 18, row: 12.5, slant: 8}\n",
    "spacing: {column: 16, row: 15, slant: 8}\n",
    "spacing: {column: 14, row: 12.5, slant: 8}\n",
    "spacing: {column: 16, row: 10, slant: 8}\n",
    "spacing: {column: 16, row: 12.5, slant: 3}\n",
    "spacing: {column: 16, row: 12.5, slant: 8}\nmirrored: true\n",
    "spacing: {column: 16, row: 12.5, slant: 8}\ndead: [major D]\n",
    "spacing: {column: 16, row: 12.5, slant: 8}\nretuned: {major D: D minor}\n",
    "spacing: {column: 16, row: 12.5, slant: 8}\nretuned: {counterbass G: Bb}\n",
    "spacing: {column: 16, row: 12.5, slant: 8}\n",
  };
  enum { N = G_N_ELEMENTS(lines) };
  RcLayout *layouts[N] = { NULL };
  guint different = 0;
  RcSettings settings = rc_settings();
  assert_true(rc_settings_set(&settings, "spans", "45,41,45,42,42,43", NULL));
  for (guint i = 0; i < N; ++i) {
    GError *error = NULL;
    char *text = g_strconcat("name: t\ntitle: t\ncolumns: Eb..E\nrows: [counterbass, fundamental, major, minor, "
                             "seventh, diminished]\n",
                             lines[i], NULL);
    layouts[i] = rc_layout_parse(text, strlen(text), "t.yaml", &error);
    if (error) {
      fail_msg("%s", error->message);
    }
    g_free(text);
  }
  RcBoards *boards = boards_of("48-8x6");
  RcRolled *rolled = roll_path(boards, g_getenv("ROWCALL_TEST_CORPUS"));
  RcWideTally *tally = rc_wide_tally_new(layouts, N, &settings);
  RcWideTally *alone[N] = { NULL };
  for (guint i = 0; i < N; ++i) {
    alone[i] = rc_wide_tally_new(&layouts[i], 1, &settings);
  }
  for (guint i = 0; i < rolled->n_tunes; i += 3) {
    rc_wide_tally_add(tally, rolled->tunes[i]);
    for (guint j = 0; j < N; ++j) {
      rc_wide_tally_add(alone[j], rolled->tunes[i]);
    }
  }
  guint n_first = 0;
  RcWideGrip *first = rc_wide_tally_grips(tally, 0, &n_first);
  for (guint i = 0; i < N; ++i) {
    guint n[2] = { 0, 0 };
    RcWideGrip *grips[] = { rc_wide_tally_grips(tally, i, &n[0]), rc_wide_tally_grips(alone[i], 0, &n[1]) };
    assert_int_equal(n[0], n[1]);
    assert_memory_equal(grips[0], grips[1], n[0] * sizeof *grips[0]);
    different += n[0] != n_first || memcmp(first, grips[0], n[0] * sizeof *first) != 0 ? 1 : 0;
    g_free(grips[0]);
    g_free(grips[1]);
    rc_wide_tally_free(alone[i]);
  }
  assert_true(different >= N - 3); // the last is the first again
  g_free(first);
  rc_wide_tally_free(tally);
  rc_rolled_free(rolled);
  rc_boards_free(boards);
  for (guint i = 0; i < N; ++i) {
    rc_layout_free(layouts[i]);
  }
}

static void
the_usual_hand_stretches_for_no_bm(void **state)
{
  (void)state;
  RcBoards *boards = boards_of("48-8x6");
  RcRolled *rolled = roll_text(boards, "title: Weir\nkey: D\nparts:\n  A: \"D | Bm | G | Bm\"\n");
  guint n = 1;
  RcWideGrip *grips = rc_wide_in_roll(rolled->roll, 0, &boards->settings, &n);
  assert_int_equal(n, 0);
  g_free(grips);
  rc_rolled_free(rolled);
  rc_boards_free(boards);
}

int
main(void)
{
  const struct CMUnitTest tests[] = {
    cmocka_unit_test(books_add_up_to_what_compare_says_on_every_size),
    IN_FOLDER(a_book_names_what_it_lacks),
    IN_FOLDER(a_book_names_the_tunes_one_short_apart),
    IN_FOLDER(two_repertoires_share_tunes_keys_and_chords),
    IN_FOLDER(titles_of_one_tune),
    IN_FOLDER(what_both_have_most_comes_first),
    cmocka_unit_test(a_repertoire_shares_all_with_itself),
    IN_FOLDER(wide_grips_are_counted_by_tune),
    cmocka_unit_test(what_stands_beside_a_keyboard_changes_nothing),
    IN_FOLDER(the_usual_hand_stretches_for_no_bm),
  };
  return cmocka_run_group_tests(tests, NULL, NULL);
}
