// Copyright 2026 the rowcall developers
// SPDX-License-Identifier: MIT

#include "cli/cli.h"

#include <string.h>

typedef struct {
  char *key;
  char *melody;
  gboolean brisk;
  char *most;
  guint rows; // that `most` says
} ChordOptions;

static gboolean
read_melody(const char *text, RcPcSet *melody)
{
  char **words = g_strsplit_set(text, " ,", -1);
  gboolean good = TRUE;
  guint tones = 0;
  for (guint i = 0; words[i] && good; ++i) {
    RcNote note = 0;
    const gsize length = strlen(words[i]);
    good = !length || rc_note_parse(words[i], length, RC_NAMES_ENGLISH, &note) == length;
    tones |= length ? 1U << rc_note_pc(note) : 0;
  }
  *melody = (RcPcSet)tones;
  g_strfreev(words);
  return good;
}

// What all questions have in common.
static gboolean
read_context(const ChordOptions *own, RcNames names, RcQuestion *question)
{
  if (own->key && !rc_key_parse(own->key, names, &question->key, NULL)) {
    cli_complain("--key %s: expected a tonic and a mode, such as D, Bm, \"E dorian\"", own->key);
    return FALSE;
  }
  if (own->melody && !read_melody(own->melody, &question->request.melody)) {
    cli_complain("--melody %s: expected notes such as \"D F#\"", own->melody);
    return FALSE;
  }
  question->request.key = rc_key_scale(question->key, rc_key_tones(question->key));
  question->request.brisk = own->brisk;
  return TRUE;
}

static gboolean
ask(const char *text, RcNames names, RcQuestion *question)
{
  question->text = text;
  question->kind = rc_chord_parse(text, strlen(text), names, &question->request.chord, &question->stopped_at);
  if (question->kind == RC_SYMBOL_UNREAD) {
    const char *left = text + question->stopped_at;
    cli_complain("`%.80s` is no chord symbol: %s%.80s%s from character %ld on", text,
                 *left ? "`" : "something is missing", left, *left ? "` was not understood" : "",
                 g_utf8_strlen(text, (gssize)question->stopped_at) + 1);
  }
  return question->kind != RC_SYMBOL_UNREAD;
}

static int
answer(const CliOptions *options, const ChordOptions *own, const RcCatalogue *catalogue, RcNames names,
       RcTextFormat format)
{
  RcQuestion context = { 0 };
  if (!read_context(own, names, &context)) {
    return CLI_NOTHING;
  }
  const guint n = g_strv_length(options->arguments);
  guint understood = 0;
  RcQuestion *questions = g_new(RcQuestion, n);
  for (guint i = 0; i < n; ++i) {
    questions[i] = context;
    understood += ask(options->arguments[i], names, &questions[i]) ? 1 : 0;
  }
  GString *out = g_string_new(NULL);
  rc_report_chord(out, format, catalogue, options->settings.route.taste, questions, n, own->rows);
  const gboolean written = cli_write_text(options->output, out);
  g_string_free(out, TRUE);
  g_free(questions);
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
    status = answer(options, own, boards->catalogues[0], options->settings.corpus.names, format);
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
