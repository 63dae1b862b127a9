// Copyright 2026 the rowcall developers
// SPDX-License-Identifier: MIT

// Routes whose bellows turn no sooner than so many seconds after they turned last. What a turn costs depends on when
// the last one was, so the search keeps for each way of a stop, and for each chord at which the bellows may have turned
// last, the least cost; of these only such as no other beats in both.

#include "route/router.h"

#include "base/order.h"

enum {
  MOST_AGO = 64, // chords; a turn before that is long enough ago
  LONG_AGO = MOST_AGO
};

static const double UNMEASURED = 86400; // seconds, longer than any setting
static const double ROUNDING = 0.001;   // seconds

// The hand at a stop.
typedef struct {
  guint way;
  guint ago;   // so many stops ago the bellows turned last; LONG_AGO where that does not matter any more
  guint from;  // the hand at the stop before, as an index into the steps of the search
  guint hasty; // turns that came too soon
  RcCost cost;
} Hand;

// What is kept of a hand for the way back.
typedef struct {
  guint way;
  guint from;
} Trace;

typedef struct {
  RcRouter *router;
  double apart; // seconds
  gboolean sound_first;
  GArray *times;        // of double: when each stop begins
  GArray *hands;        // of Hand: at the stop reached
  GArray *before;       // of Hand: at the one before it
  GArray *traces;       // of Trace: of all hands at all stops
  GHashTable *unbeaten; // of RcWays * to GArray * of guint: see unbeaten_ways()
} Search;

// ------------------------------------------------------------------------------------------------------------ time

static double
seconds_of(const RcRouter *r, const RcWantStep *step)
{
  const RcRollSettings *settings = &rc_planner_settings(r->planner)->roll;
  const RcTempo tempo = rc_roll_tempo(settings, r->wants->tune, step->played.setting);
  const gboolean measured = step->played.length && tempo.source != RC_TEMPO_NONE;
  return measured ? rc_ticks_seconds(step->played.length, tempo) : UNMEASURED;
}

// When each stop begins, in seconds.
static GArray *
find_times(const RcRouter *r)
{
  GArray *times = g_array_sized_new(FALSE, FALSE, sizeof(double), r->stops->len);
  double now = 0;
  guint step = 0;
  for (guint i = 0; i < r->stops->len; ++i) {
    for (const guint until = g_array_index(r->stops, RcStop, i).step; step < until; ++step) {
      now += seconds_of(r, rc_wants_step(r->wants, step));
    }
    g_array_append_val(times, now);
  }
  return times;
}

static gboolean
is_too_soon(const GArray *times, double apart, guint turned, guint now)
{
  const double since = g_array_index(times, double, now) - g_array_index(times, double, turned);
  return now - turned < MOST_AGO && since < apart - ROUNDING;
}

// -------------------------------------------------------------------------------------------- ways that may be taken

// By the place of the hand and the direction of the bellows, which is all that the next way looks at; then in order.
static int
compare_places(gconstpointer a, gconstpointer b, gpointer data)
{
  const guint left = *(const guint *)a;
  const guint right = *(const guint *)b;
  const RcWay *one = &((const RcWays *)data)->ways[left];
  const RcWay *other = &((const RcWays *)data)->ways[right];
  const int x = rc_order(one->x, other->x);
  const int y = rc_order(one->y, other->y);
  const int bellows = rc_order(one->bellows, other->bellows);
  return x ? x : y ? y : bellows ? bellows : rc_order(left, right);
}

static gboolean
is_same_place(const RcWay *a, const RcWay *b)
{
  return a->x == b->x && a->y == b->y && a->bellows == b->bellows;
}

// Whether `a` costs no more than `b` in anything.
static gboolean
is_as_good(const RcWay *a, const RcWay *b)
{
  return a->wide <= b->wide && a->spread <= b->spread && a->verdict <= b->verdict && a->wrong <= b->wrong;
}

// Whether `other` costs no more than `way` in anything, and less or is the handier: then `way` is on no best route.
static gboolean
beats(const RcWay *other, const RcWay *way, gboolean handier)
{
  return is_as_good(other, way) && (handier || !is_as_good(way, other));
}

static const RcWay *
way_at(const RcWays *ways, const GArray *order, guint at)
{
  return &ways->ways[g_array_index(order, guint, at)];
}

// After which of `order` those end that are at the place of the one at `first`.
static guint
end_of_place(const RcWays *ways, const GArray *order, guint first)
{
  guint end = first + 1;
  while (end < order->len && is_same_place(way_at(ways, order, first), way_at(ways, order, end))) {
    ++end;
  }
  return end;
}

// Whether the way at `at` of `order` is beaten by one of those from `first` to `end`, which are at its place.
static gboolean
is_beaten(const RcWays *ways, const GArray *order, guint first, guint end, guint at)
{
  for (guint i = first; i < end; ++i) {
    if (beats(way_at(ways, order, i), way_at(ways, order, at), i < at)) {
      return TRUE;
    }
  }
  return FALSE;
}

static int
compare_indices(gconstpointer a, gconstpointer b)
{
  return rc_order(*(const guint *)a, *(const guint *)b);
}

static GArray *
find_unbeaten(const RcWays *ways)
{
  GArray *order = g_array_sized_new(FALSE, FALSE, sizeof(guint), ways->n);
  GArray *unbeaten = g_array_new(FALSE, FALSE, sizeof(guint));
  for (guint i = 0; i < ways->n; ++i) {
    g_array_append_val(order, i);
  }
  g_array_sort_with_data(order, compare_places, (gpointer)ways);
  for (guint first = 0, end; first < order->len; first = end) {
    end = end_of_place(ways, order, first);
    for (guint at = first; at < end; ++at) {
      if (!is_beaten(ways, order, first, end, at)) {
        g_array_append_val(unbeaten, g_array_index(order, guint, at));
      }
    }
  }
  g_array_sort(unbeaten, compare_indices);
  g_array_unref(order);
  return unbeaten;
}

// The ways of a stop that may be on a best route, by their indices: on a wide board a few of thousands.
static const GArray *
unbeaten_ways(const Search *s, const RcStop *stop)
{
  GArray *known = g_hash_table_lookup(s->unbeaten, stop->ways);
  if (!known) {
    known = find_unbeaten(stop->ways);
    g_hash_table_insert(s->unbeaten, (gpointer)stop->ways, known);
  }
  return known;
}

// ---------------------------------------------------------------------------------------------------------- search

static gboolean
is_less(const Search *s, const Hand *a, const Hand *b)
{
  int order = rc_order(a->hasty, b->hasty);
  if (!order && s->sound_first) {
    const int verdicts = rc_order(a->cost.verdicts, b->cost.verdicts);
    order = verdicts ? verdicts : rc_order(a->cost.wrong, b->cost.wrong);
  }
  return order < 0 || (!order && rc_cost_is_less(&a->cost, &b->cost));
}

// The hand that goes on from `before` to `way` of stop `now`; `ways` are those of the stop before.
static Hand
go_on(const Search *s, const Hand *before, guint from, const RcWay *ways, const RcWay *way, guint now)
{
  const RcWay *old = &ways[before->way];
  Hand hand = *before;
  hand.from = from;
  hand.ago = MIN(before->ago + 1, LONG_AGO);
  hand.cost.travel += rc_way_between(old, way);
  const gboolean may_turn = hand.ago == LONG_AGO || !is_too_soon(s->times, s->apart, now - hand.ago, now);
  hand.ago = may_turn ? LONG_AGO : hand.ago;
  if (rc_way_turns(old, way)) {
    hand.cost.strain += 1;
    hand.hasty += !may_turn;
    hand.ago = 0;
  }
  return hand;
}

// The best hands on one way, by how many stops ago the bellows turned last.
typedef struct {
  gboolean there[LONG_AGO + 1];
  Hand hands[LONG_AGO + 1];
} Arrivals;

static void
offer(const Search *s, Arrivals *arrivals, const Hand *hand)
{
  Hand *best = &arrivals->hands[hand->ago];
  if (!arrivals->there[hand->ago] || is_less(s, hand, best)) {
    *best = *hand;
    arrivals->there[hand->ago] = TRUE;
  }
}

// Keeps those that no other beats both in cost and in how long ago the bellows turned.
static void
keep_unbeaten(Search *s, const Arrivals *arrivals)
{
  const Hand *least = NULL;
  for (guint ago = LONG_AGO + 1; ago-- > 0;) {
    if (arrivals->there[ago] && (!least || is_less(s, &arrivals->hands[ago], least))) {
      least = &arrivals->hands[ago];
      const Trace trace = { least->way, least->from };
      g_array_append_val(s->hands, *least);
      g_array_append_val(s->traces, trace);
    }
  }
}

static void
start_at(Search *s, const RcStop *stop)
{
  const GArray *ways = unbeaten_ways(s, stop);
  for (guint at = 0; at < ways->len; ++at) {
    const guint i = g_array_index(ways, guint, at);
    Arrivals arrivals = { 0 };
    Hand hand = { .way = i, .ago = LONG_AGO };
    rc_cost_add_own(&hand.cost, &stop->ways->ways[i], stop->length);
    offer(s, &arrivals, &hand);
    keep_unbeaten(s, &arrivals);
  }
}

static void
move_to(Search *s, guint now)
{
  const RcStop *stop = &g_array_index(s->router->stops, RcStop, now);
  GArray *before = s->hands;
  s->hands = s->before;
  s->before = before;
  const guint first = s->traces->len - before->len; // of the hands before
  g_array_set_size(s->hands, 0);
  const GArray *ways = unbeaten_ways(s, stop);
  for (guint at = 0; at < ways->len; ++at) {
    const guint i = g_array_index(ways, guint, at);
    const RcWay *way = &stop->ways->ways[i];
    Arrivals arrivals = { 0 };
    for (guint j = 0; j < before->len; ++j) {
      Hand hand = go_on(s, &g_array_index(before, Hand, j), first + j, stop[-1].ways->ways, way, now);
      hand.way = i;
      rc_cost_add_own(&hand.cost, way, stop->length);
      offer(s, &arrivals, &hand);
    }
    keep_unbeaten(s, &arrivals);
  }
}

static void
walk_back(const Search *s)
{
  guint best = 0;
  for (guint i = 1; i < s->hands->len; ++i) {
    best = is_less(s, &g_array_index(s->hands, Hand, i), &g_array_index(s->hands, Hand, best)) ? i : best;
  }
  guint at = s->traces->len - s->hands->len + best;
  for (guint i = s->router->stops->len; i-- > 0;) {
    const Trace *trace = &g_array_index(s->traces, Trace, at);
    g_array_index(s->router->stops, RcStop, i).chosen = trace->way;
    at = trace->from;
  }
}

void
rc_router_choose_steady(RcRouter *router)
{
  const RcRouteSettings *settings = rc_planner_settings(router->planner);
  Search s = { .router = router,
               .apart = settings->turns_apart,
               .sound_first = settings->taste.prefer != RC_PREFER_EASE,
               .times = find_times(router),
               .hands = g_array_new(FALSE, FALSE, sizeof(Hand)),
               .before = g_array_new(FALSE, FALSE, sizeof(Hand)),
               .traces = g_array_new(FALSE, FALSE, sizeof(Trace)),
               .unbeaten = g_hash_table_new_full(NULL, NULL, NULL, (GDestroyNotify)g_array_unref) };
  start_at(&s, &g_array_index(router->stops, RcStop, 0));
  for (guint i = 1; i < router->stops->len; ++i) {
    move_to(&s, i);
  }
  walk_back(&s);
  g_array_unref(s.times);
  g_array_unref(s.hands);
  g_array_unref(s.before);
  g_array_unref(s.traces);
  g_hash_table_unref(s.unbeaten);
}

// ----------------------------------------------------------------------------------------------------- what is left

void
rc_router_note_hasty(RcRouter *router)
{
  const double apart = rc_planner_settings(router->planner)->turns_apart;
  GArray *times = find_times(router);
  GArray *steps = router->route.steps;
  const RcWay *before = NULL;
  guint turned = 0; // stop at which they turned last; it is not the first
  for (guint i = 0; i < router->stops->len; ++i) {
    const RcStop *stop = &g_array_index(router->stops, RcStop, i);
    const RcWay *way = rc_stop_way(stop);
    if (before && before->bellows != way->bellows) {
      if (turned && is_too_soon(times, apart, turned, i)) {
        ++router->route.hasty;
        g_array_index(steps, RcStep, stop->step).hasty =
          g_array_index(times, double, i) - g_array_index(times, double, turned);
      }
      turned = i;
    }
    before = way;
  }
  g_array_unref(times);
}
