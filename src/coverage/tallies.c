// Copyright 2026 the rowcall developers
// SPDX-License-Identifier: MIT

#include "coverage/tallies.h"

typedef struct {
  guint end; // place after its last tally
  guint64 unread;
  RcTicks unread_ticks;
} Tune;

void
rc_tallies_init(RcTallies *t)
{
  t->tallies = g_array_sized_new(FALSE, FALSE, sizeof(RcTuneTally), 64); // has a place even for a tune of none
  t->tunes = g_array_new(FALSE, FALSE, sizeof(Tune));
}

void
rc_tallies_clear(RcTallies *t)
{
  g_array_unref(t->tallies);
  g_array_unref(t->tunes);
}

void
rc_tallies_add(RcTallies *t, const RcTuneTallies *tune)
{
  const Tune added = { t->tallies->len + tune->n, tune->unread, tune->unread_ticks };
  g_array_append_vals(t->tallies, tune->tallies, tune->n);
  g_array_append_val(t->tunes, added);
}

void
rc_tallies_merge(RcTallies *into, const RcTallies *from, const guint *entries)
{
  const guint tallies = into->tallies->len;
  const guint tunes = into->tunes->len;
  g_array_append_vals(into->tallies, from->tallies->data, from->tallies->len);
  g_array_append_vals(into->tunes, from->tunes->data, from->tunes->len);
  for (guint i = tallies; i < into->tallies->len; ++i) {
    RcTuneTally *tally = &g_array_index(into->tallies, RcTuneTally, i);
    tally->entry = entries[tally->entry];
  }
  for (guint i = tunes; i < into->tunes->len; ++i) {
    g_array_index(into->tunes, Tune, i).end += tallies;
  }
}

guint
rc_tallies_n_tunes(const RcTallies *t)
{
  return t->tunes->len;
}

RcTuneTallies
rc_tallies_of(const RcTallies *t, guint tune)
{
  const Tune *found = &g_array_index(t->tunes, Tune, tune);
  const guint first = tune ? g_array_index(t->tunes, Tune, tune - 1).end : 0;
  return (RcTuneTallies){ &g_array_index(t->tallies, RcTuneTally, first), found->end - first, found->unread,
                          found->unread_ticks };
}
