// Copyright 2026 the rowcall developers
// SPDX-License-Identifier: MIT

// The lines of a text of songs as they come.

#ifndef ROWCALL_SRC_CORPUS_CHORDPRO_INPUT_H
#define ROWCALL_SRC_CORPUS_CHORDPRO_INPUT_H

#include "corpus/piece.h"

typedef struct {
  RcPiece *piece;  // borrowed
  GString *buffer; // read and not yet used up to `at`
  gsize at;
  GString *text;  // of the line, without its end
  guint line;     // its number, from 1; 0 before the first
  gsize rest;     // where in it the next song begins; 0 where it is this song's to its end
  gsize bytes;    // of all lines so far
  gboolean ended; // there is no more to read
} CpInput;

/// Starts at the beginning of @p piece; frees nothing.
void cp_input_start(CpInput *input, RcPiece *piece);

/// Frees what @p input holds.
void cp_input_clear(CpInput *input);

/// Goes to the next line, as UTF-8: Latin-1 where it is none, zero bytes as question marks, hard blanks as blanks.
/// Where something is left of the line, that is the next. A line longer than a tune may be comes in pieces. FALSE at
/// the end.
gboolean cp_input_next(CpInput *input);

/// Returns whether no line is left.
gboolean cp_input_is_over(const CpInput *input);

#endif
