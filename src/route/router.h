// Copyright 2026 the rowcall developers
// SPDX-License-Identifier: MIT

// What the two searches for a route share: the stops of the hand, what it costs to get from one to the next, and the
// ways that were chosen.

#ifndef ROWCALL_SRC_ROUTE_ROUTER_H
#define ROWCALL_SRC_ROUTE_ROUTER_H

#include "route/planner.h"

#include <math.h>

/// What a route costs so far; compared in this order.
typedef struct {
  gint64 strain; // RC_WIDE_STRAIN for each wide grip and 1 for each reversal of the bellows
  gint64 travel;
  gint64 verdicts; // by time
  gint64 wrong;    // tones by time
} RcCost;

/// What it costs each time that a chord is held in its second most usual way; in a still less usual one, twice as much.
#define RC_UNUSUAL ((gint64)RC_CLEARLY_MM * RC_UNITS_A_MM)

enum { RC_LEAST_USUAL = 2 }; // rank of all ways from the third on

#define RC_WIDE_STRAIN (G_GINT64_CONSTANT(1) << 32) // more than there are reversals

/// A chord of a tune with the ways it may be held where one thing is asked of it: in another key, at another speed or
/// with other help from the melody there may be others.
typedef struct {
  const RcWays *ways;
  guint chord;  // the first symbol that writes it
  guint first;  // place of its first way in `ranks`
  guint before; // the choice before it of the same chord, plus 1; 0 for none
} RcWayChoice;

/// A stop of the hand: a step that can be held.
typedef struct {
  guint step;
  const RcWays *ways;
  guint choice;
  guint arrivals; // place of its first way in `arrivals`
  guint chosen;   // the way that is taken
  RcTicks length;
} RcStop;

/// How often a chord is held in one shape.
typedef struct {
  guint32 shape;
  guint8 rank; // that it is charged
  guint times;
} RcShapeUse;

typedef struct {
  RcRoute route; // what others see
  RcPlanner *planner;
  RcWants own;          // wants that only this route has
  const RcWants *wants; // of the tune planned
  GArray *answers;      // of RcAnswered: by want
  GArray *choices;      // of RcWayChoice
  GArray *last;         // of guint: by symbol its last choice, plus 1
  GArray *ranks;        // of guint8: by way of each choice, how many ways of the chord are more usual; see RC_UNUSUAL
  GArray *stops;        // of RcStop
  GArray *arrivals;     // of guint: for each way of each stop the best way of the stop before
  GArray *costs;        // of RcCost: by way of the stop reached
  GArray *before;       // of RcCost: by way of the one before it
  GArray *times;        // of guint: by way of each choice, how often it is taken
  GArray *uses;         // of RcShapeUse: of one chord
} RcRouter;

/// Returns the router whose route others see.
static inline const RcRouter *
rc_router_of(const RcRoute *route)
{
  return (const RcRouter *)route; // its first member
}

/// Plans the tune of @p wants, which stay until the next one is planned, as rc_route_plan() does, but for the steps of
/// the route and where the bellows turn too soon: what is chosen is told by the stops.
void rc_route_choose(RcRoute *route, const RcWants *wants);

/// What routes of one planner hold, added up by its ways before a use is told.
typedef struct {
  RcUse *use;   // borrowed
  GArray *held; // by number of the way; see RcWays
} RcUseSums;

/// Starts adding to @p use, which keeps no tunes.
void rc_use_sums_init(RcUseSums *sums, RcUse *use);

/// As rc_use_add().
void rc_use_sums_add(RcUseSums *sums, const RcRoute *route, RcVerdict accept);

/// Tells the use, while the planner is there, and frees what @p sums hold.
void rc_use_sums_end(RcUseSums *sums);

/// The way that is taken at a stop.
static inline const RcWay *
rc_stop_way(const RcStop *stop)
{
  return &stop->ways->ways[stop->chosen];
}

/// Chooses the easiest way for each stop, where a way costs more the less usual it is, by `ranks`. Returns the cost.
RcCost rc_router_choose_easiest(RcRouter *router);

/// Chooses the easiest way for each stop so that a chord is held the same way each time unless another is clearly
/// better.
void rc_router_choose_alike(RcRouter *router);

/// Chooses a way for each stop so that the bellows turn no sooner than the settings allow, where that can be had.
void rc_router_choose_steady(RcRouter *router);

/// Counts where the bellows turn too soon, and notes it in the steps of the route.
void rc_router_note_hasty(RcRouter *router);

/// The way of the hand: sums of whole numbers, so that routes compare exactly.
static inline gint64
rc_way_between(const RcWay *a, const RcWay *b)
{
  const double x = (double)a->x - b->x;
  const double y = (double)a->y - b->y;
  return (gint64)(sqrt(x * x + y * y) + 0.5);
}

/// Reversals of the bellows from one way to the next. `to` is the same in the inner loop, which where no direction
/// matters looks no further.
static inline gint64
rc_way_turns(const RcWay *from, const RcWay *to)
{
  return to->bellows != RC_BELLOWS_BOTH && from->bellows != to->bellows;
}

static inline gboolean
rc_cost_is_less(const RcCost *a, const RcCost *b)
{
  if (a->strain != b->strain) {
    return a->strain < b->strain;
  }
  if (a->travel != b->travel) {
    return a->travel < b->travel;
  }
  return a->verdicts != b->verdicts ? a->verdicts < b->verdicts : a->wrong < b->wrong;
}

/// Adds what a way costs by itself, held for `played`.
static inline void
rc_cost_add_own(RcCost *cost, const RcWay *way, RcTicks played)
{
  const RcTicks length = MAX(played, 1); // one that is written without counts as well
  cost->strain += way->wide ? RC_WIDE_STRAIN : 0;
  cost->travel += way->spread;
  cost->verdicts += (gint64)way->verdict * length;
  cost->wrong += (gint64)way->wrong * length;
}

#endif
