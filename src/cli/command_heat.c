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
heat(const CliOptions *options)
{
  RcTextFormat format;
  RcRouteSettings settings;
  CliReading reading;
  CliBoards boards = { 0 };
  int status = CLI_NOTHING;
  const char *const names[] = { options->on, NULL };
  if (cli_has_on(options) && cli_format(options, &format) && cli_route_settings(options, &settings) &&
      cli_boards_load(&boards, names, options)) {
    cli_boards_plan(&boards, 0, &settings);
    RcRoll *roll = cli_roll(options, &boards, &reading);
    if (roll && write_heat(options, format, g_ptr_array_index(boards.uses, 0), roll)) {
      status = cli_reading_status(&reading);
    }
    rc_roll_free(roll);
  }
  cli_boards_clear(&boards);
  return status;
}

static int
run(int argc, char **argv)
{
  return cli_run(&cli_heat, CLI_HAND | CLI_REPERTOIRE | CLI_FORMAT | CLI_OUTPUT | CLI_ON | CLI_ROUTE, heat, argc, argv);
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
