// Copyright 2026 the rowcall developers
// SPDX-License-Identifier: MIT

#include "cli/cli.h"

#include <string.h>

typedef struct {
  RcPlayer *player;
  RcSheets *sheets;
} SheetJob;

static void
add_sheet(const RcTune *tune, gpointer data)
{
  const SheetJob *job = data;
  rc_sheets_add(job->sheets, tune, rc_player_chart(job->player, tune));
}

// Only a PDF has several pages.
static gboolean
fits_picture(const char *output, RcPicture picture, guint pages)
{
  if (picture != RC_PICTURE_PDF && pages > 1) {
    cli_complain("%s: the sheets have %u pages; name a .pdf, or choose one tune with --title", output, pages);
    return FALSE;
  }
  return TRUE;
}

// "Practice sheets of waltzes.yaml and 2 more"
static char *
sheets_title(const CliOptions *options)
{
  const guint n = options->arguments ? g_strv_length(options->arguments) : 0;
  if (!n) {
    return g_strdup("Practice sheets");
  }
  char *first = strcmp(options->arguments[0], "-") ? g_path_get_basename(options->arguments[0])
                                                   : g_strdup("tunes from standard input");
  char *title = n > 1 ? g_strdup_printf("Practice sheets of %s and %u more", first, n - 1)
                      : g_strdup_printf("Practice sheets of %s", first);
  g_free(first);
  return title;
}

static int
draw_sheets(const CliOptions *options, RcPlayer *player, RcPicture picture, RcPaper paper)
{
  RcIntake intake;
  GError *error = NULL;
  char *title = sheets_title(options);
  RcImprint imprint = cli_imprint(title);
  SheetJob job = { player, rc_sheets_start(rc_player_layout(player), picture, paper, &imprint) };
  gboolean good =
    cli_read(options, add_sheet, &job, &intake) && fits_picture(options->output, picture, rc_sheets_pages(job.sheets));
  GBytes *bytes = rc_sheets_finish(job.sheets, &error);
  if (good) {
    good = cli_write_bytes(options->output, bytes, error);
  } else {
    g_clear_error(&error);
    g_clear_pointer(&bytes, g_bytes_unref);
  }
  g_free((char *)imprint.date);
  g_free(title);
  return good ? cli_reading_status(&intake) : CLI_NOTHING;
}

static int
sheet(CliOptions *options)
{
  RcPicture picture;
  RcPaper paper;
  if (!cli_picture(options->output, &picture)) {
    cli_complain("name the sheets with -o, such as -o sheets.pdf; a single page may also be .svg or .png");
    return CLI_NOTHING;
  }
  options->settings.corpus.melody_notes = TRUE; // doubtful chords are reported
  options->settings.corpus.words = TRUE;
  RcBoards *boards = cli_paper(options, &paper) ? cli_board_on(options) : NULL;
  if (!boards) {
    return CLI_NOTHING;
  }
  RcPlayer *player = rc_player_new(boards, 0);
  const int status = draw_sheets(options, player, picture, paper);
  rc_player_free(player);
  rc_boards_free(boards);
  return status;
}

static int
run(int argc, char **argv)
{
  return cli_run(&cli_sheet,
                 CLI_HAND | CLI_REPERTOIRE | CLI_PICTURE | CLI_OUTPUT | CLI_ON | CLI_ROUTE | CLI_TITLE | CLI_PAPER,
                 sheet, argc, argv);
}

const CliCommand cli_sheet = {
  "sheet",
  "TUNES... --on LAYOUT -o FILE.pdf",
  "Practice sheets: the chart, the keyboard with fingers, and stand-ins",
  "TUNES are files, folders or - for standard input; each begins a page, and one\n"
  "page is the rule.\n\n"
  "Example: sheets of the waltzes for a student's 48\n"
  "  rowcall sheet corpus/waltzes.yaml --on 48-8x6 -o waltzes.pdf",
  run,
};
