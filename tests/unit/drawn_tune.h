// Copyright 2026 the rowcall developers
// SPDX-License-Identifier: MIT

// Tunes drawn by chance with all that a tune may have: several keys and tempi, or none; bars without chords; chords
// without lengths, held on, written in two ways, silence and texts that are no chord; bars played in any order. And the
// steps in which they are heard. To be included after cmocka.h.

#ifndef ROWCALL_TESTS_DRAWN_TUNE_H
#define ROWCALL_TESTS_DRAWN_TUNE_H

#include "rowcall/coverage.h"

#include <string.h>

static inline guint
draw(GRand *random, guint n)
{
  return (guint)g_rand_int_range(random, 0, (int)n);
}

static inline gboolean
asks_for_same(const RcSymbol *a, const RcSymbol *b)
{
  if (a->kind != b->kind || a->kind != RC_SYMBOL_CHORD) {
    return a->kind == b->kind && !strcmp(a->text, b->text);
  }
  return a->chord.degrees == b->chord.degrees && rc_note_pc(a->chord.root) == rc_note_pc(b->chord.root) &&
         rc_note_pc(a->chord.bass) == rc_note_pc(b->chord.bass);
}

static inline void
draw_symbols(RcTune *tune, GRand *random)
{
  static const char *const texts[] = { "C",   "G",  "F",   "Am",    "Dm",  "Em",   "Bm",   "F#m",  "Gbm", "F#", "Gb",
                                       "D7",  "G7", "E7",  "Cdim",  "G/B", "C6",   "G9",   "Bb",   "Eb",  "Cm", "Gm",
                                       "Am7", "A7", "C/G", "Gsus4", "D5",  "N.C.", "Wxyz", "Zork", "" };
  const guint n = 1 + draw(random, 7);
  for (guint i = 0; i < n; ++i) {
    RcSymbol symbol = { .text = texts[draw(random, G_N_ELEMENTS(texts))] };
    const guint length = (guint)strlen(symbol.text);
    symbol.kind = length ? rc_chord_parse(symbol.text, length, RC_NAMES_ENGLISH, &symbol.chord, NULL) : RC_SYMBOL_HELD;
    while (symbol.same < i && !asks_for_same(rc_tune_symbol(tune, symbol.same), &symbol)) {
      ++symbol.same;
    }
    g_array_append_val(tune->symbols, symbol);
  }
}

static inline void
draw_settings(RcTune *tune, GRand *random)
{
  const guint n = 1 + draw(random, 3);
  g_array_set_size(tune->settings, 0);
  for (guint i = 0; i < n; ++i) {
    static const RcMode modes[] = { RC_MODE_MAJOR, RC_MODE_MINOR, RC_MODE_NONE };
    const RcKey key = { modes[draw(random, G_N_ELEMENTS(modes))], (RcNote)((int)draw(random, 6) - 2) };
    RcSetting setting = { .key = key, .tones = rc_key_tones(key), .meter = { 4, 4 } };
    if (draw(random, 4)) {
      setting.tempo = (RcTempo){ RC_TEMPO_STATED, 40 + 10 * draw(random, 20) };
    }
    g_array_append_val(tune->settings, setting);
  }
}

// Melodies give the third of a minor chord, or its fifth, or anything.
static inline void
draw_bars(RcTune *tune, GRand *random)
{
  const guint n = 1 + draw(random, 6);
  const gboolean sings = draw(random, 2) != 0;
  const guint measured = draw(random, 3); // in a third of tunes some chords have no length
  for (guint i = 0; i < n; ++i) {
    const RcBar bar = { tune->events->len, draw(random, 5) };
    for (guint j = 0; j < bar.count; ++j) {
      RcEvent event = { .symbol = draw(random, tune->symbols->len), .setting = draw(random, tune->settings->len) };
      event.length = !measured && !draw(random, 3) ? 0 : (1 + draw(random, 8)) * RC_QUARTER / 2;
      event.melody = sings && draw(random, 3) ? (RcPcSet)(1U << draw(random, 12) | 1U << draw(random, 12)) : 0;
      tune->unmeasured |= !event.length;
      g_array_append_val(tune->events, event);
    }
    g_array_append_val(tune->bars, bar);
  }
  for (guint i = 0; i < 3 * n; ++i) {
    const guint bar = draw(random, n);
    g_array_append_val(tune->played, bar);
  }
  const RcPart part = { "", 0, n };
  g_array_append_val(tune->parts, part);
}

static inline RcTune *
draw_tune(GRand *random)
{
  static const char *const titles[] = { "Weir", "Mill", "Lock", "Sluice" };
  RcTune *tune = rc_tune_new();
  tune->title = titles[draw(random, G_N_ELEMENTS(titles))];
  draw_symbols(tune, random);
  draw_settings(tune, random);
  draw_bars(tune, random);
  return tune;
}

// A chord as heard, or a silence.
typedef struct {
  GArray *events; // of guint: those that it lasts, in the order of playing
  guint symbol;
  guint setting;
  RcTicks length;
  RcPcSet melody;
} Heard;

static inline void
clear_heard(gpointer data)
{
  g_array_unref(((Heard *)data)->events);
}

// What is heard of a tune, one bar after another: a new array of Heard.
static inline GArray *
hear(const RcTune *tune)
{
  GArray *all = g_array_new(FALSE, FALSE, sizeof(Heard));
  g_array_set_clear_func(all, clear_heard);
  for (guint i = 0; i < tune->played->len; ++i) {
    const RcBar *bar = &g_array_index(tune->bars, RcBar, g_array_index(tune->played, guint, i));
    for (guint event = bar->first; event < bar->first + bar->count; ++event) {
      const RcEvent *e = &g_array_index(tune->events, RcEvent, event);
      const RcSymbol *symbol = rc_tune_symbol(tune, e->symbol);
      Heard *last = all->len ? &g_array_index(all, Heard, all->len - 1) : NULL;
      if (!last || (symbol->kind != RC_SYMBOL_HELD && rc_tune_symbol(tune, last->symbol)->same != symbol->same)) {
        const Heard next = { g_array_new(FALSE, FALSE, sizeof(guint)), e->symbol, e->setting, 0, 0 };
        g_array_append_val(all, next);
        last = &g_array_index(all, Heard, all->len - 1);
      }
      g_array_append_val(last->events, event);
      last->length += e->length;
      last->melody |= e->melody;
    }
  }
  return all;
}

static inline const Heard *
heard_at(const GArray *all, guint index)
{
  return &g_array_index(all, Heard, index);
}

// Whether it is a chord, or a text that is none.
static inline gboolean
is_wanted(const RcTune *tune, const Heard *heard)
{
  const RcSymbolKind kind = rc_tune_symbol(tune, heard->symbol)->kind;
  return kind == RC_SYMBOL_CHORD || kind == RC_SYMBOL_UNREAD;
}

#endif
