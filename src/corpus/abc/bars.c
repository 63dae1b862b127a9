// Copyright 2026 the rowcall developers
// SPDX-License-Identifier: MIT

#include "corpus/abc/bars.h"

#include "base/array.h"

enum { FIRST_ROOM = 64 };

// Longer bars are refused, so that no sum of lengths can overflow.
#define LONGEST_BAR (65536 * RC_QUARTER)

// Makes sure that an array holds room for one more after what is used of it.
static inline void
make_room(GArray *array, guint used)
{
  if (used == array->len) {
    g_array_set_size(array, 2 * used + FIRST_ROOM);
  }
}

// --------------------------------------------------------------------------------------------------------- chords

static inline void
next_event(AbcBars *b)
{
  make_room(b->tune->events, b->n_events);
  b->event = &g_array_index(b->tune->events, RcEvent, b->n_events);
}

// Ends the chord that sounds here, if it has taken time.
static void
close_chord(AbcBars *b)
{
  if (b->pos > b->chord_pos) {
    b->event->length = b->pos - b->chord_pos;
    b->waiting = FALSE;
    ++b->n_events;
    next_event(b);
  }
  b->chord_pos = b->pos;
}

void
abc_begin_chord(AbcBars *b, guint symbol, AbcPlace place)
{
  close_chord(b);
  *b->event = (RcEvent){ .symbol = symbol, .setting = b->setting, .line = place.line, .column = place.column };
  b->waiting = TRUE;
  b->late = FALSE;
}

void
abc_hold(AbcBars *b, guint held, AbcPlace place)
{
  *b->event = (RcEvent){ .symbol = held, .setting = b->setting, .line = place.line, .column = place.column };
  b->waiting = FALSE;
  b->chord_pos = 0;
}

gboolean
abc_share_last_note(AbcBars *b, RcPcSet melody)
{
  const RcTicks share = b->last_note / 2;
  RcEvent *before = b->n_events ? b->event - 1 : NULL;
  if (!share || !before || before->length <= share) {
    return FALSE;
  }
  before->length -= share;
  b->event->length = share;
  b->event->setting = before->setting;
  b->event->melody = melody;
  b->waiting = FALSE;
  b->late = FALSE;
  b->first_event = ++b->n_events;
  ++g_array_index(b->tune->bars, RcBar, b->n_bars - 1).count;
  next_event(b);
  b->event->symbol = ABC_NO_SYMBOL;
  return TRUE;
}

// ----------------------------------------------------------------------------------------------------------- bars

static void
start_bar(AbcBars *b)
{
  b->pos = 0;
  b->chord_pos = 0;
  b->overlay = FALSE;
  b->first_event = b->n_events;
  if (b->waiting) { // it is written before the bar line and is for the next note
    b->late = TRUE;
  } else {
    b->event->symbol = ABC_NO_SYMBOL;
  }
  make_room(b->all_marks, b->n_bars);
  b->marks = &g_array_index(b->all_marks, RcBarMarks, b->n_bars);
  *b->marks = (RcBarMarks){ 0 };
}

void
abc_start_bars(AbcBars *b, RcTune *tune, GArray *marks)
{
  *b = (AbcBars){ .tune = tune, .all_marks = marks };
  rc_array_cut(marks, 0);
  next_event(b);
  start_bar(b);
}

void
abc_finish_bars(AbcBars *b)
{
  rc_array_cut(b->tune->events, b->n_events);
  rc_array_cut(b->tune->bars, b->n_bars);
  rc_array_cut(b->all_marks, b->n_bars);
}

// How often a repeat is played that ends in so many colons.
static guint
times(const AbcBars *b, guint colons)
{
  return !colons ? 0 : 1 + (b->opened ? MIN(colons, b->opened) : colons);
}

// A line after no music says more of the bar before.
static void
mark_bar_before(AbcBars *b, const AbcBarLine *line)
{
  const guint ends = b->marks->jumps & RC_JUMP_ENDS; // at its line, "|!fine!|]"
  if (b->n_bars && ends) {
    b->marks[-1].jumps |= ends;
    b->marks->jumps &= ~ends;
  }
  if (b->n_bars && (line->closes || line->breaks) && !b->marks->opens) {
    RcBarMarks *before = b->marks - 1;
    before->closes = MAX(before->closes, times(b, line->closes));
    before->breaks |= line->breaks;
  }
}

// What the line says of the bar that begins after it.
static void
mark_next_bar(AbcBars *b, const AbcBarLine *line)
{
  b->opened = line->opens ? line->opens : line->closes ? 0 : b->opened;
  b->marks->opens |= line->opens > 0;
  b->marks->endings |= line->endings;
}

static inline AbcBarEnd
end_bar(AbcBars *b, const AbcBarLine *line, RcTicks last_note)
{
  b->pos = b->overlay ? MAX(b->main_pos, b->pos) : b->pos;
  if (b->pos > LONGEST_BAR) {
    return ABC_BAR_TOO_LONG;
  }
  if (!b->pos && b->n_events == b->first_event) {
    mark_bar_before(b, line);
    mark_next_bar(b, line);
    b->late = b->waiting;
    return ABC_BAR_EMPTY;
  }
  close_chord(b);
  b->marks->closes = times(b, line->closes);
  b->marks->breaks = line->breaks;
  b->last_note = last_note;
  make_room(b->tune->bars, b->n_bars);
  g_array_index(b->tune->bars, RcBar, b->n_bars) = (RcBar){ b->first_event, b->n_events - b->first_event };
  ++b->n_bars;
  start_bar(b);
  mark_next_bar(b, line);
  return ABC_BAR_ENDED;
}

AbcBarEnd
abc_end_bar(AbcBars *b, const AbcBarLine *line, RcTicks last_note)
{
  return end_bar(b, line, last_note);
}

AbcBarEnd
abc_end_plain_bar(AbcBars *b, RcTicks last_note)
{
  return end_bar(b, &(AbcBarLine){ 0 }, last_note);
}

void
abc_start_overlay(AbcBars *b)
{
  if (b->overlay) {
    b->main_pos = MAX(b->main_pos, b->pos);
  } else {
    const guint sounding = b->n_events;
    close_chord(b);
    if (b->n_events > sounding) { // what sounds may last longer than all before the overlay
      *b->event = g_array_index(b->tune->events, RcEvent, sounding);
    }
    b->main_pos = b->pos;
  }
  b->pos = 0;
  b->overlay = TRUE;
}
