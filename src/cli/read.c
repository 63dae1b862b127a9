// Copyright 2026 the rowcall developers
// SPDX-License-Identifier: MIT

// Reading repertoires: one file after another for answers tune by tune, several files at once for a roll. Problems are
// printed in the order of the files either way.

#include "cli/cli.h"

#include <glib/gstdio.h>
#include <stdio.h>
#include <unistd.h>

enum { PROBLEMS_SHOWN = 30, JOBS_AHEAD = 4, MOST_THREADS = 256, TICK_TUNES = 32 };

// -------------------------------------------------------------------------------------------------------- progress

// A line on a terminal that says how far reading is.
typedef struct {
  GMutex lock;
  gboolean shown; // at all
  gint64 started; // microseconds
  gint64 last;    // when the line was written last
  guint64 tunes;
  guint64 bytes;    // read, unpacked
  guint64 expected; // bytes of all files; 0 where it is not known
} Progress;

static guint64
bytes_of(char **paths)
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
start_progress(Progress *p, char **paths)
{
  *p = (Progress){ .shown = isatty(STDERR_FILENO) != 0, .started = g_get_monotonic_time() };
  g_mutex_init(&p->lock);
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
tick(Progress *p, guint64 tunes, guint64 bytes)
{
  const gint64 every = 200000; // microseconds
  if (!p->shown) {
    return;
  }
  g_mutex_lock(&p->lock);
  p->tunes += tunes;
  p->bytes += bytes;
  const gint64 now = g_get_monotonic_time();
  if (now - p->last > every && now - p->started > 2 * every) {
    p->last = now;
    write_progress(p, now);
  }
  g_mutex_unlock(&p->lock);
}

static void
clear_line(const Progress *p)
{
  if (p->last) {
    fputs("\r\033[K", stderr);
  }
}

static void
end_progress(Progress *p)
{
  clear_line(p);
  g_mutex_clear(&p->lock);
}

// ---------------------------------------------------------------------------------------------------------- one file

// Routes along one keyboard.
typedef struct {
  RcPlanner *planner; // borrowed
  RcUse *use;
  RcUse *whole; // of all files; borrowed
} Plan;

static void
free_plan(gpointer data)
{
  Plan *plan = data;
  rc_use_free(plan->use);
  g_free(plan);
}

// What is read of one file, or of all.
typedef struct {
  const char *path;
  RcCorpusOptions options;
  CliTuneFunc each;
  gpointer data;
  RcRoll *roll;     // in place of `each`
  GPtrArray *plans; // of Plan *, beside `roll`
  GPtrArray *kept;  // of RcTune *, beside `roll`; NULL where they are not kept
  CliReading reading;
  gboolean all_problems;
  GPtrArray *messages; // of char *: those that may be shown
  guint64 told;        // messages there were
  Progress *progress;
  gboolean done;
} Job;

// Keeps the message, which is taken over, where it may be shown.
static void
add_message(Job *job, char *message)
{
  ++job->told;
  if (job->all_problems || job->messages->len < PROBLEMS_SHOWN) {
    g_ptr_array_add(job->messages, message);
  } else {
    g_free(message);
  }
}

static void
note_symbol(Job *job, const RcTune *tune, const RcEvent *event, const RcSymbol *symbol)
{
  const char *rest = symbol->text + symbol->stopped_at;
  GString *why = g_string_new(NULL);
  if (symbol->stopped_at && *rest) {
    g_string_append_printf(why, ", `%.20s` was not understood", rest);
  } else if (*symbol->text == 'H') {
    g_string_append(why, " (where H is B natural, --names german reads it)");
  }
  add_message(job, g_strdup_printf("%s:%u:%u: `%.40s` is no chord symbol%s; it counts as unread", tune->file,
                                   event->line, event->column, symbol->text, why->str));
  g_string_free(why, TRUE);
  ++job->reading.unread;
}

static guint
count_unread(const RcTune *tune)
{
  guint n = 0;
  for (guint i = 0; i < tune->symbols->len; ++i) {
    n += g_array_index(tune->symbols, RcSymbol, i).kind == RC_SYMBOL_UNREAD;
  }
  return n;
}

// Each at the place where it is written first.
static void
note_unread(Job *job, const RcTune *tune)
{
  guint left = count_unread(tune);
  gboolean *noted = left ? g_new0(gboolean, tune->symbols->len) : NULL;
  for (guint i = 0; i < tune->events->len && left; ++i) {
    const RcEvent *event = &g_array_index(tune->events, RcEvent, i);
    const RcSymbol *symbol = &g_array_index(tune->symbols, RcSymbol, event->symbol);
    if (symbol->kind == RC_SYMBOL_UNREAD && !noted[event->symbol]) {
      noted[event->symbol] = TRUE;
      --left;
      note_symbol(job, tune, event, symbol);
    }
  }
  g_free(noted);
}

static void
note_remarks(Job *job, const RcTune *tune)
{
  for (guint i = 0; i < tune->remarks->len; ++i) {
    const RcRemark *remark = &g_array_index(tune->remarks, RcRemark, i);
    char *column = remark->column ? g_strdup_printf(":%u", remark->column) : g_strdup("");
    add_message(job, g_strdup_printf("%s:%u%s: note: %s", tune->file, remark->line, column, remark->text));
    g_free(column);
  }
}

static void
add_routes(Job *job, const RcTune *tune)
{
  for (guint i = 0; i < job->plans->len; ++i) {
    const Plan *plan = g_ptr_array_index(job->plans, i);
    RcRoute *route = rc_route_new(plan->planner); // one at a time, since a long tune's takes much room
    rc_route_plan(route, tune);
    rc_use_add(plan->use, route, tune, rc_roll_accept(job->roll));
    rc_route_free(route);
  }
}

static void
take_tune(Job *job, const RcTune *tune)
{
  note_unread(job, tune);
  note_remarks(job, tune);
  ++job->reading.intake.tunes;
  if (job->roll) {
    rc_roll_add(job->roll, tune);
    add_routes(job, tune);
    if (job->kept) {
      g_ptr_array_add(job->kept, rc_tune_copy(tune));
    }
  } else {
    job->each(tune, job->data);
  }
}

static void
run_job(Job *job)
{
  const char *const paths[] = { job->path, NULL };
  RcCorpus *corpus = rc_corpus_new(paths, job->options);
  RcTune *tune = rc_tune_new();
  GError *error = NULL;
  guint64 bytes = 0;
  for (RcReadResult result; (result = rc_corpus_next(corpus, tune, &error)) != RC_READ_END;) {
    if (result == RC_READ_PROBLEM) {
      add_message(job, g_strdup(error->message));
      g_clear_error(&error);
      ++job->reading.intake.problems;
    } else {
      take_tune(job, tune);
    }
    if (job->reading.intake.tunes % TICK_TUNES == 0) {
      tick(job->progress, TICK_TUNES, rc_corpus_bytes(corpus) - bytes);
      bytes = rc_corpus_bytes(corpus);
    }
  }
  tick(job->progress, job->reading.intake.tunes % TICK_TUNES, rc_corpus_bytes(corpus) - bytes);
  job->reading.intake.files = rc_corpus_files(corpus);
  rc_tune_free(tune);
  rc_corpus_free(corpus);
}

// ------------------------------------------------------------------------------------------------------ all files

typedef struct {
  const CliOptions *options;
  Progress progress;
  guint64 told; // messages, shown or not
  CliReading reading;
} Reader;

static void
show_messages(Reader *r, const GPtrArray *messages, guint64 told)
{
  for (guint i = 0; i < messages->len; ++i) {
    if (r->options->all_problems || r->told + i < PROBLEMS_SHOWN) {
      clear_line(&r->progress);
      cli_complain("%s", (const char *)g_ptr_array_index(messages, i));
    }
  }
  r->told += told;
}

static void
finish_job(Reader *r, Job *job, RcRoll *whole)
{
  show_messages(r, job->messages, job->told);
  r->reading.intake.tunes += job->reading.intake.tunes;
  r->reading.intake.files += job->reading.intake.files;
  r->reading.intake.problems += job->reading.intake.problems;
  r->reading.unread += job->reading.unread;
  if (job->roll) {
    rc_roll_merge(whole, job->roll);
    rc_roll_free(job->roll);
  }
  for (guint i = 0; i < job->plans->len; ++i) {
    const Plan *plan = g_ptr_array_index(job->plans, i);
    rc_use_merge(plan->whole, plan->use);
  }
  g_ptr_array_unref(job->plans);
  g_ptr_array_unref(job->messages);
  g_free(job);
}

static gboolean
end_reading(Reader *r, CliReading *reading)
{
  end_progress(&r->progress);
  if (!r->options->all_problems && r->told > PROBLEMS_SHOWN) {
    cli_complain("and %" G_GUINT64_FORMAT " more problems; --all-problems prints them", r->told - PROBLEMS_SHOWN);
  }
  if (!r->reading.intake.tunes) {
    cli_complain("nothing was read");
  }
  *reading = r->reading;
  return r->reading.intake.tunes > 0;
}

// The files to read; says of folders why they stand for none.
static char **
find_files(Reader *r)
{
  GPtrArray *problems = g_ptr_array_new_with_free_func((GDestroyNotify)g_error_free);
  GPtrArray *messages = g_ptr_array_new();
  char **paths = rc_corpus_expand((const char *const *)r->options->arguments, problems);
  for (guint i = 0; i < problems->len; ++i) {
    g_ptr_array_add(messages, ((const GError *)g_ptr_array_index(problems, i))->message);
  }
  show_messages(r, messages, messages->len);
  r->reading.intake.problems += problems->len;
  g_ptr_array_unref(messages);
  g_ptr_array_unref(problems);
  return paths;
}

static char **
paths_to_read(Reader *r, RcCorpusOptions *corpus)
{
  const CliOptions *options = r->options;
  if (!options->arguments) {
    cli_complain("no tunes are named: give files, folders or - for standard input");
    return NULL;
  }
  if (!cli_corpus_options(options, corpus)) {
    return NULL;
  }
  char **paths = find_files(r);
  gboolean good = TRUE;
  for (char **path = paths; good && *path; ++path) {
    good = cli_spares(options, *path);
  }
  if (!good) {
    g_clear_pointer(&paths, g_strfreev);
  }
  return paths;
}

static Job *
new_job(Reader *r, const char *path, RcCorpusOptions options)
{
  Job *job = g_new0(Job, 1);
  job->path = path;
  job->options = options;
  job->progress = &r->progress;
  job->all_problems = r->options->all_problems;
  job->plans = g_ptr_array_new_with_free_func(free_plan);
  job->messages = g_ptr_array_new_with_free_func(g_free);
  return job;
}

gboolean
cli_read(const CliOptions *options, CliTuneFunc each, gpointer data, CliReading *reading)
{
  RcCorpusOptions corpus;
  Reader r = { .options = options };
  char **paths = paths_to_read(&r, &corpus);
  if (!paths) {
    return FALSE;
  }
  start_progress(&r.progress, paths);
  for (char **path = paths; *path; ++path) {
    Job *job = new_job(&r, *path, corpus);
    job->each = each;
    job->data = data;
    run_job(job);
    finish_job(&r, job, NULL);
  }
  g_strfreev(paths);
  return end_reading(&r, reading);
}

// -------------------------------------------------------------------------------------------------------- by title

typedef struct {
  const char *title; // part of the titles wanted, case folded; NULL: all
  CliTuneFunc each;
  gpointer data;
  guint64 found;
} TitleJob;

static void
take_titled(const RcTune *tune, gpointer data)
{
  TitleJob *job = data;
  char *title = g_utf8_casefold(tune->title, -1);
  if (!job->title || strstr(title, job->title)) {
    ++job->found;
    job->each(tune, job->data);
  }
  g_free(title);
}

gboolean
cli_read_titled(const CliOptions *options, CliTuneFunc each, gpointer data, CliReading *reading)
{
  char *title = options->title ? g_utf8_casefold(options->title, -1) : NULL;
  TitleJob job = { title, each, data, 0 };
  const gboolean good = cli_read(options, take_titled, &job, reading);
  if (good && !job.found) {
    cli_complain("none of the %" G_GUINT64_FORMAT " tunes has `%s` in its title", reading->intake.tunes,
                 options->title);
  }
  g_free(title);
  return good && job.found;
}

// --------------------------------------------------------------------------------------------------- several at once

// Threads that read, and what they share. Not GLib's pool, whose jobs wait for ever where no thread can be started:
// here the one that waits for a job does it itself.
typedef struct {
  GMutex lock;
  GCond changed;
  GQueue todo; // of Job *: those that nobody has begun
  gboolean over;
  GPtrArray *threads; // of GThread *; there may be fewer than wished for, or none
} Crew;

// Begins the next job and finishes it, the lock being held before and after.
static void
do_next(Crew *crew)
{
  Job *job = g_queue_pop_head(&crew->todo);
  g_mutex_unlock(&crew->lock);
  run_job(job);
  g_mutex_lock(&crew->lock);
  job->done = TRUE;
  g_cond_broadcast(&crew->changed);
}

static gpointer
work(gpointer data)
{
  Crew *crew = data;
  g_mutex_lock(&crew->lock);
  while (!crew->over) {
    if (g_queue_is_empty(&crew->todo)) {
      g_cond_wait(&crew->changed, &crew->lock);
    } else {
      do_next(crew);
    }
  }
  g_mutex_unlock(&crew->lock);
  return NULL;
}

static void
start_crew(Crew *crew, guint threads)
{
  g_mutex_init(&crew->lock);
  g_cond_init(&crew->changed);
  g_queue_init(&crew->todo);
  crew->over = FALSE;
  crew->threads = g_ptr_array_new();
  for (guint i = 1; i < threads; ++i) { // the first is this one
    GThread *thread = g_thread_try_new("reader", work, crew, NULL);
    if (thread) {
      g_ptr_array_add(crew->threads, thread);
    }
  }
}

static void
give(Crew *crew, Job *job)
{
  g_mutex_lock(&crew->lock);
  g_queue_push_tail(&crew->todo, job);
  g_cond_broadcast(&crew->changed);
  g_mutex_unlock(&crew->lock);
}

// Waits for a job, and does others meanwhile.
static void
wait_for(Crew *crew, const Job *job)
{
  g_mutex_lock(&crew->lock);
  while (!job->done) {
    if (g_queue_is_empty(&crew->todo)) {
      g_cond_wait(&crew->changed, &crew->lock);
    } else {
      do_next(crew);
    }
  }
  g_mutex_unlock(&crew->lock);
}

static void
end_crew(Crew *crew)
{
  g_mutex_lock(&crew->lock);
  crew->over = TRUE;
  g_cond_broadcast(&crew->changed);
  g_mutex_unlock(&crew->lock);
  for (guint i = 0; i < crew->threads->len; ++i) {
    g_thread_join(g_ptr_array_index(crew->threads, i));
  }
  g_ptr_array_unref(crew->threads);
  g_mutex_clear(&crew->lock);
  g_cond_clear(&crew->changed);
}

static void
add_plans(Job *job, const CliBoards *boards)
{
  for (guint i = 0; i < boards->planners->len; ++i) {
    RcPlanner *planner = g_ptr_array_index(boards->planners, i);
    if (planner) {
      Plan *plan = g_new(Plan, 1);
      *plan = (Plan){ planner, rc_use_new(rc_planner_layout(planner)), g_ptr_array_index(boards->uses, i) };
      g_ptr_array_add(job->plans, plan);
    }
  }
}

// Keeps a few files ahead of the one whose result is next, so that memory does not grow with their number.
static void
roll_files(Reader *r, char **paths, RcCorpusOptions corpus, const CliBoards *boards, RcRoll *whole)
{
  Crew crew;
  const guint n = g_strv_length(paths);
  const guint threads = (guint)CLAMP(r->options->threads, 1, MOST_THREADS);
  GQueue jobs = G_QUEUE_INIT; // those begun or given, whose results are taken in this order
  start_crew(&crew, MIN(threads, n));
  for (guint next = 0; next < n || !g_queue_is_empty(&jobs);) {
    if (next < n && g_queue_get_length(&jobs) < JOBS_AHEAD * threads) {
      Job *job = new_job(r, paths[next++], corpus);
      job->roll = rc_roll_new(boards->panel, rc_roll_get_settings(whole));
      add_plans(job, boards);
      job->kept = boards->tunes ? g_ptr_array_new() : NULL;
      g_queue_push_tail(&jobs, job);
      give(&crew, job);
      continue;
    }
    Job *job = g_queue_pop_head(&jobs);
    wait_for(&crew, job);
    if (job->kept) {
      g_ptr_array_extend_and_steal(boards->tunes, job->kept);
    }
    finish_job(r, job, whole);
  }
  end_crew(&crew);
}

RcRoll *
cli_roll(const CliOptions *options, const CliBoards *boards, CliReading *reading)
{
  RcCorpusOptions corpus;
  RcRollSettings settings;
  Reader r = { .options = options };
  if (!cli_roll_settings(options, &settings)) {
    return NULL;
  }
  char **paths = paths_to_read(&r, &corpus);
  if (!paths) {
    return NULL;
  }
  RcRoll *whole = rc_roll_new(boards->panel, settings);
  start_progress(&r.progress, paths);
  roll_files(&r, paths, corpus, boards, whole);
  g_strfreev(paths);
  if (!end_reading(&r, reading)) {
    g_clear_pointer(&whole, rc_roll_free);
  }
  return whole;
}

int
cli_reading_status(const CliReading *reading)
{
  return reading->intake.problems || reading->unread ? CLI_PARTLY : CLI_DONE;
}
