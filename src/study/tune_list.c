// Copyright 2026 the rowcall developers
// SPDX-License-Identifier: MIT

// A list of tunes: which play on a keyboard, and what the others lack.

#include "study/tune_on.h"

#include "study/chord_sums.h"

#include <string.h>

// ------------------------------------------------------------------------------------------------------ what lacks

// Sets where @p lack is first lacking in the tune on keyboard @p index.
static void
find_place(const RcBoards *boards, guint index, const RcTune *tune, const RcChord *chord, RcTuneLack *lack)
{
  const RcRouteSettings *route = &boards->settings.route;
  RcPlayed played;
  for (RcWalk walk = rc_walk_start(tune); rc_walk_next(&walk, &played);) {
    const RcSymbol *symbol = rc_tune_symbol(tune, played.symbol);
    if (symbol->kind != RC_SYMBOL_CHORD || rc_chord_order(&symbol->chord, chord) != 0) {
      continue;
    }
    const RcRequest request = rc_roll_request(&route->roll, tune, &played);
    if (rc_catalogue_best(boards->catalogues[index], route->taste, &request).verdict > route->taste.accept) {
      lack->symbol = played.symbol;
      lack->bar = rc_tune_bar_of(tune, played.event);
      return;
    }
  }
}

// Adds the texts of @p tune that are no chord symbols, each once.
static void
add_unread(const RcTune *tune, GArray *lacks)
{
  const guint first = lacks->len;
  RcPlayed played;
  for (RcWalk walk = rc_walk_start(tune); rc_walk_next(&walk, &played);) {
    const guint same = rc_tune_symbol(tune, played.symbol)->same;
    guint at = first;
    if (rc_tune_symbol(tune, same)->kind != RC_SYMBOL_UNREAD) {
      continue;
    }
    while (at < lacks->len && g_array_index(lacks, RcTuneLack, at).symbol != same) {
      ++at;
    }
    if (at == lacks->len) {
      const RcTuneLack lack = { same, rc_tune_bar_of(tune, played.event), RC_UNREAD, 0, 0 };
      g_array_append_val(lacks, lack);
    }
    ++g_array_index(lacks, RcTuneLack, at).times;
    g_array_index(lacks, RcTuneLack, at).ticks += played.length;
  }
}

static RcFares
fares_of(const RcCounts *counts, guint lacking)
{
  return counts->playable    ? RC_FARES_PLAYS
         : counts->one_short ? RC_FARES_ONE_SHORT
         : lacking           ? RC_FARES_NOT
                             : RC_FARES_UNREAD;
}

RcTuneOn
rc_tune_on(const RcBoards *boards, const RcRoll *roll, guint index, const RcTune *tune)
{
  RcTuneOn on = { .counts = rc_roll_counts(roll, index) };
  guint n = 0;
  RcLack *found = rc_lacks_unplayable(roll, index, &n);
  GArray *lacks = g_array_new(FALSE, FALSE, sizeof(RcTuneLack));
  for (guint i = 0; i < n; ++i) {
    RcTuneLack lack = { .verdict = found[i].answer.verdict, .times = found[i].times, .ticks = found[i].ticks };
    find_place(boards, index, tune, &found[i].chord, &lack);
    g_array_append_val(lacks, lack);
  }
  if (on.counts.chords[RC_UNREAD]) {
    add_unread(tune, lacks);
  }
  on.fares = fares_of(&on.counts, n);
  on.n_lacks = lacks->len;
  on.lacks = (RcTuneLack *)(gpointer)g_array_free(lacks, FALSE);
  g_free(found);
  return on;
}

static int
smallest_that_plays(const RcBoards *usual, const RcTune *tune)
{
  RcCounts *counts = g_new(RcCounts, MAX(usual->n, 1));
  int smallest = -1;
  rc_panel_counts(usual->panel, &usual->settings.route.roll, tune, counts);
  for (guint i = 0; i < usual->n && smallest < 0; ++i) {
    smallest = counts[i].playable ? (int)i : -1;
  }
  g_free(counts);
  return smallest;
}

// -------------------------------------------------------------------------------------------------------- the order

typedef struct {
  RcListOrder order;
  RcVerdict accept;
} Sorting;

static double
carried_share(const Sorting *sorting, const RcListed *listed)
{
  const RcCounts *counts = &listed->on[0].counts;
  return (double)rc_counts_carried(counts, sorting->accept) / (double)MAX(rc_counts_whole(counts), 1);
}

static int
compare_titles(const RcListed *a, const RcListed *b)
{
  char *left = g_utf8_casefold(a->tune->title, -1);
  char *right = g_utf8_casefold(b->tune->title, -1);
  const int order = strcmp(left, right);
  g_free(left);
  g_free(right);
  return order;
}

// A sort that keeps the order of equal ones.
static int
compare_listed(gconstpointer a, gconstpointer b, gpointer data)
{
  const Sorting *sorting = data;
  const RcListed *left = a;
  const RcListed *right = b;
  const double time = carried_share(sorting, left) - carried_share(sorting, right);
  const int by_time = (time > 0) - (time < 0);
  if (sorting->order == RC_LIST_TITLE) {
    return compare_titles(left, right);
  }
  if (sorting->order == RC_LIST_TIME) {
    return by_time;
  }
  const int fares = (int)left->on[0].fares - (int)right->on[0].fares;
  if (fares) {
    return fares;
  }
  if (sorting->order == RC_LIST_WORST) {
    return by_time ? by_time : compare_titles(left, right);
  }
  const int lacks = (int)right->on[0].n_lacks - (int)left->on[0].n_lacks;
  return lacks ? lacks : by_time;
}

// ---------------------------------------------------------------------------------------------------------- the list

static void
add_tune(RcTuneList *list, const RcMoves *moves, const RcTune *tune)
{
  const RcBoards *boards = list->rolled->boards;
  RcRoll *roll = rc_roll_new(boards->panel, boards->settings.route.roll);
  rc_roll_add(roll, tune);
  if (rc_roll_counts(roll, 0).tunes) {
    RcListed *listed = &list->tunes[list->n++];
    listed->tune = tune;
    for (guint i = 0; i < MIN(boards->n, RC_LISTED_BOARDS); ++i) {
      listed->on[i] = rc_tune_on(boards, roll, i, tune);
    }
    listed->smallest = smallest_that_plays(list->usual, tune);
    listed->moves = rc_moves_judge(moves, tune, &list->custom);
  } else {
    list->chordless[list->n_chordless++] = tune;
  }
  rc_roll_free(roll);
}

RcTuneList *
rc_tune_list_new(const RcRolled *rolled, const RcBoards *usual, RcListOrder order)
{
  RcTuneList *list = g_new0(RcTuneList, 1);
  RcMoves *moves = rc_moves_new(rolled->boards->layouts[0], &rolled->boards->settings);
  Sorting sorting = { order, rc_roll_accept(rolled->roll) };
  list->rolled = rolled;
  list->usual = usual;
  list->custom = rc_custom_find(rolled->tunes, rolled->n_tunes);
  list->tunes = g_new0(RcListed, MAX(rolled->n_tunes, 1));
  list->chordless = g_new(const RcTune *, MAX(rolled->n_tunes, 1));
  for (guint i = 0; i < rolled->n_tunes; ++i) {
    add_tune(list, moves, rolled->tunes[i]);
  }
  g_qsort_with_data(list->tunes, (int)list->n, sizeof *list->tunes, compare_listed, &sorting);
  rc_moves_free(moves);
  return list;
}

void
rc_tune_list_free(RcTuneList *list)
{
  if (list) {
    for (guint i = 0; i < list->n; ++i) {
      for (guint j = 0; j < RC_LISTED_BOARDS; ++j) {
        g_free(list->tunes[i].on[j].lacks);
      }
    }
    g_free(list->tunes);
    g_free(list->chordless);
    g_free(list);
  }
}
