// Copyright 2026 the rowcall developers
// SPDX-License-Identifier: MIT

#include "cli/cli.h"

typedef struct {
  char *key;
  char *melody;
  gboolean brisk;
  char *most;
  guint rows; // that `most` says
} ChordOptions;

static gboolean
read_surroundings(const ChordOptions *own, RcNames names, RcSurroundings *around)
{
  GError *error = NULL;
  around->brisk = own->brisk;
  if (own->key && !rc_surroundings_set_key(around, own->key, names, &error)) {
    cli_complain("--key %s: %s", own->key, error->message);
  } else if (own->melody && !rc_surroundings_set_melody(around, own->melody, &error)) {
    cli_complain("--melody %s: %s", own->melody, error->message);
  } else {
    return TRUE;
  }
  g_error_free(error);
  return FALSE;
}

// Returns how many of the symbols were understood.
static guint
ask(const RcBoards *boards, char *const *symbols, const RcSurroundings *around, GPtrArray *all)
{
  guint understood = 0;
  for (; *symbols; ++symbols) {
    RcRanking *ranking = rc_ranking_new(boards, 0, *symbols, around);
    g_ptr_array_add(all, ranking);
    if (ranking->kind == RC_SYMBOL_UNREAD) {
      char *why = rc_unread_text(ranking);
      cli_complain("%s", why);
      g_free(why);
    } else {
      ++understood;
    }
  }
  return understood;
}

static int
answer(const CliOptions *options, const ChordOptions *own, const RcBoards *boards, RcTextFormat format)
{
  RcSurroundings around = { 0 };
  if (!read_surroundings(own, options->settings.corpus.names, &around)) {
    return CLI_NOTHING;
  }
  GPtrArray *all = g_ptr_array_new_with_free_func((GDestroyNotify)rc_ranking_free);
  const guint understood = ask(boards, options->arguments, &around, all);
  const guint n = all->len;
  GString *out = g_string_new(NULL);
  rc_report_chord(out, format, boards->layouts[0], (RcRanking *const *)all->pdata, n, own->rows);
  const gboolean written = cli_write_text(options->output, out);
  g_string_free(out, TRUE);
  g_ptr_array_unref(all);
  return !written || !understood ? CLI_NOTHING : understood < n ? CLI_PARTLY : CLI_DONE;
}

static gboolean
check_arguments(const CliOptions *options, ChordOptions *own)
{
  enum { MOST_ROWS = 10000 };
  GError *error = NULL;
  if (!options->arguments) {
    cli_complain("name a chord, such as `rowcall chord Bm --on 48-8x6`");
  } else if (!options->on) {
    cli_complain("name the keyboard with --on, such as --on 48-8x6; `rowcall layouts` lists them");
  } else if (own->most && !rc_count_read(own->most, 0, MOST_ROWS, "rows, 0 for all", &own->rows, &error)) {
    cli_complain("--most %s: %s", own->most, error->message);
    g_error_free(error);
  } else {
    return TRUE;
  }
  return FALSE;
}

static int
chord(const CliOptions *options, ChordOptions *own)
{
  RcTextFormat format;
  int status = CLI_NOTHING;
  RcBoards *boards = check_arguments(options, own) && cli_format(options, &format) ? cli_board_on(options) : NULL;
  if (boards) {
    status = answer(options, own, boards, format);
  }
  rc_boards_free(boards);
  return status;
}

static int
run(int argc, char **argv)
{
  CliOptions options = cli_options();
  ChordOptions own = { .rows = 12 };
  const GOptionEntry entries[] = {
    { "key", 0, 0, G_OPTION_ARG_STRING, &own.key, "The tune's key: tones outside it are no usual tensions", "KEY" },
    { "melody", 0, 0, G_OPTION_ARG_STRING, &own.melody, "Notes the right hand plays meanwhile", "NOTES" },
    { "brisk", 0, 0, G_OPTION_ARG_NONE, &own.brisk, "The chord is short: it may lack its third", NULL },
    { "most", 0, 0, G_OPTION_ARG_STRING, &own.most, "Rows of the table for each chord, 0 for all (default 12)", "N" },
    { 0 },
  };
  int status = CLI_DONE;
  if (cli_parse(&cli_chord, CLI_HAND | CLI_FORMAT | CLI_OUTPUT | CLI_ON | CLI_NAMES, &options, entries, argc, argv,
                &status)) {
    status = chord(&options, &own);
  }
  cli_options_clear(&options);
  g_free(own.key);
  g_free(own.melody);
  g_free(own.most);
  return status;
}

const CliCommand cli_chord = {
  "chord",
  "SYMBOL... --on LAYOUT",
  "Every way to play one chord, the best first",
  "`like` is the likeness of the sound, 0 to 100, by a published spectral model;\n"
  "`root` the root a listener finds in it, by published root supports.\n\n"
  "Example: the B minor that a small 48 lacks\n"
  "  rowcall chord Bm --on 48-8x6",
  run,
};
