// Copyright 2026 the rowcall developers
// SPDX-License-Identifier: MIT

// Practice sheets of all tunes.

#include "report/document_pages.h"

#include "report/sheet_pages.h"

static void
draw_sheet(RcDocument *d, RcRoute *route, guint number)
{
  RcPlanner *planner = d->report->planners[d->report->chosen];
  const RcTune *tune = d->report->tunes[number];
  rc_route_plan(route, tune);
  RcChart *chart = rc_chart_new(planner, route, NULL, tune);
  char *place = rc_document_has(d, rc_section_index) ? g_strdup_printf("tune%u", number + 1) : NULL;
  rc_sheet_draw(&d->pages, d->layout, tune, chart, place);
  g_free(place);
  rc_chart_free(chart);
}

void
rc_section_sheets(RcDocument *d)
{
  RcRoute *route = rc_route_new(d->report->planners[d->report->chosen]);
  for (guint i = 0; i < d->report->n_tunes && !d->pages.full; ++i) {
    draw_sheet(d, route, i);
  }
  rc_route_free(route);
}
