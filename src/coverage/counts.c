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
  for (guint v = RC_SAME; v < RC_N_VERDICTS; ++v) {
    worst = counts->chords[v] ? (RcVerdict)v : worst;
  }
  return worst;
}

void
rc_lacking_note(RcLacking *lacking, guint same)
{
  if (!lacking->n) {
    *lacking = (RcLacking){ 1, same };
  } else if (lacking->first != same) {
    lacking->n = 2;
  }
}

void
rc_counts_judge_tune(RcCounts *counts, RcVerdict accept, guint lacking)
{
  const RcVerdict worst = rc_counts_worst(counts);
  counts->tunes = rc_counts_chords(counts) > 0;
  counts->native = counts->tunes && worst == RC_NATIVE;
  counts->playable = counts->tunes && worst <= accept;
  counts->playable_alone = counts->playable;
  counts->one_short = lacking == 1 && !counts->chords[RC_UNREAD];
}

RcFares
rc_counts_fares(const RcCounts *counts, RcVerdict accept)
{
  guint64 lacking = 0;
  for (guint v = (guint)accept + 1; v < RC_UNREAD; ++v) {
    lacking += counts->chords[v];
  }
  return counts->playable    ? RC_FARES_PLAYS
         : counts->one_short ? RC_FARES_ONE_SHORT
         : lacking           ? RC_FARES_NOT
                             : RC_FARES_UNREAD;
}

gboolean
rc_counts_measured(const RcCounts *counts)
{
  return rc_counts_ticks(counts) > 0;
}

RcTicks
rc_counts_of(const RcCounts *counts, RcVerdict verdict)
{
  return rc_counts_measured(counts) ? counts->ticks[verdict] : (RcTicks)counts->chords[verdict];
}

RcTicks
rc_counts_whole(const RcCounts *counts)
{
  return rc_counts_measured(counts) ? rc_counts_ticks(counts) : (RcTicks)rc_counts_chords(counts);
}

RcTicks
rc_counts_carried(const RcCounts *counts, RcVerdict accept)
{
  RcTicks sum = 0;
  for (guint v = RC_NATIVE; v <= accept; ++v) {
    sum += rc_counts_of(counts, (RcVerdict)v);
  }
  return sum;
}

RcTicks
rc_counts_read(const RcCounts *counts)
{
  return rc_counts_whole(counts) - rc_counts_of(counts, RC_UNREAD);
}
