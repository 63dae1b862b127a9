// Copyright 2026 the rowcall developers
// SPDX-License-Identifier: MIT

#include "study/routes.h"

#include "base/tasks.h"

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
    planners[i] = rc_planner_new(rolled->boards->layouts[boards[i]], settings);
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

// Of which keyboards the uses are found.
typedef struct {
  const RcRolled *rolled;
  const guint *boards;
  RcUse **uses;
} Using;

static void
find_use(guint number, gpointer data)
{
  const Using *using = data;
  rc_rolled_routes(using->rolled, &using->boards[number], 1, &using->uses[number], NULL, NULL);
}

void
rc_rolled_uses(const RcRolled *rolled, const guint *boards, guint n, RcUse **uses)
{
  Using using = { rolled, boards, uses };
  for (guint i = 0; i < n; ++i) {
    uses[i] = rc_use_new(rolled->boards->layouts[boards[i]]);
  }
  rc_tasks_do(n, rolled->boards->settings.threads, find_use, &using);
}
