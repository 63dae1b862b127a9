// Copyright 2026 the rowcall developers
// SPDX-License-Identifier: MIT

// The hard spots of a tune, those with the same chords together.

#include "rowcall/study.h"

// Spots alike in the making.
typedef struct {
  RcHardSpot hardest;
  GArray *bars; // of guint
} Alike;

// The place of the spots like `spot` in the list, where it is put if it is the first.
static guint
find_alike(GHashTable *known, GArray *list, const RcTune *tune, const RcHardSpot *spot)
{
  const guint key = ((guint)spot->kind * tune->symbols->len + spot->from) * tune->symbols->len + spot->to;
  gpointer place = NULL;
  if (g_hash_table_lookup_extended(known, GUINT_TO_POINTER(key), NULL, &place)) {
    return GPOINTER_TO_UINT(place);
  }
  const Alike alike = { *spot, g_array_new(FALSE, FALSE, sizeof(guint)) };
  g_hash_table_insert(known, GUINT_TO_POINTER(key), GUINT_TO_POINTER(list->len));
  g_array_append_val(list, alike);
  return list->len - 1;
}

static void
add_spot(Alike *alike, const RcHardSpot *spot)
{
  alike->hardest.mm = MAX(alike->hardest.mm, spot->mm);
  alike->hardest.seconds = MIN(alike->hardest.seconds, spot->seconds);
  alike->hardest.times += alike->bars->len ? spot->times : 0;
  g_array_append_val(alike->bars, spot->bar);
}

// Turns the list into plain arrays and frees it.
static RcHardList *
list_new(GArray *alikes)
{
  RcHardList *list = g_new(RcHardList, 1);
  list->n = alikes->len;
  list->spots = g_new(RcHardSpots, MAX(alikes->len, 1));
  for (guint i = 0; i < alikes->len; ++i) {
    const Alike *alike = &g_array_index(alikes, Alike, i);
    list->spots[i].hardest = alike->hardest;
    list->spots[i].n = alike->bars->len;
    list->spots[i].bars = (guint *)(gpointer)g_array_free(alike->bars, FALSE);
  }
  g_array_unref(alikes);
  return list;
}

RcHardList *
rc_hard_new(const RcTune *tune, const RcChart *chart)
{
  GHashTable *known = g_hash_table_new(NULL, NULL);
  GArray *alikes = g_array_new(FALSE, FALSE, sizeof(Alike));
  for (guint i = 0; i < chart->hard->len; ++i) {
    const RcHardSpot *spot = &g_array_index(chart->hard, RcHardSpot, i);
    const guint place = find_alike(known, alikes, tune, spot);
    add_spot(&g_array_index(alikes, Alike, place), spot);
  }
  g_hash_table_unref(known);
  return list_new(alikes);
}

void
rc_hard_free(RcHardList *list)
{
  if (list) {
    for (guint i = 0; i < list->n; ++i) {
      g_free(list->spots[i].bars);
    }
    g_free(list->spots);
    g_free(list);
  }
}
