// Copyright 2026 the rowcall developers
// SPDX-License-Identifier: MIT

// The bars and chords of a voice as they are made: time passes, chords begin, bars end.

#ifndef ROWCALL_SRC_CORPUS_ABC_BARS_H
#define ROWCALL_SRC_CORPUS_ABC_BARS_H

#include "corpus/abc/cursor.h"
#include "corpus/abc/lines.h"
#include "corpus/unroll.h"
#include "rowcall/music.h"

#define ABC_NO_SYMBOL G_MAXUINT

/// The arrays hold room ahead; what is used of them is counted here until abc_finish_bars().
typedef struct {
  RcTune *tune;      // its events and bars
  GArray *all_marks; // of RcBarMarks, by bar
  guint n_events;
  guint n_bars;
  RcTicks pos;       // in the bar
  RcEvent *event;    // the chord that sounds, after those of the tune that have ended
  RcTicks chord_pos; // where it begins
  gboolean waiting;  // it was written and no time has passed since
  gboolean late;     // and a bar has ended since
  guint first_event; // of the bar
  RcBarMarks *marks; // of the bar
  guint setting;     // index of the setting in force
  guint opened;      // colons of the sign that opened the repeat in force; 0: none did
  gboolean overlay;  // what passes lies under what the bar has already
  RcTicks main_pos;  // where the bar was before an overlay
  RcTicks last_note; // length of the last note before the bar
} AbcBars;

/// Starts the first bar of @p tune. @p marks is emptied.
void abc_start_bars(AbcBars *bars, RcTune *tune, GArray *marks);

/// Leaves in the arrays what is used of them.
void abc_finish_bars(AbcBars *bars);

/// Returns whether nothing is written that sounds where the bar is: what sounded before it does, by abc_hold().
static inline gboolean
abc_lacks_chord(const AbcBars *bars)
{
  return bars->event->symbol == ABC_NO_SYMBOL;
}

/// Lets what sounded before the bar go on from its start: @p held is the index of that symbol.
void abc_hold(AbcBars *bars, guint held, AbcPlace place);

/// Begins the chord of this symbol, written at @p place.
void abc_begin_chord(AbcBars *bars, guint symbol, AbcPlace place);

/// Returns whether a chord was written here and no note since.
static inline gboolean
abc_chord_waits(const AbcBars *bars)
{
  return bars->waiting && bars->pos == bars->chord_pos;
}

/// Gives a chord that waits since before the bar half of the time of the last note there. FALSE where there is none.
gboolean abc_share_last_note(AbcBars *bars, RcPcSet melody);

/// Lets time pass over which the melody sounds these tones.
static inline void
abc_pass(AbcBars *bars, RcTicks length, RcPcSet tones)
{
  if (!bars->overlay) {
    bars->event->melody |= tones;
  }
  bars->pos += length;
}

/// What ending a bar came to.
typedef enum {
  ABC_BAR_EMPTY,   // it holds nothing: what the line says is of the bar before
  ABC_BAR_ENDED,   // the next one has begun
  ABC_BAR_TOO_LONG // more than bars may be
} AbcBarEnd;

/// Ends the bar, if it holds anything. @p last_note is the length of its last note.
AbcBarEnd abc_end_bar(AbcBars *bars, const AbcBarLine *line, RcTicks last_note);

/// Ends the bar as a line does that only ends it.
AbcBarEnd abc_end_plain_bar(AbcBars *bars, RcTicks last_note);

/// Goes back to the start of the bar for "&", section 7.4.
void abc_start_overlay(AbcBars *bars);

#endif
