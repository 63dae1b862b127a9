// Copyright 2026 the rowcall developers
// SPDX-License-Identifier: MIT

#include "cli/cli.h"

static void
append_text(GString *out, RcTextFormat format, gconstpointer data)
{
  rc_report_sizes(out, format, data);
}

static GBytes *
draw(gconstpointer data, RcPicture picture, const RcImprint *imprint, GError **error)
{
  return rc_report_sizes_picture(data, picture, imprint, error);
}

static int
sizes(CliOptions *options)
{
  RcTextFormat format;
  int status = CLI_NOTHING;
  if (cli_is_given(options, "target") && cli_is_given(options, "tunes")) {
    cli_complain("--target and --tunes: give one of them");
    return status;
  }
  if (!cli_format(options, &format)) {
    return status;
  }
  RcBoards *boards = rc_boards_new_sweep(&options->settings);
  RcRolled *rolled = cli_roll(options, boards, FALSE);
  RcSwept *swept = rolled ? rc_sweep_judge(rolled) : NULL;
  const CliAnswer answer = { "All sizes there could be", append_text, draw, swept };
  if (swept && cli_write_answer(options, format, &answer)) {
    status = cli_reading_status(&rolled->intake);
  }
  rc_swept_free(swept);
  rc_rolled_free(rolled);
  rc_boards_free(boards);
  return status;
}

static int
run(int argc, char **argv)
{
  return cli_run(&cli_sizes, CLI_HAND | CLI_REPERTOIRE | CLI_FORMAT | CLI_PICTURE | CLI_OUTPUT | CLI_TARGET | CLI_TUNES,
                 sizes, argc, argv);
}

const CliCommand cli_sizes = {
  "sizes",
  "TUNES...",
  "The smallest keyboard that carries these tunes, of all there could be",
  "TUNES are files, folders or - for standard input. Every range of columns is\n"
  "rolled with every set of rows that makers build.\n\n"
  "Example: how small may it be for nine tunes in ten?\n"
  "  rowcall sizes corpus --tunes 90",
  run,
};
