// Copyright 2026 the rowcall developers
// SPDX-License-Identifier: MIT

// Chords of a roll added up, whatever their keys and melodies.

#ifndef ROWCALL_SRC_STUDY_CHORD_SUMS_H
#define ROWCALL_SRC_STUDY_CHORD_SUMS_H

#include "rowcall/study.h"

/// Returns an empty array of RcChordSum.
GArray *rc_chord_sums_new(void);

/// Adds the chord of @p entry: by its playing time or, where chords are not @p measured, by how often it comes.
void rc_chord_sums_add(GArray *sums, const RcRollEntry *entry, gboolean measured);

/// Makes one of those that sound the same, as first spelled, and puts those that last longest first; of several the one
/// added first.
void rc_chord_sums_merge(GArray *sums);

/// Orders chords by root, bass and tones; 0 where they sound the same.
int rc_chord_order(const RcChord *a, const RcChord *b);

#endif
