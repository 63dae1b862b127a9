// Copyright 2026 the rowcall developers
// SPDX-License-Identifier: MIT

// The coverage chart.

#include "report/coverage_picture.h"

#include "report/canvas.h"
#include "report/coverage_text.h"
#include "report/format.h"

#include <math.h>

#define U64 G_GUINT64_FORMAT

static char *
carried_text(const RcComparison *c, const RcCounts *counts)
{
  char percent[8];
  rc_percent(percent, rc_counts_carried(counts, c->accept), rc_counts_read(counts), 0, c->target.millionths);
  return g_strdup_printf("%s %%", *percent == '-' ? "0" : percent);
}

static RcCoverageBar
make_bar(const RcComparison *c, guint index, gboolean own)
{
  const RcCounts *counts = &c->sizes[index].counts;
  const RcLayout *layout = c->sizes[index].layout;
  const double read = (double)MAX(rc_counts_read(counts), 1);
  const double tunes = (double)MAX(counts->tunes, 1);
  RcCoverageBar bar = { .name = layout->name,
                        .title = layout->title,
                        .columns = layout->columns->len,
                        .carried = carried_text(c, counts),
                        .native = (double)counts->native / tunes,
                        .playable = (double)counts->playable / tunes,
                        .one_short = (double)counts->one_short / tunes,
                        .tunes = g_strdup_printf("%" U64, counts->playable),
                        .own = own };
  for (guint i = 0; i <= RC_IMPOSSIBLE; ++i) {
    bar.shares[i] = (double)rc_counts_of(counts, (RcVerdict)i) / read;
  }
  return bar;
}

RcCoverageChart
rc_coverage_chart(const RcComparison *c, guint own)
{
  const RcCounts *counts = &c->sizes[0].counts;
  RcCoverageBar *bars = g_new(RcCoverageBar, c->n);
  char *target = rc_target_text(c->target.millionths);
  for (guint i = 0; i < c->n; ++i) {
    bars[i] = make_bar(c, i, i == own);
  }
  const RcCoverageChart chart = { bars,
                                  c->n,
                                  c->accept,
                                  rc_counts_measured(counts) ? "share of the playing time" : "share of the chords",
                                  g_strdup_printf("tunes, of %" U64, counts->tunes),
                                  g_strdup_printf("%" U64, counts->tunes),
                                  (double)c->target.millionths / RC_TARGET_ALL,
                                  g_strdup_printf("target %s %%", target) };
  g_free(target);
  return chart;
}

void
rc_coverage_chart_clear(RcCoverageChart *chart)
{
  for (guint i = 0; i < chart->n; ++i) {
    g_free((char *)chart->bars[i].carried);
    g_free((char *)chart->bars[i].tunes);
  }
  g_free((gpointer)chart->bars);
  g_free((char *)chart->tunes);
  g_free((char *)chart->all_tunes);
  g_free((char *)chart->target_text);
}

char *
rc_coverage_chart_text(const RcCoverageChart *chart)
{
  GString *text = g_string_new(NULL);
  g_string_append_printf(text, "Chart by size: %s carried, and %s playable.", chart->what, chart->tunes);
  for (guint i = 0; i < chart->n; ++i) {
    const RcCoverageBar *bar = &chart->bars[i];
    g_string_append_printf(text, " %s%s: %s, %s.", bar->name, bar->own ? " (yours)" : "", bar->carried, bar->tunes);
  }
  return g_string_free(text, FALSE);
}

static void
draw_chart(RcCanvas *canvas, RcBox box, const RcCoverageChart *chart)
{
  char *text = rc_coverage_chart_text(chart);
  rc_canvas_begin_figure(canvas, text);
  rc_draw_coverage(canvas->cairo, box, chart);
  rc_canvas_end(canvas, "Figure");
  g_free(text);
}

GBytes *
rc_report_compare_picture(const RcComparison *comparison, RcPicture picture, const RcImprint *imprint, GError **error)
{
  enum { GAP = 14 };
  const double width = RC_PAGE_LONG - 2 * RC_MARGIN;
  char *title = rc_coverage_finding(comparison);
  char *notes = rc_coverage_notes(comparison);
  RcCoverageChart chart = rc_coverage_chart(comparison, RC_NONE_OWN);
  const double head =
    rc_text_height(RC_TEXT_TITLE, width, 3, title) + 4 + rc_text_height(RC_TEXT_BODY, width, 0, notes) + GAP;
  const double height = rc_coverage_height(&chart, width);
  RcCanvas canvas = rc_canvas_start(picture, RC_PAGE_LONG, ceil(head + height) + 2 * RC_MARGIN, imprint, title);
  double y = RC_MARGIN;
  y += rc_canvas_text(&canvas, RC_TEXT_TITLE, RC_MARGIN, y, width, 3, title) + 4;
  y += rc_canvas_text(&canvas, RC_TEXT_BODY, RC_MARGIN, y, width, 0, notes) + GAP;
  draw_chart(&canvas, (RcBox){ RC_MARGIN, y, width, height }, &chart);
  cairo_show_page(canvas.cairo);
  rc_coverage_chart_clear(&chart);
  g_free(title);
  g_free(notes);
  return rc_canvas_finish(&canvas, error);
}
