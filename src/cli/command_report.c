// Copyright 2026 the rowcall developers
// SPDX-License-Identifier: MIT

#include "cli/cli.h"

typedef struct {
  CliOptions *options;
  RcReportLook look;
  RcPicture picture;
} ReportJob;

static gboolean
write_report(const ReportJob *job, const RcReport *report)
{
  GError *error = NULL;
  RcImprint imprint = cli_imprint(job->look.title ? job->look.title : "Can this keyboard carry these tunes?");
  imprint.author = job->look.player;
  GBytes *bytes = rc_report_document(report, &job->look, job->picture, &imprint, &error);
  g_free((char *)imprint.date);
  return cli_write_bytes(job->options->output, bytes, error);
}

static int
roll_and_report(const ReportJob *job, RcBoards *boards)
{
  int status = CLI_NOTHING;
  RcRolled *rolled = cli_roll(job->options, boards, TRUE);
  RcReport *report = rolled ? rc_report_new(rolled) : NULL;
  if (report && write_report(job, report)) {
    status = cli_reading_status(&rolled->intake);
  }
  rc_report_free(report);
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

// Practice sheets have a song's words, and say what the melody makes doubtful.
static void
ask_for_sheets(ReportJob *job)
{
  guint sheets = 0;
  char *unknown = NULL;
  rc_sections_parse("sheets", &sheets, &unknown);
  if (job->look.sections & sheets) {
    job->options->settings.corpus.words = TRUE;
    job->options->settings.corpus.melody_notes = TRUE;
  }
}

static int
make_report(ReportJob *job, const char *sections)
{
  if (!read_look(job, sections) || (job->options->without && !cli_has_on(job->options))) {
    return CLI_NOTHING;
  }
  ask_for_sheets(job);
  RcBoards *boards = cli_boards_usual(job->options);
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
  if (cli_parse(&command,
                CLI_HAND | CLI_REPERTOIRE | CLI_TARGET | CLI_PICTURE | CLI_OUTPUT | CLI_ON | CLI_ROUTE | CLI_PAPER,
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
  "the playing time.\n\n"
  "Example:\n"
  "  rowcall report corpus --on 48-8x6 --title \"The club's books\" -o report.pdf",
  run,
};
