// Copyright 2026 the rowcall developers
// SPDX-License-Identifier: MIT

// Tunes planned one by one on one keyboard, for the commands that show them whole.

#include "cli/cli.h"

gboolean
cli_routing_start(CliRouting *routing, const CliOptions *options)
{
  RcRouteSettings settings = options->settings.route;
  if (!cli_has_on(options)) {
    return FALSE;
  }
  routing->layout = cli_layout_on(options);
  if (!routing->layout) {
    return FALSE;
  }
  routing->planner = rc_planner_new(routing->layout, &settings);
  routing->route = rc_route_new(routing->planner);
  if (settings.prefer == RC_PREFER_EASE || (settings.turns_apart > 0 && rc_layout_has_bellows(routing->layout))) {
    settings.prefer = RC_PREFER_SOUND;
    settings.turns_apart = 0;
    routing->sound_planner = rc_planner_new(routing->layout, &settings);
    routing->sound = rc_route_new(routing->sound_planner);
  }
  return TRUE;
}

void
cli_routing_clear(CliRouting *routing)
{
  g_clear_pointer(&routing->route, rc_route_free);
  g_clear_pointer(&routing->sound, rc_route_free);
  g_clear_pointer(&routing->planner, rc_planner_free);
  g_clear_pointer(&routing->sound_planner, rc_planner_free);
  g_clear_pointer(&routing->layout, rc_layout_free);
}
