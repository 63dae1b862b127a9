// Copyright 2026 the rowcall developers
// SPDX-License-Identifier: MIT

#include "cli/cli.h"

static void
append_text(GString *out, RcTextFormat format, gconstpointer data)
{
  const RcRolled *rolled = data;
  rc_report_heat(out, format, rolled->boards->uses[0], rolled->roll);
}

static GBytes *
draw(gconstpointer data, RcPicture picture, const RcImprint *imprint, GError **error)
{
  const RcRolled *rolled = data;
  return rc_report_heat_picture(rolled->boards->uses[0], rolled->roll, picture, imprint, error);
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
    const CliAnswer answer = { "Which buttons are used", append_text, draw, rolled };
    if (rolled && cli_write_answer(options, format, &answer)) {
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
  return cli_run(&cli_heat,
                 CLI_HAND | CLI_REPERTOIRE | CLI_FORMAT | CLI_PICTURE | CLI_OUTPUT | CLI_ON | CLI_ROUTE | CLI_TITLE,
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
