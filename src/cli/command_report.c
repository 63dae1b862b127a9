// Copyright 2026 the rowcall developers
// SPDX-License-Identifier: MIT

#include "cli/cli.h"

#include <string.h>

// The usual sizes, and the chosen layout behind them where it is none of these.
static GPtrArray *
layout_names(const CliOptions *options)
{
  const char *on = options->on;
  GPtrArray *names = g_ptr_array_new();
  for (const char *const *name = rc_layout_usual_names(); *name; ++name) {
    g_ptr_array_add(names, (gpointer)*name);
  }
  if (on && (options->without || !g_strv_contains(rc_layout_usual_names(), on))) {
    g_ptr_array_add(names, (gpointer)on);
  }
  g_ptr_array_add(names, NULL);
  return names;
}

// The layout named by the player, else the smallest that carries nearly everything, else the largest.
static guint
choose(const RcRoll *roll, const CliOptions *options)
{
  const char *on = options->on;
  const guint last = rc_roll_n_layouts(roll) - 1;
  if (!on) {
    const int smallest = rc_report_smallest(roll, 0.95);
    return smallest < 0 ? last : (guint)smallest;
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
roll_sweep(const CliBoards *boards, RcPanel *panel, RcRollSettings settings)
{
  RcRoll *roll = rc_roll_new(panel, settings);
  for (guint i = 0; i < boards->tunes->len; ++i) {
    rc_roll_add(roll, g_ptr_array_index(boards->tunes, i));
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
report_all(const ReportJob *job, const CliBoards *boards, const RcRoll *roll, const RcIntake *intake, RcHand hand)
{
  RcSweep *sweep =
    rc_sweep_new((RcLayout *const *)boards->layouts->pdata, g_strv_length((char **)rc_layout_usual_names()), hand);
  RcPanel *panel = rc_panel_new_sweep(sweep, rc_roll_accept(roll));
  RcRoll *sweep_roll = roll_sweep(boards, panel, rc_roll_get_settings(roll));
  RcReport report = { .roll = roll,
                      .panel = boards->panel,
                      .sweep = sweep,
                      .sweep_roll = sweep_roll,
                      .uses = (RcUse *const *)boards->uses->pdata,
                      .planners = (RcPlanner *const *)boards->planners->pdata,
                      .intake = intake,
                      .tunes = (const RcTune *const *)boards->tunes->pdata,
                      .n_tunes = boards->tunes->len,
                      .chosen = choose(roll, job->options),
                      .owned = job->options->on != NULL };
  const gboolean good = write_report(job, &report);
  rc_roll_free(sweep_roll);
  rc_panel_free(panel);
  rc_sweep_free(sweep);
  return good;
}

static int
roll_and_report(const ReportJob *job, CliBoards *boards, const RcRouteSettings *settings)
{
  CliReading reading;
  int status = CLI_NOTHING;
  boards->tunes = g_ptr_array_new_with_free_func((GDestroyNotify)rc_tune_free);
  for (guint i = 0; i < boards->layouts->len; ++i) {
    cli_boards_plan(boards, i, settings);
  }
  RcRoll *roll = cli_roll(job->options, boards, &reading);
  if (roll && report_all(job, boards, roll, &reading.intake, settings->hand)) {
    status = cli_reading_status(&reading);
  }
  rc_roll_free(roll);
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
  CliBoards boards = { 0 };
  RcRouteSettings settings;
  int status = CLI_NOTHING;
  if (!read_look(job, sections) || !cli_route_settings(job->options, &settings)) {
    return CLI_NOTHING;
  }
  if (job->options->without && !cli_has_on(job->options)) {
    return CLI_NOTHING;
  }
  GPtrArray *names = layout_names(job->options);
  if (cli_boards_load(&boards, (const char *const *)names->pdata, job->options)) {
    status = roll_and_report(job, &boards, &settings);
  }
  cli_boards_clear(&boards);
  g_ptr_array_unref(names);
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
  if (cli_parse(&command, CLI_HAND | CLI_REPERTOIRE | CLI_OUTPUT | CLI_ON | CLI_ROUTE | CLI_PAPER, &options, entries,
                argc, argv, &status)) {
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
