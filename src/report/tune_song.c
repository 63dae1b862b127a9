// Copyright 2026 the rowcall developers
// SPDX-License-Identifier: MIT

#include "report/format.h"
#include "report/song_lines.h"
#include "report/tune_text.h"

#include <string.h>

enum { SONG_INDENT = 5, SONG_WIDTH = RC_COLUMNS - SONG_INDENT - 1 };

// Rows of a line of words, one above another.
typedef struct {
  GString *chords;
  GString *marks;
  GString *words;
  gboolean cut; // the last word goes on
} Rows;

static void
append_row(GString *out, GString *row)
{
  while (row->len && row->str[row->len - 1] == ' ') {
    g_string_truncate(row, row->len - 1);
  }
  if (row->len) {
    g_string_append_printf(out, "%*s%s\n", SONG_INDENT, "", row->str);
  }
  g_string_truncate(row, 0);
}

static void
append_rows(GString *out, Rows *rows)
{
  append_row(out, rows->chords);
  append_row(out, rows->marks);
  append_row(out, rows->words);
  rows->cut = FALSE;
}

static gsize
letters(const char *text, gsize length)
{
  return (gsize)g_utf8_strlen(text, (gssize)length);
}

// Fills the row up to a column; within a word with dashes.
static void
fill_row(GString *row, gsize column, char filler)
{
  for (gsize n = letters(row->str, row->len); n < column; ++n) {
    g_string_append_c(row, filler);
  }
}

// The column after what is in a row, and after a blank where there is anything.
static gsize
free_column(const GString *row)
{
  return row->len ? letters(row->str, row->len) + 1 : 0;
}

static void
append_chord_over(Rows *rows, const RcTune *tune, const RcChart *chart, guint event, gsize column)
{
  const char *mark = rc_verdict_mark(chart->verdicts[event]);
  const char *arrow = rc_bellows_arrow(chart->bellows[event]);
  fill_row(rows->chords, column, ' ');
  g_string_append(rows->chords, rc_tune_symbol(tune, g_array_index(tune->events, RcEvent, event).symbol)->text);
  if (*mark || *arrow) {
    fill_row(rows->marks, column, ' ');
    g_string_append_printf(rows->marks, "%s%s", mark, arrow);
  }
}

// Where a word goes that needs so much room; begins new rows where there is too little.
static gsize
find_column(GString *out, Rows *rows, gboolean chord, gsize needed)
{
  gsize column = letters(rows->words->str, rows->words->len);
  if (chord) {
    column = MAX(column, MAX(free_column(rows->chords), free_column(rows->marks)));
  }
  if (column && column + needed > SONG_WIDTH) {
    append_rows(out, rows);
    return 0;
  }
  return column;
}

static void
append_stretch(GString *out, Rows *rows, const RcTune *tune, const RcChart *chart, const RcStretch *stretch)
{
  const gboolean chord = stretch->event != RC_NO_CHORD;
  const char *symbol =
    chord ? rc_tune_symbol(tune, g_array_index(tune->events, RcEvent, stretch->event).symbol)->text : "";
  char *word = g_strchomp(g_strndup(stretch->words, stretch->length));
  const gsize needed = MAX(letters(symbol, strlen(symbol)), letters(word, strlen(word)));
  const gsize column = find_column(out, rows, chord, needed);
  if (chord) {
    append_chord_over(rows, tune, chart, stretch->event, column);
  }
  fill_row(rows->words, column, rows->cut ? '-' : ' ');
  g_string_append_len(rows->words, stretch->words, (gssize)stretch->length);
  rows->cut = stretch->cut;
  g_free(word);
}

static void
append_line(GString *out, const RcTune *tune, const RcChart *chart, const RcLine *line)
{
  Rows rows = { g_string_new(NULL), g_string_new(NULL), g_string_new(NULL), FALSE };
  GArray *stretches = rc_line_stretches(tune, line);
  if (line->label) {
    rc_append_wrapped(out, line->label, 0);
  }
  for (guint i = 0; i < stretches->len; ++i) {
    append_stretch(out, &rows, tune, chart, &g_array_index(stretches, RcStretch, i));
  }
  append_rows(out, &rows);
  if (!stretches->len && !line->label) {
    g_string_append_c(out, '\n');
  }
  g_array_unref(stretches);
  g_string_free(rows.chords, TRUE);
  g_string_free(rows.marks, TRUE);
  g_string_free(rows.words, TRUE);
}

void
rc_append_song(GString *out, const RcTune *tune, const RcChart *chart)
{
  for (guint i = 0; i <= tune->lines->len; ++i) {
    const RcPart bars = rc_bars_before_line(tune, i);
    rc_append_bars(out, tune, chart, &bars);
    if (i < tune->lines->len) {
      append_line(out, tune, chart, &g_array_index(tune->lines, RcLine, i));
    }
  }
}
