// Copyright 2026 the rowcall developers
// SPDX-License-Identifier: MIT

// Keyboards ready to be asked.

#include "rowcall/study.h"

#include "route/planner.h"

// Boards of @p layouts, the array of which is taken over.
static RcBoards *
new_boards(RcLayout **layouts, guint n, gboolean owned, const RcSettings *settings)
{
  RcBoards *boards = g_new0(RcBoards, 1);
  boards->settings = settings ? *settings : rc_settings();
  boards->n = n;
  boards->layouts = layouts;
  boards->owned = owned;
  boards->own = -1;
  boards->planners = g_new0(RcPlanner *, n);
  boards->uses = g_new0(RcUse *, n);
  return boards;
}

static void
add_catalogues(RcBoards *boards)
{
  boards->catalogues = g_new(RcCatalogue *, boards->n);
  for (guint i = 0; i < boards->n; ++i) {
    boards->catalogues[i] = rc_catalogue_new(boards->layouts[i], boards->settings.route.hand);
  }
}

static RcBoards *
make_ready(RcBoards *boards)
{
  add_catalogues(boards);
  boards->panel = rc_panel_new(boards->catalogues, boards->n, boards->settings.route.taste);
  return boards;
}

RcBoards *
rc_boards_new(RcLayout *const *layouts, guint n, const RcSettings *settings)
{
  return make_ready(new_boards(g_memdup2(layouts, n * sizeof *layouts), n, FALSE, settings));
}

static RcLayout *
find_layout(const RcBoardName *name, GError **error)
{
  RcLayout *layout = rc_layout_find(name->name, error);
  if (layout && name->without && !rc_layout_silence(layout, name->without, error)) {
    g_prefix_error(error, "without %s: ", name->without);
    g_clear_pointer(&layout, rc_layout_free);
  }
  return layout;
}

RcBoards *
rc_boards_find(const RcBoardName *names, guint n, const RcSettings *settings, GError **error)
{
  RcBoards *boards = new_boards(g_new0(RcLayout *, n), n, TRUE, settings);
  for (guint i = 0; i < n; ++i) {
    boards->layouts[i] = find_layout(&names[i], error);
    if (!boards->layouts[i]) {
      rc_boards_free(boards);
      return NULL;
    }
  }
  return make_ready(boards);
}

RcBoards *
rc_boards_find_usual(const RcBoardName *own, const RcSettings *settings, GError **error)
{
  const char *const *usual = rc_layout_usual_names();
  const guint n = g_strv_length((char **)usual);
  RcBoardName *names = g_new0(RcBoardName, n + 1);
  guint at = n; // of the player's
  for (guint i = 0; i < n; ++i) {
    names[i].name = usual[i];
    at = own && !own->without && g_str_equal(own->name, usual[i]) ? i : at;
  }
  names[n] = own ? *own : names[n];
  RcBoards *boards = rc_boards_find(names, own && at == n ? n + 1 : n, settings, error);
  if (boards && own) {
    boards->own = (int)at;
  }
  g_free(names);
  return boards;
}

static RcBoards *
make_sweep(RcBoards *boards, RcCatalogue *const *usual)
{
  boards->sweep = rc_sweep_new(usual, boards->n);
  boards->panel = rc_panel_new_sweep(boards->sweep, boards->settings.route.taste);
  return boards;
}

RcBoards *
rc_boards_new_sweep_of(const RcBoards *usual)
{
  const guint n = g_strv_length((char **)rc_layout_usual_names()); // after them the player's own may follow
  RcBoards *boards = new_boards(g_memdup2(usual->layouts, n * sizeof *usual->layouts), n, FALSE, &usual->settings);
  return make_sweep(boards, usual->catalogues);
}

RcBoards *
rc_boards_new_sweep(const RcSettings *settings)
{
  const char *const *names = rc_layout_usual_names();
  const guint n = g_strv_length((char **)names);
  RcBoards *boards = new_boards(g_new0(RcLayout *, n), n, TRUE, settings);
  for (guint i = 0; i < n; ++i) {
    boards->layouts[i] = rc_layout_find(names[i], NULL); // they ship: they are there and right
  }
  add_catalogues(boards);
  return make_sweep(boards, boards->catalogues);
}

void
rc_boards_plan(RcBoards *boards, guint index)
{
  boards->planners[index] = rc_planner_new_on(boards->catalogues[index], &boards->settings.route);
  boards->uses[index] = rc_use_new(boards->layouts[index]);
}

void
rc_boards_plan_tunes(RcBoards *boards, guint index)
{
  rc_boards_plan(boards, index);
  rc_use_keep_tunes(boards->uses[index]);
}

void
rc_boards_free(RcBoards *boards)
{
  if (!boards) {
    return;
  }
  rc_panel_free(boards->panel);
  rc_sweep_free(boards->sweep);
  for (guint i = 0; i < boards->n; ++i) {
    rc_planner_free(boards->planners[i]);
    rc_use_free(boards->uses[i]);
    if (boards->catalogues) {
      rc_catalogue_free(boards->catalogues[i]);
    }
    if (boards->owned) {
      rc_layout_free(boards->layouts[i]);
    }
  }
  g_free(boards->planners);
  g_free(boards->uses);
  g_free(boards->catalogues);
  g_free(boards->layouts);
  g_free(boards);
}
