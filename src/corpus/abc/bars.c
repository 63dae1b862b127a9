// Copyright 2026 the rowcall developers
// SPDX-License-Identifier: MIT

// Bars of an ABC tune: the chords in them, bar lines, repeats and endings.

#include "corpus/abc/body.h"

#include <string.h>

enum { LAST_ENDING = 63, FIRST_ROOM = 64 };

// Longer bars are refused, so that no sum of lengths can overflow.
#define LONGEST_BAR (65536 * RC_QUARTER)

// Sees to it that an array holds room for one more behind what is used of it.
static inline void
make_room(GArray *array, guint used)
{
  if (used == array->len) {
    g_array_set_size(array, 2 * used + FIRST_ROOM);
  }
}

// --------------------------------------------------------------------------------------------------------- chords

static inline void
begin_event(AbcBody *b)
{
  make_room(b->tune->events, b->n_events);
  b->event = &g_array_index(b->tune->events, RcEvent, b->n_events);
}

void
abc_close_event(AbcBody *b)
{
  if (b->pos > b->event_start) {
    b->event->length = b->pos - b->event_start;
    b->pending = FALSE;
    ++b->n_events;
    begin_event(b);
  }
  b->event_start = b->pos;
}

void
abc_open_event(AbcBody *b, guint symbol, guint line, guint column)
{
  b->event->symbol = symbol;
  b->event->setting = b->setting;
  b->event->line = line;
  b->event->column = column;
  b->event->melody = 0;
  b->event_start = b->pos;
  b->pending = TRUE;
}

void
abc_hold(AbcBody *b)
{
  abc_open_event(b, rc_symbols_held(b->music->symbols), b->line.number, abc_column(b, &b->line, b->at));
  b->event_start = 0;
}

// ----------------------------------------------------------------------------------------------------------- bars

static void
start_bar(AbcBody *b)
{
  b->pos = 0;
  b->overlay = FALSE;
  b->first_event = b->n_events;
  b->event_start = 0;
  if (!b->pending) { // else it stands before the bar line and is for the next note
    b->event->symbol = ABC_NO_SYMBOL;
  }
  make_room(b->music->marks, b->n_bars);
  b->marks = &g_array_index(b->music->marks, RcBarMarks, b->n_bars);
  *b->marks = (RcBarMarks){ 0 };
  b->last_note = ABC_NO_NOTE;
  b->last_length = 0; // broken rhythm does not reach over a bar line
  if (b->any_accidental) {
    abc_learn_key(b);
  }
}

void
abc_start_bars(AbcBody *b)
{
  begin_event(b);
  start_bar(b);
}

gboolean
abc_check_limits(AbcBody *b, GError **error)
{
  if (b->music->notes->len > RC_MAX_NOTES) {
    return abc_fail(b, b->at, RC_ERROR_LIMIT, "the melody has more notes than a tune may have", error);
  }
  if (b->n_events > RC_MAX_EVENTS || b->n_bars > RC_MAX_BARS || b->tune->symbols->len > RC_MAX_SYMBOLS) {
    return abc_fail(b, b->at, RC_ERROR_LIMIT, "the tune has more chords or bars than a tune may have", error);
  }
  return TRUE;
}

// A line behind no music says more of the bar before.
static void
mark_bar_before(AbcBody *b, guint closes, gboolean breaks)
{
  const guint ends = b->marks->jumps & RC_JUMP_ENDS; // at its line, "|!fine!|]"
  if (b->n_bars && ends) {
    b->marks[-1].jumps |= ends;
    b->marks->jumps &= ~ends;
  }
  if (b->n_bars && (closes || breaks) && !b->marks->opens) {
    RcBarMarks *before = b->marks - 1;
    before->closes = MAX(before->closes, closes);
    before->breaks |= breaks;
  }
}

gboolean
abc_end_bar(AbcBody *b, guint closes, gboolean breaks, GError **error)
{
  b->pos = b->overlay ? MAX(b->main_pos, b->pos) : b->pos;
  if (b->pos > LONGEST_BAR) {
    return abc_fail(b, b->at, RC_ERROR_LIMIT, "the bar that ends here is longer than a bar may be", error);
  }
  if (!b->pos && b->n_events == b->first_event) {
    mark_bar_before(b, closes, breaks);
    return TRUE;
  }
  if (b->event->symbol == ABC_NO_SYMBOL) {
    abc_hold(b);
  }
  abc_close_event(b);
  b->marks->closes = closes;
  b->marks->breaks = breaks;
  make_room(b->tune->bars, b->n_bars);
  g_array_index(b->tune->bars, RcBar, b->n_bars) = (RcBar){ b->first_event, b->n_events - b->first_event };
  ++b->n_bars;
  start_bar(b);
  return abc_check_limits(b, error);
}

void
abc_start_overlay(AbcBody *b)
{
  ++b->at;
  if (b->overlay) {
    b->main_pos = MAX(b->main_pos, b->pos);
  } else {
    const guint sounding = b->n_events;
    abc_close_event(b);
    if (b->n_events > sounding) { // what sounds may last longer than all before the overlay
      *b->event = g_array_index(b->tune->events, RcEvent, sounding);
    }
    b->main_pos = b->pos;
  }
  b->pos = 0;
  b->overlay = TRUE;
}

// ------------------------------------------------------------------------------------------------------- bar lines

// "1", "1,3", "1-3": which times an ending is for; section 4.9.
static guint64
read_endings(AbcBody *b)
{
  guint64 endings = 0;
  for (guint first = 0; g_ascii_isdigit(*b->at);) {
    guint last = 0;
    abc_read_digits(b, &first);
    last = first;
    if (*b->at == '-' && g_ascii_isdigit(b->at[1])) {
      ++b->at;
      abc_read_digits(b, &last);
    }
    for (guint n = first; n <= MIN(last, LAST_ENDING); ++n) {
      endings |= G_GUINT64_CONSTANT(1) << n;
    }
    if (*b->at == ',' && g_ascii_isdigit(b->at[1])) {
      ++b->at;
    }
  }
  return endings;
}

gboolean
abc_read_ending(AbcBody *b, GError **error)
{
  if (!abc_end_bar(b, 0, FALSE, error)) {
    return FALSE;
  }
  ++b->at;
  b->marks->endings |= read_endings(b);
  return TRUE;
}

static guint
count_colons(AbcBody *b)
{
  const char *start = b->at;
  while (*b->at == ':') {
    ++b->at;
  }
  return (guint)(b->at - start);
}

static gboolean
is_line_or_end(char c)
{
  return c == '|' || c == ']' || abc_ends_line(c);
}

// Lines and brackets, but no bracket that begins an ending, a field or a chord.
static guint
count_lines(AbcBody *b)
{
  const char *start = b->at;
  while (*b->at == '|' || *b->at == ']' || (*b->at == '[' && is_line_or_end(b->at[1]))) {
    ++b->at;
  }
  return (guint)(b->at - start);
}

// Whether what follows a single line leaves it one that only ends a bar.
static gboolean
leaves_line_alone(char c)
{
  return g_ascii_isalpha(c) || c == '"' || c == '(' || c == '^' || c == '=' || c == '_' || c == '{' || c == '~' ||
         c == '\n';
}

// Any of | || [| |] |: :| :: :|: with more colons for more times, and an ending's numbers behind it; section 4.8.
gboolean
abc_read_bar_line(AbcBody *b, GError **error)
{
  if (b->n_symbol_lines && b->pos) {
    abc_pass_symbol_bars(b);
  }
  if (*b->at == '|' && leaves_line_alone(b->at[1 + (b->at[1] == ' ')])) {
    ++b->at;
    return abc_end_bar(b, 0, FALSE, error);
  }
  guint colons = count_colons(b);
  const char *lines = b->at;
  const guint n = count_lines(b);
  const gboolean invisible = n == 3 && !strncmp(lines, "[|]", 3);
  const gboolean thick = !invisible && (n > 1 || (n == 1 && *lines != '|'));
  guint opens = count_colons(b);
  if (!n && colons > 1) { // "::" closes and opens
    opens = 1;
    --colons;
  }
  if (!abc_end_bar(b, colons ? MIN(colons + 1, LAST_ENDING) : 0, thick, error)) {
    return FALSE;
  }
  b->marks->opens |= opens > 0;
  const char *ending = b->at;
  while (*ending == ' ') {
    ++ending;
  }
  if (*ending == '[' && g_ascii_isdigit(ending[1])) {
    b->at = ending + 1;
  }
  b->marks->endings |= read_endings(b);
  return TRUE;
}
