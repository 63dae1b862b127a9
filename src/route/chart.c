// Copyright 2026 the rowcall developers
// SPDX-License-Identifier: MIT

#include "rowcall/route.h"

#include "base/order.h"
#include "coverage/code_map.h"
#include "coverage/here.h"

#include <math.h>
#include <string.h>

// Chains through a list, so that few of its places need to be looked at: by chain the last place, and by place the one
// before it, both plus 1; 0 is none.
typedef struct {
  guint *last;
  GArray *before; // of guint
} Chains;

typedef struct {
  RcChart *chart;
  const RcPlanner *planner;
  const RcTune *tune;
  const RcRoute *route;
  const RcRoute *sound;
  guint *bar_of_event;
  GPtrArray *bars;  // of GArray of guint, by need: the bars it is played in, as they come
  Chains needs;     // one for each chord
  Chains ways;      // one for each event
  RcCodeMap *spots; // of hard spots, to indices
} Charting;

static Chains
make_chains(guint n)
{
  return (Chains){ g_new0(guint, n), g_array_new(FALSE, FALSE, sizeof(guint)) };
}

static void
clear_chains(Chains *chains)
{
  g_free(chains->last);
  g_array_unref(chains->before);
}

// Appends the next place of the list to a chain.
static void
lengthen(const Chains *chains, guint chain)
{
  g_array_append_val(chains->before, chains->last[chain]);
  chains->last[chain] = chains->before->len;
}

static guint
place_before(const Chains *chains, guint place)
{
  return g_array_index(chains->before, guint, place - 1);
}

static void
note_way(const Charting *c, guint event, guint need)
{
  guint *first = &c->chart->ways[event];
  GArray *ways = c->chart->other_ways;
  *first = *first == RC_NO_WAY ? need : *first;
  if (*first == need) {
    return;
  }
  for (guint place = c->ways.last[event]; place; place = place_before(&c->ways, place)) {
    if (g_array_index(ways, RcEventWay, place - 1).need == need) {
      return;
    }
  }
  const RcEventWay way = { event, need };
  lengthen(&c->ways, event);
  g_array_append_val(ways, way);
}

// Marks the events of the chord between two places of a walk.
static void
mark_events(const Charting *c, RcWalk from, const RcWalk *to, const RcStep *step, guint need)
{
  RcChart *chart = c->chart;
  guint event = 0;
  while ((from.bar != to->bar || from.event != to->event) && rc_walk_event(&from, &event)) {
    chart->verdicts[event] = MAX(chart->verdicts[event], step->verdict);
    chart->bellows[event] |= (guint8)step->bellows;
    note_way(c, event, need);
  }
}

static int
compare_ways(gconstpointer a, gconstpointer b)
{
  const RcEventWay *left = a;
  const RcEventWay *right = b;
  const int event = rc_order(left->event, right->event);
  return event ? event : rc_order(left->need, right->need);
}

static guint *
find_bars(const RcTune *tune)
{
  guint *bars = g_new0(guint, tune->events->len + 1);
  for (guint i = 0; i < tune->bars->len; ++i) {
    const RcBar *bar = &g_array_index(tune->bars, RcBar, i);
    for (guint j = 0; j < bar->count; ++j) {
      bars[bar->first + j] = i;
    }
  }
  return bars;
}

// --------------------------------------------------------------------------------------------------- what is needed

static gboolean
is_need(const RcNeed *need, const RcStep *step)
{
  if (need->answer.verdict != step->verdict || !step->held) {
    return need->answer.verdict == step->verdict;
  }
  return rc_grip_equal(&need->answer.grip, &step->grip) &&
         !memcmp(&need->fingers, &step->fingers, sizeof need->fingers) &&
         need->answer.grading.helped == step->grading.helped;
}

static RcAnswer
answer_of(const Charting *c, const RcStep *step)
{
  const RcChord *chord = &rc_tune_symbol(c->tune, step->played.symbol)->chord;
  const RcLayout *layout = rc_planner_layout(c->planner);
  return (RcAnswer){ .verdict = step->verdict,
                     .grip = step->grip,
                     .grading = step->grading,
                     .likeness = rc_grip_likeness(layout, chord, &step->grip) };
}

// What the route planned for sound holds in place of `step`, where it sounds better.
static RcAnswer
better_sound(const Charting *c, const RcStep *step)
{
  const guint index = (guint)(step - &g_array_index(c->route->steps, RcStep, 0));
  const RcStep *other = c->sound ? &g_array_index(c->sound->steps, RcStep, index) : NULL;
  return other && other->held && other->verdict < step->verdict ? answer_of(c, other)
                                                                : (RcAnswer){ .verdict = RC_IMPOSSIBLE };
}

static RcNeed
make_need(const Charting *c, const RcStep *step)
{
  const RcLayout *layout = rc_planner_layout(c->planner);
  const RcRouteSettings *settings = rc_planner_settings(c->planner);
  const RcChord *chord = &rc_tune_symbol(c->tune, step->played.symbol)->chord;
  RcNeed need = { .symbol = step->played.symbol,
                  .answer = { .verdict = step->verdict },
                  .sounds = { .verdict = RC_IMPOSSIBLE } };
  if (step->held) {
    need.answer = answer_of(c, step);
    need.sounds = better_sound(c, step);
    need.fingers = step->fingers;
    need.second = rc_second_bass(&settings->fingers, layout, settings->hand.reach, chord, &step->grip, &step->fingers);
    need.wide = rc_grip_stretch(&settings->fingers, layout, &step->grip, &step->fingers) > 0;
  }
  return need;
}

static RcNeed *
find_need(const Charting *c, const RcStep *step)
{
  GArray *needs = c->chart->needs;
  const guint chord = rc_tune_symbol(c->tune, step->played.symbol)->same;
  for (guint place = c->needs.last[chord]; place; place = place_before(&c->needs, place)) {
    RcNeed *need = &g_array_index(needs, RcNeed, place - 1);
    if (is_need(need, step)) {
      return need;
    }
  }
  const RcNeed need = make_need(c, step);
  lengthen(&c->needs, chord);
  g_array_append_val(needs, need);
  g_ptr_array_add(c->bars, g_array_new(FALSE, FALSE, sizeof(guint)));
  return &g_array_index(needs, RcNeed, needs->len - 1);
}

static void
note_bar(const Charting *c, const RcNeed *need, guint bar)
{
  GArray *bars = g_ptr_array_index(c->bars, need - &g_array_index(c->chart->needs, RcNeed, 0));
  if (!bars->len || g_array_index(bars, guint, bars->len - 1) != bar) {
    g_array_append_val(bars, bar);
  }
}

static int
compare_bars(gconstpointer a, gconstpointer b)
{
  return rc_order(*(const guint *)a, *(const guint *)b);
}

// Gives each need its bars, each once, and frees the lists.
static void
give_bars(const Charting *c)
{
  for (guint i = 0; i < c->bars->len; ++i) {
    RcNeed *need = &g_array_index(c->chart->needs, RcNeed, i);
    GArray *bars = g_ptr_array_index(c->bars, i);
    guint n = 0;
    g_array_sort(bars, compare_bars);
    for (guint j = 0; j < bars->len; ++j) {
      const guint bar = g_array_index(bars, guint, j);
      if (!n || g_array_index(bars, guint, n - 1) != bar) {
        g_array_index(bars, guint, n++) = bar;
      }
    }
    need->n_bars = n;
    need->bars = (guint *)(gpointer)g_array_free(bars, FALSE);
  }
  g_ptr_array_unref(c->bars);
}

// ------------------------------------------------------------------------------------------------------- hard spots

// A number for what makes spots one; a tune has at most 4,096 symbols and a million bars.
static guint64
spot_code(const RcHardSpot *spot)
{
  guint64 code = spot->bar;
  code = code << 16U | spot->from;
  code = code << 16U | spot->to;
  return code << 2U | spot->kind;
}

static void
note_hard(const Charting *c, RcHardSpot spot)
{
  guint index = 0;
  GArray *hard = c->chart->hard;
  const guint64 code = spot_code(&spot);
  if (rc_code_map_find(c->spots, code, &index)) {
    RcHardSpot *known = &g_array_index(hard, RcHardSpot, index);
    ++known->times;
    known->mm = MAX(known->mm, spot.mm);
    known->seconds = MIN(known->seconds, spot.seconds);
  } else {
    rc_code_map_add(c->spots, code, hard->len);
    g_array_append_val(hard, spot);
  }
}

// A long way is a leap at speed after a brisk chord.
static void
judge_leap(const Charting *c, const RcStep *step, const RcStep *before)
{
  const RcPlayed *from = &before->played;
  const RcHere here = rc_here_at(&rc_planner_settings(c->planner)->roll, c->tune, from->setting);
  if (rc_played_is_brisk(from, here.brisk)) {
    note_hard(c, (RcHardSpot){ RC_HARD_LEAP, c->bar_of_event[step->played.event], from->symbol, step->played.symbol,
                               step->way, rc_ticks_seconds(from->length, here.tempo), 1 });
  }
}

static void
judge_ease(const Charting *c, const RcStep *step, const RcStep *before)
{
  const guint bar = c->bar_of_event[step->played.event];
  const RcLayout *layout = rc_planner_layout(c->planner);
  const RcFingers *fingers = &rc_planner_settings(c->planner)->fingers;
  if (rc_grip_stretch(fingers, layout, &step->grip, &step->fingers) > 0) {
    const double span = rc_grip_span(layout, &step->grip);
    note_hard(c, (RcHardSpot){ RC_HARD_WIDE, bar, step->played.symbol, step->played.symbol, span, 0, 1 });
  }
  if (step->hasty > 0) {
    note_hard(c, (RcHardSpot){ RC_HARD_TURN, bar, step->played.symbol, step->played.symbol, 0, step->hasty, 1 });
  }
  if (before && step->way > RC_LEAP_MM) {
    judge_leap(c, step, before);
  }
}

static int
compare_hard(gconstpointer a, gconstpointer b)
{
  const RcHardSpot *left = a;
  const RcHardSpot *right = b;
  return rc_order(left->bar, right->bar);
}

// ---------------------------------------------------------------------------------------------------------- charting

// Counts one chord and returns the index of its need.
static guint
count_step(const Charting *c, const RcStep *step)
{
  RcNeed *need = find_need(c, step);
  note_bar(c, need, c->bar_of_event[step->played.event]);
  ++need->times;
  need->pushed += step->bellows == RC_BELLOWS_PUSH;
  need->pulled += step->bellows == RC_BELLOWS_PULL;
  need->ticks += step->played.length;
  ++c->chart->counts.chords[step->verdict];
  c->chart->counts.ticks[step->verdict] += step->played.length;
  return (guint)(need - &g_array_index(c->chart->needs, RcNeed, 0));
}

static void
chart_steps(const Charting *c)
{
  RcPlayed played;
  const RcStep *before = NULL;
  RcWalk walk = rc_walk_start(c->tune);
  for (guint i = 0; i < c->route->steps->len; ++i) {
    const RcWalk from = walk;
    const RcStep *step = &g_array_index(c->route->steps, RcStep, i);
    const RcSymbolKind kind = rc_tune_symbol(c->tune, step->played.symbol)->kind;
    rc_walk_next(&walk, &played);
    c->chart->melody |= step->played.melody != 0;
    if (kind == RC_SYMBOL_CHORD || kind == RC_SYMBOL_UNREAD) {
      mark_events(c, from, &walk, step, count_step(c, step));
    }
    if (step->held) {
      c->chart->longest = MAX(c->chart->longest, step->way);
      judge_ease(c, step, before && before + 1 == step ? before : NULL);
      before = step;
    }
  }
}

// The number of different chords that are not accepted everywhere; 2 stands for more.
static guint
count_lacking(const RcChart *chart, const RcTune *tune)
{
  RcLacking lacking = { 0 };
  for (guint i = 0; i < chart->needs->len; ++i) {
    const RcNeed *need = &g_array_index(chart->needs, RcNeed, i);
    if (need->answer.verdict > chart->accept && need->answer.verdict != RC_UNREAD) {
      rc_lacking_note(&lacking, rc_tune_symbol(tune, need->symbol)->same);
    }
  }
  return lacking.n;
}

// How long each event lasts; a new array.
static double *
find_seconds(const RcPlanner *planner, const RcTune *tune)
{
  double *seconds = g_new0(double, tune->events->len + 1);
  for (guint i = 0; i < tune->events->len; ++i) {
    const RcEvent *event = &g_array_index(tune->events, RcEvent, i);
    const RcTempo tempo = rc_roll_tempo(&rc_planner_settings(planner)->roll, tune, event->setting);
    seconds[i] = tempo.source == RC_TEMPO_NONE ? 0 : rc_ticks_seconds(event->length, tempo);
  }
  return seconds;
}

RcChart *
rc_chart_new(const RcPlanner *planner, const RcRoute *route, const RcRoute *sound, const RcTune *tune)
{
  RcChart *chart = g_new0(RcChart, 1);
  RcCodeMap spots;
  Charting charting = { chart,
                        planner,
                        tune,
                        route,
                        sound,
                        find_bars(tune),
                        g_ptr_array_new(),
                        make_chains(tune->symbols->len),
                        make_chains(tune->events->len),
                        &spots };
  rc_code_map_init(&spots);
  chart->tempo = rc_roll_tempo(&rc_planner_settings(planner)->roll, tune, 0);
  chart->seconds = find_seconds(planner, tune);
  chart->verdicts = g_new0(RcVerdict, tune->events->len + 1);
  chart->bellows = g_new0(guint8, tune->events->len + 1);
  chart->ways = g_new(guint, tune->events->len + 1);
  for (guint i = 0; i < tune->events->len; ++i) {
    chart->ways[i] = RC_NO_WAY;
  }
  chart->reversals = route->reversals;
  chart->hasty = route->hasty;
  chart->freely = sound ? sound->reversals : route->reversals;
  chart->needs = g_array_new(FALSE, TRUE, sizeof(RcNeed));
  chart->other_ways = g_array_new(FALSE, FALSE, sizeof(RcEventWay));
  chart->hard = g_array_new(FALSE, TRUE, sizeof(RcHardSpot));
  chart->travel = route->travel;
  chart->sounds = sound ? sound->travel : route->travel;
  chart_steps(&charting);
  give_bars(&charting);
  chart->accept = rc_planner_settings(planner)->taste.accept;
  rc_counts_judge_tune(&chart->counts, chart->accept, count_lacking(chart, tune));
  g_array_sort(chart->hard, compare_hard);
  g_array_sort(chart->other_ways, compare_ways);
  g_free(charting.bar_of_event);
  clear_chains(&charting.needs);
  clear_chains(&charting.ways);
  rc_code_map_clear(&spots);
  return chart;
}

void
rc_chart_free(RcChart *chart)
{
  if (chart) {
    g_free(chart->seconds);
    g_free(chart->verdicts);
    g_free(chart->bellows);
    g_free(chart->ways);
    for (guint i = 0; i < chart->needs->len; ++i) {
      g_free(g_array_index(chart->needs, RcNeed, i).bars);
    }
    g_array_unref(chart->needs);
    g_array_unref(chart->other_ways);
    g_array_unref(chart->hard);
    g_free(chart);
  }
}
