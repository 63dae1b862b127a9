// Copyright 2026 the rowcall developers
// SPDX-License-Identifier: MIT

// Offers in words: amounts, and what was found of them. The table and the figure say the same.

#ifndef ROWCALL_SRC_REPORT_SHOP_WORDS_H
#define ROWCALL_SRC_REPORT_SHOP_WORDS_H

#include "rowcall/report.h"

/// Returns a cost such as "420" or "419.50", rounded to hundredths; "unknown" for 0; a new string.
char *rc_cost_text(gint64 cost);

/// Returns the same with its currency.
char *rc_price_text(const RcShop *shop, gint64 cost);

/// Returns a weight in kilograms such as "5.1", of one decimal or more; "unknown" for 0; a new string.
char *rc_kg_text(gint64 grams);

/// Writes the percentage of the playing time that an offer carries, which is never rounded up to a target it does not
/// reach.
void rc_offer_carried_text(char text[8], const RcStandings *standings, const RcStanding *row);

/// Returns the offer a row is about; borrowed.
const RcOffer *rc_row_offer(const RcShop *shop, const RcStandings *standings, int row);

/// Returns the names of the rows that are judged and not beaten, as a list in words, and sets @p n to their number; a
/// new string.
char *rc_unbeaten_text(const RcShop *shop, const RcStandings *standings, guint *n);

/// Returns the offers that carry what is asked for in one sentence, without a full stop; a new string.
char *rc_shop_finding(const RcShop *shop, const RcTally *tally, const RcStandings *standings);

/// Returns what the answer rests on, in sentences: rates, unread chords, tempi, and a word of care; a new string.
char *rc_shop_notes(const RcShop *shop, const RcTally *tally);

#endif
