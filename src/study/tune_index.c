// Copyright 2026 the rowcall developers
// SPDX-License-Identifier: MIT

// An index of tunes: how each fares on a player's keyboard, and on all others.

#include "study/tune_index.h"

#include "study/tune_on.h"

// A tune of the index, and what it is sorted by.
typedef struct {
  RcIndexed indexed;
  guint group;
  guint file;    // its place in the order they were read, from 0
  double time;   // the share of the time read that is carried
  double native; // and that is native
} Place;

typedef struct {
  const RcRolled *rolled;
  guint chosen;
  GHashTable *files; // the place of each
} Indexing;

static guint
file_of(const Indexing *i, const char *file)
{
  if (!g_hash_table_contains(i->files, file)) {
    g_hash_table_insert(i->files, (gpointer)file, GUINT_TO_POINTER(g_hash_table_size(i->files)));
  }
  return GPOINTER_TO_UINT(g_hash_table_lookup(i->files, file));
}

static double
share_at(const RcCounts *counts, RcVerdict accept)
{
  return (double)rc_counts_carried(counts, accept) / (double)MAX(rc_counts_read(counts), 1);
}

// Of a tune with chords.
static Place
find_place(const Indexing *i, guint number, const RcCounts *counts)
{
  static const guint groups[RC_N_FARES] = {
    [RC_FARES_PLAYS] = 0, [RC_FARES_ONE_SHORT] = 1, [RC_FARES_NOT] = 2, [RC_FARES_UNREAD] = 3
  };
  const RcRoll *roll = i->rolled->roll;
  const guint sizes = i->rolled->boards->n;
  RcIndexed indexed = { number, rc_tune_on(i->rolled, i->chosen, number, counts), g_new(RcFares, sizes) };
  rc_roll_tune_fares(roll, number, indexed.sizes);
  return (Place){ indexed, groups[indexed.on.fares], file_of(i, i->rolled->tunes[number]->file),
                  share_at(counts, rc_roll_accept(roll)), share_at(counts, RC_NATIVE) };
}

static int
compare_shares(double left, double right)
{
  return (left > right) - (left < right);
}

static int
compare_places(gconstpointer a, gconstpointer b)
{
  const Place *left = a;
  const Place *right = b;
  const int by_time = compare_shares(left->time, right->time);
  return left->group != right->group ? (left->group < right->group ? -1 : 1)
         : left->file != right->file ? (left->file < right->file ? -1 : 1)
         : by_time                   ? by_time
                                     : compare_shares(left->native, right->native);
}

// The tunes with chords, in order.
static GArray *
find_places(const RcRolled *rolled, guint chosen)
{
  const Indexing indexing = { rolled, chosen, g_hash_table_new(g_str_hash, g_str_equal) };
  GArray *places = g_array_sized_new(FALSE, FALSE, sizeof(Place), rolled->n_tunes);
  for (guint i = 0; i < rolled->n_tunes; ++i) {
    const RcCounts counts = rc_roll_tune_counts(rolled->roll, i, chosen);
    if (counts.tunes) {
      const Place place = find_place(&indexing, i, &counts);
      g_array_append_val(places, place);
    }
  }
  g_array_sort(places, compare_places); // which keeps the order of equal ones
  g_hash_table_unref(indexing.files);
  return places;
}

RcTuneIndex *
rc_tune_index_new(const RcRolled *rolled, guint chosen)
{
  RcTuneIndex *index = g_new0(RcTuneIndex, 1);
  GArray *places = find_places(rolled, chosen);
  index->tunes = g_new(RcIndexed, MAX(places->len, 1));
  index->n = places->len;
  index->n_chordless = rolled->n_tunes - places->len;
  for (guint i = 0; i < places->len; ++i) {
    index->tunes[i] = g_array_index(places, Place, i).indexed;
    ++index->fare[index->tunes[i].on.fares];
  }
  g_array_unref(places);
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
