// Copyright 2026 the rowcall developers
// SPDX-License-Identifier: MIT

#include "cli/cli.h"

typedef struct {
  RcPanel *panel;
  RcRollSettings settings;
  RcKeysReport *report;
} KeysJob;

static void
add_tune(const RcTune *tune, gpointer data)
{
  KeysJob *job = data;
  RcCounts counts[RC_N_MOVES];
  rc_panel_counts(job->panel, &job->settings, tune, counts);
  rc_report_keys_add(job->report, tune, counts);
}

// Moving a tune up is moving the keyboard down.
static RcPanel *
make_panel(const RcLayout *layout, RcHand hand, RcTaste taste, GPtrArray *layouts, GPtrArray *catalogues)
{
  for (int move = RC_MOVE_LOWEST; move < RC_MOVE_LOWEST + RC_N_MOVES; ++move) {
    RcLayout *moved = rc_layout_moved(layout, -move);
    g_ptr_array_add(layouts, moved);
    g_ptr_array_add(catalogues, rc_catalogue_new(moved, hand));
  }
  return rc_panel_new((RcCatalogue *const *)catalogues->pdata, catalogues->len, taste);
}

static int
report_keys(const CliOptions *options, RcTextFormat format, const RcLayout *layout, RcHand hand, RcTaste taste)
{
  RcIntake intake;
  KeysJob job = { .settings = options->settings.route.roll };
  int status = CLI_NOTHING;
  GPtrArray *layouts = g_ptr_array_new_with_free_func((GDestroyNotify)rc_layout_free);
  GPtrArray *catalogues = g_ptr_array_new_with_free_func((GDestroyNotify)rc_catalogue_free);
  job.panel = make_panel(layout, hand, taste, layouts, catalogues);
  job.report = rc_report_keys_start(format, layout, taste.accept);
  const gboolean good = cli_read(options, add_tune, &job, &intake);
  GString *out = rc_report_keys_finish(job.report);
  if (good && cli_write_text(options->output, out)) {
    status = cli_reading_status(&intake);
  }
  g_string_free(out, TRUE);
  rc_panel_free(job.panel);
  g_ptr_array_unref(catalogues);
  g_ptr_array_unref(layouts);
  return status;
}

static int
keys(CliOptions *options)
{
  RcTextFormat format;
  const RcRouteSettings *route = &options->settings.route;
  if (!cli_has_on(options) || !cli_format(options, &format)) {
    return CLI_NOTHING;
  }
  RcLayout *layout = cli_layout_on(options);
  const int status = layout ? report_keys(options, format, layout, route->hand, route->taste) : CLI_NOTHING;
  rc_layout_free(layout);
  return status;
}

static int
run(int argc, char **argv)
{
  return cli_run(&cli_keys, CLI_HAND | CLI_REPERTOIRE | CLI_FORMAT | CLI_OUTPUT | CLI_ON | CLI_TITLE, keys, argc, argv);
}

const CliCommand cli_keys = {
  "keys",
  "TUNES... --on LAYOUT",
  "In which key each tune lies on this keyboard, and which tunes to move",
  "TUNES are files, folders or - for standard input. For one tune all twelve keys\n"
  "are listed; CSV and JSON list them for all.\n\n"
  "Example: could our waltzes be moved so that a 48 plays them?\n"
  "  rowcall keys corpus/waltzes.yaml --on 48-8x6",
  run,
};
