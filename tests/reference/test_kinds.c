// Copyright 2026 the rowcall developers
// SPDX-License-Identifier: MIT

// The chord symbols that we read against the 33 kinds of MusicXML 4.0, their usual spellings, and the chord types of
// the ABC standard 2.1: kinds.tsv, which names a source for each row and says where our reading differs and why.

#undef NDEBUG

#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>

#include <cmocka.h>

#include "rowcall/music.h"

#include "table.h"

enum { N_KINDS = 33, N_SPELLINGS = 144, PITCH_CLASSES = 12 };

static void
check_reading(Check *c, const char *symbol, RcNames names, RcPcSet expected)
{
  RcChord chord = { 0 };
  const RcSymbolKind kind = rc_chord_parse(symbol, strlen(symbol), names, &chord, NULL);
  if (kind != RC_SYMBOL_CHORD) {
    check(c, FALSE, "%s is not read as a chord", symbol);
  } else {
    check_tones(c, symbol, rc_chord_tones(&chord), expected);
  }
}

static void
check_on_all_roots(Check *c, const char *suffix, const char *semitones)
{
  for (guint pc = 0; pc < PITCH_CLASSES; ++pc) {
    char *symbol = g_strconcat(root_name(pc), suffix, NULL);
    assert_int_equal(rc_note_pc(note_of(root_name(pc))), pc);
    check_reading(c, symbol, RC_NAMES_ENGLISH, rc_pcs_transpose(tones_of(semitones), (int)pc));
    g_free(symbol);
  }
}

// --------------------------------------------------------------------------------------------------- kinds by spelling

static const char *
kind_semitones(const GPtrArray *kinds, const char *kind)
{
  for (guint i = 0; i < kinds->len; ++i) {
    if (!strcmp(cell(kinds, i, 1), kind)) {
      return cell(kinds, i, 2);
    }
  }
  fail_msg("kinds.tsv has no kind %s", kind);
  return NULL;
}

static void
check_spelling(Check *c, const GPtrArray *kinds, char **row)
{
  const char *suffix = strcmp(row[2], "-none-") != 0 ? row[2] : "";
  const char *published = kind_semitones(kinds, row[1]);
  if (!strcmp(row[4], "=")) {
    assert_string_not_equal(published, "-");
    check_on_all_roots(c, suffix, published);
  } else {
    check(c, strcmp(row[4], published) != 0, "%s is in the table as a difference but is none", row[2]);
    check_on_all_roots(c, suffix, row[4]);
  }
}

// Outside sources: MusicXML 4.0 for the tones of each kind, those named in section `spelling` of kinds.tsv for how it
// is written. On all twelve roots.
static void
test_spellings(void **state)
{
  (void)state;
  Check c = { "spellings", 0, 0 };
  GPtrArray *kinds = table_read("kinds.tsv", "kind", 4, N_KINDS);
  GPtrArray *rows = table_read("kinds.tsv", "spelling", 6, N_SPELLINGS);
  for (guint i = 0; i < rows->len; ++i) {
    check_spelling(&c, kinds, g_ptr_array_index(rows, i));
  }
  g_ptr_array_unref(rows);
  g_ptr_array_unref(kinds);
  check_finish(&c);
}

static gboolean
has_spelling(const GPtrArray *rows, const char *kind)
{
  for (guint i = 0; i < rows->len; ++i) {
    if (!strcmp(cell(rows, i, 1), kind)) {
      return TRUE;
    }
  }
  return FALSE;
}

// The standard names no degrees for these.
static const char *const without_degrees[] = { "Neapolitan", "Italian", "French", "German",
                                               "Tristan",    "other",   "none",   NULL };

// Every kind has a spelling, but for `none`, which is silence, and `other`, a chord put together from its degrees
// alone.
static void
test_all_kinds(void **state)
{
  (void)state;
  Check c = { "kinds", 0, 0 };
  GPtrArray *kinds = table_read("kinds.tsv", "kind", 4, N_KINDS);
  GPtrArray *rows = table_read("kinds.tsv", "spelling", 6, N_SPELLINGS);
  for (guint i = 0; i < kinds->len; ++i) {
    const char *kind = cell(kinds, i, 1);
    const gboolean unspelled = !strcmp(kind, "none") || !strcmp(kind, "other");
    check(&c, has_spelling(rows, kind) != unspelled, "%s: %s", kind, unspelled ? "has a spelling" : "has no spelling");
    check(&c, g_strv_contains(without_degrees, kind) == !strcmp(cell(kinds, i, 2), "-"), "%s: degrees in the table",
          kind);
  }
  RcChord chord = { 0 };
  check(&c, rc_chord_parse("Cother", 6, RC_NAMES_ENGLISH, &chord, NULL) == RC_SYMBOL_UNREAD, "Cother is read");
  g_ptr_array_unref(rows);
  g_ptr_array_unref(kinds);
  check_finish(&c);
}

// Outside sources: those named in section `silent` of kinds.tsv, the kind `none`.
static void
test_silence(void **state)
{
  (void)state;
  Check c = { "silence", 0, 0 };
  GPtrArray *rows = table_read("kinds.tsv", "silent", 3, 3);
  for (guint i = 0; i < rows->len; ++i) {
    const char *text = cell(rows, i, 1);
    RcChord chord = { 0 };
    const RcSymbolKind kind = rc_chord_parse(text, strlen(text), RC_NAMES_ENGLISH, &chord, NULL);
    check(&c, kind == RC_SYMBOL_SILENT, "%s is not read as silence", text);
  }
  g_ptr_array_unref(rows);
  check_finish(&c);
}

// Common practice: the chords that published combinations of buttons use and MusicXML has no kind for.
static void
test_qualities(void **state)
{
  (void)state;
  Check c = { "other qualities", 0, 0 };
  GPtrArray *rows = table_read("kinds.tsv", "quality", 5, 7);
  for (guint i = 0; i < rows->len; ++i) {
    check_on_all_roots(&c, cell(rows, i, 3), cell(rows, i, 2));
  }
  g_ptr_array_unref(rows);
  check_finish(&c);
}

// ------------------------------------------------------------------------------------------------------ whole symbols

static void
check_symbol(Check *c, char **row)
{
  const gboolean german = !strcmp(row[2], "german");
  assert_true(german || !strcmp(row[2], "english"));
  const RcNames names = german ? RC_NAMES_GERMAN : RC_NAMES_ENGLISH;
  RcChord chord = { 0 };
  check_reading(c, row[1], names, tones_of(row[3]));
  rc_chord_parse(row[1], strlen(row[1]), names, &chord, NULL);
  check_text(c, row[1], rc_note_name(chord.bass, RC_SIGNS_ASCII), row[4]);
  if (strcmp(row[5], "-") != 0) {
    check(c, rc_chord_tones(&chord) != tones_of(row[5]), "%s has the reading not taken", row[1]);
  }
}

// Outside sources: those named in section `symbol` of kinds.tsv: rules and examples of ABC 2.1, and symbols that two
// traditions read in two ways.
static void
test_symbols(void **state)
{
  (void)state;
  Check c = { "whole symbols", 0, 0 };
  GPtrArray *rows = table_read("kinds.tsv", "symbol", 7, 17);
  for (guint i = 0; i < rows->len; ++i) {
    check_symbol(&c, g_ptr_array_index(rows, i));
  }
  g_ptr_array_unref(rows);
  check_finish(&c);
}

int
main(void)
{
  const struct CMUnitTest tests[] = {
    cmocka_unit_test(test_spellings), cmocka_unit_test(test_all_kinds), cmocka_unit_test(test_silence),
    cmocka_unit_test(test_qualities), cmocka_unit_test(test_symbols),
  };
  return cmocka_run_group_tests(tests, NULL, NULL);
}
