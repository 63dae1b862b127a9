// Copyright 2026 the rowcall developers
// SPDX-License-Identifier: MIT

// MusicXML as a notation program writes it, scores/*.musicxml, against the order in which that program plays the bars
// and how they sound: scores.tsv, made by scores.mjs from scores of our own. Every bar has another chord, so that the
// chords heard tell the bars.

#undef NDEBUG

#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>

#include <cmocka.h>

#include "rowcall/corpus.h"

#include "table.h"

#include <glib/gstdio.h>

enum { N_SCORES = 16, N_WRITTEN = 41, N_KINDS = 33 };

// "0+4+7 2+5+9": the tones of each chord heard and of the melody over it.
static char *
heard(const RcTune *tune)
{
  GString *text = g_string_new(NULL);
  RcPlayed played;
  for (RcWalk walk = rc_walk_start(tune); rc_walk_next(&walk, &played);) {
    const RcSymbol *symbol = &g_array_index(tune->symbols, RcSymbol, played.symbol);
    assert_int_equal(symbol->kind, RC_SYMBOL_CHORD);
    const RcPcSet tones = rc_chord_tones(&symbol->chord) | played.melody;
    const char *between = text->len ? " " : "";
    for (guint pc = 0; pc < 12; ++pc) {
      if (rc_pcs_has(tones, pc)) {
        g_string_append_printf(text, "%s%u", between, pc);
        between = "+";
      }
    }
  }
  return g_string_free(text, FALSE);
}

static void
check_score(Check *c, const char *name, const char *expected)
{
  char *file = g_strdup_printf("%s.musicxml", name);
  char *path = g_build_filename(g_getenv("ROWCALL_TEST_DATA"), "reference", "scores", file, NULL);
  const char *const paths[] = { path, NULL };
  RcCorpus *corpus = rc_corpus_new(paths, (RcCorpusOptions){ 0 });
  RcTune *tune = rc_tune_new();
  GError *error = NULL;
  if (rc_corpus_next(corpus, tune, &error) == RC_READ_TUNE) {
    char *found = heard(tune);
    check_text(c, name, found, expected);
    check_text(c, name, tune->title, name);
    check(c, !tune->remarks->len, "%s: a jump is not followed", name);
    g_free(found);
  } else {
    check(c, FALSE, "%s: %s", name, error ? error->message : "nothing");
    g_clear_error(&error);
  }
  rc_tune_free(tune);
  rc_corpus_free(corpus);
  g_free(path);
  g_free(file);
}

static void
test_scores(void **state)
{
  (void)state;
  Check c = { "scores", 0, 0 };
  GPtrArray *rows = table_read("scores.tsv", "score", 3, N_SCORES);
  for (guint i = 0; i < rows->len; ++i) {
    check_score(&c, cell(rows, i, 1), cell(rows, i, 2));
  }
  g_ptr_array_unref(rows);
  check_finish(&c);
}

// ":3/2", in quarter notes.
static void
append_quarters(GString *text, RcTicks length)
{
  RcTicks divisor = RC_QUARTER;
  for (RcTicks rest = length % divisor; rest;) {
    const RcTicks next = divisor % rest;
    divisor = rest;
    rest = next;
  }
  g_string_append_printf(text, ":%" G_GINT64_FORMAT, (gint64)(length / divisor));
  if (divisor != RC_QUARTER) {
    g_string_append_printf(text, "/%" G_GINT64_FORMAT, (gint64)(RC_QUARTER / divisor));
  }
}

static void
append_chord(GString *text, const RcTune *tune, const RcPlayed *played)
{
  const RcSymbol *symbol = &g_array_index(tune->symbols, RcSymbol, played->symbol);
  const char *between = text->len ? " " : "";
  if (symbol->kind != RC_SYMBOL_CHORD) {
    g_string_append_printf(text, "%s-", between);
  } else {
    const guint bass = rc_note_pc(symbol->chord.bass);
    g_string_append_printf(text, "%s%u", between, bass);
    for (guint pc = 0; pc < 12; ++pc) {
      if (pc != bass && rc_pcs_has(rc_chord_tones(&symbol->chord), pc)) {
        g_string_append_printf(text, "+%u", pc);
      }
    }
  }
  append_quarters(text, played->length);
}

static void
check_written(Check *c, const char *name, const char *expected)
{
  char *path = g_build_filename(g_getenv("ROWCALL_TEST_DATA"), "reference", "written", name, NULL);
  const char *const paths[] = { path, NULL };
  RcCorpus *corpus = rc_corpus_new(paths, (RcCorpusOptions){ 0 });
  RcTune *tune = rc_tune_new();
  GString *found = g_string_new(NULL);
  RcPlayed played;
  check(c, rc_corpus_next(corpus, tune, NULL) == RC_READ_TUNE, "%s: not read", name);
  for (RcWalk walk = rc_walk_start(tune); rc_walk_next(&walk, &played);) {
    append_chord(found, tune, &played);
  }
  check_text(c, name, found->str, expected);
  g_string_free(found, TRUE);
  rc_tune_free(tune);
  rc_corpus_free(corpus);
  g_free(path);
}

// Outside source: written.tsv, what an independent reader, written.py, finds in scores that a general music library
// wrote.
static void
test_written(void **state)
{
  (void)state;
  Check c = { "written", 0, 0 };
  GPtrArray *rows = table_read("written.tsv", "written", 3, N_WRITTEN);
  for (guint i = 0; i < rows->len; ++i) {
    check_written(&c, cell(rows, i, 1), cell(rows, i, 2));
  }
  g_ptr_array_unref(rows);
  check_finish(&c);
}

// The first chord of a score that holds one of this kind on C; its symbol is a copy.
static RcSymbol
read_kind(const char *folder, const char *kind)
{
  char *path = g_build_filename(folder, "kind.musicxml", NULL);
  const char *const paths[] = { path, NULL };
  char *text = g_strdup_printf("<score-partwise><part id=\"P1\"><measure><harmony><root><root-step>C</root-step></root>"
                               "<kind>%s</kind></harmony></measure></part></score-partwise>",
                               kind);
  assert_true(g_file_set_contents(path, text, -1, NULL));
  RcCorpus *corpus = rc_corpus_new(paths, (RcCorpusOptions){ 0 });
  RcTune *tune = rc_tune_new();
  assert_int_equal(rc_corpus_next(corpus, tune, NULL), RC_READ_TUNE);
  RcWalk walk = rc_walk_start(tune);
  RcPlayed played;
  assert_true(rc_walk_next(&walk, &played));
  const RcSymbol symbol = g_array_index(tune->symbols, RcSymbol, played.symbol);
  rc_tune_free(tune);
  rc_corpus_free(corpus);
  g_unlink(path);
  g_free(text);
  g_free(path);
  return symbol;
}

// Outside source: MusicXML 4.0, as kinds.tsv says. Of those without degrees `none` is silence, `other` needs degrees of
// its own, and the rest are read by their usual meaning.
static void
test_kinds(void **state)
{
  (void)state;
  Check c = { "kinds", 0, 0 };
  GPtrArray *kinds = table_read("kinds.tsv", "kind", 4, N_KINDS);
  char *folder = g_dir_make_tmp("rowcall-scores-XXXXXX", NULL);
  for (guint i = 0; i < kinds->len; ++i) {
    const char *kind = cell(kinds, i, 1);
    const RcSymbol symbol = read_kind(folder, kind);
    const RcSymbolKind expected = !strcmp(kind, "none")    ? RC_SYMBOL_SILENT
                                  : !strcmp(kind, "other") ? RC_SYMBOL_UNREAD
                                                           : RC_SYMBOL_CHORD;
    check(&c, symbol.kind == expected, "%s: read as %d, not %d", kind, symbol.kind, expected);
    if (strcmp(cell(kinds, i, 2), "-") != 0) {
      check_tones(&c, kind, rc_chord_tones(&symbol.chord), tones_of(cell(kinds, i, 2)));
    }
  }
  g_rmdir(folder);
  g_free(folder);
  g_ptr_array_unref(kinds);
  check_finish(&c);
}

int
main(void)
{
  const struct CMUnitTest tests[] = { cmocka_unit_test(test_scores), cmocka_unit_test(test_written),
                                      cmocka_unit_test(test_kinds) };
  return cmocka_run_group_tests(tests, NULL, NULL);
}
