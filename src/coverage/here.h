// Copyright 2026 the rowcall developers
// SPDX-License-Identifier: MIT

// What the chords of a tune have in common between two changes of its key, meter or tempo.

#ifndef ROWCALL_SRC_COVERAGE_HERE_H
#define ROWCALL_SRC_COVERAGE_HERE_H

#include "rowcall/coverage.h"

/// Key and tempo from some place in a tune on.
typedef struct {
  guint setting; // of the tune
  RcScale key;
  RcTempo tempo;
  RcTicks brisk; // shorter chords are brisk; 0 where it is untimed
} RcHere;

/// Returns them from the setting @p setting of @p tune on.
RcHere rc_here_at(const RcRollSettings *settings, const RcTune *tune, guint setting);

#endif
