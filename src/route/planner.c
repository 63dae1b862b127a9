// Copyright 2026 the rowcall developers
// SPDX-License-Identifier: MIT

#include "route/planner.h"

#include "coverage/catalogue.h"

#include <math.h>

struct RcPlanner {
  const RcLayout *layout;
  gboolean has_bellows; // see rc_layout_has_bellows()
  RcRouteSettings settings;
  const RcCatalogue *catalogue;
  RcCatalogue *own; // the same, where it is freed with the planner
  GMutex lock;      // over what follows
  RcCodeMap shapes; // of grips with their fingers, in the order in which they were first found
  RcCodeMap codes;  // to indices of `asked`
  GPtrArray *asked; // of RcWays *, which do not change any more
  guint n_ways;     // in all of them
};

RcRouteSettings
rc_route_settings(void)
{
  return (RcRouteSettings){
    .hand = { RC_GRIP_REACH, RC_GRIP_PRESS }, .fingers = rc_fingers(), .taste = rc_taste(), .roll = rc_roll_settings()
  };
}

static void
free_ways(gpointer data)
{
  RcWays *ways = data;
  g_free(ways->ways);
  g_free(ways);
}

RcPlanner *
rc_planner_new_on(const RcCatalogue *catalogue, const RcRouteSettings *settings)
{
  RcPlanner *planner = g_new0(RcPlanner, 1);
  planner->layout = rc_catalogue_layout(catalogue);
  planner->has_bellows = rc_layout_has_bellows(planner->layout);
  planner->settings = *settings;
  planner->catalogue = catalogue;
  planner->asked = g_ptr_array_new_with_free_func(free_ways);
  g_mutex_init(&planner->lock);
  rc_code_map_init(&planner->shapes);
  rc_code_map_init(&planner->codes);
  return planner;
}

RcPlanner *
rc_planner_new(const RcLayout *layout, const RcRouteSettings *settings)
{
  RcCatalogue *own = rc_catalogue_new(layout, settings->hand);
  RcPlanner *planner = rc_planner_new_on(own, settings);
  planner->own = own;
  return planner;
}

void
rc_planner_free(RcPlanner *planner)
{
  if (planner) {
    rc_catalogue_free(planner->own);
    g_mutex_clear(&planner->lock);
    rc_code_map_clear(&planner->shapes);
    rc_code_map_clear(&planner->codes);
    g_ptr_array_unref(planner->asked);
    g_free(planner);
  }
}

const RcLayout *
rc_planner_layout(const RcPlanner *planner)
{
  return planner->layout;
}

const RcRouteSettings *
rc_planner_settings(const RcPlanner *planner)
{
  return &planner->settings;
}

gboolean
rc_planner_is_steady(const RcPlanner *planner)
{
  return planner->has_bellows && planner->settings.turns_apart > 0;
}

// -------------------------------------------------------------------------------------------------------- one grip

// Where the hand is, were `button` the only one, held by `finger`: fingers rest a column from each other.
static void
add_place(RcWay *way, const RcLayout *layout, guint button, guint finger, gint32 weight)
{
  const RcButton *b = rc_layout_button(layout, button);
  const double rest = (4.0 - finger) * layout->column_mm;
  way->x += weight * (gint32)lround((b->x - rest) * 1000);
  way->y += weight * (gint32)lround(b->y * 1000);
}

static RcWay
make_way(const RcPlanner *p, const RcAnswer *answer, const RcFingering *fingers)
{
  const RcGrip *grip = &answer->grip;
  const RcPcSet silent = answer->grading.missing | answer->grading.helped;
  RcWay way = { .verdict = (guint8)answer->verdict, .grip = *grip, .fingers = *fingers };
  way.grading = answer->grading;
  way.rank = answer->rank;
  const gint32 weight = RC_SIXTHS / (gint32)rc_grip_count(grip);
  for (guint i = 0; i < rc_grip_count(grip); ++i) {
    add_place(&way, p->layout, rc_grip_button(grip, i), rc_grip_finger(grip, fingers, i), weight);
  }
  way.spread = 2 * llround(rc_grip_spread(p->layout, grip, fingers) * RC_UNITS_A_MM);
  way.wide = rc_grip_stretch(&p->settings.fingers, p->layout, grip, fingers) > 0;
  way.wrong = (guint8)(rc_pcs_count(answer->grading.foreign) + rc_pcs_count(silent));
  way.bellows = (guint8)rc_grip_bellows(p->layout, grip);
  return way;
}

// A grip that sounds in both directions is a way on push and one on pull, where direction matters.
static void
add_way(const RcPlanner *p, GArray *ways, RcWay way)
{
  if (p->has_bellows && way.bellows == RC_BELLOWS_BOTH) {
    way.bellows = RC_BELLOWS_PUSH;
    g_array_append_val(ways, way);
    way.bellows = RC_BELLOWS_PULL;
  }
  g_array_append_val(ways, way);
}

// -------------------------------------------------------------------------------------------------------- all grips

typedef struct {
  const RcPlanner *planner;
  guint32 rank; // of the ways kept; 0 where they are free to be chosen
  GArray *ways; // of RcWay
} Choice;

// Whether a way is free to be chosen beside better ones; none is where sound alone decides. Ease leaves no tone out, so
// that no chord with a button of its own falls silent, and asks for no third button that plain does not. Steady bellows
// may.
static gboolean
is_free(const RcPlanner *p, const RcAnswer *way)
{
  const RcTaste taste = p->settings.taste;
  if (taste.prefer == RC_PREFER_EASE) {
    return way->verdict <= MIN(taste.accept, RC_RICHER) && rc_rank_is_plain(way->rank);
  }
  return rc_planner_is_steady(p) && way->verdict <= taste.accept;
}

static void
take(const RcAnswer *way, gpointer data)
{
  Choice *choice = data;
  RcFingering fingerings[RC_FINGERINGS];
  const RcPlanner *p = choice->planner;
  const guint32 rank = is_free(p, way) ? 0 : way->rank;
  const guint n = choice->ways->len && rank > choice->rank
                    ? 0
                    : rc_fingers_ways(&p->settings.fingers, p->layout, &way->grip, fingerings);
  if (n && (!choice->ways->len || rank < choice->rank)) {
    g_array_set_size(choice->ways, 0);
    choice->rank = rank;
  }
  for (guint i = 0; i < n; ++i) {
    add_way(p, choice->ways, make_way(p, way, &fingerings[i]));
  }
}

// The handier grip first; of a lone bass the school's finger first. Equal ones stay in their order: lower fingers
// first, push before pull.
static int
compare_ways(gconstpointer a, gconstpointer b, gpointer data)
{
  const RcWay *left = a;
  const RcWay *right = b;
  const RcPlanner *p = data;
  const int grip = rc_grip_compare(p->layout, &left->grip, &right->grip);
  const int school = (int)rc_school_finger(p->settings.fingers.school);
  const int from_school = ABS(left->fingers.basses[0] - school) - ABS(right->fingers.basses[0] - school);
  return grip ? grip : from_school;
}

static gboolean
presses(const RcGrip *grip, guint button)
{
  for (guint i = 0; i < rc_grip_count(grip); ++i) {
    if (rc_grip_button(grip, i) == button) {
      return TRUE;
    }
  }
  return FALSE;
}

// Whether `small` is `large` without some of its buttons and sounds at least as well.
static gboolean
makes_idle(const RcWay *small, const RcWay *large)
{
  gboolean part = rc_grip_count(&small->grip) < rc_grip_count(&large->grip) && small->verdict <= large->verdict &&
                  small->wrong <= large->wrong;
  for (guint i = 0; part && i < rc_grip_count(&small->grip); ++i) {
    part = presses(&large->grip, rc_grip_button(&small->grip, i));
  }
  return part;
}

// The ways that press fewer buttons than others may; they are few beside those that press as many.
static GArray *
find_small(const GArray *ways)
{
  GArray *small = g_array_new(FALSE, FALSE, sizeof(RcWay));
  for (guint i = 0; i < ways->len; ++i) {
    const RcWay *way = &g_array_index(ways, RcWay, i);
    if (rc_grip_count(&way->grip) < RC_GRIP_PRESS) {
      g_array_append_vals(small, way, 1);
    }
  }
  return small;
}

// Takes out the grips with a button that does them no good.
static void
drop_idle(GArray *ways)
{
  guint kept = 0;
  GArray *small = find_small(ways);
  for (guint i = 0; i < ways->len; ++i) {
    const RcWay way = g_array_index(ways, RcWay, i);
    gboolean idle = FALSE;
    for (guint j = 0; j < small->len && !idle; ++j) {
      idle = makes_idle(&g_array_index(small, RcWay, j), &way);
    }
    if (!idle) {
      g_array_index(ways, RcWay, kept++) = way;
    }
  }
  g_array_set_size(ways, kept);
  g_array_unref(small);
}

// Keeps of ways of one rank those that sound most like `chord`.
static void
keep_likest(const RcPlanner *p, const RcChord *chord, GArray *ways)
{
  guint kept = 0;
  guint most = 0;
  for (guint i = 0; i < ways->len; ++i) {
    const RcWay way = g_array_index(ways, RcWay, i);
    const guint likeness = rc_grip_likeness(p->layout, chord, &way.grip);
    kept = likeness > most ? 0 : kept;
    most = MAX(most, likeness);
    if (likeness == most) {
      g_array_index(ways, RcWay, kept++) = way;
    }
  }
  g_array_set_size(ways, kept);
}

// A number for a grip with its fingers.
static guint64
shape_code(const RcWay *way)
{
  guint64 code = 0;
  for (guint i = 0; i < rc_grip_count(&way->grip); ++i) {
    code = code << 16U | rc_grip_button(&way->grip, i);
    code = code << 4U | rc_grip_finger(&way->grip, &way->fingers, i);
  }
  return code;
}

static void
number_shapes(RcPlanner *p, RcWays *ways)
{
  for (guint i = 0; i < ways->n; ++i) {
    RcWay *way = &ways->ways[i];
    const guint64 code = shape_code(way);
    if (!rc_code_map_find(&p->shapes, code, &way->shape)) {
      way->shape = p->shapes.used;
      rc_code_map_add(&p->shapes, code, way->shape);
    }
  }
}

// Keeps of `ways`, of which there are some, the handiest first, those that are as close together as the first: with as
// few buttons in as few columns. Travel decides between buttons that are as handy, and no hand is spread to spare it a
// step.
static void
keep_closest(const RcPlanner *p, GArray *ways)
{
  guint n = 1;
  const RcGrip *first = &g_array_index(ways, RcWay, 0).grip;
  for (; n < ways->len; ++n) {
    const RcGrip *grip = &g_array_index(ways, RcWay, n).grip;
    if (rc_grip_count(grip) != rc_grip_count(first) ||
        rc_grip_reach(p->layout, grip) != rc_grip_reach(p->layout, first)) {
      break;
    }
  }
  g_array_set_size(ways, n);
}

// Lists the ways among which a route may choose. Where none is free these are of one rank: the best, unless no fingers
// can hold it.
static void
list_ways(const RcPlanner *p, const RcRequest *request, Choice *choice)
{
  if (p->settings.taste.prefer != RC_PREFER_EASE && !rc_planner_is_steady(p)) {
    rc_catalogue_each_best(p->catalogue, p->settings.taste, request, take, choice);
  }
  if (!choice->ways->len) {
    rc_catalogue_each(p->catalogue, p->settings.taste, request, take, choice);
  }
}

static RcWays *
find_ways(RcPlanner *p, const RcRequest *request)
{
  Choice choice = { p, 0, g_array_new(FALSE, FALSE, sizeof(RcWay)) };
  list_ways(p, request, &choice);
  drop_idle(choice.ways);
  if (choice.rank) {
    keep_likest(p, &request->chord, choice.ways);
  }
  g_array_sort_with_data(choice.ways, compare_ways, p);
  if (choice.rank) {
    keep_closest(p, choice.ways);
  }
  RcWays *ways = g_new(RcWays, 1);
  ways->n = choice.ways->len;
  ways->ways = (RcWay *)g_array_free(choice.ways, FALSE);
  ways->first = p->n_ways;
  p->n_ways += ways->n;
  number_shapes(p, ways);
  return ways;
}

// Called with the lock held; `number` stands for the request.
static const RcWays *
ask(RcPlanner *planner, guint64 number, const RcRequest *request)
{
  guint index = 0;
  if (!rc_code_map_find(&planner->codes, number, &index)) {
    index = planner->asked->len;
    g_ptr_array_add(planner->asked, find_ways(planner, request));
    rc_code_map_add(&planner->codes, number, index);
  }
  return g_ptr_array_index(planner->asked, index);
}

const RcWays *
rc_planner_ask(RcPlanner *planner, const RcRequest *request)
{
  const guint64 number = rc_request_code_at(rc_request_code(request), request->melody, request->brisk);
  g_mutex_lock(&planner->lock);
  const RcWays *ways = ask(planner, number, request);
  g_mutex_unlock(&planner->lock);
  return ways;
}

void
rc_planner_ask_wants(RcPlanner *planner, const RcWants *wants, RcAnswered *answers)
{
  g_mutex_lock(&planner->lock);
  for (guint i = 0; i < wants->wants->len; ++i) {
    const RcWant *want = rc_wants_at(wants, i);
    answers[i].ways = want->unread ? NULL : ask(planner, want->number, &want->request);
  }
  g_mutex_unlock(&planner->lock);
}
