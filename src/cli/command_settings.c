// Copyright 2026 the rowcall developers
// SPDX-License-Identifier: MIT

#include "cli/cli.h"

#include <string.h>

// Removes what is no longer to be kept; prints what cannot be.
static gboolean
forget(GArray *kept, char **forgotten)
{
  for (; forgotten && *forgotten; ++forgotten) {
    if (!strcmp(*forgotten, "all")) {
      g_array_set_size(kept, 0);
    } else if (!cli_kept_remove(kept, *forgotten)) {
      cli_complain("--forget %s: no setting so called is kept; `rowcall settings` shows those that are", *forgotten);
      return FALSE;
    }
    if (!strcmp(*forgotten, "on")) {
      cli_kept_remove(kept, "without"); // its dead buttons
    }
  }
  return TRUE;
}

// Keeps a keyboard that is there; a file by its whole path, for it is used from any folder.
static gboolean
keep_keyboard(GArray *kept, const CliOptions *options)
{
  GError *error = NULL;
  const CliSetting *own = cli_kept_find(kept, "on");
  const RcBoardName name = { options->on ? options->on : own ? own->text : NULL, options->without };
  if (!name.name) {
    cli_complain("--without %s: name the keyboard that lacks these buttons with --on", options->without);
    return FALSE;
  }
  RcBoards *boards = rc_boards_find(&name, 1, NULL, &error);
  if (!boards) {
    cli_complain_error(error);
    return FALSE;
  }
  char *path = boards->layouts[0]->file ? g_canonicalize_filename(name.name, NULL) : g_strdup(name.name);
  cli_kept_set(kept, "on", path);
  cli_kept_remove(kept, "without"); // of another keyboard, or of fewer buttons
  if (options->without) {
    cli_kept_set(kept, "without", options->without);
  }
  rc_boards_free(boards);
  g_free(path);
  return TRUE;
}

static gboolean
keep(GArray *kept, const CliOptions *options)
{
  RcPaper paper;
  for (guint i = 0; options->given && i < options->given->len; ++i) {
    const CliSetting *given = &g_array_index(options->given, CliSetting, i);
    cli_kept_remove(kept, !strcmp(given->name, "target") ? "tunes" : !strcmp(given->name, "tunes") ? "target" : "");
    cli_kept_set(kept, given->name, given->text);
  }
  if (options->paper && cli_paper(options, &paper)) {
    cli_kept_set(kept, "paper", options->paper);
  }
  return cli_paper(options, &paper) && ((!options->on && !options->without) || keep_keyboard(kept, options));
}

static int
show(const GArray *kept)
{
  char *path = cli_kept_path();
  GString *text = cli_kept_text(kept);
  char *head = g_strdup_printf(
    "# %s%s\n", path, kept->len ? ":" : ": nothing is kept; keep your keyboard with\n# rowcall settings --on 48-8x6");
  g_string_prepend(text, head);
  const gboolean good = cli_write_text(NULL, text);
  g_free(head);
  g_free(path);
  g_string_free(text, TRUE);
  return good ? CLI_DONE : CLI_NOTHING;
}

static gboolean
forgets_all(char **forgotten)
{
  return forgotten && g_strv_contains((const char *const *)forgotten, "all");
}

static int
settle(const CliOptions *options, char **forgotten)
{
  const gboolean changes = forgotten || options->given || options->on || options->without || options->paper;
  if (options->arguments) {
    cli_complain("`settings` takes options alone; found `%s`", options->arguments[0]);
    return CLI_NOTHING;
  }
  if (forgets_all(forgotten)) { // whatever there is in the file
    GArray *none = g_array_new(FALSE, FALSE, sizeof(CliSetting));
    const gboolean removed = cli_kept_write(none);
    g_array_unref(none);
    if (!removed) {
      return CLI_NOTHING;
    }
  }
  GArray *kept = cli_kept_read();
  int status = CLI_NOTHING;
  if (kept && forget(kept, forgotten) && keep(kept, options) && cli_kept_check(kept) &&
      (!changes || cli_kept_write(kept))) {
    status = show(kept);
  }
  if (kept) {
    g_array_unref(kept);
  }
  return status;
}

static int
run(int argc, char **argv)
{
  CliOptions options = cli_options();
  char **forgotten = NULL;
  const GOptionEntry entries[] = {
    { "forget", 0, 0, G_OPTION_ARG_STRING_ARRAY, &forgotten, "No longer keep this one, or `all`", "NAME" },
    { 0 },
  };
  int status = CLI_DONE;
  if (cli_parse(&cli_settings,
                CLI_HAND | CLI_NAMES | CLI_JUDGE | CLI_TARGET | CLI_TUNES | CLI_ON | CLI_ROUTE | CLI_PAPER, &options,
                entries, argc, argv, &status)) {
    status = settle(&options, forgotten);
  }
  cli_options_clear(&options);
  g_strfreev(forgotten);
  return status;
}

const CliCommand cli_settings = {
  "settings",
  "",
  "What holds for every call: my keyboard, my hand, my paper",
  "The options given are kept in your configuration folder and hold for every\n"
  "command that takes them, unless it is given another value or --no-settings.\n"
  "Without options it shows what is kept. --forget=reach forgets the reach,\n"
  "--forget=all everything.\n\n"
  "Example: I play a 48 and print on letter paper\n"
  "  rowcall settings --on 48-8x6 --paper letter",
  run,
};
