// Copyright 2026 the rowcall developers
// SPDX-License-Identifier: MIT

#include "rowcall/draw.h"

#include <math.h>

#include "draw/lines.h"

// In points.
static const double axis_width = 34;
static const double axis_height = 30;
static const double headroom = 30; // above 100 %, for names
static const double label_width = 160;
static const double label_gap = 22; // between the plot and the names of the lines
static const double label_step = 13;
static const double dot_radius = 3.2;
static const double ring_radius = 7;

static const double ink = 0.95; // shade of what answers

typedef struct {
  cairo_t *cairo;
  const RcSizeChart *chart;
  RcBox plot;
  double least; // share at the lower edge
  guint few;    // buttons at the left edge
  guint many;   // and at the right one
  GArray *kept; // of RcBox: what names keep clear of
} Plot;

static double
x_of(const Plot *p, double buttons)
{
  return p->plot.x + p->plot.width * log(buttons / p->few) / log((double)p->many / p->few);
}

static double
y_of(const Plot *p, double share)
{
  return p->plot.y + p->plot.height * (1 - share) / (1 - p->least);
}

static void
find_scales(Plot *p)
{
  double least = 0.9;
  p->few = G_MAXUINT;
  for (guint i = 0; i < p->chart->n_dots; ++i) {
    least = MIN(least, p->chart->dots[i].share);
    p->few = MIN(p->few, p->chart->dots[i].buttons);
  }
  for (guint i = 0; i < p->chart->n_lines; ++i) {
    p->many = MAX(p->many, p->chart->lines[i].buttons[p->chart->lines[i].n - 1]);
  }
  p->few = CLAMP(p->few, 1, p->many - 1);
  p->least = MAX(floor(least * 10) / 10, 0);
}

// ---------------------------------------------------------------------------------------------------------- the axes

static void
draw_shares(const Plot *p)
{
  const int step = p->least > 0.75 ? 5 : 10;
  for (int percent = (int)(p->least * 100 + 0.5); percent <= 100; percent += step) {
    char text[8];
    const double y = y_of(p, percent / 100.0);
    g_snprintf(text, sizeof text, "%d %%", percent);
    rc_draw_pen(p->cairo, 0.85, 0.4);
    rc_draw_line(p->cairo, p->plot.x, y, p->plot.x + p->plot.width, y);
    rc_draw_text(p->cairo, RC_TEXT_NOTE, RC_ALIGN_RIGHT, p->plot.x - axis_width, y - 5, axis_width - 5, 1, text);
  }
}

static void
draw_buttons(const Plot *p)
{
  static const guint ticks[] = { 1, 2, 4, 8, 12, 16, 24, 32, 48, 64, 80, 100, 120, 140 };
  const double bottom = p->plot.y + p->plot.height;
  for (guint i = 0; i < G_N_ELEMENTS(ticks); ++i) {
    if (ticks[i] < p->few || ticks[i] > p->many) {
      continue;
    }
    char text[8];
    const double x = x_of(p, ticks[i]);
    g_snprintf(text, sizeof text, "%u", ticks[i]);
    rc_draw_pen(p->cairo, 0.85, 0.4);
    rc_draw_line(p->cairo, x, p->plot.y, x, bottom);
    rc_draw_text(p->cairo, RC_TEXT_NOTE, RC_ALIGN_CENTRE, x - 20, bottom + 3, 40, 1, text);
  }
  rc_draw_text(p->cairo, RC_TEXT_NOTE, RC_ALIGN_CENTRE, p->plot.x, bottom + 16, p->plot.width, 1,
               "buttons, each step to the right by the same factor");
}

static void
draw_target(const Plot *p)
{
  const double y = y_of(p, p->chart->target);
  if (p->chart->target < p->least) {
    return;
  }
  const double width = rc_text_width(RC_TEXT_NOTE, p->chart->target_text) + 4;
  const RcBox label = { p->plot.x + 3, y + 1, width, 10 };
  rc_draw_pen(p->cairo, 0, 0.9);
  rc_draw_line(p->cairo, p->plot.x, y, p->plot.x + p->plot.width, y);
  rc_draw_text(p->cairo, RC_TEXT_NOTE, RC_ALIGN_LEFT, label.x, label.y, width, 1, p->chart->target_text);
  const RcBox line = { p->plot.x, y - 1, p->plot.width, 2 };
  g_array_append_val(p->kept, label);
  g_array_append_val(p->kept, line);
}

// --------------------------------------------------------------------------------------------------------- the lines

static void
set_pen(const Plot *p, const RcSizeLine *line)
{
  static const double dashes[] = { 4, 2.5 };
  rc_draw_pen(p->cairo, 0.35, 1);
  if (line->answer) {
    rc_shade(p->cairo, ink);
    cairo_set_line_width(p->cairo, 2);
  }
  cairo_set_dash(p->cairo, dashes, line->dashed ? G_N_ELEMENTS(dashes) : 0, 0);
}

static void
draw_line(const Plot *p, const RcSizeLine *line)
{
  cairo_save(p->cairo);
  cairo_rectangle(p->cairo, p->plot.x, p->plot.y - 2, p->plot.width + 2, p->plot.height + 2);
  cairo_clip(p->cairo);
  set_pen(p, line);
  for (guint i = 0; i < line->n; ++i) {
    cairo_line_to(p->cairo, x_of(p, line->buttons[i]), y_of(p, line->shares[i]));
  }
  cairo_stroke(p->cairo);
  cairo_restore(p->cairo);
}

// Where lines end: those that end higher are named higher, of two as high those that end further left.
static guint *
order_of_ends(const RcSizeChart *chart)
{
  guint *order = g_new(guint, MAX(chart->n_lines, 1));
  for (guint i = 0; i < chart->n_lines; ++i) {
    guint place = i;
    const RcSizeLine *line = &chart->lines[i];
    for (; place > 0; --place) {
      const RcSizeLine *above = &chart->lines[order[place - 1]];
      const double gain = line->shares[line->n - 1] - above->shares[above->n - 1];
      if (gain < 0 || (gain == 0 && line->buttons[line->n - 1] >= above->buttons[above->n - 1])) {
        break;
      }
      order[place] = order[place - 1];
    }
    order[place] = i;
  }
  return order;
}

// A line's name at the right, with a leader that goes on as high as the line ends.
static void
name_line(const Plot *p, const RcSizeLine *line, double y)
{
  const double end_x = x_of(p, line->buttons[line->n - 1]);
  const double end_y = y_of(p, MAX(line->shares[line->n - 1], p->least));
  const double label_x = p->plot.x + p->plot.width + label_gap;
  const double edge = p->plot.x + p->plot.width;
  rc_draw_pen(p->cairo, 0, 0.5);
  cairo_move_to(p->cairo, end_x + 1, end_y);
  cairo_line_to(p->cairo, edge, end_y);
  cairo_line_to(p->cairo, label_x - 2, y);
  cairo_stroke(p->cairo);
  rc_draw_text(p->cairo, line->answer ? RC_TEXT_BODY : RC_TEXT_NOTE, RC_ALIGN_LEFT, label_x, y - (line->answer ? 6 : 5),
               label_width, 1, line->label);
}

static void
name_lines(const Plot *p)
{
  guint *order = order_of_ends(p->chart);
  double y = p->plot.y - label_step * (p->chart->n_lines - 1) / 2;
  for (guint i = 0; i < p->chart->n_lines; ++i) {
    const RcSizeLine *line = &p->chart->lines[order[i]];
    y = MAX(y, y_of(p, MAX(line->shares[line->n - 1], p->least)) - label_step);
    name_line(p, line, y);
    y += label_step;
  }
  g_free(order);
}

// ---------------------------------------------------------------------------------------------------------- the dots

static gboolean
boxes_meet(RcBox a, RcBox b)
{
  return a.x < b.x + b.width && b.x < a.x + a.width && a.y < b.y + b.height && b.y < a.y + a.height;
}

static gboolean
is_clear(const Plot *p, RcBox box)
{
  for (guint i = 0; i < p->kept->len; ++i) {
    if (boxes_meet(g_array_index(p->kept, RcBox, i), box)) {
      return FALSE;
    }
  }
  return box.x >= p->plot.x - axis_width / 2 && box.y >= p->plot.y - headroom &&
         box.x + box.width <= p->plot.x + p->plot.width + label_gap / 2;
}

static void
draw_dot(const Plot *p, const RcSizeDot *dot)
{
  const double x = x_of(p, dot->buttons);
  const double y = y_of(p, dot->share);
  rc_shade(p->cairo, ink);
  cairo_new_path(p->cairo);
  cairo_arc(p->cairo, x, y, dot_radius, 0, 2 * G_PI);
  cairo_fill(p->cairo);
  if (dot->answer) {
    rc_draw_pen(p->cairo, 0, 1.4);
    cairo_new_path(p->cairo);
    cairo_arc(p->cairo, x, y, ring_radius, 0, 2 * G_PI);
    cairo_stroke(p->cairo);
  }
}

// Places for a name of `width` by `height` beside its dot, nearer before further: long ones first to the left, where no
// line ends, others first above.
static void
find_places(const Plot *p, const RcSizeDot *dot, double width, double height, guint step, RcBox places[4])
{
  const double away = (dot->answer ? ring_radius : dot_radius) + 1 + step * 6.0;
  const double x = x_of(p, dot->buttons);
  const double y = y_of(p, dot->share);
  const gboolean long_name = width > 60;
  const double up = (long_name ? 5 : 0) + step * 4.0;
  const RcBox left = { x - away - width, y - height / 2 - up, width, height };
  const RcBox above = { x - width / 2, y - away - height, width, height };
  places[0] = long_name ? left : above;
  places[1] = (RcBox){ x + away, y - height / 2 + step * 4.0, width, height };
  places[2] = (RcBox){ x - width / 2, y + away, width, height };
  places[3] = long_name ? above : left;
}

static void
name_dot(const Plot *p, const RcSizeDot *dot)
{
  enum { STEPS = 5 };
  RcBox places[4];
  const RcTextStyle style = dot->answer ? RC_TEXT_STRONG : RC_TEXT_NOTE;
  const double width = rc_text_width(style, dot->name) + 1;
  const double height = rc_text_height(style, width, 1, dot->name);
  for (guint i = 0; i < STEPS * G_N_ELEMENTS(places); ++i) {
    const guint place = i % G_N_ELEMENTS(places);
    find_places(p, dot, width, height, i / G_N_ELEMENTS(places), places);
    if (is_clear(p, places[place])) {
      rc_draw_pen(p->cairo, 1, 1); // lines end beside the letters
      cairo_rectangle(p->cairo, places[place].x - 1, places[place].y, width + 2, height);
      cairo_fill(p->cairo);
      rc_draw_text(p->cairo, style, RC_ALIGN_LEFT, places[place].x, places[place].y, width, 1, dot->name);
      g_array_append_val(p->kept, places[place]);
      return;
    }
  }
}

// Of the answers, or of the others.
static void
name_dots(const Plot *p, gboolean answers)
{
  for (guint i = 0; i < p->chart->n_dots; ++i) {
    const RcSizeDot *dot = &p->chart->dots[i];
    if (dot->name && dot->answer == answers) {
      name_dot(p, dot);
    }
  }
}

static void
draw_dots(const Plot *p)
{
  for (guint i = 0; i < p->chart->n_dots; ++i) {
    const RcSizeDot *dot = &p->chart->dots[i];
    const double radius = dot->answer ? ring_radius : dot_radius;
    const RcBox box = { x_of(p, dot->buttons) - radius, y_of(p, dot->share) - radius, 2 * radius, 2 * radius };
    draw_dot(p, dot);
    g_array_append_val(p->kept, box);
  }
  name_dots(p, TRUE);
  name_dots(p, FALSE);
}

void
rc_draw_sizes(cairo_t *cairo, RcBox box, const RcSizeChart *chart)
{
  Plot p = { .cairo = cairo, .chart = chart, .many = 2, .kept = g_array_new(FALSE, FALSE, sizeof(RcBox)) };
  p.plot = (RcBox){ box.x + axis_width, box.y + headroom + label_step, box.width - axis_width - label_gap - label_width,
                    box.height - headroom - label_step - axis_height };
  find_scales(&p);
  rc_draw_text(cairo, RC_TEXT_NOTE, RC_ALIGN_LEFT, box.x, box.y, box.width, 1, chart->what);
  draw_shares(&p);
  draw_buttons(&p);
  draw_target(&p);
  for (guint i = 0; i < chart->n_lines; ++i) {
    draw_line(&p, &chart->lines[i]);
  }
  name_lines(&p);
  draw_dots(&p);
  g_array_unref(p.kept);
}
