// Copyright 2026 the rowcall developers
// SPDX-License-Identifier: MIT

#include "report/shop_answer.h"

#define U64 G_GUINT64_FORMAT

static char *
known_cost(gint64 cost)
{
  return cost ? rc_cost_text(cost) : g_strdup("");
}

// The others that carry the same, as a list; a new string.
static char *
equals_text(const RcShopAnswer *a, guint index)
{
  GString *text = g_string_new(NULL);
  for (guint i = 0; i < a->standings->n; ++i) {
    if (i != index && rc_shop_row(a, i)->alike == rc_shop_row(a, index)->alike) {
      g_string_append_printf(text, "%s%s", text->len ? "; " : "", rc_shop_row_offer(a, i)->name);
    }
  }
  return g_string_free(text, FALSE);
}

static void
append_csv_offer(const RcShopAnswer *a, guint index)
{
  const RcStanding *row = rc_shop_row(a, index);
  const RcOffer *offer = rc_shop_row_offer(a, index);
  const RcCounts counts = rc_shop_counts(a, index);
  char *cells[] = {
    g_strdup_printf("%u", rc_layout_count_buttons(offer->layout)),
    known_cost(offer->cents * (RC_COST_UNIT / 100)),
    known_cost(offer->cost),
    offer->grams ? rc_kg_text(offer->grams) : g_strdup(""),
    rc_quarters_text(rc_measured_ticks(&counts, a->standings->read)),
    rc_quarters_text(rc_measured_ticks(&counts, row->worth.carried)),
    g_strdup_printf("%" U64, counts.tunes),
    g_strdup_printf("%" U64, counts.native),
    g_strdup_printf("%" U64, counts.playable),
    g_strdup_printf("%" U64, counts.one_short),
    equals_text(a, index),
    rc_shop_wide_text(a, index, G_MAXUINT),
  };
  rc_append_csv(a->out, offer->name, "offer", offer->layout->name, cells[0], cells[1], offer->currency, cells[2],
                a->shop->currency, cells[3], cells[4], cells[5], cells[6], cells[7], cells[8], cells[9],
                rc_shop_standing(row), row->reaches ? "yes" : "no", offer->remarks, cells[10], cells[11], "", "", NULL);
  for (guint i = 0; i < G_N_ELEMENTS(cells); ++i) {
    g_free(cells[i]);
  }
}

static void
append_csv_left_out(const RcShopAnswer *a, guint index)
{
  const GArray *left = rc_tally_left_out(a->tally, rc_shop_row(a, index)->offer);
  for (guint i = 0; i < left->len; ++i) {
    const RcLeftOut *tune = &g_array_index(left, RcLeftOut, i);
    const RcPlace place = rc_tally_place(a->tally, tune->tune);
    char *missing = rc_quarters_text(tune->missing);
    char *where = g_strdup_printf("%s:%u", place.file, place.line);
    rc_append_csv(a->out, rc_shop_row_offer(a, index)->name, "left out", "", "", "", "", "", "", "", missing, "", "",
                  "", "", "", "", "", "", "", "", rc_tally_title(a->tally, tune->tune), where, NULL);
    g_free(missing);
    g_free(where);
  }
}

void
rc_shop_append_csv(const RcShopAnswer *a)
{
  rc_append_csv(a->out, "offer", "line", "layout", "buttons", "price", "currency", "counted as", "in", "kg", "quarters",
                "carried", "tunes", "native", "playable", "one short", "standing", "reaches target", "remarks",
                "equal to", "stretches", "tune", "place", NULL);
  for (guint i = 0; i < a->standings->n; ++i) {
    append_csv_offer(a, i);
    append_csv_left_out(a, i);
  }
}
