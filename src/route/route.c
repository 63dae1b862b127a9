// Copyright 2026 the rowcall developers
// SPDX-License-Identifier: MIT

#include "rowcall/route.h"

#include "base/array.h"
#include "route/router.h"

RcRoute *
rc_route_new(RcPlanner *planner)
{
  RcRouter *router = g_new0(RcRouter, 1);
  router->planner = planner;
  router->route.steps = g_array_new(FALSE, TRUE, sizeof(RcStep));
  router->answers = g_array_new(FALSE, FALSE, sizeof(RcAnswered));
  router->choices = g_array_new(FALSE, FALSE, sizeof(RcWayChoice));
  router->last = g_array_new(FALSE, TRUE, sizeof(guint));
  router->ranks = g_array_new(FALSE, TRUE, sizeof(guint8));
  router->stops = g_array_new(FALSE, FALSE, sizeof(RcStop));
  router->arrivals = g_array_new(FALSE, FALSE, sizeof(guint));
  router->costs = g_array_new(FALSE, FALSE, sizeof(RcCost));
  router->before = g_array_new(FALSE, FALSE, sizeof(RcCost));
  router->times = g_array_new(FALSE, TRUE, sizeof(guint));
  router->uses = g_array_new(FALSE, FALSE, sizeof(RcShapeUse));
  rc_wants_init(&router->own);
  return &router->route;
}

static RcRouter *
router_of(RcRoute *route)
{
  return (RcRouter *)rc_router_of(route);
}

void
rc_route_free(RcRoute *route)
{
  if (route) {
    RcRouter *router = router_of(route);
    g_array_unref(route->steps);
    rc_wants_clear(&router->own);
    g_array_unref(router->answers);
    g_array_unref(router->choices);
    g_array_unref(router->last);
    g_array_unref(router->ranks);
    g_array_unref(router->stops);
    g_array_unref(router->arrivals);
    g_array_unref(router->costs);
    g_array_unref(router->before);
    g_array_unref(router->times);
    g_array_unref(router->uses);
    g_free(router);
  }
}

// ----------------------------------------------------------------------------------------------------- what is asked

// The choice of ways for a chord, made where it comes for the first time. `ways_before` is the number of ways of the
// choices made so far, and grows.
static guint
find_choice(RcRouter *r, guint chord, const RcWays *ways, guint *choices, guint *ways_before)
{
  guint *last = &g_array_index(r->last, guint, chord);
  for (guint at = *last; at; at = g_array_index(r->choices, RcWayChoice, at - 1).before) {
    if (g_array_index(r->choices, RcWayChoice, at - 1).ways == ways) {
      return at - 1;
    }
  }
  g_array_index(r->choices, RcWayChoice, *choices) = (RcWayChoice){ ways, chord, *ways_before, *last };
  *ways_before += ways->n;
  *last = ++*choices;
  return *choices - 1;
}

// Asks the planner for all that is wanted.
static void
ask(RcRouter *r)
{
  const guint n = r->wants->wants->len;
  guint choices = 0;
  guint ways_before = 0;
  rc_array_cut(r->last, 0);
  g_array_set_size(r->last, r->wants->tune->symbols->len);
  g_array_set_size(r->answers, n);
  g_array_set_size(r->choices, n);
  rc_planner_ask_wants(r->planner, r->wants, (RcAnswered *)(gpointer)r->answers->data);
  for (guint i = 0; i < n; ++i) {
    RcAnswered *answer = &g_array_index(r->answers, RcAnswered, i);
    if (answer->ways && answer->ways->n) {
      answer->choice = find_choice(r, rc_wants_at(r->wants, i)->same, answer->ways, &choices, &ways_before);
    }
  }
  rc_array_cut(r->choices, choices);
  rc_array_cut(r->ranks, 0);
  g_array_set_size(r->ranks, ways_before);
}

// Finds the stops of the hand.
static void
find_stops(RcRouter *r)
{
  const guint n = r->wants->steps->len;
  guint stops = 0;
  g_array_set_size(r->stops, n);
  for (guint i = 0; i < n; ++i) {
    const RcWantStep *step = rc_wants_step(r->wants, i);
    const RcAnswered *answer = step->want == RC_NO_WANT ? NULL : &g_array_index(r->answers, RcAnswered, step->want);
    if (answer && answer->ways && answer->ways->n) {
      g_array_index(r->stops, RcStop, stops++) =
        (RcStop){ .step = i, .ways = answer->ways, .choice = answer->choice, .length = step->played.length };
    }
  }
  rc_array_cut(r->stops, stops);
}

// -------------------------------------------------------------------------------------------------- the best of all

static const guint8 *
ranks_at(const RcRouter *r, const RcStop *stop)
{
  return &g_array_index(r->ranks, guint8, g_array_index(r->choices, RcWayChoice, stop->choice).first);
}

static void
swap_costs(RcRouter *r)
{
  GArray *costs = r->before;
  r->before = r->costs;
  r->costs = costs;
}

// Makes room for the costs of a stop and for the arrivals at all.
static void
make_room(RcRouter *r)
{
  guint most = 0;
  guint arrivals = 0;
  for (guint i = 0; i < r->stops->len; ++i) {
    RcStop *stop = &g_array_index(r->stops, RcStop, i);
    stop->arrivals = arrivals;
    arrivals += stop->ways->n;
    most = MAX(most, stop->ways->n);
  }
  g_array_set_size(r->arrivals, arrivals);
  g_array_set_size(r->costs, most);
  g_array_set_size(r->before, most);
}

static void
start_at(RcRouter *r, const RcStop *stop)
{
  const guint8 *ranks = ranks_at(r, stop);
  for (guint i = 0; i < stop->ways->n; ++i) {
    RcCost *cost = &g_array_index(r->costs, RcCost, i);
    *cost = (RcCost){ 0 };
    rc_cost_add_own(cost, &stop->ways->ways[i], stop->length);
    cost->travel += ranks[i] * RC_UNUSUAL;
  }
}

// The way of the stop before, of `n`, from which `way` is reached best, where those cost `before`. Sets `best` to the
// cost.
static guint
arrive(const RcWay *ways, const RcCost *before, guint n, const RcWay *way, RcCost *best)
{
  guint best_from = 0;
  *best = before[0];
  best->strain += rc_way_turns(&ways[0], way);
  best->travel += rc_way_between(&ways[0], way);
  for (guint j = 1; j < n; ++j) {
    const RcCost cost = { before[j].strain + rc_way_turns(&ways[j], way),
                          before[j].travel + rc_way_between(&ways[j], way), before[j].verdicts, before[j].wrong };
    if (rc_cost_is_less(&cost, best)) {
      *best = cost;
      best_from = j;
    }
  }
  return best_from;
}

// Finds the best arrival at each way of `stop` from those of the stop before it.
static void
move_to(RcRouter *r, const RcStop *from, const RcStop *stop)
{
  const guint8 *ranks = ranks_at(r, stop);
  swap_costs(r);
  const RcCost *before = &g_array_index(r->before, RcCost, 0);
  for (guint i = 0; i < stop->ways->n; ++i) {
    const RcWay *way = &stop->ways->ways[i];
    RcCost best;
    g_array_index(r->arrivals, guint, stop->arrivals + i) = arrive(from->ways->ways, before, from->ways->n, way, &best);
    rc_cost_add_own(&best, way, stop->length);
    best.travel += ranks[i] * RC_UNUSUAL;
    g_array_index(r->costs, RcCost, i) = best;
  }
}

static guint
best_end(const RcRouter *r, guint ways)
{
  guint best = 0;
  for (guint i = 1; i < ways; ++i) {
    best = rc_cost_is_less(&g_array_index(r->costs, RcCost, i), &g_array_index(r->costs, RcCost, best)) ? i : best;
  }
  return best;
}

static void
walk_back(RcRouter *r, guint way)
{
  for (guint i = r->stops->len; i-- > 0;) {
    RcStop *stop = &g_array_index(r->stops, RcStop, i);
    stop->chosen = way;
    way = g_array_index(r->arrivals, guint, stop->arrivals + way);
  }
}

RcCost
rc_router_choose_easiest(RcRouter *r)
{
  const RcStop *stops = &g_array_index(r->stops, RcStop, 0);
  make_room(r);
  start_at(r, &stops[0]);
  for (guint i = 1; i < r->stops->len; ++i) {
    move_to(r, &stops[i - 1], &stops[i]);
  }
  const guint end = best_end(r, stops[r->stops->len - 1].ways->n);
  walk_back(r, end);
  return g_array_index(r->costs, RcCost, end);
}

// ------------------------------------------------------------------------------------------------ what was chosen

static void
hold(RcStep *step, const RcWay *way, const RcWay *before)
{
  step->held = TRUE;
  step->verdict = (RcVerdict)way->verdict;
  step->grip = way->grip;
  step->fingers = way->fingers;
  step->grading = way->grading;
  step->rank = way->rank;
  step->bellows = (RcBellows)way->bellows;
  step->way = before ? (double)rc_way_between(before, way) / RC_UNITS_A_MM : 0;
  step->spread = (double)way->spread / 2 / RC_UNITS_A_MM;
}

// What the route costs the hand.
static void
measure(RcRouter *r)
{
  RcCost cost = { 0 };
  const RcWay *before = NULL;
  for (guint i = 0; i < r->stops->len; ++i) {
    const RcWay *way = rc_stop_way(&g_array_index(r->stops, RcStop, i));
    rc_cost_add_own(&cost, way, 0);
    cost.strain += before ? rc_way_turns(before, way) : 0;
    cost.travel += before && before != way ? rc_way_between(before, way) : 0;
    before = way;
  }
  r->route.travel = (double)cost.travel / RC_UNITS_A_MM;
  r->route.wide = (guint)(cost.strain / RC_WIDE_STRAIN);
  r->route.reversals = (guint)(cost.strain % RC_WIDE_STRAIN);
}

static RcVerdict
verdict_without_grip(const RcWants *wants, const RcWantStep *step)
{
  return step->want == RC_NO_WANT ? RC_NATIVE : rc_wants_at(wants, step->want)->unread ? RC_UNREAD : RC_IMPOSSIBLE;
}

static void
fill_steps(RcRouter *r)
{
  const RcWay *before = NULL;
  g_array_set_size(r->route.steps, r->wants->steps->len);
  for (guint i = 0; i < r->wants->steps->len; ++i) {
    const RcWantStep *wanted = rc_wants_step(r->wants, i);
    g_array_index(r->route.steps, RcStep, i) =
      (RcStep){ .played = wanted->played, .verdict = verdict_without_grip(r->wants, wanted) };
  }
  for (guint i = 0; i < r->stops->len; ++i) {
    const RcStop *stop = &g_array_index(r->stops, RcStop, i);
    hold(&g_array_index(r->route.steps, RcStep, stop->step), rc_stop_way(stop), before);
    before = rc_stop_way(stop);
  }
}

void
rc_route_choose(RcRoute *route, const RcWants *wants)
{
  RcRouter *r = router_of(route);
  r->wants = wants;
  ask(r);
  find_stops(r);
  if (r->stops->len && rc_planner_is_steady(r->planner)) {
    rc_router_choose_steady(r);
  } else if (r->stops->len) {
    rc_router_choose_alike(r);
  }
  measure(r);
}

void
rc_route_plan(RcRoute *route, const RcTune *tune)
{
  RcRouter *r = router_of(route);
  rc_wants_find(&r->own, &rc_planner_settings(r->planner)->roll, tune);
  rc_route_choose(route, &r->own);
  fill_steps(r);
  route->hasty = 0;
  if (rc_planner_is_steady(r->planner)) {
    rc_router_note_hasty(r);
  }
}
