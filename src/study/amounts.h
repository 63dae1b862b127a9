// Copyright 2026 the rowcall developers
// SPDX-License-Identifier: MIT

// Amounts as sellers write them: exact decimals, prices with their currency, weights.

#ifndef ROWCALL_SRC_STUDY_AMOUNTS_H
#define ROWCALL_SRC_STUDY_AMOUNTS_H

#include "rowcall/shop.h"

/// Reads a number such as 12.5 exactly, in units of its last decimal of @p places, and sets @p text after it. FALSE
/// where there is none, or one of more decimals or above @p most units.
gboolean rc_decimal_read(const char **text, guint places, gint64 most, gint64 *value);

/// Returns whether a text is the three capital letters of a currency; NULL is not.
gboolean rc_is_currency(const char *text);

/// Sets @p currency to the beginning of a text.
void rc_currency_set(char currency[RC_CURRENCY_LETTERS + 1], const char *text);

/// Reads a price above 0 such as "420", "420 EUR", "€419.50", into hundredths; @p currency is empty where none is
/// named. FALSE where the text is none.
gboolean rc_price_parse(const char *text, gint64 *cents, char currency[RC_CURRENCY_LETTERS + 1]);

/// Reads a weight such as "5.1", "5.1 kg", "21 lb". FALSE where the text is none, or no instrument's.
gboolean rc_weight_parse(const char *text, gint64 *grams, gboolean *in_pounds);

#endif
