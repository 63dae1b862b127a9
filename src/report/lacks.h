// Copyright 2026 the rowcall developers
// SPDX-License-Identifier: MIT

// The chords of a roll that have no button of their own on one keyboard, and what is pressed for them.

#ifndef ROWCALL_SRC_REPORT_LACKS_H
#define ROWCALL_SRC_REPORT_LACKS_H

#include "rowcall/coverage.h"

/// A chord and what is pressed for it, over all requests that get this grip. Chords are the same when they sound the
/// same.
typedef struct {
  RcChord chord;     // as first spelled
  RcChord also;      // the same spelled otherwise, or equal
  RcAnswer answer;   // the worst
  RcRequest request; // to which it answers
  RcVerdict best;    // the best
  gboolean mixed;    // the answers differ in what is missing or helped
  guint64 times;
  RcTicks ticks;
  const char *where; // tells it from other answers to the same chord; empty where there are none
} RcLack;

/// Returns the chords that keyboard @p index of @p roll lacks, those held longest first: a new array of RcLack.
GArray *rc_lacks_find(const RcRoll *roll, guint index);

/// Returns "A♭7", or "A♭7 = G♯7" where the tunes write both; no line should break within it. A new string.
char *rc_lack_name(const RcLack *lack, RcSigns signs);

/// Returns the names of the chords that keyboard @p index of @p roll does not give at the accepted grade, somewhere or
/// anywhere: each once, those it does not give for longest first; a new array of char *, which frees them.
GPtrArray *rc_lacks_unplayable(const RcRoll *roll, guint index, RcSigns signs);

/// Returns what to press and how it differs; a new string.
char *rc_lack_text(const RcLayout *layout, const RcLack *lack);

#endif
