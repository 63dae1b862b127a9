// Copyright 2026 the rowcall developers
// SPDX-License-Identifier: MIT

// An index of tunes: how each fares on a player's keyboard, and on all others.

#include "study/tune_on.h"

#include <string.h>

static RcFares
fares_on(const RcCounts *counts, RcVerdict accept)
{
  guint64 lacking = 0;
  for (guint v = (guint)accept + 1; v < RC_UNREAD; ++v) {
    lacking += counts->chords[v];
  }
  return counts->playable    ? RC_FARES_PLAYS
         : counts->one_short ? RC_FARES_ONE_SHORT
         : lacking           ? RC_FARES_NOT
                             : RC_FARES_UNREAD;
}

static RcIndexed
index_tune(const RcReport *report, guint number)
{
  const RcBoards *boards = report->rolled->boards;
  const RcTune *tune = report->tunes[number];
  RcRoll *roll = rc_roll_new(boards->panel, boards->settings.route.roll);
  RcIndexed indexed = { .number = number, .sizes = g_new(RcFares, MAX(boards->n, 1)) };
  rc_roll_add(roll, tune);
  indexed.on = rc_tune_on(boards, roll, report->chosen, tune);
  for (guint i = 0; i < boards->n; ++i) {
    const RcCounts counts = rc_roll_counts(roll, i);
    indexed.sizes[i] = fares_on(&counts, report->comparison->accept);
  }
  rc_roll_free(roll);
  return indexed;
}

// ---------------------------------------------------------------------------------------------------------- the order

typedef struct {
  const RcReport *report;
  GHashTable *files; // the place of each file in the order they were read, from 0
} Sorting;

static GHashTable *
number_files(const RcReport *report)
{
  GHashTable *files = g_hash_table_new(g_str_hash, g_str_equal);
  for (guint i = 0; i < report->n_tunes; ++i) {
    if (!g_hash_table_contains(files, report->tunes[i]->file)) {
      g_hash_table_insert(files, (gpointer)report->tunes[i]->file, GUINT_TO_POINTER(g_hash_table_size(files)));
    }
  }
  return files;
}

static double
share_at(const RcIndexed *indexed, RcVerdict accept)
{
  const RcCounts *counts = &indexed->on.counts;
  return (double)rc_counts_carried(counts, accept) / (double)MAX(rc_counts_read(counts), 1);
}

static int
compare_shares(const RcIndexed *left, const RcIndexed *right, RcVerdict accept)
{
  const double difference = share_at(left, accept) - share_at(right, accept);
  return (difference > 0) - (difference < 0);
}

static guint
file_of(const Sorting *sorting, const RcIndexed *indexed)
{
  return GPOINTER_TO_UINT(g_hash_table_lookup(sorting->files, sorting->report->tunes[indexed->number]->file));
}

static int
compare_indexed(gconstpointer a, gconstpointer b, gpointer data)
{
  static const guint groups[RC_N_FARES] = {
    [RC_FARES_PLAYS] = 0, [RC_FARES_ONE_SHORT] = 1, [RC_FARES_NOT] = 2, [RC_FARES_UNREAD] = 3
  };
  const Sorting *sorting = data;
  const RcIndexed *left = a;
  const RcIndexed *right = b;
  const int by_group = (int)groups[left->on.fares] - (int)groups[right->on.fares];
  const int by_file = (int)file_of(sorting, left) - (int)file_of(sorting, right);
  const int by_time = compare_shares(left, right, sorting->report->comparison->accept);
  const int by_native = compare_shares(left, right, RC_NATIVE);
  return by_group ? by_group : by_file ? by_file : by_time ? by_time : by_native;
}

RcTuneIndex *
rc_tune_index_new(const RcReport *report)
{
  RcTuneIndex *index = g_new0(RcTuneIndex, 1);
  Sorting sorting = { report, number_files(report) };
  index->tunes = g_new0(RcIndexed, MAX(report->n_tunes, 1));
  for (guint i = 0; i < report->n_tunes; ++i) {
    const RcIndexed indexed = index_tune(report, i);
    if (indexed.on.counts.tunes) {
      ++index->fare[indexed.on.fares];
      index->tunes[index->n++] = indexed;
    } else {
      ++index->n_chordless;
      g_free(indexed.on.lacks);
      g_free(indexed.sizes);
    }
  }
  g_qsort_with_data(index->tunes, (int)index->n, sizeof *index->tunes, compare_indexed, &sorting);
  g_hash_table_unref(sorting.files);
  return index;
}

void
rc_tune_index_free(RcTuneIndex *index)
{
  if (index) {
    for (guint i = 0; i < index->n; ++i) {
      g_free(index->tunes[i].on.lacks);
      g_free(index->tunes[i].sizes);
    }
    g_free(index->tunes);
    g_free(index);
  }
}
