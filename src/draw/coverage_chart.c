// Copyright 2026 the rowcall developers
// SPDX-License-Identifier: MIT

#include "rowcall/draw.h"

#include "draw/lines.h"

// In points.
static const double group_width = 56;
static const double name_width = 56; // of short names
static const double most_name_width = 140;
static const double title_width = 150; // of names with their titles, where there is room
static const double wide = 600;        // enough for titles
static const double figure_width = 34; // right of each panel
static const double gap = 12;
static const double time_part = 0.62; // of the panels' width
static const double key_line = 15;
static const double heading_height = 26;
static const double foot_height = 14;
static const double step_narrow = 28; // from row to row
static const double step_wide = 29;

typedef struct {
  cairo_t *cairo;
  const RcCoverageChart *chart;
  RcBox box;
  RcBox time; // its panel
  RcBox tunes;
  double names_x;
  double step;
} Plot;

static const char *const key_words[] = { "native", "A same notes", "B richer",     "C leaner",
                                         "D bare", "E borrowed",   "none: no grip" };

static gboolean
occurs(const RcCoverageChart *chart, guint verdict)
{
  for (guint i = 0; i < chart->n; ++i) {
    if (chart->bars[i].shares[verdict] > 0) {
      return TRUE;
    }
  }
  return FALSE;
}

static double
key_word_width(const char *word)
{
  enum { SQUARE = 13, AFTER = 14 };
  return SQUARE + rc_text_width(RC_TEXT_NOTE, word) + AFTER;
}

// The height of the shades that occur in words, in as many lines as they need.
static double
key_height(const RcCoverageChart *chart, double width)
{
  guint lines = 1;
  double x = 0;
  for (guint i = 0; i <= RC_IMPOSSIBLE; ++i) {
    if (occurs(chart, i)) {
      const double word = key_word_width(key_words[i]);
      lines += x > 0 && x + word > width ? 1 : 0;
      x = x > 0 && x + word > width ? word : x + word;
    }
  }
  return lines * key_line;
}

static double
step_in(double width)
{
  return width >= wide ? step_wide : step_narrow;
}

double
rc_coverage_height(const RcCoverageChart *chart, double width)
{
  return key_height(chart, width) + heading_height + step_in(width) * chart->n + foot_height;
}

// ------------------------------------------------------------------------------------------------------------- marks

static void
rule(cairo_t *cairo, double x, double from, double to)
{
  cairo_move_to(cairo, x, from);
  cairo_line_to(cairo, x, to);
  cairo_stroke(cairo);
}

// A verdict without a colour is white with an edge.
static void
fill_shade(cairo_t *cairo, RcBox box, double shade)
{
  if (box.width <= 0) {
    return;
  }
  if (shade >= 0) {
    rc_shade(cairo, shade);
    cairo_rectangle(cairo, box.x, box.y, box.width, box.height);
    cairo_fill(cairo);
  } else {
    rc_draw_pen(cairo, 0.35, 0.6);
    cairo_rectangle(cairo, box.x + 0.3, box.y + 0.3, MAX(box.width - 0.6, 0.1), MAX(box.height - 0.6, 0.1));
    cairo_stroke(cairo);
  }
}

static void
draw_key_word(cairo_t *cairo, double x, double y, double shade, const char *word)
{
  fill_shade(cairo, (RcBox){ x, y, 10, 10 }, shade);
  rc_draw_text(cairo, RC_TEXT_NOTE, RC_ALIGN_LEFT, x + 13, y + 0.5, key_word_width(word), 1, word);
}

static void
draw_key(const Plot *p)
{
  double x = p->box.x;
  double y = p->box.y;
  for (guint i = 0; i <= RC_IMPOSSIBLE; ++i) {
    const double width = key_word_width(key_words[i]);
    if (!occurs(p->chart, i)) {
      continue;
    }
    if (x > p->box.x && x + width > p->box.x + p->box.width) {
      x = p->box.x;
      y += key_line;
    }
    draw_key_word(p->cairo, x, y, rc_verdict_shade((RcVerdict)i), key_words[i]);
    x += width;
  }
}

// --------------------------------------------------------------------------------------------------------- the panels

static const double one_short_shade = 0.2;
static const double band = 0.91; // grey of the own row

static void
draw_headings(const Plot *p)
{
  static const struct {
    const char *word;
    RcVerdict like;
  } tunes[] = { { "native", RC_NATIVE }, { "plays", RC_RICHER }, { "one short", RC_BORROWED } };
  const double y = p->time.y - heading_height + 2;
  double x = p->tunes.x;
  rc_draw_text(p->cairo, RC_TEXT_NOTE, RC_ALIGN_LEFT, p->time.x, y, p->time.width + figure_width, 1, p->chart->what);
  rc_draw_text(p->cairo, RC_TEXT_NOTE, RC_ALIGN_LEFT, x, y, p->tunes.width + figure_width, 1, p->chart->tunes);
  for (guint i = 0; i < G_N_ELEMENTS(tunes); ++i) {
    draw_key_word(p->cairo, x, y + 11, tunes[i].like == RC_BORROWED ? one_short_shade : rc_verdict_shade(tunes[i].like),
                  tunes[i].word);
    x += key_word_width(tunes[i].word) - 6;
  }
}

static void
draw_scale(const Plot *p, RcBox panel, const char *most)
{
  const double bottom = panel.y + panel.height;
  for (guint i = 0; i <= 4; ++i) {
    rc_draw_pen(p->cairo, 0.8, 0.4);
    rule(p->cairo, panel.x + panel.width * i / 4, panel.y, bottom);
  }
  rc_draw_text(p->cairo, RC_TEXT_NOTE, RC_ALIGN_LEFT, panel.x, bottom + 3, 30, 1, "0");
  rc_draw_text(p->cairo, RC_TEXT_NOTE, RC_ALIGN_RIGHT, panel.x, bottom + 3, panel.width, 1, most);
}

// The part of the target's rule from one height to another.
static void
draw_target_rule(const Plot *p, double from, double to)
{
  rc_draw_pen(p->cairo, 0, 0.9);
  rule(p->cairo, p->time.x + p->time.width * p->chart->target, from, to);
}

// At the target, named above the rows.
static void
draw_target(const Plot *p)
{
  const double x = p->time.x + p->time.width * p->chart->target;
  const double label = p->time.width + figure_width;
  draw_target_rule(p, p->time.y - 3, p->time.y + p->time.height);
  rc_draw_text(p->cairo, RC_TEXT_NOTE, RC_ALIGN_RIGHT, x + 2 - label, p->time.y - 14, label, 1, p->chart->target_text);
}

// Clear of the target's rule.
static void
draw_figure(const Plot *p, gboolean own, double x, double y, const char *text)
{
  const RcTextStyle style = own ? RC_TEXT_STRONG : RC_TEXT_NOTE;
  rc_draw_pen(p->cairo, own ? band : 1, 1);
  cairo_rectangle(p->cairo, x + 2, y, rc_text_width(style, text) + 2, 9);
  cairo_fill(p->cairo);
  rc_draw_text(p->cairo, style, RC_ALIGN_LEFT, x + 3, y - (own ? 1 : 0), 2 * figure_width, 1, text);
}

// "native 69 %" where the segment holds it, or the grade's letter.
static void
label_segment(const Plot *p, RcBox box, RcVerdict verdict, double share)
{
  char text[32];
  g_snprintf(text, sizeof text, "native %d %%", (int)(share * 100 + 0.5));
  const char *label = verdict == RC_NATIVE ? text : rc_verdict_name(verdict);
  if (rc_text_width(RC_TEXT_NOTE, label) + 3 < box.width) {
    rc_draw_label(p->cairo, 7.5, box.x + box.width / 2, box.y + box.height / 2, box.width, rc_verdict_shade(verdict),
                  label);
  }
}

// What is carried is as high as the bar, what is not lies low beside the figure.
static void
draw_time(const Plot *p, const RcCoverageBar *bar, double y, double height)
{
  const double low = height * 0.3;
  double x = p->time.x;
  double tick = x;
  for (guint i = 0; i <= RC_IMPOSSIBLE; ++i) {
    const double width = p->time.width * bar->shares[i];
    const gboolean carried = i <= p->chart->accept;
    const RcBox box = { x, carried ? y : y + height - low, width, carried ? height : low };
    fill_shade(p->cairo, box, rc_verdict_shade((RcVerdict)i));
    if (carried && width > 0) {
      label_segment(p, box, (RcVerdict)i, bar->shares[i]);
    }
    if (carried && width > 2 && x > p->time.x) { // a white line between shades, for grey print
      rc_draw_pen(p->cairo, 1, 0.6);
      rule(p->cairo, x, y, y + height);
    }
    x += width;
    tick = carried ? x : tick;
  }
  draw_target_rule(p, y, y + height);
  rc_draw_pen(p->cairo, 0, 1.2);
  rule(p->cairo, tick, y - 2, y + height + 2);
  draw_figure(p, bar->own, tick, y, bar->carried);
}

static void
draw_tunes(const Plot *p, const RcCoverageBar *bar, double y, double height)
{
  const RcBox panel = p->tunes;
  const double played = panel.width * bar->playable;
  const double low = height * 0.3;
  fill_shade(p->cairo, (RcBox){ panel.x, y, played, height }, rc_verdict_shade(RC_RICHER));
  fill_shade(p->cairo, (RcBox){ panel.x, y, panel.width * bar->native, height }, rc_verdict_shade(RC_NATIVE));
  fill_shade(p->cairo, (RcBox){ panel.x + played, y + height - low, panel.width * bar->one_short, low },
             one_short_shade);
  rc_draw_pen(p->cairo, 0, 1.2);
  rule(p->cairo, panel.x + played, y - 2, y + height + 2);
  draw_figure(p, bar->own, panel.x + played, y, bar->tunes);
}

// ------------------------------------------------------------------------------------------------------------ the rows

static void
draw_band(const Plot *p, double y)
{
  rc_draw_pen(p->cairo, band, 1);
  cairo_rectangle(p->cairo, p->box.x, y, p->box.width, p->step);
  cairo_fill(p->cairo);
}

static void
draw_names(const Plot *p, const RcCoverageBar *bar, double y)
{
  const double middle = y + p->step / 2;
  const double width = p->time.x - gap / 2 - p->names_x;
  const gboolean titled = p->box.width >= wide;
  rc_draw_text(p->cairo, bar->own || titled ? RC_TEXT_STRONG : RC_TEXT_BODY, RC_ALIGN_LEFT, p->names_x,
               middle - (titled ? 11.5 : 6), width, 1, bar->name);
  if (titled) {
    rc_draw_text(p->cairo, RC_TEXT_NOTE, RC_ALIGN_LEFT, p->names_x, middle + 1, width, 1, bar->title);
  }
}

// Where a group begins: its columns, and a line above it.
static void
begin_group(const Plot *p, guint columns, gboolean first, double y)
{
  char *text = g_strdup_printf("%u column%s", columns, columns == 1 ? "" : "s");
  rc_draw_text(p->cairo, RC_TEXT_NOTE, RC_ALIGN_LEFT, p->box.x + 2, y + p->step / 2 - 4.5, group_width, 1, text);
  if (!first) {
    rc_draw_pen(p->cairo, 0.55, 0.5);
    cairo_move_to(p->cairo, p->box.x, y);
    cairo_line_to(p->cairo, p->box.x + p->box.width, y);
    cairo_stroke(p->cairo);
  }
  g_free(text);
}

static void
draw_row(const Plot *p, guint index)
{
  const RcCoverageBar *bar = &p->chart->bars[index];
  const double y = p->time.y + index * p->step;
  const double height = p->step * 0.64;
  if (!index || bar->columns != bar[-1].columns) {
    begin_group(p, bar->columns, index == 0, y);
  }
  draw_names(p, bar, y);
  draw_time(p, bar, y + p->step * 0.18, height);
  draw_tunes(p, bar, y + p->step * 0.18, height);
}

// Wide enough for the longest name, within reason.
static double
names_width(const RcCoverageChart *chart, double width)
{
  double names = width >= wide ? title_width : name_width;
  for (guint i = 0; i < chart->n; ++i) {
    names = MAX(names, rc_text_width(RC_TEXT_STRONG, chart->bars[i].name) + gap);
  }
  return MIN(names, MAX(most_name_width, width >= wide ? title_width : 0));
}

static Plot
make_plot(cairo_t *cairo, RcBox box, const RcCoverageChart *chart)
{
  const double head = key_height(chart, box.width) + heading_height;
  const double names = names_width(chart, box.width);
  const double left = group_width + names;
  const double panels = box.width - left - gap - 2 * figure_width;
  Plot p = { .cairo = cairo, .chart = chart, .box = box, .names_x = box.x + group_width };
  p.step = MIN((box.height - head - foot_height) / MAX(chart->n, 1), step_in(box.width));
  p.time = (RcBox){ box.x + left, box.y + head, panels * time_part, p.step * chart->n };
  p.tunes = (RcBox){ p.time.x + p.time.width + figure_width + gap, p.time.y, panels - p.time.width, p.time.height };
  return p;
}

void
rc_draw_coverage(cairo_t *cairo, RcBox box, const RcCoverageChart *chart)
{
  const Plot p = make_plot(cairo, box, chart);
  for (guint i = 0; i < chart->n; ++i) {
    if (chart->bars[i].own) {
      draw_band(&p, p.time.y + i * p.step);
    }
  }
  draw_key(&p);
  draw_headings(&p);
  draw_scale(&p, p.time, "100 %");
  draw_scale(&p, p.tunes, chart->all_tunes);
  draw_target(&p);
  for (guint i = 0; i < chart->n; ++i) {
    draw_row(&p, i);
  }
}
