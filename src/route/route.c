// Copyright 2026 the rowcall developers
// SPDX-License-Identifier: MIT

#include "rowcall/route.h"

#include "planner.h"

#include <math.h>

// What a route costs so far; compared in this order. With RC_PREFER_SOUND all ways of one chord sound alike, so that
// their sound never decides.
typedef struct {
  gint64 strain; // WIDE for each wide grip and 1 for each reversal of the bellows
  gint64 travel;
  gint64 verdicts; // by time
  gint64 wrong;    // tones by time
} Cost;

static const gint64 WIDE = G_GINT64_CONSTANT(1) << 32; // more than there are reversals

// What was asked for a symbol last, in the setting the tune is in.
typedef struct {
  const RcWays *ways;
  RcPcSet melody;
} Known;

// A stop of the hand: a step that can be held.
typedef struct {
  guint step;
  const RcWays *ways;
  guint arrivals; // place of its first way in `arrivals`
} Stop;

typedef struct {
  RcRoute route; // what others see
  RcPlanner *planner;
  GArray *known;    // of Known: two a symbol, for long and for brisk chords
  GArray *stops;    // of Stop
  GArray *arrivals; // of guint: for each way of each stop the best way of the stop before
  GArray *costs;    // of Cost: by way of the stop reached
  GArray *before;   // of Cost: by way of the one before it
} Router;

RcRoute *
rc_route_new(RcPlanner *planner)
{
  Router *router = g_new0(Router, 1);
  router->planner = planner;
  router->route.steps = g_array_new(FALSE, TRUE, sizeof(RcStep));
  router->known = g_array_new(FALSE, TRUE, sizeof(Known));
  router->stops = g_array_new(FALSE, FALSE, sizeof(Stop));
  router->arrivals = g_array_new(FALSE, FALSE, sizeof(guint));
  router->costs = g_array_new(FALSE, FALSE, sizeof(Cost));
  router->before = g_array_new(FALSE, FALSE, sizeof(Cost));
  return &router->route;
}

static Router *
router_of(RcRoute *route)
{
  return (Router *)route; // its first member
}

void
rc_route_free(RcRoute *route)
{
  if (route) {
    Router *router = router_of(route);
    g_array_unref(route->steps);
    g_array_unref(router->known);
    g_array_unref(router->stops);
    g_array_unref(router->arrivals);
    g_array_unref(router->costs);
    g_array_unref(router->before);
    g_free(router);
  }
}

// ----------------------------------------------------------------------------------------------------- what is asked

// Key and tempo from some place in a tune on.
typedef struct {
  guint setting;
  RcTicks brisk;
} Here;

// Forgets what was asked, which holds in one key.
static Here
come_to(Router *r, const RcTune *tune, guint setting)
{
  g_array_set_size(r->known, 0);
  g_array_set_size(r->known, 2 * tune->symbols->len);
  return (Here){ setting, rc_roll_brisk_below(&rc_planner_settings(r->planner)->roll, tune, setting) };
}

static const RcWays *
ways_for(Router *r, const RcTune *tune, const RcPlayed *played, const Here *here)
{
  const RcRollSettings *settings = &rc_planner_settings(r->planner)->roll;
  const gboolean brisk = rc_played_is_brisk(played, here->brisk);
  const RcPcSet melody = settings->no_melody ? 0 : played->melody;
  Known *known = &g_array_index(r->known, Known, 2 * played->symbol + (brisk ? 1 : 0));
  if (!known->ways || known->melody != melody) {
    const RcRequest request = rc_roll_request(settings, tune, played);
    *known = (Known){ rc_planner_ask(r->planner, &request), melody };
  }
  return known->ways;
}

static void
add_step(Router *r, const RcTune *tune, const RcPlayed *played, const Here *here)
{
  const RcSymbolKind kind = g_array_index(tune->symbols, RcSymbol, played->symbol).kind;
  const RcWays *ways = kind == RC_SYMBOL_CHORD ? ways_for(r, tune, played, here) : NULL;
  if (ways && ways->n) {
    const Stop stop = { r->route.steps->len, ways, 0 };
    g_array_append_val(r->stops, stop);
  }
  const RcVerdict verdict = ways ? RC_IMPOSSIBLE : kind == RC_SYMBOL_UNREAD ? RC_UNREAD : RC_NATIVE;
  const RcStep step = { .played = *played, .verdict = verdict };
  g_array_append_val(r->route.steps, step);
}

static void
collect(Router *r, const RcTune *tune)
{
  RcPlayed played;
  Here here = come_to(r, tune, 0);
  g_array_set_size(r->route.steps, 0);
  g_array_set_size(r->stops, 0);
  for (RcWalk walk = rc_walk_start(tune); rc_walk_next(&walk, &played);) {
    if (played.setting != here.setting) {
      here = come_to(r, tune, played.setting);
    }
    add_step(r, tune, &played, &here);
  }
}

// -------------------------------------------------------------------------------------------------- the best of all

// The way of the hand: sums of whole numbers, so that routes compare exactly.
static inline gint64
way_between(const RcWay *a, const RcWay *b)
{
  const double x = (double)a->x - b->x;
  const double y = (double)a->y - b->y;
  return (gint64)(sqrt(x * x + y * y) + 0.5);
}

// Reversals of the bellows from one way to the next. `to` is the same in the inner loop, which where no direction
// matters looks no further.
static inline gint64
turns(const RcWay *from, const RcWay *to)
{
  return to->bellows != RC_BELLOWS_BOTH && from->bellows != to->bellows;
}

static inline gboolean
is_less(const Cost *a, const Cost *b)
{
  if (a->strain != b->strain) {
    return a->strain < b->strain;
  }
  if (a->travel != b->travel) {
    return a->travel < b->travel;
  }
  return a->verdicts != b->verdicts ? a->verdicts < b->verdicts : a->wrong < b->wrong;
}

static inline void
add_own_cost(Cost *cost, const RcWay *way, RcTicks played)
{
  const RcTicks length = MAX(played, 1); // one that is written without counts as well
  cost->strain += way->wide ? WIDE : 0;
  cost->travel += way->spread;
  cost->verdicts += (gint64)way->verdict * length;
  cost->wrong += (gint64)way->wrong * length;
}

static void
swap_costs(Router *r)
{
  GArray *costs = r->before;
  r->before = r->costs;
  r->costs = costs;
}

static void
start_at(Router *r, const Stop *stop)
{
  const RcTicks length = g_array_index(r->route.steps, RcStep, stop->step).played.length;
  g_array_set_size(r->costs, stop->ways->n);
  g_array_set_size(r->arrivals, stop->ways->n);
  for (guint i = 0; i < stop->ways->n; ++i) {
    Cost *cost = &g_array_index(r->costs, Cost, i);
    *cost = (Cost){ 0, 0, 0, 0 };
    add_own_cost(cost, &stop->ways->ways[i], length);
  }
}

// Finds the best arrival at each way of `stop` from those of the stop before it.
static void
move_to(Router *r, const Stop *from, Stop *stop)
{
  const RcTicks length = g_array_index(r->route.steps, RcStep, stop->step).played.length;
  swap_costs(r);
  stop->arrivals = r->arrivals->len;
  g_array_set_size(r->costs, stop->ways->n);
  g_array_set_size(r->arrivals, stop->arrivals + stop->ways->n);
  const Cost *before = &g_array_index(r->before, Cost, 0);
  for (guint i = 0; i < stop->ways->n; ++i) {
    const RcWay *way = &stop->ways->ways[i];
    Cost best = before[0];
    guint best_from = 0;
    best.strain += turns(&from->ways->ways[0], way);
    best.travel += way_between(&from->ways->ways[0], way);
    for (guint j = 1; j < from->ways->n; ++j) {
      Cost cost = before[j];
      cost.strain += turns(&from->ways->ways[j], way);
      cost.travel += way_between(&from->ways->ways[j], way);
      if (is_less(&cost, &best)) {
        best = cost;
        best_from = j;
      }
    }
    add_own_cost(&best, way, length);
    g_array_index(r->costs, Cost, i) = best;
    g_array_index(r->arrivals, guint, stop->arrivals + i) = best_from;
  }
}

static guint
best_end(const Router *r)
{
  guint best = 0;
  for (guint i = 1; i < r->costs->len; ++i) {
    best = is_less(&g_array_index(r->costs, Cost, i), &g_array_index(r->costs, Cost, best)) ? i : best;
  }
  return best;
}

static void
hold(RcStep *step, const RcWay *way, const RcWay *before)
{
  step->held = TRUE;
  step->verdict = (RcVerdict)way->verdict;
  step->grip = way->grip;
  step->fingers = way->fingers;
  step->grading = way->grading;
  step->bellows = (RcBellows)way->bellows;
  step->way = before ? (double)way_between(before, way) / RC_UNITS_A_MM : 0;
  step->spread = (double)way->spread / 2 / RC_UNITS_A_MM;
}

static void
walk_back(Router *r)
{
  guint way = best_end(r);
  for (guint i = r->stops->len; i-- > 0;) {
    const Stop *stop = &g_array_index(r->stops, Stop, i);
    const Stop *from = i ? stop - 1 : NULL;
    const guint came = g_array_index(r->arrivals, guint, stop->arrivals + way);
    hold(&g_array_index(r->route.steps, RcStep, stop->step), &stop->ways->ways[way],
         from ? &from->ways->ways[came] : NULL);
    way = came;
  }
}

void
rc_route_plan(RcRoute *route, const RcTune *tune)
{
  Router *r = router_of(route);
  collect(r, tune);
  route->travel = 0;
  route->wide = 0;
  route->reversals = 0;
  if (!r->stops->len) {
    return;
  }
  Stop *stops = &g_array_index(r->stops, Stop, 0);
  start_at(r, &stops[0]);
  for (guint i = 1; i < r->stops->len; ++i) {
    move_to(r, &stops[i - 1], &stops[i]);
  }
  walk_back(r);
  const Cost *cost = &g_array_index(r->costs, Cost, best_end(r));
  route->travel = (double)cost->travel / RC_UNITS_A_MM;
  route->wide = (guint)(cost->strain / WIDE);
  route->reversals = (guint)(cost->strain % WIDE);
}
