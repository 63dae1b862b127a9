// Copyright 2026 the rowcall developers
// SPDX-License-Identifier: MIT

#include "draw/lines.h"

void
rc_draw_pen(cairo_t *cairo, double grey, double width)
{
  cairo_set_source_rgb(cairo, grey, grey, grey);
  cairo_set_line_width(cairo, width);
}

void
rc_draw_line(cairo_t *cairo, double x0, double y0, double x1, double y1)
{
  cairo_move_to(cairo, x0, y0);
  cairo_line_to(cairo, x1, y1);
  cairo_stroke(cairo);
}

void
rc_draw_cross(cairo_t *cairo, double x, double y, double radius)
{
  const double arm = radius * 0.7071; // half the side of the square within
  cairo_move_to(cairo, x - arm, y - arm);
  cairo_line_to(cairo, x + arm, y + arm);
  cairo_move_to(cairo, x - arm, y + arm);
  cairo_line_to(cairo, x + arm, y - arm);
  cairo_stroke(cairo);
}
