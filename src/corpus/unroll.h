// Copyright 2026 the rowcall developers
// SPDX-License-Identifier: MIT

// Repeats, endings and parts as written, into the order in which bars are played. For every format that has them.

#ifndef ROWCALL_SRC_CORPUS_UNROLL_H
#define ROWCALL_SRC_CORPUS_UNROLL_H

#include "rowcall/music.h"

/// What is written at the lines of a bar.
typedef struct {
  gboolean opens;  ///< a repeat begins before it
  guint closes;    ///< how often its repeat is played, where one ends behind it; 0 where none does
  gboolean breaks; ///< a double or thick line stands behind it
  guint64 endings; ///< bit n: an ending for the nth time begins with it
} RcBarMarks;

/// Appends to @p played the bars from @p first to before @p end, in playing order. Returns FALSE when that would be
/// more than RC_MAX_PLAYED_BARS in all.
gboolean rc_unroll(const GArray *marks, guint first, guint end, GArray *played);

#endif
