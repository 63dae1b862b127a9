// Copyright 2026 the rowcall developers
// SPDX-License-Identifier: MIT

// The best that fingers can do for one chord.

#include "rowcall/study.h"

#include "route/planner.h"

RcHold
rc_hold(RcPlanner *planner, const RcRequest *request)
{
  const RcLayout *layout = rc_planner_layout(planner);
  const RcRouteSettings *settings = rc_planner_settings(planner);
  const RcWays *ways = rc_planner_ask(planner, request);
  const RcWay *best = NULL;
  for (guint i = 0; i < ways->n; ++i) {
    const RcWay *way = &ways->ways[i];
    best = !best || way->rank < best->rank ? way : best;
  }
  if (!best) {
    return (RcHold){ .found = FALSE };
  }
  return (RcHold){ .found = TRUE,
                   .answer = { .verdict = (RcVerdict)best->verdict,
                               .grip = best->grip,
                               .grading = best->grading,
                               .likeness = rc_grip_likeness(layout, &request->chord, &best->grip) },
                   .fingers = best->fingers,
                   .second = rc_second_bass(&settings->fingers, layout, settings->hand.reach, &request->chord,
                                            &best->grip, &best->fingers),
                   .wide = best->wide };
}
