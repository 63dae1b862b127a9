// Copyright 2026 the rowcall developers
// SPDX-License-Identifier: MIT

// A text gives the same tunes, messages and counts in whatever pieces it is read and on however many threads: the
// demo's books, those of the tests, texts that are hard to cut, and all of them with lines swapped, dropped, doubled
// and damaged.
//
// Usage: unit_pieces [ROUNDS [SEED]]; more rounds damage more texts.

#include "rowcall/report.h"
#include "rowcall/study.h"

#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
// after the above, which it needs
#include <cmocka.h>

#include "scratch.h"

#include <stdlib.h>
#include <string.h>

enum { WHOLE = 4 << 20 }; // bytes of a piece, more than any text here has

static guint rounds = 40 / THINNED;
static guint32 seed = 20261126;
static RcBoards *boards; // on which all is rolled

// ------------------------------------------------------------------------------------------------- what reading gives

static void
see_message(const char *message, gpointer data)
{
  g_string_append_printf(data, "%s\n", message);
}

static void
write_events(const RcTune *tune, GString *out)
{
  for (guint i = 0; i < tune->events->len; ++i) {
    const RcEvent *event = &g_array_index(tune->events, RcEvent, i);
    g_string_append_printf(out, " %s@%u:%u+%" G_GINT64_FORMAT "/%x", rc_tune_symbol(tune, event->symbol)->text,
                           event->line, event->column, event->length, event->melody);
  }
  for (guint i = 0; i < tune->played->len; ++i) {
    g_string_append_printf(out, " %u", g_array_index(tune->played, guint, i));
  }
  for (guint i = 0; i < tune->notes->len; ++i) {
    g_string_append_printf(out, " n%u", g_array_index(tune->notes, RcTuneNote, i).pitch);
  }
}

static void
write_tune(const RcTune *tune, GString *out)
{
  const RcSetting *start = rc_tune_setting(tune, 0);
  g_string_append_printf(out, "%s:%u %s (%s, %s): key %d/%x, tempo %g", tune->file, tune->line, tune->title,
                         tune->rhythm ? tune->rhythm : "", tune->group ? tune->group : "", start->key.tonic,
                         start->tones, start->tempo.quarters);
  write_events(tune, out);
  g_string_append_c(out, '\n');
}

// All that comes of reading the scratch file: messages, counts, tunes. A new string.
static char *
read_file(gsize piece_bytes, guint threads, guint most)
{
  const char *const paths[] = { path, NULL };
  const RcRepertoire repertoire = { paths, NULL, 0, 0 };
  boards->settings.threads = threads;
  boards->settings.corpus.piece_bytes = piece_bytes;
  boards->settings.corpus.melody_notes = TRUE;
  GString *out = g_string_new(NULL);
  const RcWatcher watcher = { NULL, see_message, NULL, out, most };
  RcRolled *rolled = rc_repertoire_roll(&repertoire, boards, TRUE, &watcher);
  char *json = rc_rolled_to_json(rolled);
  const RcIntake *intake = &rolled->intake;
  g_string_append_printf(out,
                         "%" G_GUINT64_FORMAT " tunes, %" G_GUINT64_FORMAT " files, %" G_GUINT64_FORMAT
                         " problems, %" G_GUINT64_FORMAT " unread, %" G_GUINT64_FORMAT " messages\n%s\n",
                         intake->tunes, intake->files, intake->problems, intake->unread, intake->messages, json);
  for (guint i = 0; i < rolled->n_tunes; ++i) {
    write_tune(rolled->tunes[i], out);
  }
  for (guint i = 0; i < rc_roll_n_entries(rolled->roll); ++i) {
    const RcRollEntry entry = rc_roll_entry(rolled->roll, i);
    g_string_append_printf(out, "%d/%x %" G_GUINT64_FORMAT "\n", entry.request.chord.root, entry.request.chord.degrees,
                           entry.chords);
  }
  g_free(json);
  rc_rolled_free(rolled);
  return g_string_free(out, FALSE);
}

// Shows the first line that differs.
static void
assert_same(const char *name, gsize piece_bytes, guint threads, const char *whole, const char *pieces)
{
  if (strcmp(whole, pieces) != 0) {
    gsize at = 0;
    while (whole[at] == pieces[at]) {
      ++at;
    }
    while (at && whole[at - 1] != '\n') {
      --at;
    }
    fail_msg("%s, pieces of %" G_GSIZE_FORMAT " bytes, %u threads:\n%.*s\n%.*s", name, piece_bytes, threads,
             (int)strcspn(whole + at, "\n"), whole + at, (int)strcspn(pieces + at, "\n"), pieces + at);
  }
}

static void
check_sizes(const char *name, const GString *text, const gsize *sizes, guint n, guint most)
{
  assert_true(g_file_set_contents(path, text->str, (gssize)text->len, NULL));
  char *whole = read_file(WHOLE, 1, most);
  for (guint i = 0; i < n; ++i) {
    for (guint threads = 1; threads <= 3; threads += 2) {
      char *pieces = read_file(sizes[i], threads, most);
      assert_same(name, sizes[i], threads, whole, pieces);
      g_free(pieces);
    }
  }
  g_free(whole);
}

static void
check_text(const char *name, const GString *text)
{
  static const gsize sizes[] = { 1, 30, 120, 400, 2000, 0 };
  check_sizes(name, text, sizes, G_N_ELEMENTS(sizes), 0);
}

// --------------------------------------------------------------------------------------------------------- the texts

static GPtrArray *texts; // of GString *: books of others

static void
free_text(gpointer text)
{
  g_string_free(text, TRUE);
}

static int
compare_names(gconstpointer a, gconstpointer b)
{
  const char *const *left = a;
  const char *const *right = b;
  return strcmp(*left, *right);
}

static void
add_folder(const char *variable, const char *part, const char *ending)
{
  char *name = g_build_filename(g_getenv(variable), part, NULL);
  GDir *open = g_dir_open(name, 0, NULL);
  GPtrArray *names = g_ptr_array_new_with_free_func(g_free);
  assert_non_null(open);
  for (const char *entry; (entry = g_dir_read_name(open));) {
    if (g_str_has_suffix(entry, ending)) {
      g_ptr_array_add(names, g_build_filename(name, entry, NULL));
    }
  }
  g_ptr_array_sort(names, compare_names);
  for (guint i = 0; i < names->len; ++i) {
    char *bytes = NULL;
    gsize length = 0;
    assert_true(g_file_get_contents(g_ptr_array_index(names, i), &bytes, &length, NULL));
    g_ptr_array_add(texts, g_string_new_len(bytes, (gssize)length));
    g_free(bytes);
  }
  g_ptr_array_unref(names);
  g_dir_close(open);
  g_free(name);
}

// Where one tune may be taken for part of another, and what is said at its end for what comes after it.
static const char *const hard[] = {
  // YAML: line ends, marks of the order of bytes, directives, documents that end within something
  "title: Gate\r\nparts: {A: '| D | Qx |'}\r\n---\r\ntitle: Stile\r\nparts: {A: '| G | Qx |'}\r\n---\r\ntitle: X\r\n",
  "\xEF\xBB\xBF---\ntitle: Gate\nparts: {A: '| D |'}\n---\ntitle: Stile\nparts: {A: '| G |'}\n---",
  "\xEF\xBB\xBF%YAML 1.1\n---\ntitle: Gate\nparts: {A: '| D |'}\n...\n%YAML 1.1\n# so\n\n---\ntitle: Stile\nparts: "
  "{A: '| G |'}\n...\n%YAML 3.0\n---\ntitle: Hedge\nparts: {A: '| G |'}\n---\ntitle: Lane\nparts: {A: '| G |'}\n",
  "title: \"Gate\nparts: {A: '| D |'}\n%YAML 9.9\n---\ntitle: Stile\nparts: {A: '| G |'}\n---\ntitle: Hedge\nparts: "
  "{A: "
  "'| Em |'}\n",
  "title: Gate\nparts:\n  A: |\n    | D | G |\n---\n    | A |\n---\ntitle: Stile\nparts: {A: '| G |'}\n",
  "title: Gate\nnote: |\n  a\n\n --- b\n  ---\nparts: {A: '| D |'}\n--- # c\ntitle: Stile\nparts: {A: '| G "
  "|'}\n---\t\ntitle: "
  "Lane\nparts: {A: '| G |'}\n",
  "title: Gate\nparts: {A: '| D |\n---\ntitle: Stile\nparts: {A: '| G |'}\n--- {title: Hedge, parts: {A: '| G |'}}\n",
  "title: Gate\nparts: [A,\n---\ntitle: Stile\n  parts: {A: '| G |'}\n----\n---x\n---\ntitle: Lane\nparts: {A: '| G "
  "|'}\n",
  "---\n---\n---\n# nothing\n---\n---\n",
  "---\n---\n---\n# nothing\n---\n---\ntitle: Gate\nparts: {A: '| G |'}\n",
  "title: Gate\nparts: {A: '| D \xFF |'}\n---\ntitle: St\xC3\xBCle\nparts: {A: '| G \x01 |'}\n---\ntitle: "
  "Lane\xC3\n---\n",
  "title: Gate\rparts: {A: '| D |'}\r---\rtitle: Stile\nparts: {A: '| Qx |'}\n---\ntitle: Hedge\nparts: {A: '| Zz "
  "|'}\n",
  "title: Gate\u2028x\nparts: {A: '| D |'}\n---\ntitle: Stile\xC2\x85parts: {A: '| Qx |'}\n---\ntitle: Lane\nparts: "
  "{A: '| Zz "
  "|'}\n",
  "title: Gate\nkey: Q\nmeter: z\nparts: {A: '| D | | [ |', A: '| G |'}\nno: 1\n---\ntitle: Stile\nkey: Q\nno: "
  "2\n---\ntitle: "
  "Hedge\nno: [1, 2]\n",
  // ABC: heads, habits that a later tune decides, text between tunes, X: after no empty line
  "%%abc-include x\nL:1/4\nM:3/4\n",
  "no tune here\nnor here\n",
  "\xEF\xBB\xBFL:1/4\nR:waltz\nU:T=!coda!\n\nX:1\nT:Gate\nK:D\n\"D\"A3|\nX:2\nT:Stile\nK:G\n\"G\"B3|\n\nfree text\nX "
  ":3\n\nX:4\nT:Lane\n"
  "K:Em\n\"Em\"A3|",
  "X:1\nT:Gate\nK:D\n\"D\"A3|\n\nX:2\nT:Stile\nK:G\n+GBd+2\"Cd\"B|\n\nX:3\nT:Hedge\nK:G\n+GBd+2\"Ca\"B|\n\nX:4\nT:"
  "Lane\nK:G\n+GBd+2"
  "\"Cd\"B|\n",
  "X:1\nT:Gate\nK:D\n\"D\"A3|\n\nX:2\nT:Stile\nK:G\n\"Cd\"B|\n\nX:3\nT:Hedge\nK:G\n\"G\"B|\n\nX:4\nT:Lane\nK:G\n\"G\"B|"
  "\n",
  "X:1\nT:Gate\nK:D\n\"D\"A3\"G\"|A3|\n\nX:2\nT:Stile\nK:G\n\"D\"B3\"G\"|A3|\n\nX:3\nT:Hedge\nK:G\n\"D\"B3\"G\"|A3|\n",
  "X:1\rT:Gate\rK:D\r\"D\"A3|\r\rX:2\rT:Stile\rK:G\r\"G\"B3|\r",
  "X:1\r\nT:Gate\r\nK:D\r\n\"Qx\"A3|\r\n\r\nX:2\r\nT:Stile\r\nK:G\r\n\"Qx\"B3|\r\n\r\nX:3\r\nT:Lane\r\n\r\nX:4\r\nT:"
  "Weir\r\nK:\"",
  "X:1\nT:Gate\nK:D\n\"D\"A3|\n%\n\n%%text "
  "X:9\n%%begintext\nX:9\n%%endtext\n\nX:2\nT:Stile\nM:x\nK:G\n\"Zork\"B3|\n\nX:",
  // songs, which are not cut
  "{title: Gate}\n[D]Over the [G]gate\n{new_song}\n{title: Stile}\n[Qx]Over the [G]stile\n",
};

static int
set_up(void **state)
{
  const RcBoardName names[] = { { "24", NULL }, { "48-8x6", NULL } };
  (void)state;
  boards = rc_boards_find(names, G_N_ELEMENTS(names), NULL, NULL);
  texts = g_ptr_array_new_with_free_func(free_text);
  add_folder("ROWCALL_TEST_CORPUS", ".", ".yaml");
  add_folder("ROWCALL_TEST_DATA", "corpus_abc/good", ".abc");
  add_folder("ROWCALL_TEST_DATA", "corpus_abc/bad", ".abc");
  add_folder("ROWCALL_TEST_DATA", "corpus_abc/eof", ".abc");
  for (guint i = 0; i < G_N_ELEMENTS(hard); ++i) {
    g_ptr_array_add(texts, g_string_new(hard[i]));
  }
  static const char zero[] = "#\0\nL:1/4\n\0\nM:6/8\n\nX:1\nT:Gate\nK:C\n\"C\"C3|\n\nX:2\nT:Stile\nK:C\n\"C\"C6|\n";
  g_ptr_array_add(texts, g_string_new_len(zero, sizeof zero - 1));
  return make_scratch("book");
}

static int
tear_down(void **state)
{
  rc_boards_free(boards);
  g_ptr_array_unref(texts);
  return remove_scratch(state);
}

// ---------------------------------------------------------------------------------------------------------- the tests

static void
books_and_hard_texts_are_the_same_in_pieces(void **state)
{
  (void)state;
  for (guint i = 0; i < texts->len; ++i) {
    char *name = g_strdup_printf("text %u", i);
    check_text(name, g_ptr_array_index(texts, i));
    g_free(name);
  }
}

// Of all messages, and of a few, the first.
static void
few_messages_are_the_first(void **state)
{
  (void)state;
  static const gsize sizes[] = { 60, 400 };
  GString *book = g_string_new(NULL);
  for (guint i = 0; i < 30; ++i) {
    g_string_append_printf(book, "title: Gate %u\n%sparts: {A: '| D | Q%u | Zork |'}\n---\n", i,
                           i % 3 ? "" : "key: Q\nno: 1\n", i % 7);
  }
  for (guint most = 0; most < 9; ++most) {
    check_sizes("few messages", book, sizes, G_N_ELEMENTS(sizes), most);
  }
  g_string_free(book, TRUE);
}

// Each third tune from some way into the book on is written in a habit; others show another one later.
static GString *
make_habits(guint from, guint every)
{
  GString *book = g_string_new("L:1/8\n\n");
  for (guint i = 0; i < 12000; ++i) {
    const gboolean shown = i >= from && (i - from) % every == 0;
    g_string_append_printf(book, "X:%u\nT:Gate %u\nK:D\n\"D\"A4\"G\"B4|%s\"A7\"c4|%s|\n\n", i, i,
                           shown ? "\"Cd\"+CEG+4" : "G4", shown && i > 2 * from ? "\"D\"A4\"G\"" : "A4");
  }
  return book;
}

// They are looked for in 256 KiB, which may lie in several pieces.
static void
a_habit_is_decided_once_for_all_pieces(void **state)
{
  (void)state;
  static const gsize sizes[] = { 20000, 100000, 0 };
  static const guint every[] = { 3, 4000, 4600 };
  for (guint i = 0; i < G_N_ELEMENTS(every); ++i) {
    GString *book = make_habits(100 + 1300 * i, every[i]);
    assert_true(book->len > 500 << 10);
    check_sizes("habits", book, sizes, G_N_ELEMENTS(sizes), 0);
    g_string_free(book, TRUE);
  }
}

// ------------------------------------------------------------------------------------------------------------ damage

static GString *
some_text(GRand *random)
{
  return g_ptr_array_index(texts, (guint)g_rand_int_range(random, 0, (gint32)texts->len));
}

static char *
some_line(GRand *random)
{
  static const char *const lines[] = {
    "---",       "--- ",  "...", "%YAML 1.1", "X:1", "",         "K:D",
    "title: \"", "  ---", "|",   "\r",        "%%x", "\xC2\x85", "parts: {A: '| Qx |'}",
    "\"Cd\"A|"
  };
  GString *text = some_text(random);
  char **parts = g_strsplit(text->str, "\n", -1);
  const gboolean own = g_rand_boolean(random);
  const char *line = own ? lines[g_rand_int_range(random, 0, G_N_ELEMENTS(lines))]
                         : parts[g_rand_int_range(random, 0, (gint32)MAX(g_strv_length(parts), 1))];
  char *copy = g_strdup(line ? line : "");
  g_strfreev(parts);
  return copy;
}

// Two or three texts one after another, some of whose lines are dropped, doubled, replaced or followed by others, some
// of whose bytes are changed.
static GString *
make_damaged(GRand *random)
{
  GString *out = g_string_new(NULL);
  for (gint32 n = g_rand_int_range(random, 1, 4); n; --n) {
    char **lines = g_strsplit(some_text(random)->str, "\n", -1);
    for (char **line = lines; *line; ++line) {
      const gint32 how = g_rand_int_range(random, 0, 40);
      char *other = how < 4 ? some_line(random) : NULL;
      g_string_append_printf(out, "%s%s%s%s", how == 0 || how == 5 ? "" : *line, how == 0 ? other : "",
                             line[1] ? "\n" : "", how == 6 ? *line : "");
      if (how > 0 && how < 4) {
        g_string_append_printf(out, "%s\n", other);
      }
      g_free(other);
    }
    g_string_append(out, g_rand_boolean(random) ? "\n---\n" : "\n");
    g_strfreev(lines);
  }
  for (gint32 n = g_rand_int_range(random, 0, 4); n && out->len; --n) {
    out->str[g_rand_int_range(random, 0, (gint32)out->len)] = (char)g_rand_int_range(random, 0, 256);
  }
  return out;
}

static void
damaged_texts_are_the_same_in_pieces(void **state)
{
  (void)state;
  for (guint i = 0; i < rounds; ++i) {
    GRand *random = g_rand_new_with_seed(seed + i);
    GString *text = make_damaged(random);
    char *name = g_strdup_printf("damaged: unit_pieces 1 %u", seed + i);
    check_text(name, text);
    g_free(name);
    g_string_free(text, TRUE);
    g_rand_free(random);
  }
}

int
main(int argc, char **argv)
{
  const struct CMUnitTest tests[] = {
    cmocka_unit_test(books_and_hard_texts_are_the_same_in_pieces),
    cmocka_unit_test(few_messages_are_the_first),
    cmocka_unit_test(a_habit_is_decided_once_for_all_pieces),
    cmocka_unit_test(damaged_texts_are_the_same_in_pieces),
  };
  rounds = argc > 1 ? (guint)g_ascii_strtoull(argv[1], NULL, 10) : rounds;
  seed = argc > 2 ? (guint32)g_ascii_strtoull(argv[2], NULL, 10) : seed;
  return cmocka_run_group_tests(tests, set_up, tear_down);
}
