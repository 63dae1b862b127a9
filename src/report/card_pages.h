// Copyright 2026 the rowcall developers
// SPDX-License-Identifier: MIT

// A chord that has no button of its own, on a card: its name, how it sounds, and a cut of the keyboard with fingers.

#ifndef ROWCALL_SRC_REPORT_CARD_PAGES_H
#define ROWCALL_SRC_REPORT_CARD_PAGES_H

#include "report/pages.h"

enum { RC_GRIP_MARKS = RC_GRIP_PRESS + 1, RC_GRIP_BELOW = 11 }; // points below a row of cards

/// A card.
typedef struct {
  const RcLayout *layout;
  guint number; // by which it is called; 0 for none
  char *name;
  char *note;
  char *press; // what to press, for those who do not see it; NULL where there is no grip
  RcFingerMark marks[RC_GRIP_MARKS];
  guint n_marks;     // 0 where no keyboard is drawn
  double name_width; // measured
  double note_width; // on one line
  double least;      // what its name and its keyboard ask for
  double x;          // in its row
  double width;
  double note_x;  // where the note begins: after the name where it has room there, else 0, below it
  double heading; // the height above the keyboard
  RcCut cut;
} RcGripCard;

/// Returns an empty array of RcGripCard that frees what its cards own.
GArray *rc_grip_cards_new(void);

/// Adds a card to @p cards; takes @p name, @p note and @p press. @p grip may be NULL: then there are only words.
void rc_grip_cards_add(GArray *cards, RcGripCard card, const RcGrip *grip, const RcFingering *fingers,
                       const RcSecondBass *second);

/// Cards side by side.
typedef struct {
  guint count;
  double height;
} RcGripRow;

/// Lays as many of @p n cards side by side as go into @p width: three or four, or where they are to be @p narrow as
/// many as their names and keyboards leave room for. Their keyboards begin at one height, and fill the row where more
/// follow.
RcGripRow rc_grip_row(RcGripCard *const *cards, guint n, double width, gboolean narrow);

/// Draws a card that lies in a row, the row's top left corner at @p x, @p y.
void rc_grip_card_draw(RcCanvas *canvas, const RcGripCard *card, double x, double y);

/// Draws a circle with the number of a card, @p size wide, its top left corner at @p x, @p y.
void rc_grip_badge_draw(cairo_t *cairo, double x, double y, double size, const char *number);

/// Draws the cards row by row, on further pages headed @p heading where they need be.
void rc_grip_cards_draw(RcPages *pages, const GArray *cards, const char *heading);

#endif
