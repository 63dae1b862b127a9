// Copyright 2026 the rowcall developers
// SPDX-License-Identifier: MIT

#include "report/card_pages.h"

// In points.
static const double gap = 10;            // beside a card
static const double heading_height = 20; // the number and the name
static const double badge = 17;          // across
static const double name_points = 14;
static const double after_note = 4;
static const double most_name = 115; // a longer one is cut, or drawn smaller

enum { ACROSS = 4 }; // cards in a row that are not narrow, or three where their keyboards ask for it

// ---------------------------------------------------------------------------------------------------------- making

static void
add_mark(RcGripCard *card, guint button, guint finger, gboolean held)
{
  const guint of_player = rc_finger_of_player(card->layout, finger);
  card->marks[card->n_marks++] = (RcFingerMark){ button, of_player ? 1U << of_player : 0, held };
}

static double
name_x(const RcGripCard *card)
{
  return card->number ? badge + 5 : 0;
}

// Of many names only those that have room.
static void
shorten_name(RcGripCard *card)
{
  char **names = g_strsplit(card->name, ", ", -1);
  for (guint n = g_strv_length(names); n > 1 && rc_word_width((RcFace){ name_points, TRUE }, card->name) > most_name;
       --n) {
    g_clear_pointer(&names[n - 1], g_free);
    char *left = g_strjoinv(", ", names);
    g_free(card->name);
    card->name = g_strconcat(left, ", …", NULL);
    g_free(left);
  }
  g_strfreev(names);
}

static void
measure(RcGripCard *card)
{
  shorten_name(card);
  card->name_width = MIN(rc_word_width((RcFace){ name_points, TRUE }, card->name), most_name);
  card->note_width = *card->note ? rc_text_width(RC_TEXT_BODY, card->note) : 0;
  card->least = name_x(card) + card->name_width;
  if (card->n_marks) {
    card->least = MAX(card->least, rc_grip_least_width(card->layout, card->marks, card->n_marks));
  }
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
rc_grip_cards_add(GArray *cards, RcGripCard card, const RcGrip *grip, const RcFingering *fingers,
                  const RcSecondBass *second)
{
  for (guint i = 0; grip && i < rc_grip_count(grip); ++i) {
    add_mark(&card, rc_grip_button(grip, i), rc_grip_finger(grip, fingers, i), TRUE);
  }
  if (grip && second->found) {
    add_mark(&card, second->button, second->finger, FALSE);
  }
  measure(&card);
  g_array_append_val(cards, card);
}

// ---------------------------------------------------------------------------------------------------------- in a row

static double
least_in(const RcGripCard *card, double width, gboolean narrow)
{
  const double usual = (width + gap) / ACROSS - gap;
  return MIN(narrow ? card->least : MAX(card->least, usual), width);
}

// Beside the name, or below it.
static void
fit_note(RcGripCard *card)
{
  const double after_name = name_x(card) + card->name_width + 6;
  const gboolean beside = !*card->note || after_name + card->note_width <= card->width;
  card->note_x = beside ? after_name : 0;
  card->heading = heading_height + after_note + (beside ? 0 : rc_text_height(RC_TEXT_BODY, card->width, 0, card->note));
}

static void
fit(RcGripCard *card, double x, double width)
{
  card->x = x;
  card->width = width;
  if (card->n_marks) {
    card->cut = rc_grip_cut(card->layout, card->marks, card->n_marks, width);
  }
  fit_note(card);
}

RcGripRow
rc_grip_row(RcGripCard *const *cards, guint n, double width, gboolean narrow)
{
  RcGripRow row = { 0, 0 };
  double x = 0;
  double heading = 0;
  double spare = width;
  for (; row.count < n && (!row.count || spare >= gap + least_in(cards[row.count], width, narrow)); ++row.count) {
    spare -= least_in(cards[row.count], width, narrow) + (row.count ? gap : 0);
  }
  const double more = spare / row.count;
  for (guint i = 0; i < row.count; ++i) {
    const double least = least_in(cards[i], width, narrow);
    fit(cards[i], x, row.count < n ? least + more : MIN(least + more, MAX(least, least_in(cards[i], width, FALSE))));
    x += cards[i]->width + gap;
    heading = MAX(heading, cards[i]->heading);
  }
  for (guint i = 0; i < row.count; ++i) {
    cards[i]->heading = heading;
    row.height = MAX(row.height, heading + cards[i]->cut.height);
  }
  return row;
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
               card->name_width + 0.5, 0, card->name);
  rc_canvas_end(canvas, "P");
}

void
rc_grip_card_draw(RcCanvas *canvas, const RcGripCard *card, double x, double y)
{
  const gboolean beside = card->note_x > 0;
  x += card->x;
  draw_heading(canvas, card, x, y);
  if (*card->note) {
    rc_canvas_text(canvas, RC_TEXT_BODY, x + card->note_x, y + (beside ? 4 : heading_height),
                   beside ? 2 * card->width : card->width, 0, card->note);
  }
  if (card->n_marks) {
    rc_canvas_begin_figure(canvas, card->press);
    rc_draw_grip(canvas->cairo, x, y + card->heading, card->layout, &card->cut, card->marks, card->n_marks);
    rc_canvas_end(canvas, "Figure");
  }
}

void
rc_grip_cards_draw(RcPages *p, const GArray *cards, const char *heading)
{
  GPtrArray *all = g_ptr_array_new();
  for (guint i = 0; i < cards->len; ++i) {
    g_ptr_array_add(all, &g_array_index(cards, RcGripCard, i));
  }
  for (guint first = 0; first < all->len && !p->full;) {
    RcGripCard **in_row = (RcGripCard **)all->pdata + first;
    const RcGripRow row = rc_grip_row(in_row, all->len - first, p->text_width, FALSE);
    rc_pages_need(p, row.height, heading);
    for (guint i = 0; i < row.count; ++i) {
      rc_grip_card_draw(&p->canvas, in_row[i], p->left, p->y);
    }
    p->y += row.height + RC_GRIP_BELOW;
    first += row.count;
  }
  g_ptr_array_unref(all);
}
