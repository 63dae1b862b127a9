// Copyright 2026 the rowcall developers
// SPDX-License-Identifier: MIT

// Reading tunes: what is played and how long, where each chord is written, and that a mistake is named with its place
// and costs no other tune of the file.

#undef NDEBUG

#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>

#include <cmocka.h>

#include "rowcall/corpus.h"

#include <errno.h>
#include <glib/gstdio.h>
#include <stdio.h>
#include <string.h>
#include <unistd.h>

enum { STUCK = 300 }; // seconds after which a reader that never ends is ended

#define FILE_NAME "t.yaml"

// ------------------------------------------------------------------------------------------------ a place to write

static int
make_folder(void **state)
{
  char *folder = g_dir_make_tmp("rowcall-tunes-XXXXXX", NULL);
  *state = folder;
  return folder && !g_chdir(folder) ? 0 : -1;
}

static void
remove_tree(const char *path)
{
  const gboolean folder = g_file_test(path, G_FILE_TEST_IS_DIR) && !g_file_test(path, G_FILE_TEST_IS_SYMLINK);
  GDir *entries = folder ? g_dir_open(path, 0, NULL) : NULL;
  for (const char *name; entries && (name = g_dir_read_name(entries));) {
    char *entry = g_build_filename(path, name, NULL);
    remove_tree(entry);
    g_free(entry);
  }
  if (entries) {
    g_dir_close(entries);
  }
  g_remove(path);
}

static int
remove_folder(void **state)
{
  if (g_chdir("/")) {
    return -1;
  }
  remove_tree(*state);
  const int gone = g_file_test(*state, G_FILE_TEST_EXISTS) ? -1 : 0;
  g_free(*state);
  return gone;
}

static void
write_bytes(const char *path, const char *bytes, gsize length)
{
  char *folder = g_path_get_dirname(path);
  assert_false(g_mkdir_with_parents(folder, 0700));
  assert_true(g_file_set_contents(path, bytes, (gssize)length, NULL));
  g_free(folder);
}

static void
write_text(const char *path, const char *text)
{
  write_bytes(path, text, strlen(text));
}

// ------------------------------------------------------------------------------------------------- reading everything

// Calls for each step of reading @p paths; the end is none.
typedef void (*StepFunc)(RcReadResult result, const RcTune *tune, const GError *error, gpointer data);

static guint
read_all(const char *const *paths, RcNames names, StepFunc step, gpointer data)
{
  RcCorpus *corpus = rc_corpus_new(paths, (RcCorpusOptions){ .names = names, .leave_unkeyed = TRUE });
  RcTune *tune = rc_tune_new();
  for (;;) {
    GError *error = NULL;
    const RcReadResult result = rc_corpus_next(corpus, tune, &error);
    assert_true((result == RC_READ_PROBLEM) == (error != NULL));
    if (result == RC_READ_END) {
      break;
    }
    step(result, tune, error, data);
    g_clear_error(&error);
  }
  const guint files = rc_corpus_files(corpus);
  rc_tune_free(tune);
  rc_corpus_free(corpus);
  return files;
}

static void
add_to_account(RcReadResult result, const RcTune *tune, const GError *error, gpointer data)
{
  if (result == RC_READ_TUNE) {
    g_string_append_printf(data, "tune %s\n", tune->title);
  } else {
    assert_true(error->domain == RC_ERROR);
    g_string_append_printf(data, "%s\n", error->message);
  }
}

// What reading gave, a line a step: "tune TITLE" or the message of a problem.
static char *
account(const char *const *paths)
{
  GString *lines = g_string_new(NULL);
  read_all(paths, RC_NAMES_ENGLISH, add_to_account, lines);
  return g_string_free(lines, FALSE);
}

static char *
account_of_bytes(const char *bytes, gsize length)
{
  write_bytes(FILE_NAME, bytes, length);
  return account((const char *const[]){ FILE_NAME, NULL });
}

static void
assert_account(const char *text, const char *expected)
{
  char *found = account_of_bytes(text, strlen(text));
  assert_string_equal(found, expected);
  g_free(found);
}

// The same through a pipe on standard input; the text is short enough for the pipe to hold it.
static char *
account_of_pipe(const char *text)
{
  int ends[2];
  const int kept = dup(STDIN_FILENO);
  assert_true(kept >= 0 && !pipe(ends));
  assert_int_equal(write(ends[1], text, strlen(text)), strlen(text));
  assert_true(!close(ends[1]) && dup2(ends[0], STDIN_FILENO) == STDIN_FILENO && !close(ends[0]));
  clearerr(stdin);
  char *found = account((const char *const[]){ "-", NULL });
  assert_true(dup2(kept, STDIN_FILENO) == STDIN_FILENO && !close(kept));
  return found;
}

// ------------------------------------------------------------------------------------------------------------ mistakes

typedef struct {
  const char *text; // a document whose mistake is at the place below
  guint line;
  guint column; // 0: the line as a whole
  const char *message;
  const char *title; // of the tune that is left out, where it was read before the mistake
  guint begin_line;  // of broken YAML: where the broken thing begins; 0: no other place
  guint begin_column;
} BadTune;

#define LOG "title: Hollow Log\n" // line 1 of most
#define BARS "parts: {A: \"| D |\"}\n"

#define WRONG_KEY "expected a tonic and a mode, such as D, Bm, E dorian"
#define WRONG_METER "expected beats and note value, such as 3/4 or 6/8"
#define WRONG_TEMPO "expected beats a minute such as 138 or 1/4=138, 5 to 1000 quarter notes a minute"
#define ALL_KEYS "title, key, meter, tempo, rhythm, names, note, order, parts"
#define NEEDS_TITLE "a tune needs a line `title: ...`; the tune was left out"
#define NEEDS_PARTS "a tune needs `parts:` with lines such as A: \"| D | Bm |\""
#define WRONG_PARTS "`parts` holds lines such as A: \"| D | Bm |\""
#define WRONG_PART "a part is a text of bars, such as A: \"| D | Bm |\""
#define ONE_TEXT "a single text is expected here"
#define TWICE "this key is given twice in the tune; keep one"
#define NO_TUNE "a tune begins with lines such as `title: ...`; found something else"
#define BESIDE " has `%` beside other chords; `%` alone repeats the bar before"
#define REPEAT(bar) "bar " #bar " has a repeat mark; repeats are written as the order of parts, `order: A A B B`"
#define EMPTY " is empty; write a chord, `%` to repeat the bar before or N.C. for silence"
#define NO_BARS "bar 1 is missing: a part holds at least one"
#define NOT_UTF8 " is not UTF-8 text; save the file as UTF-8"
#define BROKEN "broken YAML: "
#define NO_TOKEN "found character that cannot start any token while scanning for the next token"
#define NUL "the control character U+0000 is not allowed in a text; remove it"
#define LINE_END(code) " holds a line end (U+" code "); write it on one line"
#define SPACES "; indent with spaces, no tabulators, and put a text that begins with such a character in quotes"

// Lines and columns are counted by hand from 1, columns in characters. `  A: "` takes 6 columns: bars begin at
// column 7.
static const BadTune bad_tunes[] = {
  // values
  { LOG "key: HP\n" BARS, 2, 6, "found key `HP`; " WRONG_KEY, "Hollow Log", 0, 0 },
  { LOG "key: \"D foo\"\n" BARS, 2, 6, "found key `D foo`; " WRONG_KEY, "Hollow Log", 0, 0 },
  { LOG "key:\n" BARS, 2, 5, "found key ``; " WRONG_KEY, "Hollow Log", 0, 0 }, // after the colon
  { LOG "meter: 3/5\n" BARS, 2, 8, "found meter `3/5`; " WRONG_METER, "Hollow Log", 0, 0 },
  { LOG BARS "meter: waltz\n", 3, 8, "found meter `waltz`; " WRONG_METER, "Hollow Log", 0, 0 },
  { LOG "tempo: fast\n" BARS, 2, 8, "found tempo `fast`; " WRONG_TEMPO, "Hollow Log", 0, 0 },
  { LOG "meter: 2/2\ntempo: 501\n" BARS, 3, 8, "found tempo `501`; " WRONG_TEMPO, "Hollow Log", 0, 0 },
  { LOG "tempo:   1/3=90 # thirds\n" BARS, 2, 10, "found tempo `1/3=90`; " WRONG_TEMPO, "Hollow Log", 0, 0 },
  { LOG "names: french\n" BARS, 2, 8, "found names `french`; expected english or german (H is B natural)", "Hollow Log",
    0, 0 },

  // keys and shapes
  { "titel: Hollow Log\n" BARS, 1, 1, "unknown key `titel`; did you mean `title`?", NULL, 0, 0 },
  { LOG "composer: Wren Ackroyd\n" BARS, 2, 1, "unknown key `composer`; expected one of: " ALL_KEYS, "Hollow Log", 0,
    0 },
  { "key: D\n" BARS, 1, 0, NEEDS_TITLE, NULL, 0, 0 },
  { "# a remark\n\ntitle:\n" BARS, 3, 0, NEEDS_TITLE, NULL, 0, 0 },
  { LOG "key: D\n", 1, 0, NEEDS_PARTS, "Hollow Log", 0, 0 },
  { LOG "parts: {}\n", 1, 0, NEEDS_PARTS, "Hollow Log", 0, 0 },
  { LOG "parts: \"| D |\"\n", 2, 8, WRONG_PARTS, "Hollow Log", 0, 0 },
  { LOG "parts:\n  - \"| D |\"\n", 3, 3, WRONG_PARTS, "Hollow Log", 0, 0 },
  { LOG "parts: {A: [D, G]}\n", 2, 12, WRONG_PART, "Hollow Log", 0, 0 }, // parts: {A: is 10
  { LOG "parts: {[A]: \"| D |\"}\n", 2, 9, "a part's name is a short text such as A", "Hollow Log", 0, 0 },
  { "title: [Hollow, Log]\n" BARS, 1, 8, ONE_TEXT, NULL, 0, 0 },
  { LOG BARS "order: [A, A]\n", 3, 8, ONE_TEXT, "Hollow Log", 0, 0 },
  { LOG "key: *other\n" BARS, 2, 6, ONE_TEXT, "Hollow Log", 0, 0 },
  { "[a, b]: {c: [d]}\n" LOG BARS, 1, 1, "a key such as `title` is expected here", "Hollow Log", 0, 0 },
  { "- title: Hollow Log\n", 1, 1, NO_TUNE, NULL, 0, 0 },
  { "\n  Hollow Log\n", 2, 3, NO_TUNE, NULL, 0, 0 },
  { LOG "key: D\nkey: G\n" BARS, 3, 1, TWICE, "Hollow Log", 0, 0 },
  { LOG BARS "parts: {B: \"| G |\"}\n", 3, 1, TWICE, "Hollow Log", 0, 0 },
  { LOG "parts: {}\n" BARS, 3, 1, TWICE, "Hollow Log", 0, 0 },
  { LOG "parts:\n  A: \"| D |\"\n  B: \"| G |\"\n  A: \"| Em |\"\n", 5, 3,
    "the part `A` is given twice; give one of them another name", "Hollow Log", 0, 0 },

  // orders: `order: ` takes 7 columns
  { LOG BARS "order: A C A\n", 3, 10, "the order names part `C`, which `parts` does not hold", "Hollow Log", 0, 0 },
  { LOG BARS "order: \"A, a\"\n", 3, 12, "the order names part `a`, which `parts` does not hold", "Hollow Log", 0, 0 },
  { LOG "parts: {A♯: \"| D |\"}\norder: A♯ B♯\n", 3, 11, "the order names part `B♯`, which `parts` does not hold",
    "Hollow Log", 0, 0 },
  { LOG BARS "order: A A\n  A C\n", 4, 5, "the order names part `C`, which `parts` does not hold", "Hollow Log", 0, 0 },
  { LOG BARS "order: \"\"\n", 3, 8, "found order ``; expected names of parts, such as A A B B", "Hollow Log", 0, 0 },

  // bars on one line
  { LOG "parts:\n  A: \"| D | | G |\"\n", 3, 13, "bar 2" EMPTY, "Hollow Log", 0, 0 }, // |7 D9 |11 |13
  { LOG "parts:\n  A: \"| % | D |\"\n", 3, 9, "bar 1 repeats a bar with `%`, but there is none before it in this part",
    "Hollow Log", 0, 0 },
  { LOG "parts:\n  A: \"| D |\"\n  B: \"| % |\"\n", 4, 9,
    "bar 1 repeats a bar with `%`, but there is none before it in this part", "Hollow Log", 0, 0 },
  { LOG "parts:\n  A: \"| . D |\"\n", 3, 9, "bar 1 begins with a hold, but there is no chord before it to hold",
    "Hollow Log", 0, 0 },
  { LOG "parts:\n  A: \u201C| D | G |\u201D\n", 3, 6,
    "bar 1 has a curly quote; write straight ones around bars, \"| D | G |\"", "Hollow Log", 0, 0 },
  // what belongs to one misunderstanding is one mistake: the marks of repeats in a row, glued to chords or not
  { LOG "parts:\n  A: \"|: D | G :|\"\n", 3, 8, REPEAT(1), "Hollow Log", 0, 0 },
  { LOG "parts:\n  A: \"| D |: G | A:|\"\n", 3, 12, REPEAT(2), "Hollow Log", 0, 0 },
  { LOG "parts:\n  A: \"| D | :G | A |\"\n", 3, 13, REPEAT(2), "Hollow Log", 0, 0 },
  { LOG "parts:\n  A: \"| D % |\"\n", 3, 11, "bar 1" BESIDE, "Hollow Log", 0, 0 },
  { LOG "parts:\n  A: \"| D | % G |\"\n", 3, 13, "bar 2" BESIDE, "Hollow Log", 0, 0 },
  { LOG "parts:\n  A: '| D | G % |'\n", 3, 15, "bar 2" BESIDE, "Hollow Log", 0, 0 },
  { LOG "parts:\n  A: D | G % | A\n", 3, 12, "bar 2" BESIDE, "Hollow Log", 0, 0 }, // no quote: D6 |8 G10 %12
  { LOG "parts: {A: \"| D |\", B: \"| G % |\"}\n", 2, 29, "bar 1" BESIDE, "Hollow Log", 0, 0 }, // B21 "24 |25 G27
  { LOG "parts:\n  A: \"\"\n", 3, 7, NO_BARS, "Hollow Log", 0, 0 },
  { LOG "parts:\n  A:\n", 3, 5, NO_BARS, "Hollow Log", 0, 0 },
  { LOG "parts:\n  A: \"|\"\n", 3, 7, NO_BARS, "Hollow Log", 0, 0 },
  // flat signs before the mistake: B9 ♭10 |12 E14 ♭15 %17
  { LOG "parts:\n  A: \"| B♭ | E♭ % |\"\n", 3, 17, "bar 2" BESIDE, "Hollow Log", 0, 0 },
  // an escape counts as it is written: B9 \10 to d15, |17 %19; two quotes for one: i9 t10 '11 '12 s13 |15 %17
  { LOG "parts:\n  A: \"| B\\u266d | % D |\"\n", 3, 19, "bar 2" BESIDE, "Hollow Log", 0, 0 },
  { LOG "parts:\n  A: '| it''s | % D |'\n", 3, 17, "bar 2" BESIDE, "Hollow Log", 0, 0 },

  // bars on several lines
  { LOG "parts:\n  A: \"| D | Bm |\n    G | A7 |\n    Em % |\"\n", 5, 8, "bar 5" BESIDE, "Hollow Log", 0, 0 },
  { LOG "parts:\n  A: '| E♭ | B♭\n\n    | % | D % |'\n", 5, 13, "bar 4" BESIDE, "Hollow Log", 0, 0 }, // |5 %7 |9 D11
  { LOG "parts:\n  A: D | G\n    | % A\n", 4, 7, "bar 3" BESIDE, "Hollow Log", 0, 0 },
  { LOG "parts:\n  A: >\n    | B♭ | F\n    | Gm | % F |\n", 5, 12, "bar 4" BESIDE, "Hollow Log", 0, 0 },
  { LOG "parts:\n  A: |\n    D | G\n    | % A\n", 5, 7, "bar 3" BESIDE, "Hollow Log", 0, 0 },
  { LOG "parts:\n  A: >- # two rows\n\n    | D | % G |\n", 5, 11, "bar 2" BESIDE, "Hollow Log", 0, 0 },
  { LOG "parts:\n  A: \"| D | \\\n    G | % D |\"\n", 4, 9, "bar 3" BESIDE, "Hollow Log", 0, 0 },     // G5 |7 %9
  { LOG "parts:\n  A: \"| D | G |\n    | A7 | | D |\"\n", 4, 12, "bar 4" EMPTY, "Hollow Log", 0, 0 }, // |5 A7 |10 |12
  { LOG "parts:\n  A: \"| D .\n    . . | | G |\"\n", 4, 11, "bar 2" EMPTY, "Hollow Log", 0, 0 },      // .5 .7 |9 |11

  // broken YAML: the message ends with ", check ..." after the place where the broken thing begins
  { LOG "parts:\n  A: \"| D | G |\n", 4, 1, BROKEN "found unexpected document indicator while scanning a quoted scalar",
    "Hollow Log", 3, 6 },
  { LOG "key D\n" BARS, 3, 1, BROKEN "could not find expected ':' while scanning a simple key", "Hollow Log", 2, 1 },
  { LOG "parts:\n\tA: \"| D |\"\n", 3, 1, BROKEN NO_TOKEN, "Hollow Log", 0, 0 },
  { LOG "parts:\n  A: % D |\n", 3, 6, BROKEN NO_TOKEN, "Hollow Log", 0, 0 },
  { LOG "parts:\n  A: | D | G |\n", 3, 8,
    BROKEN "did not find expected comment or line break while scanning a block scalar", "Hollow Log", 3,
    6 }, // without quotes the first bar line is YAML's sign for a block
  { "title: Log: a tale\n" BARS, 1, 11, BROKEN "mapping values are not allowed in this context", "Log", 0, 0 },
  { LOG "parts: {A: \"| D |\"\n", 3, 1, BROKEN "did not find expected ',' or '}' while parsing a flow mapping",
    "Hollow Log", 2, 8 },

  // bytes that are no text; columns are characters here too: note: is 6, B7 ♭8 c10
  { LOG "parts:\n  A: \"| \xff |\"\n", 3, 9, "byte 0xFF" NOT_UTF8, "Hollow Log", 0, 0 },
  { LOG "note: B♭ caf\xe9\n" BARS, 2, 13, "byte 0xE9" NOT_UTF8, "Hollow Log", 0, 0 },
  { LOG BARS "note: two \xe9\xe8\n# three \xea\n", 3, 11, "byte 0xE9" NOT_UTF8, "Hollow Log", 0, 0 },
  { "title: caf\xe9 Log\n" BARS, 1, 11, "byte 0xE9" NOT_UTF8, "caf? Log", 0, 0 },
  { LOG "note: a\x07\n" BARS, 2, 8, "the control character U+0007 is not allowed in a text; remove it", "Hollow Log", 0,
    0 },
  { LOG "note: for the band\x7f of Wren\n" BARS, 2, 19,
    "the control character U+007F is not allowed in a text; remove it", "Hollow Log", 0, 0 }, // f7 b15 d18

  // what escapes stand for; reported where the text begins
  { "title: \"Hollow\\0 Log\"\n" BARS, 1, 8, NUL, NULL, 0, 0 },
  { LOG "key: \"D\\0 minor\"\n" BARS, 2, 6, NUL, "Hollow Log", 0, 0 },
  { LOG "\"key\\0\": D\n" BARS, 2, 1, NUL, "Hollow Log", 0, 0 },
  { LOG "parts:\n  A: \"| D\\0m | G |\"\n", 3, 6, NUL, "Hollow Log", 0, 0 },
  { LOG "parts:\n  A: \"| D |\"\n  \"B\\x00\": \"| G |\"\n", 4, 3, NUL, "Hollow Log", 0, 0 },
  { "title: \"Hollow\\nLog\"\n" BARS, 1, 8, "title" LINE_END("000A"), "Hollow\nLog", 0, 0 },
  { "title: \"Hollow\\rLog\"\n" BARS, 1, 8, "title" LINE_END("000D"), "Hollow\rLog", 0, 0 },
  { "title: \"Hollow\\NLog\"\n" BARS, 1, 8, "title" LINE_END("0085"), "Hollow\xC2\x85Log", 0, 0 },
  { "title: \"Hollow\\u2028Log\"\n" BARS, 1, 8, "title" LINE_END("2028"), "Hollow\xE2\x80\xA8Log", 0, 0 },
  { LOG "rhythm: \"ji\\Lg\"\n" BARS, 2, 9, "rhythm" LINE_END("2028"), "Hollow Log", 0, 0 },
  { LOG "parts:\n  A: \"| D |\"\n  \"B\\Pc\": \"| G |\"\n", 4, 3, "a part's name" LINE_END("2029"), "Hollow Log", 0,
    0 },
  { LOG "parts:\n  A: \"| D\\nm | G |\"\n", 3, 6, "a row of bars" LINE_END("000A"), "Hollow Log", 0, 0 },
  { LOG "parts:\n  A: \"| D | G\\r |\"\n", 3, 6, "a row of bars" LINE_END("000D"), "Hollow Log", 0, 0 },
};

// What is to be done about broken YAML.
static const char *
mend_of(const char *message)
{
  static const char *const mends[][2] = {
    { "cannot start any token", SPACES },
    { "block scalar", "; put the text in quotes, such as A: \"| D | G |\", and close them" },
    { "quoted scalar", "; close the quotes" },
    { "mapping values", "; put a text that holds a colon in quotes" },
  };
  for (guint i = 0; i < G_N_ELEMENTS(mends); ++i) {
    if (strstr(message, mends[i][0])) {
      return mends[i][1];
    }
  }
  return "; check indentation, quotes and colons there";
}

// The whole line of the account for a mistake in @p file that is @p lines_before lines further down.
static char *
expected_line(const BadTune *bad, const char *file, guint lines_before)
{
  GString *line = g_string_new(NULL);
  g_string_append_printf(line, "%s:%u", file, bad->line + lines_before);
  if (bad->column) {
    g_string_append_printf(line, ":%u", bad->column);
  }
  g_string_append_printf(line, ": %s", bad->message);
  if (bad->begin_line) {
    g_string_append_printf(line, " that begins at line %u, column %u", bad->begin_line + lines_before,
                           bad->begin_column);
  }
  if (g_str_has_prefix(bad->message, BROKEN)) {
    g_string_append(line, mend_of(bad->message));
  }
  if (bad->title) {
    g_string_append_printf(line, "; left out: %s", bad->title);
  }
  return g_string_free(line, FALSE);
}

// A good tune of two lines, and the line between two tunes.
#define HERON "title: Grey Heron\n" BARS
#define HERONS_LINES 2U

static gboolean
is_same(char *found, char *expected)
{
  const gboolean same = !strcmp(found, expected);
  if (!same) {
    print_error("found\n%sexpected\n%s", found, expected);
  }
  g_free(found);
  g_free(expected);
  return same;
}

static guint
count_newlines(const char *text)
{
  guint n = 0;
  for (; *text; ++text) {
    n += *text == '\n';
  }
  return n;
}

static char *
with_crlf(const char *text)
{
  char **lines = g_strsplit(text, "\n", 0);
  char *crlf = g_strjoinv("\r\n", lines);
  g_strfreev(lines);
  return crlf;
}

typedef gboolean (*BadTuneFunc)(const BadTune *bad);

static void
check_bad_tunes(BadTuneFunc is_reported)
{
  guint wrong = 0;
  for (guint i = 0; i < G_N_ELEMENTS(bad_tunes); ++i) {
    wrong += !is_reported(&bad_tunes[i]);
  }
  assert_int_equal(wrong, 0);
}

static gboolean
is_reported_first(const BadTune *bad)
{
  char *text = g_strconcat(bad->text, "---\n" HERON, NULL);
  char *line = expected_line(bad, FILE_NAME, 0);
  const gboolean same = is_same(account_of_bytes(text, strlen(text)), g_strconcat(line, "\ntune Grey Heron\n", NULL));
  g_free(line);
  g_free(text);
  return same;
}

static void
test_a_mistake_is_named_and_the_next_tune_is_read(void **state)
{
  (void)state;
  check_bad_tunes(is_reported_first);
}

static gboolean
is_reported_between(const BadTune *bad)
{
  char *text = g_strconcat(HERON "---\n", bad->text, "---\n" HERON, NULL);
  char *line = expected_line(bad, FILE_NAME, HERONS_LINES + 1);
  char *expected = g_strconcat("tune Grey Heron\n", line, "\ntune Grey Heron\n", NULL);
  const gboolean same = is_same(account_of_bytes(text, strlen(text)), expected);
  g_free(line);
  g_free(text);
  return same;
}

static void
test_a_mistake_in_the_second_tune_costs_neither_neighbour(void **state)
{
  (void)state;
  check_bad_tunes(is_reported_between);
}

static gboolean
is_reported_twice(const BadTune *bad)
{
  char *text = g_strconcat("\xef\xbb\xbf---\n", bad->text, "---\n", bad->text, "---\n" HERON, NULL);
  char *crlf = with_crlf(text);
  const guint lines = count_newlines(bad->text);
  char *first = expected_line(bad, FILE_NAME, 1);
  char *second = expected_line(bad, FILE_NAME, 1 + lines + 1);
  char *expected = g_strconcat(first, "\n", second, "\ntune Grey Heron\n", NULL);
  const gboolean same = is_same(account_of_bytes(crlf, strlen(crlf)), expected);
  g_free(second);
  g_free(first);
  g_free(crlf);
  g_free(text);
  return same;
}

static void
test_two_mistakes_in_a_file_with_crlf_and_a_byte_order_mark(void **state)
{
  (void)state;
  check_bad_tunes(is_reported_twice);
}

static gboolean
is_reported_through_a_pipe(const BadTune *bad)
{
  char *text = g_strconcat(HERON "---\n", bad->text, "---\n" HERON, NULL);
  char *line = expected_line(bad, "-", HERONS_LINES + 1);
  char *expected = g_strconcat("tune Grey Heron\n", line, "\ntune Grey Heron\n", NULL);
  const gboolean same = is_same(account_of_pipe(text), expected);
  g_free(line);
  g_free(text);
  return same;
}

static void
test_mistakes_on_standard_input(void **state)
{
#ifdef __EMSCRIPTEN__
  skip(); // where no descriptor can be another
#endif
  (void)state;
  check_bad_tunes(is_reported_through_a_pipe);
}

// -------------------------------------------------------------------------------------------- several of one tune

// Lines and columns counted by hand. The first names the tune; what may follow from another mistake is not said.
static void
test_every_mistake_of_a_tune_is_reported_at_once(void **state)
{
  (void)state;
  assert_account("title: Hollow Log\nkey: HP\nmeter: 3-4\ntempo: fast\nnames: french\n"
                 "parts:\n  A: \"| D | | G | % A |\"\n  B: \"| % | G . | D % | G % |\"\norder: A C\n---\n" HERON,
                 FILE_NAME ":5:8: found names `french`; expected english or german (H is B natural); left out: Hollow "
                           "Log\n"                                 // fields first, then bars
                 FILE_NAME ":2:6: found key `HP`; " WRONG_KEY "\n" //
                 FILE_NAME ":3:8: found meter `3-4`; " WRONG_METER "\n" FILE_NAME
                           ":4:8: found tempo `fast`; " WRONG_TEMPO "\n" FILE_NAME ":7:13: bar 2" EMPTY "\n" FILE_NAME
                           ":7:19: bar 4" BESIDE "\n" FILE_NAME
                           ":8:9: bar 1 repeats a bar with `%`, but there is none before it in this part\n" FILE_NAME
                           ":8:21: bar 3" BESIDE "\n" FILE_NAME ":8:27: bar 4" BESIDE "\ntune Grey Heron\n");
}

static void
test_every_mistake_of_shape_is_reported_at_once(void **state)
{
  (void)state;
  assert_account("titel: Hollow Log\ncomposer: {first: Wren, last: [Ackroyd]}\nkey: [D]\nkey: G\nkey: {m: A}\n"
                 "? [a, b]\n: [c, d]\nparts:\n  A: [D, [G]]\n  [B]: \"| D |\"\n  C: D\n  C: {D: E}\n---\n" HERON,
                 FILE_NAME ":1:1: unknown key `titel`; did you mean `title`?\n" FILE_NAME
                           ":2:1: unknown key `composer`; expected one of: " ALL_KEYS "\n" FILE_NAME ":3:6: " ONE_TEXT
                           "\n" FILE_NAME ":5:1: " TWICE "\n" FILE_NAME
                           ":6:3: a key such as `title` is expected here\n" FILE_NAME ":9:6: " WRONG_PART "\n" FILE_NAME
                           ":10:3: a part's name is a short text such as A\n" FILE_NAME
                           ":12:3: the part `C` is given twice; give one of them another name\ntune Grey Heron\n");
}

// Also those before the YAML breaks, or before a limit.
static void
test_mistakes_before_one_that_ends_a_tune(void **state)
{
  (void)state;
  assert_account("title: Hollow Log\nkeys: D\nparts: {A: \"| D |\"\n---\n" HERON, FILE_NAME
                 ":2:1: unknown key `keys`; did you mean `key`?; left out: Hollow Log\n" FILE_NAME ":4:1: " BROKEN
                 "did not find expected ',' or '}' while parsing a flow mapping that begins at line 3, column 8; "
                 "check indentation, quotes and colons there\ntune Grey Heron\n");
}

static void
test_orders_are_judged_where_the_parts_are_good(void **state)
{
  (void)state;
  assert_account(LOG BARS "order: A C B A D\n", FILE_NAME
                 ":3:10: the order names part `C`, which `parts` does not hold; left out: Hollow Log\n" FILE_NAME
                 ":3:12: the order names part `B`, which `parts` does not hold\n" FILE_NAME
                 ":3:16: the order names part `D`, which `parts` does not hold\n");
}

// Ten are named, the others counted; the tune is one problem however many there are.
static void
test_many_mistakes_of_a_tune_are_counted(void **state)
{
  (void)state;
  GString *text = g_string_new(LOG "parts:\n  A: \"|");
  GString *expected = g_string_new(NULL);
  for (guint bar = 1; bar <= 13; ++bar) {
    g_string_append(text, " D % |"); // 6 columns: the bar before begins at 8
    if (bar <= RC_MAX_MISTAKES) {
      g_string_append_printf(expected, FILE_NAME ":3:%u: bar %u%s%s\n", 11 + 6 * (bar - 1), bar, BESIDE,
                             bar == 1 ? "; left out: Hollow Log" : "");
    }
  }
  g_string_append(text, "\"\n---\n" HERON);
  g_string_append(expected, FILE_NAME ":1: and 3 more mistakes in this tune\ntune Grey Heron\n");
  assert_account(text->str, expected->str);
  g_string_free(text, TRUE);
  g_string_free(expected, TRUE);
}

static void
count_problems(RcReadResult result, const RcTune *tune, const GError *error, gpointer data)
{
  guint *counts = data;
  (void)tune;
  ++counts[result == RC_READ_TUNE ? 0 : g_error_matches(error, RC_ERROR, RC_ERROR_FURTHER) ? 2 : 1];
}

static void
test_a_tune_with_several_mistakes_is_one_problem(void **state)
{
  (void)state;
  guint counts[3] = { 0 };
  write_text(FILE_NAME, LOG "key: HP\ntempo: fast\n" BARS "---\n" HERON "---\n" LOG "key: HP\nmeter: 3-4\n" BARS);
  read_all((const char *const[]){ FILE_NAME, NULL }, RC_NAMES_ENGLISH, count_problems, counts);
  assert_int_equal(counts[0], 1);
  assert_int_equal(counts[1], 2);
  assert_int_equal(counts[2], 2);
}

// ------------------------------------------------------------------------------------------------ files and their ends

#define HOLDS_NONE FILE_NAME ": holds no tunes; a tune begins with a line `title: ...`\n"

static void
test_files_without_a_tune(void **state)
{
  (void)state;
  static const char *const texts[] = {
    "", "\n", "  \n\n", "# only a remark\n", "---\n", "---\n---\n# and so on\n...\n", "\xef\xbb\xbf", "\r\n"
  };
  for (guint i = 0; i < G_N_ELEMENTS(texts); ++i) {
    assert_account(texts[i], HOLDS_NONE);
  }
}

static void
test_ways_to_end_a_line_a_tune_and_a_file(void **state)
{
  (void)state;
  static const char *const texts[] = {
    HERON "---\n" HERON,
    "---\n" HERON "---\n" HERON "...\n",
    "# a remark\n---\n# another\n" HERON "...\n---\n" HERON "---\n",
    "---\n---\n" HERON "--- # a remark\n" HERON "---\n---\n",
    "title: Grey Heron\r\nparts:\r\n  A: \"| D |\r\n    G |\"\r\n---\r\n{title: Grey Heron, parts: {A: D}}",
    "\xef\xbb\xbf" HERON "---\n" HERON,
    "\xef\xbb\xbf---\n" HERON "---\n" HERON,
    "%YAML 1.1\n---\n" HERON "---\n" HERON,
    "--- {title: Grey Heron, parts: {A: D}}\n--- {title: Grey Heron, parts: {A: D}}",
  };
  for (guint i = 0; i < G_N_ELEMENTS(texts); ++i) {
    assert_account(texts[i], "tune Grey Heron\ntune Grey Heron\n");
  }
}

static void
test_a_character_cut_off_by_the_end_of_the_file(void **state)
{
  (void)state;
  assert_account(HERON "---\n" LOG BARS "note: caf\xc3",
                 "tune Grey Heron\n" FILE_NAME ":6:10: byte 0xC3" NOT_UTF8 "; left out: Hollow Log\n");
}

// One-line tunes: what is no text costs the tune on its line, not the one before. --- {title: takes 12 columns.
static void
test_bytes_that_are_no_text_cost_their_own_tune(void **state)
{
  (void)state;
  static const char *const good = "--- {title: Grey Heron, parts: {A: D}}\n";
  char *text = g_strconcat(good, "--- {title: Caf\xe9, parts: {A: D}}\n", good, NULL);
  assert_account(text, "tune Grey Heron\n" FILE_NAME ":2:16: byte 0xE9" NOT_UTF8 "; left out: Caf?\ntune Grey Heron\n");
  g_free(text);
}

static void
test_a_text_that_is_no_tune_and_broken_besides(void **state)
{
  (void)state;
  assert_account("''\n'' @\n", FILE_NAME ":2:4: " BROKEN NO_TOKEN SPACES "\n");
  assert_account("--- @\n--- @\n---\n" HERON, FILE_NAME ":1:5: " BROKEN NO_TOKEN SPACES "\n" FILE_NAME
                                                        ":2:5: " BROKEN NO_TOKEN SPACES "\ntune Grey Heron\n");
  assert_account("@\n---\n@\n---\n" HERON, FILE_NAME ":1:1: " BROKEN NO_TOKEN SPACES "\n" FILE_NAME
                                                     ":3:1: " BROKEN NO_TOKEN SPACES "\ntune Grey Heron\n");
}

// A book of equal tunes with their number as title, but for the bars of the last of each `every`.
typedef struct {
  guint n;
  guint every; // 0: all are good
  const char *bars;
  const char *bad_bars;
  guint line; // of the mistake, from the line of `---` on
  guint column;
  const char *message;
} Book;

static gboolean
is_bad(const Book *book, guint tune)
{
  return book->every && tune % book->every == book->every - 1;
}

static GString *
book_text(const Book *book)
{
  GString *text = g_string_new(NULL);
  for (guint i = 0; i < book->n; ++i) {
    const char *bars = is_bad(book, i) ? book->bad_bars : book->bars;
    g_string_append_printf(text, "---\ntitle: Tune %u\nparts: {A: \"%s\"}\n", i, bars);
  }
  return text;
}

static GString *
book_account(const Book *book)
{
  GString *lines = g_string_new(NULL);
  guint line = 0;
  for (guint i = 0; i < book->n; ++i) {
    if (is_bad(book, i)) {
      g_string_append_printf(lines, FILE_NAME ":%u:%u: %s; left out: Tune %u\n", line + book->line, book->column,
                             book->message, i);
    } else {
      g_string_append_printf(lines, "tune Tune %u\n", i);
    }
    line += 3 + count_newlines(is_bad(book, i) ? book->bad_bars : book->bars);
  }
  return lines;
}

// As assert_string_equal(), but shows only where two long texts part.
static void
assert_long_equal(const char *found, const char *expected)
{
  gsize same = 0;
  while (found[same] && found[same] == expected[same]) {
    ++same;
  }
  while (same && found[same - 1] != '\n') {
    --same;
  }
  if (found[same] || expected[same]) {
    fail_msg("found ...\n%.300s\nexpected ...\n%.300s", found + same, expected + same);
  }
}

static void
assert_book(const Book *book)
{
  GString *text = book_text(book);
  GString *expected = book_account(book);
  char *found = account_of_bytes(text->str, text->len);
  assert_long_equal(found, expected->str);
  g_free(found);
  g_string_free(expected, TRUE);
  g_string_free(text, TRUE);
}

#define LONG_BARS "| D | G | A7 | D | Bm | Em | A7 | D |"
#define LONG_ROWS "| D | G | A7 | D\n    | Bm | Em | A7 | D |"

// 1.4 MB and more, so that neither the parser nor we hold the whole: each good tune comes once and in its order,
// whatever the mistake in every hundredth. `parts: {A: "` takes 12 columns; `    | Bm | ` takes 11.
static void
test_a_long_book_with_mistakes_gives_every_good_tune_once(void **state)
{
  (void)state;
  static const Book books[] = {
    { 20000, 0, LONG_BARS, NULL, 0, 0, NULL },
    { 20000, 100, LONG_BARS, "| D % |", 3, 17, "bar 1" BESIDE },
    { 20000, 100, LONG_BARS, "| \xff |", 3, 15, "byte 0xFF" NOT_UTF8 },
    { 20000, 100, LONG_ROWS, "| D | G | A7 | D\n    | Bm | Em % | A7 | D |", 4, 15, "bar 6" BESIDE },
  };
  for (guint i = 0; i < G_N_ELEMENTS(books); ++i) {
    assert_book(&books[i]);
  }
}

// After 9000 tunes of 3 lines the next --- is line 27001, the open quote in line 27004, the --- after it line 27005.
static void
test_a_long_book_with_a_quote_left_open(void **state)
{
  (void)state;
  const Book book = { 9000, 0, LONG_BARS, NULL, 0, 0, NULL };
  GString *text = book_text(&book);
  GString *expected = book_account(&book);
  g_string_append(text, "---\ntitle: Open Gate\nparts:\n  A: \"| D |\n---\n" HERON);
  g_string_append(expected, FILE_NAME ":27005:1: " BROKEN "found unexpected document indicator while scanning a quoted "
                                      "scalar that begins at line 27004, column 6; close the quotes; "
                                      "left out: Open Gate\ntune Grey Heron\n");
  char *found = account_of_bytes(text->str, text->len);
  assert_long_equal(found, expected->str);
  g_free(found);
  g_string_free(expected, TRUE);
  g_string_free(text, TRUE);
}

// ------------------------------------------------------------------------------------------------- files and folders

static void
test_several_files_in_their_order(void **state)
{
  (void)state;
  write_text("b.yaml", "title: Second\n" BARS);
  write_text("a.txt", "title: First\n" BARS); // named by the user, so the ending does not matter
  char *missing =
    g_strdup_printf("missing.yaml: cannot be opened: %s; check the name and its rights\n", g_strerror(ENOENT));
  char *expected = g_strconcat("tune First\n", missing, "tune Second\n",
                               "a.txt: passed over: the file is given twice; it counts once\n", NULL);
  char *found = account((const char *const[]){ "a.txt", "missing.yaml", "b.yaml", "a.txt", NULL });
  assert_string_equal(found, expected);
  g_free(found);
  g_free(expected);
  g_free(missing);
}

static void
note_file(RcReadResult result, const RcTune *tune, const GError *error, gpointer data)
{
  (void)error;
  assert_int_equal(result, RC_READ_TUNE);
  g_string_append_printf(data, "%s:%u %s\n", tune->file, tune->line, tune->title);
}

static void
test_a_folder_is_walked_by_name(void **state)
{
  (void)state;
  write_text("book/b.yml", "title: Bee\n" BARS);
  write_text("book/sub/c.yaml", "title: Cow\n" BARS "---\n\ntitle: Calf\n" BARS);
  write_text("book/Z.yaml", "# remark\ntitle: Zebu\n" BARS); // capitals come first in the order of bytes
  write_text("book/a.yaml", "title: Ant\n" BARS);
  write_text("book/.hidden.yaml", "title: Hidden\n" BARS);
  write_text("book/readme.txt", "no tune");
  write_text("book/tune.yaml~", "no tune");
  GString *lines = g_string_new(NULL);
  const guint files = read_all((const char *const[]){ "book", NULL }, RC_NAMES_ENGLISH, note_file, lines);
  assert_string_equal(lines->str, "book/Z.yaml:2 Zebu\nbook/a.yaml:1 Ant\nbook/b.yml:1 Bee\n"
                                  "book/sub/c.yaml:1 Cow\nbook/sub/c.yaml:5 Calf\n"); // lines 3 --- and 4 empty
  assert_int_equal(files, 4);
  g_string_free(lines, TRUE);
}

static void
assert_paths(const char *path, const char *expected)
{
  char *found = account((const char *const[]){ path, NULL });
  assert_string_equal(found, expected);
  g_free(found);
}

// The message goes on with the endings that were looked for.
static void
assert_folder_holds_none(const char *path)
{
  char *found = account((const char *const[]){ path, NULL });
  char *beginning = g_strconcat(path, ": the folder holds no tunes: ", NULL);
  if (!g_str_has_prefix(found, beginning) || !strstr(found, ".yaml") || count_newlines(found) != 1) {
    fail_msg("found %s", found);
  }
  g_free(beginning);
  g_free(found);
}

static void
test_a_folder_without_tunes(void **state)
{
  (void)state;
  write_text("empty/readme.txt", "no tune");
  write_text("nested/sub/readme.txt", "no tune");
  write_text("partly/sub/readme.txt", "no tune");
  write_text("partly/z.yaml", HERON);
  assert_folder_holds_none("empty");
  assert_folder_holds_none("nested");
  assert_paths("partly", "tune Grey Heron\n");
}

static void
test_a_link_does_not_lead_round_in_a_circle(void **state)
{
  (void)state;
  write_text("book/a.yaml", HERON);
  const gboolean made = !symlink(".", "book/again");
  if (!made) {
    skip();
  }
  assert_paths("book", "tune Grey Heron\n");
}

// d, d/d, d/d/d and so on, `depth` folders in all, with a tune in the innermost.
static char *
deep_folder(guint depth)
{
  GString *path = g_string_new("d");
  for (guint i = 1; i < depth; ++i) {
    g_string_append(path, "/d");
  }
  char *file = g_strconcat(path->str, "/a.yaml", NULL);
  write_text(file, HERON);
  g_free(file);
  return g_string_free(path, FALSE);
}

static void
test_folders_within_folders_have_a_limit(void **state)
{
  (void)state;
  g_free(deep_folder(RC_MAX_FOLDER_DEPTH));
  assert_paths("d", "tune Grey Heron\n");
  char *deepest = deep_folder(RC_MAX_FOLDER_DEPTH + 1); // beside the tune of the 32nd, a folder too many
  char *expected = g_strconcat("tune Grey Heron\n", deepest, ": folders are nested more than 32 deep\n", NULL);
  assert_paths("d", expected);
  g_free(expected);
  g_free(deepest);
}

// ------------------------------------------------------------------------------------------------------------- bars

static guint64
greatest_common_divisor(guint64 a, guint64 b)
{
  while (b) {
    const guint64 rest = a % b;
    a = b;
    b = rest;
  }
  return a;
}

// Quarter notes as a fraction, "3" or "4/5".
static void
append_length(GString *text, RcTicks length)
{
  const guint64 ticks = (guint64)length;
  const guint64 common = greatest_common_divisor(ticks, (guint64)RC_QUARTER);
  g_string_append_printf(text, " %" G_GUINT64_FORMAT, ticks / common);
  if (common != (guint64)RC_QUARTER) {
    g_string_append_printf(text, "/%" G_GUINT64_FORMAT, (guint64)RC_QUARTER / common);
  }
}

static void
add_heard(RcReadResult result, const RcTune *tune, const GError *error, gpointer data)
{
  GString *text = data;
  RcPlayed played;
  if (result != RC_READ_TUNE) {
    fail_msg("%s", error->message);
  }
  for (RcWalk walk = rc_walk_start(tune); rc_walk_next(&walk, &played);) {
    g_string_append_printf(text, "%s%s", text->len ? ", " : "",
                           g_array_index(tune->symbols, RcSymbol, played.symbol).text);
    append_length(text, played.length);
  }
}

// Every chord as heard with its length in quarter notes: "D 3, Bm 3/2".
static void
assert_heard(const char *text, const char *expected)
{
  GString *heard = g_string_new(NULL);
  write_text(FILE_NAME, text);
  read_all((const char *const[]){ FILE_NAME, NULL }, RC_NAMES_ENGLISH, add_heard, heard);
  if (strcmp(heard->str, expected) != 0) {
    fail_msg("heard %s\nexpected %s\nin\n%s", heard->str, expected, text);
  }
  g_string_free(heard, TRUE);
}

typedef struct {
  const char *meter;
  const char *bars;
  const char *heard;
} Bars;

static const Bars bars_of_tunes[] = {
  // chords share a bar
  { "4/4", "| D |", "D 4" },
  { "3/4", "| D | Bm |", "D 3, Bm 3" },
  { "4/4", "| D G |", "D 2, G 2" },
  { "3/4", "| D G |", "D 3/2, G 3/2" },
  { "6/8", "| D G A |", "D 1, G 1, A 1" },
  { "2/2", "| D G |", "D 2, G 2" },
  { "4/4", "| C D E F G |", "C 4/5, D 4/5, E 4/5, F 4/5, G 4/5" },
  { "7/8", "| C D E |", "C 7/6, D 7/6, E 7/6" },
  // a dot holds one share longer
  { "4/4", "| Em . A7 |", "Em 8/3, A7 4/3" },
  { "3/4", "| D . A7 |", "D 2, A7 1" },
  { "4/4", "| D . . G |", "D 3, G 1" },
  { "4/4", "| D . . . |", "D 4" },
  { "4/4", "| D G . . |", "D 1, G 3" },
  // and over the bar line: two quarters of the second bar
  { "4/4", "| D | . G |", "D 6, G 2" },
  { "4/4", "| D G | . | A |", "D 2, G 6, A 4" },
  // `%` repeats the bar
  { "4/4", "| D | % | G |", "D 8, G 4" },
  { "4/4", "| D G | % |", "D 2, G 2, D 2, G 2" },
  { "4/4", "| D G | % | % |", "D 2, G 2, D 2, G 2, D 2, G 2" },
  { "4/4", "| D | . G | % |", "D 6, G 2, D 2, G 2" }, // the held chord is part of the bar
  // what is held or written again is one chord
  { "4/4", "| D | D | D |", "D 12" },
  { "4/4", "| D G | G D |", "D 2, G 4, D 2" },
  { "4/4", "| Cmaj7 | CΔ |", "Cmaj7 8" }, // another spelling of the same
  { "4/4", "| C# | Db |", "C# 8" },
  { "4/4", "| C | C/E | C |", "C 4, C/E 4, C 4" },
  { "4/4", "| C | C7 |", "C 4, C7 4" },
  // silence is a step of its own
  { "4/4", "| D | N.C. | D |", "D 4, N.C. 4, D 4" },
  { "4/4", "| N.C. | NC | D |", "N.C. 8, D 4" },
  { "4/4", "| D N.C. | . D |", "D 2, N.C. 4, D 2" },
  // what is no chord symbol is kept as text
  { "4/4", "| Hm | Hm | D |", "Hm 8, D 4" },
  { "4/4", "| Hm | Hx |", "Hm 4, Hx 4" },
  // a bass after blanks; a slash between two blanks holds where the bar has a word for each beat, or several
  { "4/4", "| C/ G | D /F# |", "C/G 4, D/F# 4" },
  { "4/4", "| D / F# | G |", "D/F# 4, G 4" },
  { "4/4", "| D / F# G / B |", "D/F# 2, G/B 2" },
  { "4/4", "| D / / G |", "D 3, G 1" },
  { "4/4", "| D / G / |", "D 2, G 2" },
  { "4/4", "| C / G C |", "C 2, G 1, C 1" },
  { "3/4", "| D / G | D / F# |", "D 2, G 1, D 2, F# 1" },
  { "6/8", "| D / F# | D / / G / / |", "D/F# 3, D 3/2, G 3/2" },
  { "4/4", "| D / Bm | Hx / F# |", "D 8/3, Bm 4/3, Hx 8/3, F# 4/3" }, // no name of a note, no chord
  { "4/4", "| C/E / G |", "C/E 8/3, G 4/3" },                         // it has a bass
  // bar lines: at the ends or not, doubled, without spaces
  { "4/4", "D | G", "D 4, G 4" },
  { "4/4", "|| D || G ||", "D 4, G 4" },
  { "4/4", "|D|G A|", "D 4, G 2, A 2" },
  { "4/4", "|  D   G  |", "D 2, G 2" },
};

static void
test_how_long_each_chord_lasts(void **state)
{
  (void)state;
  for (guint i = 0; i < G_N_ELEMENTS(bars_of_tunes); ++i) {
    const Bars *bars = &bars_of_tunes[i];
    char *text = g_strdup_printf(LOG "meter: %s\nparts:\n  A: \"%s\"\n", bars->meter, bars->bars);
    assert_heard(text, bars->heard);
    g_free(text);
  }
}

static void
add_bar_sums(RcReadResult result, const RcTune *tune, const GError *error, gpointer data)
{
  (void)error;
  guint *n_chords = data;
  assert_int_equal(result, RC_READ_TUNE);
  for (guint i = 0; i < tune->bars->len; ++i) {
    const RcBar *bar = &g_array_index(tune->bars, RcBar, i);
    RcTicks sum = 0;
    for (guint j = 0; j < bar->count; ++j) {
      const RcTicks length = g_array_index(tune->events, RcEvent, bar->first + j).length;
      assert_true(length > 0);
      sum += length;
    }
    assert_true(sum == rc_meter_bar(rc_tune_setting(tune, 0)->meter));
    *n_chords += bar->count;
  }
}

// Bars of 1 to 40 chords, whose shares are mostly no whole number of anything.
static void
test_the_shares_of_a_bar_are_the_bar(void **state)
{
  (void)state;
  static const char *const meters[] = { "4/4", "3/4", "7/8", "1/64", "5/16", "12/8" };
  for (guint i = 0; i < G_N_ELEMENTS(meters); ++i) {
    GString *text = g_string_new(NULL);
    guint n_chords = 0;
    g_string_append_printf(text, LOG "meter: %s\nparts:\n  A: \"", meters[i]);
    for (guint n = 1; n <= 40; ++n) {
      for (guint j = 0; j < n; ++j) {
        g_string_append(text, j % 2 ? " G" : " D");
      }
      g_string_append(text, " |");
    }
    g_string_append(text, "\"\n");
    write_text(FILE_NAME, text->str);
    read_all((const char *const[]){ FILE_NAME, NULL }, RC_NAMES_ENGLISH, add_bar_sums, &n_chords);
    assert_int_equal(n_chords, 40 * 41 / 2);
    g_string_free(text, TRUE);
  }
}

// Rows that end and begin with a bar line are the usual way to write a tune down.
static void
test_rows_of_bars(void **state)
{
  (void)state;
  static const char *const heard = "D 4, G 4, A7 4, D 4";
  assert_heard(LOG "parts:\n  A: \"| D | G\n    | A7 | D |\"\n", heard);
  assert_heard(LOG "parts:\n  A: \"| D | G |\n    A7 | D |\"\n", heard);
  assert_heard("Title: Hollow Log\nKEY: d minor\nParts:\n  A: \"| D | G / / / |\n    A7 | d |\"\n", heard);
  assert_heard(LOG "parts:\n  A: \"| D | G |\n    | A7 | D |\"\n", heard);
  assert_heard(LOG "parts:\n  A: '| D | G |\n\n    | A7 | D |'\n", heard);
  assert_heard(LOG "parts:\n  A: |\n    | D | G |\n    | A7 | D |\n", heard);
  assert_heard(LOG "parts:\n  A: >\n    | D | G |\n    | A7 | D |\n", heard);
  assert_heard(LOG "parts:\n  A: D | G |\n    A7 | D\n", heard);
}

static void
count_bars(RcReadResult result, const RcTune *tune, const GError *error, gpointer data)
{
  if (result != RC_READ_TUNE) {
    fail_msg("%s", error->message);
  }
  *(guint *)data += tune->bars->len;
}

// 1.2 MB in one part, more than is remembered of a file: the rows are bars all the same.
static void
test_rows_of_a_very_long_tune(void **state)
{
  (void)state;
  enum { ROWS = 60000 };
  guint bars = 0;
  GString *text = g_string_new(LOG "parts:\n  A: \"\n");
  for (guint i = 0; i < ROWS; ++i) {
    g_string_append(text, "    | D | G | A7 | D |\n");
  }
  g_string_append(text, "    \"\n");
  write_text(FILE_NAME, text->str);
  read_all((const char *const[]){ FILE_NAME, NULL }, RC_NAMES_ENGLISH, count_bars, &bars);
  assert_int_equal(bars, 4 * ROWS);
  g_string_free(text, TRUE);
}

// What is read otherwise than it may be meant, with its place: "3:9 spaced", a line each.
static void
add_remarks_found(RcReadResult result, const RcTune *tune, const GError *error, gpointer data)
{
  (void)error;
  assert_int_equal(result, RC_READ_TUNE);
  for (guint i = 0; i < tune->remarks->len; ++i) {
    const RcRemark *remark = &g_array_index(tune->remarks, RcRemark, i);
    g_string_append_printf(data, "%u:%u %s\n", remark->line, remark->column, remark->text);
  }
}

static void
assert_remarks(const char *text, const char *expected)
{
  GString *found = g_string_new(NULL);
  write_text(FILE_NAME, text);
  read_all((const char *const[]){ FILE_NAME, NULL }, RC_NAMES_ENGLISH, add_remarks_found, found);
  assert_string_equal(found->str, expected);
  g_string_free(found, TRUE);
}

static void
test_slashes_between_blanks_are_noted(void **state)
{
  (void)state;
  assert_remarks(LOG "parts:\n  A: \"| G | D / F# |\"\n",
                 "3:13 a slash between blanks is read as one before a bass, `D/F#`, since the bar's words do not fill "
                 "its beats; a dot holds a chord\n");
  assert_remarks(LOG "meter: 3/4\nparts:\n  A: \"| D / F# | D7 / C |\"\n",
                 "4:9 a slash between blanks holds the chord before it, since the bar's words fill its beats; a chord "
                 "over a bass is written `D/F#`\n"
                 "4:18 a slash between blanks holds the chord before it, since the bar's words fill its beats; a chord "
                 "over a bass is written `D7/C`\n");
  assert_remarks(LOG "parts:\n  A: \"| D / / G | D / G / | C / G C | C/ E | D /F# |\"\n", ""); // as everybody means it
}

// Some write d for D minor; nobody does who writes "d minor" or dm.
static void
test_small_letters_are_noted_once_a_tune(void **state)
{
  (void)state;
  assert_remarks(LOG "parts:\n  A: \"| D | bm | e |\"\n  B: \"| g |\"\n",
                 "3:13 `bm` is written small and read as `Bm`; a small letter alone is a major chord too\n");
  assert_remarks(LOG "key: d\nparts:\n  A: D\n", "2:6 the key `d` is read as D major; for a minor key write `Dm`\n");
  assert_remarks(LOG "key: bb\nparts:\n  A: D\n",
                 "2:6 the key `bb` is read as Bb major; for a minor key write `Bbm`\n");
  assert_remarks(LOG "key: d minor\nparts:\n  A: D\n", "");
  assert_remarks(LOG "key: em\nparts:\n  A: D\n", "");
  assert_remarks(LOG "names: german\nkey: d\nparts:\n  A: \"| d | h |\"\n", ""); // which are minor
  assert_remarks(LOG "key: D\nparts:\n  A: \"| D | hm | x |\"\n", "");           // which are no chords
}

static void
test_parts_that_are_never_played_are_noted(void **state)
{
  (void)state;
  assert_remarks(LOG "parts:\n  A: D\n  B: G\n  Coda: A\norder: A A\n",
                 "4:3 written, but never played, since the order does not name it: `B`, `Coda`\n");
  assert_remarks(LOG "parts:\n  A: D\n  B: G\norder: B A\n", "");
}

// ------------------------------------------------------------------------------------------------------------ orders

#define TWO_PARTS LOG "parts:\n  A: \"| D | G |\"\n  B: \"| G | A |\"\n"

static void
test_the_order_of_parts(void **state)
{
  (void)state;
  assert_heard(TWO_PARTS, "D 4, G 8, A 4"); // each once; G is held over the seam
  assert_heard(TWO_PARTS "order: A B\n", "D 4, G 8, A 4");
  assert_heard(TWO_PARTS "order: B A\n", "G 4, A 4, D 4, G 4");
  assert_heard(TWO_PARTS "order: A A\n", "D 4, G 4, D 4, G 4");
  assert_heard(TWO_PARTS "order: A A B B\n", "D 4, G 4, D 4, G 8, A 4, G 4, A 4");
  assert_heard(TWO_PARTS "order: A, B,A\n", "D 4, G 8, A 4, D 4, G 4");
  assert_heard(TWO_PARTS "order: \"A\n  B\n\n  A\"\n", "D 4, G 8, A 4, D 4, G 4");
  assert_heard("order: B A\n" TWO_PARTS, "G 4, A 4, D 4, G 4");      // keys come in any order
  assert_heard(LOG "parts: {A: \"| D |\"}\norder: A A A\n", "D 12"); // held over every repeat
  assert_heard(LOG "parts: {1: \"| D |\", Trio: \"| N.C. |\"}\norder: Trio 1 Trio\n", "N.C. 4, D 4, N.C. 4");
}

static void
add_written(RcReadResult result, const RcTune *tune, const GError *error, gpointer data)
{
  guint index = 0;
  (void)error;
  assert_int_equal(result, RC_READ_TUNE);
  for (RcWalk walk = rc_walk_start(tune); rc_walk_event(&walk, &index);) {
    const RcEvent *event = &g_array_index(tune->events, RcEvent, index);
    g_string_append_printf(data, "%s ", g_array_index(tune->symbols, RcSymbol, event->symbol).text);
  }
}

// One event after another, each as often as it is played, whether its part goes on or another begins.
static void
test_events_in_the_order_of_parts(void **state)
{
  (void)state;
  GString *found = g_string_new(NULL);
  write_text(FILE_NAME, TWO_PARTS "order: A B B A A\n");
  read_all((const char *const[]){ FILE_NAME, NULL }, RC_NAMES_ENGLISH, add_written, found);
  assert_string_equal(found->str, "D G G A G A D G D G ");
  g_string_free(found, TRUE);
}

static void
test_the_meter_may_stand_behind_the_parts(void **state)
{
  (void)state;
  assert_heard("parts: {A: \"| D G |\"}\nmeter: 6/8\n" LOG, "D 3/2, G 3/2");
}

// ------------------------------------------------------------------------------------------------------------ places

static void
add_places(RcReadResult result, const RcTune *tune, const GError *error, gpointer data)
{
  if (result != RC_READ_TUNE) {
    fail_msg("%s", error->message);
  }
  for (guint i = 0; i < tune->events->len; ++i) {
    const RcEvent *event = &g_array_index(tune->events, RcEvent, i);
    g_string_append_printf(data, "%s %u:%u\n", g_array_index(tune->symbols, RcSymbol, event->symbol).text, event->line,
                           event->column);
  }
}

static void
assert_places(const char *text, const char *expected)
{
  GString *places = g_string_new(NULL);
  write_text(FILE_NAME, text);
  read_all((const char *const[]){ FILE_NAME, NULL }, RC_NAMES_ENGLISH, add_places, places);
  assert_string_equal(places->str, expected);
  g_string_free(places, TRUE);
}

// Counted by hand in characters; what is repeated or held is where the `%` or the dot is.
static void
test_where_each_chord_is_written(void **state)
{
  (void)state;
  assert_places(LOG "parts: {A: \"|D|G A|\", B: Em}\n",
                "D 2:14\nG 2:16\nA 2:18\nEm 2:26\n"); // B23 is after |19 "20 ,21
  assert_places(LOG "parts:\n  A: \"| B♭ | E♭ F7 |\n    % | . Gm |\"\n",
                "B♭ 3:9\nE♭ 3:14\nF7 3:17\nE♭ 4:5\nF7 4:5\nF7 4:9\nGm 4:11\n");
  assert_places(LOG "parts:\n  A: >\n\n    B♭ | F\n    Gm | C7\n  B: '| F |'\n",
                "B♭ 5:5\nF 5:10\nGm 6:5\nC7 6:10\nF 7:9\n");
  assert_places(LOG "parts:\n  A: |\n    E♭|A♭\n    |B♭\n", "E♭ 4:5\nA♭ 4:8\nB♭ 5:6\n");
  assert_places(LOG "parts:\n  A: D|\n     G |\n     A\n", "D 3:6\nG 4:6\nA 5:6\n");
  assert_places(LOG "parts:\n  A: \"E\\u266d | \\\n    \\ D |\\x20G\"\n",
                "E♭ 3:7\nD 4:7\nG 4:14\n"); // \4 D7 |9 \x20 G14
}

static void
test_places_in_the_second_tune_and_with_crlf(void **state)
{
  (void)state;
  assert_places(HERON "---\r\n" HERON "---\r\n\r\ntitle: Third\r\nparts:\r\n  A: 'D |\r\n    G'\r\n",
                "D 2:15\nD 5:15\nD 10:7\nG 11:5\n"); // lines 3 ---, 6 ---, 7 empty, 8 title, 9 parts
}

// ------------------------------------------------------------------------------------------------------------ fields

static void
copy_tune(RcReadResult result, const RcTune *tune, const GError *error, gpointer data)
{
  if (result != RC_READ_TUNE) {
    fail_msg("%s", error->message);
  }
  char *key = rc_key_name(rc_tune_setting(tune, 0)->key, RC_SIGNS_ASCII);
  g_string_append_printf(data, "%s, %s, %u/%u, %d:%g, %s\n", tune->title, key, rc_tune_setting(tune, 0)->meter.beats,
                         rc_tune_setting(tune, 0)->meter.unit, (int)rc_tune_setting(tune, 0)->tempo.source,
                         rc_tune_setting(tune, 0)->tempo.quarters, tune->rhythm ? tune->rhythm : "no rhythm");
  g_free(key);
}

// A tune's title, key, meter, tempo and rhythm; the source of a tempo is a number, 0 for none and 1 for stated.
static void
assert_fields(const char *text, RcNames names, const char *expected)
{
  GString *fields = g_string_new(NULL);
  assert_int_equal(RC_TEMPO_NONE, 0);
  assert_int_equal(RC_TEMPO_STATED, 1);
  write_text(FILE_NAME, text);
  read_all((const char *const[]){ FILE_NAME, NULL }, names, copy_tune, fields);
  assert_string_equal(fields->str, expected);
  g_string_free(fields, TRUE);
}

static void
test_what_a_tune_says_of_itself(void **state)
{
  (void)state;
  assert_fields(LOG BARS, RC_NAMES_ENGLISH, "Hollow Log, no key, 4/4, 0:0, no rhythm\n");
  assert_fields(LOG "key: E dorian\nmeter: 6/8\ntempo: 112\nrhythm: jig\nnote: for Wren\n" BARS, RC_NAMES_ENGLISH,
                "Hollow Log, E dorian, 6/8, 1:168, jig\n"); // 112 times three eighths
  assert_fields("tempo: 1/4=90.5\nmeter: C|\ntitle: \"Log: a Tale, B♭\"\n" BARS, RC_NAMES_ENGLISH,
                "Log: a Tale, B♭, no key, 2/2, 1:90.5, no rhythm\n");
  assert_fields("title: >\n  Hollow\n  Log\nrhythm:\n" BARS "---\ntitle: 42\nkey: Bbm\n" BARS, RC_NAMES_ENGLISH,
                "Hollow Log, no key, 4/4, 0:0, no rhythm\n42, Bb minor, 4/4, 0:0, no rhythm\n");
}

static void
test_a_tune_leaves_nothing_behind_for_the_next(void **state)
{
  (void)state;
  assert_fields(LOG "key: D\nmeter: 3/4\ntempo: 90\nrhythm: waltz\n" BARS "---\n" HERON, RC_NAMES_ENGLISH,
                "Hollow Log, D major, 3/4, 1:90, waltz\nGrey Heron, no key, 4/4, 0:0, no rhythm\n");
}

static void
add_names(RcReadResult result, const RcTune *tune, const GError *error, gpointer data)
{
  (void)error;
  assert_int_equal(result, RC_READ_TUNE);
  for (guint i = 0; i < tune->symbols->len; ++i) {
    const RcSymbol *symbol = &g_array_index(tune->symbols, RcSymbol, i);
    char *name = symbol->kind == RC_SYMBOL_CHORD ? rc_chord_name(&symbol->chord, RC_SIGNS_ASCII) : NULL;
    if (name) {
      g_string_append_printf(data, "%s ", name);
    } else {
      g_string_append_printf(data, "?%u ", symbol->stopped_at);
    }
    g_free(name);
  }
}

static void
assert_names(const char *text, RcNames names, const char *expected)
{
  GString *found = g_string_new(NULL);
  write_text(FILE_NAME, text);
  read_all((const char *const[]){ FILE_NAME, NULL }, names, add_names, found);
  assert_string_equal(found->str, expected);
  g_string_free(found, TRUE);
}

enum { STRANGE_TUNES = 60, STRANGE_WORDS = 100 };

static const char *const known_words[] = { "Bm", "Bminor/B", "Bmmmmmmmmmmmmmmmmm" };

// The words of the tune are the known ones and those of its number, each once; two of them ask for the same.
static void
check_words(RcReadResult result, const RcTune *tune, const GError *error, gpointer data)
{
  guint *number = data;
  (void)error;
  assert_int_equal(result, RC_READ_TUNE);
  assert_int_equal(tune->symbols->len, G_N_ELEMENTS(known_words) + STRANGE_WORDS);
  for (guint i = 0; i < tune->symbols->len; ++i) {
    const RcSymbol *symbol = &g_array_index(tune->symbols, RcSymbol, i);
    char *strange = g_strdup_printf("w%u.%u", *number, i);
    assert_string_equal(symbol->text, i < G_N_ELEMENTS(known_words) ? known_words[i] : strange);
    assert_int_equal(symbol->same, i == 1 ? 0 : i);
    g_free(strange);
  }
  assert_int_equal(g_array_index(tune->events, RcEvent, tune->events->len - 1).symbol, 1);
  ++*number;
}

// Far more different words than a reader needs to remember.
static void
test_a_book_of_words_that_never_come_again(void **state)
{
  (void)state;
  guint number = 0;
  GString *text = g_string_new(NULL);
  for (guint tune = 0; tune < STRANGE_TUNES; ++tune) {
    g_string_append_printf(text, "---\n" LOG "parts:\n  A: \"%s %s %s |", known_words[0], known_words[1],
                           known_words[2]);
    for (guint i = 0; i < STRANGE_WORDS; ++i) {
      g_string_append_printf(text, " w%u.%u", tune, (guint)G_N_ELEMENTS(known_words) + i);
    }
    g_string_append_printf(text, " | %s %s %s\"\n", known_words[2], known_words[0], known_words[1]);
  }
  write_text(FILE_NAME, text->str);
  read_all((const char *const[]){ FILE_NAME, NULL }, RC_NAMES_ENGLISH, check_words, &number);
  assert_int_equal(number, STRANGE_TUNES);
  g_string_free(text, TRUE);
}

#define GERMAN_BARS "parts: {A: \"| H | B | Es7 | B | Hm/Fis |\"}\n"

// Each text once, however often it is written; English tunes between German ones are read as English.
static void
test_german_and_english_tunes_in_one_book(void **state)
{
  (void)state;
  static const char *const german = "B Bb Eb7 Bm/F# ";
  static const char *const english = "?0 B ?1 ?0 "; // H is no note, Es stops after its E
  assert_names(LOG "names: german\n" GERMAN_BARS, RC_NAMES_ENGLISH, german);
  assert_names(LOG GERMAN_BARS, RC_NAMES_GERMAN, german);
  assert_names(LOG GERMAN_BARS, RC_NAMES_ENGLISH, english);
  assert_names(LOG "names: english\n" GERMAN_BARS, RC_NAMES_GERMAN, english);
  char *mixed = g_strconcat(german, english, german, NULL);
  assert_names(LOG "names: german\n" GERMAN_BARS "---\n" LOG GERMAN_BARS "---\n" LOG GERMAN_BARS "names: german\n",
               RC_NAMES_ENGLISH, mixed);
  g_free(mixed);
}

// The key of a German tune is named as its chords are.
static void
test_german_keys_in_german_tunes(void **state)
{
  (void)state;
  assert_fields(LOG "names: german\nkey: B\n" BARS, RC_NAMES_ENGLISH, "Hollow Log, Bb major, 4/4, 0:0, no rhythm\n");
  assert_fields(LOG "key: Hm\nnames: german\n" BARS, RC_NAMES_ENGLISH, "Hollow Log, B minor, 4/4, 0:0, no rhythm\n");
  assert_fields(LOG "key: Es\n" BARS, RC_NAMES_GERMAN, "Hollow Log, Eb major, 4/4, 0:0, no rhythm\n");
  assert_fields(LOG "key: Fis dorian\n" BARS, RC_NAMES_GERMAN, "Hollow Log, F# dorian, 4/4, 0:0, no rhythm\n");
  assert_fields(LOG "key: B\n" BARS, RC_NAMES_ENGLISH, "Hollow Log, B major, 4/4, 0:0, no rhythm\n");
}

// ------------------------------------------------------------------------------------------------------------ limits

#define TOO_LONG                                                                                                       \
  "the tune is longer than 1000000 chords or 1000000 bars, or has more than 4096 different chords; left out: "         \
  "Hollow Log\n"

// Fills `text` up with `n` times `piece`, then ends the part.
static void
append_times(GString *text, const char *piece, guint n)
{
  for (guint i = 0; i < n; ++i) {
    g_string_append(text, piece);
  }
}

static void
assert_long(GString *text, const char *expected)
{
  g_string_append(text, "---\n" HERON);
  char *found = account_of_bytes(text->str, text->len);
  char *whole = g_strconcat(expected, "tune Grey Heron\n", NULL);
  if (strcmp(found, whole) != 0) {
    fail_msg("found %.400s, expected %.400s", found, whole);
  }
  g_free(whole);
  g_free(found);
  g_string_free(text, TRUE);
}

static GString *
many_parts(guint n)
{
  GString *text = g_string_new(LOG "parts:\n");
  for (guint i = 0; i < n; ++i) {
    g_string_append_printf(text, "  P%u: D\n", i);
  }
  return text;
}

static void
test_parts_have_a_limit(void **state)
{
  (void)state;
  assert_long(many_parts(RC_MAX_PARTS), "tune Hollow Log\n");
  // after title and parts, the 1025th of them is in line 1027
  assert_long(many_parts(RC_MAX_PARTS + 1), FILE_NAME ":1027:3: more than 1024 parts; left out: Hollow Log\n");
}

static GString *
thousand_bars_in_order(guint times)
{
  GString *text = g_string_new(LOG "parts:\n  A: \"");
  append_times(text, "D|", 1000);
  g_string_append(text, "\"\norder: \"");
  append_times(text, "A ", times);
  g_string_append(text, "\"\n");
  return text;
}

static void
test_bars_played_have_a_limit(void **state)
{
  (void)state;
  assert_long(thousand_bars_in_order(1000), "tune Hollow Log\n");
  assert_long(thousand_bars_in_order(1001),
              FILE_NAME ":1: `Hollow Log` plays more than 1000000 bars; left out: Hollow Log\n");
}

static GString *
one_part_of(const char *piece, guint n)
{
  GString *text = g_string_new(LOG "parts:\n  A: \"");
  append_times(text, piece, n);
  g_string_append(text, "\"\n");
  return text;
}

// A chord and a space, or a bar line, take two columns after the quote in column 6: the one too many is in column
// 7 + 2 * 1000000.
static void
test_chords_and_bars_have_a_limit(void **state)
{
  (void)state;
  assert_long(one_part_of("D ", RC_MAX_EVENTS), "tune Hollow Log\n");
  assert_long(one_part_of("D ", RC_MAX_EVENTS + 1), FILE_NAME ":3:2000007: " TOO_LONG);
  assert_long(one_part_of("D|", RC_MAX_BARS), "tune Hollow Log\n");
  assert_long(one_part_of("D|", RC_MAX_BARS + 1), FILE_NAME ":3:2000007: " TOO_LONG);
}

static GString *
different_chords(guint n, const char *between)
{
  GString *text = g_string_new(LOG "parts:\n  A: \"");
  for (guint i = 0; i < n; ++i) {
    g_string_append_printf(text, "x%04u%s", i, between);
  }
  g_string_append(text, "\"\n");
  return text;
}

// Each takes six columns: the one too many is in column 7 + 6 * 4096.
static void
test_different_chords_have_a_limit(void **state)
{
  (void)state;
  assert_long(different_chords(RC_MAX_SYMBOLS, "|"), "tune Hollow Log\n");
  assert_long(different_chords(RC_MAX_SYMBOLS + 1, "|"), FILE_NAME ":3:24583: " TOO_LONG);
  assert_long(different_chords(9999, " "), FILE_NAME ":3:24583: " TOO_LONG); // in a single bar
}

static void
assert_too_many_bytes(GString *text)
{
  g_string_append(text, "---\n" HERON);
  char *found = account_of_bytes(text->str, text->len);
  const char *message =
    ": a tune of more than 16777216 bytes; separate tunes by lines of `---`; left out: Hollow Log\ntune Grey Heron\n";
  if (!g_str_has_prefix(found, FILE_NAME ":") || !g_str_has_suffix(found, message)) {
    fail_msg("found %.400s", found);
  }
  g_free(found);
  g_string_free(text, TRUE);
}

static void
append_spaces(GString *text, const char *beginning, gsize megabytes)
{
  g_string_append(text, beginning);
  const gsize length = text->len;
  g_string_set_size(text, length + (megabytes << 20));
  memset(text->str + length, ' ', megabytes << 20);
  g_string_append(text, "|\"\n");
}

// A letter that a zero byte cuts off is no end of the file.
static void
test_a_cut_letter_before_a_zero_byte_costs_its_tune_only(void **state)
{
  (void)state;
  static const char text[] = "title: Hollow L\xC7\0og\n" BARS "---\n" HERON;
  char *found = account_of_bytes(text, sizeof text - 1);
  assert_string_equal(found, FILE_NAME ":1:16: byte 0xC7" NOT_UTF8 "; left out: Hollow L??og\ntune Grey Heron\n");
  g_free(found);
}

static void
test_the_bytes_of_a_tune_have_a_limit(void **state)
{
  (void)state;
  GString *text = g_string_new(LOG "parts:\n");
  append_spaces(text, "  A: \"| D", 17);
  assert_too_many_bytes(text);
  text = g_string_new(LOG "parts:\n");
  append_spaces(text, "  A: \"| D", 6);
  append_spaces(text, "  B: \"| D", 6);
  append_spaces(text, "  C: \"| D", 6);
  assert_too_many_bytes(text);
}

// 3 tunes of 6 MB are no longer than a tune may be, though the file is.
static void
test_the_bytes_of_a_file_have_none(void **state)
{
  (void)state;
  GString *text = g_string_new(NULL);
  for (guint i = 0; i < 3; ++i) {
    append_spaces(text, "---\n" LOG "parts:\n  A: \"| D", 6);
  }
  assert_long(text, "tune Hollow Log\ntune Hollow Log\ntune Hollow Log\n");
}

static void
test_nothing_may_be_freed(void **state)
{
  (void)state;
  rc_corpus_free(NULL);
  rc_tune_free(NULL);
  RcCorpus *unread = rc_corpus_new((const char *const[]){ "a.yaml", "b.yaml", NULL }, (RcCorpusOptions){ 0 });
  assert_int_equal(rc_corpus_files(unread), 0);
  rc_corpus_free(unread);
}

// A book left in the middle is closed all the same.
static void
test_reading_may_stop_early(void **state)
{
  (void)state;
  write_text(FILE_NAME, HERON "---\n" HERON "---\n" HERON);
  RcCorpus *corpus = rc_corpus_new((const char *const[]){ FILE_NAME, FILE_NAME, NULL }, (RcCorpusOptions){ 0 });
  RcTune *tune = rc_tune_new();
  assert_int_equal(rc_corpus_next(corpus, tune, NULL), RC_READ_TUNE);
  assert_string_equal(tune->title, "Grey Heron");
  assert_string_equal(tune->file, FILE_NAME);
  assert_int_equal(rc_corpus_files(corpus), 1);
  rc_tune_free(tune);
  rc_corpus_free(corpus);
}

#define IN_FOLDER(test) cmocka_unit_test_setup_teardown(test, make_folder, remove_folder)

int
main(void)
{
  const struct CMUnitTest tests[] = {
    IN_FOLDER(test_a_mistake_is_named_and_the_next_tune_is_read),
    IN_FOLDER(test_a_mistake_in_the_second_tune_costs_neither_neighbour),
    IN_FOLDER(test_two_mistakes_in_a_file_with_crlf_and_a_byte_order_mark),
    IN_FOLDER(test_mistakes_on_standard_input),
    IN_FOLDER(test_every_mistake_of_a_tune_is_reported_at_once),
    IN_FOLDER(test_every_mistake_of_shape_is_reported_at_once),
    IN_FOLDER(test_mistakes_before_one_that_ends_a_tune),
    IN_FOLDER(test_orders_are_judged_where_the_parts_are_good),
    IN_FOLDER(test_many_mistakes_of_a_tune_are_counted),
    IN_FOLDER(test_a_tune_with_several_mistakes_is_one_problem),
    IN_FOLDER(test_files_without_a_tune),
    IN_FOLDER(test_ways_to_end_a_line_a_tune_and_a_file),
    IN_FOLDER(test_a_character_cut_off_by_the_end_of_the_file),
    IN_FOLDER(test_bytes_that_are_no_text_cost_their_own_tune),
    IN_FOLDER(test_a_text_that_is_no_tune_and_broken_besides),
    IN_FOLDER(test_a_long_book_with_mistakes_gives_every_good_tune_once),
    IN_FOLDER(test_a_long_book_with_a_quote_left_open),
    IN_FOLDER(test_several_files_in_their_order),
    IN_FOLDER(test_a_folder_is_walked_by_name),
    IN_FOLDER(test_a_folder_without_tunes),
    IN_FOLDER(test_a_link_does_not_lead_round_in_a_circle),
    IN_FOLDER(test_folders_within_folders_have_a_limit),
    IN_FOLDER(test_how_long_each_chord_lasts),
    IN_FOLDER(test_the_shares_of_a_bar_are_the_bar),
    IN_FOLDER(test_rows_of_bars),
    IN_FOLDER(test_slashes_between_blanks_are_noted),
    IN_FOLDER(test_small_letters_are_noted_once_a_tune),
    IN_FOLDER(test_parts_that_are_never_played_are_noted),
    IN_FOLDER(test_rows_of_a_very_long_tune),
    IN_FOLDER(test_the_order_of_parts),
    IN_FOLDER(test_events_in_the_order_of_parts),
    IN_FOLDER(test_the_meter_may_stand_behind_the_parts),
    IN_FOLDER(test_where_each_chord_is_written),
    IN_FOLDER(test_places_in_the_second_tune_and_with_crlf),
    IN_FOLDER(test_what_a_tune_says_of_itself),
    IN_FOLDER(test_a_tune_leaves_nothing_behind_for_the_next),
    IN_FOLDER(test_a_book_of_words_that_never_come_again),
    IN_FOLDER(test_german_and_english_tunes_in_one_book),
    IN_FOLDER(test_german_keys_in_german_tunes),
    IN_FOLDER(test_parts_have_a_limit),
    IN_FOLDER(test_bars_played_have_a_limit),
    IN_FOLDER(test_chords_and_bars_have_a_limit),
    IN_FOLDER(test_different_chords_have_a_limit),
    IN_FOLDER(test_the_bytes_of_a_tune_have_a_limit),
    IN_FOLDER(test_a_cut_letter_before_a_zero_byte_costs_its_tune_only),
    IN_FOLDER(test_the_bytes_of_a_file_have_none),
    IN_FOLDER(test_nothing_may_be_freed),
    IN_FOLDER(test_reading_may_stop_early),
  };
  alarm(STUCK);
  return cmocka_run_group_tests(tests, NULL, NULL);
}
