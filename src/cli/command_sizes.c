// Copyright 2026 the rowcall developers
// SPDX-License-Identifier: MIT

#include "cli/cli.h"

#include <math.h>

static gboolean
write_picture(const CliOptions *options, const RcSweep *sweep, const RcRoll *roll, RcTarget target, RcPicture picture)
{
  GError *error = NULL;
  RcImprint imprint = cli_imprint("The smallest keyboard that carries these tunes");
  GBytes *bytes = rc_report_sizes_picture(sweep, roll, target, picture, &imprint, &error);
  g_free((char *)imprint.date);
  return cli_write_bytes(options->output, bytes, error);
}

static gboolean
write_sizes(const CliOptions *options, RcTextFormat format, const RcSweep *sweep, const RcRoll *roll, RcTarget target)
{
  RcPicture picture;
  if (cli_picture(options->output, &picture)) {
    return write_picture(options, sweep, roll, target, picture);
  }
  GString *out = g_string_new(NULL);
  rc_report_sizes(out, format, sweep, roll, target);
  const gboolean good = cli_write_text(options->output, out);
  g_string_free(out, TRUE);
  return good;
}

static int
sweep(const CliOptions *options, RcTextFormat format, RcTarget target)
{
  CliReading reading;
  CliBoards boards = { 0 };
  int status = CLI_NOTHING;
  RcSweep *all = cli_boards_sweep(&boards, options);
  RcRoll *roll = all ? cli_roll(options, &boards, &reading) : NULL;
  if (roll && write_sizes(options, format, all, roll, target)) {
    status = cli_reading_status(&reading);
  }
  rc_roll_free(roll);
  rc_sweep_free(all);
  cli_boards_clear(&boards);
  return status;
}

static gboolean
read_target(double time, double tunes, RcTarget *target)
{
  const double percent = !isnan(tunes) ? tunes : !isnan(time) ? time : 95;
  *target = (RcTarget){ !isnan(tunes) ? RC_TARGET_TUNES : RC_TARGET_TIME, percent / 100 };
  if (!isnan(tunes) && !isnan(time)) {
    cli_complain("--target and --tunes: give one of them");
    return FALSE;
  }
  if (!(percent > 0 && percent <= 100)) {
    cli_complain("found a target of %g; expected percent above 0 and up to 100", percent);
    return FALSE;
  }
  return TRUE;
}

static int
run(int argc, char **argv)
{
  CliOptions options = cli_options();
  RcTarget target;
  RcTextFormat format;
  double time = NAN; // not given
  double tunes = NAN;
  int status = CLI_DONE;
  const GOptionEntry entries[] = {
    { "target", 0, 0, G_OPTION_ARG_DOUBLE, &time, "Percent of the playing time to reach (default 95)", "PERCENT" },
    { "tunes", 0, 0, G_OPTION_ARG_DOUBLE, &tunes, "Percent of the tunes to reach, in its place", "PERCENT" },
    { 0 },
  };
  if (cli_parse(&cli_sizes, CLI_HAND | CLI_REPERTOIRE | CLI_FORMAT | CLI_OUTPUT, &options, entries, argc, argv,
                &status)) {
    status = cli_format(&options, &format) && read_target(time, tunes, &target) ? sweep(&options, format, target)
                                                                                : CLI_NOTHING;
  }
  cli_options_clear(&options);
  return status;
}

const CliCommand cli_sizes = {
  "sizes",
  "TUNES...",
  "The smallest keyboard that carries these tunes, of all there could be",
  "TUNES are files, folders or - for standard input. Every range of columns is\n"
  "rolled with every set of rows that makers build. With -o and a name that ends\n"
  "in .pdf, .svg or .png the landscape is drawn.\n\n"
  "Example: how small may it be for nine tunes in ten?\n"
  "  rowcall sizes corpus --tunes 90",
  run,
};
