// Copyright 2026 the rowcall developers
// SPDX-License-Identifier: MIT

// A list of tunes: which play on a keyboard, and what the others lack.

#include "study/tune_on.h"

#include "study/chord_sums.h"

#include <string.h>

// ------------------------------------------------------------------------------------------------------ what lacks

// Sets where @p lack is first lacking in the tune on keyboard @p index.
static void
find_bar(const RcBoards *boards, guint index, const RcTune *tune, const RcChord *chord, RcTuneLack *lack)
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

static RcVerdict
worst_grade(const RcLack *lack)
{
  RcVerdict worst = lack->answer.verdict; // which it has for longest
  for (guint grade = worst; grade < RC_N_VERDICTS; ++grade) {
    worst = lack->graded_times[grade] ? (RcVerdict)grade : worst;
  }
  return worst;
}

static RcTuneLack *
find_lacks(const RcBoards *boards, guint index, const RcTune *tune, guint *n_lacks)
{
  RcRoll *roll = rc_roll_new(boards->panel, boards->settings.route.roll);
  rc_roll_add(roll, tune);
  guint n = 0;
  RcLack *found = rc_lacks_unplayable(roll, index, &n);
  GArray *lacks = g_array_new(FALSE, FALSE, sizeof(RcTuneLack));
  for (guint i = 0; i < n; ++i) {
    RcTuneLack lack = { .verdict = worst_grade(&found[i]), .times = found[i].times, .ticks = found[i].ticks };
    find_bar(boards, index, tune, &found[i].chord, &lack);
    g_array_append_val(lacks, lack);
  }
  add_unread(tune, lacks);
  g_free(found);
  rc_roll_free(roll);
  *n_lacks = lacks->len;
  return (RcTuneLack *)(gpointer)g_array_free(lacks, FALSE);
}

RcTuneOn
rc_tune_on(const RcBoards *boards, guint index, const RcTune *tune, const RcCounts *counts)
{
  RcTuneOn on = { .fares = rc_counts_fares(counts, rc_panel_accept(boards->panel)), .counts = *counts };
  if (on.fares != RC_FARES_PLAYS) {
    on.lacks = find_lacks(boards, index, tune, &on.n_lacks);
  }
  return on;
}

// -------------------------------------------------------------------------------------------------------- the order

// What a tune is sorted by.
typedef struct {
  const RcListed *listed;
  char *title; // case folded
  double time; // the share of it that is carried
} Place;

// A sort that keeps the order of equal ones.
static int
compare_places(gconstpointer a, gconstpointer b, gpointer data)
{
  const RcListOrder order = *(const RcListOrder *)data;
  const Place *left = a;
  const Place *right = b;
  const int by_time = (left->time > right->time) - (left->time < right->time);
  if (order == RC_LIST_TITLE) {
    return strcmp(left->title, right->title);
  }
  if (order == RC_LIST_TIME) {
    return by_time;
  }
  const RcTuneOn *one = &left->listed->on[0];
  const RcTuneOn *other = &right->listed->on[0];
  if (one->fares != other->fares) {
    return (int)one->fares - (int)other->fares;
  }
  if (order == RC_LIST_WORST) {
    return by_time ? by_time : strcmp(left->title, right->title);
  }
  const int lacks = (int)other->n_lacks - (int)one->n_lacks;
  return lacks ? lacks : by_time;
}

static Place
find_place(const RcListed *listed, RcVerdict accept)
{
  const RcCounts *counts = &listed->on[0].counts;
  return (Place){ listed, g_utf8_casefold(listed->tune->title, -1),
                  (double)rc_counts_carried(counts, accept) / (double)MAX(rc_counts_whole(counts), 1) };
}

// Sorts by what is worked out once for each tune, since folding a title takes long.
static void
sort_tunes(RcTuneList *list, RcListOrder order)
{
  Place *places = g_new(Place, MAX(list->n, 1));
  RcListed *sorted = g_new(RcListed, MAX(list->n, 1));
  for (guint i = 0; i < list->n; ++i) {
    places[i] = find_place(&list->tunes[i], rc_roll_accept(list->rolled->roll));
  }
  g_qsort_with_data(places, (int)list->n, sizeof *places, compare_places, &order);
  for (guint i = 0; i < list->n; ++i) {
    sorted[i] = *places[i].listed;
    g_free(places[i].title);
  }
  g_free(places);
  g_free(list->tunes);
  list->tunes = sorted;
}

// ---------------------------------------------------------------------------------------------------------- the list

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

static void
add_tune(RcTuneList *list, const RcMoves *moves, const RcTune *tune)
{
  const RcBoards *boards = list->rolled->boards;
  RcCounts *counts = g_new(RcCounts, boards->n);
  rc_panel_counts(boards->panel, &boards->settings.route.roll, tune, counts);
  if (counts[0].tunes) {
    RcListed *listed = &list->tunes[list->n++];
    listed->tune = tune;
    for (guint i = 0; i < MIN(boards->n, RC_LISTED_BOARDS); ++i) {
      listed->on[i] = rc_tune_on(boards, i, tune, &counts[i]);
    }
    listed->smallest = smallest_that_plays(list->usual, tune);
    if (listed->on[0].fares != RC_FARES_PLAYS) {
      listed->moves = g_new(RcTuneMoves, 1);
      *listed->moves = rc_moves_judge(moves, tune, &list->custom);
    }
  } else {
    list->chordless[list->n_chordless++] = tune;
  }
  g_free(counts);
}

RcTuneList *
rc_tune_list_new(const RcRolled *rolled, const RcBoards *usual, RcListOrder order)
{
  RcTuneList *list = g_new0(RcTuneList, 1);
  RcMoves *moves = rc_moves_new(rolled->boards->layouts[0], &rolled->boards->settings);
  list->rolled = rolled;
  list->usual = usual;
  list->custom = rc_custom_find(rolled->tunes, rolled->n_tunes);
  list->tunes = g_new0(RcListed, MAX(rolled->n_tunes, 1));
  list->chordless = g_new(const RcTune *, MAX(rolled->n_tunes, 1));
  for (guint i = 0; i < rolled->n_tunes; ++i) {
    add_tune(list, moves, rolled->tunes[i]);
  }
  sort_tunes(list, order);
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
      g_free(list->tunes[i].moves);
    }
    g_free(list->tunes);
    g_free(list->chordless);
    g_free(list);
  }
}
