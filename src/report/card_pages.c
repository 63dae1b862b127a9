// Copyright 2026 the rowcall developers
// SPDX-License-Identifier: MIT

#include "report/card_pages.h"

#include <math.h>

// In points.
static const double gap = 12;            // beside a card
static const double below = 12;          // a card
static const double heading_height = 20; // the number and the name
static const double badge = 17;          // across
static const double name_points = 14;
static const double after_note = 4;

enum { FEWEST_UNITS = 3 }; // of a card; a quarter of the width

// ---------------------------------------------------------------------------------------------------------- making

static void
add_mark(RcGripCard *card, guint button, guint finger, gboolean held)
{
  const guint of_player = rc_finger_of_player(card->layout, finger);
  card->marks[card->n_marks++] = (RcFingerMark){ button, of_player ? 1U << of_player : 0, held };
}

static double
unit_of(double width)
{
  return (width + gap) / RC_GRIP_UNITS;
}

static double
name_x(const RcGripCard *card)
{
  return card->number ? badge + 5 : 0;
}

// Beside the name, or below it.
static void
fit_note(RcGripCard *card)
{
  const double after_name = name_x(card) + rc_word_width((RcFace){ name_points, TRUE }, card->name) + 6;
  const gboolean beside = !*card->note || after_name + rc_text_width(RC_TEXT_BODY, card->note) <= card->width;
  card->note_x = beside ? after_name : 0;
  card->note_height = rc_text_height(RC_TEXT_BODY, card->width, 0, card->note);
}

// As many units as the keyboard asks for, and its cut as wide as these.
static void
fit_card(RcGripCard *card, double width)
{
  const double unit = unit_of(width);
  const double least = card->n_marks ? rc_grip_least_width(card->layout, card->marks, card->n_marks) : 0;
  const guint units = CLAMP((guint)ceil((least + gap) / unit), FEWEST_UNITS, RC_GRIP_UNITS);
  card->width = units * unit - gap;
  if (card->n_marks) {
    card->cut = rc_grip_cut(card->layout, card->marks, card->n_marks, card->width);
  }
  fit_note(card);
  card->height = heading_height + (card->note_x > 0 ? 0 : card->note_height) + after_note + card->cut.height;
}

static void
clear_card(gpointer data)
{
  RcGripCard *card = data;
  g_free(card->name);
  g_free(card->note);
  g_free(card->press);
}

GArray *
rc_grip_cards_new(void)
{
  GArray *cards = g_array_new(FALSE, FALSE, sizeof(RcGripCard));
  g_array_set_clear_func(cards, clear_card);
  return cards;
}

void
rc_grip_cards_add(GArray *cards, double width, RcGripCard card, const RcGrip *grip, const RcFingering *fingers,
                  const RcSecondBass *second)
{
  for (guint i = 0; grip && i < rc_grip_count(grip); ++i) {
    add_mark(&card, rc_grip_button(grip, i), rc_grip_finger(grip, fingers, i), TRUE);
  }
  if (grip && second->found) {
    add_mark(&card, second->button, second->finger, FALSE);
  }
  fit_card(&card, width);
  g_array_append_val(cards, card);
}

// ---------------------------------------------------------------------------------------------------------- a grid

void
rc_grip_grid_start(RcGripGrid *grid, double width, double y)
{
  grid->unit = unit_of(width);
  for (guint i = 0; i < RC_GRIP_UNITS; ++i) {
    grid->ends[i] = y;
  }
}

// How far down `units` units from `first` on are taken.
static double
end_of(const RcGripGrid *grid, guint first, guint units)
{
  double end = 0;
  for (guint i = first; i < first + units; ++i) {
    end = MAX(end, grid->ends[i]);
  }
  return end;
}

static guint
units_of(const RcGripGrid *grid, const RcGripCard *card)
{
  return (guint)lround((card->width + gap) / grid->unit);
}

RcBox
rc_grip_grid_find(const RcGripGrid *grid, const RcGripCard *card)
{
  const guint units = units_of(grid, card);
  guint best = 0;
  const guint step = (RC_GRIP_UNITS % units) ? 1 : units; // quarters and thirds are in columns
  for (guint i = step; i + units <= RC_GRIP_UNITS; i += step) {
    best = end_of(grid, i, units) < end_of(grid, best, units) - 0.01 ? i : best;
  }
  return (RcBox){ best * grid->unit, end_of(grid, best, units), card->width, card->height };
}

void
rc_grip_grid_take(RcGripGrid *grid, const RcBox *box)
{
  const guint first = (guint)lround(box->x / grid->unit);
  const guint units = (guint)lround((box->width + gap) / grid->unit);
  for (guint i = first; i < first + units; ++i) {
    grid->ends[i] = box->y + box->height + below;
  }
}

double
rc_grip_grid_end(const RcGripGrid *grid)
{
  return end_of(grid, 0, RC_GRIP_UNITS);
}

// --------------------------------------------------------------------------------------------------------- drawing

void
rc_grip_badge_draw(cairo_t *cairo, double x, double y, double size, const char *number)
{
  const double radius = size / 2;
  cairo_set_source_rgb(cairo, 0, 0, 0);
  rc_draw_dot(cairo, x + radius, y + radius, size);
  rc_draw_word(cairo, (RcFace){ size * 0.66, TRUE }, RC_ALIGN_CENTRE, x + radius, y + radius, size * 0.84, 1, number);
}

static void
draw_heading(RcCanvas *canvas, const RcGripCard *card, double x, double y)
{
  const double indent = name_x(card);
  char number[12];
  g_snprintf(number, sizeof number, "%u", card->number);
  rc_canvas_begin(canvas, "P");
  if (card->number) {
    rc_grip_badge_draw(canvas->cairo, x, y, badge, number);
  }
  rc_draw_word(canvas->cairo, (RcFace){ name_points, TRUE }, RC_ALIGN_LEFT, x + indent, y + badge / 2,
               card->width - indent, 0, card->name);
  rc_canvas_end(canvas, "P");
}

void
rc_grip_card_draw(RcCanvas *canvas, const RcGripCard *card, double x, double y)
{
  const gboolean beside = card->note_x > 0;
  draw_heading(canvas, card, x, y);
  if (*card->note) {
    rc_canvas_text(canvas, RC_TEXT_BODY, x + card->note_x,
                   y + (beside ? (badge - card->note_height) / 2 + 1 : heading_height),
                   beside ? 2 * card->width : card->width, 0, card->note);
  }
  y += heading_height + (beside ? 0 : card->note_height) + after_note;
  if (card->n_marks) {
    rc_canvas_begin_figure(canvas, card->press);
    rc_draw_grip(canvas->cairo, x, y, card->layout, &card->cut, card->marks, card->n_marks);
    rc_canvas_end(canvas, "Figure");
  }
}

void
rc_grip_cards_draw(RcPages *p, const GArray *cards, const char *heading)
{
  RcGripGrid grid;
  rc_grip_grid_start(&grid, p->text_width, p->y);
  for (guint i = 0; i < cards->len && !p->full; ++i) {
    const RcGripCard *card = &g_array_index(cards, RcGripCard, i);
    RcBox box = rc_grip_grid_find(&grid, card);
    const guint page = p->number;
    rc_pages_need(p, box.y - p->y + box.height, heading);
    if (p->number != page) {
      rc_grip_grid_start(&grid, p->text_width, p->y);
      box = rc_grip_grid_find(&grid, card);
    }
    rc_grip_card_draw(&p->canvas, card, p->left + box.x, box.y);
    rc_grip_grid_take(&grid, &box);
  }
  p->y = rc_grip_grid_end(&grid);
}
