// Copyright 2026 the rowcall developers
// SPDX-License-Identifier: MIT

#include "study/crew.h"

#include "corpus/cutter.h"

enum { JOBS_AHEAD = 4 }; // jobs that may wait to be taken, for each thread

// What one thread has in hand.
typedef struct {
  RcPiece piece;
  RcReader reader;
  RcTune *tune;
} Hand;

// What one thread reads in a row of a file.
typedef struct {
  const Hand *hand; // borrowed: whose it is
  gpointer work;    // as RcCrewWork began it
  gboolean closed;  // nothing is added any more
  gboolean reading; // a piece of it is being read
} Job;

typedef struct {
  RcCutter *cutter; // NULL: not begun, or ended
  GQueue jobs;      // of Job *: those not yet taken, in order
  gboolean busy;    // somebody is cutting it, or reads a piece that streams
  gboolean ended;   // all of it is cut
} File;

typedef struct {
  const RcCrewWork *work;
  char *const *paths;
  RcCorpusOptions options;
  GMutex lock; // over what follows
  GCond changed;
  File *files;
  guint n;
  guint first;        // the file whose jobs are taken next
  guint waiting;      // jobs not yet taken
  guint wished;       // threads
  GPtrArray *threads; // of GThread *: those started beside the one that takes the jobs
  gboolean over;
} Crew;

static void
start_hand(Hand *hand, RcCorpusOptions options)
{
  *hand = (Hand){ .reader = { .options = options }, .tune = rc_tune_new() };
}

static void
end_hand(Hand *hand)
{
  rc_reader_clear(&hand->reader);
  rc_piece_clear(&hand->piece);
  rc_tune_free(hand->tune);
}

// ------------------------------------------------------------------------------------------------ what is to be done
//
// From here on all is called with the lock held.

static Job *
first_job(const File *file)
{
  return file->jobs.head ? file->jobs.head->data : NULL;
}

// The first file off which a piece can be cut; NULL where there is none. Few jobs wait to be taken, so that memory does
// not grow with their number; but the one to be taken next never waits to be read.
static File *
find_file(const Crew *crew)
{
  const gboolean full = crew->waiting >= JOBS_AHEAD * crew->wished;
  for (guint i = crew->first; i < crew->n; ++i) {
    File *file = &crew->files[i];
    const Job *job = first_job(file);
    if (full && (i != crew->first || (job && job->reading))) {
      return NULL;
    }
    if (!file->busy && !file->ended) {
      return file;
    }
  }
  return NULL;
}

static void
close_last_job(File *file)
{
  Job *last = g_queue_peek_tail(&file->jobs);
  if (last) {
    last->closed = TRUE;
  }
}

// The job to which belongs what this hand has cut off the file: the last one where it is its own, else a new one.
static Job *
find_job(Crew *crew, File *file, const Hand *hand)
{
  Job *job = g_queue_peek_tail(&file->jobs);
  if (!job || job->hand != hand) {
    close_last_job(file);
    job = g_new0(Job, 1);
    job->hand = hand;
    job->work = crew->work->begin(crew->work->data);
    g_queue_push_tail(&file->jobs, job);
    ++crew->waiting;
  }
  return job;
}

static void
end_file(File *file)
{
  close_last_job(file);
  file->ended = TRUE;
  g_clear_pointer(&file->cutter, rc_cutter_free);
}

static gpointer help(gpointer data);

// Starts one more thread where there is work for it. Not GLib's pool, whose jobs wait for ever where no thread can be
// started: here the one that takes the jobs reads, too.
static void
call_for_help(Crew *crew)
{
  if (crew->threads->len + 1 < crew->wished && find_file(crew)) {
    GThread *thread = g_thread_try_new("reader", help, crew, NULL);
    if (thread) {
      g_ptr_array_add(crew->threads, thread);
    } else {
      crew->wished = crew->threads->len + 1;
    }
  }
}

// Lets others cut the file.
static void
release(Crew *crew, File *file)
{
  file->busy = FALSE;
  if (file->cutter && rc_cutter_is_done(file->cutter)) {
    end_file(file);
  }
  g_cond_broadcast(&crew->changed);
}

static void
read_piece(Crew *crew, Hand *hand, const Job *job, GError *problem)
{
  g_mutex_unlock(&crew->lock);
  if (problem) {
    crew->work->fail(job->work, problem);
  } else {
    rc_reader_start(&hand->reader, &hand->piece);
    crew->work->read(job->work, &hand->reader, hand->tune);
  }
  g_mutex_lock(&crew->lock);
}

static RcCut
cut_piece(Crew *crew, File *file, Hand *hand, GError **problem)
{
  g_mutex_unlock(&crew->lock);
  if (!file->cutter) {
    file->cutter = rc_cutter_new(crew->paths[file - crew->files], crew->options);
  }
  const RcCut cut = rc_cutter_next(file->cutter, &hand->piece, problem);
  g_mutex_lock(&crew->lock);
  return cut;
}

// Cuts the next piece and reads it; FALSE where there is none at this time.
static gboolean
do_next(Crew *crew, Hand *hand)
{
  GError *problem = NULL;
  File *file = find_file(crew);
  if (!file) {
    return FALSE;
  }
  file->busy = TRUE;
  const RcCut cut = cut_piece(crew, file, hand, &problem);
  if (cut == RC_CUT_END) {
    end_file(file);
    release(crew, file);
    return TRUE;
  }
  Job *job = find_job(crew, file, hand);
  const gboolean streams = cut == RC_CUT_PIECE && hand->piece.rest;
  job->reading = TRUE;
  if (!streams) {
    release(crew, file);
  }
  call_for_help(crew);
  read_piece(crew, hand, job, problem);
  job->reading = FALSE;
  if (streams) {
    release(crew, file);
  }
  g_cond_broadcast(&crew->changed);
  return TRUE;
}

static gpointer
help(gpointer data)
{
  Crew *crew = data;
  Hand hand;
  start_hand(&hand, crew->options);
  g_mutex_lock(&crew->lock);
  while (!crew->over) {
    if (!do_next(crew, &hand)) {
      g_cond_wait(&crew->changed, &crew->lock);
    }
  }
  g_mutex_unlock(&crew->lock);
  end_hand(&hand);
  return NULL;
}

// Takes the first job of the file.
static void
take_job(Crew *crew, File *file)
{
  Job *job = g_queue_pop_head(&file->jobs);
  const gboolean last = file->ended && g_queue_is_empty(&file->jobs);
  --crew->waiting;
  g_mutex_unlock(&crew->lock);
  crew->work->take(job->work, last, crew->work->data);
  g_free(job);
  g_mutex_lock(&crew->lock);
  g_cond_broadcast(&crew->changed);
}

// Takes jobs as they are done, and works on others meanwhile.
static void
take_jobs(Crew *crew, Hand *hand)
{
  while (crew->first < crew->n) {
    File *file = &crew->files[crew->first];
    const Job *job = first_job(file);
    if (job && job->closed && !job->reading) {
      take_job(crew, file);
    } else if (!job && file->ended) {
      ++crew->first;
    } else if (!do_next(crew, hand)) {
      g_cond_wait(&crew->changed, &crew->lock);
    }
  }
}

// ------------------------------------------------------------------------------------------------------ the whole crew

void
rc_crew_read(char *const *files, RcCorpusOptions options, guint threads, const RcCrewWork *work)
{
  Hand hand;
  Crew crew = { .work = work, .paths = files, .options = options, .wished = threads };
  crew.n = g_strv_length((char **)files);
  crew.files = g_new0(File, MAX(crew.n, 1));
  crew.threads = g_ptr_array_new();
  g_mutex_init(&crew.lock);
  g_cond_init(&crew.changed);
  start_hand(&hand, options);
  g_mutex_lock(&crew.lock);
  take_jobs(&crew, &hand);
  crew.over = TRUE;
  g_cond_broadcast(&crew.changed);
  g_mutex_unlock(&crew.lock);
  for (guint i = 0; i < crew.threads->len; ++i) {
    g_thread_join(g_ptr_array_index(crew.threads, i));
  }
  end_hand(&hand);
  g_ptr_array_unref(crew.threads);
  g_free(crew.files);
  g_mutex_clear(&crew.lock);
  g_cond_clear(&crew.changed);
}
