// Copyright 2026 the rowcall developers
// SPDX-License-Identifier: MIT

// What a planner gives routes: the ways a hand may hold the answer to a request.

#ifndef ROWCALL_SRC_ROUTE_PLANNER_H
#define ROWCALL_SRC_ROUTE_PLANNER_H

#include "rowcall/route.h"

#include "route/wants.h"

/// Lengths are whole numbers of this many to the mm, so that sums and comparisons are exact. A hand's place is the mean
/// of up to three buttons; 6 makes it a whole number of micrometres' sixths.
enum { RC_SIXTHS = 6, RC_UNITS_A_MM = 1000 * RC_SIXTHS };

/// A grip with its fingers.
typedef struct {
  gint32 x;      // of the hand, along the board
  gint32 y;      // and across
  gint64 spread; // out and back
  guint8 verdict;
  guint8 wide;
  guint8 wrong;   // foreign and missing tones, those that the melody fills among them
  guint8 bellows; // RcBellows: push or pull where the keyboard has buttons that differ, else both
  guint32 shape;  // number of the buttons with their fingers: the same in all answers of a planner
  RcGrip grip;
  RcFingering fingers;
  RcGrading grading;
  guint32 rank; // of the answer
} RcWay;

/// The ways to hold the answer to one request, handiest grip first; none where there is no grip.
typedef struct {
  RcWay *ways;
  guint n;
  guint first; // number of the first of them among all ways of the planner
} RcWays;

/// What a planner answers to a want.
typedef struct {
  const RcWays *ways; // NULL to a text that could not be read
  guint choice;       // of a router, where there are ways
} RcAnswered;

/// As rc_planner_new(), for the hand of @p catalogue, which must outlive the planner.
RcPlanner *rc_planner_new_on(const RcCatalogue *catalogue, const RcRouteSettings *settings);

/// Returns the ways to hold @p request among which a route may choose: those of the best rank, of these the likest, of
/// these those of the fewest buttons and the smallest reach; with #RC_PREFER_EASE all native, A and B of one or
/// two buttons and an accepted verdict, and else where the bellows are to go steadily all of an accepted verdict; where
/// there is none, as without. They stay while the planner does.
const RcWays *rc_planner_ask(RcPlanner *planner, const RcRequest *request);

/// Sets the ways of @p answers, one for each of @p wants, to those.
void rc_planner_ask_wants(RcPlanner *planner, const RcWants *wants, RcAnswered *answers);

/// Returns whether routes have bellows to turn and a time to keep between turns.
gboolean rc_planner_is_steady(const RcPlanner *planner);

#endif
