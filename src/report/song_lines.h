// Copyright 2026 the rowcall developers
// SPDX-License-Identifier: MIT

// A song line by line, as singers read it: words with their chords over them, and bars of grids between.

#ifndef ROWCALL_SRC_REPORT_SONG_LINES_H
#define ROWCALL_SRC_REPORT_SONG_LINES_H

#include "rowcall/music.h"

#define RC_NO_CHORD G_MAXUINT

/// A word of a line, or a part of one that has a chord within it.
typedef struct {
  guint event;       ///< index of the event of the chord over its beginning, or #RC_NO_CHORD
  const char *words; ///< the word, with the blanks after it; borrowed from the line; nothing where nothing is sung
  gsize length;      ///< bytes of it
  gboolean cut;      ///< the next one goes on with the same word
} RcStretch;

/// Returns the stretches of @p line, an array of RcStretch.
GArray *rc_line_stretches(const RcTune *tune, const RcLine *line);

/// Returns the stretch of bars before line @p index of @p tune that have no words, or, where @p index is the number of
/// lines, those after the last; its label is that of its part where it begins one, else empty.
RcPart rc_bars_before_line(const RcTune *tune, guint index);

/// Returns whether the words of @p line are read from the right to the left, as their first letter is.
gboolean rc_line_is_leftwards(const RcLine *line);

#endif
