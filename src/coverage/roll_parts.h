// Copyright 2026 the rowcall developers
// SPDX-License-Identifier: MIT

// What a roll is made of: roll.c adds tunes to it, roll_answers.c tells what came of them.

#ifndef ROWCALL_SRC_COVERAGE_ROLL_PARTS_H
#define ROWCALL_SRC_COVERAGE_ROLL_PARTS_H

#include "rowcall/coverage.h"

#include "coverage/code_map.h"
#include "coverage/gains.h"
#include "coverage/panel.h"
#include "coverage/set_counts.h"
#include "coverage/tallies.h"

/// What each chord that is asked for touches: of an entry this and no more, so that many of them stay near at hand.
typedef struct {
  guint64 chords;
  RcTicks ticks;
  guint64 native; ///< the first words of its sets, which are mostly all there are
  guint64 accepted;
  guint64 alone;
  guint chord;      ///< among the chords of the gains
  gboolean lacking; ///< some keyboard does not accept it
  guint tune;       ///< number of the last one whose tally of it is kept
  guint tally;      ///< its index there
} RcEntry;

/// The rest of an entry.
typedef struct {
  RcRequest request;
  const RcAsked *asked;
} RcQuestion;

/// See rowcall/coverage.h.
struct RcRoll {
  RcPanel *panel;
  guint words; ///< of a set of keyboards
  RcRollSettings settings;
  RcCodeMap entries_by_number; ///< to indices of `entries`
  GArray *entries;             ///< of RcEntry
  GArray *questions;           ///< of RcQuestion, beside them
  gboolean keeps;              ///< what each tune asks for
  RcTallies kept;              ///< which is this
  RcCodeMap chords_by_number;  ///< to indices of `chords`
  GArray *chords;              ///< of KeyChord
  // Of the tune being added:
  guint tune;      ///< its number, from 1
  guint64 key;     ///< the number of the key that its symbols are in
  GArray *symbols; ///< of guint: 1 + index in `chords` by symbol, 0: not asked for yet; room for more
  GArray *tallies; ///< of RcTuneTally where tunes are kept, room for more
  guint n_tallies;
  GArray *counted;   ///< of Counted, by the event that begins it, room for more
  guint64 *sets;     ///< room for the five below, of which the first three are those of RcAsked
  guint64 *native;   ///< keyboards on which all of it so far is native
  guint64 *accepted; ///< accepted
  guint64 *alone;    ///< accepted without the melody's help
  guint64 *short_of; ///< keyboards that lack some chord of it
  guint64 *shorter;  ///< that lack two different ones
  GArray *lacking;   ///< of guint: its chords that some keyboard lacks, room for one an event
  GArray *lacks;     ///< of guint64, `words` + 1 a chord: number of the tune, and the keyboards that lack it there
  gboolean unread;   ///< a text in it is no chord symbol
  // By keyboard:
  int next[RC_GAIN_KEYBOARDS]; ///< see rc_panel_next()
  guint64 watched;             ///< those that have a next one
  RcGains gains;
  RcSetCounts native_tunes;
  RcSetCounts accepted_tunes;
  RcSetCounts alone_tunes;
  RcSetCounts short_tunes; ///< one short
  guint64 unread_chords;
  RcTicks unread_ticks;
  guint64 tunes_with_chords;
  RcTiming timing;
};

#endif
