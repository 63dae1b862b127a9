// Copyright 2026 the rowcall developers
// SPDX-License-Identifier: MIT

// A list of tunes: which play on a keyboard, and what the others lack.

#include "study/tune_on.h"

#include "coverage/panel.h"
#include "coverage/tallies.h"
#include "study/chord_sums.h"

#include <string.h>

// ------------------------------------------------------------------------------------------------------ what lacks

// A lack and its chord.
typedef struct {
  RcChord chord;
  RcTuneLack lack;
} ChordLack;

// Sets where it is first lacking in the tune on keyboard @p index.
static void
find_bar(const RcBoards *boards, guint index, const RcTune *tune, ChordLack *found)
{
  const RcRouteSettings *route = &boards->settings.route;
  RcPlayed played;
  for (RcWalk walk = rc_walk_start(tune); rc_walk_next(&walk, &played);) {
    const RcSymbol *symbol = rc_tune_symbol(tune, played.symbol);
    if (symbol->kind != RC_SYMBOL_CHORD || rc_chord_order(&symbol->chord, &found->chord) != 0) {
      continue;
    }
    const RcRequest request = rc_roll_request(&route->roll, tune, &played);
    if (rc_panel_verdict(boards->panel, &request, index) > route->taste.accept) {
      found->lack.symbol = played.symbol;
      found->lack.bar = rc_tune_bar_of(tune, played.event);
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

// Those held longest first.
static int
compare_by_time(gconstpointer a, gconstpointer b)
{
  const ChordLack *left = a;
  const ChordLack *right = b;
  if (left->lack.ticks != right->lack.ticks) {
    return left->lack.ticks < right->lack.ticks ? 1 : -1;
  }
  return rc_chord_order(&left->chord, &right->chord);
}

// Adds what is asked for where it is lacking, each chord once.
static void
add_lack(GArray *found, const RcChord *chord, RcVerdict verdict, const RcTuneTally *tally)
{
  guint at = 0;
  while (at < found->len && rc_chord_order(&g_array_index(found, ChordLack, at).chord, chord) != 0) {
    ++at;
  }
  if (at == found->len) {
    const ChordLack added = { *chord, { .verdict = verdict } };
    g_array_append_val(found, added);
  }
  RcTuneLack *lack = &g_array_index(found, ChordLack, at).lack;
  lack->verdict = MAX(lack->verdict, verdict);
  lack->times += tally->chords;
  lack->ticks += tally->ticks;
}

// The chords that a tune lacks.
static GArray *
find_chords(const RcRoll *roll, guint index, guint number)
{
  const RcTuneTallies asks = rc_roll_tune(roll, number);
  GArray *found = g_array_new(FALSE, FALSE, sizeof(ChordLack));
  for (guint i = 0; i < asks.n; ++i) {
    const RcVerdict verdict = rc_roll_answer(roll, asks.tallies[i].entry, index).verdict;
    if (verdict > rc_roll_accept(roll)) {
      const RcRollEntry entry = rc_roll_entry(roll, asks.tallies[i].entry);
      add_lack(found, &entry.request.chord, verdict, &asks.tallies[i]);
    }
  }
  g_array_sort(found, compare_by_time);
  return found;
}

static RcTuneLack *
find_lacks(const RcRolled *rolled, guint index, guint number, guint *n_lacks)
{
  const RcTune *tune = rolled->tunes[number];
  GArray *found = find_chords(rolled->roll, index, number);
  GArray *lacks = g_array_new(FALSE, FALSE, sizeof(RcTuneLack));
  for (guint i = 0; i < found->len; ++i) {
    ChordLack *lack = &g_array_index(found, ChordLack, i);
    find_bar(rolled->boards, index, tune, lack);
    g_array_append_val(lacks, lack->lack);
  }
  if (rc_roll_tune(rolled->roll, number).unread) {
    add_unread(tune, lacks);
  }
  g_array_unref(found);
  *n_lacks = lacks->len;
  return (RcTuneLack *)(gpointer)g_array_free(lacks, FALSE);
}

RcTuneOn
rc_tune_on(const RcRolled *rolled, guint index, guint number, const RcCounts *counts)
{
  RcTuneOn on = { .fares = rc_counts_fares(counts, rc_roll_accept(rolled->roll)), .counts = *counts };
  if (on.fares != RC_FARES_PLAYS) {
    on.lacks = find_lacks(rolled, index, number, &on.n_lacks);
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
add_tune(RcTuneList *list, const RcMoves *moves, guint number)
{
  const RcRolled *rolled = list->rolled;
  const RcTune *tune = rolled->tunes[number];
  const RcCounts counts = rc_roll_tune_counts(rolled->roll, number, 0);
  if (!counts.tunes) {
    list->chordless[list->n_chordless++] = tune;
    return;
  }
  RcListed *listed = &list->tunes[list->n++];
  listed->tune = tune;
  listed->on[0] = rc_tune_on(rolled, 0, number, &counts);
  for (guint i = 1; i < MIN(rolled->boards->n, RC_LISTED_BOARDS); ++i) {
    const RcCounts others = rc_roll_tune_counts(rolled->roll, number, i);
    listed->on[i] = rc_tune_on(rolled, i, number, &others);
  }
  listed->smallest = smallest_that_plays(list->usual, tune);
  if (listed->on[0].fares != RC_FARES_PLAYS) {
    listed->moves = g_new(RcTuneMoves, 1);
    *listed->moves = rc_moves_judge(moves, tune, &list->custom);
  }
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
    add_tune(list, moves, i);
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
