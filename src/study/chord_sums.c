// Copyright 2026 the rowcall developers
// SPDX-License-Identifier: MIT

#include "study/chord_sums.h"
#include "base/order.h"

GArray *
rc_chord_sums_new(void)
{
  return g_array_new(FALSE, FALSE, sizeof(RcChordSum));
}

void
rc_chord_sums_add(GArray *sums, const RcRollEntry *entry, gboolean measured)
{
  const RcChordSum sum = { entry->request.chord, measured ? entry->ticks : (RcTicks)entry->chords, sums->len };
  g_array_append_val(sums, sum);
}

int
rc_chord_order(const RcChord *a, const RcChord *b)
{
  const int root = (int)rc_note_pc(a->root) - (int)rc_note_pc(b->root);
  const int bass = (int)rc_note_pc(a->bass) - (int)rc_note_pc(b->bass);
  return root ? root : bass ? bass : rc_order(a->degrees, b->degrees);
}

static int
compare_chords(gconstpointer a, gconstpointer b)
{
  const RcChordSum *left = a;
  const RcChordSum *right = b;
  const int order = rc_chord_order(&left->chord, &right->chord);
  return order ? order : rc_order(left->first, right->first);
}

static int
compare_lengths(gconstpointer a, gconstpointer b)
{
  const RcChordSum *left = a;
  const RcChordSum *right = b;
  const int length = (left->length < right->length) - (left->length > right->length);
  return length ? length : rc_order(left->first, right->first);
}

void
rc_chord_sums_merge(GArray *sums)
{
  guint kept = 0;
  g_array_sort(sums, compare_chords);
  for (guint i = 1; i < sums->len; ++i) {
    const RcChordSum *next = &g_array_index(sums, RcChordSum, i);
    RcChordSum *last = &g_array_index(sums, RcChordSum, kept);
    if (!rc_chord_order(&last->chord, &next->chord)) {
      last->length += next->length;
    } else {
      g_array_index(sums, RcChordSum, ++kept) = *next;
    }
  }
  g_array_set_size(sums, MIN(sums->len, kept + 1));
  g_array_sort(sums, compare_lengths);
}
