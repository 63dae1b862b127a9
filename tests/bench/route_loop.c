// Copyright 2026 the rowcall developers
// SPDX-License-Identifier: MIT

// Times the roll and the routes of a file of tunes on one keyboard, each by itself, on one thread: route_loop FILE
// LAYOUT [ease]. Prints played chords a second of both.

#include "rowcall/rowcall.h"

#include <stdio.h>
#include <string.h>
#include <time.h>

typedef struct {
  RcRoll *roll;
  RcRoute *route;
  double rolling;
  double planning;
  guint64 chords;
} Bench;

static double
now(void)
{
  struct timespec time;
  clock_gettime(CLOCK_MONOTONIC, &time);
  return (double)time.tv_sec + (double)time.tv_nsec / 1e9;
}

static void
time_tune(Bench *bench, const RcTune *tune)
{
  const double start = now();
  rc_roll_add(bench->roll, tune);
  const double rolled = now();
  rc_route_plan(bench->route, tune);
  bench->planning += now() - rolled;
  bench->rolling += rolled - start;
  bench->chords += bench->route->steps->len;
}

static void
time_file(Bench *bench, const char *path)
{
  GError *error = NULL;
  const char *const paths[] = { path, NULL };
  RcCorpus *corpus = rc_corpus_new(paths, (RcCorpusOptions){ 0 });
  RcTune *tune = rc_tune_new();
  for (RcReadResult result; (result = rc_corpus_next(corpus, tune, &error)) != RC_READ_END; g_clear_error(&error)) {
    if (result == RC_READ_TUNE) {
      time_tune(bench, tune);
    }
  }
  rc_tune_free(tune);
  rc_corpus_free(corpus);
}

int
main(int argc, char **argv)
{
  GError *error = NULL;
  RcLayout *layout = argc > 2 ? rc_layout_find(argv[2], &error) : NULL;
  if (!layout) {
    fprintf(stderr, "usage: route_loop FILE LAYOUT [ease]\n");
    return 2;
  }
  const RcPrefer prefer = argc > 3 && !strcmp(argv[3], "ease") ? RC_PREFER_EASE : RC_PREFER_PLAIN;
  RcRouteSettings settings = rc_route_settings();
  settings.taste.prefer = prefer;
  RcCatalogue *catalogue = rc_catalogue_new(layout, settings.hand);
  RcPanel *panel = rc_panel_new(&catalogue, 1, settings.taste);
  RcPlanner *planner = rc_planner_new(layout, &settings);
  Bench bench = { .roll = rc_roll_new(panel, settings.roll), .route = rc_route_new(planner) };
  time_file(&bench, argv[1]);
  printf("%" G_GUINT64_FORMAT " chords: rolled at %.2f, planned at %.2f million a second\n", bench.chords,
         (double)bench.chords / bench.rolling / 1e6, (double)bench.chords / bench.planning / 1e6);
  rc_roll_free(bench.roll);
  rc_route_free(bench.route);
  rc_planner_free(planner);
  rc_panel_free(panel);
  rc_catalogue_free(catalogue);
  rc_layout_free(layout);
  return 0;
}
