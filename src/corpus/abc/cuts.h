// Copyright 2026 the rowcall developers
// SPDX-License-Identifier: MIT

// Where an ABC file can be cut, and what the readers of all its pieces know.

#ifndef ROWCALL_SRC_CORPUS_ABC_CUTS_H
#define ROWCALL_SRC_CORPUS_ABC_CUTS_H

#include "corpus/abc/chords.h"
#include "corpus/abc/heading.h"
#include "corpus/format.h"

enum { ABC_LOOK_AHEAD = 256 << 10 }; ///< bytes from a tune on in which a habit is looked for

/// Whether the file has a habit.
typedef struct {
  gboolean decided[ABC_N_HABITS];
  gboolean followed[ABC_N_HABITS]; ///< it has
} AbcDecided;

/// A file that is read in pieces.
typedef struct {
  AbcHead head;
  AbcDecided habits; ///< under the lock of the text
} AbcFile;

/// Before a line X:, with which each tune begins; AbcFile is shared.
extern const RcCuts abc_cuts;

#endif
