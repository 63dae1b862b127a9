// Copyright 2026 the rowcall developers
// SPDX-License-Identifier: MIT

// The body of an ABC tune.

#ifndef ROWCALL_SRC_CORPUS_ABC_MUSIC_H
#define ROWCALL_SRC_CORPUS_ABC_MUSIC_H

#include "corpus/abc/chords.h"
#include "corpus/abc/cursor.h"
#include "corpus/abc/fields.h"
#include "corpus/abc/known.h"
#include "corpus/symbols.h"

/// A note of the melody within its bar.
typedef struct {
  guint bar;
  RcTicks start;
  RcTicks end;
  RcPcSet tones;
  guint8 pitch;  // of the highest, 60 being middle C
  gboolean tied; // to the next
} AbcNote;

/// A part's beginning.
typedef struct {
  AbcText label;
  guint bar;
} AbcPartMark;

/// Where there is something to remark on, and what is found there; an empty text where the place tells enough.
typedef struct {
  AbcPlace place;
  AbcText text;
} AbcFound;

/// What is read of one voice of a tune.
typedef struct {
  RcTune *tune; // its symbols, events, bars and settings
  RcSymbols *symbols;
  AbcKnown known;
  GArray *marks;         // of RcBarMarks, by bar
  GArray *notes;         // of AbcNote
  GArray *part_marks;    // of AbcPartMark
  gboolean chords;       // a chord symbol was read
  guint chord_voice;     // the first other voice that has one, or G_MAXUINT
  gboolean keeps_notes;  // for chords of another voice, or to be heard; else each chord is given the melody's tones as
                         // they are read
  gboolean symbol_lines; // the body holds some
  AbcHabits habits;
  gboolean remarks;             // there is any of the following
  AbcFound found[RC_N_REMARKS]; // the first of each kind; its text is in the file or the tune
} AbcMusic;

/// Keeps what a setting has that is to be remarked on: a small tonic, or a text that makes no sense.
void abc_remark_setting(AbcMusic *music, char name, AbcText text, gboolean good, AbcPlace place);

/// Reads the music of a tune's body, from line @p line of @p file on, into @p music: voice @p voice, from 0 in the
/// order they appear. The body ends with a line feed or is followed by a zero byte; no other is in it. ABC_PADDING
/// bytes more can be read.
gboolean abc_read_music(AbcMusic *music, AbcText body, AbcState state, const char *file, guint line, guint voice,
                        GError **error);

#endif
