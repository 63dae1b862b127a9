// Copyright 2026 the rowcall developers
// SPDX-License-Identifier: MIT

#include "rowcall/coverage.h"

static void
hold(RcUse *use, guint button, RcTicks ticks)
{
  use->buttons[button] += ticks;
  use->most = MAX(use->most, use->buttons[button]);
}

static void
add_entry(RcUse *use, const RcAnswer *answer, RcTicks ticks)
{
  if (answer->verdict == RC_IMPOSSIBLE) {
    use->silent += ticks;
    return;
  }
  use->played += ticks;
  hold(use, answer->grip.bass, ticks);
  for (guint i = 0; i < answer->grip.n_chords; ++i) {
    hold(use, answer->grip.chords[i], ticks);
  }
}

RcUse *
rc_use_new(const RcRoll *roll, guint index)
{
  RcUse *use = g_new0(RcUse, 1);
  const RcCounts counts = rc_roll_counts(roll, index);
  use->buttons = g_new0(RcTicks, rc_roll_layout(roll, index)->buttons->len);
  use->silent = counts.ticks[RC_UNREAD];
  for (guint i = 0; i < rc_roll_n_entries(roll); ++i) {
    const RcAnswer answer = rc_roll_answer(roll, i, index);
    add_entry(use, &answer, rc_roll_entry(roll, i)->ticks);
  }
  return use;
}

void
rc_use_free(RcUse *use)
{
  if (use) {
    g_free(use->buttons);
    g_free(use);
  }
}
