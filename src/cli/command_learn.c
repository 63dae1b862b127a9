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

static int
write_ladder(const CliOptions *options, RcTextFormat format, RcPaper paper, const RcRolled *rolled)
{
  RcLadder *ladder = rc_ladder_new(rolled);
  const Learned learned = { ladder, paper };
  const CliAnswer answer = { "Ladder", append_text, draw, &learned };
  const int status = cli_write_answer(options, format, &answer) ? cli_reading_status(&rolled->intake) : CLI_NOTHING;
  rc_ladder_free(ladder);
  return status;
}

static int
learn(CliOptions *options)
{
  RcTextFormat format;
  RcPaper paper;
  RcBoards *boards = cli_format(options, &format) && cli_paper(options, &paper) ? cli_board_on(options) : NULL;
  RcRolled *rolled = boards ? cli_roll(options, boards, TRUE) : NULL;
  const int status = rolled ? write_ladder(options, format, paper, rolled) : CLI_NOTHING;
  rc_rolled_free(rolled);
  rc_boards_free(boards);
  return status;
}

static int
run(int argc, char **argv)
{
  return cli_run(&cli_learn,
                 CLI_HAND | CLI_REPERTOIRE | CLI_FORMAT | CLI_PICTURE | CLI_OUTPUT | CLI_ON | CLI_ROUTE | CLI_TITLE |
                   CLI_PAPER,
                 learn, argc, argv);
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
