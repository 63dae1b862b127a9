// Copyright 2026 the rowcall developers
// SPDX-License-Identifier: MIT

// The plain lines that all figures are made of.

#ifndef ROWCALL_SRC_DRAW_LINES_H
#define ROWCALL_SRC_DRAW_LINES_H

#include <cairo.h>

/// Sets what lines are drawn with: a grey from 0, black, to 1, and a width in points.
void rc_draw_pen(cairo_t *cairo, double grey, double width);

/// Draws a line between two points.
void rc_draw_line(cairo_t *cairo, double x0, double y0, double x1, double y1);

/// Draws the cross of a dead button in a circle of @p radius.
void rc_draw_cross(cairo_t *cairo, double x, double y, double radius);

#endif
