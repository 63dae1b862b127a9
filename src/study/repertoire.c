// Copyright 2026 the rowcall developers
// SPDX-License-Identifier: MIT

// Reading repertoires: one file after another for answers tune by tune, several files at once for a roll. A watcher is
// sent problems in the order of the files either way.

#include "rowcall/study.h"

#include "base/tasks.h"

#include <string.h>

enum { JOBS_AHEAD = 4, TICK_TUNES = 32 };

// -------------------------------------------------------------------------------------------------------- one reading

// What the jobs of one reading share.
typedef struct {
  const RcSettings *settings;
  const RcWatcher *watcher;
  char *title; // part of the titles wanted, case folded; NULL: all
  guint line;  // the line at which a tune begins; 0: all
  int move;    // semitones
  GMutex lock; // of the watcher
  RcIntake intake;
} Reader;

static void
tick(Reader *r, guint64 tunes, guint64 bytes)
{
  if (r->watcher->tick) {
    g_mutex_lock(&r->lock);
    r->watcher->tick(tunes, bytes, r->watcher->data);
    g_mutex_unlock(&r->lock);
  }
}

// Passes on as many of @p messages, @p told in all, as are wanted.
static void
tell(Reader *r, const GPtrArray *messages, guint64 told)
{
  g_mutex_lock(&r->lock);
  for (guint i = 0; i < messages->len && r->watcher->tell; ++i) {
    if (!r->watcher->most || r->intake.messages + i < r->watcher->most) {
      r->watcher->tell(g_ptr_array_index(messages, i), r->watcher->data);
    }
  }
  g_mutex_unlock(&r->lock);
  r->intake.messages += told;
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

enum { UNREAD = RC_N_REMARKS, N_KINDS, MOST_NAMED = 12 };

#define NO_MESSAGE G_MAXUINT

// What there is to note of a file: of each kind, remarks and unread symbols, one message, which is completed at the end
// of the file by what else there was of it.
typedef struct {
  const char *file;     // borrowed
  guint first[N_KINDS]; // index of the message; NO_MESSAGE where it is not kept
  guint found[N_KINDS];
  GHashTable *unread; // set of char *: the texts of unread symbols
  GString *others;    // those after the first, with their places
} Notes;

// What is read of one file, or of the members of an archive.
typedef struct {
  Reader *reader;
  const char *path;
  RcTuneFunc each;
  gpointer data;
  RcRoll *roll;     // in place of `each`
  GPtrArray *plans; // of Plan *, beside `roll`
  GPtrArray *kept;  // of RcTune *, beside `roll`; NULL where they are not kept
  RcIntake intake;
  GPtrArray *messages; // of char *: those that may be wanted
  Notes notes;         // of the file being read
  gboolean done;
} Job;

// Keeps the message, which is taken over, where it may be wanted; returns its index or NO_MESSAGE.
static guint
add_message(Job *job, char *message)
{
  const guint most = job->reader->watcher->most;
  ++job->intake.messages;
  if (!most || job->messages->len < most) {
    g_ptr_array_add(job->messages, message);
    return job->messages->len - 1;
  }
  g_free(message);
  return NO_MESSAGE;
}

static void
start_notes(Notes *notes, const char *file)
{
  memset(notes->found, 0, sizeof notes->found);
  notes->file = file;
  g_hash_table_remove_all(notes->unread);
  g_string_truncate(notes->others, 0);
}

// Adds to the message of this kind what else there was.
static void
complete_message(const Job *job, guint kind, char *rest)
{
  const guint index = job->notes.first[kind];
  if (index != NO_MESSAGE) {
    char **message = (char **)&g_ptr_array_index(job->messages, index);
    char *whole = g_strconcat(*message, rest, NULL);
    g_free(*message);
    *message = whole;
  }
  g_free(rest);
}

static void
end_notes(const Job *job)
{
  const Notes *notes = &job->notes;
  for (guint kind = 0; kind < UNREAD; ++kind) {
    if (notes->found[kind] > 1) {
      complete_message(job, kind, g_strdup_printf(" (and %u more in this file)", notes->found[kind] - 1));
    }
  }
  const guint texts = notes->found[UNREAD];
  if (texts > MOST_NAMED + 1) {
    complete_message(job, UNREAD, g_strdup_printf("; so do%s and %u more", notes->others->str, texts - MOST_NAMED - 1));
  } else if (texts > 1) {
    complete_message(job, UNREAD, g_strdup_printf("; so %s%s", texts > 2 ? "do" : "does", notes->others->str));
  }
}

// Counts one more of this kind in the file; TRUE where it is the first, which is to be reported.
static gboolean
is_first(Job *job, guint kind)
{
  return !job->notes.found[kind]++;
}

// "measure 12: " where the bars of the format have numbers, which tell more than the lines of a score.
static char *
measure_of(const RcTune *tune, const RcEvent *event)
{
  if (!tune->numbers->len) {
    return g_strdup("");
  }
  const guint index = (guint)(event - &g_array_index(tune->events, RcEvent, 0));
  char *name = rc_tune_bar_name(tune, rc_tune_bar_of(tune, index));
  char *before = g_strdup_printf("%s: ", name);
  g_free(name);
  return before;
}

static char *
unread_message(const RcTune *tune, const RcEvent *event, const RcSymbol *symbol)
{
  const char *rest = symbol->text + symbol->stopped_at;
  char *why = symbol->stopped_at && *rest ? g_strdup_printf(", `%.20s` was not understood", rest)
              : *symbol->text == 'H'      ? g_strdup(" (where H is B natural, --names german reads it)")
                                          : g_strdup("");
  char *measure = measure_of(tune, event);
  char *message = g_strdup_printf("%s:%u:%u: %s`%.40s` is no chord symbol%s; it counts as unread", tune->file,
                                  event->line, event->column, measure, symbol->text, why);
  g_free(measure);
  g_free(why);
  return message;
}

static void
note_symbol(Job *job, const RcTune *tune, const RcEvent *event, const RcSymbol *symbol)
{
  Notes *notes = &job->notes;
  ++job->intake.unread;
  if (!g_hash_table_add(notes->unread, g_strdup(symbol->text))) {
    return; // reported of another tune of the file
  }
  if (is_first(job, UNREAD)) {
    notes->first[UNREAD] = add_message(job, unread_message(tune, event, symbol));
  } else if (notes->found[UNREAD] <= MOST_NAMED + 1) {
    const char *rest = symbol->text + symbol->stopped_at;
    g_string_append_printf(notes->others, "%s `%.40s` (%u:%u", notes->others->len ? "," : "", symbol->text, event->line,
                           event->column);
    if (symbol->stopped_at && *rest) {
      g_string_append_printf(notes->others, " at `%.20s`", rest);
    }
    g_string_append_c(notes->others, ')');
  }
}

static guint
count_unread(const RcTune *tune)
{
  guint n = 0;
  for (guint i = 0; i < tune->symbols->len; ++i) {
    n += rc_tune_symbol(tune, i)->kind == RC_SYMBOL_UNREAD;
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
    const RcSymbol *symbol = rc_tune_symbol(tune, event->symbol);
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
    if (is_first(job, remark->kind)) {
      char *column = remark->column ? g_strdup_printf(":%u", remark->column) : g_strdup("");
      job->notes.first[remark->kind] =
        add_message(job, g_strdup_printf("%s:%u%s: note: %s", tune->file, remark->line, column, remark->text));
      g_free(column);
    }
  }
}

// What a reader has to say of a tune beyond what it gives.
static void
note(Job *job, const RcTune *tune)
{
  if (job->notes.file != tune->file) {
    end_notes(job);
    start_notes(&job->notes, tune->file);
  }
  note_unread(job, tune);
  note_remarks(job, tune);
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

static gboolean
is_wanted(const Reader *r, const RcTune *tune)
{
  char *folded = r->title ? g_utf8_casefold(tune->title, -1) : NULL;
  const gboolean wanted = (!r->title || strstr(folded, r->title)) && (!r->line || r->line == tune->line);
  g_free(folded);
  return wanted;
}

static void
give_tune(Job *job, const RcTune *tune)
{
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
take_tune(Job *job, const RcTune *tune)
{
  note(job, tune);
  ++job->intake.tunes;
  if (!is_wanted(job->reader, tune)) {
    return;
  }
  ++job->intake.titled;
  if (job->reader->move) {
    RcTune *moved = rc_tune_moved(tune, job->reader->move);
    give_tune(job, moved);
    rc_tune_free(moved);
  } else {
    give_tune(job, tune);
  }
}

// Whether something was left out that should have been read, and was not counted yet; the others are only reported.
static guint
is_problem(const GError *error)
{
  return !g_error_matches(error, RC_ERROR, RC_ERROR_PASSED) && !g_error_matches(error, RC_ERROR, RC_ERROR_FURTHER);
}

static void
run_job(Job *job)
{
  const char *const paths[] = { job->path, NULL };
  RcCorpus *corpus = rc_corpus_new(paths, job->reader->settings->corpus);
  RcTune *tune = rc_tune_new();
  GError *error = NULL;
  guint64 tunes = 0; // reported so far
  guint64 bytes = 0;
  for (RcReadResult result; (result = rc_corpus_next(corpus, tune, &error)) != RC_READ_END;) {
    if (result == RC_READ_PROBLEM) {
      add_message(job, g_strdup(error->message));
      job->intake.problems += is_problem(error);
      g_clear_error(&error);
    } else {
      take_tune(job, tune);
    }
    if (job->intake.tunes - tunes == TICK_TUNES) {
      tick(job->reader, TICK_TUNES, rc_corpus_bytes(corpus) - bytes);
      tunes = job->intake.tunes;
      bytes = rc_corpus_bytes(corpus);
    }
  }
  tick(job->reader, job->intake.tunes - tunes, rc_corpus_bytes(corpus) - bytes);
  job->intake.files = rc_corpus_files(corpus);
  end_notes(job);
  rc_tune_free(tune);
  rc_corpus_free(corpus);
}

// ------------------------------------------------------------------------------------------------------ all files

static Job *
new_job(Reader *r, const char *path)
{
  Job *job = g_new0(Job, 1);
  job->reader = r;
  job->path = path;
  job->plans = g_ptr_array_new_with_free_func(free_plan);
  job->messages = g_ptr_array_new_with_free_func(g_free);
  job->notes.unread = g_hash_table_new_full(g_str_hash, g_str_equal, g_free, NULL);
  job->notes.others = g_string_new(NULL);
  return job;
}

static void
end_job(Reader *r, Job *job)
{
  tell(r, job->messages, job->intake.messages);
  r->intake.tunes += job->intake.tunes;
  r->intake.files += job->intake.files;
  r->intake.problems += job->intake.problems;
  r->intake.unread += job->intake.unread;
  r->intake.titled += job->intake.titled;
  g_ptr_array_unref(job->plans);
  g_ptr_array_unref(job->messages);
  g_hash_table_unref(job->notes.unread);
  g_string_free(job->notes.others, TRUE);
  g_free(job);
}

// The files to read; says why folders give none.
static char **
find_files(Reader *r, const char *const *paths)
{
  GPtrArray *problems = g_ptr_array_new_with_free_func((GDestroyNotify)g_error_free);
  GPtrArray *messages = g_ptr_array_new();
  char **files = rc_corpus_expand(paths, problems);
  for (guint i = 0; i < problems->len; ++i) {
    const GError *problem = g_ptr_array_index(problems, i);
    g_ptr_array_add(messages, problem->message);
    r->intake.problems += is_problem(problem);
  }
  tell(r, messages, messages->len);
  g_ptr_array_unref(messages);
  g_ptr_array_unref(problems);
  return files;
}

static void
end_reading(Reader *r)
{
  g_mutex_clear(&r->lock);
  g_free(r->title);
}

// Starts reading and returns the files; NULL where the watcher has none read.
static char **
start_reading(Reader *r, const RcRepertoire *repertoire, const RcSettings *settings, const RcWatcher *watcher)
{
  static const RcWatcher nobody;
  *r = (Reader){
    .settings = settings, .watcher = watcher ? watcher : &nobody, .line = repertoire->line, .move = repertoire->move
  };
  r->title = repertoire->title ? g_utf8_casefold(repertoire->title, -1) : NULL;
  g_mutex_init(&r->lock);
  char **files = find_files(r, repertoire->paths);
  if (r->watcher->start && !r->watcher->start((const char *const *)files, r->watcher->data)) {
    g_clear_pointer(&files, g_strfreev);
    end_reading(r);
  }
  return files;
}

gboolean
rc_repertoire_read(const RcRepertoire *repertoire, const RcSettings *settings, const RcWatcher *watcher,
                   RcTuneFunc each, gpointer data, RcIntake *intake)
{
  Reader r;
  const RcSettings usual = rc_settings();
  char **files = start_reading(&r, repertoire, settings ? settings : &usual, watcher);
  for (char **file = files; file && *file; ++file) {
    Job *job = new_job(&r, *file);
    job->each = each;
    job->data = data;
    run_job(job);
    end_job(&r, job);
  }
  *intake = r.intake;
  if (!files) {
    return FALSE;
  }
  end_reading(&r);
  g_strfreev(files);
  return TRUE;
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

// A job that rolls a file by itself, so that several can be rolled at once.
static Job *
new_rolling(Reader *r, const char *path, const RcBoards *boards, gboolean keep)
{
  Job *job = new_job(r, path);
  job->roll = rc_roll_new(boards->panel, boards->settings.route.roll);
  job->kept = keep ? g_ptr_array_new() : NULL;
  for (guint i = 0; i < boards->n; ++i) {
    if (boards->planners[i]) {
      Plan *plan = g_new(Plan, 1);
      *plan = (Plan){ boards->planners[i], rc_use_new(boards->layouts[i]), boards->uses[i] };
      if (boards->uses[i]->titles) {
        rc_use_keep_tunes(plan->use);
      }
      g_ptr_array_add(job->plans, plan);
    }
  }
  return job;
}

static void
merge_job(Job *job, RcRoll *whole, GPtrArray *kept)
{
  rc_roll_merge(whole, job->roll);
  rc_roll_free(job->roll);
  if (job->kept) {
    g_ptr_array_extend_and_steal(kept, job->kept);
  }
  for (guint i = 0; i < job->plans->len; ++i) {
    const Plan *plan = g_ptr_array_index(job->plans, i);
    rc_use_merge(plan->whole, plan->use);
  }
}

// Keeps a few files ahead of the one whose result is next, so that memory does not grow with their number.
static void
roll_files(Reader *r, char **files, const RcBoards *boards, RcRoll *whole, GPtrArray *kept)
{
  Crew crew;
  const guint n = g_strv_length(files);
  const guint wished = r->settings->threads ? r->settings->threads : g_get_num_processors();
  const guint threads = MIN(wished, RC_MAX_THREADS);
  GQueue jobs = G_QUEUE_INIT; // those begun or given, whose results are taken in this order
  start_crew(&crew, MIN(threads, n));
  for (guint next = 0; next < n || !g_queue_is_empty(&jobs);) {
    if (next < n && g_queue_get_length(&jobs) < JOBS_AHEAD * threads) {
      Job *job = new_rolling(r, files[next++], boards, kept != NULL);
      g_queue_push_tail(&jobs, job);
      give(&crew, job);
      continue;
    }
    Job *job = g_queue_pop_head(&jobs);
    wait_for(&crew, job);
    merge_job(job, whole, kept);
    end_job(r, job);
  }
  end_crew(&crew);
}

RcRolled *
rc_repertoire_roll(const RcRepertoire *repertoire, const RcBoards *boards, gboolean keep, const RcWatcher *watcher)
{
  Reader r;
  char **files = start_reading(&r, repertoire, &boards->settings, watcher);
  if (!files) {
    return NULL;
  }
  RcRolled *rolled = g_new0(RcRolled, 1);
  GPtrArray *kept = keep ? g_ptr_array_new() : NULL;
  rolled->boards = boards;
  rolled->roll = rc_roll_new(boards->panel, boards->settings.route.roll);
  roll_files(&r, files, boards, rolled->roll, kept);
  rolled->intake = r.intake;
  if (kept) {
    rolled->n_tunes = kept->len;
    rolled->tunes = (RcTune **)g_ptr_array_free(kept, FALSE);
  }
  end_reading(&r);
  g_strfreev(files);
  return rolled;
}

RcRolled *
rc_rolled_again(const RcRolled *rolled, const RcBoards *boards)
{
  RcRolled *again = g_new0(RcRolled, 1);
  again->boards = boards;
  again->intake = rolled->intake;
  again->roll = rc_roll_new(boards->panel, boards->settings.route.roll);
  for (guint i = 0; i < rolled->n_tunes; ++i) {
    rc_roll_add(again->roll, rolled->tunes[i]);
  }
  return again;
}

// Of which keyboards the uses are found.
typedef struct {
  const RcRolled *rolled;
  const guint *boards;
  RcUse **uses;
} Using;

static void
find_use(guint number, gpointer data)
{
  const Using *using = data;
  const RcRolled *rolled = using->rolled;
  const RcLayout *layout = rolled->boards->layouts[using->boards[number]];
  RcPlanner *planner = rc_planner_new(layout, &rolled->boards->settings.route);
  RcRoute *route = rc_route_new(planner);
  RcUse *use = rc_use_new(layout);
  for (guint i = 0; i < rolled->n_tunes; ++i) {
    rc_route_plan(route, rolled->tunes[i]);
    rc_use_add(use, route, rolled->tunes[i], rc_roll_accept(rolled->roll));
  }
  using->uses[number] = use;
  rc_route_free(route);
  rc_planner_free(planner);
}

void
rc_rolled_uses(const RcRolled *rolled, const guint *boards, guint n, RcUse **uses)
{
  Using using = { rolled, boards, uses };
  rc_tasks_do(n, rolled->boards->settings.threads, find_use, &using);
}

void
rc_rolled_free(RcRolled *rolled)
{
  if (rolled) {
    for (guint i = 0; i < rolled->n_tunes; ++i) {
      rc_tune_free(rolled->tunes[i]);
    }
    g_free(rolled->tunes);
    rc_roll_free(rolled->roll);
    g_free(rolled);
  }
}
