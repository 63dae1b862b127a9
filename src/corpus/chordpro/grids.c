// Copyright 2026 the rowcall developers
// SPDX-License-Identifier: MIT

// Grids of a ChordPro song: bars of equal cells.

#include "corpus/chordpro/chordpro.h"

#include <string.h>

enum { MAX_CELLS = 64, MAX_IN_CELL = 16 };

typedef struct {
  const char *at;
  gsize length;
} Cell;

typedef struct {
  CpSong *song;
  const char *at;
  Cell cells[MAX_CELLS]; // since the last bar line
  guint n_cells;
  guint first; // event of the bar
} Grid;

static gboolean
is_sign(const Cell *cell, const char *sign)
{
  return cell->length == strlen(sign) && !memcmp(cell->at, sign, cell->length);
}

static gboolean
is_held(const Cell *cell)
{
  return is_sign(cell, ".") || is_sign(cell, "/");
}

// Whether a sign is alone in the bar, or nothing does where it is NULL.
static gboolean
holds_only(const Grid *g, const char *sign)
{
  for (guint i = 0; i < g->n_cells; ++i) {
    if (!is_held(&g->cells[i]) && !(sign && is_sign(&g->cells[i], sign))) {
      return FALSE;
    }
  }
  return sign == NULL || is_sign(&g->cells[0], sign);
}

// What sounded goes on: the event before within the bar, else one of its own.
static void
hold(Grid *g, const Cell *cell, RcTicks length)
{
  GArray *events = g->song->tune->events;
  if (events->len > g->first) {
    g_array_index(events, RcEvent, events->len - 1).length += length;
  } else {
    cp_add_event(g->song, rc_symbols_held(g->song->symbols), cell->at, length, 0);
  }
}

// A chord, or several that share the cell: `C~G`.
static void
add_cell(Grid *g, const Cell *cell, RcTicks length)
{
  guint n = 1;
  const char *end = cell->at + cell->length;
  for (const char *at = cell->at; at < end; ++at) {
    n += *at == '~' && n < MAX_IN_CELL;
  }
  const char *at = cell->at;
  for (guint i = 0; i < n; ++i) {
    const char *divider = i + 1 < n ? memchr(at, '~', (gsize)(end - at)) : NULL;
    const char *stop = divider ? divider : end;
    const RcTicks share = length * (i + 1) / n - length * i / n;
    if (stop == at) {
      hold(g, cell, share);
    } else {
      cp_add_event(g->song, cp_symbol(g->song, (CpText){ at, stop }), at, share, 0);
    }
    at = stop + 1;
  }
}

static void
add_cells(Grid *g)
{
  const RcTicks bar = rc_meter_bar(g->song->setting.meter);
  for (guint i = 0; i < g->n_cells; ++i) {
    const RcTicks length = bar * (i + 1) / g->n_cells - bar * i / g->n_cells;
    if (is_held(&g->cells[i])) {
      hold(g, &g->cells[i], length);
    } else {
      add_cell(g, &g->cells[i], length);
    }
  }
}

// The bar is the one so many bars before.
static gboolean
repeat_bar(Grid *g, guint back, GError **error)
{
  const RcTune *tune = g->song->tune;
  const RcBar *before = tune->bars->len >= back ? &g_array_index(tune->bars, RcBar, tune->bars->len - back) : NULL;
  if (!before) {
    return cp_fail(g->song, g->cells[0].at, RC_ERROR_SYNTAX, "repeats a bar, but there is none before it", error);
  }
  for (guint i = 0; i < before->count; ++i) {
    const RcEvent event = g_array_index(tune->events, RcEvent, before->first + i);
    cp_add_event(g->song, event.symbol, g->cells[0].at, event.length, 0);
  }
  return TRUE;
}

static gboolean
finish_bar(Grid *g, GError **error)
{
  CpSong *song = g->song;
  gboolean good = TRUE;
  const gboolean second = song->two_bars && holds_only(g, NULL);
  song->two_bars = holds_only(g, "%%");
  g->first = song->tune->events->len;
  if (second || song->two_bars) {
    good = repeat_bar(g, 2, error);
  } else if (holds_only(g, "%")) {
    good = repeat_bar(g, 1, error);
  } else {
    add_cells(g);
  }
  g->n_cells = 0;
  return good && cp_add_bar(song, g->first, g->at, error);
}

static gboolean
begins_line(const char *at)
{
  return *at == '|' || (at[0] == ':' && (at[1] == '|' || at[1] == ':'));
}

// | || |: :| :|: |. and an ending's number after it.
static gboolean
pass_bar_line(Grid *g, gboolean first, GError **error)
{
  CpSong *song = g->song;
  const gboolean closes = *g->at == ':';
  const gsize signs = strspn(g->at, ":|.");
  const gboolean opens = signs > 1 && g->at[signs - 1] == ':';
  const char *number = g->at + signs;
  if (g->n_cells && !first && !finish_bar(g, error)) {
    return FALSE;
  }
  if (closes && song->marks->len) {
    g_array_index(song->marks, RcBarMarks, song->marks->len - 1).closes = 2;
  }
  song->opens |= opens;
  for (; g_ascii_isdigit(*number); ++number) {
    const guint n = (guint)(*number - '0');
    song->endings |= n ? G_GUINT64_CONSTANT(1) << n : 0;
  }
  g->n_cells = 0;
  g->at = number;
  return TRUE;
}

static gboolean
pass_cell(Grid *g, GError **error)
{
  const char *start = g->at;
  while (*g->at && !cp_is_blank(*g->at) && !begins_line(g->at)) {
    ++g->at;
  }
  if (g->n_cells == MAX_CELLS) {
    return cp_fail(g->song, start, RC_ERROR_LIMIT, "a bar of more than 64 cells", error);
  }
  g->cells[g->n_cells++] = (Cell){ start, (gsize)(g->at - start) };
  return TRUE;
}

// What is before the first bar line and after the last are words for players; lines of strokes, `|S`, are passed over.
gboolean
cp_read_grid(CpSong *song, GError **error)
{
  Grid g = { .song = song, .at = strpbrk(song->text, "|") };
  gboolean first = TRUE;
  if (!g.at || g_ascii_toupper(g.at[1]) == 'S') {
    return TRUE;
  }
  g.at -= g.at > song->text && g.at[-1] == ':';
  while (*g.at) {
    if (cp_is_blank(*g.at)) {
      ++g.at;
    } else if (begins_line(g.at)) {
      if (!pass_bar_line(&g, first, error)) {
        return FALSE;
      }
      first = FALSE;
    } else if (!pass_cell(&g, error)) {
      return FALSE;
    }
  }
  return TRUE;
}
