// Copyright 2026 the rowcall developers
// SPDX-License-Identifier: MIT

#include "route/wants.h"

#include "base/array.h"
#include "coverage/here.h"

// What was wanted of a symbol last.
typedef struct {
  guint setting; // plus 1; 0 for nothing
  RcPcSet melody;
  guint want;
} Known;

void
rc_wants_init(RcWants *wants)
{
  *wants = (RcWants){ .steps = g_array_new(FALSE, FALSE, sizeof(RcWantStep)),
                      .wants = g_array_new(FALSE, FALSE, sizeof(RcWant)),
                      .known = g_array_new(FALSE, TRUE, sizeof(Known)) };
  rc_known_codes_init(&wants->codes);
}

void
rc_wants_clear(RcWants *wants)
{
  g_array_unref(wants->steps);
  g_array_unref(wants->wants);
  g_array_unref(wants->known);
  rc_known_codes_clear(&wants->codes);
}

static guint
add_want(RcWants *w, const RcSymbol *symbol, const RcScale *key, RcPcSet melody, gboolean brisk)
{
  RcWant want = { .unread = symbol->kind == RC_SYMBOL_UNREAD,
                  .same = symbol->same,
                  .request = { symbol->chord, *key, melody, brisk } };
  if (!want.unread) {
    want.number = rc_request_code_at(rc_known_code(&w->codes, &want.request), melody, brisk);
  }
  g_array_append_val(w->wants, want);
  return w->wants->len - 1;
}

// The want of a chord or a text.
static guint
find_want(RcWants *w, const RcPlayed *played, const RcHere *here, RcPcSet melody)
{
  const gboolean brisk = rc_played_is_brisk(played, here->brisk);
  Known *known = &g_array_index(w->known, Known, 2 * played->symbol + (brisk ? 1 : 0));
  if (known->setting != played->setting + 1 || known->melody != melody) {
    const RcSymbol *symbol = rc_tune_symbol(w->tune, played->symbol);
    *known = (Known){ played->setting + 1, melody, add_want(w, symbol, &here->key, melody, brisk) };
  }
  RcWant *want = &g_array_index(w->wants, RcWant, known->want);
  ++want->times;
  want->ticks += played->length;
  want->held += MAX(played->length, 1);
  return known->want;
}

// Another step; there is room for twice as many whenever there is none.
static RcWantStep *
add_step(RcWants *w, guint *n)
{
  if (*n == w->steps->len) {
    g_array_set_size(w->steps, MAX(2 * *n, 64));
  }
  return &g_array_index(w->steps, RcWantStep, (*n)++);
}

void
rc_wants_find(RcWants *w, const RcRollSettings *settings, const RcTune *tune)
{
  RcPlayed played;
  guint n = 0;
  RcHere here = rc_here_at(settings, tune, 0);
  w->tune = tune;
  rc_array_cut(w->wants, 0);
  rc_array_cut(w->known, 0);
  g_array_set_size(w->known, 2 * tune->symbols->len);
  for (RcWalk walk = rc_walk_start(tune); rc_walk_next(&walk, &played);) {
    const RcSymbolKind kind = rc_tune_symbol(tune, played.symbol)->kind;
    const gboolean wanted = kind == RC_SYMBOL_CHORD || kind == RC_SYMBOL_UNREAD;
    if (played.setting != here.setting) {
      here = rc_here_at(settings, tune, played.setting);
    }
    RcWantStep *step = add_step(w, &n);
    step->played = played;
    step->want = wanted ? find_want(w, &played, &here, settings->no_melody ? 0 : played.melody) : RC_NO_WANT;
  }
  rc_array_cut(w->steps, n);
}
