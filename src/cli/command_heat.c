// Copyright 2026 the rowcall developers
// SPDX-License-Identifier: MIT

#include "cli/cli.h"

#include <string.h>

// What is asked for, and the answer.
typedef struct {
  CliOptions *options;
  char **against; // other tunes
  RcTextFormat format;
  RcPaper paper;
} HeatJob;

// ------------------------------------------------------------------------------------------------------- one board

// The answer, and the paper it is drawn on.
typedef struct {
  const RcRolled *rolled;
  RcPaper paper;
} One;

typedef struct {
  RcHeatBeside beside;
  RcPaper paper;
} Pair;

static void
append_text(GString *out, RcTextFormat format, gconstpointer data)
{
  const RcRolled *rolled = ((const One *)data)->rolled;
  rc_report_heat(out, format, rolled->boards->uses[0], rolled->roll);
}

static GBytes *
draw(gconstpointer data, RcPicture picture, const RcImprint *imprint, GError **error)
{
  const One *one = data;
  return rc_report_heat_picture(one->rolled->boards->uses[0], one->rolled->roll, one->paper, picture, imprint, error);
}

static int
heat(const HeatJob *job, const RcBoards *boards)
{
  RcRolled *rolled = cli_roll(job->options, boards, FALSE);
  const One one = { rolled, job->paper };
  const CliAnswer answer = { "Which buttons are used", append_text, draw, &one };
  const int status =
    rolled && cli_write_answer(job->options, job->format, &answer) ? cli_reading_status(&rolled->intake) : CLI_NOTHING;
  rc_rolled_free(rolled);
  return status;
}

// ------------------------------------------------------------------------------------------------------ two of them

static void
append_pair_text(GString *out, RcTextFormat format, gconstpointer data)
{
  rc_report_heat_pair(out, format, &((const Pair *)data)->beside);
}

static GBytes *
draw_pair(gconstpointer data, RcPicture picture, const RcImprint *imprint, GError **error)
{
  const Pair *pair = data;
  return rc_report_heat_pair_picture(&pair->beside, pair->paper, picture, imprint, error);
}

// The names of the files, such as "reels.yaml, waltzes.yaml"; a new string.
static char *
names_of(char **paths)
{
  GString *names = g_string_new(NULL);
  for (guint i = 0; paths[i]; ++i) {
    char *name = g_path_get_basename(paths[i]);
    g_string_append_printf(names, "%s%s", i ? ", " : "", strcmp(name, "-") != 0 ? name : "standard input");
    g_free(name);
  }
  return g_string_free(names, FALSE);
}

static int
write_pair(const HeatJob *job, const RcRolled *one, const RcRolled *other, const RcUse *const uses[2])
{
  RcHeatPair *both = rc_heat_pair_new(uses[0], uses[1]);
  char *names[] = { names_of(job->options->arguments),
                    names_of(job->against ? job->against : job->options->arguments) };
  const Pair pair = { { both, { names[0], names[1] }, { one->roll, other->roll } }, job->paper };
  const CliAnswer answer = { "Which buttons are used, beside each other", append_pair_text, draw_pair, &pair };
  const int statuses[] = { cli_reading_status(&one->intake), cli_reading_status(&other->intake) };
  const int status = cli_write_answer(job->options, job->format, &answer) ? MAX(statuses[0], statuses[1]) : CLI_NOTHING;
  g_free(names[0]);
  g_free(names[1]);
  rc_heat_pair_free(both);
  return status;
}

// The tunes on two boards.
static int
heat_on_two(const HeatJob *job, RcBoards *boards)
{
  rc_boards_plan_tunes(boards, 0);
  rc_boards_plan_tunes(boards, 1);
  RcRolled *rolled = cli_roll(job->options, boards, FALSE);
  const int status =
    rolled ? write_pair(job, rolled, rolled, (const RcUse *const[]){ boards->uses[0], boards->uses[1] }) : CLI_NOTHING;
  rc_rolled_free(rolled);
  return status;
}

// All of the other tunes, whatever title or line was asked for.
static RcRolled *
roll_against(const HeatJob *job, const RcBoards *boards)
{
  CliOptions options = *job->options;
  options.arguments = job->against;
  options.title = NULL;
  options.line = 0;
  return cli_roll(&options, boards, FALSE);
}

// Two repertoires on one board.
static int
heat_against(const HeatJob *job, RcBoards *boards, RcBoards *others)
{
  rc_boards_plan_tunes(boards, 0);
  rc_boards_plan_tunes(others, 0);
  RcRolled *one = cli_roll(job->options, boards, FALSE);
  RcRolled *other = one ? roll_against(job, others) : NULL;
  const int status =
    other ? write_pair(job, one, other, (const RcUse *const[]){ boards->uses[0], others->uses[0] }) : CLI_NOTHING;
  rc_rolled_free(other);
  rc_rolled_free(one);
  return status;
}

// ------------------------------------------------------------------------------------------------------ the command

// The boards that --on names, of which the first lacks the buttons of --without.
static RcBoards *
find_boards(CliOptions *options)
{
  RcBoardName names[2] = { { options->on, options->without }, { NULL, NULL } };
  if (options->ons && options->ons[0] && options->ons[1] && options->ons[2]) {
    cli_complain("--on %s: two keyboards at most can be set beside each other", options->ons[2]);
    return NULL;
  }
  for (guint i = 0; options->ons && options->ons[i]; ++i) {
    names[i].name = options->ons[i];
  }
  if (!names[0].name) {
    cli_has_on(options);
    return NULL;
  }
  return cli_boards(options, names, names[1].name ? 2 : 1);
}

static int
run_job(const HeatJob *job)
{
  RcBoards *boards = find_boards(job->options);
  RcBoards *others = NULL;
  int status = CLI_NOTHING;
  if (boards && boards->n == 2 && job->against) {
    cli_complain("--against %s: name one keyboard, on which both are played", job->against[0]);
  } else if (boards && boards->n == 2) {
    status = heat_on_two(job, boards);
  } else if (boards && job->against) {
    others = find_boards(job->options);
    status = others ? heat_against(job, boards, others) : CLI_NOTHING;
  } else if (boards) {
    rc_boards_plan(boards, 0);
    status = heat(job, boards);
  }
  rc_boards_free(others);
  rc_boards_free(boards);
  return status;
}

static int
run(int argc, char **argv)
{
  CliOptions options = cli_options();
  HeatJob job = { .options = &options };
  const GOptionEntry entries[] = {
    { "on", 0, 0, G_OPTION_ARG_STRING_ARRAY, &options.ons, "The layout, or twice: two beside each other", "LAYOUT" },
    { "without", 0, 0, G_OPTION_ARG_STRING_ARRAY, &options.without_lists, "What if these were dead: minor:B,E7",
      "BUTTONS" },
    { "against", 0, 0, G_OPTION_ARG_FILENAME_ARRAY, &job.against, "Other tunes to set beside TUNES, once for each",
      "FILE" },
    { 0 },
  };
  int status = CLI_DONE;
  if (cli_parse(&cli_heat,
                CLI_HAND | CLI_REPERTOIRE | CLI_FORMAT | CLI_PICTURE | CLI_OUTPUT | CLI_ROUTE | CLI_TITLE | CLI_PAPER,
                &options, entries, argc, argv, &status)) {
    status = cli_format(&options, &job.format) && cli_paper(&options, &job.paper) ? run_job(&job) : CLI_NOTHING;
  }
  cli_options_clear(&options);
  g_strfreev(job.against);
  return status;
}

const CliCommand cli_heat = {
  "heat",
  "TUNES... --on LAYOUT",
  "Which buttons the tunes use, and which rows and columns carry them",
  "TUNES are files, folders or - for standard input. --against sets other tunes\n"
  "beside them on the same keyboard, a second --on the same tunes on another: two\n"
  "boards on one scale, their difference, and what only one of them uses. --title\n"
  "chooses among TUNES, --without speaks of the first keyboard.\n\n"
  "Example: which rows do our dances use?\n"
  "  rowcall heat corpus/jigs-and-reels.yaml --on 120",
  run,
};
