// Copyright 2026 the rowcall developers
// SPDX-License-Identifier: MIT

#include "rowcall/draw.h"

#include <math.h>
#include <string.h>

// In mm on the instrument, before the figure is scaled to its box.
static const double usual_radius = 6;

// In points.
static const double names_width = 58;   // row names left
static const double totals_width = 42;  // row totals right
static const double totals_height = 18; // column totals below
static const double points_a_mm = 72 / 25.4;

static const double least_shade = 0.06; // of a button that is used at all

typedef struct {
  cairo_t *cairo;
  RcBox box;
  const RcLayout *layout;
  const RcUse *use;
  double left;   // x of its leftmost button's middle, in points
  double from;   // and on the instrument, in mm
  double span;   // from it to its rightmost button's middle, in mm
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
columns_span(const RcLayout *layout, guint columns)
{
  return (columns - 1) * layout->column_mm + (layout->rows->len - 1) * layout->slant_mm;
}

static double
columns_width(const RcLayout *layout, guint columns)
{
  return columns_span(layout, columns) + 2 * radius_mm(layout);
}

static double
board_width(const RcLayout *layout)
{
  return columns_width(layout, layout->columns->len);
}

static double
board_height(const RcLayout *layout)
{
  return (layout->rows->len - 1) * layout->row_mm + 2 * radius_mm(layout);
}

static double
scale_in_width(const RcLayout *layout, double width, gboolean totals)
{
  const double room = width - names_width - (totals ? totals_width : 0);
  return MIN(room / board_width(layout), points_a_mm);
}

double
rc_keyboard_width(const RcLayout *layout, gboolean totals)
{
  return names_width + board_width(layout) * points_a_mm + (totals ? totals_width : 0);
}

double
rc_keyboard_height(const RcLayout *layout, double width, gboolean totals)
{
  return board_height(layout) * scale_in_width(layout, width, totals) + (totals ? totals_height : 0);
}

static double
button_x(const Keyboard *k, const RcButton *button)
{
  const double along = button->x - k->from;
  return k->left + (k->layout->mirrored ? k->span - along : along) * k->scale;
}

static double
button_y(const Keyboard *k, const RcButton *button)
{
  return k->box.y + k->radius + button->y * k->scale;
}

// ------------------------------------------------------------------------------------------------------- one button

// As rc_button_label(), but short enough for a small circle.
static char *
short_label(const RcSound *sound)
{
  const char *root = rc_note_name(sound->root, RC_SIGNS_UNICODE);
  switch (sound->kind) {
  case RC_SOUND_DIMINISHED:
    return g_strconcat(root, "°", NULL);
  case RC_SOUND_AUGMENTED:
    return g_strconcat(root, "+", NULL);
  default:
    return rc_sound_label(sound, RC_SIGNS_UNICODE);
  }
}

static void
draw_name(const Keyboard *k, const RcSound *sound, double size, double x, double y, double width, double shade)
{
  char *name = short_label(sound);
  rc_draw_label(k->cairo, k->radius * size, x, y, k->radius * width, shade, *name ? name : "–");
  g_free(name);
}

// Of the button at `index`: two, that on push above that on pull, where they differ. Sizes are in radiuses.
static void
draw_names(const Keyboard *k, guint index, double size, double up, double width, double shade)
{
  const RcButton *button = rc_layout_button(k->layout, index);
  const double x = button_x(k, button);
  const double y = button_y(k, button) - k->radius * up;
  if (rc_layout_entries_at(k->layout, index) == 2) {
    const double apart = k->radius * size * 0.62;
    draw_name(k, &button[0].sound, size * 0.9, x, y - apart, width * 0.9, shade);
    draw_name(k, &button[1].sound, size * 0.9, x, y + apart, width * 0.9, shade);
  } else if (button->sound.kind != RC_SOUND_DEAD) {
    draw_name(k, &button->sound, size, x, y, width, shade);
  }
}

static void
draw_cross(const Keyboard *k, double x, double y)
{
  const double arm = k->radius * 0.7071;
  cairo_move_to(k->cairo, x - arm, y - arm);
  cairo_line_to(k->cairo, x + arm, y + arm);
  cairo_move_to(k->cairo, x - arm, y + arm);
  cairo_line_to(k->cairo, x + arm, y - arm);
  cairo_stroke(k->cairo);
}

static void
draw_outline(const Keyboard *k, const RcButton *button, double shade)
{
  const double x = button_x(k, button);
  const double y = button_y(k, button);
  cairo_new_path(k->cairo);
  cairo_arc(k->cairo, x, y, k->radius, 0, 2 * G_PI);
  if (shade >= 0) {
    rc_shade(k->cairo, shade);
    cairo_fill_preserve(k->cairo);
  }
  cairo_set_source_rgb(k->cairo, 0.35, 0.35, 0.35);
  cairo_set_line_width(k->cairo, 0.5);
  cairo_stroke(k->cairo);
  if (rc_button_marked(k->layout, button)) {
    cairo_arc(k->cairo, x, y, k->radius * 1.1, 0, 2 * G_PI);
    cairo_stroke(k->cairo);
  }
  if (button->sound.kind == RC_SOUND_DEAD) {
    draw_cross(k, x, y);
  }
}

// Rounded once and from the exact share, so that these numbers agree with those in sentences.
static void
format_percent(char *text, gsize size, RcTicks part, RcTicks whole)
{
  const double percent = whole ? 100.0 * (double)part / (double)whole : 0;
  const int tenths = (int)(percent * 10 + 0.5);
  if (part && !tenths) {
    g_snprintf(text, size, "<0.1");
  } else if (tenths < 100) {
    g_snprintf(text, size, "%d.%d", tenths / 10, tenths % 10);
  } else {
    g_snprintf(text, size, "%d", (int)(percent + 0.5));
  }
}

static void
draw_button(const Keyboard *k, guint index)
{
  const RcButton *button = rc_layout_button(k->layout, index);
  const gboolean two = rc_layout_entries_at(k->layout, index) == 2;
  const RcTicks held = !k->use ? 0 : k->use->buttons[index] + (two ? k->use->buttons[index + 1] : 0);
  const double shade = held ? least_shade + (1 - least_shade) * (double)held / (double)k->use->most : -1;
  const double x = button_x(k, button);
  const double y = button_y(k, button);
  draw_outline(k, button, shade);
  draw_names(k, index, two && held ? 0.54 : 0.78, held ? (two ? 0.34 : 0.28) : 0, 1.65, shade);
  if (held) {
    char percent[16];
    format_percent(percent, sizeof percent, held, k->use->played + k->use->silent);
    rc_draw_label(k->cairo, k->radius * (two ? 0.5 : 0.6), x, y + k->radius * (two ? 0.58 : 0.42), k->radius * 1.5,
                  shade, percent);
  }
}

// ------------------------------------------------------------------------------------------------- around the buttons

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

static RcTicks
sum_all(const Keyboard *k)
{
  RcTicks sum = 0;
  for (guint row = 0; row < k->layout->rows->len; ++row) {
    sum += sum_row(k, row);
  }
  return sum;
}

static void
draw_row_names(const Keyboard *k)
{
  for (guint row = 0; row < k->layout->rows->len; ++row) {
    const double y = k->box.y + k->radius + row * k->layout->row_mm * k->scale;
    const char *name = g_ptr_array_index(k->layout->rows, row);
    rc_draw_text(k->cairo, RC_TEXT_NOTE, RC_ALIGN_LEFT, k->box.x, y - 5, names_width, 1, name);
  }
}

// Totals are shares of all the time that buttons are held, so rows, and columns, add up to 100 %.
static void
draw_total(const Keyboard *k, RcTicks part, RcTicks whole, double x, double y, double width)
{
  char percent[16] = "–";
  if (part) {
    format_percent(percent, sizeof percent, part, whole);
  }
  char *text = g_strconcat(percent, part ? " %" : "", NULL);
  rc_draw_label(k->cairo, MIN(7.5, k->layout->column_mm * k->scale * 0.26), x, y, width, -1, text);
  g_free(text);
}

static void
draw_totals(const Keyboard *k)
{
  const RcTicks all = sum_all(k);
  const guint last_column = rc_layout_column_at(k->layout, k->layout->columns->len - 1);
  const guint last_row = k->layout->rows->len - 1;
  for (guint i = 0; i < k->layout->buttons->len; i += rc_layout_entries_at(k->layout, i)) {
    const RcButton *button = rc_layout_button(k->layout, i);
    const double x = button_x(k, button);
    const double y = button_y(k, button);
    if (button->column == last_column) {
      draw_total(k, sum_row(k, button->row), all, x + k->radius + totals_width * 0.55, y, totals_width * 0.8);
    }
    if (button->row == last_row) {
      draw_total(k, sum_column(k, button->column), all, x, y + k->radius + totals_height * 0.6,
                 k->layout->column_mm * k->scale * 0.9);
    }
  }
}

void
rc_draw_keyboard(cairo_t *cairo, RcBox box, const RcLayout *layout, const RcUse *use)
{
  const double room = box.height - (use ? totals_height : 0);
  const double scale = MIN(scale_in_width(layout, box.width, use != NULL), room / board_height(layout));
  const double radius = radius_mm(layout) * scale;
  const double span = columns_span(layout, layout->columns->len);
  const Keyboard k = { cairo, box, layout, use, box.x + names_width + radius, 0, span, scale, radius };
  draw_row_names(&k);
  for (guint i = 0; i < layout->buttons->len; i += rc_layout_entries_at(layout, i)) {
    draw_button(&k, i);
  }
  if (use) {
    draw_totals(&k);
  }
}

// --------------------------------------------------------------------------------------------------------- its scale

double
rc_draw_use_scale(cairo_t *cairo, double x, double y, const RcUse *use)
{
  char most[16];
  char half[16];
  const RcTicks all = use->played + use->silent;
  format_percent(most, sizeof most, use->most, all);
  format_percent(half, sizeof half, use->most / 2, all);
  char *high = g_strconcat(most, " %", NULL);
  const double height = rc_draw_scale(cairo, x, y, least_shade, "0", half, high,
                                      "share of the playing time the button is held; white: never");
  g_free(high);
  return height;
}
