// Copyright 2026 the rowcall developers
// SPDX-License-Identifier: MIT

#include "report/card.h"

enum { ACROSS = 2 };

// In points.
static const double gap = 14;
static const double figure_width = 132;
static const double figure_gap = 8;
static const double below = 12;

const char *
rc_card_hint(RcVerdict verdict, const RcGrading *grading, gboolean wide)
{
  if (wide) {
    return "Wide: do not force the stretch, stop if it hurts, and ask a teacher.";
  }
  switch (verdict) {
  case RC_RICHER:
    return "Lean on the bass and keep the chord light.";
  case RC_BARE:
    return grading->helped ? "Bare bass, only because the tune has the third."
                           : "Bare bass, only because it goes by fast.";
  case RC_BORROWED:
    return "A makeshift: short and soft, and listen whether it passes.";
  default:
    return NULL;
  }
}

// ---------------------------------------------------------------------------------------------------------- making

static void
add_mark(RcCard *card, guint button, guint finger, gboolean second)
{
  const guint column = rc_layout_button(card->layout, button)->column;
  card->first = card->n_marks ? MIN(card->first, column) : column;
  card->last = card->n_marks ? MAX(card->last, column) : column;
  card->marks[card->n_marks++] = (RcFingerMark){ button, rc_finger_of_player(card->layout, finger), second };
}

// A column more on each side where few are in use, so that a player finds the place.
static void
widen_cut(RcCard *card)
{
  enum { FEW = 4 };
  for (guint i = 0; i < FEW && card->last - card->first + 1 < FEW; ++i) {
    if (i % 2 && card->first > 0) {
      --card->first;
    } else if (i % 2 == 0 && card->last + 1 < card->layout->columns->len) {
      ++card->last;
    }
  }
}

RcCard
rc_card(const RcLayout *layout, char *heading, char *text, const RcGrip *grip, const RcFingering *fingers,
        const RcSecondBass *second)
{
  RcCard card = { .layout = layout, .heading = heading, .text = text };
  if (grip) {
    for (guint i = 0; i < rc_grip_count(grip); ++i) {
      add_mark(&card, rc_grip_button(grip, i), rc_grip_finger(grip, fingers, i), FALSE);
    }
    if (second->found) {
      add_mark(&card, second->button, second->finger, TRUE);
    }
    widen_cut(&card);
  }
  return card;
}

static void
clear_card(gpointer data)
{
  RcCard *card = data;
  g_free(card->heading);
  g_free(card->text);
}

GArray *
rc_cards_new(void)
{
  GArray *cards = g_array_new(FALSE, FALSE, sizeof(RcCard));
  g_array_set_clear_func(cards, clear_card);
  return cards;
}

// ---------------------------------------------------------------------------------------------------------- drawing

static double
card_width(const RcPages *p)
{
  return (p->text_width - gap * (ACROSS - 1)) / ACROSS;
}

static double
words_width(const RcPages *p, const RcCard *card)
{
  return card_width(p) - (card->n_marks ? figure_width + figure_gap : 0);
}

static double
figure_height(const RcCard *card)
{
  return card->n_marks ? rc_grip_figure_height(card->layout, card->last - card->first + 1, figure_width) : 0;
}

static double
card_height(const RcPages *p, const RcCard *card)
{
  return rc_text_height(RC_TEXT_STRONG, card_width(p), 2, card->heading) + 3 +
         MAX(figure_height(card), rc_text_height(RC_TEXT_NOTE, words_width(p, card), 0, card->text)) + below;
}

static void
draw_card(const RcPages *p, const RcCard *card, double x, double y)
{
  cairo_t *cairo = p->canvas.cairo;
  y += rc_draw_text(cairo, RC_TEXT_STRONG, RC_ALIGN_LEFT, x, y, card_width(p), 2, card->heading) + 3;
  if (card->n_marks) {
    const RcBox box = { x, y, figure_width, figure_height(card) };
    rc_draw_grip(cairo, box, card->layout, card->first, card->last, card->marks, card->n_marks);
  }
  rc_draw_text(cairo, RC_TEXT_NOTE, RC_ALIGN_LEFT, x + card_width(p) - words_width(p, card), y, words_width(p, card), 0,
               card->text);
}

void
rc_cards_draw(RcPages *p, const GArray *cards, const char *heading)
{
  for (guint i = 0; i < cards->len && !p->full; i += ACROSS) {
    double height = 0;
    for (guint j = i; j < MIN(i + ACROSS, cards->len); ++j) {
      height = MAX(height, card_height(p, &g_array_index(cards, RcCard, j)));
    }
    rc_pages_need(p, height, heading);
    for (guint j = i; j < MIN(i + ACROSS, cards->len); ++j) {
      draw_card(p, &g_array_index(cards, RcCard, j), p->left + (j - i) * (card_width(p) + gap), p->y);
    }
    p->y += height;
  }
}
