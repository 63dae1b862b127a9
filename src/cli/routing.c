// Copyright 2026 the rowcall developers
// SPDX-License-Identifier: MIT

// Tunes planned one by one on one keyboard, for the commands that show them whole.

#include "cli.h"

#include <string.h>

gboolean
cli_routing_start(CliRouting *routing, const CliOptions *options)
{
  RcRouteSettings settings;
  if (!cli_has_on(options) || !cli_route_settings(options, &settings)) {
    return FALSE;
  }
  routing->layout = cli_layout(options->on);
  if (!routing->layout) {
    return FALSE;
  }
  routing->planner = rc_planner_new(routing->layout, &settings);
  routing->route = rc_route_new(routing->planner);
  if (settings.prefer == RC_PREFER_EASE) {
    settings.prefer = RC_PREFER_SOUND;
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
  const char *title; // part of the titles wanted, case folded; NULL: all
  CliChartFunc each;
  gpointer data;
  guint charted;
} ChartJob;

static gboolean
is_wanted(const ChartJob *job, const RcTune *tune)
{
  char *title = g_utf8_casefold(tune->title, -1);
  const gboolean wanted = !job->title || strstr(title, job->title);
  g_free(title);
  return wanted;
}

static void
chart_tune(const RcTune *tune, gpointer data)
{
  ChartJob *job = data;
  const CliRouting *routing = job->routing;
  if (!is_wanted(job, tune)) {
    return;
  }
  rc_route_plan(routing->route, tune);
  if (routing->sound) {
    rc_route_plan(routing->sound, tune);
  }
  RcChart *chart = rc_chart_new(routing->planner, routing->route, routing->sound, tune);
  job->each(tune, chart, job->charted++, job->data);
  rc_chart_free(chart);
}

gboolean
cli_chart(const CliOptions *options, const CliRouting *routing, CliChartFunc each, gpointer data, CliReading *reading)
{
  char *title = options->title ? g_utf8_casefold(options->title, -1) : NULL;
  ChartJob job = { routing, title, each, data, 0 };
  const gboolean good = cli_read(options, chart_tune, &job, reading);
  if (good && !job.charted) {
    cli_complain("none of the %" G_GUINT64_FORMAT " tunes has `%s` in its title", reading->intake.tunes,
                 options->title);
  }
  g_free(title);
  return good && job.charted;
}
