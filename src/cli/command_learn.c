// Copyright 2026 the rowcall developers
// SPDX-License-Identifier: MIT

#include "cli/cli.h"

typedef struct {
  const RcLadder *ladder;
  RcPaper paper;
} Learned;

static void
append_text(GString *out, RcTextFormat format, gconstpointer data)
{
  const Learned *learned = data;
  rc_report_ladder(out, format, learned->ladder);
}

static GBytes *
draw(gconstpointer data, RcPicture picture, const RcImprint *imprint, GError **error)
{
  const Learned *learned = data;
  return rc_report_ladder_picture(learned->ladder, learned->paper, picture, imprint, error);
}

// What the player knows already, as given.
typedef struct {
  char **things; // lists with commas
  char **tunes;
} Known;

// The things of all lists; free with g_strfreev().
static char **
split_things(char *const *lists)
{
  GPtrArray *things = g_ptr_array_new();
  for (; lists && *lists; ++lists) {
    char **words = g_strsplit(*lists, ",", -1);
    for (char **word = words; *word; ++word) {
      g_ptr_array_add(things, g_strstrip(*word));
    }
    g_free(words); // not what is in it
  }
  g_ptr_array_add(things, NULL);
  return (char **)g_ptr_array_free(things, FALSE);
}

static int
write_ladder(const CliOptions *options, RcTextFormat format, RcPaper paper, const RcRolled *rolled, const Known *known)
{
  char **things = split_things(known->things);
  RcLadder *ladder = rc_ladder_new(rolled, 0, (const char *const *)things, (const char *const *)known->tunes);
  const Learned learned = { ladder, paper };
  const CliAnswer answer = { "Ladder", append_text, draw, &learned };
  const int status = cli_write_answer(options, format, &answer) ? cli_reading_status(&rolled->intake) : CLI_NOTHING;
  rc_ladder_free(ladder);
  g_strfreev(things);
  return status;
}

static int
learn(CliOptions *options, const Known *known)
{
  RcTextFormat format;
  RcPaper paper;
  RcBoards *boards = cli_format(options, &format) && cli_paper(options, &paper) ? cli_board_on(options) : NULL;
  RcRolled *rolled = boards ? cli_roll(options, boards, TRUE) : NULL;
  const int status = rolled ? write_ladder(options, format, paper, rolled, known) : CLI_NOTHING;
  rc_rolled_free(rolled);
  rc_boards_free(boards);
  return status;
}

static int
run(int argc, char **argv)
{
  CliOptions options = cli_options();
  Known known = { NULL, NULL };
  const GOptionEntry entries[] = {
    { "knows", 0, 0, G_OPTION_ARG_STRING_ARRAY, &known.things, "Known: buttons, stand-ins, moves, as in minor:E,Bm,3",
      "THINGS" },
    { "knows-tune", 0, 0, G_OPTION_ARG_STRING_ARRAY, &known.tunes, "Known: the tune of this title, or FILE:LINE",
      "TUNE" },
    { 0 },
  };
  int status = CLI_DONE;
  if (cli_parse(&cli_learn,
                CLI_HAND | CLI_REPERTOIRE | CLI_FORMAT | CLI_PICTURE | CLI_OUTPUT | CLI_ON | CLI_ROUTE | CLI_TITLE |
                  CLI_PAPER,
                &options, entries, argc, argv, &status)) {
    status = learn(&options, &known);
  }
  g_strfreev(known.things);
  g_strfreev(known.tunes);
  cli_options_clear(&options);
  return status;
}

const CliCommand cli_learn = {
  "learn",
  "TUNES... --on LAYOUT",
  "An order of learning: each next tune needs the least that is new",
  "TUNES are files, folders or - for standard input. Each step is the tune that\n"
  "needs the fewest new buttons, stand-ins and moves; then come the tunes that need\n"
  "nothing more. On paper it is a ladder.\n\n"
  "Example: in which order does a student learn our waltzes on a 48?\n"
  "  rowcall learn corpus/waltzes.yaml --on 48-8x6",
  run,
};
