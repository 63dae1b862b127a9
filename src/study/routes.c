// Copyright 2026 the rowcall developers
// SPDX-License-Identifier: MIT

#include "study/routes.h"

// A keyboard on which routes are planned.
typedef struct {
  RcPlanner *planner;
  RcRoute *route;
  RcUseSums sums; // where the use is wanted
} Board;

static Board
start_board(const RcRolled *rolled, guint index, RcUse *use)
{
  Board board = { .planner = rc_planner_new_on(rolled->boards->catalogues[index], &rolled->boards->settings.route) };
  board.route = rc_route_new(board.planner);
  if (use) {
    rc_use_sums_init(&board.sums, use);
  }
  return board;
}

static void
end_board(Board *board)
{
  if (board->sums.use) {
    rc_use_sums_end(&board->sums);
  }
  rc_route_free(board->route);
  rc_planner_free(board->planner);
}

static void
plan(Board *board, const RcWants *wants, RcVerdict accept)
{
  rc_route_choose(board->route, wants);
  if (board->sums.use) {
    rc_use_sums_add(&board->sums, board->route, accept);
  }
}

void
rc_rolled_routes(const RcRolled *rolled, const guint *boards, guint n, RcUse *const *uses, RcRoutedFunc each,
                 gpointer data)
{
  RcWants wants;
  Board *planned = g_new(Board, n);
  rc_wants_init(&wants);
  for (guint i = 0; i < n; ++i) {
    planned[i] = start_board(rolled, boards[i], uses ? uses[i] : NULL);
  }
  for (guint tune = 0; tune < rolled->n_tunes; ++tune) {
    rc_wants_find(&wants, &rolled->boards->settings.route.roll, rolled->tunes[tune]);
    for (guint i = 0; i < n; ++i) {
      plan(&planned[i], &wants, rc_roll_accept(rolled->roll));
    }
    if (each) {
      each(rolled->tunes[tune], rc_router_of(planned[0].route), data);
    }
  }
  for (guint i = 0; i < n; ++i) {
    end_board(&planned[i]);
  }
  rc_wants_clear(&wants);
  g_free(planned);
}
