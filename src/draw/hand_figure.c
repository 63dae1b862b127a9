// Copyright 2026 the rowcall developers
// SPDX-License-Identifier: MIT

// The left hand on a keyboard: the whole board, and cuts of it. Buttons lie to scale; they are drawn as large as leaves
// them apart, so that their numbers can be read from a music stand.

#include "rowcall/draw.h"

#include <math.h>

#include "draw/lines.h"

static const double points_a_mm = 72 / 25.4;

// Of a whole board.
static const double widest_mm = 170;
static const double highest_mm = 80; // boards of a column or two

static const double least_name = 7; // points: smaller ones cannot be read

static const double cut_button_mm = 6.6; // across, on paper
static const double cut_margin = 0.35;   // at least beside the outermost buttons of a grip, in radiuses
static const double cut_sliver = 1;      // of the row below the cut, in radiuses

// A drawing of a board, or of a part of it. Lengths of the board are mm as it is drawn: x grows towards the chin.
typedef struct {
  cairo_t *cairo;
  const RcLayout *layout;
  const RcFingerMark *marks;
  guint n_marks;
  RcBox shown;    // of the board
  double x;       // of its top left corner on paper, in points
  double y;       //
  double scale;   // points a mm
  double radius;  // of a button, in points
  gboolean whole; // each direction of the bellows has its own half of a button
} Board;

void
rc_draw_dot(cairo_t *cairo, double x, double y, double across)
{
  cairo_set_line_cap(cairo, CAIRO_LINE_CAP_ROUND);
  cairo_set_line_width(cairo, across);
  cairo_move_to(cairo, x, y);
  cairo_line_to(cairo, x, y);
  cairo_stroke(cairo);
  cairo_set_line_cap(cairo, CAIRO_LINE_CAP_BUTT);
}

// ---------------------------------------------------------------------------------------------------------- geometry

// Of a button in mm.
static double
radius_mm(const RcLayout *layout)
{
  double nearest = layout->column_mm;
  for (guint i = 0; i < layout->columns->len && layout->rows->len > 1; ++i) {
    nearest = MIN(nearest, hypot(layout->row_mm, layout->slant_mm - i * layout->column_mm));
  }
  return nearest * 0.47;
}

static double
span_mm(const RcLayout *layout)
{
  return (layout->columns->len - 1) * layout->column_mm + (layout->rows->len - 1) * layout->slant_mm;
}

// Of its middle, from that of the first button on the left.
static double
drawn_x(const RcLayout *layout, const RcButton *button)
{
  return layout->mirrored ? span_mm(layout) - button->x : button->x;
}

// With its outermost buttons.
static RcBox
board_box(const RcLayout *layout)
{
  const double radius = radius_mm(layout);
  return (RcBox){ -radius, -radius, span_mm(layout) + 2 * radius,
                  (layout->rows->len - 1) * layout->row_mm + 2 * radius };
}

static double
button_x(const Board *b, const RcButton *button)
{
  return b->x + (drawn_x(b->layout, button) - b->shown.x) * b->scale;
}

static double
button_y(const Board *b, const RcButton *button)
{
  return b->y + (button->y - b->shown.y) * b->scale;
}

// ------------------------------------------------------------------------------------------------------- one button

static const double held_shade = 0.85;

static const RcFingerMark *
mark_on(const Board *b, guint button)
{
  for (guint i = 0; i < b->n_marks; ++i) {
    if (b->marks[i].button == button) {
      return &b->marks[i];
    }
  }
  return NULL;
}

// "4", or "3/4" where it is pressed now by the one and now by the other.
static char *
fingers_text(guint fingers, const char *between)
{
  GString *text = g_string_new(NULL);
  for (guint finger = RC_FINGER_INDEX; finger <= RC_FINGER_LITTLE; ++finger) {
    if (fingers & 1U << finger) {
      g_string_append_printf(text, "%s%u", text->len ? between : "", finger);
    }
  }
  return g_string_free(text, FALSE);
}

static void
set_ink(const Board *b, double grey)
{
  cairo_set_source_rgb(b->cairo, grey, grey, grey);
}

static void
circle(const Board *b, double x, double y, double part)
{
  cairo_new_path(b->cairo);
  cairo_arc(b->cairo, x, y, b->radius * part, 0, 2 * G_PI);
}

// The ring within a button that is felt.
static void
draw_felt(const Board *b, const RcButton *button, double grey)
{
  if (rc_button_marked(b->layout, button)) {
    circle(b, button_x(b, button), button_y(b, button), 0.86);
    set_ink(b, grey);
    cairo_set_line_width(b->cairo, MAX(0.6, b->radius * 0.045));
    cairo_stroke(b->cairo);
  }
}

static void
draw_held(const Board *b, const RcButton *button)
{
  rc_shade(b->cairo, held_shade);
  rc_draw_dot(b->cairo, button_x(b, button), button_y(b, button), 2 * b->radius);
  draw_felt(b, button, 1);
}

// The frame of the second bass of an alternating bass, as high as leaves the neighbours free.
static void
draw_frame(const Board *b, const RcButton *button)
{
  const double corner = b->radius * 0.3;
  const double across = b->radius * 0.84 - corner; // from the middle to those of the corners
  const double down = b->radius * 0.92 - corner;
  const double x = button_x(b, button);
  const double y = button_y(b, button);
  cairo_new_path(b->cairo);
  for (guint i = 0; i < 4; ++i) {
    const double turn = i * G_PI / 2;
    cairo_arc(b->cairo, i == 0 || i == 3 ? x + across : x - across, i < 2 ? y + down : y - down, corner, turn,
              turn + G_PI / 2);
  }
  cairo_close_path(b->cairo);
  set_ink(b, 0);
  cairo_set_line_width(b->cairo, MAX(1.5, b->radius * 0.16));
  cairo_stroke(b->cairo);
  draw_felt(b, button, 0.45);
}

// Width is in radiuses.
static void
draw_name(const Board *b, const RcSound *sound, RcFace face, double x, double y, double width, double ink)
{
  char *name = rc_drawn_name(sound);
  rc_draw_word(b->cairo, face, RC_ALIGN_CENTRE, x, y, width * b->radius, ink, *name ? name : "–");
  g_free(name);
}

static double
at_most(double points, double most)
{
  return MIN(points, most);
}

// Where fingers take turns; without strokes where these leave no room.
static void
draw_fingers(const Board *b, RcFace face, double x, double y, double width, double ink, guint fingers)
{
  char *apart = fingers_text(fingers, "/");
  if (!rc_draw_word_from(b->cairo, face, least_name, RC_ALIGN_CENTRE, x, y, width * b->radius, ink, apart)) {
    char *close = fingers_text(fingers, "");
    rc_draw_word(b->cairo, face, RC_ALIGN_CENTRE, x, y, width * b->radius, ink, close);
    g_free(close);
  }
  g_free(apart);
}

// The fingers above the name. On a small button both go as far apart as they can.
static void
draw_touch(const Board *b, const RcButton *button, const RcFingerMark *mark)
{
  const double r = b->radius;
  const double x = button_x(b, button);
  const double y = button_y(b, button);
  const double ink = mark->held ? 1 : 0;
  const gboolean small = r < 12;
  const RcFace face = { MAX(at_most(r, 26), MIN(12, r * 1.3)), TRUE };
  const RcFace name = { MAX(at_most(r * 0.6, 13), MIN(least_name, r)), FALSE };
  if (mark->held) {
    draw_held(b, button);
  } else {
    draw_frame(b, button);
  }
  draw_fingers(b, face, x, y - r * (small ? 0.38 : 0.29), 1.6, ink, mark->fingers);
  draw_name(b, &button->sound, name, x, y + r * (!mark->fingers ? 0 : small ? 0.46 : 0.5), small ? 1.7 : 1.35, ink);
}

// One direction of a button that differs on push and on pull: its upper half on push, its lower on pull.
static void
draw_half(const Board *b, guint index, gboolean upper)
{
  const double r = b->radius;
  const RcButton *button = rc_layout_button(b->layout, index);
  const RcFingerMark *mark = mark_on(b, index);
  const double x = button_x(b, button);
  const double y = button_y(b, button);
  const double middle = y + r * (upper ? -0.42 : 0.42);
  const gboolean held = mark && mark->held;
  const guint fingers = mark ? mark->fingers : 0;
  cairo_new_path(b->cairo);
  cairo_arc(b->cairo, x, y, r, upper ? G_PI : 0, upper ? 2 * G_PI : G_PI);
  cairo_close_path(b->cairo);
  if (held) {
    rc_shade(b->cairo, held_shade);
    cairo_fill(b->cairo);
  } else {
    set_ink(b, mark ? 0 : 0.45);
    cairo_set_line_width(b->cairo, mark ? MAX(1.5, r * 0.16) : 0.6);
    cairo_stroke(b->cairo);
  }
  if (fingers) {
    draw_fingers(b, (RcFace){ at_most(r * 0.62, 22), TRUE }, x - r * 0.36, middle, 0.7, held ? 1 : 0, fingers);
  }
  draw_name(b, &button->sound, (RcFace){ at_most(r * 0.5, 13), FALSE }, x + r * (fingers ? 0.36 : 0), middle,
            fingers ? 0.72 : 1.2, held ? 1 : 0.25);
}

// The name of a button that nobody touches, where it can be read. Width is in radiuses.
static void
draw_plain_name(const Board *b, const RcSound *sound, double points, double x, double y, double width)
{
  char *name = width > 0 ? rc_drawn_name(sound) : g_strdup("");
  rc_draw_word_from(b->cairo, (RcFace){ MAX(points, least_name), FALSE }, least_name, RC_ALIGN_CENTRE, x, y,
                    width * b->radius, 0.25, name);
  g_free(name);
}

static void
draw_plain_names(const Board *b, guint index, double x, double width)
{
  const double r = b->radius;
  const RcButton *button = rc_layout_button(b->layout, index);
  const double y = button_y(b, button);
  const double points = at_most(r * 0.78, 11);
  if (rc_layout_entries_at(b->layout, index) == 2) {
    draw_plain_name(b, &button[0].sound, points * 0.75, x, y - r * 0.42, MIN(width, 1.6));
    draw_plain_name(b, &button[1].sound, points * 0.75, x, y + r * 0.42, MIN(width, 1.6));
  } else {
    draw_plain_name(b, &button->sound, points, x, y, width);
  }
}

// One of the marks on the button that begins at `index`, or NULL.
static const RcFingerMark *
touched(const Board *b, guint index)
{
  const RcFingerMark *first = mark_on(b, index);
  return first || rc_layout_entries_at(b->layout, index) == 1 ? first : mark_on(b, index + 1);
}

static void
draw_touched(const Board *b, guint index, const RcFingerMark *mark)
{
  if (b->whole && rc_layout_entries_at(b->layout, index) == 2) {
    draw_half(b, index, TRUE);
    draw_half(b, index + 1, FALSE);
    draw_felt(b, rc_layout_button(b->layout, index), 0.45);
  } else {
    draw_touch(b, rc_layout_button(b->layout, mark->button), mark);
  }
}

// ------------------------------------------------------------------------------------------------------- all buttons

// What is left of a button on a cut.
typedef struct {
  double left;
  double right;
  gboolean shown;
  gboolean high; // it is cut only at its sides
  gboolean whole;
} Part;

static Part
part_of(const Board *b, const RcButton *button)
{
  const double nearly = 0.01;
  const double r = b->radius;
  const double x = button_x(b, button);
  const double y = button_y(b, button);
  const double right = b->x + b->shown.width * b->scale;
  const double bottom = b->y + b->shown.height * b->scale;
  Part part = { .left = MAX(x - r, b->x), .right = MIN(x + r, right) };
  part.shown = part.right > part.left && y - r < bottom;
  part.high = y + r < bottom + nearly;
  part.whole = part.shown && part.high && part.right - part.left > 2 * r - nearly;
  return part;
}

// The outlines of all buttons that nobody touches, in two strokes of the pen: a disc, and a smaller white one.
static void
draw_outlines(const Board *b)
{
  const double line = 0.6;
  cairo_t *cairo = b->cairo;
  cairo_new_path(cairo);
  for (guint i = 0; i < b->layout->buttons->len; i += rc_layout_entries_at(b->layout, i)) {
    const RcButton *button = rc_layout_button(b->layout, i);
    if (part_of(b, button).shown && !touched(b, i)) {
      cairo_move_to(cairo, button_x(b, button), button_y(b, button));
      cairo_line_to(cairo, button_x(b, button), button_y(b, button));
    }
  }
  cairo_set_line_cap(cairo, CAIRO_LINE_CAP_ROUND);
  set_ink(b, 0.45);
  cairo_set_line_width(cairo, 2 * b->radius + line);
  cairo_stroke_preserve(cairo);
  set_ink(b, 1);
  cairo_set_line_width(cairo, 2 * b->radius - line);
  cairo_stroke(cairo);
  cairo_set_line_cap(cairo, CAIRO_LINE_CAP_BUTT);
}

// A button that the cut goes through has its name on the part that is left, if it is wide enough.
static void
draw_plain(const Board *b, guint index, const Part *part)
{
  const double r = b->radius;
  const RcButton *button = rc_layout_button(b->layout, index);
  const double middle = (part->left + part->right) / 2;
  const double width = part->right - part->left;
  if (part->whole) {
    draw_plain_names(b, index, middle, 1.96);
  } else if (part->high) {
    draw_plain_names(b, index, middle, width / r - 0.4);
  } else {
    draw_plain_name(b, &button->sound, least_name, middle, button_y(b, button) - r * 0.47, MIN(1.5, width / r - 0.4));
  }
}

static void
draw_inside(const Board *b, guint index)
{
  const RcButton *button = rc_layout_button(b->layout, index);
  draw_felt(b, button, 0.45);
  if (button->sound.kind == RC_SOUND_DEAD && rc_layout_entries_at(b->layout, index) == 1) {
    rc_draw_cross(b->cairo, button_x(b, button), button_y(b, button), b->radius);
  }
}

// Like with like, which spares a file many changes of pen and face.
static void
draw_buttons(const Board *b)
{
  draw_outlines(b);
  for (guint pass = 0; pass < 3; ++pass) {
    for (guint i = 0; i < b->layout->buttons->len; i += rc_layout_entries_at(b->layout, i)) {
      const RcFingerMark *mark = touched(b, i);
      const Part part = part_of(b, rc_layout_button(b->layout, i));
      if (!part.shown) {
        continue;
      }
      if (pass == 0 && !mark) {
        draw_inside(b, i);
      } else if (pass == 1 && !mark) {
        draw_plain(b, i, &part);
      } else if (pass == 2 && mark) {
        draw_touched(b, i, mark);
      }
    }
  }
}

// --------------------------------------------------------------------------------------------------- the whole board

static double
whole_scale(const RcLayout *layout)
{
  const RcBox box = board_box(layout);
  return MIN(widest_mm / box.width, highest_mm / box.height) * points_a_mm;
}

RcBox
rc_hand_board_box(const RcLayout *layout, double x, double y)
{
  const double scale = whole_scale(layout);
  const RcBox box = board_box(layout);
  return (RcBox){ x, y, box.width * scale, box.height * scale };
}

void
rc_draw_hand_board(cairo_t *cairo, double x, double y, const RcLayout *layout, const RcFingerMark *marks, guint n)
{
  const double scale = whole_scale(layout);
  const Board b = { cairo, layout, marks, n, board_box(layout), x, y, scale, radius_mm(layout) * scale, TRUE };
  draw_buttons(&b);
}

// ------------------------------------------------------------------------------------------------------- cut to a grip

static double
cut_scale(const RcLayout *layout)
{
  return cut_button_mm * points_a_mm / (2 * radius_mm(layout));
}

// The buttons of a grip and as much beside them as shows where they are.
static RcBox
needed_box(const RcLayout *layout, const RcFingerMark *marks, guint n)
{
  enum { LEAST_ROWS = 2 }; // basses, among them those that are felt
  const double radius = radius_mm(layout);
  double left = INFINITY;
  double right = -INFINITY;
  guint rows = MIN(LEAST_ROWS, layout->rows->len);
  for (guint i = 0; i < n; ++i) {
    const RcButton *button = rc_layout_button(layout, marks[i].button);
    left = MIN(left, drawn_x(layout, button));
    right = MAX(right, drawn_x(layout, button));
    rows = MAX(rows, button->row + 1);
  }
  const double beside = radius * (1 + cut_margin);
  const double below = rows == layout->rows->len ? radius : layout->row_mm + radius * (cut_sliver - 1);
  return (RcBox){ left - beside, -radius, right - left + 2 * beside, (rows - 1) * layout->row_mm + radius + below };
}

double
rc_grip_least_width(const RcLayout *layout, const RcFingerMark *marks, guint n)
{
  return MIN(needed_box(layout, marks, n).width, board_box(layout).width) * cut_scale(layout);
}

RcCut
rc_grip_cut(const RcLayout *layout, const RcFingerMark *marks, guint n, double width)
{
  const double scale = cut_scale(layout);
  const RcBox board = board_box(layout);
  RcBox box = needed_box(layout, marks, n);
  const double shown = MIN(width / scale, board.width);
  const double left = box.x + (box.width - shown) / 2;
  box.x = CLAMP(left, board.x, board.x + board.width - shown);
  box.width = shown;
  return (RcCut){ box, box.width * scale, box.height * scale };
}

// Adds a torn line from the current point.
static void
tear_to(cairo_t *cairo, double x, double y)
{
  enum { TOOTH = 7, DEPTH = 1 };
  double from_x = 0;
  double from_y = 0;
  cairo_get_current_point(cairo, &from_x, &from_y);
  const double length = hypot(x - from_x, y - from_y);
  const guint teeth = (guint)(length / TOOTH);
  for (guint i = 1; i < teeth; ++i) {
    const double part = i / (double)teeth;
    const double depth = i % 2 ? DEPTH : -DEPTH;
    cairo_line_to(cairo, from_x + (x - from_x) * part + depth * (y - from_y) / length,
                  from_y + (y - from_y) * part - depth * (x - from_x) / length);
  }
  cairo_line_to(cairo, x, y);
}

typedef struct {
  gboolean left;
  gboolean right;
  gboolean bottom;
} Torn;

static Torn
torn_sides(const Board *b)
{
  const RcBox board = board_box(b->layout);
  const double nearly = 0.01;
  return (Torn){ b->shown.x > board.x + nearly, b->shown.x + b->shown.width < board.x + board.width - nearly,
                 b->shown.y + b->shown.height < board.y + board.height - nearly };
}

// Whitens the paper between an edge of the cut and its teeth, and draws these.
static void
tear(const Board *b, double from_x, double from_y, double to_x, double to_y)
{
  const double length = hypot(to_x - from_x, to_y - from_y);
  const double out_x = 2 * (to_y - from_y) / length; // the board is on the right of the way
  const double out_y = 2 * (from_x - to_x) / length;
  cairo_new_path(b->cairo);
  cairo_move_to(b->cairo, from_x, from_y);
  tear_to(b->cairo, to_x, to_y);
  cairo_line_to(b->cairo, to_x + out_x, to_y + out_y);
  cairo_line_to(b->cairo, from_x + out_x, from_y + out_y);
  set_ink(b, 1);
  cairo_fill(b->cairo);
  cairo_move_to(b->cairo, from_x, from_y);
  tear_to(b->cairo, to_x, to_y);
  set_ink(b, 0.45);
  cairo_set_line_width(b->cairo, 0.7);
  cairo_stroke(b->cairo);
}

static void
draw_torn(const Board *b)
{
  const Torn torn = torn_sides(b);
  const double left = b->x;
  const double right = b->x + b->shown.width * b->scale;
  const double bottom = b->y + b->shown.height * b->scale;
  if (torn.right) {
    tear(b, right, b->y - 1, right, bottom);
  }
  if (torn.bottom) {
    tear(b, right, bottom, left, bottom);
  }
  if (torn.left) {
    tear(b, left, bottom, left, b->y - 1);
  }
}

void
rc_draw_grip(cairo_t *cairo, double x, double y, const RcLayout *layout, const RcCut *cut, const RcFingerMark *marks,
             guint n)
{
  const double scale = cut_scale(layout);
  const Board b = { cairo, layout, marks, n, cut->board, x, y, scale, radius_mm(layout) * scale, FALSE };
  cairo_save(cairo);
  cairo_rectangle(cairo, x - 1, y - 1, cut->width + 2, cut->height + 2);
  cairo_clip(cairo);
  draw_buttons(&b);
  cairo_restore(cairo);
  draw_torn(&b);
}
