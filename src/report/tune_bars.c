// Copyright 2026 the rowcall developers
// SPDX-License-Identifier: MIT

#include "report/format.h"
#include "report/tune_text.h"

const char *
rc_verdict_mark(RcVerdict verdict)
{
  switch (verdict) {
  case RC_NATIVE:
    return "";
  case RC_IMPOSSIBLE:
    return "x";
  case RC_UNREAD:
    return "?";
  default:
    return rc_verdict_name(verdict);
  }
}

typedef struct {
  GString *chords;
  GString *marks; // under the chords
} Cell;

static RcTicks
common_share(const RcTune *tune, const RcBar *bar)
{
  RcTicks share = 0;
  for (guint i = 0; i < bar->count; ++i) {
    RcTicks a = g_array_index(tune->events, RcEvent, bar->first + i).length;
    while (a) { // greatest common divisor
      const RcTicks rest = share % a;
      share = a;
      a = rest;
    }
  }
  return share;
}

static void
append_column(GString *text, const char *word, gsize column)
{
  const gsize length = (gsize)g_utf8_strlen(text->str, -1);
  if (!*word) {
    return;
  }
  g_string_append_printf(text, "%*s%s", (int)(column > length ? column - length : 0), "", word);
}

// Chords as they share the bar: a dot for each further share, unless that would be many.
static Cell
make_cell(const RcTune *tune, const RcChart *chart, const RcBar *bar)
{
  enum { MANY_SHARES = 8, MOST_CHORDS = 200 };
  Cell cell = { g_string_new(NULL), g_string_new(NULL) };
  if (bar->count > MOST_CHORDS) { // they do not fit on a line
    g_string_printf(cell.chords, "%u chords", bar->count);
    return cell;
  }
  const RcTicks share = common_share(tune, bar);
  RcTicks length = 0;
  for (guint i = 0; i < bar->count; ++i) {
    length += g_array_index(tune->events, RcEvent, bar->first + i).length;
  }
  const gboolean dots = bar->count > 1 && share && length / share <= MANY_SHARES;
  for (guint i = 0; i < bar->count; ++i) {
    const RcEvent *event = &g_array_index(tune->events, RcEvent, bar->first + i);
    g_string_append(cell.chords, cell.chords->len ? " " : "");
    while (cell.marks->len && g_utf8_strlen(cell.chords->str, -1) <= g_utf8_strlen(cell.marks->str, -1)) {
      g_string_append_c(cell.chords, ' ');
    }
    char *mark = g_strconcat(rc_verdict_mark(chart->verdicts[bar->first + i]),
                             rc_bellows_arrow(chart->bellows[bar->first + i]), NULL);
    append_column(cell.marks, mark, (gsize)g_utf8_strlen(cell.chords->str, -1));
    g_free(mark);
    g_string_append(cell.chords, rc_tune_symbol(tune, event->symbol)->text);
    for (RcTicks more = 1; dots && more < event->length / share; ++more) {
      g_string_append(cell.chords, " .");
    }
  }
  return cell;
}

static void
free_cell(gpointer data)
{
  Cell *cell = data;
  g_string_free(cell->chords, TRUE);
  g_string_free(cell->marks, TRUE);
}

static gboolean
any_mark(const GArray *cells)
{
  for (guint i = 0; i < cells->len; ++i) {
    if (g_array_index(cells, Cell, i).marks->len) {
      return TRUE;
    }
  }
  return FALSE;
}

static void
append_cells(GString *out, const char *label, const GArray *cells, guint width)
{
  rc_append_padded(out, label, 5);
  for (guint i = 0; i < cells->len; ++i) {
    g_string_append(out, "| ");
    rc_append_padded(out, g_array_index(cells, Cell, i).chords->str, width + 1);
  }
  g_string_append(out, "|\n");
  if (any_mark(cells)) {
    rc_append_padded(out, "", 5);
    for (guint i = 0; i < cells->len; ++i) {
      g_string_append(out, "  ");
      rc_append_padded(out, g_array_index(cells, Cell, i).marks->str, width + 1);
    }
    while (out->str[out->len - 1] == ' ') {
      g_string_truncate(out, out->len - 1);
    }
    g_string_append_c(out, '\n');
  }
}

static guint
bars_a_line(guint width)
{
  const guint fit = MAX((RC_COLUMNS - 6) / (width + 3), 1);
  return fit >= 8 ? 8 : fit >= 4 ? 4 : fit;
}

static Cell
cell_of(const RcTune *tune, const RcChart *chart, const RcPart *part, guint bar)
{
  return make_cell(tune, chart, &g_array_index(tune->bars, RcBar, part->first + bar));
}

static guint
widest_cell(const RcTune *tune, const RcChart *chart, const RcPart *part)
{
  guint width = 3;
  for (guint i = 0; i < part->count; ++i) {
    Cell cell = cell_of(tune, chart, part, i);
    width = MAX(width, (guint)g_utf8_strlen(cell.chords->str, -1));
    free_cell(&cell);
  }
  return MIN(width, RC_COLUMNS - 9);
}

// Cells are made twice and kept for a line, since a part may have a million.
void
rc_append_bars(GString *out, const RcTune *tune, const RcChart *chart, const RcPart *part)
{
  GArray *cells = g_array_new(FALSE, FALSE, sizeof(Cell));
  g_array_set_clear_func(cells, free_cell);
  const guint width = widest_cell(tune, chart, part);
  const guint step = bars_a_line(width);
  for (guint i = 0; i < part->count; i += step) {
    for (guint j = i; j < MIN(i + step, part->count); ++j) {
      const Cell cell = cell_of(tune, chart, part, j);
      g_array_append_val(cells, cell);
    }
    append_cells(out, i ? "" : part->label, cells, width);
    g_array_set_size(cells, 0);
  }
  g_array_unref(cells);
}
