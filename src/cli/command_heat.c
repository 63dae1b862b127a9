// Copyright 2026 the rowcall developers
// SPDX-License-Identifier: MIT

#include "cli/cli.h"

static gboolean
write_picture(const CliOptions *options, const RcUse *use, const RcRoll *roll, RcPicture picture)
{
  GError *error = NULL;
  RcImprint imprint = cli_imprint("Which buttons are used");
  GBytes *bytes = rc_report_heat_picture(use, roll, picture, &imprint, &error);
  g_free((char *)imprint.date);
  return cli_write_bytes(options->output, bytes, error);
}

static gboolean
write_heat(const CliOptions *options, RcTextFormat format, const RcUse *use, const RcRoll *roll)
{
  RcPicture picture;
  if (cli_picture(options->output, &picture)) {
    return write_picture(options, use, roll, picture);
  }
  GString *out = g_string_new(NULL);
  rc_report_heat(out, format, use, roll);
  const gboolean good = cli_write_text(options->output, out);
  g_string_free(out, TRUE);
  return good;
}

static int
heat(CliOptions *options)
{
  RcTextFormat format;
  int status = CLI_NOTHING;
  RcBoards *boards = cli_format(options, &format) ? cli_board_on(options) : NULL;
  if (boards) {
    rc_boards_plan(boards, 0);
    RcRolled *rolled = cli_roll(options, boards, FALSE);
    if (rolled && write_heat(options, format, boards->uses[0], rolled->roll)) {
      status = cli_reading_status(&rolled->intake);
    }
    rc_rolled_free(rolled);
  }
  rc_boards_free(boards);
  return status;
}

static int
run(int argc, char **argv)
{
  return cli_run(&cli_heat, CLI_HAND | CLI_REPERTOIRE | CLI_FORMAT | CLI_PICTURE | CLI_OUTPUT | CLI_ON | CLI_ROUTE,
                 heat, argc, argv);
}

const CliCommand cli_heat = {
  "heat",
  "TUNES... --on LAYOUT",
  "Which buttons the tunes use, and which rows and columns carry them",
  "TUNES are files, folders or - for standard input. With -o and a name that ends\n"
  "in .pdf, .svg or .png the keyboard is drawn.\n\n"
  "Example: which rows do our dances use?\n"
  "  rowcall heat corpus/jigs-and-reels.yaml --on 120 -o heat.pdf",
  run,
};
