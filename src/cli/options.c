// Copyright 2026 the rowcall developers
// SPDX-License-Identifier: MIT

#include "cli/cli.h"

#include "rowcall/error.h"

#include <stdio.h>
#include <string.h>

CliOptions
cli_options(void)
{
  return (CliOptions){ .settings = rc_settings() };
}

void
cli_options_clear(CliOptions *options)
{
  g_clear_pointer(&options->given, g_array_unref);
  g_free(options->format);
  g_free(options->output);
  g_free(options->on);
  g_strfreev(options->ons);
  g_strfreev(options->without_lists);
  g_free(options->without);
  g_free(options->title);
  g_free(options->paper);
  g_strfreev(options->arguments);
  *options = cli_options();
}

// -------------------------------------------------------------------------------------------------------- settings

static void
prefix_error(GError **error, const char *name, const char *text)
{
  g_prefix_error(error, text ? "--%s %s: " : "--%s%s: ", name, text ? text : "");
}

// An option that is a setting: its long name is the setting's. It is set after those that the user keeps.
static gboolean
take_setting(const char *option, const char *text, gpointer data, G_GNUC_UNUSED GError **error)
{
  CliOptions *options = data;
  const CliSetting setting = { g_strdup(option + strspn(option, "-")), g_strdup(text), 0, 0 };
  if (!options->given) {
    options->given = g_array_new(FALSE, FALSE, sizeof(CliSetting));
    g_array_set_clear_func(options->given, cli_setting_clear);
  }
  g_array_append_val(options->given, setting);
  return TRUE;
}

gboolean
cli_is_given(const CliOptions *options, const char *name)
{
  for (guint i = 0; options->given && i < options->given->len; ++i) {
    if (!strcmp(g_array_index(options->given, CliSetting, i).name, name)) {
      return TRUE;
    }
  }
  return FALSE;
}

// Sets what was given.
static gboolean
set_given(CliOptions *options, GError **error)
{
  for (guint i = 0; options->given && i < options->given->len; ++i) {
    const CliSetting *given = &g_array_index(options->given, CliSetting, i);
    if (!rc_settings_set(&options->settings, given->name, given->text, error)) {
      prefix_error(error, given->name, given->text);
      return FALSE;
    }
  }
  return TRUE;
}

gboolean
cli_set(CliOptions *options, const char *name, const char *text)
{
  GError *error = NULL;
  if (!rc_settings_set(&options->settings, name, text, &error)) {
    prefix_error(&error, name, text);
    cli_complain_error(error);
    return FALSE;
  }
  return TRUE;
}

gboolean
cli_choose(const char *name, const RcChoice *choices, const char *text, int *value)
{
  GError *error = NULL;
  if (text && !rc_choice_read(choices, text, value, &error)) {
    prefix_error(&error, name, text);
    cli_complain_error(error);
    return FALSE;
  }
  return TRUE;
}

// --------------------------------------------------------------------------------------------------------- parsing

// The callback is set where the entry is added.
#define SETTING(name, flags, help, value)                                                                              \
  {                                                                                                                    \
    name, 0, flags, G_OPTION_ARG_CALLBACK, NULL, help, value                                                           \
  }

static gboolean
is_among(const char *name, const GOptionEntry *entries)
{
  for (; entries && entries->long_name; ++entries) {
    if (!strcmp(entries->long_name, name)) {
      return TRUE;
    }
  }
  return FALSE;
}

// The options of a command.
typedef struct {
  GOptionGroup *group;
  GArray *all; // of GOptionEntry
} Entries;

static void
add_to(const Entries *entries, const GOptionEntry *more)
{
  g_option_group_add_entries(entries->group, more);
  for (; more->long_name; ++more) {
    g_array_append_vals(entries->all, more, 1);
  }
}

// Adds those of @p more that are not among @p own.
static void
add_entries(const Entries *entries, const GOptionEntry *more, const GOptionEntry *own)
{
  const GOptionArgFunc take = take_setting;
  for (; more->long_name; ++more) {
    GOptionEntry one[] = { *more, { 0 } };
    if (one->arg == G_OPTION_ARG_CALLBACK) {
      memcpy(&one->arg_data, &take, sizeof take); // ISO C casts no function to a pointer to data
    }
    if (!is_among(more->long_name, own)) {
      add_to(entries, one);
    }
  }
}

// Which endings make another kind of file, in this build.
static const char *
output_help(CliTakes takes)
{
  if (takes & CLI_SOUND) {
    return rc_sound_file_can(RC_SOUND_WAV) ? "The file: its ending is .wav, .flac or .mid" : "The file, a .mid";
  }
  if (takes & CLI_PAGE) {
    return "The file, a .html";
  }
  if (takes & CLI_PICTURE && rc_draws_pictures()) {
    return takes & CLI_FORMAT ? "Write to FILE; .pdf, .svg or .png is drawn"
                              : "The file, a .pdf; a page may be .svg, .png";
  }
  return takes & CLI_FORMAT ? "Write to FILE; else text goes to the terminal" : "None: this build draws no pictures";
}

static void
add_shared_entries(const Entries *entries, CliTakes takes, CliOptions *o, const GOptionEntry *own)
{
  char *from = g_strdup_printf("Of `-`: %s", rc_format_names());
  const char *from_help = g_intern_string(from); // help texts are not copied
  g_free(from);
  const GOptionEntry hand[] = {
    SETTING("reach", 0, "Columns a hand spans (default 4)", "N"),
    SETTING("press", 0, "Buttons pressed together, 1 to 3 (default 3)", "N"),
    SETTING("prefer", 0, "What decides first: plain (default), sound or ease", "WHAT"),
    { 0 },
  };
  const GOptionEntry judge[] = {
    SETTING("accept", 0, "Worst grade that is playable, A to E (default D)", "GRADE"),
    SETTING("brisk", 0, "A shorter chord may lack its third (default 1.0)", "SECONDS"),
    SETTING("tempo", 0, "All: 112 beats, 1/4=112, 80%; `none`: stated only", "N"),
    SETTING("key", 0, "`none` leaves tunes that state no key without one", "none"),
    SETTING("no-melody", G_OPTION_FLAG_NO_ARG, "The melody does not help", NULL),
    SETTING("threads", 0, "Threads at work (default: one a processor)", "N"),
    { 0 },
  };
  const GOptionEntry repertoire[] = {
    SETTING("from", 0, from_help, "WHAT"),
    { "all-problems", 0, 0, G_OPTION_ARG_NONE, &o->all_problems, "Print every problem, however many", NULL },
    { 0 },
  };
  const GOptionEntry format[] = {
    { "format", 'f', 0, G_OPTION_ARG_STRING, &o->format, "table (default), csv or json", "HOW" },
    { 0 },
  };
  const GOptionEntry output[] = {
    { "output", 'o', 0, G_OPTION_ARG_FILENAME, &o->output, output_help(takes), "FILE" },
    { 0 },
  };
  const GOptionEntry on[] = {
    { "on", 0, 0, G_OPTION_ARG_STRING, &o->on, "The layout: a name from `rowcall layouts` or a file", "LAYOUT" },
    { "without", 0, 0, G_OPTION_ARG_STRING_ARRAY, &o->without_lists, "What if these were dead: minor:B,E7", "BUTTONS" },
    { 0 },
  };
  const GOptionEntry route[] = {
    SETTING("turns-apart", 0, "Bellows turn at most once in so many", "SECONDS"),
    SETTING("school", 0, "Fingers of bass and chord: 4-3 (default) or 3-2", "HOW"),
    SETTING("spans", 0, "Most mm between fingers 23,34,45,24,35,25", "MM,..."),
    { 0 },
  };
  const GOptionEntry title[] = {
    { "title", 0, 0, G_OPTION_ARG_STRING, &o->title, "Only tunes with TEXT in their title", "TEXT" },
    { "line", 0, 0, G_OPTION_ARG_INT, &o->line, "Only the tune that begins at this line of its file", "N" },
    { "move", 0, 0, G_OPTION_ARG_INT, &o->move, "The tunes so many semitones up, or down (-2)", "N" },
    { 0 },
  };
  const GOptionEntry paper[] = {
    { "paper", 0, 0, G_OPTION_ARG_STRING, &o->paper, "a4 (default) or letter", "SIZE" },
    { 0 },
  };
  const GOptionEntry target[] = {
    SETTING("target", 0, "Percent of the playing time to carry (default 95)", "PERCENT"),
    { 0 },
  };
  const GOptionEntry names[] = {
    SETTING("names", 0, "Note names if a tune does not say: english, german", "HOW"),
    { 0 },
  };
  const GOptionEntry tunes[] = {
    SETTING("tunes", 0, "Percent of the tunes to carry whole, in its place", "PERCENT"),
    { 0 },
  };
  const GOptionEntry rest[] = {
    { G_OPTION_REMAINING, 0, 0, G_OPTION_ARG_FILENAME_ARRAY, &o->arguments, NULL, NULL },
    { 0 },
  };
  const struct {
    guint bits;
    const GOptionEntry *entries;
  } sets[] = {
    { CLI_TARGET, target }, { CLI_TUNES, tunes },           { CLI_HAND, hand },     { CLI_JUDGE, judge },
    { CLI_NAMES, names },   { CLI_REPERTOIRE, repertoire }, { CLI_FORMAT, format }, { CLI_OUTPUT, output },
    { CLI_ON, on },         { CLI_ROUTE, route },           { CLI_TITLE, title },   { CLI_PAPER, paper },
  };
  for (guint i = 0; i < G_N_ELEMENTS(sets); ++i) {
    if (((guint)takes & sets[i].bits) == sets[i].bits) {
      add_entries(entries, sets[i].entries, own);
    }
  }
  g_option_group_add_entries(entries->group, rest);
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

// Whether one of @p entries can be kept, by a command other than the one that keeps it.
static gboolean
takes_kept(const CliCommand *command, const GArray *entries)
{
  for (guint i = 0; i < entries->len && command != &cli_settings; ++i) {
    if (cli_kept_knows(g_array_index(entries, GOptionEntry, i).long_name)) {
      return TRUE;
    }
  }
  return FALSE;
}

static GOptionContext *
make_context(const CliCommand *command, CliTakes takes, CliOptions *options, const GOptionEntry *own, GArray *all,
             gboolean *wants_help)
{
  GOptionContext *context = g_option_context_new(command->arguments);
  const Entries entries = { g_option_group_new(NULL, NULL, NULL, options, NULL), all };
  const GOptionEntry no_settings[] = {
    { "no-settings", 0, 0, G_OPTION_ARG_NONE, &options->no_kept, "Leave out what `rowcall settings` keeps", NULL },
    { 0 },
  };
  const GOptionEntry help[] = {
    { "help", 'h', 0, G_OPTION_ARG_NONE, wants_help, "Show this help", NULL },
    { 0 },
  };
  g_option_context_set_summary(context, command->summary);
  g_option_context_set_description(context, command->details);
  g_option_context_set_help_enabled(context, FALSE);
  if (own) {
    add_to(&entries, own);
  }
  add_shared_entries(&entries, takes, options, own);
  if (takes_kept(command, all)) {
    add_to(&entries, no_settings);
  }
  add_to(&entries, help);
  g_option_context_set_main_group(context, entries.group);
  return context;
}

// Several lists of buttons are one.
static void
join_without(CliOptions *options)
{
  if (options->without_lists) {
    options->without = g_strjoinv(",", options->without_lists);
    g_clear_pointer(&options->without_lists, g_strfreev);
  }
}

// Says what is wrong with the command line; returns FALSE.
static gboolean
complain_of_line(const CliCommand *command, GError *error)
{
  cli_complain("%s; see `rowcall %s --help`", error->message, command->name);
  g_error_free(error);
  return FALSE;
}

// Parses what may come once; prints what is wrong and returns FALSE.
static gboolean
parse(const CliCommand *command, GOptionContext *context, const GArray *entries, int argc, char **argv)
{
  GError *error = NULL;
  if (!cli_given_once(entries, argv)) {
    return FALSE;
  }
  return g_option_context_parse(context, &argc, &argv, &error) || complain_of_line(command, error);
}

static gboolean
is_near(const CliOptions *options)
{
  enum { FARTHEST = 12 };
  if (ABS(options->move) > FARTHEST) {
    cli_complain("--move %d: expected -%d to %d semitones", options->move, FARTHEST, FARTHEST);
    return FALSE;
  }
  return TRUE;
}

// Settles what holds: what the user keeps, and over it what was given. Prints what is wrong and returns FALSE.
static gboolean
settle(const CliCommand *command, CliOptions *options, const GArray *entries)
{
  GError *error = NULL;
  if (takes_kept(command, entries) && !options->no_kept && !cli_kept_apply(options, entries)) {
    return FALSE;
  }
  join_without(options);
  return (set_given(options, &error) || complain_of_line(command, error)) && is_near(options);
}

static gboolean
print_option_help(GOptionContext *context)
{
  char *help = g_option_context_get_help(context, TRUE, NULL);
  fputs(help, stdout);
  g_free(help);
  return FALSE;
}

gboolean
cli_parse(const CliCommand *command, CliTakes takes, CliOptions *options, const GOptionEntry *entries, int argc,
          char **argv, int *status)
{
  gboolean wants_help = FALSE;
  GArray *all = g_array_new(FALSE, FALSE, sizeof(GOptionEntry));
  GOptionContext *context = make_context(command, takes, options, entries, all, &wants_help);
  gboolean good = parse(command, context, all, argc, argv);
  *status = good && wants_help ? CLI_DONE : CLI_NOTHING;
  if (good) {
    good = wants_help ? print_option_help(context) : settle(command, options, all);
  }
  good = good && cli_ending_fits(options, takes) && cli_can_write(options->output);
  g_option_context_free(context);
  g_array_unref(all);
  return good;
}

int
cli_run(const CliCommand *command, CliTakes takes, int (*work)(CliOptions *options), int argc, char **argv)
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
cli_paper_read(const char *text, RcPaper *paper, GError **error)
{
  static const RcChoice papers[] = { { "a4", RC_PAPER_A4 }, { "letter", RC_PAPER_LETTER }, { NULL, 0 } };
  int found = RC_PAPER_A4;
  const gboolean good = rc_choice_read(papers, text, &found, error);
  *paper = (RcPaper)found;
  return good;
}

gboolean
cli_paper(const CliOptions *options, RcPaper *paper)
{
  GError *error = NULL;
  *paper = RC_PAPER_A4;
  if (options->paper && !cli_paper_read(options->paper, paper, &error)) {
    prefix_error(&error, "paper", options->paper);
    cli_complain_error(error);
    return FALSE;
  }
  return TRUE;
}

gboolean
cli_format(const CliOptions *options, RcTextFormat *format)
{
  static const RcChoice formats[] = {
    { "table", RC_TEXT_TABLE }, { "csv", RC_TEXT_CSV }, { "json", RC_TEXT_JSON }, { NULL, 0 }
  };
  int found = (int)cli_format_of(options->output);
  const gboolean good = cli_choose("format", formats, options->format, &found);
  *format = (RcTextFormat)found;
  return good;
}

gboolean
cli_has_on(const CliOptions *options)
{
  if (!options->on) {
    cli_complain("name the keyboard with --on, such as --on 48-8x6; `rowcall layouts` lists them");
  }
  return options->on != NULL;
}

// --------------------------------------------------------------------------------------------------------- boards

// Says what is wrong where @p boards is NULL; frees and forgets boards that the answer would be written over.
static RcBoards *
check_boards(const CliOptions *options, RcBoards *boards, GError *error)
{
  if (!boards) {
    cli_complain_error(error);
  }
  for (guint i = 0; boards && i < boards->n; ++i) {
    if (boards->layouts[i]->file && !cli_spares(options, boards->layouts[i]->file)) {
      g_clear_pointer(&boards, rc_boards_free);
    }
  }
  return boards;
}

RcBoards *
cli_boards(const CliOptions *options, const RcBoardName *names, guint n)
{
  GError *error = NULL;
  RcBoards *boards = rc_boards_find(names, n, &options->settings, &error);
  return check_boards(options, boards, error);
}

RcBoards *
cli_boards_usual(const CliOptions *options)
{
  GError *error = NULL;
  const RcBoardName own = { options->on, options->without };
  RcBoards *boards = rc_boards_find_usual(options->on ? &own : NULL, &options->settings, &error);
  return check_boards(options, boards, error);
}

RcBoards *
cli_board_on(const CliOptions *options)
{
  const RcBoardName name = { options->on, options->without };
  return cli_has_on(options) ? cli_boards(options, &name, 1) : NULL;
}
