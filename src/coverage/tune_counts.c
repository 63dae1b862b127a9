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
count_chord(RcPanel *panel, const RcRequest *request, const RcPlayed *played, guint same, RcCounts *counts,
            RcLacking *lacking)
{
  const RcAsked *asked = rc_panel_ask(panel, rc_request_code(request), request);
  for (guint i = 0; i < rc_panel_size(panel); ++i) {
    count(&counts[i], (RcVerdict)asked->verdicts[i], played->length);
    if (asked->verdicts[i] > rc_panel_accept(panel)) {
      rc_lacking_note(&lacking[i], same);
    }
  }
}

void
rc_panel_counts(RcPanel *panel, const RcRollSettings *settings, const RcTune *tune, RcCounts *counts)
{
  RcPlayed played;
  RcLacking *lacking = g_new0(RcLacking, MAX(rc_panel_size(panel), 1));
  memset(counts, 0, rc_panel_size(panel) * sizeof *counts);
  for (RcWalk walk = rc_walk_start(tune); rc_walk_next(&walk, &played);) {
    const RcSymbol *symbol = rc_tune_symbol(tune, played.symbol);
    if (symbol->kind == RC_SYMBOL_CHORD) {
      const RcRequest request = rc_roll_request(settings, tune, &played);
      count_chord(panel, &request, &played, symbol->same, counts, lacking);
    }
    for (guint i = 0; symbol->kind == RC_SYMBOL_UNREAD && i < rc_panel_size(panel); ++i) {
      count(&counts[i], RC_UNREAD, played.length);
    }
  }
  for (guint i = 0; i < rc_panel_size(panel); ++i) {
    rc_counts_judge_tune(&counts[i], rc_panel_accept(panel), lacking[i].n);
  }
  g_free(lacking);
}
