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

// What a symbol asks for in the key it is in.
typedef struct {
  guint setting; // 1 + where it was worked out; 0: nowhere yet
  RcRequestCode code;
} SymbolCode;

static RcRequestCode
code_of(SymbolCode *symbol, const RcRequest *request, guint setting)
{
  if (symbol->setting != setting + 1) {
    *symbol = (SymbolCode){ setting + 1, rc_request_code(request) };
  }
  return symbol->code;
}

static void
count_chord(RcPanel *panel, RcRequestCode code, const RcRequest *request, const RcPlayed *played, guint same,
            RcCounts *counts, RcLacking *lacking)
{
  const RcAsked *asked = rc_panel_ask(panel, code, request);
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
  SymbolCode *codes = g_new0(SymbolCode, MAX(tune->symbols->len, 1));
  RcLacking *lacking = g_new0(RcLacking, MAX(rc_panel_size(panel), 1));
  memset(counts, 0, rc_panel_size(panel) * sizeof *counts);
  for (RcWalk walk = rc_walk_start(tune); rc_walk_next(&walk, &played);) {
    const RcSymbol *symbol = rc_tune_symbol(tune, played.symbol);
    if (symbol->kind == RC_SYMBOL_CHORD) {
      const RcRequest request = rc_roll_request(settings, tune, &played);
      const RcRequestCode code = code_of(&codes[played.symbol], &request, played.setting);
      count_chord(panel, code, &request, &played, symbol->same, counts, lacking);
    }
    for (guint i = 0; symbol->kind == RC_SYMBOL_UNREAD && i < rc_panel_size(panel); ++i) {
      count(&counts[i], RC_UNREAD, played.length);
    }
  }
  for (guint i = 0; i < rc_panel_size(panel); ++i) {
    rc_counts_judge_tune(&counts[i], rc_panel_accept(panel), lacking[i].n);
  }
  g_free(lacking);
  g_free(codes);
}
