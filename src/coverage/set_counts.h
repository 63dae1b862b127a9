// Copyright 2026 the rowcall developers
// SPDX-License-Identifier: MIT

// In how many sets each keyboard is. The counts are kept bit by bit, those of 64 keyboards in a word, so that a set of
// a thousand keyboards is counted by some twenty additions of words.

#ifndef ROWCALL_SRC_COVERAGE_SET_COUNTS_H
#define ROWCALL_SRC_COVERAGE_SET_COUNTS_H

#include <glib.h>

enum { RC_COUNT_BITS = 64 };

typedef struct {
  guint64 (*bits)[RC_COUNT_BITS]; // by word of a set: bit i of `bits[word][b]` is bit b of the count of its keyboard i
  guint words;
} RcSetCounts;

/// Starts counting sets of @p words words.
void rc_set_counts_init(RcSetCounts *counts, guint words);

void rc_set_counts_clear(RcSetCounts *counts);

/// Counts the keyboards of @p set.
void rc_set_counts_add(RcSetCounts *counts, const guint64 *set);

/// Adds the counts of @p from.
void rc_set_counts_merge(RcSetCounts *into, const RcSetCounts *from);

/// Returns the count of a keyboard.
guint64 rc_set_counts_get(const RcSetCounts *counts, guint keyboard);

#endif
