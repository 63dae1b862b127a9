// Copyright 2026 the rowcall developers
// SPDX-License-Identifier: MIT

// What the printed report says: which keyboard it looks at, whether that is enough, and what to do.

#include "base/tasks.h"
#include "study/chord_sums.h"
#include "study/routes.h"
#include "study/tune_index.h"

static RcEnough
judge_chosen(const RcReport *r)
{
  const RcCounts *counts = &r->comparison->sizes[r->chosen].counts;
  if (counts->playable == counts->tunes) {
    return RC_ENOUGH_WHOLE;
  }
  if (!rc_target_reached(r->comparison->target, counts, r->comparison->accept)) {
    return RC_ENOUGH_NOT;
  }
  return counts->playable * 10 >= counts->tunes * 9 ? RC_ENOUGH_NEARLY : RC_ENOUGH_TIME;
}

static void
find_wanted(RcReport *r)
{
  GArray *wanted = rc_chord_sums_new();
  const gboolean measured = rc_counts_measured(&r->comparison->sizes[r->chosen].counts);
  for (guint i = 0; i < rc_roll_n_entries(r->roll); ++i) {
    const RcRollEntry entry = rc_roll_entry(r->roll, i);
    rc_chord_sums_add(wanted, &entry, measured);
  }
  rc_chord_sums_merge(wanted);
  r->advice.n_wanted = wanted->len;
  r->advice.wanted = (RcChordSum *)(gpointer)g_array_free(wanted, FALSE);
}

// Counts a tune that is not playable on the best keyboard.
static void
count_left_out(RcReport *r, const RcFares *sizes)
{
  gboolean playable = FALSE;
  gboolean readable = FALSE; // all chords that could be read are playable
  for (guint i = 0; i < r->comparison->n; ++i) {
    playable |= sizes[i] == RC_FARES_PLAYS;
    readable |= sizes[i] == RC_FARES_UNREAD;
  }
  ++*(playable ? &r->advice.elsewhere : readable ? &r->advice.unread : &r->advice.nowhere);
}

// Adds a tune that the chosen keyboard does not play as written, where it plays it in another key.
static void
add_moved(const RcReport *r, const RcMoves *moves, const RcCustom *custom, const RcTune *tune, GArray *moved)
{
  const RcTuneMoves judged = rc_moves_judge(moves, tune, custom);
  const RcCounts *written = &judged.counts[RC_AS_WRITTEN];
  if (judged.best != RC_NO_MOVE) {
    const RcMoved one = { tune, judged.best, judged.counts[judged.best].native > 0,
                          rc_counts_carried(written, r->comparison->accept), rc_counts_read(written) };
    g_array_append_val(moved, one);
  }
}

// Those that carry the least of their time as written first, as rc_keys_judge() puts them.
static int
by_time_gained(gconstpointer a, gconstpointer b)
{
  const RcMoved *left = a;
  const RcMoved *right = b;
  const double one = (double)left->carried / (double)MAX(left->read, 1);
  const double other = (double)right->carried / (double)MAX(right->read, 1);
  return (one > other) - (one < other);
}

// Why the best keyboard does not play some tunes.
static void
find_left_out(RcReport *r)
{
  const RcComparison *c = r->comparison;
  while (r->advice.best + 1 < c->n && c->sizes[r->advice.best].counts.playable < c->most_tunes) {
    ++r->advice.best;
  }
  for (guint i = 0; i < r->index->n; ++i) {
    if (r->index->tunes[i].sizes[r->advice.best] != RC_FARES_PLAYS) {
      count_left_out(r, r->index->tunes[i].sizes);
    }
  }
}

// Which tunes the chosen keyboard plays in another key only.
static void
find_moved(RcReport *r)
{
  const RcBoards *boards = r->rolled->boards;
  RcMoves *moves = rc_moves_new(boards->layouts[r->chosen], &boards->settings);
  const RcCustom custom = rc_custom_find(r->rolled->tunes, r->n_tunes);
  GArray *moved = g_array_new(FALSE, FALSE, sizeof(RcMoved));
  gboolean *stays = g_new0(gboolean, MAX(r->n_tunes, 1)); // by number, since they are moved in the order they were read
  for (guint i = 0; i < r->index->n; ++i) {
    stays[r->index->tunes[i].number] = r->index->tunes[i].on.fares == RC_FARES_PLAYS;
  }
  for (guint i = 0; i < r->n_tunes; ++i) {
    if (!stays[i]) {
      add_moved(r, moves, &custom, r->tunes[i], moved);
    }
  }
  g_array_sort(moved, by_time_gained); // which keeps the order of equal ones
  r->advice.n_moved = moved->len;
  r->advice.moved = (RcMoved *)(gpointer)g_array_free(moved, FALSE);
  g_free(stays);
  rc_moves_free(moves);
}

static guint
choose(const RcReport *r)
{
  const int own = r->rolled->boards->own;
  const int smallest = r->comparison->by_time;
  return own >= 0 ? (guint)own : smallest >= 0 ? (guint)smallest : r->comparison->n - 1;
}

// Of several keyboards with equally many buttons the player's own is the one to name.
static int
find_by_time(const RcReport *r)
{
  const RcComparison *c = r->comparison;
  const RcLayout *own = c->sizes[r->chosen].layout;
  return c->by_time >= 0 && r->advice.enough != RC_ENOUGH_NOT &&
             rc_layout_count_buttons(own) == rc_layout_count_buttons(c->sizes[c->by_time].layout)
           ? (int)r->chosen
           : c->by_time;
}

static gboolean
has_threads(const RcReport *r)
{
  const guint threads = r->rolled->boards->settings.threads;
  return (threads ? threads : g_get_num_processors()) > 1;
}

// On the chosen keyboard; on the others of the heatmaps too where no other thread plans these, since what a tune wants
// is then found once for all.
static void
find_routes(RcReport *r)
{
  r->advice.ladder = rc_ladder_with_uses(r->rolled, r->used, has_threads(r) ? 1 : r->n_uses, r->uses);
}

static void
find_other_routes(RcReport *r)
{
  if (has_threads(r) && r->n_uses > 1) {
    rc_rolled_routes(r->rolled, r->used + 1, r->n_uses - 1, r->uses + 1, NULL, NULL);
  }
}

static void
find_sizes(RcReport *r)
{
  r->rolled_again = rc_rolled_again(r->rolled, r->all_sizes);
  r->swept = rc_sweep_judge(r->rolled_again);
}

// And which tunes to move, which the index tells.
static void
find_index(RcReport *r)
{
  r->index = rc_tune_index_new(r->rolled, r->chosen);
  find_moved(r);
}

// What goes through all tunes, the slowest first; these need nothing of each other.
static void (*const passes[])(RcReport *) = { find_routes, find_other_routes, find_sizes, find_index };

static void
go_through(guint pass, gpointer data)
{
  passes[pass](data);
}

static guint
find_largest(const RcRoll *roll)
{
  guint largest = 0;
  for (guint i = 1; i < rc_roll_n_layouts(roll); ++i) {
    const guint buttons = rc_layout_count_buttons(rc_roll_layout(roll, i));
    largest = buttons > rc_layout_count_buttons(rc_roll_layout(roll, largest)) ? i : largest;
  }
  return largest;
}

// Adds a keyboard to those whose use is shown, once.
static void
add_used(RcReport *r, guint board)
{
  for (guint i = 0; i < r->n_uses; ++i) {
    if (r->used[i] == board) {
      return;
    }
  }
  r->used[r->n_uses] = board;
  r->uses[r->n_uses++] = rc_use_new(r->rolled->boards->layouts[board]);
}

// The chosen size, the next one, and the largest.
static void
choose_used(RcReport *r)
{
  const RcGain gain = rc_roll_gain(r->roll, r->chosen);
  add_used(r, r->chosen);
  if (gain.next >= 0) {
    add_used(r, (guint)gain.next);
  }
  add_used(r, find_largest(r->roll));
}

RcReport *
rc_report_new(const RcRolled *rolled)
{
  const RcBoards *boards = rolled->boards;
  RcReport *r = g_new(RcReport, 1);
  *r = (RcReport){ .rolled = rolled,
                   .roll = rolled->roll,
                   .tunes = (const RcTune *const *)rolled->tunes,
                   .n_tunes = rolled->n_tunes,
                   .comparison = rc_compare(rolled),
                   .all_sizes = rc_boards_new_sweep_of(boards),
                   .owned = boards->own >= 0 };
  r->chosen = choose(r);
  r->planner = rc_planner_new_on(boards->catalogues[r->chosen], &boards->settings.route);
  choose_used(r);
  rc_tasks_do(G_N_ELEMENTS(passes), boards->settings.threads, go_through, r);
  r->advice.enough = judge_chosen(r);
  r->advice.by_time = find_by_time(r);
  find_wanted(r);
  r->advice.lacks = rc_lacks_find(r->roll, r->chosen, &r->advice.n_lacks);
  find_left_out(r);
  return r;
}

void
rc_report_free(RcReport *report)
{
  if (report) {
    g_free(report->advice.wanted);
    g_free(report->advice.lacks);
    g_free(report->advice.moved);
    rc_ladder_free(report->advice.ladder);
    rc_swept_free(report->swept);
    rc_rolled_free(report->rolled_again);
    rc_boards_free(report->all_sizes);
    rc_planner_free(report->planner);
    for (guint i = 0; i < report->n_uses; ++i) {
      rc_use_free(report->uses[i]);
    }
    rc_tune_index_free(report->index);
    rc_comparison_free(report->comparison);
    g_free(report);
  }
}
