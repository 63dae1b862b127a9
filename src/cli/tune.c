// Copyright 2026 the rowcall developers
// SPDX-License-Identifier: MIT

#include "cli.h"

#include <string.h>

typedef struct {
  const RcCatalogue *catalogue;
  RcVerdict accept;
  RcRollSettings settings;
  RcFormat format;
  char *title; // part of the titles wanted, case folded; NULL: all
  GString *out;
  gboolean first;
} TuneJob;

static gboolean
is_wanted(const TuneJob *job, const RcTune *tune)
{
  char *title = g_utf8_casefold(tune->title, -1);
  const gboolean wanted = !job->title || strstr(title, job->title);
  g_free(title);
  return wanted;
}

static void
chart_tune(const RcTune *tune, gpointer data)
{
  TuneJob *job = data;
  if (!is_wanted(job, tune)) {
    return;
  }
  RcChart *chart = rc_chart_new(job->catalogue, &job->settings, job->accept, tune);
  rc_report_tune(job->out, job->format, rc_catalogue_layout(job->catalogue), tune, chart, job->first);
  job->first = FALSE;
  rc_chart_free(chart);
}

static int
chart_all(const CliOptions *options, TuneJob *job)
{
  CliReading reading;
  rc_report_tune_start(job->out, job->format, rc_catalogue_layout(job->catalogue));
  if (!cli_read(options, chart_tune, job, &reading)) {
    return CLI_NOTHING;
  }
  if (job->first) {
    cli_complain("none of the %" G_GUINT64_FORMAT " tunes has `%s` in its title", reading.intake.tunes, job->title);
    return CLI_NOTHING;
  }
  rc_report_tune_end(job->out, job->format);
  return cli_write_text(options->output, job->out) ? cli_reading_status(&reading) : CLI_NOTHING;
}

static int
tune(const CliOptions *options, const char *title)
{
  TuneJob job = { .first = TRUE };
  CliBoards boards = { 0 };
  int status = CLI_NOTHING;
  const char *const names[] = { options->on, NULL };
  if (!options->on) {
    cli_complain("name the keyboard with --on, such as --on 48-8x6; `rowcall layouts` lists them");
    return CLI_NOTHING;
  }
  if (cli_roll_settings(options, &job.settings) && cli_format(options, &job.format) &&
      cli_boards_load(&boards, names, options)) {
    job.accept = rc_panel_accept(boards.panel);
    job.catalogue = g_ptr_array_index(boards.catalogues, 0);
    job.title = title ? g_utf8_casefold(title, -1) : NULL;
    job.out = g_string_new(NULL);
    status = chart_all(options, &job);
    g_string_free(job.out, TRUE);
    g_free(job.title);
  }
  cli_boards_clear(&boards);
  return status;
}

static int
run(int argc, char **argv)
{
  CliOptions options = cli_options();
  char *title = NULL;
  const GOptionEntry entries[] = {
    { "title", 0, 0, G_OPTION_ARG_STRING, &title, "Only tunes with TEXT in their title", "TEXT" },
    { 0 },
  };
  int status = CLI_DONE;
  if (cli_parse(&cli_tune, CLI_HAND | CLI_REPERTOIRE | CLI_FORMAT | CLI_OUTPUT | CLI_ON, &options, entries, argc, argv,
                &status)) {
    status = tune(&options, title);
  }
  cli_options_clear(&options);
  g_free(title);
  return status;
}

const CliCommand cli_tune = {
  "tune",
  "TUNES... --on LAYOUT",
  "Bar by bar: what is missing, and what to press for it",
  "TUNES are files, folders or - for standard input.\n\n"
  "Example: what does the 48 make of the waltzes?\n"
  "  rowcall tune corpus/waltzes.yaml --on 48-8x6",
  run,
};
