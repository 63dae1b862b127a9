// Copyright 2026 the rowcall developers
// SPDX-License-Identifier: MIT

// Offers as a table.

#include "report/shop_answer.h"

#define U64 G_GUINT64_FORMAT

RcCounts
rc_shop_counts(const RcShopAnswer *a, guint index)
{
  return rc_roll_counts(rc_tally_roll(a->tally), rc_shop_row(a, index)->offer);
}

const char *
rc_shop_standing(const RcStanding *row)
{
  return !row->judged ? "unknown" : row->beaten ? "beaten" : "unbeaten";
}

char
rc_shop_mark(const RcShopAnswer *a, guint index)
{
  const RcStanding *row = rc_shop_row(a, index);
  if (!a->standings->read || row->beaten) {
    return ' ';
  }
  return row->judged ? '*' : '?';
}

static void
append_sentence(const RcShopAnswer *a, char *text)
{
  rc_append_wrapped(a->out, text, 0);
  g_free(text);
}

// ------------------------------------------------------------------------------------------------------------- table

static void
append_intake(const RcShopAnswer *a)
{
  const RcCounts counts = rc_roll_counts(rc_tally_roll(a->tally), 0);
  GString *text = g_string_new(NULL);
  if (*a->shop->title) {
    rc_append_wrapped(a->out, a->shop->title, 0);
  }
  g_string_append_printf(text, "%u offer%s; ", a->standings->n, a->standings->n == 1 ? "" : "s");
  rc_append_music(text, a->intake, &counts);
  rc_append_left_out(text, a->intake);
  append_sentence(a, g_string_free(text, FALSE));
}

static void
append_row(const RcShopAnswer *a, guint index)
{
  const RcStanding *row = rc_shop_row(a, index);
  const RcOffer *offer = rc_shop_row_offer(a, index);
  const RcCounts counts = rc_shop_counts(a, index);
  char share[8];
  char *cost = rc_cost_text(offer->cost);
  char *kg = rc_kg_text(offer->grams);
  rc_offer_carried_text(share, a->standings, row);
  g_string_append_printf(a->out, "%c ", rc_shop_mark(a, index));
  rc_append_padded(a->out, offer->name, 19);
  g_string_append_c(a->out, ' ');
  rc_append_padded(a->out, offer->layout->name, 8);
  g_string_append_printf(a->out, " %4u %10s %7s %5s %6" U64 " %5" U64 " %5" U64 "\n",
                         rc_layout_count_buttons(offer->layout), cost, kg, share, counts.native, counts.playable,
                         counts.one_short);
  g_free(cost);
  g_free(kg);
}

static void
append_rows(const RcShopAnswer *a)
{
  const RcCounts counts = rc_roll_counts(rc_tally_roll(a->tally), 0);
  char *of = g_strdup_printf("of %" U64, counts.tunes);
  g_string_append_printf(a->out, "\n%35s%20s%5s  tunes %s:  one\n", "but-", "", "% of", of);
  const int room = rc_counts_measured(&counts) ? 7 : 6; // "chords" takes some from the column before
  g_string_append_printf(a->out, "  %-19s %-8s %4s %10s %*s %*s %6s %5s %5s\n", "offer", "layout", "tons",
                         *a->shop->currency ? a->shop->currency : "price", room, "kg", 12 - room,
                         rc_share_of_short(&counts), "native", "plays", "short");
  for (guint i = 0; i < a->standings->n; ++i) {
    append_row(a, i);
  }
  g_string_append_c(a->out, '\n');
  g_free(of);
}

// The offers that would do, but for a price or weight that is not known.
static void
append_to_ask(const RcShopAnswer *a)
{
  GString *text = g_string_new(NULL);
  for (guint i = 0; i < a->standings->n; ++i) {
    const RcStanding *row = rc_shop_row(a, i);
    const RcOffer *offer = rc_shop_row_offer(a, i);
    if (row->reaches && !row->judged) {
      g_string_append_printf(text, "%s%s (%s)",
                             text->len ? ", " : "Ask for what is not known of those that reach it too: ", offer->name,
                             offer->cost    ? "weight"
                             : offer->grams ? "price"
                                            : "price and weight");
    }
  }
  if (text->len) {
    g_string_append_c(text, '.');
    rc_append_wrapped(a->out, text->str, 0);
  }
  g_string_free(text, TRUE);
}

static gboolean
any_unjudged(const RcShopAnswer *a)
{
  for (guint i = 0; i < a->standings->n; ++i) {
    if (!rc_shop_row(a, i)->judged) {
      return TRUE;
    }
  }
  return FALSE;
}

static void
append_finding(const RcShopAnswer *a)
{
  guint n = 0;
  char *names = rc_unbeaten_text(a->shop, a->standings, &n);
  char *finding = rc_shop_finding(a->shop, a->tally, a->standings);
  const RcCounts counts = rc_roll_counts(rc_tally_roll(a->tally), 0);
  append_sentence(a, g_strconcat(finding, ".", NULL));
  append_to_ask(a);
  if (n) {
    append_sentence(a, g_strdup_printf("* Not beaten (no other is at least as good in price, weight and %s and "
                                       "better in one): %s.",
                                       rc_counts_measured(&counts) ? "playing time" : "chords carried", names));
  }
  if (a->standings->read && any_unjudged(a)) {
    append_sentence(a, g_strdup("? Not judged before its price and weight are known."));
  }
  g_free(names);
  g_free(finding);
}

static void
append_table(const RcShopAnswer *a)
{
  append_intake(a);
  append_rows(a);
  append_finding(a);
  if (a->standings->read) {
    rc_shop_append_equals(a);
    rc_shop_append_left_out(a);
    rc_shop_append_repairs(a);
    rc_shop_append_wide(a);
  } else {
    g_string_append_c(a->out, '\n');
  }
  append_sentence(a, rc_shop_notes(a->shop, a->tally));
}

void
rc_report_shop(GString *out, RcTextFormat format, const RcShop *shop, const RcTally *tally,
               const RcStandings *standings, const RcWideTally *wide, const RcIntake *intake)
{
  const RcShopAnswer answer = { out, shop, tally, standings, wide, intake };
  switch (format) {
  case RC_TEXT_TABLE:
    append_table(&answer);
    break;
  case RC_TEXT_CSV:
    rc_shop_append_csv(&answer);
    break;
  case RC_TEXT_JSON:
    rc_shop_append_json(&answer);
    break;
  }
}
