// Copyright 2026 the rowcall developers
// SPDX-License-Identifier: MIT

// What each tune of a roll asks for, kept so that a question about single tunes need not go through them again.

#ifndef ROWCALL_SRC_COVERAGE_TALLIES_H
#define ROWCALL_SRC_COVERAGE_TALLIES_H

#include "rowcall/coverage.h"

/// How often an entry of a roll is asked for in a tune, and for how long.
typedef struct {
  guint entry;
  guint64 chords;
  RcTicks ticks;
} RcTuneTally;

/// The tallies of one tune, in the order its chords first come, each entry once.
typedef struct {
  const RcTuneTally *tallies;
  guint n;
  guint64 unread; // texts that are no chord symbols
  RcTicks unread_ticks;
} RcTuneTallies;

typedef struct {
  GArray *tallies; // of RcTuneTally: those of all tunes
  GArray *tunes;   // of the tunes' ends among them
} RcTallies;

void rc_tallies_init(RcTallies *tallies);

void rc_tallies_clear(RcTallies *tallies);

/// Adds a tune.
void rc_tallies_add(RcTallies *tallies, const RcTuneTallies *tune);

/// Adds the tunes of @p from, whose entry `i` is @p entries[i].
void rc_tallies_merge(RcTallies *into, const RcTallies *from, const guint *entries);

/// Returns the number of tunes.
guint rc_tallies_n_tunes(const RcTallies *tallies);

/// Returns the tune of a number, counted from 0.
RcTuneTallies rc_tallies_of(const RcTallies *tallies, guint tune);

/// Returns a tune that @p roll kept; see rc_roll_keep_tunes().
RcTuneTallies rc_roll_tune(const RcRoll *roll, guint tune);

#endif
