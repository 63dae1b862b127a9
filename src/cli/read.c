// Copyright 2026 the rowcall developers
// SPDX-License-Identifier: MIT

// Repertoires read before the user's eyes: progress on a terminal, and problems as they come.

#include "cli/cli.h"

#include <glib/gstdio.h>
#include <stdio.h>
#include <unistd.h>

enum { PROBLEMS_SHOWN = 30 };

// -------------------------------------------------------------------------------------------------------- progress

// A line on a terminal that says how far reading is.
typedef struct {
  gboolean shown; // at all
  gint64 started; // microseconds
  gint64 last;    // when the line was written last
  guint64 tunes;
  guint64 bytes;    // read, unpacked
  guint64 expected; // bytes of all files; 0 where it is not known
} Progress;

static guint64
bytes_of(const char *const *paths)
{
  guint64 sum = 0;
  for (GStatBuf file; *paths; ++paths) {
    if (g_stat(*paths, &file) || !S_ISREG(file.st_mode)) {
      return 0;
    }
    sum += (guint64)file.st_size;
  }
  return sum;
}

static void
start_progress(Progress *p, const char *const *paths)
{
  *p = (Progress){ .shown = isatty(STDERR_FILENO) != 0, .started = g_get_monotonic_time() };
  p->expected = p->shown ? bytes_of(paths) : 0;
}

static void
write_progress(const Progress *p, gint64 now)
{
  const double seconds = (double)(now - p->started) / G_USEC_PER_SEC;
  fprintf(stderr, "\r\033[K%" G_GUINT64_FORMAT " tunes, %" G_GUINT64_FORMAT " MB", p->tunes, p->bytes >> 20U);
  if (p->expected > p->bytes && p->bytes) {
    fprintf(stderr, ", about %.0f s left", seconds * (double)(p->expected - p->bytes) / (double)p->bytes);
  }
  fflush(stderr);
}

static void
clear_line(const Progress *p)
{
  if (p->last) {
    fputs("\r\033[K", stderr);
  }
}

// -------------------------------------------------------------------------------------------------------- watching

typedef struct {
  const CliOptions *options;
  Progress progress;
} Watch;

// Nothing is read where the answer would be written over it.
static gboolean
start(const char *const *files, gpointer data)
{
  Watch *watch = data;
  for (const char *const *file = files; *file; ++file) {
    if (!cli_spares(watch->options, *file)) {
      return FALSE;
    }
  }
  start_progress(&watch->progress, files);
  return TRUE;
}

static void
tell(const char *message, gpointer data)
{
  const Watch *watch = data;
  clear_line(&watch->progress);
  cli_complain("%s", message);
}

static void
tick(guint64 tunes, guint64 bytes, gpointer data)
{
  const gint64 every = 200000; // microseconds
  Progress *p = &((Watch *)data)->progress;
  const gint64 now = g_get_monotonic_time();
  p->tunes += tunes;
  p->bytes += bytes;
  if (p->shown && now - p->last > every && now - p->started > 2 * every) {
    p->last = now;
    write_progress(p, now);
  }
}

static RcWatcher
watcher_of(Watch *watch)
{
  return (RcWatcher){ start, tell, tick, watch, watch->options->all_problems ? 0 : PROBLEMS_SHOWN };
}

static gboolean
has_arguments(const CliOptions *options)
{
  if (!options->arguments) {
    cli_complain("no tunes are named: give files, folders or - for standard input");
  }
  return options->arguments != NULL;
}

static RcRepertoire
repertoire_of(const CliOptions *options, char *const *paths)
{
  return (RcRepertoire){ (const char *const *)paths, options->title, (guint)options->line, options->move };
}

// Says what is left to say; returns whether there was a tune.
static gboolean
end(const Watch *watch, const RcIntake *intake)
{
  clear_line(&watch->progress);
  if (!watch->options->all_problems && intake->messages > PROBLEMS_SHOWN) {
    cli_complain("and %" G_GUINT64_FORMAT " more problems; --all-problems prints them",
                 intake->messages - PROBLEMS_SHOWN);
  }
  if (!intake->tunes) {
    cli_complain("nothing was read");
  } else if (!intake->titled && watch->options->line) {
    cli_complain("none of the %" G_GUINT64_FORMAT " tunes begins at line %d%s", intake->tunes, watch->options->line,
                 watch->options->title ? " with that title" : "");
  } else if (!intake->titled) {
    cli_complain("none of the %" G_GUINT64_FORMAT " tunes has `%s` in its title", intake->tunes, watch->options->title);
  }
  return intake->titled > 0;
}

gboolean
cli_read(const CliOptions *options, RcTuneFunc each, gpointer data, RcIntake *intake)
{
  Watch watch = { .options = options };
  const RcWatcher watcher = watcher_of(&watch);
  const RcRepertoire repertoire = repertoire_of(options, options->arguments);
  return has_arguments(options) && rc_repertoire_read(&repertoire, &options->settings, &watcher, each, data, intake) &&
         end(&watch, intake);
}

RcRolled *
cli_roll_paths(const CliOptions *options, char *const *paths, const RcBoards *boards, gboolean keep)
{
  Watch watch = { .options = options };
  const RcWatcher watcher = watcher_of(&watch);
  const RcRepertoire repertoire = repertoire_of(options, paths);
  RcRolled *rolled = rc_repertoire_roll(&repertoire, boards, keep, &watcher);
  if (rolled && !end(&watch, &rolled->intake)) {
    g_clear_pointer(&rolled, rc_rolled_free);
  }
  return rolled;
}

RcRolled *
cli_roll(const CliOptions *options, const RcBoards *boards, gboolean keep)
{
  return has_arguments(options) ? cli_roll_paths(options, options->arguments, boards, keep) : NULL;
}

int
cli_reading_status(const RcIntake *intake)
{
  return intake->problems || intake->unread ? CLI_PARTLY : CLI_DONE;
}
