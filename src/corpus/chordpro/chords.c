// Copyright 2026 the rowcall developers
// SPDX-License-Identifier: MIT

// Chords of a ChordPro song: in brackets over words, and in grids.

#include "corpus/chordpro/chordpro.h"

#include <string.h>

enum { MAX_CELLS = 64, MAX_IN_CELL = 16, LAST_ENDING = 63 };

static guint
column_of(const CpSong *song, const char *at)
{
  return (guint)g_utf8_strlen(song->text, at - song->text) + 1;
}

gboolean
cp_fail(const CpSong *song, const char *at, RcErrorCode code, const char *message, GError **error)
{
  return rc_fail(error, code, (RcPlace){ song->file, song->line, column_of(song, at) }, "%s", message);
}

void
cp_change_setting(CpSong *song)
{
  GArray *settings = song->tune->settings;
  if (!song->tune->events->len) {
    g_array_index(settings, RcSetting, 0) = song->setting;
    return;
  }
  g_array_append_val(settings, song->setting);
  song->setting_index = settings->len - 1;
}

// ---------------------------------------------------------------------------------------------------------- symbols

static RcNote
moved_note(const CpSong *song, RcNote note)
{
  const guint pc = (rc_note_pc(note) + (guint)(song->shift + 1200)) % 12;
  return song->setting.key.mode == RC_MODE_NONE ? rc_note_near(0, pc) : rc_key_spell(song->setting.key, pc);
}

// The symbol of a chord as it sounds, with the English names of notes. A chord in round brackets may be left out by
// players; it counts.
static guint
symbol_of(CpSong *song, const char *text, gsize length)
{
  RcChord chord;
  while (length > 2 && text[0] == '(' && text[length - 1] == ')') {
    ++text;
    length -= 2;
  }
  if ((!song->shift && song->names == RC_NAMES_ENGLISH) ||
      rc_chord_parse(text, length, song->names, &chord, NULL) != RC_SYMBOL_CHORD) {
    return rc_symbols_index(song->symbols, text, length);
  }
  const gboolean own_bass = chord.bass == chord.root;
  chord.root = song->shift ? moved_note(song, chord.root) : chord.root;
  chord.bass = own_bass ? chord.root : song->shift ? moved_note(song, chord.bass) : chord.bass;
  char *name = rc_chord_name(&chord, RC_SIGNS_ASCII);
  const guint index = rc_symbols_index(song->symbols, name, strlen(name));
  g_free(name);
  return index;
}

static void
add_event(CpSong *song, guint symbol, const char *at, RcTicks length)
{
  const RcEvent event = { .symbol = symbol,
                          .setting = song->setting_index,
                          .line = song->line,
                          .column = column_of(song, at),
                          .length = length };
  g_array_append_val(song->tune->events, event);
}

static gboolean
check_limits(const CpSong *song, const char *at, GError **error)
{
  const RcTune *tune = song->tune;
  if (tune->events->len > RC_MAX_EVENTS || tune->bars->len > RC_MAX_BARS || tune->symbols->len > RC_MAX_SYMBOLS) {
    return cp_fail(song, at, RC_ERROR_LIMIT, "the song has more chords or bars than a tune may have", error);
  }
  return TRUE;
}

static gboolean
add_bar(CpSong *song, guint first, const char *at, GError **error)
{
  const RcBar bar = { first, song->tune->events->len - first };
  const RcBarMarks marks = { .opens = song->opens, .endings = song->endings };
  if (bar.count) {
    g_array_append_val(song->tune->bars, bar);
    g_array_append_val(song->marks, marks);
    song->opens = FALSE;
    song->endings = 0;
  }
  return check_limits(song, at, error);
}

// ------------------------------------------------------------------------------------------------------------ words

static gboolean
is_blank(char c)
{
  return c == ' ' || c == '\t' || c == '\r';
}

// A chord between brackets, if it is one: `[*loud]` is a remark, and blanks around it do not count.
static void
add_chord(CpSong *song, const char *start, const char *end)
{
  while (start < end && is_blank(*start)) {
    ++start;
  }
  while (end > start && is_blank(end[-1])) {
    --end;
  }
  if (start < end && *start != '*') {
    add_event(song, symbol_of(song, start, (gsize)(end - start)), start, 0);
    song->tune->unmeasured = TRUE;
  }
}

gboolean
cp_read_words(CpSong *song, GError **error)
{
  const guint first = song->tune->events->len;
  for (const char *at = song->text; (at = strchr(at, '['));) {
    const char *close = strchr(at, ']');
    if (!close) {
      return cp_fail(song, at, RC_ERROR_SYNTAX, "a chord begins here and has no closing bracket on its line", error);
    }
    add_chord(song, at + 1, close);
    at = close + 1;
    if (!check_limits(song, song->text, error)) {
      return FALSE;
    }
  }
  song->opens = FALSE;
  song->endings = 0;
  return add_bar(song, first, song->text, error);
}

// ------------------------------------------------------------------------------------------------------------ grids

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

// Whether a sign stands alone in the bar, or nothing does where it is NULL.
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
    add_event(g->song, rc_symbols_held(g->song->symbols), cell->at, length);
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
      add_event(g->song, symbol_of(g->song, at, (gsize)(stop - at)), at, share);
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
    return cp_fail(g->song, g->cells[0].at, RC_ERROR_SYNTAX, "repeats a bar, but none stands before it", error);
  }
  for (guint i = 0; i < before->count; ++i) {
    const RcEvent event = g_array_index(tune->events, RcEvent, before->first + i);
    add_event(g->song, event.symbol, g->cells[0].at, event.length);
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
  return good && add_bar(song, g->first, g->at, error);
}

static gboolean
begins_line(const char *at)
{
  return *at == '|' || (at[0] == ':' && (at[1] == '|' || at[1] == ':'));
}

// | || |: :| :|: |. and an ending's number behind it.
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
  while (*g->at && !is_blank(*g->at) && !begins_line(g->at)) {
    ++g->at;
  }
  if (g->n_cells == MAX_CELLS) {
    return cp_fail(g->song, start, RC_ERROR_LIMIT, "a bar of more than 64 cells", error);
  }
  g->cells[g->n_cells++] = (Cell){ start, (gsize)(g->at - start) };
  return TRUE;
}

// What stands before the first bar line and behind the last are words for players; lines of strokes, `|S`, are passed
// over.
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
    if (is_blank(*g.at)) {
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
