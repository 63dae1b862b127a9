// Copyright 2026 the rowcall developers
// SPDX-License-Identifier: MIT

#include "cli/cli.h"

typedef struct {
  const RcComparison *comparison;
  RcShare share;
} Compared;

static void
append_text(GString *out, RcTextFormat format, gconstpointer data)
{
  const Compared *compared = data;
  rc_report_compare(out, format, compared->comparison, compared->share);
}

static GBytes *
draw(gconstpointer data, RcPicture picture, const RcImprint *imprint, GError **error)
{
  const Compared *compared = data;
  return rc_report_compare_picture(compared->comparison, picture, imprint, error);
}

static int
roll_and_write(const CliOptions *options, const RcBoards *boards, RcTextFormat format, RcShare share)
{
  RcRolled *rolled = cli_roll(options, boards, FALSE);
  int status = CLI_NOTHING;
  RcComparison *comparison = rolled ? rc_compare(rolled) : NULL;
  const Compared compared = { comparison, share };
  const CliAnswer answer = { "Coverage by size", append_text, draw, &compared };
  if (comparison && cli_write_answer(options, format, &answer)) {
    status = cli_reading_status(&rolled->intake);
  }
  rc_comparison_free(comparison);
  rc_rolled_free(rolled);
  return status;
}

// The keyboards that --on names, else the usual sizes.
static RcBoards *
find_boards(const CliOptions *options)
{
  char **on = options->ons;
  if (!on) {
    return cli_boards_usual(options);
  }
  const guint n = g_strv_length(on);
  RcBoardName *names = g_new(RcBoardName, n);
  for (guint i = 0; i < n; ++i) {
    names[i] = (RcBoardName){ on[i], options->without };
  }
  RcBoards *boards = cli_boards(options, names, n);
  g_free(names);
  return boards;
}

static int
compare(const CliOptions *options, const char *by)
{
  static const RcChoice shares[] = { { "time", RC_SHARE_TIME }, { "chords", RC_SHARE_CHORDS }, { NULL, 0 } };
  RcTextFormat format;
  int share = RC_SHARE_TIME;
  if (options->without && !options->on && !options->ons) {
    cli_complain("--without %s: name the keyboards that lack these buttons with --on", options->without);
    return CLI_NOTHING;
  }
  if (!cli_format(options, &format) || !cli_choose("by", shares, by, &share)) {
    return CLI_NOTHING;
  }
  RcBoards *boards = find_boards(options);
  const int status = boards ? roll_and_write(options, boards, format, (RcShare)share) : CLI_NOTHING;
  rc_boards_free(boards);
  return status;
}

static int
run(int argc, char **argv)
{
  CliOptions options = cli_options();
  char *by = NULL;
  const GOptionEntry entries[] = {
    { "on", 0, 0, G_OPTION_ARG_STRING_ARRAY, &options.ons, "A layout, once for each (default: the usual)", "LAYOUT" },
    { "without", 0, 0, G_OPTION_ARG_STRING_ARRAY, &options.without_lists, "What if these were dead: minor:B,seventh:E",
      "BUTTONS" },
    { "by", 0, 0, G_OPTION_ARG_STRING, &by, "What the table counts: time (default) or chords", "WHAT" },
    { 0 },
  };
  int status = CLI_DONE;
  if (cli_parse(&cli_compare, CLI_HAND | CLI_REPERTOIRE | CLI_TARGET | CLI_FORMAT | CLI_PICTURE | CLI_OUTPUT, &options,
                entries, argc, argv, &status)) {
    status = compare(&options, by);
  }
  cli_options_clear(&options);
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
