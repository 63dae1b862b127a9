// Copyright 2026 the rowcall developers
// SPDX-License-Identifier: MIT

#include "rowcall/draw.h"

#include <string.h>

// In mm on the instrument, before the figure is scaled to its box.
static const double button_radius = 6;
static const double side_mm = 34;   // row names left
static const double totals_mm = 22; // row totals right, column totals below

typedef struct {
  cairo_t *cairo;
  RcBox box;
  const RcLayout *layout;
  const RcUse *use;
  double scale; // points a mm
} Keyboard;

static double
board_width(const RcLayout *layout)
{
  return (layout->columns->len - 1) * layout->column_mm + (layout->rows->len - 1) * layout->slant_mm +
         2 * button_radius;
}

static double
board_height(const RcLayout *layout)
{
  return (layout->rows->len - 1) * layout->row_mm + 2 * button_radius;
}

static double
figure_scale(const RcLayout *layout, double width)
{
  const double natural = 72 / 25.4; // never larger than the instrument
  return MIN(width / (side_mm + board_width(layout) + totals_mm), natural);
}

double
rc_keyboard_height(const RcLayout *layout, double width, gboolean totals)
{
  return (board_height(layout) + (totals ? totals_mm : 0)) * figure_scale(layout, width);
}

static double
button_x(const Keyboard *k, const RcButton *button)
{
  return k->box.x + (side_mm + button_radius + button->x) * k->scale;
}

static double
button_y(const Keyboard *k, const RcButton *button)
{
  return k->box.y + (button_radius + button->y) * k->scale;
}

// Players find their place by these three, which are dimpled or rough.
static gboolean
is_marked(const Keyboard *k, const RcButton *button)
{
  const RcNote column = rc_button_column(k->layout, button);
  return !strcmp(rc_button_row(k->layout, button), "fundamental") && (column == 0 || column == 4 || column == -4);
}

static void
draw_outline(const Keyboard *k, const RcButton *button, double shade)
{
  const double x = button_x(k, button);
  const double y = button_y(k, button);
  cairo_new_path(k->cairo);
  cairo_arc(k->cairo, x, y, button_radius * k->scale, 0, 2 * G_PI);
  if (shade >= 0) {
    rc_shade(k->cairo, shade);
    cairo_fill_preserve(k->cairo);
  }
  cairo_set_source_rgb(k->cairo, 0.35, 0.35, 0.35);
  cairo_set_line_width(k->cairo, 0.5);
  cairo_stroke(k->cairo);
  if (is_marked(k, button)) {
    cairo_arc(k->cairo, x, y, (button_radius + 0.9) * k->scale, 0, 2 * G_PI);
    cairo_stroke(k->cairo);
  }
}

static void
format_percent(char *text, gsize size, RcTicks part, RcTicks whole)
{
  const gint64 tenths = whole ? (part * 1000 + whole / 2) / whole : 0;
  if (part && !tenths) {
    g_snprintf(text, size, "<0.1");
  } else if (tenths < 100) {
    g_snprintf(text, size, "%d.%d", (int)(tenths / 10), (int)(tenths % 10));
  } else {
    g_snprintf(text, size, "%d", (int)((tenths + 5) / 10));
  }
}

static void
draw_button(const Keyboard *k, guint index)
{
  const RcButton *button = rc_layout_button(k->layout, index);
  const RcTicks held = k->use ? k->use->buttons[index] : 0;
  const double shade = held ? 0.06 + 0.94 * (double)held / (double)k->use->most : -1;
  const double radius = button_radius * k->scale;
  char *name = rc_button_label(button, RC_SIGNS_UNICODE);
  draw_outline(k, button, shade);
  rc_draw_label(k->cairo, radius * 0.74, button_x(k, button), button_y(k, button) - (held ? radius * 0.28 : 0),
                radius * 1.6, shade, name);
  if (held) {
    char percent[16];
    format_percent(percent, sizeof percent, held, k->use->played);
    rc_draw_label(k->cairo, radius * 0.6, button_x(k, button), button_y(k, button) + radius * 0.42, radius * 1.5, shade,
                  percent);
  }
  g_free(name);
}

static RcTicks
sum_row(const Keyboard *k, guint row)
{
  RcTicks sum = 0;
  for (guint i = 0; i < k->layout->buttons->len; ++i) {
    sum += rc_layout_button(k->layout, i)->row == row ? k->use->buttons[i] : 0;
  }
  return sum;
}

static RcTicks
sum_column(const Keyboard *k, guint column)
{
  RcTicks sum = 0;
  for (guint i = 0; i < k->layout->buttons->len; ++i) {
    sum += rc_layout_button(k->layout, i)->column == column ? k->use->buttons[i] : 0;
  }
  return sum;
}

static void
draw_row_names(const Keyboard *k)
{
  for (guint row = 0; row < k->layout->rows->len; ++row) {
    const double y = k->box.y + (button_radius + row * k->layout->row_mm) * k->scale;
    const char *name = g_ptr_array_index(k->layout->rows, row);
    rc_draw_line(k->cairo, RC_TEXT_NOTE, RC_ALIGN_LEFT, k->box.x, y - 5,
                 side_mm * k->scale + row * k->layout->slant_mm * k->scale, name);
  }
}

static RcTicks
sum_all(const Keyboard *k)
{
  RcTicks sum = 0;
  for (guint row = 0; row < k->layout->rows->len; ++row) {
    sum += sum_row(k, row);
  }
  return sum;
}

// Totals are shares of all the time that buttons are held, so rows, and columns, add up to 100 %.
static void
draw_total(const Keyboard *k, RcTicks part, RcTicks whole, double x, double y)
{
  char text[16];
  format_percent(text, sizeof text, part, whole);
  if (part) {
    rc_draw_label(k->cairo, 7.5, x, y, totals_mm * k->scale, 0, text);
  } else {
    rc_draw_label(k->cairo, 7.5, x, y, totals_mm * k->scale, 0, "–");
  }
}

static void
draw_totals(const Keyboard *k)
{
  const RcTicks all = sum_all(k);
  const guint last_column = k->layout->columns->len - 1;
  const guint last_row = k->layout->rows->len - 1;
  for (guint i = 0; i < k->layout->buttons->len; ++i) {
    const RcButton *button = rc_layout_button(k->layout, i);
    if (button->column == last_column) {
      draw_total(k, sum_row(k, button->row), all, button_x(k, button) + (button_radius + totals_mm / 2) * k->scale,
                 button_y(k, button));
    }
    if (button->row == last_row) {
      draw_total(k, sum_column(k, button->column), all, button_x(k, button),
                 button_y(k, button) + (button_radius + totals_mm / 3) * k->scale);
    }
  }
}

void
rc_draw_keyboard(cairo_t *cairo, RcBox box, const RcLayout *layout, const RcUse *use)
{
  Keyboard k = { cairo, box, layout, use, figure_scale(layout, box.width) };
  draw_row_names(&k);
  for (guint i = 0; i < layout->buttons->len; ++i) {
    draw_button(&k, i);
  }
  if (use) {
    draw_totals(&k);
  }
}
