// Copyright 2026 the rowcall developers
// SPDX-License-Identifier: MIT

#include "rowcall/coverage.h"

// Marks the events of the chord between two places of a walk.
static void
mark_events(RcChart *chart, RcWalk from, const RcWalk *to, RcVerdict verdict)
{
  guint event = 0;
  while ((from.bar != to->bar || from.event != to->event) && rc_walk_event(&from, &event)) {
    chart->verdicts[event] = MAX(chart->verdicts[event], verdict);
  }
}

static gboolean
same_answer(const RcAnswer *a, const RcAnswer *b)
{
  return a->verdict == b->verdict &&
         (a->verdict >= RC_IMPOSSIBLE || (rc_grip_equal(&a->grip, &b->grip) && a->grading.helped == b->grading.helped));
}

static RcNeed *
find_need(RcChart *chart, const RcTune *tune, guint symbol, const RcAnswer *answer)
{
  const RcSymbol *symbols = &g_array_index(tune->symbols, RcSymbol, 0);
  for (guint i = 0; i < chart->needs->len; ++i) {
    RcNeed *need = &g_array_index(chart->needs, RcNeed, i);
    if (same_answer(&need->answer, answer) && symbols[need->symbol].same == symbols[symbol].same) {
      return need;
    }
  }
  const RcNeed need = { symbol, *answer, 0, 0 };
  g_array_append_val(chart->needs, need);
  return &g_array_index(chart->needs, RcNeed, chart->needs->len - 1);
}

static void
count_played(RcChart *chart, const RcTune *tune, const RcPlayed *played, const RcAnswer *answer)
{
  RcNeed *need = find_need(chart, tune, played->symbol, answer);
  ++need->times;
  need->ticks += played->length;
  ++chart->counts.chords[answer->verdict];
  chart->counts.ticks[answer->verdict] += played->length;
}

static void
finish_counts(RcCounts *counts, RcVerdict accept)
{
  RcVerdict worst = RC_NATIVE;
  for (guint i = 0; i < RC_N_VERDICTS; ++i) {
    worst = counts->chords[i] ? (RcVerdict)i : worst;
  }
  counts->tunes = rc_counts_chords(counts) > 0;
  counts->native = counts->tunes && worst == RC_NATIVE;
  counts->playable = counts->tunes && worst <= accept;
}

RcChart *
rc_chart_new(const RcCatalogue *catalogue, const RcRollSettings *settings, RcVerdict accept, const RcTune *tune)
{
  RcChart *chart = g_new0(RcChart, 1);
  chart->tempo = rc_roll_tempo(settings, tune, 0);
  chart->verdicts = g_new0(RcVerdict, MAX(tune->events->len, 1));
  chart->needs = g_array_new(FALSE, TRUE, sizeof(RcNeed));
  RcPlayed played;
  RcWalk walk = rc_walk_start(tune);
  for (RcWalk before = walk; rc_walk_next(&walk, &played); before = walk) {
    const RcSymbol *symbol = &g_array_index(tune->symbols, RcSymbol, played.symbol);
    RcAnswer answer = { .verdict = RC_UNREAD };
    if (symbol->kind == RC_SYMBOL_SILENT || symbol->kind == RC_SYMBOL_HELD) {
      continue;
    }
    if (symbol->kind == RC_SYMBOL_CHORD) {
      const RcRequest request = rc_roll_request(settings, tune, &played);
      answer = rc_catalogue_best(catalogue, &request);
    }
    count_played(chart, tune, &played, &answer);
    mark_events(chart, before, &walk, answer.verdict);
  }
  finish_counts(&chart->counts, accept);
  return chart;
}

void
rc_chart_free(RcChart *chart)
{
  if (chart) {
    g_free(chart->verdicts);
    g_array_unref(chart->needs);
    g_free(chart);
  }
}
