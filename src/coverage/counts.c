// Copyright 2026 the rowcall developers
// SPDX-License-Identifier: MIT

#include "rowcall/coverage.h"

guint64
rc_counts_chords(const RcCounts *counts)
{
  guint64 sum = 0;
  for (guint i = 0; i < RC_N_VERDICTS; ++i) {
    sum += counts->chords[i];
  }
  return sum;
}

RcTicks
rc_counts_ticks(const RcCounts *counts)
{
  RcTicks sum = 0;
  for (guint i = 0; i < RC_N_VERDICTS; ++i) {
    sum += counts->ticks[i];
  }
  return sum;
}

RcVerdict
rc_counts_worst(const RcCounts *counts)
{
  RcVerdict worst = RC_NATIVE;
  for (guint v = 0; v < RC_N_VERDICTS; ++v) {
    worst = counts->chords[v] ? (RcVerdict)v : worst;
  }
  return worst;
}

void
rc_counts_judge_tune(RcCounts *counts, RcVerdict accept)
{
  const RcVerdict worst = rc_counts_worst(counts);
  counts->tunes = rc_counts_chords(counts) > 0;
  counts->native = counts->tunes && worst == RC_NATIVE;
  counts->playable = counts->tunes && worst <= accept;
  counts->playable_alone = counts->playable;
}

RcTicks
rc_counts_carried(const RcCounts *counts, RcVerdict accept)
{
  RcTicks ticks = 0;
  for (guint v = RC_NATIVE; v <= accept; ++v) {
    ticks += counts->ticks[v];
  }
  return ticks;
}

RcTicks
rc_counts_read(const RcCounts *counts)
{
  return rc_counts_ticks(counts) - counts->ticks[RC_UNREAD];
}
