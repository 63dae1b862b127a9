// Copyright 2026 the rowcall developers
// SPDX-License-Identifier: MIT

// A board with the use of its buttons. Buttons are equally large on every board, so what is drawn is the shape of the
// instrument, not its size: the two nearest buttons of each board are equally far apart.

#include "rowcall/draw.h"

#include <math.h>

#include "draw/lines.h"

// In points.
static const double button_width = 8.5 / 25.4 * 72;
static const double apart = 1.04;     // the nearest buttons' middles, in widths
static const double half_height = 21; // of a button that differs on push and on pull
static const double side = 0.85;      // of the square of a difference that is negative, in widths
static const double name_points = 8;
static const double percent_points = 6.5;
static const double label_width = 88;  // names and shares of rows
static const double half_width = 22;   // and the words for their halves
static const double least_width = 130; // of the arrows
static const double bar_height = 6;
static const double head_height = 15; // the arrows
static const double column_full = 48; // the height of a column's bar of 100 percent
static const double column_bar = 9;   // its width
static const double letter_height = 11;
static const double gap = 6;

static const double outline = 0.35;     // greys
static const double faint = 96.0 / 255; // as dark as text has to be on white
static const double pale = 0.75;

typedef struct {
  cairo_t *cairo;
  const RcHeatBoard *board;
  const RcLayout *layout;
  gboolean halves;   // buttons have an upper half for push and a lower one for pull
  double from;       // x of the whole figure
  double left;       // and of the middle of the leftmost button
  double top;        // y of the middle of the first row
  double along;      // points a mm along the board
  double across;     // and away from the bellows
  double row_full;   // the width of a row's bar of 100 percent
  double column_100; // the height of a column's
  double up;         // the height of the highest of them
  double down;       // and the depth of the deepest with its figure
} Board;

// ---------------------------------------------------------------------------------------------------------- geometry

static double
nearest_mm(const RcLayout *layout)
{
  double nearest = layout->columns->len > 1 || layout->rows->len < 2 ? layout->column_mm : layout->row_mm;
  for (guint i = 0; i < layout->columns->len && layout->rows->len > 1; ++i) {
    nearest = MIN(nearest, hypot(layout->row_mm, layout->slant_mm - i * layout->column_mm));
  }
  return nearest;
}

static double
span_mm(const RcLayout *layout)
{
  return (layout->columns->len - 1) * layout->column_mm + (layout->rows->len - 1) * layout->slant_mm;
}

static double
button_height(const Board *b)
{
  return b->halves ? 2 * half_height : button_width;
}

// The largest share of a sign, without it; nothing is said of what is no number.
static double
most_of(const double *shares, guint n, int sign)
{
  double most = 0;
  for (guint i = 0; i < n; ++i) {
    most = shares[i] * sign > most ? shares[i] * sign : most;
  }
  return most;
}

// Differences are drawn from the middle, and are small: their scale is as large as it can be.
static void
set_bars(Board *b)
{
  enum { DIFFERENCE = 14 }; // points, the height of the largest column's
  const RcHeatBoard *board = b->board;
  const guint rows = b->layout->rows->len;
  const guint columns = b->layout->columns->len;
  const double width = label_width - 2 * gap;
  const double up = most_of(board->columns, columns, 1);
  const double down = most_of(board->columns, columns, -1);
  const double most_row = MAX(most_of(board->rows, rows, 1), most_of(board->rows, rows, -1));
  b->row_full = board->differences ? width / 2 / MAX(most_row, 0.01) : width;
  b->column_100 = board->differences ? DIFFERENCE / MAX(MAX(up, down), 0.01) : column_full;
  b->up = up * b->column_100;
  b->down = down > 0 ? down * b->column_100 + percent_points + 2 : 0;
}

static Board
place(cairo_t *cairo, double x, double y, const RcHeatBoard *board)
{
  const RcLayout *layout = board->layout;
  Board b = { .cairo = cairo, .board = board, .layout = layout, .halves = rc_layout_has_bellows(layout) };
  b.along = button_width * apart / nearest_mm(layout);
  b.across = b.halves ? MAX(b.along, (button_height(&b) + 3) / layout->row_mm) : b.along;
  b.from = x;
  b.left = x + label_width + (b.halves ? half_width : 0) + button_width / 2;
  b.top = y + head_height + button_height(&b) / 2;
  set_bars(&b);
  return b;
}

static double
bottom_of(const Board *b)
{
  return b->top + (b->layout->rows->len - 1) * b->layout->row_mm * b->across + button_height(b) / 2;
}

// Where the bars of columns begin; those of negative differences hang below it.
static double
columns_base(const Board *b)
{
  return bottom_of(b) + 2 + percent_points + 2 + b->up;
}

static double
foot_of(const Board *b)
{
  return columns_base(b) + b->down + letter_height;
}

// Where the arrows end.
static double
right_of(const Board *b)
{
  return b->left - button_width / 2 + MAX(span_mm(b->layout) * b->along + button_width, least_width);
}

static double
button_x(const Board *b, const RcButton *button)
{
  return b->left + (b->layout->mirrored ? span_mm(b->layout) - button->x : button->x) * b->along;
}

static double
button_y(const Board *b, const RcButton *button)
{
  return b->top + button->y * b->across;
}

// ----------------------------------------------------------------------------------------------------------- figures

// Whole percent, with a sign where it is a difference.
static void
format_percent(char text[8], double share, gboolean signs)
{
  const char *sign = !signs ? "" : share < 0 ? "−" : "+";
  const double percent = fabs(share) * 100;
  if (percent == 0) {
    g_strlcpy(text, "–", 8);
  } else if (percent < 1) {
    g_strlcpy(text, signs ? sign : "<1", 8);
  } else if (percent < 100 && percent + 0.5 >= 100) {
    g_snprintf(text, 8, "%s>99", sign);
  } else {
    g_snprintf(text, 8, "%s%d", sign, (int)(percent + 0.5));
  }
}

static double
ink_on(double share)
{
  return rc_use_classes[rc_use_class(share)].ink / 255.0;
}

// What is written on a button; a dead one keeps what its row would have it sound.
static char *
written_on(const Board *b, const RcButton *button)
{
  const RcSound sound = rc_button_meant(b->layout, button);
  return sound.kind == RC_SOUND_DEAD ? g_strdup(rc_note_name(sound.root, RC_SIGNS_UNICODE)) : rc_drawn_name(&sound);
}

// --------------------------------------------------------------------------------------------------------- one button

// A name, and below it the share where there is one.
static void
draw_words(const Board *b, guint index, double x, double y)
{
  const double share = b->board->buttons[index];
  const gboolean counted = share != 0 && !isnan(share);
  const double grey = counted ? ink_on(share) : faint;
  const double width = button_width * 0.97;
  char *name = written_on(b, rc_layout_button(b->layout, index));
  rc_draw_inked(b->cairo, name_points, x, counted ? y - 4.2 : y, width, grey, name);
  if (counted) {
    char percent[8];
    format_percent(percent, share, b->board->differences);
    rc_draw_inked(b->cairo, percent_points, x, y + 4.8, width, grey, percent);
  }
  g_free(name);
}

static void
trace_round(const Board *b, double x, double y, double radius)
{
  const double straight = b->halves ? half_height - button_width / 2 : 0;
  cairo_new_sub_path(b->cairo);
  cairo_arc(b->cairo, x, y - straight, radius, G_PI, 2 * G_PI);
  cairo_arc(b->cairo, x, y + straight, radius, 0, G_PI);
  cairo_close_path(b->cairo);
}

// A difference that is negative is a square, so that its form tells the sign too.
static void
trace_button(const Board *b, double x, double y, double share)
{
  const double width = button_width * side;
  const double height = b->halves ? button_height(b) * 0.94 : width;
  if (share < 0) {
    cairo_rectangle(b->cairo, x - width / 2, y - height / 2, width, height);
  } else {
    trace_round(b, x, y, button_width / 2);
  }
}

// Draws the buttons that are traced, all of one class of use.
static void
draw_traced(const Board *b, guint class)
{
  static const double dashes[] = { 2, 2 };
  const guchar *fill = rc_use_classes[class].fill;
  if (class) {
    cairo_set_source_rgb(b->cairo, fill[0] / 255.0, fill[1] / 255.0, fill[2] / 255.0);
    cairo_fill_preserve(b->cairo);
    rc_draw_pen(b->cairo, outline, 0.5);
    cairo_stroke(b->cairo);
  } else {
    rc_draw_pen(b->cairo, faint, 0.6);
    cairo_set_dash(b->cairo, dashes, G_N_ELEMENTS(dashes), 0);
    cairo_stroke(b->cairo);
    cairo_set_dash(b->cairo, NULL, 0, 0);
  }
}

// The rings around marked buttons.
static void
draw_rings(const Board *b)
{
  for (guint i = 0; i < b->layout->buttons->len && !b->board->differences; i += rc_layout_entries_at(b->layout, i)) {
    const RcButton *button = rc_layout_button(b->layout, i);
    if (rc_button_marked(b->layout, button)) {
      trace_round(b, button_x(b, button), button_y(b, button), button_width * 0.54);
    }
  }
  rc_draw_pen(b->cairo, outline, 0.5);
  cairo_stroke(b->cairo);
}

static void
cross_if_dead(const Board *b, guint index, double y)
{
  const RcButton *button = rc_layout_button(b->layout, index);
  if (button->sound.kind == RC_SOUND_DEAD) {
    rc_draw_pen(b->cairo, pale, 0.8);
    rc_draw_cross(b->cairo, button_x(b, button), y, button_width / 2);
  }
}

// The buttons that sound the same on push and on pull, those of a class of use as one path: a path takes a PDF longer
// than a circle in it.
static void
draw_wholes(const Board *b)
{
  const guint n = b->layout->buttons->len;
  for (guint i = 0; i < n; ++i) {
    if (rc_layout_entries_at(b->layout, i) < 2) {
      cross_if_dead(b, i, button_y(b, rc_layout_button(b->layout, i)));
    }
  }
  for (guint class = 0; class < RC_USE_CLASSES; ++class) {
    for (guint i = 0; i < n; i += rc_layout_entries_at(b->layout, i)) {
      const double share = b->board->buttons[i];
      const RcButton *button = rc_layout_button(b->layout, i);
      if (rc_layout_entries_at(b->layout, i) < 2 && !isnan(share) && rc_use_class(share) == class) {
        trace_button(b, button_x(b, button), button_y(b, button), share);
      }
    }
    draw_traced(b, class);
  }
}

// A half of a button, which has a share of its own.
static void
draw_half(const Board *b, guint index, gboolean lower)
{
  const RcButton *button = rc_layout_button(b->layout, index);
  const double share = b->board->buttons[index];
  const double height = button_height(b);
  const double x = button_x(b, button);
  const double y = button_y(b, button);
  const double middle = lower ? y + half_height / 2 : y - half_height / 2;
  cairo_save(b->cairo);
  cairo_rectangle(b->cairo, x - button_width, lower ? y : y - height, 2 * button_width, height);
  cairo_clip(b->cairo);
  cross_if_dead(b, index, middle);
  if (!isnan(share)) {
    trace_button(b, x, y, share);
    draw_traced(b, rc_use_class(share));
  }
  cairo_restore(b->cairo);
  draw_words(b, index, x, middle);
}

static void
draw_halves(const Board *b, guint index)
{
  const RcButton *button = rc_layout_button(b->layout, index);
  const double x = button_x(b, button);
  const double y = button_y(b, button);
  draw_half(b, index, FALSE);
  draw_half(b, index + 1, TRUE);
  rc_draw_pen(b->cairo, outline, 0.5);
  rc_draw_line(b->cairo, x - button_width / 2, y, x + button_width / 2, y);
}

// What is written on them comes last, since text by itself takes a PDF less time than text between paths.
static void
draw_buttons(const Board *b)
{
  draw_rings(b);
  draw_wholes(b);
  for (guint i = 0; i < b->layout->buttons->len; i += rc_layout_entries_at(b->layout, i)) {
    const RcButton *button = rc_layout_button(b->layout, i);
    if (rc_layout_entries_at(b->layout, i) < 2) {
      draw_words(b, i, button_x(b, button), button_y(b, button));
    } else {
      draw_halves(b, i);
    }
  }
}

// ------------------------------------------------------------------------------------------------- around the buttons

// From `x`, `y` on by `dx`, `dy`.
static void
draw_arrow(cairo_t *cairo, double x, double y, double dx, double dy)
{
  const double head = 0.3;
  cairo_set_source_rgb(cairo, 0, 0, 0);
  cairo_set_line_width(cairo, 0.8);
  cairo_move_to(cairo, x, y);
  cairo_line_to(cairo, x + dx, y + dy);
  cairo_move_to(cairo, x + dx - head * (dx - dy), y + dy - head * (dy + dx));
  cairo_line_to(cairo, x + dx, y + dy);
  cairo_line_to(cairo, x + dx - head * (dx + dy), y + dy - head * (dy - dx));
  cairo_stroke(cairo);
}

// Where the instrument is: the floor on the left, the bellows above, the chin on the right.
static void
draw_arrows(const Board *b)
{
  enum { LENGTH = 12, WORD = 40 };
  const double y = b->top - button_height(b) / 2 - head_height + 6;
  const double from = b->left - button_width / 2;
  const double to = right_of(b);
  const double middle = (from + to) / 2;
  draw_arrow(b->cairo, from + LENGTH, y, -LENGTH, 0);
  rc_draw_text(b->cairo, RC_TEXT_NOTE, RC_ALIGN_LEFT, from + LENGTH + 3, y - 5, WORD, 1, "floor");
  draw_arrow(b->cairo, middle - 18, y + 5, 0, -10);
  rc_draw_text(b->cairo, RC_TEXT_NOTE, RC_ALIGN_LEFT, middle - 12, y - 5, WORD, 1, "bellows");
  draw_arrow(b->cairo, to - LENGTH, y, LENGTH, 0);
  rc_draw_text(b->cairo, RC_TEXT_NOTE, RC_ALIGN_RIGHT, to - LENGTH - 3 - WORD, y - 5, WORD, 1, "chin");
}

static void
draw_bar(const Board *b, double x, double y, double width, double height)
{
  cairo_set_source_rgb(b->cairo, outline, outline, outline);
  cairo_rectangle(b->cairo, x, y, width, height);
  cairo_fill(b->cairo);
}

static void
draw_axis(const Board *b, double x, double y, double dx, double dy)
{
  cairo_set_source_rgb(b->cairo, 0, 0, 0);
  cairo_set_line_width(b->cairo, 0.5);
  cairo_move_to(b->cairo, x, y);
  cairo_line_to(b->cairo, x + dx, y + dy);
  cairo_stroke(b->cairo);
}

// Its name and share, and a bar below them.
static void
draw_row(const Board *b, guint row)
{
  const double share = isnan(b->board->rows[row]) ? 0 : b->board->rows[row];
  const double y = b->top + row * b->layout->row_mm * b->across;
  const double width = label_width - 2 * gap;
  const double axis = b->from + (b->board->differences ? width / 2 : 0);
  char percent[8];
  format_percent(percent, share, b->board->differences);
  char *text = g_strconcat(percent, share != 0 && !b->board->differences ? " %" : "", NULL);
  rc_draw_fitted(b->cairo, name_points, b->from, y - 10, width - 22, g_ptr_array_index(b->layout->rows, row));
  rc_draw_text(b->cairo, RC_TEXT_NOTE, RC_ALIGN_RIGHT, b->from, y - 9.6, width, 1, text);
  draw_bar(b, axis, y + 1.5, share * b->row_full, bar_height);
  draw_axis(b, axis, y, 0, bar_height + 3);
  if (b->halves) {
    const double x = b->from + label_width + half_width / 2 - 3;
    rc_draw_inked(b->cairo, percent_points, x, y - half_height / 2, half_width, 0, "push");
    rc_draw_inked(b->cairo, percent_points, x, y + half_height / 2, half_width, 0, "pull");
  }
  g_free(text);
}

static double
column_share(const Board *b, guint column)
{
  const double share = b->board->columns[column];
  return isnan(share) ? 0 : share;
}

static double
column_x(const Board *b, guint column)
{
  return button_x(b, rc_layout_button(b->layout, rc_layout_entry(b->layout, b->layout->rows->len - 1, column)));
}

static void
draw_column_words(const Board *b, guint column)
{
  const double share = column_share(b, column);
  const double x = column_x(b, column);
  const double away = (percent_points / 2 + 1.5) * (share < 0 ? -1 : 1);
  const double width = b->layout->column_mm * b->along;
  char percent[8];
  format_percent(percent, share, b->board->differences);
  rc_draw_inked(b->cairo, percent_points, x, columns_base(b) - share * b->column_100 - away, width, 0, percent);
  rc_draw_inked(b->cairo, name_points, x, foot_of(b) - letter_height / 2, width, 0,
                rc_note_name(g_array_index(b->layout->columns, RcNote, column), RC_SIGNS_UNICODE));
}

static void
draw_columns(const Board *b)
{
  const guint n = b->layout->columns->len;
  const double shift = (b->layout->rows->len - 1) * b->layout->slant_mm * b->along;
  const double first = b->left + (b->layout->mirrored ? 0 : shift);
  for (guint column = 0; column < n; ++column) {
    const double height = column_share(b, column) * b->column_100;
    draw_bar(b, column_x(b, column) - column_bar / 2, columns_base(b), column_bar, -height);
  }
  for (guint column = 0; column < n; ++column) {
    draw_column_words(b, column);
  }
  draw_axis(b, first - button_width / 2, columns_base(b), (n - 1) * b->layout->column_mm * b->along + button_width, 0);
}

// --------------------------------------------------------------------------------------------------------- the figure

double
rc_heat_board_width(const RcLayout *layout)
{
  const double none[MAX(RC_MAX_ROWS, RC_MAX_COLUMNS)] = { 0 };
  const RcHeatBoard board = { layout, NULL, none, none, FALSE };
  const Board b = place(NULL, 0, 0, &board);
  return right_of(&b) + gap;
}

static double
scale_in(const RcLayout *layout, double width)
{
  return MIN(width / rc_heat_board_width(layout), 1);
}

double
rc_heat_board_height(const RcHeatBoard *board, double width)
{
  const Board b = place(NULL, 0, 0, board);
  return foot_of(&b) * scale_in(board->layout, width);
}

void
rc_draw_heat_board(cairo_t *cairo, double x, double y, double width, const RcHeatBoard *board)
{
  const RcLayout *layout = board->layout;
  const double scale = scale_in(layout, width);
  const Board b = place(cairo, 0, 0, board);
  cairo_save(cairo);
  cairo_translate(cairo, x, y);
  cairo_scale(cairo, scale, scale);
  draw_arrows(&b);
  for (guint row = 0; row < layout->rows->len; ++row) {
    draw_row(&b, row);
  }
  draw_buttons(&b);
  draw_columns(&b);
  cairo_restore(cairo);
}

// ------------------------------------------------------------------------------------------------------- its classes

static void
draw_swatch(cairo_t *cairo, double x, double y, guint class)
{
  static const double dashes[] = { 2, 2 };
  const guchar *fill = rc_use_classes[class].fill;
  const double grey = class ? outline : faint;
  cairo_save(cairo);
  cairo_new_path(cairo);
  cairo_arc(cairo, x, y, 5, 0, 2 * G_PI);
  cairo_set_source_rgb(cairo, fill[0] / 255.0, fill[1] / 255.0, fill[2] / 255.0);
  cairo_fill_preserve(cairo);
  cairo_set_source_rgb(cairo, grey, grey, grey);
  cairo_set_line_width(cairo, 0.6);
  cairo_set_dash(cairo, dashes, class ? 0 : G_N_ELEMENTS(dashes), 0);
  cairo_stroke(cairo);
  cairo_restore(cairo);
}

double
rc_draw_use_classes(cairo_t *cairo, double x, double y)
{
  enum { HEIGHT = 12, LABEL = 60, SPACE = 22 };
  for (guint i = 0; i < RC_USE_CLASSES; ++i) {
    char *label = g_strconcat(rc_use_classes[i].label, i + 1 == RC_USE_CLASSES ? " %" : "", NULL);
    draw_swatch(cairo, x + 5, y + HEIGHT / 2.0, i);
    rc_draw_text(cairo, RC_TEXT_NOTE, RC_ALIGN_LEFT, x + 13, y + 1, LABEL, 1, label);
    x += SPACE + rc_text_width(RC_TEXT_NOTE, label);
    g_free(label);
  }
  return HEIGHT;
}
