// Copyright 2026 the rowcall developers
// SPDX-License-Identifier: MIT

// What the tests against tables of outside values share: reading a table and its cells, and counting comparisons.
// Include it after cmocka.h.
//
// A table is a file of lines, columns separated by tabs; lines that begin with `#` are comments. Cells hold lists with
// commas, pitch classes as numbers (0 is C) or as note names; `-` is an empty list.

#ifndef ROWCALL_TESTS_REFERENCE_TABLE_H
#define ROWCALL_TESTS_REFERENCE_TABLE_H

#include "rowcall/keyboard.h"
#include "rowcall/music.h"

#include <stdlib.h>
#include <string.h>

// ------------------------------------------------------------------------------------------------ counting compared

// Goes on after a wrong value, so that one run shows all of them.
typedef struct {
  const char *name;
  guint compared;
  guint wrong;
} Check;

static inline void check(Check *c, gboolean good, const char *format, ...) G_GNUC_PRINTF(3, 4);

// Counts one comparison; the words, printf-like, tell of it when it is not good.
static inline void
check(Check *c, gboolean good, const char *format, ...)
{
  ++c->compared;
  if (good) {
    return;
  }
  ++c->wrong;
  va_list arguments;
  va_start(arguments, format);
  char *words = g_strdup_vprintf(format, arguments);
  va_end(arguments);
  print_error("%s: %s\n", c->name, words);
  g_free(words);
}

static inline void
check_number(Check *c, const char *what, guint found, guint expected)
{
  check(c, found == expected, "%s: found %u, expected %u", what, found, expected);
}

static inline void
check_text(Check *c, const char *what, const char *found, const char *expected)
{
  check(c, !strcmp(found, expected), "%s: found %s, expected %s", what, found, expected);
}

static inline void
check_finish(const Check *c)
{
  print_message("%s: %u values compared\n", c->name, c->compared);
  assert_int_not_equal(c->compared, 0);
  assert_int_equal(c->wrong, 0);
}

// --------------------------------------------------------------------------------------------------- sets of tones

static inline guint
count_tones(RcPcSet set)
{
  guint n = 0;
  for (guint bits = set; bits; bits &= bits - 1) {
    ++n;
  }
  return n;
}

// "0,4,7", a new string; "-" for none.
static inline char *
tones_text(RcPcSet set)
{
  GString *text = g_string_new(NULL);
  for (guint pc = 0; pc < 12; ++pc) {
    if (rc_pcs_has(set, pc)) {
      g_string_append_printf(text, "%s%u", text->len ? "," : "", pc);
    }
  }
  return g_string_free(text->len ? text : g_string_append_c(text, '-'), FALSE);
}

static inline void
check_tones(Check *c, const char *what, RcPcSet found, RcPcSet expected)
{
  char *found_text = tones_text(found);
  char *expected_text = tones_text(expected);
  check_text(c, what, found_text, expected_text);
  g_free(expected_text);
  g_free(found_text);
}

// ------------------------------------------------------------------------------------------------- cells of a table

static inline RcNote
note_of(const char *name)
{
  RcNote note = 0;
  if (!*name || rc_note_parse(name, strlen(name), RC_NAMES_ENGLISH, &note) != strlen(name)) {
    fail_msg("%s is no note", name);
  }
  return note;
}

static inline guint
number_of(const char *text)
{
  char *end = NULL;
  const guint64 number = g_ascii_strtoull(text, &end, 10);
  if (!*text || *end) {
    fail_msg("%s is no number", text);
  }
  return (guint)number;
}

static inline double
decimal_of(const char *text)
{
  char *end = NULL;
  const double number = g_ascii_strtod(text, &end);
  if (!*text || *end) {
    fail_msg("%s is no number", text);
  }
  return number;
}

// The parts of a cell, to be freed with g_strfreev(); none of "-".
static inline char **
parts_of(const char *text, const char *separator)
{
  return g_strsplit(strcmp(text, "-") != 0 ? text : "", separator, 0);
}

// "0,4,7" or "C,E,G".
static inline RcPcSet
tones_of(const char *text)
{
  guint tones = 0;
  char **parts = parts_of(text, ",");
  for (guint i = 0; parts[i]; ++i) {
    tones |= 1U << (g_ascii_isdigit(*parts[i]) ? number_of(parts[i]) % 12U : rc_note_pc(note_of(parts[i])));
  }
  g_strfreev(parts);
  return (RcPcSet)tones;
}

static inline RcChord
chord_of(const char *symbol)
{
  RcChord chord = { 0 };
  if (rc_chord_parse(symbol, strlen(symbol), RC_NAMES_ENGLISH, &chord, NULL) != RC_SYMBOL_CHORD) {
    fail_msg("%s is not read as a chord", symbol);
  }
  return chord;
}

static inline RcPcSet
chord_tones_of(const char *symbol)
{
  const RcChord chord = chord_of(symbol);
  return rc_chord_tones(&chord);
}

// ---------------------------------------------------------------------------------------------- layouts and roots

static inline RcLayout *
shipped(const char *name)
{
  RcLayout *layout = rc_layout_find(name, NULL);
  if (!layout) {
    fail_msg("no layout %s ships with the program", name);
  }
  return layout;
}

// A common name of each pitch class.
static inline const char *
root_name(guint pc)
{
  static const char *const names[] = { "C", "Db", "D", "Eb", "E", "F", "F#", "G", "Ab", "A", "Bb", "B" };
  return names[pc % G_N_ELEMENTS(names)];
}

// --------------------------------------------------------------------------------------------------------- the table

static inline char *
table_text(const char *name)
{
  const char *folder = g_getenv("ROWCALL_TEST_DATA");
  if (!folder) {
    fail_msg("ROWCALL_TEST_DATA does not name the folder of the tests");
  }
  char *path = g_build_filename(folder, "reference", name, NULL);
  char *text = NULL;
  if (!g_file_get_contents(path, &text, NULL, NULL)) {
    fail_msg("%s cannot be read", path);
  }
  g_free(path);
  return text;
}

// Returns the rows of table `name` whose first cell is `section` (NULL: all rows), each a NULL-terminated list of
// `n_cells` cells. The number of rows is stated, so that none is lost.
static inline GPtrArray *
table_read(const char *name, const char *section, guint n_cells, guint n_rows)
{
  GPtrArray *rows = g_ptr_array_new_with_free_func((GDestroyNotify)g_strfreev);
  char *text = table_text(name);
  char **lines = g_strsplit(text, "\n", 0);
  for (guint i = 0; lines[i]; ++i) {
    char **cells = g_strsplit(lines[i], "\t", 0);
    if (*lines[i] == '\0' || *lines[i] == '#' || (section && strcmp(cells[0], section) != 0)) {
      g_strfreev(cells);
      continue;
    }
    if (g_strv_length(cells) != n_cells) {
      fail_msg("%s, line %u: %u cells, not %u", name, i + 1, g_strv_length(cells), n_cells);
    }
    g_ptr_array_add(rows, cells);
  }
  g_strfreev(lines);
  g_free(text);
  assert_int_equal(rows->len, n_rows);
  return rows;
}

static inline const char *
cell(const GPtrArray *rows, guint row, guint column)
{
  return ((char **)g_ptr_array_index(rows, row))[column];
}

#endif
