// Copyright 2026 the rowcall developers
// SPDX-License-Identifier: MIT

#include "rowcall/draw.h"

// In points.
static const double axis_width = 22;  // widths left
static const double axis_height = 22; // names of columns below
static const double head_gap = 4;

typedef struct {
  cairo_t *cairo;
  const RcLandscape *land;
  double x; // of the cells
  double y;
  double width; // of one cell
  double height;
} Grid;

guint
rc_landscape_index(guint columns, guint first, guint width)
{
  return (width - 1) * columns - (width - 1) * (width - 2) / 2 + first;
}

static double
share_of(const RcLandscape *land, guint first, guint width)
{
  return land->shares[rc_landscape_index(land->columns, first, width)];
}

static double
cell_x(const Grid *g, guint first)
{
  return g->x + first * g->width;
}

// Narrow keyboards lie below, wide ones above.
static double
cell_y(const Grid *g, guint width)
{
  return g->y + (g->land->columns - width) * g->height;
}

static void
draw_cells(const Grid *g)
{
  for (guint width = 1; width <= g->land->columns; ++width) {
    for (guint first = 0; first + width <= g->land->columns; ++first) {
      rc_shade(g->cairo, share_of(g->land, first, width));
      cairo_rectangle(g->cairo, cell_x(g, first), cell_y(g, width), g->width - 0.5, g->height - 0.5);
      cairo_fill(g->cairo);
    }
  }
}

// The least width that reaches the target from a column on, 0 for none.
static guint
least_width(const RcLandscape *land, guint first)
{
  for (guint width = 1; first + width <= land->columns; ++width) {
    if (share_of(land, first, width) >= land->target) {
      return width;
    }
  }
  return 0;
}

// Black with a white edge, to be seen on every shade.
static void
stroke_cased(cairo_t *cairo, double edge, double width)
{
  cairo_set_source_rgb(cairo, 1, 1, 1);
  cairo_set_line_width(cairo, edge);
  cairo_stroke_preserve(cairo);
  cairo_set_source_rgb(cairo, 0, 0, 0);
  cairo_set_line_width(cairo, width);
  cairo_stroke(cairo);
}

// A line under the cells that reach the target, black within white so that it shows on every shade.
static void
draw_frontier(const Grid *g)
{
  for (guint first = 0; first < g->land->columns; ++first) {
    const guint width = least_width(g->land, first);
    if (width) {
      const double y = cell_y(g, width) + g->height - 0.25;
      cairo_move_to(g->cairo, cell_x(g, first) - 0.25, y);
      cairo_line_to(g->cairo, cell_x(g, first) + g->width - 0.25, y);
    }
  }
  stroke_cased(g->cairo, 3.2, 1.6);
}

// From a framed cell to its name beyond the widest range.
static void
draw_leader(const Grid *g, double from, double to, double y)
{
  cairo_set_source_rgb(g->cairo, 1, 1, 1);
  cairo_set_line_width(g->cairo, 0.7);
  cairo_move_to(g->cairo, from, y);
  cairo_line_to(g->cairo, to, y);
  cairo_stroke(g->cairo);
}

static void
draw_marks(const Grid *g)
{
  for (guint i = 0; i < g->land->n_marks; ++i) {
    const RcLandscapeMark *mark = &g->land->marks[i];
    const double x = cell_x(g, mark->first);
    const double y = cell_y(g, mark->width);
    const double label_x = cell_x(g, g->land->columns - mark->width + 1) + 3;
    draw_leader(g, x + g->width, label_x, y + g->height / 2);
    cairo_rectangle(g->cairo, x - 0.5, y - 0.5, g->width + 0.5, g->height + 0.5);
    stroke_cased(g->cairo, 2.4, 1);
    rc_draw_text(g->cairo, RC_TEXT_NOTE, RC_ALIGN_LEFT, label_x, y + g->height / 2 - 5, 60, 1, mark->label);
  }
}

static void
draw_axes(const Grid *g)
{
  enum { EVERY = 4 };
  const double bottom = g->y + g->land->columns * g->height;
  char number[8];
  for (guint width = EVERY; width <= g->land->columns; width += EVERY) {
    g_snprintf(number, sizeof number, "%u", width);
    rc_draw_label(g->cairo, 7.5, g->x - axis_width / 2, cell_y(g, width) + g->height / 2, axis_width, -1, number);
  }
  for (guint first = 1; first < g->land->columns; first += EVERY) {
    rc_draw_label(g->cairo, 7.5, cell_x(g, first) + g->width / 2, bottom + 7, EVERY * g->width, -1,
                  g->land->column_names[first]);
  }
}

void
rc_draw_landscape(cairo_t *cairo, RcBox box, const RcLandscape *land)
{
  double y = box.y;
  y += rc_draw_text(cairo, RC_TEXT_STRONG, RC_ALIGN_LEFT, box.x, y, box.width, 1, land->title);
  y += rc_draw_text(cairo, RC_TEXT_NOTE, RC_ALIGN_LEFT, box.x, y, box.width, 1, land->note) + head_gap;
  const double width = (box.width - axis_width) / land->columns;
  const double height = (box.y + box.height - axis_height - y) / land->columns;
  const Grid grid = { cairo, land, box.x + axis_width, y, width, height };
  draw_cells(&grid);
  draw_frontier(&grid);
  draw_marks(&grid);
  draw_axes(&grid);
}
