// Copyright 2026 the rowcall developers
// SPDX-License-Identifier: MIT

// Settings by name, targets in whole numbers, repertoires read before a watcher's eyes, and what is concluded of them.

#undef NDEBUG

#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>

#include <cmocka.h>

#include "rowcall/study.h"

#include "scratch.h"

#include <string.h>

// ---------------------------------------------------------------------------------------------------------- targets

static void
a_target_is_reached_exactly(void **state)
{
  (void)state;
  const gint64 much = G_GINT64_CONSTANT(9000000000000000000); // a product of this with a million needs 83 bits
  assert_true(rc_reaches(947, 1000, 947000));
  assert_false(rc_reaches(947, 1000, 947001));
  assert_true(rc_reaches(947, 1000, 946999));
  assert_false(rc_reaches(946, 1000, 947000));
  assert_true(rc_reaches(much, much, RC_TARGET_ALL));
  assert_false(rc_reaches(much - 1, much, RC_TARGET_ALL));
  assert_true(rc_reaches(much / 20 * 19, much, RC_TARGET_USUAL));
  assert_false(rc_reaches(much / 20 * 19 - 1, much, RC_TARGET_USUAL));
  assert_false(rc_reaches(0, 0, 1)); // nothing of nothing
  assert_false(rc_reaches(0, 1, 1));
  assert_true(rc_reaches(1, 1, RC_TARGET_ALL));
}

static void
a_target_counts_time_or_tunes(void **state)
{
  (void)state;
  RcCounts counts = { .tunes = 10, .playable = 9 };
  counts.ticks[RC_NATIVE] = 94;
  counts.ticks[RC_BARE] = 1;
  counts.ticks[RC_BORROWED] = 5;
  counts.ticks[RC_UNREAD] = 1000; // what could not be read is outside
  assert_true(rc_target_reached((RcTarget){ RC_TARGET_TIME, 950000 }, &counts, RC_BARE));
  assert_false(rc_target_reached((RcTarget){ RC_TARGET_TIME, 950000 }, &counts, RC_LEANER));
  assert_false(rc_target_reached((RcTarget){ RC_TARGET_TUNES, 950000 }, &counts, RC_BARE));
  assert_true(rc_target_reached((RcTarget){ RC_TARGET_TUNES, 900000 }, &counts, RC_BARE));
}

// --------------------------------------------------------------------------------------------------------- settings

static void
settings_are_set_by_name(void **state)
{
  (void)state;
  RcSettings s = rc_settings();
  assert_int_equal(s.target.millionths, 950000);
  assert_true(rc_settings_set(&s, "accept", "b", NULL) && s.route.taste.accept == RC_RICHER);
  assert_true(rc_settings_set(&s, "reach", "0", NULL) && s.route.hand.reach == 0);
  assert_true(rc_settings_set(&s, "press", "2", NULL) && s.route.hand.press == 2);
  assert_true(rc_settings_set(&s, "prefer", "Ease", NULL) && s.route.taste.prefer == RC_PREFER_EASE);
  assert_true(rc_settings_set(&s, "school", "3-2", NULL) && s.route.fingers.school == RC_SCHOOL_3_2);
  assert_true(rc_settings_set(&s, "names", "german", NULL) && s.corpus.names == RC_NAMES_GERMAN);
  assert_true(rc_settings_set(&s, "from", "abc", NULL) && s.corpus.from == rc_format_find("abc"));
  assert_true(rc_settings_set(&s, "threads", "256", NULL) && s.threads == 256);
  assert_true(rc_settings_set(&s, "tempo", "none", NULL) && s.route.roll.untimed == RC_UNTIMED_LEAVE);
  assert_true(rc_settings_set(&s, "tempo", "1/4=90", NULL) && s.route.roll.given.source != RC_TEMPO_NONE);
  assert_true(s.route.roll.given.quarters == 90);
  assert_true(rc_settings_set(&s, "tempo", "112", NULL) && s.route.roll.given.quarters == 112); // beats of 4/4
  assert_int_equal(s.route.roll.untimed, RC_UNTIMED_ASSUME);
  assert_true(rc_settings_set(&s, "no-melody", NULL, NULL) && s.route.roll.no_melody);
  assert_true(rc_settings_set(&s, "no-melody", "no", NULL) && !s.route.roll.no_melody);
  assert_true(rc_settings_set(&s, "no-melody", "yes", NULL) && s.route.roll.no_melody);
  assert_true(rc_settings_set(&s, "tunes", "90", NULL) && s.target.by == RC_TARGET_TUNES);
  assert_true(rc_settings_set(&s, "target", "94.7", NULL) && s.target.by == RC_TARGET_TIME);
  assert_int_equal(s.target.millionths, 947000);
  assert_true(rc_settings_set(&s, "target", "0.0001", NULL) && s.target.millionths == 1);
  assert_true(rc_settings_set(&s, "target", "100", NULL) && s.target.millionths == RC_TARGET_ALL);
  assert_true(rc_settings_set(&s, "target", "99.9999", NULL) && s.target.millionths == 999999);
  assert_true(rc_settings_set(&s, "target", "100.0000", NULL) && s.target.millionths == RC_TARGET_ALL);
  assert_true(rc_settings_set(&s, "tunes", "7.05", NULL) && s.target.millionths == 70500);
}

// A teacher's own hand, steady bellows, keys left as they are, and how many threads read.
static void
settings_of_hands_and_keys(void **state)
{
  (void)state;
  RcSettings s = rc_settings();
  assert_true(rc_settings_set(&s, "spans", "10,55,69.5,96,96,300", NULL));
  assert_true(rc_settings_set(&s, "turns-apart", "2.5", NULL) && s.route.turns_apart == 2.5);
  assert_true(rc_settings_set(&s, "key", "none", NULL) && s.corpus.leave_unkeyed);
  assert_true(rc_settings_set(&s, "key", "assume", NULL) && !s.corpus.leave_unkeyed);
  assert_true(rc_settings_set(&s, "brisk", "0", NULL) && s.route.roll.brisk == 0);
  assert_true(rc_settings_set(&s, "brisk", "60", NULL) && s.route.roll.brisk == 60);
  assert_true(rc_settings_set(&s, "reach", "40", NULL) && s.route.hand.reach == 40);
  assert_true(rc_settings_set(&s, "press", "1", NULL) && s.route.hand.press == 1);
  assert_true(rc_settings_set(&s, "press", "3", NULL) && s.route.hand.press == 3);
  assert_true(rc_settings_set(&s, "threads", "1", NULL) && s.threads == 1);
  assert_true(rc_settings_set(&s, "accept", "A", NULL) && s.route.taste.accept == RC_SAME);
  assert_true(rc_settings_set(&s, "accept", "E", NULL) && s.route.taste.accept == RC_BORROWED);
}

// A share of the tunes' own tempi, or one tempo for all: whichever is given last.
static void
a_pace_or_a_tempo_is_for_all_tunes(void **state)
{
  (void)state;
  static const struct {
    const char *text;
    double pace;
    RcUntimed untimed;
    gboolean given, in_beats;
  } cases[] = { { "80%", 0.8, RC_UNTIMED_ASSUME, FALSE, FALSE },  { "5%", 0.05, RC_UNTIMED_ASSUME, FALSE, FALSE },
                { "500%", 5, RC_UNTIMED_ASSUME, FALSE, FALSE },   { "none", 1, RC_UNTIMED_LEAVE, FALSE, FALSE },
                { "120%", 1.2, RC_UNTIMED_ASSUME, FALSE, FALSE }, { "96", 1, RC_UNTIMED_ASSUME, TRUE, TRUE },
                { "1/8=96", 1, RC_UNTIMED_ASSUME, TRUE, FALSE },  { "90%", 0.9, RC_UNTIMED_ASSUME, FALSE, FALSE },
                { "NONE", 1, RC_UNTIMED_LEAVE, FALSE, FALSE } };
  RcSettings s = rc_settings();
  for (guint i = 0; i < G_N_ELEMENTS(cases); ++i) {
    assert_true(rc_settings_set(&s, "tempo", cases[i].text, NULL));
    assert_true(s.route.roll.pace == cases[i].pace);
    assert_int_equal(s.route.roll.untimed, cases[i].untimed);
    assert_int_equal(s.route.roll.given.source != RC_TEMPO_NONE, cases[i].given);
    assert_true(!cases[i].given || s.route.roll.in_beats == cases[i].in_beats);
  }
}

// For a language that cannot take a struct by value.
static void
settings_on_the_heap_are_the_usual_ones(void **state)
{
  (void)state;
  RcSettings *own = rc_settings_new();
  const RcSettings usual = rc_settings();
  assert_true(own->route.roll.brisk == usual.route.roll.brisk && own->route.roll.pace == usual.route.roll.pace);
  assert_true(own->route.hand.reach == usual.route.hand.reach && own->route.hand.press == usual.route.hand.press);
  assert_int_equal(own->route.taste.accept, usual.route.taste.accept);
  assert_int_equal(own->target.by, usual.target.by);
  assert_int_equal(own->target.millionths, usual.target.millionths);
  assert_int_equal(own->threads, usual.threads);
  g_free(own);
}

static void
what_surrounds_a_chord_is_read(void **state)
{
  (void)state;
  GError *error = NULL;
  RcSurroundings around = { 0 };
  assert_true(rc_surroundings_set_key(&around, "E dorian", RC_NAMES_ENGLISH, NULL));
  assert_true(around.key.mode == RC_MODE_DORIAN && rc_note_pc(around.key.tonic) == 4);
  assert_true(rc_surroundings_set_key(&around, "Hm", RC_NAMES_GERMAN, NULL));
  assert_true(around.key.mode == RC_MODE_MINOR && rc_note_pc(around.key.tonic) == 11);
  assert_false(rc_surroundings_set_key(&around, "X", RC_NAMES_ENGLISH, &error));
  assert_string_equal(error->message, "expected a tonic and a mode, such as D, Bm, \"E dorian\"");
  g_clear_error(&error);
  assert_true(around.key.mode == RC_MODE_MINOR && rc_note_pc(around.key.tonic) == 11);
  assert_true(rc_surroundings_set_melody(&around, "D F#", NULL) && around.melody == (1 << 2 | 1 << 6));
  assert_true(rc_surroundings_set_melody(&around, " D, Gb,B ", NULL) && around.melody == (1 << 2 | 1 << 6 | 1 << 11));
  assert_false(rc_surroundings_set_melody(&around, "C Fx", &error));
  assert_string_equal(error->message, "expected notes such as \"D F#\"");
  g_clear_error(&error);
  assert_int_equal(around.melody, 1 << 2 | 1 << 6 | 1 << 11);
}

// A message that quotes something huge loses its middle, never half a character; its place and its end stay.
static void
a_huge_message_is_shortened(void **state)
{
  (void)state;
  GError *error = NULL;
  GString *huge = g_string_new(NULL);
  for (guint i = 0; i < 4000; ++i) {
    g_string_append(huge, "\u266d"); // three bytes
  }
  for (guint shift = 0; shift < 3; ++shift) {
    assert_false(rc_fail(&error, RC_ERROR_VALUE, (RcPlace){ "a.yaml", 7, 3 }, "found `%s%s`; write less",
                         &"xx"[2 - shift], huge -> str));
    assert_true(g_utf8_validate(error->message, -1, NULL));
    assert_true(g_str_has_prefix(error->message, "a.yaml:7:3: found `"));
    assert_true(g_str_has_suffix(error->message, "\u266d`; write less"));
    assert_non_null(strstr(error->message, "\u266d ... \u266d"));
    assert_true(strlen(error->message) > 1750 && strlen(error->message) < 1850);
    g_clear_error(&error);
  }
  g_string_free(huge, TRUE);
  rc_fail(&error, RC_ERROR_VALUE, (RcPlace){ "a.yaml", 7, 0 }, "short");
  assert_string_equal(error->message, "a.yaml:7: short");
  g_clear_error(&error);
  rc_fail(&error, RC_ERROR_VALUE, (RcPlace){ "a.yaml", 0, 0 }, "short");
  assert_string_equal(error->message, "a.yaml: short");
  g_clear_error(&error);
}

// Around the length from which on a message is shortened it is whole or shorter, never longer.
static void
a_message_is_shortened_only_where_that_spares_something(void **state)
{
  (void)state;
  for (guint n = 1780; n < 1820; ++n) {
    GError *error = NULL;
    char *text = g_strnfill(n, 'x');
    rc_fail(&error, RC_ERROR_VALUE, (RcPlace){ NULL, 0, 0 }, "%s.", text);
    const gsize length = strlen(error->message);
    assert_true(length == n + 1 ? !strstr(error->message, " ... ") : length < n + 1);
    assert_true(g_str_has_suffix(error->message, "x."));
    g_clear_error(&error);
    g_free(text);
  }
}

// By letters to insert, drop, replace or swap, at most a third of the longer name, rounded up: two of `minor`.
static void
a_mistyped_name_finds_the_nearest(void **state)
{
  (void)state;
  static const char *const names[] = { "fundamental", "minor", "major", "bass", NULL };
  static const char *const cases[][2] = {
    { "mnr", "minor" },
    { "miinoor", "minor" },
    { "mionr", "minor" },
    { "imonr", "minor" },
    { "majer", "major" },
    { "mqqor", "minor" },
    { "mqqqr", NULL },
    { "mqqqor", NULL }, // three of six letters
    { "MAYOR", "major" },
    { "fun", "fundamental" },
    { "m", NULL },
    { "mi", "minor" },
    { "", NULL },
    { "bb", NULL },
    { "bas", "bass" },
    { "fndmntal", "fundamental" },
    { "fndmntl", "fundamental" },
    { "fndmnt", NULL },
  };
  for (guint i = 0; i < G_N_ELEMENTS(cases); ++i) {
    const char *found = rc_nearest_name(cases[i][0], names);
    if (g_strcmp0(found, cases[i][1])) {
      fail_msg("%s: %s", cases[i][0], found ? found : "none");
    }
  }
  static const char *const begun[] = { "con", "corner", NULL };
  assert_string_equal(rc_nearest_name("cor", begun), "corner"); // begun right, rather than with one letter wrong
  char *word = g_strnfill(40, 'x');
  char *longer = g_strnfill(41, 'x');
  const char *const long_names[] = { word, NULL };
  const char *const longer_names[] = { longer, NULL };
  word[20] = 'y';
  char *slip = g_strdup(word);
  slip[3] = 'z';
  assert_ptr_equal(rc_nearest_name(slip, long_names), word);
  memset(slip, 'z', 14);
  assert_ptr_equal(rc_nearest_name(slip, long_names), word); // 14 of 40
  slip[14] = 'z';
  assert_null(rc_nearest_name(slip, long_names));
  assert_null(rc_nearest_name(longer, long_names)); // longer than anybody's slip of the finger
  assert_null(rc_nearest_name(slip, longer_names));
  g_free(slip);
  g_free(longer);
  g_free(word);
}

#define WRONG_TARGET "expected a percentage of the playing time, above 0 and at most 100, of no more than four decimals"

static void
wrong_settings_say_what_is_expected_and_change_nothing(void **state)
{
  (void)state;
  static const struct {
    const char *name, *text, *message;
  } cases[] = {
    { "accept", "F", "expected a grade from A to E" },
    { "brisk", "nan", "expected 0 to 60 seconds" },
    { "brisk", "inf", "expected 0 to 60 seconds" },
    { "brisk", "-1", "expected 0 to 60 seconds" },
    { "brisk", "60.1", "expected 0 to 60 seconds" },
    { "brisk", "1s", "expected 0 to 60 seconds" },
    { "brisk", "", "expected 0 to 60 seconds" },
    { "brisk", "0x1", "expected 0 to 60 seconds" },
    { "turns-apart", "61", "expected 0 to 60 seconds" },
    { "spans", "9,55,69,96,96,137",
      "expected six numbers of 10 to 300 mm, for fingers 2-3, 3-4, 4-5, 2-4, 3-5 and 2-5, such as 69,55,69,96,96,137" },
    { "key", "D", "expected assume or none" },
    { "press", "4", "expected 1 to 3 buttons, the bass among them" },
    { "threads", "257", "expected 1 to 256 threads" },
    { "reach", "41", "expected 0 to 40 columns" },
    { "press", "0", "expected 1 to 3 buttons, the bass among them" },
    { "threads", "0", "expected 1 to 256 threads" },
    { "threads", "99999999999999999999", "expected 1 to 256 threads" },
    { "prefer", "loud", "expected plain, sound or ease" },
    { "names", "french", "expected english or german" },
    { "school", "4-4", "expected 4-3 or 3-2" },
    { "from", "pdf", "expected abc, chordpro, musicxml, words or yaml" },
    { "tempo", "96 beats",
      "expected `none`, beats a minute such as 112, or a note value and a number, such as 1/4=112, "
      "or a share of each tune's own tempo, such as 80%" },
    { "tempo", "4.9%", "expected 5 to 500 percent" },
    { "tempo", "501%", "expected 5 to 500 percent" },
    { "tempo", "%", "expected 5 to 500 percent" },
    { "no-melody", "perhaps", "expected yes or no" },
    { "target", ".5", WRONG_TARGET },
    { "target", "5.", WRONG_TARGET },
    { "target", "", WRONG_TARGET },
    { "target", "0100", WRONG_TARGET },
    { "target", "5a", WRONG_TARGET },
    { "target", "5.a", WRONG_TARGET },
    { "target", "50%", WRONG_TARGET },
    { "target", "101", WRONG_TARGET },
    { "target", "0.0000", WRONG_TARGET },
    { "target", "0",
      "expected a percentage of the playing time, above 0 and at most 100, of no more than four decimals" },
    { "target", "100.0001",
      "expected a percentage of the playing time, above 0 and at most 100, of no more than four decimals" },
    { "tunes", "1.23456",
      "expected a percentage of the tunes, above 0 and at most 100, of no more than four decimals" },
    { "colour", "red", "there is no such setting" },
  };
  const RcSettings before = rc_settings();
  for (guint i = 0; i < G_N_ELEMENTS(cases); ++i) {
    GError *error = NULL;
    RcSettings s = before;
    assert_false(rc_settings_set(&s, cases[i].name, cases[i].text, &error));
    assert_string_equal(error->message, cases[i].message);
    assert_memory_equal(&s, &before, sizeof s);
    g_clear_error(&error);
  }
}

// ---------------------------------------------------------------------------------------------------------- reading

// A folder of four files: two tunes, text that is no chord; text that is no tune; one tune.
static const char *const books[][2] = {
  { "a.yaml", "title: Gate\nkey: D\nmeter: 4/4\nparts: {A: '| D | D | D | A7 |'}\n---\ntitle: Stile\nparts: {A: '| D | "
              "Zork |'}\n" },
  { "b.yaml", "titel: Stile\nkey: HP\n" }, // two mistakes
  { "c.yaml", "title: Garden Gate\nkey: D\nmeter: 4/4\nparts: {A: '| D | G | D | A7 |'}\n" },
};

static char *book_paths[G_N_ELEMENTS(books)];

static int
make_books(void **state)
{
  (void)state;
  if (make_scratch("unused")) {
    return -1;
  }
  for (guint i = 0; i < G_N_ELEMENTS(books); ++i) {
    book_paths[i] = g_build_filename(folder, books[i][0], NULL);
    if (!g_file_set_contents(book_paths[i], books[i][1], -1, NULL)) {
      return -1;
    }
  }
  return 0;
}

static int
remove_books(void **state)
{
  for (guint i = 0; i < G_N_ELEMENTS(books); ++i) {
    g_remove(book_paths[i]);
    g_free(book_paths[i]);
  }
  return remove_scratch(state);
}

// What a watcher received.
typedef struct {
  gboolean refuses;
  guint files;
  guint64 ticked;
  guint ticks;
  GString *told;
} Seen;

static gboolean
see_files(const char *const *files, gpointer data)
{
  Seen *seen = data;
  seen->files = g_strv_length((char **)files);
  assert_string_equal(files[0], book_paths[0]);
  return !seen->refuses;
}

static void
see_message(const char *message, gpointer data)
{
  Seen *seen = data;
  char *name = g_path_get_basename(message); // without the folder
  g_string_append_printf(seen->told, "%.8s|", name);
  g_free(name);
}

static void
see_tick(guint64 tunes, guint64 bytes, gpointer data)
{
  (void)bytes;
  ((Seen *)data)->ticked += tunes;
  ++((Seen *)data)->ticks;
}

static RcRolled *
roll(const RcBoards *boards, const char *title, gboolean keep, const RcWatcher *watcher)
{
  const char *const paths[] = { folder, NULL };
  const RcRepertoire repertoire = { paths, title, 0, 0 };
  return rc_repertoire_roll(&repertoire, boards, keep, watcher);
}

static RcBoards *
find_boards(const char *first, const char *second, const RcSettings *settings)
{
  const RcBoardName names[] = { { first, NULL }, { second, NULL } };
  RcBoards *boards = rc_boards_find(names, 2, settings, NULL);
  assert_non_null(boards);
  return boards;
}

static void
a_watcher_is_told_in_the_order_of_the_files(void **state)
{
  (void)state;
  for (guint threads = 1; threads <= 4; threads += 3) {
    RcSettings settings = rc_settings();
    settings.threads = threads;
    RcBoards *boards = find_boards("24", "32", &settings);
    Seen seen = { .told = g_string_new(NULL) };
    const RcWatcher watcher = { see_files, see_message, see_tick, &seen, 0 };
    RcRolled *rolled = roll(boards, NULL, TRUE, &watcher);
    assert_int_equal(seen.files, 3);
    assert_int_equal(seen.ticked, 3);
    assert_non_null(strstr(seen.told->str, "a.yaml:7"));
    assert_true(strstr(seen.told->str, "a.yaml:") < strstr(seen.told->str, "b.yaml:"));
    assert_int_equal(rolled->intake.tunes, 3);
    assert_int_equal(rolled->intake.files, 3);
    assert_int_equal(rolled->intake.problems, 1); // a tune with two mistakes is left out once
    assert_int_equal(rolled->intake.messages, 3);
    assert_int_equal(rolled->intake.unread, 1);
    assert_int_equal(rolled->n_tunes, 3);
    assert_string_equal(rolled->tunes[2]->title, "Garden Gate");
    assert_int_equal(rc_roll_counts(rolled->roll, 0).tunes, 3);
    rc_rolled_free(rolled);
    rc_boards_free(boards);
    g_string_free(seen.told, TRUE);
  }
}

// There are three: of a text that is no chord, and two of the file that is no tune.
static void
a_watcher_may_want_few_messages_or_no_reading(void **state)
{
  (void)state;
  RcSettings settings = rc_settings();
  RcBoards *boards = find_boards("24", "32", &settings);
  for (guint most = 1; most <= 4; ++most) {
    Seen seen = { .told = g_string_new(NULL) };
    const RcWatcher watcher = { see_files, see_message, see_tick, &seen, most };
    RcRolled *rolled = roll(boards, NULL, FALSE, &watcher);
    guint told = 0;
    for (const char *at = seen.told->str; *at; ++at) {
      told += *at == '|' ? 1 : 0;
    }
    assert_int_equal(rolled->intake.messages, 3);
    assert_int_equal(told, MIN(most, 3));
    assert_null(rolled->tunes);
    rc_rolled_free(rolled);
    g_string_free(seen.told, TRUE);
  }
  Seen seen = { .refuses = TRUE };
  const RcWatcher watcher = { see_files, see_message, see_tick, &seen, 1 };
  assert_null(roll(boards, NULL, FALSE, &watcher));
  rc_boards_free(boards);
}

static void
drop_tune(const RcTune *tune, gpointer data)
{
  (void)tune;
  (void)data;
}

// Of a hundred tunes neither each one nor all at once.
static void
a_watcher_hears_now_and_then_how_far_it_is(void **state)
{
  (void)state;
  char *book = g_build_filename(folder, "d.yaml", NULL);
  const char *const paths[] = { book, NULL };
  const RcRepertoire repertoire = { paths, NULL, 0, 0 };
  const RcSettings settings = rc_settings();
  GString *text = g_string_new(NULL);
  for (guint i = 0; i < 100; ++i) {
    g_string_append(text, i ? "---\ntitle: T\nparts: {A: G}\n" : "title: T\nparts: {A: G}\n");
  }
  Seen seen = { .refuses = FALSE };
  const RcWatcher watcher = { NULL, NULL, see_tick, &seen, 0 };
  RcIntake intake;
  assert_true(g_file_set_contents(book, text->str, -1, NULL));
  assert_true(rc_repertoire_read(&repertoire, &settings, &watcher, drop_tune, NULL, &intake));
  assert_int_equal(seen.ticked, 100);
  assert_in_range(seen.ticks, 2, 10);
  g_remove(book);
  g_string_free(text, TRUE);
  g_free(book);
}

static void
see_whole(const char *message, gpointer data)
{
  char *name = g_path_get_basename(message); // without the folder
  g_string_append_printf(data, "%s\n", name);
  g_free(name);
}

// What a watcher is told while a file of this text is read.
static void
assert_told(const char *text, guint unread, const char *expected)
{
  char *book = g_build_filename(folder, "d.yaml", NULL);
  const char *const paths[] = { book, NULL };
  const RcRepertoire repertoire = { paths, NULL, 0, 0 };
  const RcSettings settings = rc_settings();
  GString *told = g_string_new(NULL);
  const RcWatcher watcher = { NULL, see_whole, NULL, told, 0 };
  RcIntake intake;
  assert_true(g_file_set_contents(book, text, -1, NULL));
  assert_true(rc_repertoire_read(&repertoire, &settings, &watcher, drop_tune, NULL, &intake));
  assert_string_equal(told->str, expected);
  assert_int_equal(intake.unread, unread);
  g_string_free(told, TRUE);
  g_remove(book);
  g_free(book);
}

#define NO_SYMBOL "` is no chord symbol; it counts as unread"

// One message a file, with each text once, at its first place; twelve others at most are named. Z of `| Za` is in
// column 15, each further text of that bar three columns on.
static void
unread_texts_of_a_file_are_one_message(void **state)
{
  (void)state;
  assert_told("title: Gate\nparts: {A: '| Zork | C | Zork |'}\n", 1, "d.yaml:2:15: `Zork" NO_SYMBOL "\n");
  assert_told("title: Gate\nparts: {A: '| Zork | Qx | Zork |'}\n", 2,
              "d.yaml:2:15: `Zork" NO_SYMBOL "; so does `Qx` (2:22)\n");
  assert_told("title: Gate\nparts: {A: '| Zork | Qx | Vu |'}\n---\ntitle: Stile\nparts: {A: '| Qx | C | Uv |'}\n", 5,
              "d.yaml:2:15: `Zork" NO_SYMBOL "; so do `Qx` (2:22), `Vu` (2:27), `Uv` (5:24)\n");
  assert_told("title: Gate\nparts: {A: '| Za Zb Zc Zd Ze Zf Zg Zh Zi Zj Zk Zl Zm |'}\n", 13,
              "d.yaml:2:15: `Za" NO_SYMBOL "; so do `Zb` (2:18), `Zc` (2:21), `Zd` (2:24), `Ze` (2:27), `Zf` (2:30), "
              "`Zg` (2:33), `Zh` (2:36), `Zi` (2:39), `Zj` (2:42), `Zk` (2:45), `Zl` (2:48), `Zm` (2:51)\n");
  assert_told("title: Gate\nparts: {A: '| Za Zb Zc Zd Ze Zf Zg Zh Zi Zj Zk Zl Zm Zn Zo |'}\n", 15,
              "d.yaml:2:15: `Za" NO_SYMBOL "; so do `Zb` (2:18), `Zc` (2:21), `Zd` (2:24), `Ze` (2:27), `Zf` (2:30), "
              "`Zg` (2:33), `Zh` (2:36), `Zi` (2:39), `Zj` (2:42), `Zk` (2:45), `Zl` (2:48), `Zm` (2:51) and 2 more\n");
  assert_told("title: Gate\nparts: {A: '| Hm | C |'}\n", 1,
              "d.yaml:2:15: `Hm` is no chord symbol (where H is B natural, --names german reads it); it counts as "
              "unread\n");
  assert_told("title: Gate\nparts: {A: '| C6(6) | C |'}\n", 1,
              "d.yaml:2:15: `C6(6)` is no chord symbol, `6)` was not understood; it counts as unread\n");
  assert_told("title: Gate\nparts: {A: '| C6(6) | Dmaj7z | Qx | Gsus9y |'}\n", 4,
              "d.yaml:2:15: `C6(6)` is no chord symbol, `6)` was not understood; it counts as unread; so do `Dmaj7z` "
              "(2:23 at `z`), `Qx` (2:32), `Gsus9y` (2:37 at `y`)\n");
}

static gboolean
see_any_files(const char *const *files, gpointer data)
{
  ((Seen *)data)->files = g_strv_length((char **)files);
  return TRUE;
}

// What is told of three paths: a text that is no chord is told of each file that has it, and so is a
// folder without any.
static void
each_file_is_told_of_by_itself(void **state)
{
  (void)state;
  static const char *const names[] = { "x.yaml", "y.yaml" };
  char *paths[] = { g_build_filename(folder, "none", NULL), g_build_filename(folder, names[0], NULL),
                    g_build_filename(folder, names[1], NULL), NULL };
  const RcRepertoire repertoire = { (const char *const *)paths, NULL, 0, 0 };
  RcSettings settings = rc_settings();
  settings.threads = 1;
  assert_int_equal(g_mkdir(paths[0], 0700), 0);
  for (guint i = 0; i < G_N_ELEMENTS(names); ++i) {
    assert_true(g_file_set_contents(paths[i + 1], "title: Gate\nparts: {A: '| Zork | C |'}\n", -1, NULL));
  }
  RcBoards *boards = find_boards("24", "32", &settings);
  Seen seen = { .told = g_string_new(NULL) };
  const RcWatcher watcher = { see_any_files, see_message, see_tick, &seen, 0 };
  RcRolled *rolled = rc_repertoire_roll(&repertoire, boards, FALSE, &watcher);
  assert_true(g_str_has_suffix(seen.told->str, "|x.yaml:2|y.yaml:2|"));
  assert_int_equal(rolled->intake.problems, 1);
  assert_int_equal(rolled->intake.unread, 2);
  assert_int_equal(seen.files, 2);
  rc_rolled_free(rolled);
  rc_boards_free(boards);
  g_string_free(seen.told, TRUE);
  for (guint i = 0; paths[i]; ++i) {
    g_remove(paths[i]);
    g_free(paths[i]);
  }
}

// Three folders without a file of music are three problems, of which as many are told as are wanted.
static void
problems_that_are_not_wanted_are_counted(void **state)
{
  (void)state;
  enum { N = 3 };
  char *paths[N + 1] = { NULL };
  for (guint i = 0; i < N; ++i) {
    char *name = g_strdup_printf("none%u", i);
    paths[i] = g_build_filename(folder, name, NULL);
    assert_int_equal(g_mkdir(paths[i], 0700), 0);
    g_free(name);
  }
  const RcRepertoire repertoire = { (const char *const *)paths, NULL, 0, 0 };
  for (guint most = 0; most <= N + 1; ++most) {
    GString *told = g_string_new(NULL);
    const RcWatcher watcher = { NULL, see_whole, NULL, told, most };
    RcIntake intake;
    guint lines = 0;
    assert_true(rc_repertoire_read(&repertoire, NULL, &watcher, drop_tune, NULL, &intake));
    for (const char *at = told->str; *at; ++at) {
      lines += *at == '\n' ? 1 : 0;
    }
    assert_int_equal(lines, most ? MIN(most, N) : N);
    assert_int_equal(intake.messages, N);
    assert_int_equal(intake.problems, N);
    g_string_free(told, TRUE);
  }
  for (guint i = 0; i < N; ++i) {
    g_remove(paths[i]);
    g_free(paths[i]);
  }
}

// Adds a file to a tape archive (POSIX.1-1988, ustar).
static void
append_member(GString *tar, const char *name, const char *text)
{
  enum { BLOCK = 512, SIZE = 124, SUM = 148, TYPE = 156, MAGIC = 257 };
  char head[BLOCK] = { 0 };
  guint sum = 0;
  g_snprintf(head, SIZE, "%s", name);
  g_snprintf(head + SIZE, SUM - SIZE, "%011o", (guint)strlen(text));
  memset(head + SUM, ' ', TYPE - SUM);
  head[TYPE] = '0';
  memcpy(head + MAGIC, "ustar\00000", 8);
  for (guint i = 0; i < BLOCK; ++i) {
    sum += (guchar)head[i];
  }
  g_snprintf(head + SUM, TYPE - SUM, "%06o", sum);
  g_string_append_len(tar, head, BLOCK);
  g_string_append(tar, text);
  while (tar->len % BLOCK) {
    g_string_append_c(tar, '\0');
  }
}

static void
each_member_of_an_archive_is_told_of_by_itself(void **state)
{
  (void)state;
  static const char text[] = "title: Gate\nparts: {A: '| Zork | C |'}\n";
  char *file = g_build_filename(folder, "t.tar", NULL);
  const char *const paths[] = { file, NULL };
  const RcRepertoire repertoire = { paths, NULL, 0, 0 };
  GString *tar = g_string_new(NULL);
  append_member(tar, "x.yaml", text);
  append_member(tar, "y.yaml", text);
  assert_true(g_file_set_contents(file, tar->str, (gssize)tar->len, NULL));
  RcBoards *boards = find_boards("24", "32", NULL);
  Seen seen = { .told = g_string_new(NULL) };
  const RcWatcher watcher = { see_any_files, see_message, see_tick, &seen, 0 };
  RcRolled *rolled = rc_repertoire_roll(&repertoire, boards, FALSE, &watcher);
  assert_string_equal(seen.told->str, "t.tar!x.|t.tar!y.|");
  assert_int_equal(rolled->intake.unread, 2);
  rc_rolled_free(rolled);
  rc_boards_free(boards);
  g_string_free(seen.told, TRUE);
  g_string_free(tar, TRUE);
  g_remove(file);
  g_free(file);
}

static void
count_tune(const RcTune *tune, gpointer data)
{
  (void)tune;
  ++*(guint *)data;
}

// Each remark is told once a file, with how many more there are; and again in the next file.
static void
remarks_are_told_once_a_file(void **state)
{
  (void)state;
  static const char text[] = "X:1\nT:Weir\nM:4/4\nK:G\n\"G\"G8|\"D.S.\"D8|\n\n"
                             "X:2\nT:Mill\nM:4/4\nK:G\n\"G\"G8|\"D.S.\"D8|\n";
  static const char *const names[] = { "x.abc", "y.abc" };
  char *paths[] = { g_build_filename(folder, names[0], NULL), g_build_filename(folder, names[1], NULL), NULL };
  const RcRepertoire repertoire = { (const char *const *)paths, NULL, 0, 0 };
  const RcSettings settings = rc_settings();
  GString *told = g_string_new(NULL);
  const RcWatcher watcher = { NULL, see_whole, NULL, told, 0 };
  RcIntake intake;
  for (guint i = 0; i < G_N_ELEMENTS(names); ++i) {
    assert_true(g_file_set_contents(paths[i], text, -1, NULL));
  }
  assert_true(rc_repertoire_read(&repertoire, &settings, &watcher, drop_tune, NULL, &intake));
  char **lines = g_strsplit(told->str, "\n", -1);
  assert_int_equal(g_strv_length(lines), 3); // after the last line end there is nothing
  for (guint i = 0; i < G_N_ELEMENTS(names); ++i) {
    char *start = g_strdup_printf("%s:5:15: note: ", names[i]);
    assert_true(g_str_has_prefix(lines[i], start));
    assert_true(g_str_has_suffix(lines[i], " (and 1 more in this file)"));
    g_free(start);
    g_remove(paths[i]);
    g_free(paths[i]);
  }
  assert_int_equal(intake.messages, 2);
  g_strfreev(lines);
  g_string_free(told, TRUE);
}

// The measures of a score have numbers, which tell more than its lines.
static void
an_unread_chord_of_a_score_has_its_measure(void **state)
{
  (void)state;
  static const char head[] =
    "<?xml version=\"1.0\"?>\n<score-partwise><part-list><score-part id=\"P1\"><part-name>M</part-name></score-part>"
    "</part-list><part id=\"P1\">\n";
  char *book = g_build_filename(folder, "d.musicxml", NULL);
  const char *const paths[] = { book, NULL };
  const RcRepertoire repertoire = { paths, NULL, 0, 0 };
  const RcSettings settings = rc_settings();
  GString *text = g_string_new(head);
  GString *told = g_string_new(NULL);
  const RcWatcher watcher = { NULL, see_whole, NULL, told, 0 };
  RcIntake intake;
  for (guint i = 0; i < 2; ++i) {
    g_string_append_printf(text,
                           "<measure number=\"%u\"><attributes><divisions>1</divisions></attributes><harmony><root>"
                           "<root-step>B</root-step></root><kind>%s</kind></harmony><note><rest/><duration>4</duration>"
                           "</note></measure>\n",
                           17 + i, i ? "hexatonic" : "major");
  }
  g_string_append(text, "</part></score-partwise>\n");
  assert_true(g_file_set_contents(book, text->str, -1, NULL));
  assert_true(rc_repertoire_read(&repertoire, &settings, &watcher, drop_tune, NULL, &intake));
  assert_non_null(strstr(told->str, ": measure 18: `["));
  assert_int_equal(intake.unread, 1);
  g_string_free(told, TRUE);
  g_string_free(text, TRUE);
  g_remove(book);
  g_free(book);
}

static void
collect_chords(const RcTune *tune, gpointer data)
{
  g_string_append_printf(data, "%s:", tune->title);
  for (guint i = 0; i < tune->symbols->len; ++i) {
    g_string_append_printf(data, " %s", g_array_index(tune->symbols, RcSymbol, i).text);
  }
  g_string_append(data, "|");
}

// What is moved is counted as moved, and a tune is picked by the line where it begins.
static void
tunes_are_moved_and_picked_by_line(void **state)
{
  (void)state;
  static const struct {
    guint line;
    int move;
    const char *expected;
    guint titled;
  } cases[] = { { 0, 0, "Gate: D A7|Stile: D Zork|Garden Gate: D G A7|", 3 },
                { 0, 2, "Gate: E B7|Stile: E Zork|Garden Gate: E A B7|", 3 },
                { 0, -2, "Gate: C G7|Stile: C Zork|Garden Gate: C F G7|", 3 },
                { 6, 0, "Stile: D Zork|", 1 },
                { 1, 5, "Gate: G D7|Garden Gate: G C D7|", 2 },
                { 2, 0, "", 0 } };
  const char *const paths[] = { folder, NULL };
  for (guint i = 0; i < G_N_ELEMENTS(cases); ++i) {
    const RcRepertoire repertoire = { paths, NULL, cases[i].line, cases[i].move };
    GString *found = g_string_new(NULL);
    RcIntake intake;
    assert_true(rc_repertoire_read(&repertoire, NULL, NULL, collect_chords, found, &intake));
    assert_string_equal(found->str, cases[i].expected);
    assert_int_equal(intake.titled, cases[i].titled);
    assert_int_equal(intake.tunes, 3);
    RcBoards *boards = find_boards("24", "8", NULL);
    RcRolled *rolled = rc_repertoire_roll(&repertoire, boards, TRUE, NULL);
    g_string_truncate(found, 0);
    for (guint j = 0; j < rolled->n_tunes; ++j) {
      collect_chords(rolled->tunes[j], found);
    }
    assert_string_equal(found->str, cases[i].expected);
    rc_rolled_free(rolled);
    rc_boards_free(boards);
    g_string_free(found, TRUE);
  }
}

typedef struct {
  guint64 tunes, bytes, most;
  guint ticks;
} Progress;

static void
add_tick(guint64 tunes, guint64 bytes, gpointer data)
{
  Progress *progress = data;
  progress->tunes += tunes;
  progress->bytes += bytes;
  progress->most = MAX(progress->most, tunes);
  ++progress->ticks;
}

// All tunes and bytes are told of, a few tunes at a time.
static void
progress_is_told_now_and_then(void **state)
{
  (void)state;
  GString *text = g_string_new(NULL);
  for (guint i = 0; i < 100; ++i) {
    g_string_append_printf(text, "%stitle: T%u\nparts: {A: '| D | G |'}\n", i ? "---\n" : "", i);
  }
  for (guint threads = 1; threads <= 3; threads += 2) {
    RcSettings settings = rc_settings();
    Progress progress = { 0, 0, 0, 0 };
    char *book = g_build_filename(folder, "d.yaml", NULL);
    const char *const paths[] = { book, NULL };
    const RcRepertoire repertoire = { paths, NULL, 0, 0 };
    const RcWatcher watcher = { NULL, NULL, add_tick, &progress, 0 };
    settings.threads = threads;
    assert_true(g_file_set_contents(book, text->str, -1, NULL));
    RcBoards *boards = find_boards("24", "8", &settings);
    RcRolled *rolled = rc_repertoire_roll(&repertoire, boards, FALSE, &watcher);
    assert_int_equal(progress.tunes, 100);
    assert_int_equal(progress.bytes, text->len);
    assert_true(progress.ticks >= 4 && progress.most <= 50);
    rc_rolled_free(rolled);
    rc_boards_free(boards);
    g_remove(book);
    g_free(book);
  }
  g_string_free(text, TRUE);
}

// A file that is not there is a problem; the others are read all the same.
static void
a_missing_file_leaves_the_others(void **state)
{
  (void)state;
  char *missing = g_build_filename(folder, "none.yaml", NULL);
  const char *const paths[] = { book_paths[0], missing, book_paths[2], NULL };
  const RcRepertoire repertoire = { paths, NULL, 0, 0 };
  for (guint threads = 1; threads <= 3; ++threads) {
    RcSettings settings = rc_settings();
    GString *told = g_string_new(NULL);
    const RcWatcher watcher = { NULL, see_whole, NULL, told, 0 };
    settings.threads = threads;
    RcBoards *boards = find_boards("24", "8", &settings);
    RcRolled *rolled = rc_repertoire_roll(&repertoire, boards, TRUE, &watcher);
    assert_int_equal(rolled->n_tunes, 3);
    assert_int_equal(rolled->intake.problems, 1);
    assert_non_null(strstr(told->str, "\nnone.yaml: cannot be opened: "));
    rc_rolled_free(rolled);
    rc_boards_free(boards);
    g_string_free(told, TRUE);
  }
  g_free(missing);
}

static void
titles_are_asked_for_in_either_case(void **state)
{
  (void)state;
  const char *const paths[] = { folder, NULL };
  const RcRepertoire repertoire = { paths, "gate", 0, 0 };
  const RcSettings settings = rc_settings();
  RcIntake intake;
  guint n = 0;
  assert_true(rc_repertoire_read(&repertoire, &settings, NULL, count_tune, &n, &intake));
  assert_int_equal(n, 2);
  assert_int_equal(intake.titled, 2);
  assert_int_equal(intake.tunes, 3);
}

// ------------------------------------------------------------------------------------------------- a layout described

// Boards with the columns and rows of an 8; a letter for each of the four buttons of the major row: by the row's rule,
// retuned, listed where the row has none, silent.
static const struct {
  const char *exceptions;
  guint sounding, follow; // of the major row
  const char *parts;
  guint as_an_8; // buttons that sound as on an 8
} described[] = {
  { "", 4, 4, "rrrr", 8 },
  { "retuned: {major F: F minor}\n", 4, 3, "trrr", 7 },
  { "retuned: {major F: F minor, major C: C minor}\n", 4, 0, "llll", 6 }, // two and two: nobody knows which is the rule
  { "retuned: {major F: G major, major C: C seventh, major G: G minor}\n", 4, 0, "llll", 5 },
  { "dead: [major F]\n", 3, 3, "srrr", 7 },
  { "dead: [major F, major C]\nretuned: {major D: D minor}\n", 2, 0, "ssll", 5 },
  { "dead: [major F, major C, major G]\n", 1, 0, "sssl", 5 }, // one button makes no rule
};

static void
the_first_button_may_be_silent(void **state)
{
  (void)state;
  static const char text[] = "columns: F..D\nrows: [fundamental, major]\ndead: [fundamental F]\n";
  RcLayouts *shipped = rc_layouts_find(NULL, NULL);
  RcLayout *layout = rc_layout_parse(text, strlen(text), "tiny.yaml", NULL);
  RcLayoutStudy *study = rc_layout_study_on(layout, shipped);
  assert_int_equal(study->parts[0], RC_BUTTON_SILENT);
  assert_int_equal(study->parts[1], RC_BUTTON_RULED);
  rc_layout_study_free(study);
  rc_layout_free(layout);
  rc_layouts_free(shipped);
}

static void
a_row_has_the_rule_that_most_buttons_follow(void **state)
{
  (void)state;
  static const char letters[] = {
    [RC_BUTTON_RULED] = 'r', [RC_BUTTON_RETUNED] = 't', [RC_BUTTON_LISTED] = 'l', [RC_BUTTON_SILENT] = 's'
  };
  RcLayouts *shipped = rc_layouts_find(NULL, NULL);
  for (guint i = 0; i < G_N_ELEMENTS(described); ++i) {
    char parts[5] = "";
    char *text = g_strconcat("name: tiny\ntitle: t\ncolumns: F..D\nrows: [fundamental, major]\n"
                             "spacing: {column: 16, row: 12}\n",
                             described[i].exceptions, NULL);
    RcLayout *layout = rc_layout_parse(text, strlen(text), "tiny.yaml", NULL);
    RcLayoutStudy *study = rc_layout_study_on(layout, shipped);
    for (guint button = 0; button < 4; ++button) {
      assert_int_equal(study->parts[button], RC_BUTTON_RULED); // the basses
      parts[button] = letters[study->parts[4 + button]];
    }
    assert_string_equal(parts, described[i].parts);
    assert_int_equal(study->rules[0].sounding, 4);
    assert_int_equal(study->rules[0].alike, 4);
    assert_int_equal(study->rules[1].sounding, described[i].sounding);
    assert_int_equal(study->rules[1].alike, described[i].follow);
    assert_string_equal(study->nearest, "8");
    assert_int_equal(study->nearest_buttons, 8);
    assert_int_equal(study->alike, described[i].as_an_8);
    assert_false(study->no_bass || study->no_chord);
    rc_layout_study_free(study);
    const RcLayouts itself = { &layout, 1 }; // what is silent is like nothing, not even itself
    study = rc_layout_study_on(layout, &itself);
    assert_int_equal(study->alike, rc_layout_count_buttons(layout));
    assert_int_equal(study->nearest_buttons, rc_layout_count_buttons(layout));
    rc_layout_study_free(study);
    rc_layout_free(layout);
    g_free(text);
  }
  rc_layouts_free(shipped);
}

static void
layouts_are_found_by_their_names(void **state)
{
  (void)state;
  static const char *const good[] = { "12", "8", NULL };
  static const char *const bad[] = { "12", "48-8x7", NULL };
  GError *error = NULL;
  RcLayouts *layouts = rc_layouts_find(good, &error);
  assert_null(error);
  assert_int_equal(layouts->n, 2);
  assert_string_equal(layouts->layouts[0]->name, "12");
  assert_string_equal(layouts->layouts[1]->name, "8");
  rc_layouts_free(layouts);
  assert_null(rc_layouts_find(bad, &error));
  assert_non_null(strstr(error->message, "did you mean `48-8x6`?"));
  g_error_free(error);
}

// A file with two mistakes is told of both, and of what it resembles; one that is right of none.
static void
all_that_is_wrong_with_a_layout_is_told(void **state)
{
  (void)state;
  char *file = g_build_filename(folder, "tiny.layout", NULL);
  assert_true(g_file_set_contents(file,
                                  "name: tiny\ntitle: t\ncolumns: F..D\nrows: [fundamental, major]\nwidth: 3\n"
                                  "spacing: {column: 16, row: 12}\ndead: [minor F]\n",
                                  -1, NULL));
  RcLayoutStudy *study = rc_layout_study_new(file);
  assert_int_equal(study->n_problems, 2);
  assert_string_equal(study->nearest, "8");
  rc_layout_study_free(study);
  study = rc_layout_study_new("8");
  assert_int_equal(study->n_problems, 0);
  assert_int_equal(study->alike, 8);
  rc_layout_study_free(study);
  study = rc_layout_study_new("no such layout");
  assert_int_equal(study->n_problems, 1);
  assert_null(study->layout);
  rc_layout_study_free(study);
  g_remove(file);
  g_free(file);
}

// Boards of the columns of an 8. What a keyboard resembles is built the same way round; the shipped ones that are
// mirrored have 120 buttons.
static void
a_layout_without_basses_or_chords_is_told(void **state)
{
  (void)state;
  static const struct {
    const char *lines;
    gboolean no_bass, no_chord;
    const char *nearest;
  } cases[] = { { "columns: F..D\nrows: [major]\n", TRUE, FALSE, "8" },
                { "columns: F..D\nrows: [fundamental]\n", FALSE, TRUE, "8" },
                { "columns: F..D\nrows: [fundamental, major]\n", FALSE, FALSE, "8" },
                { "columns: [C]\nrows: [fundamental, major]\n", FALSE, FALSE, "8" },
                { "columns: [C]\nrows: [major, fundamental]\n", FALSE, FALSE, "8" },
                { "columns: F..D\nrows: [fundamental, major]\nmirrored: true\n", FALSE, FALSE, "120-mirrored" },
                { "columns: F..D\nrows: [major]\ndead: [major F, major C, major G, major D]\n", TRUE, TRUE, NULL } };
  RcLayouts *shipped = rc_layouts_find(NULL, NULL);
  for (guint i = 0; i < G_N_ELEMENTS(cases); ++i) {
    char *text = g_strconcat("name: tiny\ntitle: t\nspacing: {column: 16, row: 12}\n", cases[i].lines, NULL);
    RcLayout *layout = rc_layout_parse(text, strlen(text), "tiny.yaml", NULL);
    assert_non_null(layout);
    RcLayoutStudy *study = rc_layout_study_on(layout, shipped);
    assert_int_equal(study->no_bass, cases[i].no_bass);
    assert_int_equal(study->no_chord, cases[i].no_chord);
    assert_int_equal(g_strcmp0(study->nearest, cases[i].nearest), 0);
    rc_layout_study_free(study);
    rc_layout_free(layout);
    g_free(text);
  }
  rc_layouts_free(shipped);
}

// ------------------------------------------------------------------------------------------------------- conclusions

static void
the_smallest_has_the_fewest_buttons(void **state)
{
  (void)state;
  RcSettings settings = rc_settings();
  RcBoards *boards = find_boards("32", "24", &settings); // the larger one first
  RcRolled *rolled = roll(boards, "gate", FALSE, NULL);
  RcComparison *c = rc_compare(rolled);
  // A 24 has no button for A7, but A + A major (C) is accepted; so both carry both tunes.
  assert_int_equal(c->by_time, 1);
  assert_int_equal(c->by_tunes, 1);
  assert_int_equal(c->most_tunes, 2);
  assert_int_equal(c->sizes[0].counts.native, 2);
  assert_int_equal(c->sizes[1].counts.native, 0);
  rc_comparison_free(c);
  rc_rolled_free(rolled);
  rc_boards_free(boards);
}

// Two 48s, where only the same notes will do: the one with all twelve columns has B minor, in two tunes of a bar; the
// one with sevenths has G7, for eight bars of one tune.
static void
of_two_as_large_the_one_that_does_more_is_named(void **state)
{
  (void)state;
  static const char *const names[] = { "48-12x4", "48-8x6" };
  const char *const paths[] = { path, NULL };
  const RcRepertoire repertoire = { paths, NULL, 0, 0 };
  RcSettings settings = rc_settings();
  assert_true(rc_settings_set(&settings, "accept", "A", NULL));
  assert_true(rc_settings_set(&settings, "target", "1", NULL));
  assert_true(g_file_set_contents(path,
                                  "title: Weir\nparts: {A: Bm}\n---\ntitle: Mill\nparts: {A: Bm}\n---\n"
                                  "title: Lock\nparts: {A: G7 | G7 | G7 | G7 | G7 | G7 | G7 | G7}\n",
                                  -1, NULL));
  for (guint i = 0; i < 2; ++i) {
    RcBoards *boards = find_boards(names[i], names[1 - i], &settings);
    RcRolled *rolled = rc_repertoire_roll(&repertoire, boards, FALSE, NULL);
    RcComparison *c = rc_compare(rolled);
    assert_string_equal(boards->layouts[c->by_tunes]->name, "48-12x4");
    assert_string_equal(boards->layouts[c->by_time]->name, "48-8x6");
    rc_comparison_free(c);
    rc_rolled_free(rolled);
    rc_boards_free(boards);
  }
  g_remove(path);
}

static void
a_step_tells_comfort(void **state)
{
  (void)state;
  RcSettings settings = rc_settings();
  RcBoards *boards = find_boards("24", "32", &settings);
  RcRolled *rolled = roll(boards, "gate", FALSE, NULL);
  RcComparison *c = rc_compare(rolled);
  const RcStepUp *step = &c->sizes[0].step;
  char *name = rc_chord_name(&step->chords[0], RC_SIGNS_ASCII);
  assert_int_equal(step->gain.next, 1);
  assert_int_equal(step->gain.tunes, 0);
  assert_int_equal(step->native, 2);
  assert_true(step->own == (RcTicks)8 * RC_QUARTER); // a bar of A7 in each of the two tunes
  assert_true(step->better == 0);
  assert_int_equal(step->n_chords, 1);
  assert_string_equal(name, "A7");
  assert_int_equal(c->sizes[1].step.gain.next, -1);
  g_free(name);
  rc_comparison_free(c);
  rc_rolled_free(rolled);
  rc_boards_free(boards);
}

// F sharp minor as F sharp over A major is richer in D, which has the E. In D flat, where the chord is G flat minor, it
// is borrowed, since the key lacks it. The chord is called what it is for longer.
static void
a_stand_in_is_graded_as_it_is_for_longest(void **state)
{
  (void)state;
  const char *const paths[] = { path, NULL };
  const RcRepertoire repertoire = { paths, NULL, 0, 0 };
  const RcSettings settings = rc_settings();
  const RcBoardName name = { "48-8x6", NULL };
  guint n = 0;
  assert_true(g_file_set_contents(path,
                                  "title: Hedge\nkey: D\nmeter: 4/4\nparts:\n  A: \"| F#m | D | F#m | D |\"\n"
                                  "---\ntitle: Ditch\nkey: Db\nmeter: 4/4\nparts:\n  A: \"| Gbm | Ab7 |\"\n",
                                  -1, NULL));
  RcBoards *boards = rc_boards_find(&name, 1, &settings, NULL);
  RcRolled *rolled = rc_repertoire_roll(&repertoire, boards, FALSE, NULL);
  RcLack *lacks = rc_lacks_find(rolled->roll, 0, &n);
  assert_true(n >= 1);
  assert_int_equal(rc_note_pc(lacks[0].chord.root), 6);
  assert_int_equal(lacks[0].answer.verdict, RC_RICHER);
  assert_false(lacks[0].mixed); // in either key nothing is missing, and no melody helps
  assert_int_equal(lacks[0].where, RC_LACK_ANYWHERE);
  assert_int_equal(lacks[0].times, 3);
  assert_int_equal(lacks[0].graded_times[RC_RICHER], 2);
  assert_int_equal(lacks[0].graded_times[RC_BORROWED], 1);
  assert_int_equal(lacks[0].graded_ticks[RC_BORROWED], 4 * RC_QUARTER);
  g_free(lacks);
  rc_rolled_free(rolled);
  rc_boards_free(boards);
  g_remove(path);
}

// A keyboard of which it is asked who presses what, after the tunes were read on it.
static RcRolled *
roll_use(RcBoards **boards, const char *text)
{
  const char *const paths[] = { path, NULL };
  const RcRepertoire repertoire = { paths, NULL, 0, 0 };
  const RcBoardName name = { "32", NULL };
  assert_true(g_file_set_contents(path, text, -1, NULL));
  *boards = rc_boards_find(&name, 1, NULL, NULL);
  rc_boards_plan_tunes(*boards, 0);
  RcRolled *rolled = rc_repertoire_roll(&repertoire, *boards, FALSE, NULL);
  assert_non_null(rolled);
  return rolled;
}

static void
whoever_asks_is_told_which_tunes_press_a_button(void **state)
{
  (void)state;
  RcBoards *one = NULL;
  RcBoards *other = NULL;
  RcRolled *first =
    roll_use(&one, "title: Weir\nparts:\n  A: \"C | Am\"\n---\ntitle: Mill\nparts:\n  A: \"Am | Am\"\n");
  RcRolled *second = roll_use(&other, "title: Lock\nparts:\n  A: \"C | C\"\n");
  RcHeatPair *pair = rc_heat_pair_new(one->uses[0], other->uses[0]);
  assert_int_equal(pair->sides[0].n_own, 2); // the bass and the minor of A
  assert_int_equal(pair->sides[1].n_own, 0);
  assert_int_equal(pair->sides[0].own[0].n_tunes, 2);
  assert_string_equal(pair->sides[0].own[0].tunes[0].title, "Mill"); // for longer
  assert_string_equal(pair->sides[0].own[0].tunes[1].title, "Weir");
  rc_heat_pair_free(pair);
  rc_rolled_free(first);
  rc_rolled_free(second);
  rc_boards_free(one);
  rc_boards_free(other);
  g_remove(path);
}

static RcReport *
report_on(const char *name, const char *target, RcBoards **boards, RcRolled **rolled)
{
  RcSettings settings = rc_settings();
  assert_true(rc_settings_set(&settings, "target", target, NULL));
  const RcBoardName own = { name, NULL };
  *boards = rc_boards_find_usual(name ? &own : NULL, &settings, NULL);
  *rolled = roll(*boards, NULL, TRUE, NULL);
  return rc_report_new(*rolled);
}

static void
a_report_tells_unread_tunes_from_lacking_ones(void **state)
{
  (void)state;
  RcBoards *boards = NULL;
  RcRolled *rolled = NULL;
  RcReport *r = report_on("120", "95", &boards, &rolled);
  assert_true(r->owned);
  assert_string_equal(r->comparison->sizes[r->chosen].layout->name, "120");
  assert_int_equal(r->comparison->n, 12); // it is one of the usual sizes
  assert_int_equal(r->comparison->most_tunes, 2);
  assert_int_equal(r->advice.unread, 1); // Stile
  assert_int_equal(r->advice.nowhere, 0);
  assert_int_equal(r->advice.elsewhere, 0);
  assert_int_equal(r->advice.enough, RC_ENOUGH_TIME);
  assert_int_equal(r->advice.n_wanted, 3); // D, A7 and G
  GPtrArray *stand_ins = rc_ladder_stand_ins(r->advice.ladder);
  assert_int_equal(stand_ins->len, 0);
  g_ptr_array_unref(stand_ins);
  rc_report_free(r);
  rc_rolled_free(rolled);
  rc_boards_free(boards);
}

// Where only the same notes are accepted, no size plays G augmented, so that a tune with it is left out for that and
// not for the text that cannot be read. F sharp minor in D and G flat minor in D flat are one chord that is wanted.
static void
a_report_names_what_is_wanted_and_why_tunes_are_left_out(void **state)
{
  (void)state;
  const char *const paths[] = { path, NULL };
  const RcRepertoire repertoire = { paths, NULL, 0, 0 };
  RcSettings settings = rc_settings();
  assert_true(rc_settings_set(&settings, "accept", "A", NULL));
  assert_true(g_file_set_contents(path,
                                  "title: Weir\nkey: D\nparts:\n  A: \"| D | Gaug | Xq |\"\n---\n"
                                  "title: Stile\nkey: D\nparts:\n  A: \"| D | Xq |\"\n---\n"
                                  "title: Hedge\nkey: D\nparts:\n  A: \"| F#m | A |\"\n---\n"
                                  "title: Ditch\nkey: Db\nparts:\n  A: \"| Gbm | Ab7 |\"\n",
                                  -1, NULL));
  RcBoards *boards = rc_boards_find_usual(NULL, &settings, NULL);
  RcRolled *rolled = rc_repertoire_roll(&repertoire, boards, TRUE, NULL);
  RcReport *r = rc_report_new(rolled);
  assert_int_equal(r->advice.nowhere, 1);
  assert_int_equal(r->advice.unread, 1);
  assert_int_equal(r->advice.n_wanted, 5); // D, Gaug, F#m, A and Ab7
  rc_report_free(r);
  rc_rolled_free(rolled);
  rc_boards_free(boards);
  g_remove(path);
}

// A 48-8x6 has no B7; a tone lower, in G, all chords of Peat have buttons. Lock plays as it is.
static void
a_report_names_the_tunes_to_move(void **state)
{
  (void)state;
  const char *const paths[] = { path, NULL };
  const RcRepertoire repertoire = { paths, NULL, 0, 0 };
  const RcBoardName own = { "48-8x6", NULL };
  assert_true(g_file_set_contents(path,
                                  "title: Peat\nkey: A\nmeter: 4/4\nparts:\n  A: \"A | D | E7 | B7 | A\"\n---\n"
                                  "title: Lock\nkey: G\nparts:\n  A: \"G | C\"\n",
                                  -1, NULL));
  RcBoards *boards = rc_boards_find_usual(&own, NULL, NULL);
  RcRolled *rolled = rc_repertoire_roll(&repertoire, boards, TRUE, NULL);
  RcReport *r = rc_report_new(rolled);
  assert_int_equal(r->advice.n_moved, 1);
  assert_non_null(r->advice.moved);
  assert_string_equal(r->advice.moved[0].tune->title, "Peat");
  assert_int_equal(r->advice.moved[0].move - RC_AS_WRITTEN, -2);
  assert_true(r->advice.moved[0].native);
  assert_true(r->advice.moved[0].read == (RcTicks)5 * 4 * RC_QUARTER);
  assert_true(r->advice.moved[0].carried == (RcTicks)4 * 4 * RC_QUARTER);
  rc_report_free(r);
  rc_rolled_free(rolled);
  rc_boards_free(boards);
  g_remove(path);
}

// How far the middle of the columns lies from between C and G.
static int
off_centre(const RcSwept *s, const RcSize *size)
{
  const GArray *columns = rc_sweep_full(s->sweep)->columns;
  return ABS(g_array_index(columns, RcNote, size->first) + g_array_index(columns, RcNote, size->last) - 1);
}

// Whether no other size from `first` on that reaches the target is smaller, or as large and better: carries more time,
// then more tunes, then lies nearer to C and G.
static void
assert_best(const RcSwept *s, int best, guint first, guint n, gboolean usual)
{
  assert_true(best >= (int)first && best < (int)(first + n) && s->sizes[best].reaches);
  const RcSweptSize *b = &s->sizes[best];
  for (guint i = first; i < first + n; ++i) {
    const RcSweptSize *other = &s->sizes[i];
    if (!other->reaches || (usual && !other->size->usual) || (int)i == best) {
      continue;
    }
    const gint64 time = rc_counts_carried(&b->counts, s->accept) - rc_counts_carried(&other->counts, s->accept);
    const int tunes = (int)b->counts.playable - (int)other->counts.playable;
    const int nearer = off_centre(s, other->size) - off_centre(s, b->size);
    assert_true(other->size->buttons > b->size->buttons ||
                (other->size->buttons == b->size->buttons &&
                 (time > 0 || (time == 0 && (tunes > 0 || (tunes == 0 && nearer >= 0))))));
  }
}

// A tenth of the time is reached by a single column: by that of D, of G or of A.
static void
the_best_of_equal_sizes_is_proposed(void **state)
{
  (void)state;
  RcBoards *boards = NULL;
  RcRolled *rolled = NULL;
  RcReport *r = report_on(NULL, "10", &boards, &rolled);
  const RcSwept *s = r->swept;
  guint others = 0;
  assert_best(s, s->smallest, 0, s->n, FALSE);
  assert_best(s, s->usual, 0, s->n, TRUE);
  assert_true(s->sizes[s->usual].size->usual);
  for (guint i = 0; i < s->n_rows; ++i) {
    const RcSweptRows *rows = &s->rows[i];
    guint reach = 0;
    guint same = 0;
    for (guint j = rows->first; j < rows->first + rows->n; ++j) {
      reach += s->sizes[j].reaches ? 1 : 0;
      if (s->sizes[j].reaches && rows->smallest >= 0) {
        same += s->sizes[j].size->buttons == s->sizes[rows->smallest].size->buttons ? 1 : 0;
      }
    }
    assert_int_equal(rows->smallest >= 0, reach > 0);
    assert_int_equal(rows->others, same ? same - 1 : 0);
    others += rows->others;
    if (reach) {
      assert_best(s, rows->smallest, rows->first, rows->n, FALSE);
    }
  }
  assert_true(others > 0);                                                // there is something to choose between
  assert_string_equal(r->comparison->sizes[r->chosen].layout->name, "8"); // which carries D and G
  rc_report_free(r);
  rc_rolled_free(rolled);
  rc_boards_free(boards);
}

// Of nine bars that are read an 8 plays D and G, 7, and no tune whole.
static void
a_report_says_whether_a_keyboard_is_enough(void **state)
{
  (void)state;
  static const struct {
    const char *target;
    RcEnough enough;
  } cases[] = { { "77.7", RC_ENOUGH_TIME }, { "77.8", RC_ENOUGH_NOT } };
  for (guint i = 0; i < G_N_ELEMENTS(cases); ++i) {
    RcBoards *boards = NULL;
    RcRolled *rolled = NULL;
    RcReport *r = report_on("8", cases[i].target, &boards, &rolled);
    assert_int_equal(r->advice.enough, cases[i].enough);
    assert_int_equal(r->advice.unread, 1);
    rc_report_free(r);
    rc_rolled_free(rolled);
    rc_boards_free(boards);
  }
}

// An 8 plays G and C, and has nothing for F sharp minor.
static void
nine_tunes_in_ten_are_nearly_all(void **state)
{
  (void)state;
  static const struct {
    guint plays, others;
    RcEnough enough;
  } cases[] = { { 9, 1, RC_ENOUGH_NEARLY },
                { 8, 1, RC_ENOUGH_TIME },
                { 10, 0, RC_ENOUGH_WHOLE },
                { 18, 2, RC_ENOUGH_NEARLY },
                { 17, 2, RC_ENOUGH_TIME } };
  const char *const paths[] = { path, NULL };
  const RcRepertoire repertoire = { paths, NULL, 0, 0 };
  const RcBoardName own = { "8", NULL };
  RcSettings settings = rc_settings();
  assert_true(rc_settings_set(&settings, "target", "50", NULL));
  for (guint i = 0; i < G_N_ELEMENTS(cases); ++i) {
    GString *text = g_string_new(NULL);
    for (guint j = 0; j < cases[i].plays + cases[i].others; ++j) {
      g_string_append_printf(text, "%stitle: T\nparts: {A: G | %s}\n", j ? "---\n" : "",
                             j < cases[i].plays ? "C" : "F#m");
    }
    assert_true(g_file_set_contents(path, text->str, -1, NULL));
    RcBoards *boards = rc_boards_find_usual(&own, &settings, NULL);
    RcRolled *rolled = rc_repertoire_roll(&repertoire, boards, TRUE, NULL);
    RcReport *r = rc_report_new(rolled);
    assert_int_equal(r->advice.enough, cases[i].enough);
    rc_report_free(r);
    rc_rolled_free(rolled);
    rc_boards_free(boards);
    g_string_free(text, TRUE);
  }
  g_remove(path);
}

// The stand-ins to learn first are those that most tunes need: on a 48-8x6 Bm, before F#m, which one tune needs.
static void
stand_ins_of_most_tunes_come_first(void **state)
{
  (void)state;
  const char *const paths[] = { path, NULL };
  const RcRepertoire repertoire = { paths, NULL, 0, 0 };
  assert_true(g_file_set_contents(path,
                                  "title: Weir\nkey: D\nparts: {A: D | F#m}\n---\n"
                                  "title: Mill\nkey: D\nparts: {A: D | Bm | G | A}\n---\n"
                                  "title: Lock\nkey: D\nparts: {A: D | Bm | E7 | A7 | G}\n",
                                  -1, NULL));
  RcBoards *boards = rc_boards_find(&(RcBoardName){ "48-8x6", NULL }, 1, NULL, NULL);
  RcRolled *rolled = rc_repertoire_roll(&repertoire, boards, TRUE, NULL);
  RcLadder *ladder = rc_ladder_new(rolled, 0, NULL, NULL);
  GPtrArray *all = rc_ladder_stand_ins(ladder);
  static const char *const names[] = { "Bm", "F#m" };
  assert_string_equal(ladder->rungs[0].tunes[0]->title, "Weir"); // and is learned first
  assert_int_equal(all->len, G_N_ELEMENTS(names));
  for (guint i = 0; i < all->len; ++i) {
    char *word = rc_thing_word(ladder->layout, g_ptr_array_index(all, i));
    assert_string_equal(word, names[i]);
    assert_int_equal(((const RcThing *)g_ptr_array_index(all, i))->tunes, 2 - i);
    g_free(word);
  }
  g_ptr_array_unref(all);
  rc_ladder_free(ladder);
  rc_rolled_free(rolled);
  rc_boards_free(boards);
  g_remove(path);
}

static void
keyboards_that_are_not_found_are_named(void **state)
{
  (void)state;
  GError *error = NULL;
  const RcSettings settings = rc_settings();
  const RcBoardName unknown[] = { { "24", NULL }, { "48-8x7", NULL } };
  const RcBoardName without[] = { { "24", "minor:X" } };
  const RcBoardName broken[] = { { "24", "minor:E" } };
  assert_null(rc_boards_find(unknown, 2, &settings, &error));
  assert_true(g_str_has_prefix(error->message, "no layout is called `48-8x7`; did you mean `48-8x6`?"));
  g_clear_error(&error);
  assert_null(rc_boards_find(without, 1, &settings, &error));
  assert_true(g_str_has_prefix(error->message, "without minor:X: 24: found button `minor X`"));
  g_clear_error(&error);
  RcBoards *boards = rc_boards_find(broken, 1, &settings, &error);
  assert_null(error);
  assert_int_equal(rc_layout_count_buttons(boards->layouts[0]), 23);
  assert_int_equal(boards->own, -1); // nobody's in particular
  rc_boards_free(boards);
}

// Of each number of columns with one set of rows none carries more than the one that the chart shows.
static void
the_best_of_each_width_carries_most(void **state)
{
  (void)state;
  RcBoards *boards = NULL;
  RcRolled *rolled = NULL;
  RcReport *r = report_on(NULL, "95", &boards, &rolled);
  const RcSwept *s = r->swept;
  for (guint i = 0; i < s->n; ++i) {
    const RcSize *size = s->sizes[i].size;
    const RcSweptRows *rows = &s->rows[i / (s->n / s->n_rows)];
    const guint best = rows->best[size->last - size->first];
    assert_int_equal(s->sizes[best].size->rows, size->rows);
    assert_int_equal(s->sizes[best].size->buttons, size->buttons);
    assert_true(rc_swept_share(s, best) >= rc_swept_share(s, i));
  }
  rc_report_free(r);
  rc_rolled_free(rolled);
  rc_boards_free(boards);
}

// Of the three tunes with chords a 120 plays two; the third, Stile, has a text that is no chord symbol.
static void
an_index_begins_with_what_plays(void **state)
{
  (void)state;
  RcBoards *boards = NULL;
  RcRolled *rolled = NULL;
  RcReport *r = report_on("120", "95", &boards, &rolled);
  const RcTuneIndex *index = r->index;
  assert_int_equal(index->fare[RC_FARES_PLAYS], 2);
  assert_int_equal(index->fare[RC_FARES_UNREAD], 1);
  assert_int_equal(index->n, 3);
  assert_int_equal(index->n + index->n_chordless, r->n_tunes);
  assert_int_equal(index->tunes[0].on.fares, RC_FARES_PLAYS);
  assert_int_equal(index->tunes[2].on.fares, RC_FARES_UNREAD);
  assert_string_equal(r->tunes[index->tunes[2].number]->title, "Stile");
  for (guint i = 0; i < index->n; ++i) { // the chosen keyboard is among all
    assert_int_equal(index->tunes[i].sizes[r->chosen], index->tunes[i].on.fares);
  }
  rc_report_free(r);
  rc_rolled_free(rolled);
  rc_boards_free(boards);
}

static void
a_report_proposes_the_smallest(void **state)
{
  (void)state;
  RcBoards *boards = NULL;
  RcRolled *rolled = NULL;
  RcReport *r = report_on(NULL, "95", &boards, &rolled);
  assert_false(r->owned);
  assert_int_equal(r->chosen, r->comparison->by_time);
  assert_true(r->swept->smallest >= 0);
  assert_true(r->swept->sizes[r->swept->smallest].size->buttons <= r->comparison->sizes[r->chosen].buttons);
  for (guint i = 0; i < r->swept->n; ++i) { // none smaller reaches the target
    assert_true(!r->swept->sizes[i].reaches ||
                r->swept->sizes[i].size->buttons >= r->swept->sizes[r->swept->smallest].size->buttons);
  }
  rc_report_free(r);
  rc_rolled_free(rolled);
  rc_boards_free(boards);
}

static void
moves_are_as_small_as_will_do(void **state)
{
  (void)state;
  RcSettings settings = rc_settings();
  RcLayout *layout = rc_layout_find("32", NULL);
  RcMoves *moves = rc_moves_new(layout, &settings);
  // F# and C#7 have no buttons on a 32 (columns Eb to E): a semitone lower they are F and C7, native.
  RcTune *tune = rc_tune_new_symbol("F#", RC_NAMES_ENGLISH, (RcMeter){ 4, 4 }, (RcTempo){ RC_TEMPO_STATED, 60 }, 1);
  const RcTuneMoves judged = rc_moves_judge(moves, tune, &(RcCustom){ .n = 0 });
  assert_int_equal(judged.counts[RC_AS_WRITTEN].native, 0);
  assert_int_equal(judged.native, RC_AS_WRITTEN + 1); // of F and G, both native, the one upwards
  rc_tune_free(tune);
  rc_moves_free(moves);
  rc_layout_free(layout);
}

static void
nothing_can_be_freed(void **state)
{
  (void)state;
  rc_ranking_free(NULL);
  rc_boards_free(NULL);
  rc_books_free(NULL);
  rc_cards_free(NULL);
  rc_comparison_free(NULL);
  rc_hard_free(NULL);
  rc_heat_free(NULL);
  rc_heat_pair_free(NULL);
  rc_layout_study_free(NULL);
  rc_layouts_free(NULL);
  rc_listening_free(NULL);
  rc_moves_free(NULL);
  rc_player_free(NULL);
  rc_report_free(NULL);
  rc_rolled_free(NULL);
  rc_shared_free(NULL);
  rc_swept_free(NULL);
  rc_wide_tally_free(NULL);
}

int
main(void)
{
  const struct CMUnitTest tests[] = {
    cmocka_unit_test(a_target_is_reached_exactly),
    cmocka_unit_test(a_target_counts_time_or_tunes),
    cmocka_unit_test(settings_are_set_by_name),
    cmocka_unit_test(settings_of_hands_and_keys),
    cmocka_unit_test(a_pace_or_a_tempo_is_for_all_tunes),
    cmocka_unit_test(settings_on_the_heap_are_the_usual_ones),
    cmocka_unit_test(what_surrounds_a_chord_is_read),
    cmocka_unit_test(a_huge_message_is_shortened),
    cmocka_unit_test(a_message_is_shortened_only_where_that_spares_something),
    cmocka_unit_test(a_mistyped_name_finds_the_nearest),
    cmocka_unit_test(wrong_settings_say_what_is_expected_and_change_nothing),
    cmocka_unit_test(a_watcher_is_told_in_the_order_of_the_files),
    cmocka_unit_test(a_watcher_may_want_few_messages_or_no_reading),
    cmocka_unit_test(a_watcher_hears_now_and_then_how_far_it_is),
    cmocka_unit_test(each_file_is_told_of_by_itself),
    cmocka_unit_test(problems_that_are_not_wanted_are_counted),
    cmocka_unit_test(each_member_of_an_archive_is_told_of_by_itself),
    cmocka_unit_test(unread_texts_of_a_file_are_one_message),
    cmocka_unit_test(remarks_are_told_once_a_file),
    cmocka_unit_test(an_unread_chord_of_a_score_has_its_measure),
    cmocka_unit_test(tunes_are_moved_and_picked_by_line),
    cmocka_unit_test(progress_is_told_now_and_then),
    cmocka_unit_test(a_missing_file_leaves_the_others),
    cmocka_unit_test(titles_are_asked_for_in_either_case),
    cmocka_unit_test(a_row_has_the_rule_that_most_buttons_follow),
    cmocka_unit_test(the_first_button_may_be_silent),
    cmocka_unit_test(layouts_are_found_by_their_names),
    cmocka_unit_test(all_that_is_wrong_with_a_layout_is_told),
    cmocka_unit_test(a_layout_without_basses_or_chords_is_told),
    cmocka_unit_test(the_smallest_has_the_fewest_buttons),
    cmocka_unit_test(of_two_as_large_the_one_that_does_more_is_named),
    cmocka_unit_test(a_step_tells_comfort),
    cmocka_unit_test(a_stand_in_is_graded_as_it_is_for_longest),
    cmocka_unit_test(whoever_asks_is_told_which_tunes_press_a_button),
    cmocka_unit_test(a_report_tells_unread_tunes_from_lacking_ones),
    cmocka_unit_test(a_report_names_what_is_wanted_and_why_tunes_are_left_out),
    cmocka_unit_test(a_report_names_the_tunes_to_move),
    cmocka_unit_test(the_best_of_equal_sizes_is_proposed),
    cmocka_unit_test(a_report_says_whether_a_keyboard_is_enough),
    cmocka_unit_test(nine_tunes_in_ten_are_nearly_all),
    cmocka_unit_test(stand_ins_of_most_tunes_come_first),
    cmocka_unit_test(keyboards_that_are_not_found_are_named),
    cmocka_unit_test(the_best_of_each_width_carries_most),
    cmocka_unit_test(an_index_begins_with_what_plays),
    cmocka_unit_test(a_report_proposes_the_smallest),
    cmocka_unit_test(nothing_can_be_freed),
    cmocka_unit_test(moves_are_as_small_as_will_do),
  };
  return cmocka_run_group_tests(tests, make_books, remove_books);
}
