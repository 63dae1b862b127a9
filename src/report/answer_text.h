// Copyright 2026 the rowcall developers
// SPDX-License-Identifier: MIT

// The answer of the report in words.

#ifndef ROWCALL_SRC_REPORT_ANSWER_TEXT_H
#define ROWCALL_SRC_REPORT_ANSWER_TEXT_H

#include "rowcall/study.h"

/// Returns the headline without its full stop; a new string.
char *rc_answer_headline(const RcReport *report);

enum { RC_ANSWER_FIGURES = 3, RC_ANSWER_ACTIONS = 3 };

/// A figure that is read from across a room, and what it counts. Both are new strings.
typedef struct {
  char *value;
  char *counts;
} RcAnswerFigure;

/// Something to do, in a line.
typedef struct {
  const char *verb; ///< a constant
  char *text;       ///< a new string
} RcAnswerAction;

/// Writes the time carried, the tunes played and the smallest size into @p figures.
void rc_answer_figures(const RcReport *report, RcAnswerFigure figures[RC_ANSWER_FIGURES]);

/// Writes what to learn, to move and to buy into @p actions, as far as there is something to do, and returns how many
/// these are. A line has at most about @p letters letters; @p moves is where the tunes to move are named.
guint rc_answer_actions(const RcReport *report, guint letters, const char *moves,
                        RcAnswerAction actions[RC_ANSWER_ACTIONS]);

/// Returns what becomes of the tunes that the chosen keyboard does not play, in sentences; a new string, empty where
/// it plays all.
char *rc_answer_left_out(const RcReport *report);

/// What to mind before buying.
extern const char rc_answer_caution[];

#endif
