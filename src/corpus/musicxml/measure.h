// Copyright 2026 the rowcall developers
// SPDX-License-Identifier: MIT

// The measure of a part that is being read: takes what is directly in it, one element after another, into the score.

#ifndef ROWCALL_SRC_CORPUS_MUSICXML_MEASURE_H
#define ROWCALL_SRC_CORPUS_MUSICXML_MEASURE_H

#include "corpus/musicxml/harmony.h"
#include "corpus/musicxml/score.h"
#include "corpus/musicxml/values.h"

enum { MX_MAX_BAR_CHORDS = 256 }; // chords in a measure

/// A part and what its attributes say.
typedef struct {
  char *id;
  guint index;
  double divisions; // of a quarter note; 0: not said yet
  MxTransposition transposition;
  MxKey key; // in force
  gboolean keyed;
  guint staff; // the one that carries the melody; 0: no note so far
} MxPart;

/// The measure being read.
typedef struct {
  MxScore *score;
  RcTune *tune;
  RcSymbols *symbols;
  MxKnownChords *known;
  MxPart *part;
  guint measure;
  guint order;    // counts what is at points, through all measures
  RcTicks base;   // where the divisions in force begin, in the measure
  double pos;     // in divisions from there
  double before;  // where the note before began
  guint n_chords; // in this part's measure
} MxMeasure;

/// Begins a measure of a part.
void mx_measure_start(MxMeasure *measure, MxPart *part, guint index);

/// Takes an element that is directly in the measure. FALSE with @p error set, without a place, where it cannot be read.
gboolean mx_measure_take(MxMeasure *measure, const MxNode *node, GError **error);

#endif
