// Copyright 2026 the rowcall developers
// SPDX-License-Identifier: MIT

// Routes that hold a chord the same way each time. Which way of a chord is its usual one is found by branch and bound:
// a route is planned in which a way costs no more than the rank it may still have; where that route holds chords in
// several ways at too low a price, either its most used way is the usual one of the chord, or it is not.

#include "base/array.h"
#include "route/router.h"

#include "base/order.h"

#include <string.h>

// Routes planned for one tune, and what they look at together: each pair of a way and one before it, and as much as
// STOP_WORK pairs at each stop. Then the best so far is taken. Of the 20,000 tunes of the benchmarks none needs half as
// many routes; a thousand million pairs take some seconds.
enum { MOST_TRIES = 200, STOP_WORK = 256, MOST_WORK = 1 << 30 };

typedef struct {
  RcRouter *router;
  GArray *times; // of guint: by way of each choice, how often it is taken
  GArray *uses;  // of RcShapeUse: of one chord
  guint *best;   // the way of each stop
  RcCost cost;   // of these
  gboolean found;
  guint tries;
  guint most_tries;
} Search;

// The chord that costs most beyond what it is charged, and its shape to be ranked next.
typedef struct {
  guint chord;
  guint32 shape;
  guint8 rank;
  gint64 missing; // of its costs
} Doubt;

static void
count_times(Search *s)
{
  const RcRouter *r = s->router;
  rc_array_cut(s->times, 0);
  g_array_set_size(s->times, r->ranks->len);
  for (guint i = 0; i < r->stops->len; ++i) {
    const RcStop *stop = &g_array_index(r->stops, RcStop, i);
    ++g_array_index(s->times, guint, g_array_index(r->choices, RcWayChoice, stop->choice).first + stop->chosen);
  }
}

static void
add_use(GArray *uses, RcShapeUse use)
{
  for (guint i = 0; i < uses->len; ++i) {
    RcShapeUse *known = &g_array_index(uses, RcShapeUse, i);
    if (known->shape == use.shape) {
      known->times += use.times;
      return;
    }
  }
  g_array_append_val(uses, use);
}

// The more frequent first; which of equal ones is first makes no difference to what is missing.
static int
compare_uses(gconstpointer a, gconstpointer b)
{
  return rc_order(((const RcShapeUse *)b)->times, ((const RcShapeUse *)a)->times);
}

// Finds how a chord is held, the most used shape first.
static void
find_uses(Search *s, guint chord)
{
  const RcRouter *r = s->router;
  rc_array_cut(s->uses, 0);
  for (guint at = g_array_index(r->last, guint, chord); at;) {
    const RcWayChoice *choice = &g_array_index(r->choices, RcWayChoice, at - 1);
    for (guint i = 0; i < choice->ways->n; ++i) {
      const guint place = choice->first + i;
      const guint times = g_array_index(s->times, guint, place);
      if (times) {
        add_use(s->uses, (RcShapeUse){ choice->ways->ways[i].shape, g_array_index(r->ranks, guint8, place), times });
      }
    }
    at = choice->before;
  }
  if (s->uses->len > 1) {
    g_array_sort(s->uses, compare_uses);
  }
}

// What the chord whose uses were found costs more than it is charged.
static gint64
find_missing(const Search *s)
{
  gint64 missing = 0;
  for (guint i = 0; i < s->uses->len; ++i) {
    const RcShapeUse *use = &g_array_index(s->uses, RcShapeUse, i);
    missing += ((gint64)MIN(i, RC_LEAST_USUAL) - use->rank) * use->times;
  }
  return missing * RC_UNUSUAL;
}

// The most frequent of several shapes that are charged the same lowest rank; there are such where something is missing.
static const RcShapeUse *
find_leading(const Search *s)
{
  const RcShapeUse *leading[RC_LEAST_USUAL] = { NULL };
  gboolean several[RC_LEAST_USUAL] = { FALSE };
  for (guint i = 0; i < s->uses->len; ++i) {
    const RcShapeUse *use = &g_array_index(s->uses, RcShapeUse, i);
    if (use->rank < RC_LEAST_USUAL) {
      several[use->rank] = leading[use->rank] != NULL;
      leading[use->rank] = leading[use->rank] ? leading[use->rank] : use;
    }
  }
  return several[0] ? leading[0] : leading[1];
}

// What all chords cost more than they are charged; sets `doubt` to the one that is furthest from it.
static gint64
find_doubt(Search *s, Doubt *doubt)
{
  gint64 sum = 0;
  doubt->missing = 0;
  count_times(s);
  for (guint chord = 0; chord < s->router->last->len; ++chord) {
    find_uses(s, chord);
    const gint64 missing = find_missing(s);
    sum += missing;
    if (missing > doubt->missing) {
      const RcShapeUse *leading = find_leading(s);
      *doubt = (Doubt){ chord, leading->shape, leading->rank, missing };
    }
  }
  return sum;
}

static void
keep_if_better(Search *s, RcCost cost)
{
  if (!s->found || rc_cost_is_less(&cost, &s->cost)) {
    s->cost = cost;
    s->found = TRUE;
    for (guint i = 0; i < s->router->stops->len; ++i) {
      s->best[i] = g_array_index(s->router->stops, RcStop, i).chosen;
    }
  }
}

// Moves the shape in doubt, or else all others of its rank, one rank down.
static void
move_down(RcRouter *r, const Doubt *doubt, gboolean others)
{
  for (guint at = g_array_index(r->last, guint, doubt->chord); at;) {
    const RcWayChoice *choice = &g_array_index(r->choices, RcWayChoice, at - 1);
    for (guint i = 0; i < choice->ways->n; ++i) {
      guint8 *rank = &g_array_index(r->ranks, guint8, choice->first + i);
      if (*rank == doubt->rank && (choice->ways->ways[i].shape != doubt->shape) == others) {
        ++*rank;
      }
    }
    at = choice->before;
  }
}

// Tries the routes that keep to the ranks so far once shapes of the chord in doubt have moved down.
static void try_moved(Search *s, const Doubt *doubt, gboolean others);

// Tries all routes that keep to the ranks so far.
static void
try_ranks(Search *s)
{
  Doubt doubt;
  RcCost cost = rc_router_choose_easiest(s->router);
  ++s->tries;
  if (s->found && !rc_cost_is_less(&cost, &s->cost)) {
    return;
  }
  cost.travel += find_doubt(s, &doubt);
  keep_if_better(s, cost);
  if (doubt.missing > 0) {
    try_moved(s, &doubt, TRUE);
    try_moved(s, &doubt, FALSE);
  }
}

static void
try_moved(Search *s, const Doubt *doubt, gboolean others)
{
  GArray *ranks = s->router->ranks;
  if (s->tries < s->most_tries) {
    guint8 *before = g_memdup2(ranks->data, ranks->len);
    move_down(s->router, doubt, others);
    try_ranks(s);
    memcpy(ranks->data, before, ranks->len);
    g_free(before);
  }
}

// What planning the route once looks at; there are stops.
static guint64
work_of(const RcRouter *r)
{
  guint64 work = 0;
  guint before = 0;
  for (guint i = 0; i < r->stops->len; ++i) {
    const guint n = g_array_index(r->stops, RcStop, i).ways->n;
    work += STOP_WORK + (guint64)n * before;
    before = n;
  }
  return work;
}

// Whether there is nothing to choose. Then the first way of each stop is taken.
static gboolean
is_single(const RcRouter *r)
{
  for (guint i = 0; i < r->choices->len; ++i) {
    if (g_array_index(r->choices, RcWayChoice, i).ways->n > 1) {
      return FALSE;
    }
  }
  return TRUE;
}

void
rc_router_choose_alike(RcRouter *router)
{
  const guint n = router->stops->len;
  if (is_single(router)) {
    return;
  }
  Search s = { .router = router,
               .times = router->times,
               .uses = router->uses,
               .best = g_new0(guint, n),
               .most_tries = (guint)MIN(MOST_TRIES, MOST_WORK / work_of(router)) };
  try_ranks(&s);
  for (guint i = 0; i < n; ++i) {
    g_array_index(router->stops, RcStop, i).chosen = s.best[i];
  }
  g_free(s.best);
}
