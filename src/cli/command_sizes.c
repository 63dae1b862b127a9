// Copyright 2026 the rowcall developers
// SPDX-License-Identifier: MIT

#include "cli/cli.h"

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
sizes(CliOptions *options)
{
  RcTextFormat format;
  int status = CLI_NOTHING;
  if (options->given && g_hash_table_contains(options->given, "target") &&
      g_hash_table_contains(options->given, "tunes")) {
    cli_complain("--target and --tunes: give one of them");
    return status;
  }
  if (!cli_format(options, &format)) {
    return status;
  }
  RcBoards *boards = rc_boards_new_sweep(&options->settings);
  RcRolled *rolled = cli_roll(options, boards, FALSE);
  if (rolled && write_sizes(options, format, boards->sweep, rolled->roll, options->settings.target)) {
    status = cli_reading_status(&rolled->intake);
  }
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
  "rolled with every set of rows that makers build. With -o and a name that ends\n"
  "in .pdf, .svg or .png the landscape is drawn.\n\n"
  "Example: how small may it be for nine tunes in ten?\n"
  "  rowcall sizes corpus --tunes 90",
  run,
};
