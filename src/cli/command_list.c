// Copyright 2026 the rowcall developers
// SPDX-License-Identifier: MIT

#include "cli/cli.h"

// The options of the command's own.
typedef struct {
  char *only;
  char *sort;
  char *against;
} ListOptions;

// What they ask for.
typedef struct {
  RcTextFormat format;
  int show;
  int order;
} ListJob;

static gboolean
choose(const CliOptions *options, const ListOptions *own, ListJob *job)
{
  static const RcChoice shows[] = {
    { "plays", RC_SHOW_PLAYS }, { "short", RC_SHOW_ONE_SHORT }, { "not", RC_SHOW_NOT }, { NULL, 0 }
  };
  static const RcChoice orders[] = {
    { "worst", RC_LIST_WORST },
    { "lack", RC_LIST_LACK },
    { "time", RC_LIST_TIME },
    { "title", RC_LIST_TITLE },
    { NULL, 0 },
  };
  return cli_format(options, &job->format) && cli_choose("only", shows, own->only, &job->show) &&
         cli_choose("sort", orders, own->sort, &job->order);
}

static int
write_list(const CliOptions *options, const ListJob *job, const RcRolled *rolled, const RcBoards *usual)
{
  RcTuneList *answer = rc_tune_list_new(rolled, usual, (RcListOrder)job->order);
  GString *out = g_string_new(NULL);
  rc_report_tune_list(out, job->format, answer, (RcShowFares)job->show);
  const int status = cli_write_text(options->output, out) ? cli_reading_status(&rolled->intake) : CLI_NOTHING;
  g_string_free(out, TRUE);
  rc_tune_list_free(answer);
  return status;
}

// The keyboard that --on names, and the one it is held against.
static RcBoards *
find_boards(const CliOptions *options, const ListOptions *own)
{
  const RcBoardName names[] = { { options->on, options->without }, { own->against, NULL } };
  return cli_has_on(options) ? cli_boards(options, names, own->against ? 2 : 1) : NULL;
}

static int
list(const CliOptions *options, const ListOptions *own)
{
  ListJob job = { .show = RC_SHOW_ALL, .order = RC_LIST_WORST };
  RcBoards *boards = choose(options, own, &job) ? find_boards(options, own) : NULL;
  RcRolled *rolled = boards ? cli_roll(options, boards, TRUE) : NULL;
  RcBoards *usual = rolled ? rc_boards_find_usual(NULL, &options->settings, NULL) : NULL; // they ship
  const int status = usual ? write_list(options, &job, rolled, usual) : CLI_NOTHING;
  rc_boards_free(usual);
  rc_rolled_free(rolled);
  rc_boards_free(boards);
  return status;
}

static int
run(int argc, char **argv)
{
  CliOptions options = cli_options();
  ListOptions own = { NULL, NULL, NULL };
  const GOptionEntry entries[] = {
    { "only", 0, 0, G_OPTION_ARG_STRING, &own.only, "Only such tunes: plays, short or not", "WHICH" },
    { "sort", 0, 0, G_OPTION_ARG_STRING, &own.sort, "What comes first: worst (default), lack, time or title", "HOW" },
    { "against", 0, 0, G_OPTION_ARG_STRING, &own.against, "Tunes gained and lost on LAYOUT instead", "LAYOUT" },
    { 0 },
  };
  int status = CLI_DONE;
  if (cli_parse(&cli_list, CLI_HAND | CLI_REPERTOIRE | CLI_FORMAT | CLI_OUTPUT | CLI_ON | CLI_TITLE, &options, entries,
                argc, argv, &status)) {
    status = list(&options, &own);
  }
  cli_options_clear(&options);
  g_free(own.only);
  g_free(own.sort);
  g_free(own.against);
  return status;
}

const CliCommand cli_list = {
  "list",
  "TUNES... --on LAYOUT",
  "Which tunes play, which are one chord short, and what each lacks",
  "TUNES are files, folders or - for standard input. Each has a row, worst first.\n"
  "--only short shows the tunes that are one chord short. With --against only tunes\n"
  "that one of both keyboards plays are listed. --without speaks of the first.\n\n"
  "Example: which tunes would a 72 add to a 48, and why?\n"
  "  rowcall list corpus --on 48-8x6 --against 72",
  run,
};
