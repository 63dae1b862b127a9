// Copyright 2026 the rowcall developers
// SPDX-License-Identifier: MIT

#include "cli/cli.h"

typedef struct {
  const CliRouting *routing;
  RcTextFormat format;
  GString *out;
} TuneJob;

static void
chart_tune(const RcTune *tune, const RcChart *chart, guint number, gpointer data)
{
  const TuneJob *job = data;
  rc_report_tune(job->out, job->format, job->routing->layout, tune, chart, number == 0);
}

static int
tune(CliOptions *options)
{
  TuneJob job = { 0 };
  RcIntake intake;
  CliRouting routing = { 0 };
  int status = CLI_NOTHING;
  if (cli_format(options, &job.format) && cli_routing_start(&routing, options)) {
    job.routing = &routing;
    job.out = g_string_new(NULL);
    rc_report_tune_start(job.out, job.format, routing.layout);
    if (cli_chart(options, &routing, chart_tune, &job, &intake)) {
      rc_report_tune_end(job.out, job.format, routing.layout);
      status = cli_write_text(options->output, job.out) ? cli_reading_status(&intake) : CLI_NOTHING;
    }
    g_string_free(job.out, TRUE);
  }
  cli_routing_clear(&routing);
  return status;
}

static int
run(int argc, char **argv)
{
  return cli_run(&cli_tune, CLI_HAND | CLI_REPERTOIRE | CLI_FORMAT | CLI_OUTPUT | CLI_ON | CLI_ROUTE | CLI_TITLE, tune,
                 argc, argv);
}

const CliCommand cli_tune = {
  "tune",
  "TUNES... --on LAYOUT",
  "Bar by bar: what is missing, what to press for it, and with which fingers",
  "TUNES are files, folders or - for standard input.\n\n"
  "Example: what does the 48 make of the waltzes?\n"
  "  rowcall tune corpus/waltzes.yaml --on 48-8x6",
  run,
};
