// Copyright 2026 the rowcall developers
// SPDX-License-Identifier: MIT

// Keyboards side by side: which carry a repertoire, and what the step to the next buys.

#include "study/chord_sums.h"

// Of the chords that stand-ins give on keyboard @p index, those that the next one gives by buttons of their own, into
// @p own, and those that it gives by better stand-ins, into @p better.
static void
find_comfort(const RcRoll *roll, guint index, guint next, GArray *own, GArray *better)
{
  const RcCounts counts = rc_roll_counts(roll, index);
  for (guint i = 0; i < rc_roll_n_entries(roll); ++i) {
    const RcVerdict here = rc_roll_answer(roll, i, index).verdict;
    const RcVerdict there = rc_roll_answer(roll, i, next).verdict;
    if (there < here && here <= rc_roll_accept(roll)) {
      const RcRollEntry entry = rc_roll_entry(roll, i);
      rc_chord_sums_add(there == RC_NATIVE ? own : better, &entry, rc_counts_measured(&counts));
    }
  }
  rc_chord_sums_merge(own);
}

static RcTicks
sum_lengths(const GArray *sums)
{
  RcTicks length = 0;
  for (guint i = 0; i < sums->len; ++i) {
    length += g_array_index(sums, RcChordSum, i).length;
  }
  return length;
}

static RcStepUp
step_from(const RcRoll *roll, guint index)
{
  RcStepUp step = { .gain = rc_roll_gain(roll, index) };
  if (step.gain.next < 0) {
    return step;
  }
  const RcCounts here = rc_roll_counts(roll, index);
  const RcCounts there = rc_roll_counts(roll, (guint)step.gain.next);
  GArray *own = rc_chord_sums_new();
  GArray *better = rc_chord_sums_new();
  find_comfort(roll, index, (guint)step.gain.next, own, better);
  step.native = there.native - here.native;
  step.own = sum_lengths(own);
  step.better = sum_lengths(better);
  for (guint i = 0; i < MIN(own->len, RC_STEP_CHORDS); ++i) {
    step.chords[step.n_chords++] = g_array_index(own, RcChordSum, i).chord;
  }
  g_array_unref(own);
  g_array_unref(better);
  return step;
}

// Whether size `a` has fewer buttons than `b`, or as many and carries more.
static gboolean
comes_before(const RcComparison *c, guint a, guint b, RcTarget target)
{
  const RcSizeAnswer *left = &c->sizes[a];
  const RcSizeAnswer *right = &c->sizes[b];
  if (left->buttons != right->buttons) {
    return left->buttons < right->buttons;
  }
  return target.by == RC_TARGET_TUNES
           ? left->counts.playable > right->counts.playable
           : rc_counts_carried(&left->counts, c->accept) > rc_counts_carried(&right->counts, c->accept);
}

static int
smallest(const RcComparison *c, RcTarget target)
{
  int best = -1;
  for (guint i = 0; i < c->n; ++i) {
    if (rc_target_reached(target, &c->sizes[i].counts, c->accept) &&
        (best < 0 || comes_before(c, i, (guint)best, target))) {
      best = (int)i;
    }
  }
  return best;
}

static void
find_most(RcComparison *c)
{
  RcTicks most = -1;
  for (guint i = 0; i < c->n; ++i) {
    const RcTicks carried = rc_counts_carried(&c->sizes[i].counts, c->accept);
    c->most_time = carried > most ? i : c->most_time;
    most = MAX(most, carried);
    c->most_tunes = MAX(c->most_tunes, c->sizes[i].counts.playable);
  }
}

RcComparison *
rc_compare(const RcRolled *rolled)
{
  RcComparison *c = g_new0(RcComparison, 1);
  c->rolled = rolled;
  c->target = rolled->boards->settings.target;
  c->accept = rc_roll_accept(rolled->roll);
  c->n = rolled->boards->n;
  c->sizes = g_new0(RcSizeAnswer, MAX(c->n, 1));
  for (guint i = 0; i < c->n; ++i) {
    const RcLayout *layout = rolled->boards->layouts[i];
    c->sizes[i] = (RcSizeAnswer){ layout, rc_layout_count_buttons(layout), rc_roll_counts(rolled->roll, i),
                                  step_from(rolled->roll, i) };
  }
  c->by_time = smallest(c, (RcTarget){ RC_TARGET_TIME, c->target.millionths });
  c->by_tunes = smallest(c, (RcTarget){ RC_TARGET_TUNES, c->target.millionths });
  find_most(c);
  if (c->by_time >= 0) {
    c->wide = rc_wide_in_roll(rolled->roll, (guint)c->by_time, &rolled->boards->settings, &c->n_wide);
  }
  return c;
}

void
rc_comparison_free(RcComparison *comparison)
{
  if (comparison) {
    g_free(comparison->sizes);
    g_free(comparison->wide);
    g_free(comparison);
  }
}
