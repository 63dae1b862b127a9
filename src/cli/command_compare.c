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

// What the command is asked for.
typedef enum { BY_TIME = RC_SHARE_TIME, BY_CHORDS = RC_SHARE_CHORDS, BY_FILE } By;

static int
write_sizes(const CliOptions *options, const RcBoards *boards, RcTextFormat format, RcShare share)
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

static int
write_books(const CliOptions *options, const RcBoards *boards, RcTextFormat format)
{
  RcRolled *rolled = cli_roll(options, boards, TRUE);
  int status = CLI_NOTHING;
  if (rolled) {
    RcBooks *books = rc_books_new(rolled);
    GString *out = g_string_new(NULL);
    rc_report_books(out, format, books);
    status = cli_write_text(options->output, out) ? cli_reading_status(&rolled->intake) : CLI_NOTHING;
    g_string_free(out, TRUE);
    rc_books_free(books);
  }
  rc_rolled_free(rolled);
  return status;
}

// "corpus/songs.yaml", or "corpus/songs.yaml and 2 more"; a new string.
static char *
name_of(char *const *paths)
{
  const guint n = g_strv_length((char **)paths);
  return n > 1 ? g_strdup_printf("%s and %u more", paths[0], n - 1) : g_strdup(paths[0]);
}

static int
write_shared(const CliOptions *options, char **against, const RcRolled *const rolled[RC_PAIR], RcTextFormat format)
{
  char *first = name_of(options->arguments);
  char *second = name_of(against);
  const char *const names[RC_PAIR] = { first, second };
  RcShared *shared = rc_shared_new(rolled[0], rolled[1]);
  GString *out = g_string_new(NULL);
  rc_report_shared(out, format, shared, names);
  const int status = cli_write_text(options->output, out)
                       ? MAX(cli_reading_status(&rolled[0]->intake), cli_reading_status(&rolled[1]->intake))
                       : CLI_NOTHING;
  g_string_free(out, TRUE);
  rc_shared_free(shared);
  g_free(first);
  g_free(second);
  return status;
}

static int
compare_against(const CliOptions *options, char **against, const RcBoards *boards, RcTextFormat format)
{
  RcRolled *first = cli_roll(options, boards, TRUE);
  RcRolled *second = first ? cli_roll_paths(options, against, boards, TRUE) : NULL;
  const RcRolled *const rolled[RC_PAIR] = { first, second };
  const int status = second ? write_shared(options, against, rolled, format) : CLI_NOTHING;
  rc_rolled_free(first);
  rc_rolled_free(second);
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
    names[i] = (RcBoardName){ on[i], i ? NULL : options->without };
  }
  RcBoards *boards = cli_boards(options, names, n);
  g_free(names);
  return boards;
}

// The one keyboard on which books are beside each other: the only one that --on names, or the user's own.
static RcBoards *
find_board(const CliOptions *options)
{
  char **on = options->ons;
  const RcBoardName name = { on ? on[0] : options->on, options->without };
  if (!name.name || (on && on[1])) {
    cli_complain("--by file has a row for each file on one keyboard: name it with --on, such as --on 48-8x6");
    return NULL;
  }
  return cli_boards(options, &name, 1);
}

// The options of the command's own.
typedef struct {
  char *by;
  char **against;
} CompareOptions;

// Whether the options go together; prints what is wrong.
static gboolean
go_together(const CliOptions *options, const CompareOptions *own, int by)
{
  RcPicture picture;
  const gboolean names = by == BY_FILE || own->against;
  if (options->without && !options->on && !options->ons) {
    cli_complain("--without %s: name the keyboard that lacks these buttons with --on", options->without);
  } else if (own->against && own->by) {
    cli_complain("--against and --by exclude each other: leave one out");
  } else if (names && cli_picture(options->output, &picture)) {
    cli_complain("-o %s: with %s the answer is text only; name a file that ends in .txt, .csv or .json",
                 options->output, own->against ? "--against" : "--by file");
  } else {
    return TRUE;
  }
  return FALSE;
}

static int
compare(const CliOptions *options, const CompareOptions *own)
{
  static const RcChoice choices[] = { { "time", BY_TIME }, { "chords", BY_CHORDS }, { "file", BY_FILE }, { NULL, 0 } };
  RcTextFormat format;
  int by = BY_TIME;
  if (!cli_format(options, &format) || !cli_choose("by", choices, own->by, &by) || !go_together(options, own, by)) {
    return CLI_NOTHING;
  }
  RcBoards *boards = by == BY_FILE ? find_board(options) : find_boards(options);
  const int status = !boards         ? CLI_NOTHING
                     : own->against  ? compare_against(options, own->against, boards, format)
                     : by == BY_FILE ? write_books(options, boards, format)
                                     : write_sizes(options, boards, format, (RcShare)by);
  rc_boards_free(boards);
  return status;
}

static int
run(int argc, char **argv)
{
  CliOptions options = cli_options();
  CompareOptions own = { NULL, NULL };
  const GOptionEntry entries[] = {
    { "on", 0, 0, G_OPTION_ARG_STRING_ARRAY, &options.ons, "A layout, once for each (default: the usual)", "LAYOUT" },
    { "without", 0, 0, G_OPTION_ARG_STRING_ARRAY, &options.without_lists, "What if these were dead: minor:B,E7",
      "BUTTONS" },
    { "by", 0, 0, G_OPTION_ARG_STRING, &own.by, "What a row counts: time (default), chords or file", "WHAT" },
    { "against", 0, 0, G_OPTION_ARG_FILENAME_ARRAY, &own.against, "What is shared with these, once for each", "TUNES" },
    { 0 },
  };
  int status = CLI_DONE;
  if (cli_parse(&cli_compare,
                CLI_HAND | CLI_ROUTE | CLI_REPERTOIRE | CLI_TARGET | CLI_FORMAT | CLI_PICTURE | CLI_OUTPUT, &options,
                entries, argc, argv, &status)) {
    status = compare(&options, &own);
  }
  cli_options_clear(&options);
  g_free(own.by);
  g_strfreev(own.against);
  return status;
}

const CliCommand cli_compare = {
  "compare",
  "TUNES...",
  "Which size carries this repertoire: one row a layout",
  "TUNES are files, folders or - for standard input. --by file has a row a book on\n"
  "one keyboard, with what it lacks. --against names another repertoire, once for\n"
  "each of its files or folders: which tunes, keys and chords both have.\n"
  "--without speaks of the first keyboard.\n\n"
  "Example: can a 48 carry the club's books, or does it take a 72?\n"
  "  rowcall compare corpus --on 48-8x6 --on 72",
  run,
};
