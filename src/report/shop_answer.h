// Copyright 2026 the rowcall developers
// SPDX-License-Identifier: MIT

// Offers in words and for machines: shop_text.c has the table, shop_details.c what is said below it, shop_csv.c and
// shop_json.c the same for programs. Rows are in the order of the standings: by price, unknown ones last.

#ifndef ROWCALL_SRC_REPORT_SHOP_ANSWER_H
#define ROWCALL_SRC_REPORT_SHOP_ANSWER_H

#include "report/format.h"
#include "report/shop_words.h"

/// All that is said of a shop, and where it is written.
typedef struct {
  GString *out;
  const RcShop *shop;
  const RcTally *tally;
  const RcStandings *standings;
  const RcWideTally *wide;
  const RcIntake *intake;
} RcShopAnswer;

/// Returns the standing of a row.
static inline const RcStanding *
rc_shop_row(const RcShopAnswer *a, guint index)
{
  return &a->standings->rows[index];
}

/// Returns the offer of a row.
static inline const RcOffer *
rc_shop_row_offer(const RcShopAnswer *a, guint index)
{
  return rc_row_offer(a->shop, a->standings, (int)index);
}

/// Returns what the offer of a row plays.
RcCounts rc_shop_counts(const RcShopAnswer *a, guint index);

/// Returns the sign of a row in the table: `*` not beaten, `?` not judged.
char rc_shop_mark(const RcShopAnswer *a, guint index);

/// Returns "unbeaten", "beaten" or "unknown".
const char *rc_shop_standing(const RcStanding *row);

/// Returns which grips of a row stretch the hand, as rc_wide_text(); a new string.
char *rc_shop_wide_text(const RcShopAnswer *a, guint index, guint most);

/// Appends which offers carry the same, and which of them is the cheapest and the lightest.
void rc_shop_append_equals(const RcShopAnswer *a);

/// Appends what those not beaten leave out.
void rc_shop_append_left_out(const RcShopAnswer *a);

/// Appends what each dead button would bring if it were repaired.
void rc_shop_append_repairs(const RcShopAnswer *a);

/// Appends what stretches the hand.
void rc_shop_append_wide(const RcShopAnswer *a);

/// Appends the whole answer as CSV.
void rc_shop_append_csv(const RcShopAnswer *a);

/// Appends the whole answer as JSON.
void rc_shop_append_json(const RcShopAnswer *a);

#endif
