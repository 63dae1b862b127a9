// Copyright 2026 the rowcall developers
// SPDX-License-Identifier: MIT

#include "coverage/gains.h"

#include <string.h>

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

// Sorts the chords and drops those named before.
static void
tidy(RcGainKind *kind)
{
  guint kept = 0;
  for (guint i = 0; i < kind->n; ++i) {
    const guint chord = kind->chords[i];
    guint place = kept;
    while (place && kind->chords[place - 1] > chord) {
      --place;
    }
    if (place && kind->chords[place - 1] == chord) {
      continue;
    }
    memmove(kind->chords + place + 1, kind->chords + place, (kept - place) * sizeof *kind->chords);
    kind->chords[place] = chord;
    ++kept;
  }
  kind->n = kept;
}

void
rc_gains_add(RcGains *g, RcGainKind kind)
{
  guint index = 0;
  if (kind.n > RC_GAIN_CHORDS) {
    memset(kind.chords, 0, sizeof kind.chords);
  } else {
    tidy(&kind);
  }
  guint64 number = (guint64)kind.keyboard << 3U | kind.n;
  for (guint i = 0; i < RC_GAIN_CHORDS; ++i) {
    number = number << CHORD_BITS | (i < kind.n && kind.n <= RC_GAIN_CHORDS ? kind.chords[i] : 0);
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
    for (guint c = 0; c < kind.n && kind.n <= RC_GAIN_CHORDS; ++c) {
      kind.chords[c] = rc_gains_chord(into, &g_array_index(from->chords, RcChord, kind.chords[c]));
    }
    rc_gains_add(into, kind);
  }
}

// ------------------------------------------------------------------------------------------------------- explaining

static gboolean
has_chord(const guint *chords, guint n, guint chord)
{
  for (guint i = 0; i < n; ++i) {
    if (chords[i] == chord) {
      return TRUE;
    }
  }
  return FALSE;
}

// The tunes that lack no other chords than these.
static guint64
tunes_with(const RcGains *g, guint keyboard, const guint *chords, guint n)
{
  guint64 tunes = 0;
  for (guint i = 0; i < g->kinds->len; ++i) {
    const RcGainKind *kind = &g_array_index(g->kinds, RcGainKind, i);
    gboolean within = kind->keyboard == keyboard && kind->n <= RC_GAIN_CHORDS;
    for (guint c = 0; within && c < kind->n; ++c) {
      within = has_chord(chords, n, kind->chords[c]);
    }
    tunes += within ? kind->tunes : 0;
  }
  return tunes;
}

// The chords that most of these tunes lack; returns their number.
static guint
find_candidates(const RcGains *g, guint keyboard, guint candidates[CANDIDATES])
{
  guint n = 0;
  guint64 *tunes = g_new0(guint64, g->chords->len + 1);
  for (guint i = 0; i < g->kinds->len; ++i) {
    const RcGainKind *kind = &g_array_index(g->kinds, RcGainKind, i);
    for (guint c = 0; kind->keyboard == keyboard && kind->n <= RC_GAIN_CHORDS && c < kind->n; ++c) {
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

typedef struct {
  const RcGains *gains;
  guint keyboard;
  guint candidates[CANDIDATES];
  guint n_candidates;
  guint chosen[RC_GAIN_CHORDS];
  guint best[RC_GAIN_CHORDS];
  guint64 tunes; // of the best
} Choice;

// Tries all choices of `n` candidates, the first `placed` of which are made, from `from` on.
static void
choose(Choice *choice, guint n, guint placed, guint from)
{
  if (placed == n) {
    const guint64 tunes = tunes_with(choice->gains, choice->keyboard, choice->chosen, n);
    if (tunes > choice->tunes) {
      choice->tunes = tunes;
      memcpy(choice->best, choice->chosen, sizeof choice->best);
    }
    return;
  }
  for (guint i = from; i < choice->n_candidates; ++i) {
    choice->chosen[placed] = choice->candidates[i];
    choose(choice, n, placed + 1, i + 1);
  }
}

void
rc_gains_explain(const RcGains *gains, guint keyboard, RcGain *gain)
{
  Choice choice = { .gains = gains, .keyboard = keyboard };
  choice.n_candidates = find_candidates(gains, keyboard, choice.candidates);
  for (guint n = 1; n <= MIN(RC_GAIN_CHORDS, choice.n_candidates) && choice.tunes * 2 < gain->tunes; ++n) {
    const guint64 fewer = choice.tunes;
    choose(&choice, n, 0, 0);
    gain->n_chords = choice.tunes > fewer ? n : gain->n_chords;
  }
  for (guint i = 0; i < gain->n_chords; ++i) {
    gain->chords[i] = g_array_index(gains->chords, RcChord, choice.best[i]);
  }
  gain->explained = choice.tunes;
}
