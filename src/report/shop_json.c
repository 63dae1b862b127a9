// Copyright 2026 the rowcall developers
// SPDX-License-Identifier: MIT

#include "report/shop_answer.h"
#include "report/wide_text.h"

// A number of @p unit parts; null for 0.
static void
add_known(GString *json, const char *name, gint64 parts, gint64 unit)
{
  if (!parts) {
    rc_json_null(json, name);
  } else if (parts % unit) {
    rc_json_decimal(json, name, (double)parts / (double)unit);
  } else {
    rc_json_number(json, name, parts / unit);
  }
}

static void
add_text_or_null(GString *json, const char *name, const char *text)
{
  if (text && *text) {
    rc_json_text(json, name, text);
  } else {
    rc_json_null(json, name);
  }
}

static void
add_beaten_by(const RcShopAnswer *a, GString *json, guint index)
{
  rc_json_begin_array(json, "beaten_by");
  for (guint i = 0; i < a->standings->n; ++i) {
    if (rc_shop_row(a, index)->beaten && rc_worth_beats(&rc_shop_row(a, i)->worth, &rc_shop_row(a, index)->worth)) {
      rc_json_text(json, NULL, rc_shop_row_offer(a, i)->name);
    }
  }
  rc_json_end_array(json);
}

static void
add_left_out(const RcShopAnswer *a, GString *json, guint index)
{
  const GArray *left = rc_tally_left_out(a->tally, rc_shop_row(a, index)->offer);
  rc_json_begin_array(json, "left_out");
  for (guint i = 0; i < left->len; ++i) {
    const RcLeftOut *tune = &g_array_index(left, RcLeftOut, i);
    const RcPlace place = rc_tally_place(a->tally, tune->tune);
    rc_json_begin_object(json, NULL);
    rc_json_text(json, "title", rc_tally_title(a->tally, tune->tune));
    rc_json_text(json, "file", place.file);
    rc_json_number(json, "line", place.line);
    rc_json_quarters(json, "quarters", tune->missing);
    rc_json_end_object(json);
  }
  rc_json_end_array(json);
}

static void
add_repairs(const RcShopAnswer *a, GString *json, guint index)
{
  const RcCounts counts = rc_shop_counts(a, index);
  rc_json_begin_array(json, "repairs");
  for (guint i = 0; i < a->shop->repairs->len; ++i) {
    const RcRepair *repair = &g_array_index(a->shop->repairs, RcRepair, i);
    if (repair->offer == rc_shop_row(a, index)->offer) {
      const RcRepairGain gain = rc_repair_gain(a->shop, a->tally, i);
      char *button = rc_button_name(repair->layout, rc_layout_button(repair->layout, repair->button), RC_SIGNS_ASCII);
      rc_json_begin_object(json, NULL);
      rc_json_text(json, "button", button);
      rc_json_number(json, "tunes", gain.tunes);
      rc_json_quarters(json, "quarters", rc_measured_ticks(&counts, gain.ticks));
      rc_json_number(json, "native_chords", (gint64)gain.native_chords);
      rc_json_end_object(json);
      g_free(button);
    }
  }
  rc_json_end_array(json);
}

// The others that carry the same.
static void
add_equal_to(const RcShopAnswer *a, GString *json, guint index)
{
  rc_json_begin_array(json, "equal_to");
  for (guint i = 0; i < a->standings->n; ++i) {
    if (i != index && rc_shop_row(a, i)->alike == rc_shop_row(a, index)->alike) {
      rc_json_text(json, NULL, rc_shop_row_offer(a, i)->name);
    }
  }
  rc_json_end_array(json);
}

static void
add_wide(const RcShopAnswer *a, GString *json, guint index)
{
  guint n = 0;
  RcWideGrip *grips = rc_wide_tally_grips(a->wide, rc_shop_row(a, index)->offer, &n);
  rc_json_wide(json, rc_shop_row_offer(a, index)->layout, grips, n);
  g_free(grips);
}

static void
add_offer(const RcShopAnswer *a, GString *json, guint index)
{
  const RcStanding *row = rc_shop_row(a, index);
  const RcOffer *offer = rc_shop_row_offer(a, index);
  const RcCounts counts = rc_shop_counts(a, index);
  rc_json_begin_object(json, NULL);
  rc_json_text(json, "offer", offer->name);
  rc_json_text(json, "layout", offer->layout->name);
  rc_json_number(json, "buttons", rc_layout_count_buttons(offer->layout));
  add_known(json, "price", offer->cents, 100);
  add_text_or_null(json, "currency", offer->currency);
  add_known(json, "cost", offer->cost, RC_COST_UNIT);
  add_known(json, "kg", offer->grams, 1000);
  add_text_or_null(json, "remarks", offer->remarks);
  rc_json_counts(json, &counts);
  rc_json_tunes(json, &counts);
  rc_json_quarters(json, "carried", rc_measured_ticks(&counts, row->worth.carried));
  rc_json_boolean(json, "reaches", row->reaches);
  rc_json_text(json, "standing", rc_shop_standing(row));
  add_beaten_by(a, json, index);
  add_equal_to(a, json, index);
  add_left_out(a, json, index);
  add_repairs(a, json, index);
  add_wide(a, json, index);
  rc_json_end_object(json);
}

static void
add_name_of(const RcShopAnswer *a, GString *json, const char *name, int row)
{
  add_text_or_null(json, name, row < 0 ? NULL : rc_shop_row_offer(a, (guint)row)->name);
}

void
rc_shop_append_json(const RcShopAnswer *a)
{
  GString *json = a->out;
  rc_json_begin_object(json, NULL);
  add_text_or_null(json, "title", a->shop->title);
  add_text_or_null(json, "currency", a->shop->currency);
  add_known(json, "target", a->standings->target, RC_TARGET_ALL / 100);
  rc_json_text(json, "accept", rc_verdict_name(rc_roll_accept(rc_tally_roll(a->tally))));
  rc_json_begin_array(json, "offers");
  for (guint i = 0; i < a->standings->n; ++i) {
    add_offer(a, json, i);
  }
  rc_json_end_array(json);
  add_name_of(a, json, "cheapest", a->standings->cheapest);
  add_name_of(a, json, "lightest", a->standings->lightest);
  add_name_of(a, json, "nearest", a->standings->nearest);
  rc_json_number(json, "tunes", (gint64)a->intake->tunes);
  rc_json_number(json, "files", (gint64)a->intake->files);
  rc_json_number(json, "problems", (gint64)a->intake->problems);
  rc_json_end_object(json);
  g_string_append_c(json, '\n');
}
