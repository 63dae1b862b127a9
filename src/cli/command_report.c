// Copyright 2026 the rowcall developers
// SPDX-License-Identifier: MIT

#include "cli/cli.h"

#include <string.h>

// The usual sizes, and after them the chosen layout where it is none of these.
static RcBoards *
find_boards(const CliOptions *options)
{
  const char *const *usual = rc_layout_usual_names();
  const guint n = g_strv_length((char **)usual);
  RcBoardName *names = g_new(RcBoardName, n + 1);
  for (guint i = 0; i < n; ++i) {
    names[i] = (RcBoardName){ usual[i], NULL };
  }
  names[n] = (RcBoardName){ options->on, options->without };
  const gboolean own = options->on && (options->without || !g_strv_contains(usual, options->on));
  RcBoards *boards = cli_boards(options, names, own ? n + 1 : n);
  g_free(names);
  return boards;
}

// The layout named by the player, else the smallest that carries nearly everything, else the largest.
static guint
choose(const RcComparison *comparison, const CliOptions *options)
{
  const char *on = options->on;
  const guint last = comparison->n - 1;
  if (!on) {
    return comparison->by_time < 0 ? last : (guint)comparison->by_time;
  }
  for (guint i = 0; i < last && !options->without; ++i) {
    if (!strcmp(rc_layout_usual_names()[i], on)) {
      return i;
    }
  }
  return last;
}

typedef struct {
  const CliOptions *options;
  RcReportLook look;
  RcPicture picture;
} ReportJob;

// All sizes there could be, for the tunes kept.
static RcRoll *
roll_sweep(const RcRolled *rolled, const RcBoards *sweep)
{
  RcRoll *roll = rc_roll_new(sweep->panel, sweep->settings.route.roll);
  for (guint i = 0; i < rolled->n_tunes; ++i) {
    rc_roll_add(roll, rolled->tunes[i]);
  }
  return roll;
}

static gboolean
write_report(const ReportJob *job, RcReport *report)
{
  GError *error = NULL;
  RcImprint imprint = cli_imprint(job->look.title ? job->look.title : "Can this keyboard carry these tunes?");
  imprint.author = job->look.player;
  GBytes *bytes = rc_report_document(report, &job->look, job->picture, &imprint, &error);
  g_free((char *)imprint.date);
  return cli_write_bytes(job->options->output, bytes, error);
}

static gboolean
report_all(const ReportJob *job, const RcRolled *rolled)
{
  const RcBoards *boards = rolled->boards;
  RcBoards *sweep = rc_boards_new_sweep(&boards->settings);
  RcRoll *sweep_roll = roll_sweep(rolled, sweep);
  RcComparison *comparison = rc_compare(rolled);
  RcReport report = { .comparison = comparison,
                      .roll = rolled->roll,
                      .panel = boards->panel,
                      .sweep = sweep->sweep,
                      .sweep_roll = sweep_roll,
                      .uses = boards->uses,
                      .planners = boards->planners,
                      .tunes = (const RcTune *const *)rolled->tunes,
                      .n_tunes = rolled->n_tunes,
                      .chosen = choose(comparison, job->options),
                      .owned = job->options->on != NULL };
  const gboolean good = write_report(job, &report);
  rc_comparison_free(comparison);
  rc_roll_free(sweep_roll);
  rc_boards_free(sweep);
  return good;
}

static int
roll_and_report(const ReportJob *job, RcBoards *boards)
{
  int status = CLI_NOTHING;
  for (guint i = 0; i < boards->n; ++i) {
    rc_boards_plan(boards, i);
  }
  RcRolled *rolled = cli_roll(job->options, boards, TRUE);
  if (rolled && report_all(job, rolled)) {
    status = cli_reading_status(&rolled->intake);
  }
  rc_rolled_free(rolled);
  return status;
}

// "answer, coverage, gains": all sections, or those that the usual report leaves out.
static char *
section_names(gboolean all)
{
  GString *names = g_string_new(NULL);
  const char *name = NULL;
  gboolean usual = FALSE;
  for (guint i = 0; (name = rc_section_name(i, &usual)); ++i) {
    if (all || !usual) {
      g_string_append_printf(names, "%s%s", names->len ? ", " : "", name);
    }
  }
  return g_string_free(names, FALSE);
}

static gboolean
read_look(ReportJob *job, const char *sections)
{
  char *unknown = NULL;
  job->look.sections = rc_sections_usual();
  if (!cli_picture(job->options->output, &job->picture)) {
    cli_complain("name the report with -o, such as -o report.pdf; one section of a page may also be .svg or .png");
    return FALSE;
  }
  if (sections && !rc_sections_parse(sections, &job->look.sections, &unknown)) {
    char *known = section_names(TRUE);
    cli_complain("--sections: found `%s`; expected %s or all, separated by commas", unknown, known);
    g_free(known);
    g_free(unknown);
    return FALSE;
  }
  return cli_paper(job->options, &job->look.paper);
}

static int
make_report(ReportJob *job, const char *sections)
{
  if (!read_look(job, sections) || (job->options->without && !cli_has_on(job->options))) {
    return CLI_NOTHING;
  }
  RcBoards *boards = find_boards(job->options);
  const int status = boards ? roll_and_report(job, boards) : CLI_NOTHING;
  rc_boards_free(boards);
  return status;
}

// The details with the sentence that names the sections before the example.
static char *
details_text(void)
{
  char *names = section_names(TRUE);
  char *sentence = g_strdup_printf("--sections takes %s or all.", names);
  char *wrapped = cli_wrapped(sentence);
  char **halves = g_strsplit(cli_report.details, "\n\n", 2);
  char *text = g_strdup_printf("%s\n%s\n\n%s", halves[0], wrapped, halves[1]);
  g_strfreev(halves);
  g_free(wrapped);
  g_free(sentence);
  g_free(names);
  return text;
}

static int
run(int argc, char **argv)
{
  CliOptions options = cli_options();
  char *title = NULL;
  char *player = NULL;
  char *sections = NULL;
  char *details = details_text();
  char *left_out = section_names(FALSE);
  char *parts = g_strdup_printf("Which parts (default all but %s)", left_out);
  CliCommand command = cli_report;
  command.details = details;
  const GOptionEntry entries[] = {
    { "title", 0, 0, G_OPTION_ARG_STRING, &title, "The report's title", "TEXT" },
    { "player", 0, 0, G_OPTION_ARG_STRING, &player, "Whom it is for", "NAME" },
    { "sections", 0, 0, G_OPTION_ARG_STRING, &sections, parts, "LIST" },
    { 0 },
  };
  int status = CLI_DONE;
  if (cli_parse(&command, CLI_HAND | CLI_REPERTOIRE | CLI_PICTURE | CLI_OUTPUT | CLI_ON | CLI_ROUTE | CLI_PAPER,
                &options, entries, argc, argv, &status)) {
    ReportJob job = { &options, { title, player, RC_PAPER_A4, 0 }, RC_PICTURE_PDF };
    status = make_report(&job, sections);
  }
  cli_options_clear(&options);
  g_free(title);
  g_free(player);
  g_free(sections);
  g_free(details);
  g_free(left_out);
  g_free(parts);
  return status;
}

const CliCommand cli_report = {
  "report",
  "TUNES... -o FILE.pdf",
  "The answer on paper: all sizes, button use, what to press",
  "TUNES are files, folders or - for standard input. --on names the keyboard the\n"
  "player has; else the report looks closely at the smallest that carries 95 % of\n"
  "the playing time. One section of one page may be .svg or .png.\n\n"
  "Example:\n"
  "  rowcall report corpus --on 48-8x6 --title \"The club's books\" -o report.pdf",
  run,
};
