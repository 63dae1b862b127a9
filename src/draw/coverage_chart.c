// Copyright 2026 the rowcall developers
// SPDX-License-Identifier: MIT

#include "rowcall/draw.h"

static const double name_width = 160;
static const double note_width = 84;
static const double gap = 10;
static const double mark_width = 11; // left of the names where a bar is marked
static const double key_line = 15;
static const double head_height = 22;
static const double foot_height = 14;
static const double usual_step = 29; // from bar to bar

typedef struct {
  cairo_t *cairo;
  RcBox plot; // where the bars are
  double names_x;
} Chart;

static const char *const key_words[] = { "native", "A same notes", "B richer",      "C leaner",
                                         "D bare", "E borrowed",   "none: no grip", "unread" };

static double
key_word_width(guint verdict)
{
  enum { SQUARE = 13, AFTER = 14 };
  return SQUARE + rc_text_width(RC_TEXT_NOTE, key_words[verdict]) + AFTER;
}

// The height of the shades in words, in as many lines as they need.
static double
key_height(double width)
{
  guint lines = 1;
  double x = 0;
  for (guint i = 0; i < RC_N_VERDICTS; ++i) {
    const double word = key_word_width(i);
    lines += x > 0 && x + word > width ? 1 : 0;
    x = x > 0 && x + word > width ? word : x + word;
  }
  return lines * key_line;
}

double
rc_coverage_height(guint n_bars, double width)
{
  return key_height(width) + head_height + usual_step * n_bars + foot_height;
}

static void
grey(cairo_t *cairo, double level, double line_width)
{
  cairo_set_source_rgb(cairo, level, level, level);
  cairo_set_line_width(cairo, line_width);
}

static void
rule(cairo_t *cairo, double x, double from, double to)
{
  cairo_move_to(cairo, x, from);
  cairo_line_to(cairo, x, to);
  cairo_stroke(cairo);
}

static void
draw_scale(const Chart *chart)
{
  const double bottom = chart->plot.y + chart->plot.height;
  for (int percent = 0; percent <= 100; percent += 20) {
    const double x = chart->plot.x + chart->plot.width * percent / 100;
    char text[8];
    g_snprintf(text, sizeof text, "%d %%", percent);
    grey(chart->cairo, 0.75, 0.4);
    rule(chart->cairo, x, chart->plot.y, bottom);
    rc_draw_text(chart->cairo, RC_TEXT_NOTE, RC_ALIGN_CENTRE, x - 30, bottom + 3, 60, 1, text);
  }
}

static void
draw_stripes(cairo_t *cairo, RcBox box)
{
  cairo_save(cairo);
  cairo_rectangle(cairo, box.x, box.y, box.width, box.height);
  cairo_clip(cairo);
  for (double x = box.x - box.height; x < box.x + box.width; x += 3) {
    cairo_move_to(cairo, x, box.y + box.height);
    cairo_line_to(cairo, x + box.height, box.y);
  }
  cairo_stroke(cairo);
  cairo_restore(cairo);
}

// Verdicts without a colour: white, unread with stripes.
static void
fill_plain(cairo_t *cairo, RcBox box, gboolean striped)
{
  cairo_set_source_rgb(cairo, 1, 1, 1);
  cairo_rectangle(cairo, box.x, box.y, box.width, box.height);
  cairo_fill(cairo);
  grey(cairo, 0.35, 0.6);
  if (striped) {
    draw_stripes(cairo, box);
  }
  cairo_rectangle(cairo, box.x + 0.3, box.y + 0.3, MAX(box.width - 0.6, 0.1), box.height - 0.6);
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

// The longest of "native 69 %", "69 %" or the grade's letter that the segment holds.
static void
label_segment(const Chart *chart, RcBox box, RcVerdict verdict, double share)
{
  const char *name = verdict == RC_IMPOSSIBLE ? "none" : rc_verdict_name(verdict);
  char text[32];
  g_snprintf(text, sizeof text, "%s %d %%", name, (int)(share * 100 + 0.5));
  const gboolean is_grade = verdict >= RC_SAME && verdict <= RC_BORROWED;
  const char *fitting = rc_text_width(RC_TEXT_NOTE, text) + 4 < box.width               ? text
                        : is_grade && rc_text_width(RC_TEXT_NOTE, name) + 3 < box.width ? name
                                                                                        : "";
  if (verdict != RC_UNREAD && *fitting) {
    rc_draw_label(chart->cairo, 7.5, box.x + box.width / 2, box.y + box.height / 2, box.width,
                  rc_verdict_shade(verdict), fitting);
  }
}

static void
draw_bar(const Chart *chart, const RcCoverageBar *bar, double y, double height)
{
  RcBox box = { chart->plot.x, y, 0, height };
  for (guint i = 0; i < RC_N_VERDICTS; ++i) {
    box.width = chart->plot.width * bar->shares[i];
    if (box.width > 0) {
      fill_verdict(chart->cairo, box, (RcVerdict)i);
      label_segment(chart, box, (RcVerdict)i, bar->shares[i]);
    }
    const gboolean coloured = rc_verdict_shade((RcVerdict)i) >= 0;
    if (coloured && box.width > 2 && box.x > chart->plot.x) { // a white line between shades, for grey print
      grey(chart->cairo, 1, 0.6);
      rule(chart->cairo, box.x, y, y + height);
    }
    box.x += box.width;
  }
}

static void
draw_mark(cairo_t *cairo, double x, double y)
{
  cairo_set_source_rgb(cairo, 0, 0, 0);
  cairo_move_to(cairo, x, y - 4);
  cairo_line_to(cairo, x + 7, y);
  cairo_line_to(cairo, x, y + 4);
  cairo_close_path(cairo);
  cairo_fill(cairo);
}

static void
draw_names(const Chart *chart, double left, const RcCoverageBar *bar, double y, double height)
{
  const double middle = y + height / 2;
  const double right = chart->plot.x + chart->plot.width + gap;
  const double width = chart->plot.x - gap - chart->names_x;
  const gboolean fits = rc_text_width(RC_TEXT_BODY, bar->note) < note_width;
  if (bar->marked) {
    draw_mark(chart->cairo, left, middle - 5);
  }
  rc_draw_text(chart->cairo, RC_TEXT_STRONG, RC_ALIGN_LEFT, chart->names_x, middle - 11.5, width, 1, bar->name);
  rc_draw_text(chart->cairo, RC_TEXT_NOTE, RC_ALIGN_LEFT, chart->names_x, middle + 1, width, 1, bar->title);
  rc_draw_text(chart->cairo, fits ? RC_TEXT_BODY : RC_TEXT_NOTE, RC_ALIGN_LEFT, right, middle - (fits ? 6 : 5),
               note_width, 1, bar->note);
}

static void
draw_key(cairo_t *cairo, RcBox box)
{
  double x = box.x;
  double y = box.y;
  for (guint i = 0; i < RC_N_VERDICTS; ++i) {
    const double width = key_word_width(i);
    if (x > box.x && x + width > box.x + box.width) {
      x = box.x;
      y += key_line;
    }
    fill_verdict(cairo, (RcBox){ x, y, 10, 10 }, (RcVerdict)i);
    rc_draw_text(cairo, RC_TEXT_NOTE, RC_ALIGN_LEFT, x + 13, y + 0.5, width, 1, key_words[i]);
    x += width;
  }
}

static Chart
make_chart(cairo_t *cairo, RcBox box, const RcCoverageBar *bars, guint n_bars)
{
  const double head = key_height(box.width) + head_height;
  const double step = MIN((box.height - head - foot_height) / MAX(n_bars, 1), usual_step);
  Chart chart = { cairo,
                  { box.x + name_width + gap, box.y + head, box.width - name_width - note_width - 2 * gap,
                    step * n_bars },
                  box.x };
  for (guint i = 0; i < n_bars; ++i) {
    chart.names_x = bars[i].marked ? box.x + mark_width : chart.names_x;
  }
  return chart;
}

void
rc_draw_coverage(cairo_t *cairo, RcBox box, const RcCoverageBar *bars, guint n_bars, const char *what,
                 const char *note_heading)
{
  const Chart chart = make_chart(cairo, box, bars, n_bars);
  const double step = chart.plot.height / MAX(n_bars, 1);
  const double right = chart.plot.x + chart.plot.width;
  const double heading_y = chart.plot.y - head_height + 4;
  draw_key(cairo, box);
  rc_draw_text(cairo, RC_TEXT_NOTE, RC_ALIGN_LEFT, chart.plot.x, heading_y, chart.plot.width, 1, what);
  rc_draw_text(cairo, RC_TEXT_NOTE, RC_ALIGN_LEFT, right + gap, heading_y, note_width, 1, note_heading);
  draw_scale(&chart);
  for (guint i = 0; i < n_bars; ++i) {
    const double y = chart.plot.y + i * step;
    draw_bar(&chart, &bars[i], y + step * 0.14, step * 0.72);
    draw_names(&chart, box.x, &bars[i], y, step);
  }
}
