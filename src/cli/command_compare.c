// Copyright 2026 the rowcall developers
// SPDX-License-Identifier: MIT

#include "cli/cli.h"

#include <string.h>

static gboolean
write_answer(const CliOptions *options, RcTextFormat format, RcShare share, const RcRoll *roll, const RcIntake *intake)
{
  RcPicture picture;
  if (cli_picture(options->output, &picture)) {
    GError *error = NULL;
    RcImprint imprint = cli_imprint("Coverage by size");
    GBytes *bytes = rc_report_compare_picture(roll, intake, picture, &imprint, &error);
    g_free((char *)imprint.date);
    return cli_write_bytes(options->output, bytes, error);
  }
  GString *text = g_string_new(NULL);
  rc_report_compare(text, format, roll, intake, share);
  const gboolean good = cli_write_text(options->output, text);
  g_string_free(text, TRUE);
  return good;
}

static int
roll_and_write(const CliOptions *options, const CliBoards *boards, RcTextFormat format, RcShare share)
{
  CliReading reading;
  RcRoll *roll = cli_roll(options, boards, &reading);
  int status = CLI_NOTHING;
  if (roll && write_answer(options, format, share, roll, &reading.intake)) {
    status = cli_reading_status(&reading);
  }
  rc_roll_free(roll);
  return status;
}

static gboolean
find_share(const char *by, RcShare *share)
{
  *share = by && !strcmp(by, "chords") ? RC_SHARE_CHORDS : RC_SHARE_TIME;
  if (by && *share == RC_SHARE_TIME && strcmp(by, "time") != 0) {
    cli_complain("--by %s: expected time or chords", by);
    return FALSE;
  }
  return TRUE;
}

static int
compare(const CliOptions *options, char **on, const char *by)
{
  RcTextFormat format;
  RcShare share;
  CliBoards boards = { 0 };
  int status = CLI_NOTHING;
  const char *const *names = on ? (const char *const *)on : rc_layout_usual_names();
  if (options->without && !on) {
    cli_complain("--without %s: name the keyboards that lack these buttons with --on", options->without);
    return status;
  }
  if (cli_format(options, &format) && find_share(by, &share) && cli_boards_load(&boards, names, options)) {
    status = roll_and_write(options, &boards, format, share);
  }
  cli_boards_clear(&boards);
  return status;
}

static int
run(int argc, char **argv)
{
  CliOptions options = cli_options();
  char **on = NULL;
  char *by = NULL;
  const GOptionEntry entries[] = {
    { "on", 0, 0, G_OPTION_ARG_STRING_ARRAY, &on, "A layout, once for each (default: the usual)", "LAYOUT" },
    { "without", 0, 0, G_OPTION_ARG_STRING, &options.without, "What if these were dead: minor:B,seventh:E", "BUTTONS" },
    { "by", 0, 0, G_OPTION_ARG_STRING, &by, "What the table counts: time (default) or chords", "WHAT" },
    { 0 },
  };
  int status = CLI_DONE;
  if (cli_parse(&cli_compare, CLI_HAND | CLI_REPERTOIRE | CLI_FORMAT | CLI_OUTPUT, &options, entries, argc, argv,
                &status)) {
    status = compare(&options, on, by);
  }
  cli_options_clear(&options);
  g_strfreev(on);
  g_free(by);
  return status;
}

const CliCommand cli_compare = {
  "compare",
  "TUNES...",
  "Which size carries this repertoire: one row a layout",
  "TUNES are files, folders or - for standard input. With -o and a name that ends\n"
  "in .pdf, .svg or .png the answer is drawn as a chart.\n\n"
  "Example: can a 48 carry the club's books, or does it take a 72?\n"
  "  rowcall compare corpus --on 48-8x6 --on 72",
  run,
};
