// Copyright 2026 the rowcall developers
// SPDX-License-Identifier: MIT

// Any text as an offer file: a shop or an error, and what is known of its offers is within the limits.

#include "rowcall/shop.h"

#include <stdint.h>

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size);

static void
check_offer(const RcOffer *offer)
{
  g_assert_true(*offer->name && offer->layout && offer->remarks);
  g_assert_true((offer->cents == 0) == (offer->currency[0] == '\0'));
  g_assert_true(offer->cents >= 0 && offer->cents <= (gint64)RC_MAX_PRICE * 100);
  g_assert_true(offer->cost >= 0 && offer->cost <= RC_MAX_PRICE * RC_COST_UNIT);
  g_assert_true((offer->cents == 0) == (offer->cost == 0));
  g_assert_true(!offer->grams || (offer->grams >= RC_LEAST_GRAMS && offer->grams <= RC_MOST_GRAMS));
}

int
LLVMFuzzerTestOneInput(const uint8_t *data, size_t size)
{
  GError *error = NULL;
  RcShop *shop = rc_shop_parse((const char *)data, size, "fuzz.offers", &error);
  g_assert_true((shop == NULL) == (error != NULL));
  for (guint i = 0; shop && i < shop->offers->len; ++i) {
    check_offer(rc_shop_offer(shop, i));
  }
  rc_shop_free(shop);
  g_clear_error(&error);
  return 0;
}
