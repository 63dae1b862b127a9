// Copyright 2026 the rowcall developers
// SPDX-License-Identifier: MIT

// A chord that has no button of its own, on a card: for each way to play it a small keyboard with fingers, and words.

#ifndef ROWCALL_SRC_REPORT_CARD_PAGES_H
#define ROWCALL_SRC_REPORT_CARD_PAGES_H

#include "report/pages.h"

typedef struct RcGripCard RcGripCard;

/// Returns an empty array of RcGripCard that frees what its cards own.
GArray *rc_grip_cards_new(void);

/// Adds a card to @p cards, valid until the next is added; takes @p heading.
RcGripCard *rc_grip_cards_add(GArray *cards, const RcLayout *layout, char *heading);

/// Adds a way to play its chord to @p card; takes @p text. @p grip may be NULL: then there are only words. A keyboard
/// that is like the one before is not drawn again.
void rc_grip_card_way(RcGripCard *card, char *text, const RcGrip *grip, const RcFingering *fingers,
                      const RcSecondBass *second);

/// Draws the cards two in a line, on further pages headed @p heading where they need be.
void rc_grip_cards_draw(RcPages *pages, const GArray *cards, const char *heading);

#endif
