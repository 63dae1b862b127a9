// Copyright 2026 the rowcall developers
// SPDX-License-Identifier: MIT

#include "coverage/set_counts.h"

#include "coverage/panel.h"

void
rc_set_counts_init(RcSetCounts *counts, guint words)
{
  counts->words = words;
  counts->bits = g_malloc0_n(words, sizeof *counts->bits);
}

void
rc_set_counts_clear(RcSetCounts *counts)
{
  g_free(counts->bits);
}

void
rc_set_counts_add(RcSetCounts *counts, const guint64 *set)
{
  for (guint word = 0; word < counts->words; ++word) {
    guint64 carry = set[word];
    for (guint b = 0; carry; ++b) {
      const guint64 both = counts->bits[word][b] & carry;
      counts->bits[word][b] ^= carry;
      carry = both;
    }
  }
}

void
rc_set_counts_merge(RcSetCounts *into, const RcSetCounts *from)
{
  for (guint word = 0; word < into->words; ++word) {
    guint64 carry = 0;
    for (guint b = 0; b < RC_COUNT_BITS; ++b) {
      const guint64 one = into->bits[word][b];
      const guint64 other = from->bits[word][b];
      into->bits[word][b] = one ^ other ^ carry;
      carry = (one & other) | (carry & (one | other));
    }
  }
}

guint64
rc_set_counts_get(const RcSetCounts *counts, guint keyboard)
{
  guint64 count = 0;
  for (guint b = 0; b < RC_COUNT_BITS; ++b) {
    count |= (counts->bits[keyboard / RC_SET_BITS][b] >> (keyboard % RC_SET_BITS) & 1U) << b;
  }
  return count;
}
