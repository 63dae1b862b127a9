// Copyright 2026 the rowcall developers
// SPDX-License-Identifier: MIT

#include "cli/cli.h"

#include <stdio.h>
#include <string.h>

CliOptions
cli_options(void)
{
  return (CliOptions){ .threads = (int)g_get_num_processors(), .reach = RC_GRIP_REACH, .press = RC_GRIP_PRESS };
}

void
cli_options_clear(CliOptions *options)
{
  g_free(options->accept);
  g_free(options->tempo);
  g_free(options->brisk);
  g_free(options->names);
  g_free(options->from);
  g_free(options->format);
  g_free(options->output);
  g_free(options->on);
  g_free(options->without);
  g_free(options->school);
  g_free(options->spans);
  g_free(options->prefer);
  g_free(options->turns_apart);
  g_free(options->title);
  g_free(options->paper);
  g_strfreev(options->arguments);
  *options = cli_options();
}

static void
add_entries(GOptionContext *context, CliTakes takes, CliOptions *o)
{
  char *from = g_strdup_printf("Of standard input: %s", rc_format_names());
  const char *from_help = g_intern_string(from); // help texts are not copied
  g_free(from);
  const GOptionEntry hand[] = {
    { "reach", 0, 0, G_OPTION_ARG_INT, &o->reach, "Columns a hand spans (default 4)", "N" },
    { "press", 0, 0, G_OPTION_ARG_INT, &o->press, "Buttons pressed together, 1 to 3 (default 3)", "N" },
    { 0 },
  };
  const GOptionEntry repertoire[] = {
    { "accept", 0, 0, G_OPTION_ARG_STRING, &o->accept, "Worst grade that is playable, A to E (default D)", "GRADE" },
    { "brisk", 0, 0, G_OPTION_ARG_STRING, &o->brisk, "A shorter chord may lack its third (default 1.0)", "SECONDS" },
    { "tempo", 0, 0, G_OPTION_ARG_STRING, &o->tempo, "One for all, or `none` to time only stated ones", "1/4=N" },
    { "names", 0, 0, G_OPTION_ARG_STRING, &o->names, "Note names if a tune does not say: english, german", "HOW" },
    { "from", 0, 0, G_OPTION_ARG_STRING, &o->from, from_help, "WHAT" },
    { "no-melody", 0, 0, G_OPTION_ARG_NONE, &o->no_melody, "The melody does not help", NULL },
    { "threads", 0, 0, G_OPTION_ARG_INT, &o->threads, "Files read at once (default: one a processor)", "N" },
    { "all-problems", 0, 0, G_OPTION_ARG_NONE, &o->all_problems, "Print every problem, however many", NULL },
    { 0 },
  };
  const GOptionEntry format[] = {
    { "format", 'f', 0, G_OPTION_ARG_STRING, &o->format, "table (default), csv or json", "HOW" },
    { 0 },
  };
  const GOptionEntry output[] = {
    { "output", 'o', 0, G_OPTION_ARG_FILENAME, &o->output, "Write to FILE; else text goes to the terminal", "FILE" },
    { 0 },
  };
  const GOptionEntry on[] = {
    { "on", 0, 0, G_OPTION_ARG_STRING, &o->on, "The layout: a name from `rowcall layouts` or a file", "LAYOUT" },
    { "without", 0, 0, G_OPTION_ARG_STRING, &o->without, "What if these were dead: minor:B,seventh:E", "BUTTONS" },
    { 0 },
  };
  const GOptionEntry route[] = {
    { "prefer", 0, 0, G_OPTION_ARG_STRING, &o->prefer, "What decides first: sound (default) or ease", "WHAT" },
    { "turns-apart", 0, 0, G_OPTION_ARG_STRING, &o->turns_apart, "Bellows turn at most once in so many", "SECONDS" },
    { "school", 0, 0, G_OPTION_ARG_STRING, &o->school, "Fingers of bass and chord: 4-3 (default) or 3-2", "HOW" },
    { "spans", 0, 0, G_OPTION_ARG_STRING, &o->spans, "Most mm between fingers 23,34,45,24,35,25", "MM,..." },
    { 0 },
  };
  const GOptionEntry title[] = {
    { "title", 0, 0, G_OPTION_ARG_STRING, &o->title, "Only tunes with TEXT in their title", "TEXT" },
    { 0 },
  };
  const GOptionEntry paper[] = {
    { "paper", 0, 0, G_OPTION_ARG_STRING, &o->paper, "a4 (default) or letter", "SIZE" },
    { 0 },
  };
  const GOptionEntry rest[] = {
    { G_OPTION_REMAINING, 0, 0, G_OPTION_ARG_FILENAME_ARRAY, &o->arguments, NULL, NULL },
    { 0 },
  };
  const GOptionEntry *const sets[] = { hand, repertoire, format, output, on, route, title, paper };
  for (guint i = 0; i < G_N_ELEMENTS(sets); ++i) {
    if ((guint)takes & (1U << i)) {
      g_option_context_add_main_entries(context, sets[i], NULL);
    }
  }
  g_option_context_add_main_entries(context, rest, NULL);
}

char *
cli_wrapped(const char *text)
{
  enum { COLUMNS = 80 };
  char **words = g_strsplit(text, " ", -1);
  GString *lines = g_string_new(NULL);
  gsize column = 0;
  for (char **word = words; *word; ++word) {
    const gsize length = strlen(*word);
    const gboolean fits = column + 1 + length <= COLUMNS;
    g_string_append_printf(lines, "%s%s", !column ? "" : fits ? " " : "\n", *word);
    column = column && fits ? column + 1 + length : length;
  }
  g_strfreev(words);
  return g_string_free(lines, FALSE);
}

static GOptionContext *
make_context(const CliCommand *command, CliTakes takes, CliOptions *options, const GOptionEntry *entries,
             gboolean *wants_help)
{
  GOptionContext *context = g_option_context_new(command->arguments);
  const GOptionEntry help[] = {
    { "help", 'h', 0, G_OPTION_ARG_NONE, wants_help, "Show this help", NULL },
    { 0 },
  };
  g_option_context_set_summary(context, command->summary);
  g_option_context_set_description(context, command->details);
  g_option_context_set_help_enabled(context, FALSE);
  if (entries) {
    g_option_context_add_main_entries(context, entries, NULL);
  }
  add_entries(context, takes, options);
  g_option_context_add_main_entries(context, help, NULL);
  return context;
}

// Of two keyboards one would be passed over without a word.
static gboolean
names_one_board(const CliCommand *command, CliTakes takes, char **argv)
{
  guint n = 0;
  for (; *argv && strcmp(*argv, "--") != 0; ++argv) {
    n += !strcmp(*argv, "--on") || g_str_has_prefix(*argv, "--on=");
  }
  if ((takes & CLI_ON) && n > 1) {
    cli_complain("--on is given %u times; `rowcall %s` looks at one keyboard, `rowcall compare` at several", n,
                 command->name);
    return FALSE;
  }
  return TRUE;
}

gboolean
cli_parse(const CliCommand *command, CliTakes takes, CliOptions *options, const GOptionEntry *entries, int argc,
          char **argv, int *status)
{
  GError *error = NULL;
  gboolean wants_help = FALSE;
  *status = CLI_NOTHING;
  if (!names_one_board(command, takes, argv)) {
    return FALSE;
  }
  GOptionContext *context = make_context(command, takes, options, entries, &wants_help);
  gboolean good = g_option_context_parse(context, &argc, &argv, &error);
  *status = CLI_DONE;
  if (!good) {
    cli_complain("%s; see `rowcall %s --help`", error->message, command->name);
    g_error_free(error);
    *status = CLI_NOTHING;
  } else if (wants_help) {
    char *help = g_option_context_get_help(context, TRUE, NULL);
    fputs(help, stdout);
    g_free(help);
    good = FALSE;
  } else if (!cli_can_write(options->output)) {
    *status = CLI_NOTHING;
    good = FALSE;
  }
  g_option_context_free(context);
  return good;
}

int
cli_run(const CliCommand *command, CliTakes takes, int (*work)(const CliOptions *options), int argc, char **argv)
{
  CliOptions options = cli_options();
  int status = CLI_DONE;
  if (cli_parse(command, takes, &options, NULL, argc, argv, &status)) {
    status = work(&options);
  }
  cli_options_clear(&options);
  return status;
}

gboolean
cli_hand(const CliOptions *options, RcHand *hand)
{
  if (options->reach < 0 || options->reach > RC_MAX_COLUMNS) {
    cli_complain("--reach %d: expected 0 to %d columns", options->reach, RC_MAX_COLUMNS);
    return FALSE;
  }
  if (options->press < 1 || options->press > RC_GRIP_PRESS) {
    cli_complain("--press %d: expected 1 to %d buttons, the bass among them", options->press, RC_GRIP_PRESS);
    return FALSE;
  }
  *hand = (RcHand){ (guint)options->reach, (guint)options->press };
  return TRUE;
}

static gboolean
read_tempo(const char *text, RcRollSettings *settings)
{
  if (!strcmp(text, "none")) {
    settings->untimed = RC_UNTIMED_LEAVE;
    return TRUE;
  }
  return strchr(text, '=') && rc_tempo_parse(text, (RcMeter){ 4, 4 }, &settings->given);
}

gboolean
cli_accept(const CliOptions *options, RcVerdict *accept)
{
  *accept = RC_BARE;
  if (options->accept && !rc_grade_parse(options->accept, accept)) {
    cli_complain("--accept %s: expected a grade from A to E", options->accept);
    return FALSE;
  }
  return TRUE;
}

// Reads the seconds that an option gives, 0 to 60; `seconds` stays where it is not given.
static gboolean
read_seconds(const char *option, const char *text, double *seconds)
{
  char *end = NULL;
  if (!text) {
    return TRUE;
  }
  *seconds = g_ascii_strtod(text, &end);
  if (end == text || *end || !(*seconds >= 0 && *seconds <= 60)) {
    cli_complain("%s %s: expected 0 to 60 seconds", option, text);
    return FALSE;
  }
  return TRUE;
}

gboolean
cli_roll_settings(const CliOptions *options, RcRollSettings *settings)
{
  *settings = rc_roll_settings();
  settings->no_melody = options->no_melody;
  if (!read_seconds("--brisk", options->brisk, &settings->brisk)) {
    return FALSE;
  }
  if (options->tempo && !read_tempo(options->tempo, settings)) {
    cli_complain("--tempo %s: expected `none` or a note value and a number, such as 1/4=110", options->tempo);
    return FALSE;
  }
  return TRUE;
}

static gboolean
read_prefer(const char *text, RcPrefer *prefer)
{
  *prefer = text && !strcmp(text, "ease") ? RC_PREFER_EASE : RC_PREFER_SOUND;
  if (text && strcmp(text, "ease") != 0 && strcmp(text, "sound") != 0) {
    cli_complain("--prefer %s: expected sound or ease", text);
    return FALSE;
  }
  return TRUE;
}

gboolean
cli_route_settings(const CliOptions *options, RcRouteSettings *settings)
{
  *settings = rc_route_settings();
  if (options->school && !rc_school_parse(options->school, &settings->fingers.school)) {
    cli_complain("--school %s: expected 4-3 or 3-2", options->school);
    return FALSE;
  }
  if (options->spans && !rc_spans_parse(options->spans, &settings->fingers)) {
    cli_complain(
      "--spans %s: expected six numbers of 10 to 300 mm, for fingers 2-3, 3-4, 4-5, 2-4, 3-5 and 2-5, such as "
      "69,55,69,96,96,137",
      options->spans);
    return FALSE;
  }
  return cli_hand(options, &settings->hand) && cli_accept(options, &settings->accept) &&
         read_prefer(options->prefer, &settings->prefer) &&
         read_seconds("--turns-apart", options->turns_apart, &settings->turns_apart) &&
         cli_roll_settings(options, &settings->roll);
}

static gboolean
read_from(const char *name, const RcFormat **format)
{
  *format = rc_format_find(name);
  if (!*format) {
    cli_complain("--from %s: expected %s", name, rc_format_names());
  }
  return *format != NULL;
}

gboolean
cli_corpus_options(const CliOptions *options, RcCorpusOptions *corpus)
{
  *corpus = (RcCorpusOptions){ .melody_notes = options->melody_notes };
  if (options->from && !read_from(options->from, &corpus->from)) {
    return FALSE;
  }
  if (options->names && !strcmp(options->names, "german")) {
    corpus->names = RC_NAMES_GERMAN;
  } else if (options->names && strcmp(options->names, "english") != 0) {
    cli_complain("--names %s: expected english or german", options->names);
    return FALSE;
  }
  return TRUE;
}

gboolean
cli_paper(const CliOptions *options, RcPaper *paper)
{
  *paper = RC_PAPER_A4;
  if (options->paper && !g_ascii_strcasecmp(options->paper, "letter")) {
    *paper = RC_PAPER_LETTER;
  } else if (options->paper && g_ascii_strcasecmp(options->paper, "a4") != 0) {
    cli_complain("--paper %s: expected a4 or letter", options->paper);
    return FALSE;
  }
  return TRUE;
}

gboolean
cli_format(const CliOptions *options, RcTextFormat *format)
{
  static const char *const names[] = { "table", "csv", "json", NULL };
  *format = RC_TEXT_TABLE;
  if (!options->format && options->output && g_str_has_suffix(options->output, ".csv")) {
    *format = RC_TEXT_CSV;
  } else if (!options->format && options->output && g_str_has_suffix(options->output, ".json")) {
    *format = RC_TEXT_JSON;
  }
  for (guint i = 0; options->format && names[i]; ++i) {
    if (!strcmp(names[i], options->format)) {
      *format = (RcTextFormat)i;
      return TRUE;
    }
  }
  if (options->format) {
    cli_complain("--format %s: expected table, csv or json", options->format);
  }
  return !options->format;
}

gboolean
cli_has_on(const CliOptions *options)
{
  if (!options->on) {
    cli_complain("name the keyboard with --on, such as --on 48-8x6; `rowcall layouts` lists them");
  }
  return options->on != NULL;
}

RcLayout *
cli_layout(const CliOptions *options, const char *name)
{
  GError *error = NULL;
  if (rc_layout_is_file(name) && !cli_spares(options, name)) {
    return NULL;
  }
  RcLayout *layout = rc_layout_find(name, &error);
  if (!layout) {
    cli_complain_error(error);
  }
  return layout;
}

gboolean
cli_silence(const CliOptions *options, RcLayout *layout)
{
  GError *error = NULL;
  if (options->without && !rc_layout_silence(layout, options->without, &error)) {
    cli_complain("--without %s: %s", options->without, error->message);
    g_error_free(error);
    return FALSE;
  }
  return TRUE;
}

RcLayout *
cli_layout_on(const CliOptions *options)
{
  RcLayout *layout = cli_layout(options, options->on);
  if (layout && !cli_silence(options, layout)) {
    g_clear_pointer(&layout, rc_layout_free);
  }
  return layout;
}
