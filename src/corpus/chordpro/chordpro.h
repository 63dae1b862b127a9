// Copyright 2026 the rowcall developers
// SPDX-License-Identifier: MIT

// ChordPro, in the pieces that its reader is made of: chordpro_reader.c goes from line to line and leaves chords over
// words and grids to chordpro_chords.c.

#ifndef ROWCALL_SRC_CORPUS_CHORDPRO_CHORDPRO_H
#define ROWCALL_SRC_CORPUS_CHORDPRO_CHORDPRO_H

#include "rowcall/error.h"
#include "rowcall/music.h"
#include "corpus/symbols.h"
#include "corpus/unroll.h"

/// A song as it is read.
typedef struct {
  RcTune *tune;
  RcSymbols *symbols;
  GArray *marks; // of RcBarMarks, beside the tune's bars
  const char *file;
  guint line;
  const char *text;  // of the line
  RcNames names;     // of the notes as written
  RcSetting setting; // in force, as it sounds
  guint setting_index;
  int shift;         // semitones that chords sound higher than they are written
  guint64 endings;   // for the next bar of a grid
  gboolean opens;    // a repeat begins with it
  gboolean two_bars; // it is the second of two that are repeated
} CpSong;

/// Reads a line of words with chords in brackets: a bar without length.
gboolean cp_read_words(CpSong *song, GError **error);

/// Reads a line of a grid: bars of equal cells.
gboolean cp_read_grid(CpSong *song, GError **error);

/// Notes that key, meter or tempo have changed.
void cp_change_setting(CpSong *song);

/// Sets an error at a byte of the line and returns FALSE.
gboolean cp_fail(const CpSong *song, const char *at, RcErrorCode code, const char *message, GError **error);

#endif
