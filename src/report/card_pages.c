// Copyright 2026 the rowcall developers
// SPDX-License-Identifier: MIT

#include "report/card_pages.h"

enum { ACROSS = 2, MOST_MARKS = 1 + RC_GRIP_PRESS };

// In points.
static const double gap = 14;
static const double figure_width = 132;
static const double figure_gap = 8;
static const double way_gap = 6;
static const double below = 12;

// A way to play the chord.
typedef struct {
  char *text;
  guint first; // column of the cut
  guint last;
  RcFingerMark marks[MOST_MARKS];
  guint n_marks; // 0 where no keyboard is drawn
} Way;

struct RcGripCard {
  const RcLayout *layout;
  char *heading;
  GArray *ways;  // of Way
  gboolean held; // one of them has a keyboard
};

// ---------------------------------------------------------------------------------------------------------- making

static void
add_mark(const RcLayout *layout, Way *way, guint button, guint finger, gboolean second)
{
  const guint column = rc_layout_button(layout, button)->column;
  way->first = way->n_marks ? MIN(way->first, column) : column;
  way->last = way->n_marks ? MAX(way->last, column) : column;
  way->marks[way->n_marks++] = (RcFingerMark){ button, rc_finger_of_player(layout, finger), second };
}

// A column more on each side where few are in use, so that a player finds the place.
static void
widen_cut(const RcLayout *layout, Way *way)
{
  enum { FEW = 4 };
  for (guint i = 0; i < FEW && way->last - way->first + 1 < FEW; ++i) {
    if (i % 2 && way->first > 0) {
      --way->first;
    } else if (i % 2 == 0 && way->last + 1 < layout->columns->len) {
      ++way->last;
    }
  }
}

static gboolean
same_marks(const Way *a, const Way *b)
{
  for (guint i = 0; i < MIN(a->n_marks, b->n_marks); ++i) {
    if (a->marks[i].button != b->marks[i].button || a->marks[i].finger != b->marks[i].finger ||
        a->marks[i].second != b->marks[i].second) {
      return FALSE;
    }
  }
  return a->n_marks == b->n_marks;
}

// The last way of the card whose keyboard is drawn; NULL for none.
static const Way *
last_drawn(const RcGripCard *card)
{
  for (guint i = card->ways->len; i > 0; --i) {
    const Way *way = &g_array_index(card->ways, Way, i - 1);
    if (way->n_marks) {
      return way;
    }
  }
  return NULL;
}

void
rc_grip_card_way(RcGripCard *card, char *text, const RcGrip *grip, const RcFingering *fingers,
                 const RcSecondBass *second)
{
  Way way = { .text = text };
  for (guint i = 0; grip && i < rc_grip_count(grip); ++i) {
    add_mark(card->layout, &way, rc_grip_button(grip, i), rc_grip_finger(grip, fingers, i), FALSE);
  }
  if (grip && second->found) {
    add_mark(card->layout, &way, second->button, second->finger, TRUE);
  }
  const Way *before = last_drawn(card);
  if (before && same_marks(before, &way)) {
    way.n_marks = 0;
  } else if (way.n_marks) {
    widen_cut(card->layout, &way);
    card->held = TRUE;
  }
  g_array_append_val(card->ways, way);
}

static void
clear_card(gpointer data)
{
  RcGripCard *card = data;
  for (guint i = 0; i < card->ways->len; ++i) {
    g_free(g_array_index(card->ways, Way, i).text);
  }
  g_array_unref(card->ways);
  g_free(card->heading);
}

GArray *
rc_grip_cards_new(void)
{
  GArray *cards = g_array_new(FALSE, FALSE, sizeof(RcGripCard));
  g_array_set_clear_func(cards, clear_card);
  return cards;
}

RcGripCard *
rc_grip_cards_add(GArray *cards, const RcLayout *layout, char *heading)
{
  const RcGripCard card = { layout, heading, g_array_new(FALSE, FALSE, sizeof(Way)), FALSE };
  g_array_append_val(cards, card);
  return &g_array_index(cards, RcGripCard, cards->len - 1);
}

// ---------------------------------------------------------------------------------------------------------- drawing

static double
card_width(const RcPages *p)
{
  return (p->text_width - gap * (ACROSS - 1)) / ACROSS;
}

static double
words_width(const RcPages *p, const RcGripCard *card)
{
  return card_width(p) - (card->held ? figure_width + figure_gap : 0);
}

static double
figure_height(const RcGripCard *card, const Way *way)
{
  return way->n_marks ? rc_grip_figure_height(card->layout, way->last - way->first + 1, figure_width) : 0;
}

static double
way_height(const RcPages *p, const RcGripCard *card, const Way *way)
{
  return MAX(figure_height(card, way), rc_text_height(RC_TEXT_NOTE, words_width(p, card), 0, way->text));
}

static double
card_height(const RcPages *p, const RcGripCard *card)
{
  double height = rc_text_height(RC_TEXT_STRONG, card_width(p), 2, card->heading) + 3 + below;
  for (guint i = 0; i < card->ways->len; ++i) {
    height += way_height(p, card, &g_array_index(card->ways, Way, i)) + (i ? way_gap : 0);
  }
  return height;
}

static void
draw_card(const RcPages *p, const RcGripCard *card, double x, double y)
{
  cairo_t *cairo = p->canvas.cairo;
  const double width = words_width(p, card);
  y += rc_draw_text(cairo, RC_TEXT_STRONG, RC_ALIGN_LEFT, x, y, card_width(p), 2, card->heading) + 3;
  for (guint i = 0; i < card->ways->len; ++i) {
    const Way *way = &g_array_index(card->ways, Way, i);
    if (way->n_marks) {
      const RcBox box = { x, y, figure_width, figure_height(card, way) };
      rc_draw_grip(cairo, box, card->layout, way->first, way->last, way->marks, way->n_marks);
    }
    rc_draw_text(cairo, RC_TEXT_NOTE, RC_ALIGN_LEFT, x + card_width(p) - width, y, width, 0, way->text);
    y += way_height(p, card, way) + way_gap;
  }
}

void
rc_grip_cards_draw(RcPages *p, const GArray *cards, const char *heading)
{
  for (guint i = 0; i < cards->len && !p->full; i += ACROSS) {
    double height = 0;
    for (guint j = i; j < MIN(i + ACROSS, cards->len); ++j) {
      height = MAX(height, card_height(p, &g_array_index(cards, RcGripCard, j)));
    }
    rc_pages_need(p, height, heading);
    for (guint j = i; j < MIN(i + ACROSS, cards->len); ++j) {
      draw_card(p, &g_array_index(cards, RcGripCard, j), p->left + (j - i) * (card_width(p) + gap), p->y);
    }
    p->y += height;
  }
}
