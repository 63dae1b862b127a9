// Copyright 2026 the rowcall developers
// SPDX-License-Identifier: MIT

#include "report/shop_words.h"

#include "report/format.h"

#include <string.h>

#define U64 G_GUINT64_FORMAT
#define I64 G_GINT64_FORMAT

// ----------------------------------------------------------------------------------------------------------- amounts

char *
rc_cost_text(gint64 cost)
{
  const gint64 cents = (cost + RC_COST_UNIT / 200) / (RC_COST_UNIT / 100);
  if (!cost) {
    return g_strdup("unknown");
  }
  return cents % 100 ? g_strdup_printf("%" I64 ".%02d", cents / 100, (int)(cents % 100))
                     : g_strdup_printf("%" I64, cents / 100);
}

char *
rc_price_text(const RcShop *shop, gint64 cost)
{
  char *text = rc_cost_text(cost);
  char *price = cost ? g_strconcat(text, " ", shop->currency, NULL) : g_strdup("price unknown");
  g_free(text);
  return price;
}

// A number of thousandths, without zeros after its @p least first decimals.
static char *
thousandths_text(gint64 number, guint least)
{
  GString *text = g_string_new(NULL);
  g_string_append_printf(text, "%" I64 ".%03d", number / 1000, (int)(number % 1000));
  for (guint decimals = 3; decimals > least && text->str[text->len - 1] == '0'; --decimals) {
    g_string_truncate(text, text->len - 1);
  }
  return g_string_free(text, FALSE);
}

char *
rc_kg_text(gint64 grams)
{
  return grams ? thousandths_text(grams, 1) : g_strdup("unknown");
}

void
rc_offer_carried_text(char text[8], const RcStandings *standings, const RcStanding *row)
{
  rc_percent(text, row->worth.carried, standings->read, 1, standings->target);
}

// ------------------------------------------------------------------------------------------------------------ offers

const RcOffer *
rc_row_offer(const RcShop *shop, const RcStandings *standings, int row)
{
  return rc_shop_offer(shop, standings->rows[row].offer);
}

char *
rc_unbeaten_text(const RcShop *shop, const RcStandings *standings, guint *n)
{
  GString *text = g_string_new(NULL);
  guint left = 0;
  *n = 0;
  for (guint i = 0; i < standings->n; ++i) {
    left += standings->rows[i].judged && !standings->rows[i].beaten;
  }
  for (guint i = 0; i < standings->n; ++i) {
    if (standings->rows[i].judged && !standings->rows[i].beaten) {
      --left;
      ++*n;
      g_string_append_printf(text, "%s%s", rc_row_offer(shop, standings, (int)i)->name,
                             left > 1    ? ", "
                             : left == 1 ? " and "
                                         : "");
    }
  }
  return g_string_free(text, FALSE);
}

// "NAME (420 EUR, 5.1 kg)"
static char *
described(const RcShop *shop, const RcStandings *s, int row)
{
  const RcOffer *offer = rc_row_offer(shop, s, row);
  char *price = rc_price_text(shop, offer->cost);
  char *kg = rc_kg_text(offer->grams);
  char *text = g_strdup_printf("%s (%s, %s%s)", offer->name, price, offer->grams ? kg : "weight unknown",
                               offer->grams ? " kg" : "");
  g_free(price);
  g_free(kg);
  return text;
}

static char *
reached_text(const RcShop *shop, const RcStandings *s, const char *asked)
{
  char *cheap = s->cheapest < 0 ? g_strdup("") : described(shop, s, s->cheapest);
  char *light = s->lightest < 0 ? g_strdup("") : described(shop, s, s->lightest);
  char *text = NULL;
  if (s->cheapest >= 0 && s->cheapest == s->lightest) {
    text = g_strdup_printf("The cheapest and the lightest to carry %s is %s", asked, cheap);
  } else if (s->cheapest >= 0 && s->lightest >= 0) {
    text = g_strdup_printf("The cheapest to carry %s is %s, the lightest %s", asked, cheap, light);
  } else if (s->cheapest >= 0 || s->lightest >= 0) {
    text = g_strdup_printf("The %s to carry %s is %s; of those that do no %s is known",
                           s->cheapest >= 0 ? "cheapest" : "lightest", asked, s->cheapest >= 0 ? cheap : light,
                           s->cheapest >= 0 ? "weight" : "price");
  } else {
    char *nearest = described(shop, s, s->nearest);
    text = g_strdup_printf("%s carries %s", nearest, asked);
    g_free(nearest);
  }
  g_free(cheap);
  g_free(light);
  return text;
}

char *
rc_shop_finding(const RcShop *shop, const RcTally *tally, const RcStandings *s)
{
  if (!s->read || s->nearest < 0) {
    return g_strdup(s->read ? "None of these carries anything of what is asked for"
                            : "There is nothing to judge: no chord that could be read is asked for");
  }
  char *target = rc_target_text(s->target);
  const RcCounts counts = rc_roll_counts(rc_tally_roll(tally), 0);
  char *asked = g_strdup_printf("%s %% of the %s at grade %s or better", target, rc_share_of(&counts),
                                rc_verdict_name(rc_roll_accept(rc_tally_roll(tally))));
  char *text = NULL;
  if (s->rows[s->nearest].reaches) {
    text = reached_text(shop, s, asked);
  } else {
    char share[8];
    char *nearest = described(shop, s, s->nearest);
    rc_offer_carried_text(share, s, &s->rows[s->nearest]);
    text = g_strdup_printf("None of these carries %s; %s comes nearest with %s %%", asked, nearest, share);
    g_free(nearest);
  }
  g_free(target);
  g_free(asked);
  return text;
}

// ------------------------------------------------------------------------------------------------------------- notes

static void
append_rates(GString *text, const RcShop *shop)
{
  for (guint i = 0; i < shop->rates->len; ++i) {
    const RcRate *rate = &g_array_index(shop->rates, RcRate, i);
    const double units = (double)rate->millionths / 1000000;
    char number[G_ASCII_DTOSTR_BUF_SIZE];
    g_ascii_formatd(number, sizeof number, "%.10g", units);
    g_string_append_printf(text, "One %s is counted as %s %s, as the file says. ", rate->currency, number,
                           shop->currency);
  }
}

// Names what was weighed in pounds.
static void
append_pounds(GString *text, const RcShop *shop)
{
  const char *between = "Weights given in pounds are counted at 0.45359237 kg each: ";
  for (guint i = 0; i < shop->offers->len; ++i) {
    const RcOffer *offer = rc_shop_offer(shop, i);
    if (offer->in_pounds) {
      g_string_append_printf(text, "%s%s", between, offer->name);
      between = ", ";
    }
  }
  g_string_append(text, *between == ',' ? ". " : "");
}

char *
rc_shop_notes(const RcShop *shop, const RcTally *tally)
{
  const RcRoll *roll = rc_tally_roll(tally);
  const RcCounts counts = rc_roll_counts(roll, 0);
  const guint64 unread = counts.chords[RC_UNREAD];
  char *timing = rc_timing_text(roll);
  GString *text = g_string_new(NULL);
  append_rates(text, shop);
  append_pounds(text, shop);
  if (unread) {
    g_string_append_printf(text, "%" U64 " chord%s could not be read and %s outside the shares. ", unread,
                           unread == 1 ? "" : "s", unread == 1 ? "is" : "are");
  }
  g_string_append(text, timing);
  g_string_append(text, "An old instrument wants a repairer's look before it is paid for. In five minutes you can try "
                        "every button by itself, on push and on pull; let it hang with no button held, when the "
                        "bellows must not fall open by themselves; and listen for reeds that speak late or stick "
                        "(common practice). Play it for a good while before you buy it: the heavier ones strain the "
                        "back. If something hurts, stop, and ask a teacher, a physiotherapist or a doctor.");
  g_free(timing);
  return g_string_free(text, FALSE);
}
