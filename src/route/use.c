// Copyright 2026 the rowcall developers
// SPDX-License-Identifier: MIT

#include "rowcall/route.h"

#include "route/router.h"

RcUse *
rc_use_new(const RcLayout *layout)
{
  RcUse *use = g_new0(RcUse, 1);
  const gsize columns = layout->columns->len;
  use->layout = layout;
  use->presses = g_new0(guint64, layout->buttons->len);
  use->buttons = g_new0(RcTicks, layout->buttons->len);
  use->made_up = g_new0(RcTicks, layout->buttons->len);
  use->in_columns = g_new0(RcTicks, columns);
  use->by_rows = g_new0(RcTicks, (gsize)1 << layout->rows->len);
  use->by_columns = g_new0(RcTicks, columns * columns);
  return use;
}

void
rc_use_free(RcUse *use)
{
  if (use) {
    g_free(use->presses);
    g_free(use->buttons);
    g_free(use->made_up);
    g_free(use->in_columns);
    g_free(use->by_rows);
    g_free(use->by_columns);
    g_clear_pointer(&use->titles, g_ptr_array_unref);
    g_clear_pointer(&use->by_tune, g_array_unref);
    g_free(use);
  }
}

void
rc_use_keep_tunes(RcUse *use)
{
  use->titles = g_ptr_array_new_with_free_func(g_free);
  use->by_tune = g_array_new(FALSE, FALSE, sizeof(RcTunePress));
}

// ---------------------------------------------------------------------------------------------------------- adding

// The rows and columns a grip lies in.
typedef struct {
  guint rows;      // set
  guint64 columns; // set
  guint first;
  guint last;
} Area;

// How often a way is held, and for how long.
typedef struct {
  guint64 times;
  RcTicks ticks;
  RcTicks held; // where one without a length counts one tick
} Holding;

static void
press(RcUse *use, guint index, Holding h, Area *area)
{
  const RcButton *button = rc_layout_button(use->layout, index);
  use->presses[index] += h.times;
  use->buttons[index] += h.held;
  use->made_up[index] += h.held - h.ticks;
  use->in_columns[button->column] += area->columns >> button->column & 1U ? 0 : h.held;
  area->rows |= 1U << button->row;
  area->columns |= G_GUINT64_CONSTANT(1) << button->column;
  area->first = MIN(area->first, button->column);
  area->last = MAX(area->last, button->column);
}

// For how long a way is held in all.
typedef struct {
  const RcWay *way; // NULL where it is not
  Holding holding;
} Held;

// A tune that is added.
typedef struct {
  RcUse *use;
  GArray *held; // of Held, by number of the way: sums to be told later; or NULL
  const RcRouter *router;
  RcVerdict accept;
  RcVerdict worst;
  RcLacking lacking;
} Adding;

static void
count(RcUse *use, RcVerdict verdict, Holding h)
{
  use->counts.chords[verdict] += h.times;
  use->counts.ticks[verdict] += h.ticks;
}

static void
judge(Adding *a, RcVerdict verdict, guint same)
{
  a->worst = MAX(a->worst, verdict);
  if (verdict > a->accept) {
    rc_lacking_note(&a->lacking, same);
  }
}

static void
add_way(RcUse *use, const RcWay *way, Holding h)
{
  Area area = { 0, 0, RC_MAX_COLUMNS, 0 };
  for (guint i = 0; i < rc_grip_count(&way->grip); ++i) {
    press(use, rc_grip_button(&way->grip, i), h, &area);
  }
  use->by_rows[area.rows] += h.held;
  use->by_columns[area.first * use->layout->columns->len + area.last] += h.held;
  use->played += h.held;
  count(use, (RcVerdict)way->verdict, h);
}

static void
sum_up(GArray *sums, guint number, const RcWay *way, Holding h)
{
  if (number >= sums->len) {
    g_array_set_size(sums, number + 1);
  }
  Held *held = &g_array_index(sums, Held, number);
  held->way = way;
  held->holding.times += h.times;
  held->holding.ticks += h.ticks;
  held->holding.held += h.held;
}

static void
add_held(Adding *a, const RcWays *ways, guint chosen, guint same, Holding h)
{
  const RcWay *way = &ways->ways[chosen];
  judge(a, (RcVerdict)way->verdict, same);
  if (a->held) {
    sum_up(a->held, ways->first + chosen, way, h);
  } else {
    add_way(a->use, way, h);
  }
}

// Adds what is held in one way or not at all, for all the times that it comes.
static void
add_wants(Adding *a)
{
  for (guint i = 0; i < a->router->wants->wants->len; ++i) {
    const RcWant *want = rc_wants_at(a->router->wants, i);
    const RcWays *ways = g_array_index(a->router->answers, RcAnswered, i).ways;
    const Holding h = { want->times, want->ticks, want->held };
    if (!ways || !ways->n) {
      const RcVerdict verdict = want->unread ? RC_UNREAD : RC_IMPOSSIBLE;
      judge(a, verdict, want->same);
      count(a->use, verdict, h);
      a->use->silent += h.held;
    } else if (ways->n == 1) {
      add_held(a, ways, 0, want->same, h);
    }
  }
}

// Adds what may be held in several ways, each time it comes.
static void
add_stops(Adding *a)
{
  const RcRouter *r = a->router;
  for (guint i = 0; i < r->stops->len; ++i) {
    const RcStop *stop = &g_array_index(r->stops, RcStop, i);
    if (stop->ways->n > 1) {
      const RcWant *want = rc_wants_at(r->wants, rc_wants_step(r->wants, stop->step)->want);
      add_held(a, stop->ways, stop->chosen, want->same, (Holding){ 1, stop->length, MAX(stop->length, 1) });
    }
  }
}

static void
add_route(RcUse *use, GArray *held, const RcRoute *route, RcVerdict accept)
{
  Adding a = { use, held, rc_router_of(route), accept, RC_NATIVE, { 0 } };
  const gboolean has_chords = a.router->wants->wants->len > 0;
  add_wants(&a);
  add_stops(&a);
  use->counts.tunes += has_chords ? 1 : 0;
  use->counts.native += has_chords && a.worst == RC_NATIVE;
  use->counts.playable += has_chords && a.worst <= accept;
  use->counts.one_short += a.lacking.n == 1 && a.worst != RC_UNREAD;
  use->reversals += route->reversals;
  use->travel += route->travel;
}

// Adds what `tune` pressed since the buttons had `presses` and `ticks`.
static void
keep_tune(RcUse *use, const RcTune *tune, const guint64 *presses, const RcTicks *ticks)
{
  const guint kept = use->by_tune->len;
  for (guint i = 0; i < use->layout->buttons->len; ++i) {
    const RcTunePress pressed = { use->titles->len, i, use->presses[i] - presses[i], use->buttons[i] - ticks[i] };
    if (pressed.presses) {
      g_array_append_val(use->by_tune, pressed);
    }
  }
  if (use->by_tune->len > kept) {
    g_ptr_array_add(use->titles, g_strdup(tune->title));
  }
}

void
rc_use_add(RcUse *use, const RcRoute *route, const RcTune *tune, RcVerdict accept)
{
  const guint n = use->layout->buttons->len;
  if (!use->titles) {
    add_route(use, NULL, route, accept);
    return;
  }
  guint64 *presses = g_memdup2(use->presses, n * sizeof *presses);
  RcTicks *ticks = g_memdup2(use->buttons, n * sizeof *ticks);
  add_route(use, NULL, route, accept);
  keep_tune(use, tune, presses, ticks);
  g_free(presses);
  g_free(ticks);
}

void
rc_use_sums_init(RcUseSums *sums, RcUse *use)
{
  *sums = (RcUseSums){ use, g_array_new(FALSE, TRUE, sizeof(Held)) };
}

void
rc_use_sums_add(RcUseSums *sums, const RcRoute *route, RcVerdict accept)
{
  add_route(sums->use, sums->held, route, accept);
}

void
rc_use_sums_end(RcUseSums *sums)
{
  for (guint i = 0; i < sums->held->len; ++i) {
    const Held *held = &g_array_index(sums->held, Held, i);
    if (held->way) {
      add_way(sums->use, held->way, held->holding);
    }
  }
  g_array_unref(sums->held);
}

static void
merge_tunes(RcUse *into, const RcUse *from)
{
  const guint before = into->titles->len;
  for (guint i = 0; i < from->titles->len; ++i) {
    g_ptr_array_add(into->titles, g_strdup(g_ptr_array_index(from->titles, i)));
  }
  for (guint i = 0; i < from->by_tune->len; ++i) {
    RcTunePress pressed = g_array_index(from->by_tune, RcTunePress, i);
    pressed.tune += before;
    g_array_append_val(into->by_tune, pressed);
  }
}

static void
merge_counts(RcCounts *into, const RcCounts *from)
{
  for (guint i = 0; i < RC_N_VERDICTS; ++i) {
    into->chords[i] += from->chords[i];
    into->ticks[i] += from->ticks[i];
  }
  into->tunes += from->tunes;
  into->native += from->native;
  into->playable += from->playable;
  into->one_short += from->one_short;
}

static void
merge_ticks(RcTicks *into, const RcTicks *from, gsize n)
{
  for (gsize i = 0; i < n; ++i) {
    into[i] += from[i];
  }
}

void
rc_use_merge(RcUse *into, const RcUse *from)
{
  const guint buttons = into->layout->buttons->len;
  const gsize columns = into->layout->columns->len;
  for (guint i = 0; i < buttons; ++i) {
    into->presses[i] += from->presses[i];
  }
  merge_ticks(into->buttons, from->buttons, buttons);
  merge_ticks(into->made_up, from->made_up, buttons);
  merge_ticks(into->in_columns, from->in_columns, columns);
  merge_ticks(into->by_rows, from->by_rows, (gsize)1 << into->layout->rows->len);
  merge_ticks(into->by_columns, from->by_columns, columns * columns);
  merge_counts(&into->counts, &from->counts);
  into->played += from->played;
  into->silent += from->silent;
  into->reversals += from->reversals;
  into->travel += from->travel;
  if (into->titles && from->titles) {
    merge_tunes(into, from);
  }
}

// -------------------------------------------------------------------------------------------------- rows and columns

// The time of the chords that lie within the rows of `set`.
static RcTicks
ticks_within(const RcUse *use, guint set)
{
  RcTicks ticks = 0;
  for (guint part = set; part; part = (part - 1) & set) {
    ticks += use->by_rows[part];
  }
  return ticks;
}

guint
rc_use_rows(const RcUse *use, double share, RcTicks *ticks)
{
  const guint rows = use->layout->rows->len;
  const double enough = share * (double)use->played;
  guint best = 0;
  *ticks = 0;
  for (guint n = 1; n <= rows && !best; ++n) {
    for (guint set = 1; set < 1U << rows; ++set) {
      const RcTicks within = rc_count_bits(set) == n ? ticks_within(use, set) : 0;
      if ((double)within >= enough && within > *ticks) {
        best = set;
        *ticks = within;
      }
    }
  }
  return best;
}

static RcTicks
ticks_between(const RcUse *use, guint first, guint last)
{
  RcTicks ticks = 0;
  for (guint from = first; from <= last; ++from) {
    for (guint to = from; to <= last; ++to) {
      ticks += use->by_columns[from * use->layout->columns->len + to];
    }
  }
  return ticks;
}

RcTicks
rc_use_columns(const RcUse *use, double share, guint *first, guint *last)
{
  const guint columns = use->layout->columns->len;
  const double enough = share * (double)use->played;
  RcTicks best = 0;
  for (guint width = 1; width <= columns && !best; ++width) {
    for (guint from = 0; from + width <= columns; ++from) {
      const RcTicks ticks = ticks_between(use, from, from + width - 1);
      if ((double)ticks >= enough && ticks > best) {
        best = ticks;
        *first = from;
        *last = from + width - 1;
      }
    }
  }
  return best;
}
