// Copyright 2026 the rowcall developers
// SPDX-License-Identifier: MIT

#include "rowcall/draw.h"

#include <math.h>

#include "draw/lines.h"

// In mm on the instrument, before the figure is scaled to its box.
static const double usual_radius = 6;

// In points.
static const double names_width = 58; // row names left
static const double points_a_mm = 72 / 25.4;

typedef struct {
  cairo_t *cairo;
  RcBox box;
  const RcLayout *layout;
  double left;   // x of its leftmost button's middle, in points
  double span;   // from it to the middle of the rightmost, in mm on the instrument
  double scale;  // points a mm
  double radius; // of a button, in points
} Keyboard;

// Of a button in mm, smaller where they stand closer than on an instrument.
static double
radius_mm(const RcLayout *layout)
{
  double nearest = layout->column_mm;
  for (guint i = 0; i < layout->columns->len && layout->rows->len > 1; ++i) {
    nearest = MIN(nearest, hypot(layout->row_mm, layout->slant_mm - i * layout->column_mm));
  }
  return MIN(usual_radius, nearest * 0.48);
}

// Between the middles of the outermost buttons.
static double
span_mm(const RcLayout *layout)
{
  return (layout->columns->len - 1) * layout->column_mm + (layout->rows->len - 1) * layout->slant_mm;
}

static double
board_width(const RcLayout *layout)
{
  return span_mm(layout) + 2 * radius_mm(layout);
}

static double
board_height(const RcLayout *layout)
{
  return (layout->rows->len - 1) * layout->row_mm + 2 * radius_mm(layout);
}

static double
scale_in_width(const RcLayout *layout, double width)
{
  return MIN((width - names_width) / board_width(layout), points_a_mm);
}

double
rc_keyboard_width(const RcLayout *layout)
{
  return names_width + board_width(layout) * points_a_mm;
}

double
rc_keyboard_height(const RcLayout *layout, double width)
{
  return board_height(layout) * scale_in_width(layout, width);
}

static double
button_x(const Keyboard *k, const RcButton *button)
{
  return k->left + (k->layout->mirrored ? k->span - button->x : button->x) * k->scale;
}

static double
button_y(const Keyboard *k, const RcButton *button)
{
  return k->box.y + k->radius + button->y * k->scale;
}

// ------------------------------------------------------------------------------------------------------- one button

static void
draw_name(const Keyboard *k, const RcSound *sound, double size, double x, double y, double width)
{
  char *name = rc_drawn_name(sound);
  rc_draw_label(k->cairo, k->radius * size, x, y, k->radius * width, -1, *name ? name : "–");
  g_free(name);
}

// Of the button at `index`: two, that on push above that on pull, where they differ.
static void
draw_names(const Keyboard *k, guint index)
{
  const double size = 0.72; // in radiuses, as are the following
  const double width = 1.6;
  const RcButton *button = rc_layout_button(k->layout, index);
  const double x = button_x(k, button);
  const double y = button_y(k, button);
  if (rc_layout_entries_at(k->layout, index) == 2) {
    const double apart = k->radius * size * 0.62;
    draw_name(k, &button[0].sound, size * 0.9, x, y - apart, width * 0.9);
    draw_name(k, &button[1].sound, size * 0.9, x, y + apart, width * 0.9);
  } else if (button->sound.kind != RC_SOUND_DEAD) {
    draw_name(k, &button->sound, size, x, y, width);
  }
}

static void
draw_outline(const Keyboard *k, const RcButton *button)
{
  const double x = button_x(k, button);
  const double y = button_y(k, button);
  cairo_new_path(k->cairo);
  cairo_arc(k->cairo, x, y, k->radius, 0, 2 * G_PI);
  cairo_set_source_rgb(k->cairo, 0.35, 0.35, 0.35);
  cairo_set_line_width(k->cairo, 0.5);
  cairo_stroke(k->cairo);
  if (rc_button_marked(k->layout, button)) {
    cairo_arc(k->cairo, x, y, k->radius * 1.1, 0, 2 * G_PI);
    cairo_stroke(k->cairo);
  }
  if (button->sound.kind == RC_SOUND_DEAD) {
    rc_draw_cross(k->cairo, x, y, k->radius);
  }
}

static void
draw_button(const Keyboard *k, guint index)
{
  draw_outline(k, rc_layout_button(k->layout, index));
  draw_names(k, index);
}

// ------------------------------------------------------------------------------------------------- around the buttons

static void
draw_row_names(const Keyboard *k)
{
  for (guint row = 0; row < k->layout->rows->len; ++row) {
    const double y = k->box.y + k->radius + row * k->layout->row_mm * k->scale;
    const char *name = g_ptr_array_index(k->layout->rows, row);
    rc_draw_text(k->cairo, RC_TEXT_NOTE, RC_ALIGN_LEFT, k->box.x, y - 5, names_width, 1, name);
  }
}

void
rc_draw_keyboard(cairo_t *cairo, RcBox box, const RcLayout *layout)
{
  const double scale = MIN(scale_in_width(layout, box.width), box.height / board_height(layout));
  const double radius = radius_mm(layout) * scale;
  const Keyboard k = { cairo, box, layout, box.x + names_width + radius, span_mm(layout), scale, radius };
  draw_row_names(&k);
  for (guint i = 0; i < layout->buttons->len; i += rc_layout_entries_at(layout, i)) {
    draw_button(&k, i);
  }
}
