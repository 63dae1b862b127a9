// Copyright 2026 the rowcall developers
// SPDX-License-Identifier: MIT

// A chord that has no button of its own, on a card: a small keyboard with fingers, and words.

#ifndef ROWCALL_SRC_REPORT_CARD_H
#define ROWCALL_SRC_REPORT_CARD_H

#include "report/pages.h"

enum { RC_CARD_MARKS = 1 + RC_GRIP_PRESS };

typedef struct {
  const RcLayout *layout;
  char *heading;
  char *text;
  guint first; // column of the cut
  guint last;
  RcFingerMark marks[RC_CARD_MARKS];
  guint n_marks; // 0 where there is no grip
} RcCard;

/// Makes a card; takes @p heading and @p text. @p grip may be NULL.
RcCard rc_card(const RcLayout *layout, char *heading, char *text, const RcGrip *grip, const RcFingering *fingers,
               const RcSecondBass *second);

/// Returns an empty array of RcCard that frees what its cards own.
GArray *rc_cards_new(void);

/// Draws the cards two in a line, on further pages headed @p heading where they need be.
void rc_cards_draw(RcPages *pages, const GArray *cards, const char *heading);

/// Returns what a student is told about a grip of this verdict and grading, wide or not; NULL for nothing.
const char *rc_card_hint(RcVerdict verdict, const RcGrading *grading, gboolean wide);

#endif
