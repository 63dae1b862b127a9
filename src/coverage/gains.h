// Copyright 2026 the rowcall developers
// SPDX-License-Identifier: MIT

// Tunes that the next size makes playable, counted by the chords that kept them from it.

#ifndef ROWCALL_SRC_COVERAGE_GAINS_H
#define ROWCALL_SRC_COVERAGE_GAINS_H

#include "coverage/code_map.h"
#include "rowcall/coverage.h"

enum {
  RC_GAIN_KEYBOARDS = 64, // only so many are looked at
  RC_GAIN_CHORDS = 3      // tunes that lack more are not explained
};

/// One kind of gain: the different chords, as indices, that one keyboard lacks in these tunes.
typedef struct {
  guint keyboard;
  guint n; // chords
  guint chords[RC_GAIN_CHORDS];
  guint64 tunes;
} RcGainKind;

typedef struct {
  RcCodeMap chords_by_number; // to indices of `chords`
  GArray *chords;             // of RcChord, as first spelled
  RcCodeMap kinds_by_number;  // to indices of `kinds`
  GArray *kinds;              // of RcGainKind
} RcGains;

void rc_gains_init(RcGains *gains);
void rc_gains_clear(RcGains *gains);

/// Returns the index of @p chord; chords that sound the same are one.
guint rc_gains_chord(RcGains *gains, const RcChord *chord);

/// Adds the tunes of @p kind, whose chords may come in any order.
void rc_gains_add(RcGains *gains, RcGainKind kind);

/// Adds what was added to @p from.
void rc_gains_merge(RcGains *into, const RcGains *from);

/// Finds the fewest chords, at most RC_GAIN_CHORDS, without which half the gain of @p keyboard would be lost, or as
/// many as explain most; sets them in @p gain, the one that most tunes lack first, of equal ones the first that was
/// met.
void rc_gains_explain(const RcGains *gains, guint keyboard, RcGain *gain);

#endif
