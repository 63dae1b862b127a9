// Copyright 2026 the rowcall developers
// SPDX-License-Identifier: MIT

#include "study/routes.h"

void
rc_rolled_routes(const RcRolled *rolled, const guint *boards, guint n, RcUse *const *uses, RcRoutedFunc each,
                 gpointer data)
{
  RcWants wants;
  const RcRouteSettings *settings = &rolled->boards->settings.route;
  RcPlanner **planners = g_new(RcPlanner *, n);
  RcRoute **routes = g_new(RcRoute *, n);
  rc_wants_init(&wants);
  for (guint i = 0; i < n; ++i) {
    planners[i] = rc_planner_new_on(rolled->boards->catalogues[boards[i]], settings);
    routes[i] = rc_route_new(planners[i]);
  }
  for (guint tune = 0; tune < rolled->n_tunes; ++tune) {
    rc_wants_find(&wants, &settings->roll, rolled->tunes[tune]);
    for (guint i = 0; i < n; ++i) {
      rc_route_choose(routes[i], &wants);
      if (uses) {
        rc_use_add(uses[i], routes[i], rolled->tunes[tune], rc_roll_accept(rolled->roll));
      }
    }
    if (each) {
      each(rolled->tunes[tune], rc_router_of(routes[0]), data);
    }
  }
  for (guint i = 0; i < n; ++i) {
    rc_route_free(routes[i]);
    rc_planner_free(planners[i]);
  }
  rc_wants_clear(&wants);
  g_free(routes);
  g_free(planners);
}
