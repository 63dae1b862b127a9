// Copyright 2026 the rowcall developers
// SPDX-License-Identifier: MIT

// How an accompaniment goes in one bar.

#ifndef ROWCALL_SRC_SOUND_PATTERN_H
#define ROWCALL_SRC_SOUND_PATTERN_H

#include "rowcall/music.h"

enum { RC_MAX_STROKES = 64 };

/// A stroke of the left hand.
typedef struct {
  RcTicks at; ///< from the start of the bar
  gboolean bass;
  gboolean chord;
} RcStroke;

/// The strokes of a bar, and how long they are held.
typedef struct {
  RcStroke strokes[RC_MAX_STROKES];
  guint n;
  RcTicks bar;
  guint bass_percent; ///< of the time to the next stroke
  guint chord_percent;
} RcPattern;

/// Returns the pattern of @p meter for @p rhythm, which may be NULL, at @p quarters quarter notes a minute.
RcPattern rc_pattern(RcMeter meter, const char *rhythm, double quarters);

#endif
