// Copyright 2026 the rowcall developers
// SPDX-License-Identifier: MIT

#include "cli/cli.h"

typedef struct {
  RcMoves *moves;
  RcKeysReport *report;
} KeysJob;

static void
add_tune(const RcTune *tune, gpointer data)
{
  const KeysJob *job = data;
  const RcTuneMoves moves = rc_moves_judge(job->moves, tune);
  rc_report_keys_add(job->report, tune, &moves);
}

static int
report_keys(const CliOptions *options, RcTextFormat format, const RcLayout *layout)
{
  RcIntake intake;
  const KeysJob job = { rc_moves_new(layout, &options->settings),
                        rc_report_keys_start(format, layout, options->settings.route.taste.accept) };
  const gboolean good = cli_read(options, add_tune, (gpointer)&job, &intake);
  GString *out = rc_report_keys_finish(job.report);
  const int status = good && cli_write_text(options->output, out) ? cli_reading_status(&intake) : CLI_NOTHING;
  g_string_free(out, TRUE);
  rc_moves_free(job.moves);
  return status;
}

static int
keys(CliOptions *options)
{
  RcTextFormat format;
  RcBoards *boards = cli_format(options, &format) ? cli_board_on(options) : NULL;
  const int status = boards ? report_keys(options, format, boards->layouts[0]) : CLI_NOTHING;
  rc_boards_free(boards);
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
