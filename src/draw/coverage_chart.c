// Copyright 2026 the rowcall developers
// SPDX-License-Identifier: MIT

#include "rowcall/draw.h"

static const double name_width = 150;
static const double note_width = 78;
static const double gap = 10;
static const double head_height = 46;
static const double foot_height = 20;

typedef struct {
  cairo_t *cairo;
  RcBox plot; // where the bars are
} Chart;

static void
rule(cairo_t *cairo, double x, double from, double to)
{
  cairo_set_source_rgb(cairo, 0.75, 0.75, 0.75);
  cairo_set_line_width(cairo, 0.4);
  cairo_move_to(cairo, x, from);
  cairo_line_to(cairo, x, to);
  cairo_stroke(cairo);
}

static void
draw_scale(const Chart *chart, double bottom)
{
  for (int percent = 0; percent <= 100; percent += 20) {
    const double x = chart->plot.x + chart->plot.width * percent / 100;
    char text[8];
    g_snprintf(text, sizeof text, "%d %%", percent);
    rule(chart->cairo, x, chart->plot.y, bottom);
    rc_draw_line(chart->cairo, RC_TEXT_NOTE, RC_ALIGN_CENTRE, x - 30, bottom + 3, 60, text);
  }
}

// Verdicts without a colour: white, unread with stripes.
static void
fill_plain(cairo_t *cairo, RcBox box, gboolean striped)
{
  cairo_set_source_rgb(cairo, 1, 1, 1);
  cairo_rectangle(cairo, box.x, box.y, box.width, box.height);
  cairo_fill(cairo);
  cairo_save(cairo);
  cairo_rectangle(cairo, box.x, box.y, box.width, box.height);
  cairo_clip(cairo);
  cairo_set_source_rgb(cairo, 0.35, 0.35, 0.35);
  cairo_set_line_width(cairo, 0.6);
  for (double x = box.x - box.height; striped && x < box.x + box.width; x += 3) {
    cairo_move_to(cairo, x, box.y + box.height);
    cairo_line_to(cairo, x + box.height, box.y);
  }
  cairo_stroke(cairo);
  cairo_restore(cairo);
  cairo_rectangle(cairo, box.x + 0.3, box.y + 0.3, MAX(box.width - 0.6, 0.1), box.height - 0.6);
  cairo_set_source_rgb(cairo, 0.35, 0.35, 0.35);
  cairo_stroke(cairo);
}

static void
fill_verdict(cairo_t *cairo, RcBox box, RcVerdict verdict)
{
  const double shade = rc_verdict_shade(verdict);
  if (shade < 0) {
    fill_plain(cairo, box, verdict == RC_UNREAD);
    return;
  }
  rc_shade(cairo, shade);
  cairo_rectangle(cairo, box.x, box.y, box.width, box.height);
  cairo_fill(cairo);
}

static void
draw_segment(const Chart *chart, RcBox box, RcVerdict verdict, double share)
{
  char text[32];
  const char *name = verdict == RC_IMPOSSIBLE ? "none" : rc_verdict_name(verdict);
  g_snprintf(text, sizeof text, "%s %d %%", name, (int)(share * 100 + 0.5));
  fill_verdict(chart->cairo, box, verdict);
  if (verdict != RC_UNREAD && box.width > 6.5 * (double)g_utf8_strlen(text, -1)) {
    rc_draw_label(chart->cairo, 7.5, box.x + box.width / 2, box.y + box.height / 2, box.width,
                  rc_verdict_shade(verdict), text);
  } else if (verdict <= RC_BORROWED && box.width > 9) {
    rc_draw_label(chart->cairo, 7.5, box.x + box.width / 2, box.y + box.height / 2, box.width,
                  rc_verdict_shade(verdict), verdict == RC_NATIVE ? "" : name);
  }
}

static void
draw_bar(const Chart *chart, const RcCoverageBar *bar, double y, double height)
{
  RcBox box = { chart->plot.x, y, 0, height };
  for (guint i = 0; i < RC_N_VERDICTS; ++i) {
    box.width = chart->plot.width * bar->shares[i];
    if (box.width > 0) {
      draw_segment(chart, box, (RcVerdict)i, bar->shares[i]);
    }
    box.x += box.width;
  }
}

static void
draw_names(const Chart *chart, RcBox box, const RcCoverageBar *bar, double y, double height)
{
  const double middle = y + height / 2;
  const double right = chart->plot.x + chart->plot.width + gap;
  rc_draw_line(chart->cairo, RC_TEXT_STRONG, RC_ALIGN_LEFT, box.x, middle - 12, name_width, bar->name);
  rc_draw_line(chart->cairo, RC_TEXT_NOTE, RC_ALIGN_LEFT, box.x, middle + 1, name_width, bar->title);
  rc_draw_line(chart->cairo, RC_TEXT_BODY, RC_ALIGN_LEFT, right, middle - 6, note_width, bar->note);
}

// The shades in words, above the bars.
static void
draw_key(const Chart *chart, double y)
{
  static const char *const words[] = { "native", "A same notes", "B richer",   "C leaner",
                                       "D bare", "E borrowed",   "impossible", "unread" };
  static const double widths[] = { 58, 86, 66, 66, 58, 78, 74, 60 };
  double x = chart->plot.x;
  for (guint i = 0; i < RC_N_VERDICTS; ++i) {
    fill_verdict(chart->cairo, (RcBox){ x, y, 10, 10 }, (RcVerdict)i);
    rc_draw_line(chart->cairo, RC_TEXT_NOTE, RC_ALIGN_LEFT, x + 13, y, widths[i], words[i]);
    x += widths[i];
  }
}

void
rc_draw_coverage(cairo_t *cairo, RcBox box, const RcCoverageBar *bars, guint n_bars, const char *what,
                 const char *note_heading)
{
  const Chart chart = { cairo,
                        { box.x + name_width + gap, box.y + head_height, box.width - name_width - note_width - 2 * gap,
                          box.height - head_height - foot_height } };
  const double step = MIN(chart.plot.height / MAX(n_bars, 1), 42);
  draw_key(&chart, box.y);
  rc_draw_line(cairo, RC_TEXT_NOTE, RC_ALIGN_LEFT, chart.plot.x, box.y + 26, chart.plot.width, what);
  rc_draw_line(cairo, RC_TEXT_NOTE, RC_ALIGN_LEFT, chart.plot.x + chart.plot.width + gap, box.y + 26, note_width,
               note_heading);
  draw_scale(&chart, chart.plot.y + step * n_bars);
  for (guint i = 0; i < n_bars; ++i) {
    const double y = chart.plot.y + i * step;
    draw_bar(&chart, &bars[i], y + step * 0.14, step * 0.72);
    draw_names(&chart, box, &bars[i], y, step);
  }
}
