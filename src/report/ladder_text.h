// Copyright 2026 the rowcall developers
// SPDX-License-Identifier: MIT

// An order of learning in words.

#ifndef ROWCALL_SRC_REPORT_LADDER_TEXT_H
#define ROWCALL_SRC_REPORT_LADDER_TEXT_H

#include "rowcall/study.h"

/// Returns what is new on @p rung: "the C column's bass and minor; Bm: B bass (counterbass of G) + D major, slow
/// first; moves to the next column"; empty where nothing is. A new string.
char *rc_rung_text(const RcLadder *ladder, const RcRung *rung, RcSigns signs);

/// Returns the same after how many things they are: "3 new: ...", or "nothing new". A new string.
char *rc_rung_count_text(const RcLadder *ladder, const RcRung *rung, RcSigns signs);

/// Returns the stand-ins that most tunes need, each chord once, in at most about @p letters: "Bm (for 10 tunes), F♯m
/// (9), …"; empty where there are none. Sets @p n to how many there are. A new string.
char *rc_lessons_text(const RcLadder *ladder, guint letters, RcSigns signs, guint *n);

/// Returns the same as a sentence; NULL where there are none. A new string.
char *rc_lessons_sentence(const RcLadder *ladder, guint letters, RcSigns signs);

/// Returns the rule of the order, in sentences; a constant.
const char *rc_ladder_rule(void);

/// Returns how to start, and a caution, in sentences; a constant.
const char *rc_ladder_advice(void);

#endif
