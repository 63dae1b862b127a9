// Copyright 2026 the rowcall developers
// SPDX-License-Identifier: MIT

// Parts and measures as a score nests them: a partwise one has measures in parts, a timewise one parts in measures.

#ifndef ROWCALL_SRC_CORPUS_MUSICXML_PARTS_H
#define ROWCALL_SRC_CORPUS_MUSICXML_PARTS_H

#include "corpus/musicxml/measure.h"

enum { MX_LONGEST_NUMBER = 16 }; // bytes of a measure's number that are kept

typedef struct {
  gboolean timewise;
  gboolean outer;                 ///< a part of a partwise score, or a measure of a timewise one, is open
  GPtrArray *all;                 ///< of MxPart *
  MxPart *part;                   ///< the one that is read
  guint index;                    ///< of the measure
  char number[MX_LONGEST_NUMBER]; ///< of the measure, as written; one without a number has its place
  double width;                   ///< of the measure as drawn; 0: not said
} MxParts;

void mx_parts_start(MxParts *parts);

void mx_parts_clear(MxParts *parts);

/// Begins an element directly in the score, or @p inner in one that is. Returns whether a measure of a part begins;
/// also FALSE with an error, without a place, where the parts are too many.
gboolean mx_parts_open(MxParts *parts, gboolean inner, const char *name, const char **attributes, GError **error);

/// Ends an element that mx_parts_open() began; @p measured is whether a measure of a part did.
void mx_parts_close(MxParts *parts, gboolean inner, gboolean measured);

#endif
