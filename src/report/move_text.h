// Copyright 2026 the rowcall developers
// SPDX-License-Identifier: MIT

// Moves of a tune to other keys, in words. A move is an index; see RcTuneMoves.

#ifndef ROWCALL_SRC_REPORT_MOVE_TEXT_H
#define ROWCALL_SRC_REPORT_MOVE_TEXT_H

#include "rowcall/study.h"

/// Returns what singers call a move: "down a tone", "up a minor third", "as written"; a constant.
const char *rc_move_called(int move);

/// Returns the name of the key in which @p tune begins after @p move; empty where it has none. A new string.
char *rc_move_key(const RcTune *tune, int move, RcSigns signs);

/// Returns where @p move leads: "C, down a tone"; "-" for #RC_NO_MOVE. A new string.
char *rc_move_place(const RcTune *tune, int move);

/// Returns "native" or "plays", what a tune with these @p counts does; "no" where it does not play. A constant.
const char *rc_move_verdict(const RcCounts *counts);

/// Returns the name of @p pitch, in semitones, 60 being middle C, spelled as in the key of @p tune after @p move: "C4";
/// a new string.
char *rc_pitch_name(const RcTune *tune, int move, int pitch);

/// Says which keys are customary, and why: a sentence. A new string.
char *rc_custom_text(const RcCustom *custom);

/// Adds the member "customary", an array of the major keys of the signatures.
void rc_json_custom(GString *json, const RcCustom *custom);

/// Returns the name of the major key of signature @p nth of @p custom; a constant.
const char *rc_custom_name(const RcCustom *custom, guint nth);

#endif
