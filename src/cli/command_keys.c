// Copyright 2026 the rowcall developers
// SPDX-License-Identifier: MIT

#include "cli/cli.h"

static int
report_keys(const CliOptions *options, RcTextFormat format, const RcBoards *boards, const RcCustom *custom)
{
  RcRolled *rolled = cli_roll(options, boards, TRUE);
  int status = CLI_NOTHING;
  if (rolled) {
    RcKeys *answer = rc_keys_judge(rolled, custom);
    GString *out = g_string_new(NULL);
    rc_report_keys(out, format, answer);
    status = cli_write_text(options->output, out) ? cli_reading_status(&rolled->intake) : CLI_NOTHING;
    g_string_free(out, TRUE);
    rc_keys_free(answer);
  }
  rc_rolled_free(rolled);
  return status;
}

// Reads the keys that --to names; prints what is wrong and returns FALSE.
static gboolean
read_to(const CliOptions *options, const char *to, RcCustom *custom)
{
  GError *error = NULL;
  if (to && !rc_custom_read(custom, to, options->settings.corpus.names, &error)) {
    g_prefix_error(&error, "--to %s: ", to);
    cli_complain_error(error);
    return FALSE;
  }
  return TRUE;
}

static int
keys(CliOptions *options, const char *to)
{
  RcTextFormat format;
  RcCustom custom;
  options->settings.corpus.melody_notes = TRUE; // its lowest and highest are shown
  const gboolean good = cli_format(options, &format) && read_to(options, to, &custom);
  RcBoards *boards = good ? cli_board_on(options) : NULL;
  const int status = boards ? report_keys(options, format, boards, to ? &custom : NULL) : CLI_NOTHING;
  rc_boards_free(boards);
  return status;
}

static int
run(int argc, char **argv)
{
  CliOptions options = cli_options();
  char *to = NULL;
  const GOptionEntry entries[] = {
    { "to", 0, 0, G_OPTION_ARG_STRING, &to, "Customary keys (default: those of most tunes)", "G,D,..." },
    { 0 },
  };
  int status = CLI_DONE;
  if (cli_parse(&cli_keys, CLI_HAND | CLI_REPERTOIRE | CLI_FORMAT | CLI_OUTPUT | CLI_ON | CLI_TITLE, &options, entries,
                argc, argv, &status)) {
    status = keys(&options, to);
  }
  cli_options_clear(&options);
  g_free(to);
  return status;
}

const CliCommand cli_keys = {
  "keys",
  "TUNES... --on LAYOUT",
  "Which tunes to move to another key, and where to",
  "TUNES are files, folders or - for standard input. Tunes that play as\n"
  "written need no move and are counted. For one tune all twelve keys are listed;\n"
  "CSV and JSON list them for all.\n\n"
  "Example: could our waltzes be moved so that a 48 plays them?\n"
  "  rowcall keys corpus/waltzes.yaml --on 48-8x6 --to G,D,A,C",
  run,
};
