// Copyright 2026 the rowcall developers
// SPDX-License-Identifier: MIT

#include "rowcall/coverage.h"

#include "panel.h"

#include <string.h>

static void
count(RcCounts *counts, RcVerdict verdict, RcTicks ticks)
{
  ++counts->chords[verdict];
  counts->ticks[verdict] += ticks;
  counts->tunes = 1;
}

static void
count_chord(RcPanel *panel, const RcRequest *request, RcTicks ticks, RcCounts *counts)
{
  const RcAsked *asked = rc_panel_ask(panel, rc_request_code(request), request);
  for (guint i = 0; i < rc_panel_size(panel); ++i) {
    count(&counts[i], (RcVerdict)asked->verdicts[i], ticks);
  }
}

static void
finish(RcCounts *counts, RcVerdict accept)
{
  RcVerdict worst = RC_NATIVE;
  for (guint i = 0; i < RC_N_VERDICTS; ++i) {
    worst = counts->chords[i] ? (RcVerdict)i : worst;
  }
  counts->native = counts->tunes && worst == RC_NATIVE;
  counts->playable = counts->tunes && worst <= accept;
  counts->playable_alone = counts->playable;
}

void
rc_panel_counts(RcPanel *panel, const RcRollSettings *settings, const RcTune *tune, RcCounts *counts)
{
  RcPlayed played;
  memset(counts, 0, rc_panel_size(panel) * sizeof *counts);
  for (RcWalk walk = rc_walk_start(tune); rc_walk_next(&walk, &played);) {
    const RcSymbol *symbol = &g_array_index(tune->symbols, RcSymbol, played.symbol);
    if (symbol->kind == RC_SYMBOL_CHORD) {
      const RcRequest request = rc_roll_request(settings, tune, &played);
      count_chord(panel, &request, played.length, counts);
    }
    for (guint i = 0; symbol->kind == RC_SYMBOL_UNREAD && i < rc_panel_size(panel); ++i) {
      count(&counts[i], RC_UNREAD, played.length);
    }
  }
  for (guint i = 0; i < rc_panel_size(panel); ++i) {
    finish(&counts[i], rc_panel_accept(panel));
  }
}
