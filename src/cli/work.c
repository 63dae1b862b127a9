// Copyright 2026 the rowcall developers
// SPDX-License-Identifier: MIT

// Keyboards to be asked.

#include "cli/cli.h"

// --------------------------------------------------------------------------------------------------------- boards

// Room beside the layouts for what is planned on them.
static void
make_room(CliBoards *boards)
{
  boards->planners = g_ptr_array_new_with_free_func((GDestroyNotify)rc_planner_free);
  boards->uses = g_ptr_array_new_with_free_func((GDestroyNotify)rc_use_free);
  g_ptr_array_set_size(boards->planners, (int)boards->layouts->len);
  g_ptr_array_set_size(boards->uses, (int)boards->layouts->len);
}

gboolean
cli_boards_make(CliBoards *boards, GPtrArray *layouts, const CliOptions *options)
{
  RcHand hand;
  RcVerdict accept;
  boards->layouts = layouts;
  if (!cli_hand(options, &hand) || !cli_accept(options, &accept)) {
    return FALSE;
  }
  boards->catalogues = g_ptr_array_new_with_free_func((GDestroyNotify)rc_catalogue_free);
  for (guint i = 0; i < layouts->len; ++i) {
    g_ptr_array_add(boards->catalogues, rc_catalogue_new(g_ptr_array_index(layouts, i), hand));
  }
  make_room(boards);
  boards->panel = rc_panel_new((RcCatalogue *const *)boards->catalogues->pdata, boards->catalogues->len, accept);
  return TRUE;
}

static GPtrArray *
load_layouts(const char *const *names, const CliOptions *options)
{
  GPtrArray *layouts = g_ptr_array_new_with_free_func((GDestroyNotify)rc_layout_free);
  for (; *names; ++names) {
    RcLayout *layout = cli_layout(options, *names);
    if (layout) {
      g_ptr_array_add(layouts, layout);
    }
    const gboolean touched = !options->on || *names == options->on;
    if (!layout || (touched && !cli_silence(options, layout))) {
      g_ptr_array_unref(layouts);
      return NULL;
    }
  }
  return layouts;
}

gboolean
cli_boards_load(CliBoards *boards, const char *const *names, const CliOptions *options)
{
  GPtrArray *layouts = load_layouts(names, options);
  return layouts && cli_boards_make(boards, layouts, options);
}

RcSweep *
cli_boards_sweep(CliBoards *boards, const CliOptions *options)
{
  RcHand hand;
  RcVerdict accept;
  if (!cli_hand(options, &hand) || !cli_accept(options, &accept)) {
    return NULL;
  }
  boards->layouts = load_layouts(rc_layout_usual_names(), options);
  if (!boards->layouts) {
    return NULL;
  }
  make_room(boards);
  RcSweep *sweep = rc_sweep_new((RcLayout *const *)boards->layouts->pdata, boards->layouts->len, hand);
  boards->panel = rc_panel_new_sweep(sweep, accept);
  return sweep;
}

void
cli_boards_plan(CliBoards *boards, guint index, const RcRouteSettings *settings)
{
  const RcLayout *layout = g_ptr_array_index(boards->layouts, index);
  g_ptr_array_index(boards->planners, index) = rc_planner_new(layout, settings);
  g_ptr_array_index(boards->uses, index) = rc_use_new(layout);
}

void
cli_boards_clear(CliBoards *boards)
{
  g_clear_pointer(&boards->planners, g_ptr_array_unref);
  g_clear_pointer(&boards->uses, g_ptr_array_unref);
  g_clear_pointer(&boards->tunes, g_ptr_array_unref);
  g_clear_pointer(&boards->panel, rc_panel_free);
  g_clear_pointer(&boards->catalogues, g_ptr_array_unref);
  g_clear_pointer(&boards->layouts, g_ptr_array_unref);
}
