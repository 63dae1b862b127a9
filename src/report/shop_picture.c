// Copyright 2026 the rowcall developers
// SPDX-License-Identifier: MIT

// Offers as a picture: what was found above, the figure, and what it rests on.

#include "report/canvas.h"
#include "report/format.h"
#include "report/shop_words.h"

#include "rowcall/draw.h"

#include <math.h>

static const double figure_height = 400;
static const double text_width = RC_PAGE_LONG - 2 * RC_MARGIN;

// A name that leaves room for the weight after it; a new string.
static char *
short_name(const char *name)
{
  enum { MOST = 24 };
  if (g_utf8_strlen(name, -1) <= MOST) {
    return g_strdup(name);
  }
  char *start = g_utf8_substring(name, 0, MOST - 1);
  char *text = g_strconcat(start, "…", NULL);
  g_free(start);
  return text;
}

static RcOfferPoint
make_point(const RcShop *shop, const RcStandings *s, guint index)
{
  const RcStanding *row = &s->rows[index];
  const RcOffer *offer = rc_row_offer(shop, s, (int)index);
  char *name = short_name(offer->name);
  char *kg = rc_kg_text(offer->grams);
  RcOfferPoint point = { 0 };
  point.label = offer->grams ? g_strdup_printf("%s, %s kg", name, kg) : g_strdup_printf("%s, weight unknown", name);
  point.price = (double)offer->cost / (double)RC_COST_UNIT;
  point.share = s->read ? (double)row->worth.carried / (double)s->read : 0;
  point.mark = !row->judged ? RC_OFFER_UNJUDGED : row->beaten ? RC_OFFER_BEATEN : RC_OFFER_UNBEATEN;
  g_free(name);
  g_free(kg);
  return point;
}

static void
draw_figure(cairo_t *cairo, RcBox box, const RcShop *shop, const RcTally *tally, const RcStandings *s)
{
  const RcRoll *roll = rc_tally_roll(tally);
  const RcCounts counts = rc_roll_counts(roll, 0);
  RcOfferPoint *points = g_new(RcOfferPoint, MAX(s->n, 1));
  char *target = rc_target_text(s->target);
  char *target_text = g_strdup_printf("asked for: %s %%", target);
  char *prices = g_strdup_printf("price in %s", shop->currency);
  char *shares = g_strdup_printf("share of the %s at grade %s or better", rc_share_of(&counts),
                                 rc_verdict_name(rc_roll_accept(roll)));
  const RcOfferScales scales = { prices, shares, target_text, (double)s->target / RC_TARGET_ALL };
  for (guint i = 0; i < s->n; ++i) {
    points[i] = make_point(shop, s, i);
  }
  rc_draw_offers(cairo, box, points, s->n, &scales);
  for (guint i = 0; i < s->n; ++i) {
    g_free((char *)points[i].label);
  }
  g_free(points);
  g_free(target);
  g_free(target_text);
  g_free(prices);
  g_free(shares);
}

static char *
subtitle(const RcShop *shop, const RcTally *tally, const RcStandings *s)
{
  const RcCounts counts = rc_roll_counts(rc_tally_roll(tally), 0);
  return g_strdup_printf("%s%s%u offer%s, %" G_GUINT64_FORMAT " tune%s with chords.", shop->title,
                         *shop->title ? ". " : "", s->n, s->n == 1 ? "" : "s", counts.tunes,
                         counts.tunes == 1 ? "" : "s");
}

// The finding, whose units stay with their numbers at the end of a line; a new string.
static char *
headline(const RcShop *shop, const RcTally *tally, const RcStandings *s)
{
  char *finding = rc_shop_finding(shop, tally, s);
  GString *text = g_string_new(finding);
  g_string_replace(text, " kg", "\u00a0kg", 0);
  g_free(finding);
  return g_string_free(text, FALSE);
}

GBytes *
rc_report_shop_picture(const RcShop *shop, const RcTally *tally, const RcStandings *standings, RcPicture picture,
                       const RcImprint *imprint, GError **error)
{
  enum { GAP = 8 };
  char *finding = headline(shop, tally, standings);
  char *below = subtitle(shop, tally, standings);
  char *notes = rc_shop_notes(shop, tally);
  const double head = rc_text_height(RC_TEXT_TITLE, text_width, 4, finding) + 4 +
                      rc_text_height(RC_TEXT_BODY, text_width, 3, below) + GAP;
  const double foot = GAP + rc_text_height(RC_TEXT_BODY, text_width, 0, notes);
  RcCanvas canvas =
    rc_canvas_start(picture, RC_PAGE_LONG, ceil(head + figure_height + foot) + 2 * RC_MARGIN, imprint, finding);
  double y = RC_MARGIN;
  y += rc_canvas_text(&canvas, RC_TEXT_TITLE, RC_MARGIN, y, text_width, 4, finding) + 4;
  y += rc_canvas_text(&canvas, RC_TEXT_BODY, RC_MARGIN, y, text_width, 3, below) + GAP;
  rc_canvas_begin_figure(&canvas, finding);
  draw_figure(canvas.cairo, (RcBox){ RC_MARGIN, y, text_width, figure_height }, shop, tally, standings);
  rc_canvas_end(&canvas, "Figure");
  rc_canvas_text(&canvas, RC_TEXT_BODY, RC_MARGIN, y + figure_height + GAP, text_width, 0, notes);
  cairo_show_page(canvas.cairo);
  g_free(finding);
  g_free(below);
  g_free(notes);
  return rc_canvas_finish(&canvas, error);
}
