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

typedef struct {
  const CliRouting *routing;
  CliChartFunc each;
  gpointer data;
  guint charted;
} ChartJob;

static void
chart_tune(const RcTune *tune, gpointer data)
{
  ChartJob *job = data;
  const CliRouting *routing = job->routing;
  rc_route_plan(routing->route, tune);
  if (routing->sound) {
    rc_route_plan(routing->sound, tune);
  }
  RcChart *chart = rc_chart_new(routing->planner, routing->route, routing->sound, tune);
  job->each(tune, chart, job->charted++, job->data);
  rc_chart_free(chart);
}

gboolean
cli_chart(const CliOptions *options, const CliRouting *routing, CliChartFunc each, gpointer data, RcIntake *intake)
{
  ChartJob job = { routing, each, data, 0 };
  return cli_read(options, chart_tune, &job, intake);
}
