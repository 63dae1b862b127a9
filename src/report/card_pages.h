// Copyright 2026 the rowcall developers
// SPDX-License-Identifier: MIT

// A chord that has no button of its own, on a card: its name, how it sounds, and a cut of the keyboard with fingers.

#ifndef ROWCALL_SRC_REPORT_CARD_PAGES_H
#define ROWCALL_SRC_REPORT_CARD_PAGES_H

#include "report/pages.h"

enum { RC_GRIP_MARKS = RC_GRIP_PRESS + 1, RC_GRIP_UNITS = 12 };

/// A card.
typedef struct {
  const RcLayout *layout;
  guint number; // by which it is called; 0 for none
  char *name;
  char *note;
  char *press; // what to press, for those who do not see it; NULL where there is no grip
  RcFingerMark marks[RC_GRIP_MARKS];
  guint n_marks; // 0 where no keyboard is drawn
  double width;
  double height;
  double note_x; // where the note begins: after the name where it has room there, else 0, below it
  double note_height;
  RcCut cut;
} RcGripCard;

/// Returns an empty array of RcGripCard that frees what its cards own.
GArray *rc_grip_cards_new(void);

/// Adds a card to @p cards, to lie in a line @p width wide; takes @p name, @p note and @p press. @p grip may be NULL:
/// then there are only words.
void rc_grip_cards_add(GArray *cards, double width, RcGripCard card, const RcGrip *grip, const RcFingering *fingers,
                       const RcSecondBass *second);

/// Cards that fill a width from above, each in its turn where it comes highest. Cards are a quarter or a third of the
/// width, or what their keyboard needs.
typedef struct {
  double unit;                ///< a twelfth of the width, in points
  double ends[RC_GRIP_UNITS]; ///< by unit: how far down it is taken
} RcGripGrid;

void rc_grip_grid_start(RcGripGrid *grid, double width, double y);

/// Returns where the next card goes, its left edge counted from that of the grid.
RcBox rc_grip_grid_find(const RcGripGrid *grid, const RcGripCard *card);

/// Takes @p box, which rc_grip_grid_find() returned.
void rc_grip_grid_take(RcGripGrid *grid, const RcBox *box);

/// Returns where the lowest card ends.
double rc_grip_grid_end(const RcGripGrid *grid);

/// Draws a card with its top left corner at @p x, @p y.
void rc_grip_card_draw(RcCanvas *canvas, const RcGripCard *card, double x, double y);

/// Draws a circle with the number of a card, @p size wide, its top left corner at @p x, @p y.
void rc_grip_badge_draw(cairo_t *cairo, double x, double y, double size, const char *number);

/// Draws the cards line by line, on further pages headed @p heading where they need be.
void rc_grip_cards_draw(RcPages *pages, const GArray *cards, const char *heading);

#endif
