// Copyright 2026 the rowcall developers
// SPDX-License-Identifier: MIT

#include "rowcall/coverage.h"

#include "coverage/panel.h"

#include <string.h>

static void
count(RcCounts *counts, RcVerdict verdict, RcTicks ticks)
{
  ++counts->chords[verdict];
  counts->ticks[verdict] += ticks;
}

static void
count_chord(RcPanel *panel, const RcRequest *request, RcTicks ticks, RcCounts *counts)
{
  const RcAsked *asked = rc_panel_ask(panel, rc_request_code(request), request);
  for (guint i = 0; i < rc_panel_size(panel); ++i) {
    count(&counts[i], (RcVerdict)asked->verdicts[i], ticks);
  }
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
    rc_counts_judge_tune(&counts[i], rc_panel_accept(panel));
  }
}
