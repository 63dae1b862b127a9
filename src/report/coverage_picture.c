// Copyright 2026 the rowcall developers
// SPDX-License-Identifier: MIT

// The coverage chart.

#include "report/coverage_picture.h"

#include "report/canvas.h"
#include "report/coverage_text.h"
#include "report/format.h"

#include <math.h>

#define U64 G_GUINT64_FORMAT

static RcCoverageBar
make_bar(const RcComparison *c, guint index, RcShare share, gboolean marked)
{
  const RcCounts counts = c->sizes[index].counts;
  const RcTicks ticks = rc_counts_ticks(&counts);
  const guint64 chords = rc_counts_chords(&counts);
  const RcLayout *layout = c->sizes[index].layout;
  RcCoverageBar bar = { layout->name, layout->title, NULL, { 0 }, marked };
  bar.note = counts.tunes ? g_strdup_printf("%" U64 " of %" U64, counts.playable, counts.tunes) : g_strdup("–");
  for (guint i = 0; i < RC_N_VERDICTS; ++i) {
    const double by_time = ticks ? (double)counts.ticks[i] / (double)ticks : 0;
    const double by_chords = chords ? (double)counts.chords[i] / (double)chords : 0;
    bar.shares[i] = share == RC_SHARE_TIME ? by_time : by_chords;
  }
  return bar;
}

void
rc_coverage_draw(cairo_t *cairo, RcBox box, const RcComparison *c, RcShare share, guint chosen)
{
  const guint n = c->n;
  share = rc_counts_measured(&c->sizes[0].counts) ? share : RC_SHARE_CHORDS;
  RcCoverageBar *bars = g_new(RcCoverageBar, n);
  for (guint i = 0; i < n; ++i) {
    bars[i] = make_bar(c, i, share, i == chosen);
  }
  rc_draw_coverage(cairo, box, bars, n, share == RC_SHARE_TIME ? "share of the playing time" : "share of the chords",
                   "tunes playable");
  for (guint i = 0; i < n; ++i) {
    g_free((char *)bars[i].note);
  }
  g_free(bars);
}

GBytes *
rc_report_compare_picture(const RcComparison *comparison, RcPicture picture, const RcImprint *imprint, GError **error)
{
  enum { GAP = 14 };
  const double width = RC_PAGE_LONG - 2 * RC_MARGIN;
  char *title = rc_coverage_finding(comparison);
  char *notes = rc_coverage_notes(comparison);
  const double head =
    rc_text_height(RC_TEXT_TITLE, width, 3, title) + 4 + rc_text_height(RC_TEXT_BODY, width, 0, notes) + GAP;
  const double chart = rc_coverage_height(comparison->n, width);
  RcCanvas canvas = rc_canvas_start(picture, RC_PAGE_LONG, ceil(head + chart) + 2 * RC_MARGIN, imprint, title);
  double y = RC_MARGIN;
  y += rc_canvas_text(&canvas, RC_TEXT_TITLE, RC_MARGIN, y, width, 3, title) + 4;
  y += rc_canvas_text(&canvas, RC_TEXT_BODY, RC_MARGIN, y, width, 0, notes) + GAP;
  rc_canvas_begin_figure(&canvas, title);
  rc_coverage_draw(canvas.cairo, (RcBox){ RC_MARGIN, y, width, chart }, comparison, RC_SHARE_TIME, RC_NONE_CHOSEN);
  rc_canvas_end(&canvas, "Figure");
  cairo_show_page(canvas.cairo);
  g_free(title);
  g_free(notes);
  return rc_canvas_finish(&canvas, error);
}
