// Copyright 2026 the rowcall developers
// SPDX-License-Identifier: MIT

#include "coverage/gains.h"

enum { CHORD_BITS = 18, CANDIDATES = 12 };

void
rc_gains_init(RcGains *g)
{
  rc_code_map_init(&g->chords_by_number);
  rc_code_map_init(&g->kinds_by_number);
  g->chords = g_array_new(FALSE, FALSE, sizeof(RcChord));
  g->kinds = g_array_new(FALSE, FALSE, sizeof(RcGainKind));
}

void
rc_gains_clear(RcGains *g)
{
  rc_code_map_clear(&g->chords_by_number);
  rc_code_map_clear(&g->kinds_by_number);
  g_array_unref(g->chords);
  g_array_unref(g->kinds);
}

guint
rc_gains_chord(RcGains *g, const RcChord *chord)
{
  guint index = 0;
  const guint64 number = (guint64)chord->degrees << 8U | rc_note_pc(chord->root) << 4U | rc_note_pc(chord->bass);
  if (!rc_code_map_find(&g->chords_by_number, number, &index)) {
    index = g->chords->len;
    g_array_append_val(g->chords, *chord);
    rc_code_map_add(&g->chords_by_number, number, index);
  }
  return index;
}

static void
sort_chords(RcGainKind *kind)
{
  for (guint i = 1; i < kind->n; ++i) {
    for (guint at = i; at && kind->chords[at - 1] > kind->chords[at]; --at) {
      const guint higher = kind->chords[at - 1];
      kind->chords[at - 1] = kind->chords[at];
      kind->chords[at] = higher;
    }
  }
}

void
rc_gains_add(RcGains *g, RcGainKind kind)
{
  guint index = 0;
  sort_chords(&kind);
  guint64 number = (guint64)kind.keyboard << 3U | kind.n;
  for (guint i = 0; i < RC_GAIN_CHORDS; ++i) {
    number = number << CHORD_BITS | (i < kind.n ? kind.chords[i] : 0);
  }
  if (!rc_code_map_find(&g->kinds_by_number, number, &index)) {
    index = g->kinds->len;
    rc_code_map_add(&g->kinds_by_number, number, index);
    g_array_append_val(g->kinds, kind);
    g_array_index(g->kinds, RcGainKind, index).tunes = 0;
  }
  g_array_index(g->kinds, RcGainKind, index).tunes += kind.tunes;
}

void
rc_gains_merge(RcGains *into, const RcGains *from)
{
  for (guint i = 0; i < from->kinds->len; ++i) {
    RcGainKind kind = g_array_index(from->kinds, RcGainKind, i);
    for (guint c = 0; c < kind.n; ++c) {
      kind.chords[c] = rc_gains_chord(into, &g_array_index(from->chords, RcChord, kind.chords[c]));
    }
    rc_gains_add(into, kind);
  }
}

// ------------------------------------------------------------------------------------------------------- explaining

// The chords that most of these tunes lack; returns their number.
static guint
find_candidates(const RcGains *g, guint keyboard, guint candidates[CANDIDATES])
{
  guint n = 0;
  guint64 *tunes = g_new0(guint64, g->chords->len + 1);
  for (guint i = 0; i < g->kinds->len; ++i) {
    const RcGainKind *kind = &g_array_index(g->kinds, RcGainKind, i);
    for (guint c = 0; kind->keyboard == keyboard && c < kind->n; ++c) {
      tunes[kind->chords[c]] += kind->tunes;
    }
  }
  for (; n < CANDIDATES; ++n) {
    guint best = 0;
    for (guint chord = 1; chord < g->chords->len; ++chord) {
      best = tunes[chord] > tunes[best] ? chord : best;
    }
    if (!tunes[best]) {
      break;
    }
    candidates[n] = best;
    tunes[best] = 0;
  }
  g_free(tunes);
  return n;
}

// Tunes that lack these candidates and nothing else.
typedef struct {
  guint candidates; // as a set
  guint64 tunes;
} Lacking;

typedef struct {
  guint candidates[CANDIDATES];
  guint n_candidates;
  GArray *kinds; // of Lacking
  guint best;    // the candidates chosen, as a set
  guint64 tunes; // of the best
} Choice;

// The chords of a kind as a set of candidates; all others are the bit after these, which is never chosen.
static guint
as_candidates(const Choice *choice, const RcGainKind *kind)
{
  guint set = 0;
  for (guint c = 0; c < kind->n; ++c) {
    guint at = 0;
    while (at < choice->n_candidates && choice->candidates[at] != kind->chords[c]) {
      ++at;
    }
    set |= 1U << at;
  }
  return set;
}

static GArray *
find_kinds(const RcGains *g, guint keyboard, const Choice *choice)
{
  GArray *kinds = g_array_new(FALSE, FALSE, sizeof(Lacking));
  for (guint i = 0; i < g->kinds->len; ++i) {
    const RcGainKind *kind = &g_array_index(g->kinds, RcGainKind, i);
    if (kind->keyboard == keyboard) {
      const Lacking lacking = { as_candidates(choice, kind), kind->tunes };
      g_array_append_val(kinds, lacking);
    }
  }
  return kinds;
}

// The tunes that lack no other candidates than these.
static guint64
tunes_with(const Choice *choice, guint candidates)
{
  guint64 tunes = 0;
  for (guint i = 0; i < choice->kinds->len; ++i) {
    const Lacking *kind = &g_array_index(choice->kinds, Lacking, i);
    tunes += (kind->candidates & ~candidates) ? 0 : kind->tunes;
  }
  return tunes;
}

// Tries all choices of `n` candidates more, from `from` on, beside those `chosen`.
static void
choose(Choice *choice, guint n, guint chosen, guint from)
{
  if (!n) {
    const guint64 tunes = tunes_with(choice, chosen);
    if (tunes > choice->tunes) {
      choice->tunes = tunes;
      choice->best = chosen;
    }
    return;
  }
  for (guint i = from; i < choice->n_candidates; ++i) {
    choose(choice, n - 1, chosen | 1U << i, i + 1);
  }
}

void
rc_gains_explain(const RcGains *gains, guint keyboard, RcGain *gain)
{
  Choice choice = { .kinds = NULL };
  choice.n_candidates = find_candidates(gains, keyboard, choice.candidates);
  choice.kinds = find_kinds(gains, keyboard, &choice);
  for (guint n = 1; n <= RC_GAIN_CHORDS && choice.tunes * 2 < gain->tunes; ++n) {
    choose(&choice, n, 0, 0);
  }
  for (guint i = 0; i < choice.n_candidates; ++i) {
    if (choice.best >> i & 1U) {
      gain->chords[gain->n_chords++] = g_array_index(gains->chords, RcChord, choice.candidates[i]);
    }
  }
  gain->explained = choice.tunes;
  g_array_unref(choice.kinds);
}
