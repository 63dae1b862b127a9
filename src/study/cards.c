// Copyright 2026 the rowcall developers
// SPDX-License-Identifier: MIT

// The chords of a tune that have no button of their own, each with all the ways in which the tune plays it.

#include "rowcall/study.h"

#include <string.h>

RcHint
rc_hint(const RcChord *chord, const RcAnswer *answer, gboolean wide)
{
  const RcPcSet thirds = rc_degrees_tones(chord->degrees & (RC_THIRDS | RC_SUSPENDED), rc_note_pc(chord->root));
  if (wide) {
    return RC_HINT_WIDE;
  }
  switch (answer->verdict) {
  case RC_RICHER:
    return RC_HINT_LIGHT;
  case RC_BARE:
    return (answer->grading.helped & thirds) ? RC_HINT_MELODY : RC_HINT_BRISK;
  case RC_BORROWED:
    return RC_HINT_MAKESHIFT;
  default:
    return RC_HINT_NONE;
  }
}

RcLastResort
rc_last_resort(const RcLayout *layout, const RcChord *chord)
{
  RcGrip best = { 0 };
  for (guint i = 0; i < layout->buttons->len; ++i) {
    const RcSound *sound = &rc_layout_button(layout, i)->sound;
    const RcGrip alone = { .basses = { (guint16)i }, .n_basses = 1 };
    if (sound->kind == RC_SOUND_BASS && rc_note_pc(sound->root) == rc_note_pc(chord->bass) &&
        (!best.n_basses || rc_grip_compare(layout, &alone, &best) < 0)) {
      best = alone;
    }
  }
  return (RcLastResort){ best.n_basses > 0, best.basses[0] };
}

// ------------------------------------------------------------------------------------------------------------- cards

// Best first; of the same grade what comes first.
static int
by_verdict(gconstpointer a, gconstpointer b)
{
  const RcNeed *left = *(const RcNeed *const *)a;
  const RcNeed *right = *(const RcNeed *const *)b;
  if (left->answer.verdict != right->answer.verdict) {
    return left->answer.verdict < right->answer.verdict ? -1 : 1;
  }
  return (left > right) - (left < right); // neighbours in one array
}

static RcCard
make_card(const RcTune *tune, const RcChart *chart, guint first)
{
  const RcNeed *needs = &g_array_index(chart->needs, RcNeed, 0);
  const guint chord = rc_tune_symbol(tune, needs[first].symbol)->same;
  GPtrArray *cases = g_ptr_array_new();
  RcCard card = { .symbol = needs[first].symbol };
  for (guint i = first; i < chart->needs->len; ++i) {
    if (rc_tune_symbol(tune, needs[i].symbol)->same == chord) {
      g_ptr_array_add(cases, (gpointer)&needs[i]);
      card.lacking |= needs[i].answer.verdict != RC_NATIVE;
      card.times += needs[i].times;
      card.ticks += needs[i].ticks;
    }
  }
  g_ptr_array_sort(cases, by_verdict);
  card.n = cases->len;
  card.cases = (const RcNeed **)g_ptr_array_free(cases, FALSE);
  return card;
}

RcCards *
rc_cards_new(const RcTune *tune, const RcChart *chart)
{
  GArray *cards = g_array_new(FALSE, FALSE, sizeof(RcCard));
  gboolean *seen = g_new0(gboolean, MAX(tune->symbols->len, 1));
  for (guint i = 0; i < chart->needs->len; ++i) {
    const guint chord = rc_tune_symbol(tune, g_array_index(chart->needs, RcNeed, i).symbol)->same;
    if (!seen[chord]) {
      const RcCard card = make_card(tune, chart, i);
      g_array_append_val(cards, card);
      seen[chord] = TRUE;
    }
  }
  g_free(seen);
  RcCards *all = g_new(RcCards, 1);
  all->n = cards->len;
  all->cards = (RcCard *)(gpointer)g_array_free(cards, FALSE);
  return all;
}

void
rc_cards_free(RcCards *cards)
{
  if (cards) {
    for (guint i = 0; i < cards->n; ++i) {
      g_free(cards->cards[i].cases);
    }
    g_free(cards->cards);
    g_free(cards);
  }
}
