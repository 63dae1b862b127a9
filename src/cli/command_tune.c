// Copyright 2026 the rowcall developers
// SPDX-License-Identifier: MIT

#include "cli/cli.h"

typedef struct {
  RcPlayer *player;
  RcTextFormat format;
  GString *out;
  guint told; // tunes
} TuneJob;

static void
tell_tune(const RcTune *tune, gpointer data)
{
  TuneJob *job = data;
  const RcChart *chart = rc_player_chart(job->player, tune);
  rc_report_tune(job->out, job->format, rc_player_layout(job->player), tune, chart, job->told++ == 0);
}

static int
tell_tunes(const CliOptions *options, TuneJob *job)
{
  RcIntake intake;
  const RcLayout *layout = rc_player_layout(job->player);
  rc_report_tune_start(job->out, job->format, layout);
  if (!cli_read(options, tell_tune, job, &intake)) {
    return CLI_NOTHING;
  }
  rc_report_tune_end(job->out, job->format, layout);
  return cli_write_text(options->output, job->out) ? cli_reading_status(&intake) : CLI_NOTHING;
}

static int
tune(CliOptions *options)
{
  TuneJob job = { 0 };
  options->settings.corpus.melody_notes = TRUE; // doubtful chords are reported
  options->settings.corpus.words = TRUE;
  RcBoards *boards = cli_format(options, &job.format) ? cli_board_on(options) : NULL;
  if (!boards) {
    return CLI_NOTHING;
  }
  job.player = rc_player_new(boards, 0);
  job.out = g_string_new(NULL);
  const int status = tell_tunes(options, &job);
  g_string_free(job.out, TRUE);
  rc_player_free(job.player);
  rc_boards_free(boards);
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
