// Copyright 2026 the rowcall developers
// SPDX-License-Identifier: MIT

// Reading repertoires: tune by tune on one thread, on several (crew.h) for a roll. A watcher is sent problems in the
// order of the files either way.

#include "rowcall/study.h"

#include "route/router.h"
#include "study/crew.h"
#include "study/notes.h"

#include <string.h>

enum { TICK_TUNES = 32 };

// -------------------------------------------------------------------------------------------------------- one reading

// What the jobs of one reading share.
typedef struct {
  const RcSettings *settings;
  const RcWatcher *watcher;
  char *title; // part of the titles wanted, case folded; NULL: all
  guint line;  // the line at which a tune begins; 0: all
  int move;    // semitones
  GMutex lock; // of the watcher
  RcTeller *teller;
  RcIntake intake;
  RcTuneFunc each; // is given the tunes, with `data`; NULL: they are rolled
  gpointer data;
  const RcBoards *boards; // on which they are rolled
  RcRoll *roll;           // of all of them
  GPtrArray *kept;        // of RcTune *, those rolled; NULL where they are not kept
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

// --------------------------------------------------------------------------------------------------------- one job

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

// What is read in a row of one file, or of the members of an archive. It is rolled by itself, so that several can be.
typedef struct {
  Reader *reader;
  RcRoll *roll;     // NULL where tunes are given to `each`
  GPtrArray *plans; // of Plan *, beside `roll`
  RcWants wants;    // of a tune that they plan
  GPtrArray *kept;  // of RcTune *, beside `roll`; NULL where they are not kept
  RcIntake intake;
  RcNotes *notes;
} Job;

static void
add_routes(Job *job, const RcTune *tune)
{
  if (job->plans->len) {
    rc_wants_find(&job->wants, &job->reader->settings->route.roll, tune);
  }
  for (guint i = 0; i < job->plans->len; ++i) {
    const Plan *plan = g_ptr_array_index(job->plans, i);
    RcRoute *route = rc_route_new(plan->planner); // one at a time, since a long tune's takes much room
    rc_route_choose(route, &job->wants);
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
    job->reader->each(tune, job->reader->data);
  }
}

static void
take_tune(Job *job, const RcTune *tune)
{
  job->intake.unread += rc_notes_add_tune(job->notes, tune);
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

// Takes a problem that was found while reading, which is freed.
static void
take_problem(gpointer data, GError *problem)
{
  Job *job = data;
  rc_notes_add_problem(job->notes, problem->message);
  job->intake.problems += is_problem(problem);
  g_error_free(problem);
}

// Reads a piece to its end.
static void
read_piece(gpointer data, RcReader *reader, RcTune *tune)
{
  Job *job = data;
  const RcPiece *piece = reader->piece;
  GError *problem = NULL;
  guint tunes = 0; // since the watcher was last told
  if (!piece->number) {
    ++job->intake.files;
    rc_notes_begin_file(job->notes);
  }
  for (RcReadResult result; (result = rc_reader_next(reader, tune, &problem)) != RC_READ_END;) {
    if (result == RC_READ_PROBLEM) {
      take_problem(job, g_steal_pointer(&problem));
      continue;
    }
    take_tune(job, tune);
    if (++tunes == TICK_TUNES) {
      tick(job->reader, tunes, 0);
      tunes = 0;
    }
  }
  tick(job->reader, tunes, rc_piece_bytes(piece));
}

static void
start_plans(Job *job, const RcBoards *boards)
{
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
}

// A roll on the boards, which keeps what its tunes ask for where they are kept.
static RcRoll *
new_roll(const Reader *r)
{
  RcRoll *roll = rc_roll_new(r->boards->panel, r->boards->settings.route.roll);
  if (r->kept) {
    rc_roll_keep_tunes(roll);
  }
  return roll;
}

static gpointer
begin_job(gpointer data)
{
  Reader *r = data;
  Job *job = g_new0(Job, 1);
  job->reader = r;
  job->plans = g_ptr_array_new_with_free_func(free_plan);
  rc_wants_init(&job->wants);
  job->notes = rc_notes_new(r->watcher->most);
  if (r->boards) {
    job->roll = new_roll(r);
    job->kept = r->kept ? g_ptr_array_new() : NULL;
    start_plans(job, r->boards);
  }
  return job;
}

static void
merge_job(const Job *job)
{
  rc_roll_merge(job->reader->roll, job->roll);
  if (job->kept) {
    g_ptr_array_extend_and_steal(job->reader->kept, job->kept);
  }
  for (guint i = 0; i < job->plans->len; ++i) {
    const Plan *plan = g_ptr_array_index(job->plans, i);
    rc_use_merge(plan->whole, plan->use);
  }
}

static void
take_job(gpointer data, gboolean last, gpointer reader)
{
  Job *job = data;
  Reader *r = reader;
  rc_teller_take(r->teller, job->notes);
  if (last) {
    rc_teller_end_file(r->teller);
  }
  r->intake.tunes += job->intake.tunes;
  r->intake.files += job->intake.files;
  r->intake.problems += job->intake.problems;
  r->intake.unread += job->intake.unread;
  r->intake.titled += job->intake.titled;
  if (job->roll) {
    merge_job(job);
    rc_roll_free(job->roll);
  }
  g_ptr_array_unref(job->plans);
  rc_wants_clear(&job->wants);
  rc_notes_free(job->notes);
  g_free(job);
}

// --------------------------------------------------------------------------------------------------- the repertoire

// The files to read; says why folders give none.
static char **
find_files(Reader *r, const char *const *paths)
{
  RcNotes *notes = rc_notes_new(r->watcher->most);
  GPtrArray *problems = g_ptr_array_new_with_free_func((GDestroyNotify)g_error_free);
  char **files = rc_corpus_expand(paths, problems);
  for (guint i = 0; i < problems->len; ++i) {
    const GError *problem = g_ptr_array_index(problems, i);
    rc_notes_add_problem(notes, problem->message);
    r->intake.problems += is_problem(problem);
  }
  rc_teller_take(r->teller, notes);
  rc_teller_end_file(r->teller);
  g_ptr_array_unref(problems);
  rc_notes_free(notes);
  return files;
}

static void
end_reading(Reader *r)
{
  r->intake.messages = rc_teller_count(r->teller);
  rc_teller_free(r->teller);
  g_mutex_clear(&r->lock);
  g_free(r->title);
}

// Reads all files on at most so many threads; FALSE where the watcher has none read.
static gboolean
read_files(Reader *r, const RcRepertoire *repertoire, const RcWatcher *watcher, guint threads)
{
  static const RcWatcher nobody;
  const RcCrewWork work = { r, begin_job, read_piece, take_problem, take_job };
  r->watcher = watcher ? watcher : &nobody;
  r->line = repertoire->line;
  r->move = repertoire->move;
  r->title = repertoire->title ? g_utf8_casefold(repertoire->title, -1) : NULL;
  g_mutex_init(&r->lock);
  r->teller = rc_teller_new(r->watcher, &r->lock);
  char **files = find_files(r, repertoire->paths);
  const gboolean wanted = !r->watcher->start || r->watcher->start((const char *const *)files, r->watcher->data);
  if (wanted) {
    rc_crew_read(files, r->settings->corpus, threads, &work);
  }
  end_reading(r);
  g_strfreev(files);
  return wanted;
}

gboolean
rc_repertoire_read(const RcRepertoire *repertoire, const RcSettings *settings, const RcWatcher *watcher,
                   RcTuneFunc each, gpointer data, RcIntake *intake)
{
  const RcSettings usual = rc_settings();
  Reader r = { .settings = settings ? settings : &usual, .each = each, .data = data };
  const gboolean done = read_files(&r, repertoire, watcher, 1);
  *intake = r.intake;
  return done;
}

RcRolled *
rc_repertoire_roll(const RcRepertoire *repertoire, const RcBoards *boards, gboolean keep, const RcWatcher *watcher)
{
  const RcSettings *settings = &boards->settings;
  const guint threads = settings->threads ? settings->threads : g_get_num_processors();
  Reader r = { .settings = settings, .boards = boards, .kept = keep ? g_ptr_array_new() : NULL };
  r.roll = new_roll(&r);
  if (!read_files(&r, repertoire, watcher, MIN(threads, RC_MAX_THREADS))) {
    rc_roll_free(r.roll);
    g_clear_pointer(&r.kept, g_ptr_array_unref);
    return NULL;
  }
  RcRolled *rolled = g_new0(RcRolled, 1);
  rolled->boards = boards;
  rolled->roll = r.roll;
  rolled->intake = r.intake;
  if (r.kept) {
    rolled->n_tunes = r.kept->len;
    rolled->tunes = (RcTune **)g_ptr_array_free(r.kept, FALSE);
  }
  return rolled;
}

RcRolled *
rc_rolled_again(const RcRolled *rolled, const RcBoards *boards)
{
  RcRolled *again = g_new0(RcRolled, 1);
  again->boards = boards;
  again->intake = rolled->intake;
  again->roll = rc_roll_again(rolled->roll, boards->panel);
  return again;
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
