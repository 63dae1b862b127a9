// Copyright 2026 the rowcall developers
// SPDX-License-Identifier: MIT

#include "cli/cli.h"

static gboolean
write_answer(const CliOptions *options, RcTextFormat format, RcShare share, const RcComparison *comparison)
{
  RcPicture picture;
  if (cli_picture(options->output, &picture)) {
    GError *error = NULL;
    RcImprint imprint = cli_imprint("Coverage by size");
    GBytes *bytes = rc_report_compare_picture(comparison, picture, &imprint, &error);
    g_free((char *)imprint.date);
    return cli_write_bytes(options->output, bytes, error);
  }
  GString *text = g_string_new(NULL);
  rc_report_compare(text, format, comparison, share);
  const gboolean good = cli_write_text(options->output, text);
  g_string_free(text, TRUE);
  return good;
}

static int
roll_and_write(const CliOptions *options, const RcBoards *boards, RcTextFormat format, RcShare share)
{
  RcRolled *rolled = cli_roll(options, boards, FALSE);
  int status = CLI_NOTHING;
  RcComparison *comparison = rolled ? rc_compare(rolled) : NULL;
  if (comparison && write_answer(options, format, share, comparison)) {
    status = cli_reading_status(&rolled->intake);
  }
  rc_comparison_free(comparison);
  rc_rolled_free(rolled);
  return status;
}

// The keyboards that @p on names, else the usual sizes.
static RcBoards *
find_boards(const CliOptions *options, char **on)
{
  const char *const *names = on ? (const char *const *)on : rc_layout_usual_names();
  const guint n = g_strv_length((char **)names);
  RcBoardName *wanted = g_new(RcBoardName, n);
  for (guint i = 0; i < n; ++i) {
    wanted[i] = (RcBoardName){ names[i], options->without };
  }
  RcBoards *boards = cli_boards(options, wanted, n);
  g_free(wanted);
  return boards;
}

static int
compare(const CliOptions *options, char **on, const char *by)
{
  static const RcChoice shares[] = { { "time", RC_SHARE_TIME }, { "chords", RC_SHARE_CHORDS }, { NULL, 0 } };
  RcTextFormat format;
  int share = RC_SHARE_TIME;
  if (options->without && !on) {
    cli_complain("--without %s: name the keyboards that lack these buttons with --on", options->without);
    return CLI_NOTHING;
  }
  if (!cli_format(options, &format) || !cli_choose("by", shares, by, &share)) {
    return CLI_NOTHING;
  }
  RcBoards *boards = find_boards(options, on);
  const int status = boards ? roll_and_write(options, boards, format, (RcShare)share) : CLI_NOTHING;
  rc_boards_free(boards);
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
    { "without", 0, 0, G_OPTION_ARG_STRING_ARRAY, &options.without_lists, "What if these were dead: minor:B,seventh:E",
      "BUTTONS" },
    { "by", 0, 0, G_OPTION_ARG_STRING, &by, "What the table counts: time (default) or chords", "WHAT" },
    { 0 },
  };
  int status = CLI_DONE;
  if (cli_parse(&cli_compare, CLI_HAND | CLI_REPERTOIRE | CLI_FORMAT | CLI_PICTURE | CLI_OUTPUT, &options, entries,
                argc, argv, &status)) {
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
