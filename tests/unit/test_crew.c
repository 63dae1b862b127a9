// Copyright 2026 the rowcall developers
// SPDX-License-Identifier: MIT

// Several threads that read many files: what they read is taken in the order of the files, no more threads are started
// than were asked for, and no more waits to be taken than a few jobs a thread.

#undef NDEBUG

#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>

#include <cmocka.h>

#include "study/crew.h"

#include <string.h>

enum { N_FILES = 120, JOBS_A_THREAD = 4, MOST_THREADS = 4, MISSING = 17 };

#include "scratch_files.h"

// All of it under the lock.
typedef struct {
  GMutex lock;
  GCond changed;
  guint wanted;                       // threads that read, at least
  GThread *threads[MOST_THREADS + 1]; // that have read
  guint n_threads;
  int begun;   // jobs
  int waiting; // jobs begun and not taken
  int most;    // of them
  guint taken; // files
  guint failed;
  GString *titles;
} Watched;

typedef struct {
  Watched *watched;
  GString *titles;
  guint failed;
} Job;

static gpointer
begin(gpointer data)
{
  Watched *watched = data;
  Job *job = g_new0(Job, 1);
  job->watched = watched;
  job->titles = g_string_new(NULL);
  g_mutex_lock(&watched->lock);
  ++watched->begun;
  ++watched->waiting;
  watched->most = MAX(watched->most, watched->waiting);
  g_mutex_unlock(&watched->lock);
  return job;
}

// Notes the thread that reads, and waits a while for as many as are wanted.
static void
note_thread(Watched *watched)
{
  const gint64 end = g_get_monotonic_time() + 10 * G_TIME_SPAN_SECOND;
  guint i = 0;
  g_mutex_lock(&watched->lock);
  while (i < watched->n_threads && watched->threads[i] != g_thread_self()) {
    ++i;
  }
  if (i == watched->n_threads && i < G_N_ELEMENTS(watched->threads)) {
    watched->threads[watched->n_threads++] = g_thread_self();
    g_cond_broadcast(&watched->changed);
  }
  gboolean waits = TRUE;
  while (watched->n_threads < watched->wanted && waits) {
    waits = g_cond_wait_until(&watched->changed, &watched->lock, end);
  }
  g_mutex_unlock(&watched->lock);
}

static void
read_all(gpointer data, RcReader *reader, RcTune *tune)
{
  Job *job = data;
  GError *error = NULL;
  note_thread(job->watched);
  for (RcReadResult result; (result = rc_reader_next(reader, tune, &error)) != RC_READ_END;) {
    g_string_append_printf(job->titles, "%s ", result == RC_READ_TUNE ? tune->title : "?");
  }
  g_usleep(500); // so that the others get some
}

static void
fail_one(gpointer data, GError *error)
{
  ++((Job *)data)->failed;
  g_error_free(error);
}

static void
take(gpointer data, gboolean last, gpointer given)
{
  Job *job = data;
  Watched *watched = given;
  g_mutex_lock(&watched->lock);
  --watched->waiting;
  watched->taken += last ? 1 : 0;
  watched->failed += job->failed;
  g_string_append(watched->titles, job->titles->str);
  g_mutex_unlock(&watched->lock);
  g_usleep(200); // so that much could wait
  g_string_free(job->titles, TRUE);
  g_free(job);
}

static gpointer
do_nothing(gpointer data)
{
  return data;
}

// The page's program has but one thread.
static gboolean
has_threads(void)
{
  GThread *thread = g_thread_try_new("none", do_nothing, NULL, NULL);
  if (thread) {
    g_thread_join(thread);
  }
  return thread != NULL;
}

static void
many_files_are_taken_in_their_order(void **state)
{
  (void)state;
  GString *expected = g_string_new(NULL);
  for (guint i = 0; i < N_FILES; ++i) {
    if (i != MISSING) {
      g_string_append_printf(expected, "T%u U%u ", i, i);
    }
  }
  for (guint threads = 1; threads <= MOST_THREADS; ++threads) {
    Watched watched = { .wanted = has_threads() ? threads : 1, .titles = g_string_new(NULL) };
    const RcCrewWork work = { &watched, begin, read_all, fail_one, take };
    g_mutex_init(&watched.lock);
    g_cond_init(&watched.changed);
    rc_crew_read(files, (RcCorpusOptions){ 0 }, threads, &work);
    assert_string_equal(watched.titles->str, expected->str);
    assert_int_equal(watched.taken, N_FILES);
    assert_int_equal(watched.failed, 1);
    assert_int_equal(watched.waiting, 0);
    assert_true(watched.most <= (int)((JOBS_A_THREAD + 1) * threads + 1)); // those begun at once, and the one taken
    assert_int_equal(watched.n_threads, watched.wanted);
    g_cond_clear(&watched.changed);
    g_mutex_clear(&watched.lock);
    g_string_free(watched.titles, TRUE);
  }
  g_string_free(expected, TRUE);
}

static void
no_files_are_no_work(void **state)
{
  (void)state;
  char *none[] = { NULL };
  Watched watched = { .titles = g_string_new(NULL) };
  const RcCrewWork work = { &watched, begin, read_all, fail_one, take };
  rc_crew_read(none, (RcCorpusOptions){ 0 }, 2, &work);
  assert_int_equal(watched.most, 0);
  g_string_free(watched.titles, TRUE);
}

// However many pieces a long file is cut into, what one thread reads in a row is put together at once.
static void
what_one_thread_reads_is_one_job(void **state)
{
  (void)state;
  GString *text = g_string_new("title: T\nparts: {A: D}\n");
  while (text->len < 1U << 20) {
    g_string_append(text, "---\ntitle: U\nparts: {A: G}\n");
  }
  assert_true(g_file_set_contents(files[MISSING], text->str, -1, NULL));
  char *one[] = { files[MISSING], NULL };
  Watched watched = { .titles = g_string_new(NULL) };
  const RcCrewWork work = { &watched, begin, read_all, fail_one, take };
  g_mutex_init(&watched.lock);
  g_cond_init(&watched.changed);
  rc_crew_read(one, (RcCorpusOptions){ 0 }, 1, &work);
  assert_int_equal(watched.begun, 1);
  assert_int_equal(watched.taken, 1);
  assert_true(g_str_has_prefix(watched.titles->str, "T U U "));
  g_cond_clear(&watched.changed);
  g_mutex_clear(&watched.lock);
  g_string_free(watched.titles, TRUE);
  g_string_free(text, TRUE);
}

static int
make_files(void **state)
{
  gboolean good = !make_scratch_files(state);
  for (guint i = 0; good && i < N_FILES; ++i) {
    char *text = g_strdup_printf("title: T%u\nparts: {A: D}\n---\ntitle: U%u\nparts: {A: G}\n", i, i);
    good = i == MISSING || g_file_set_contents(files[i], text, -1, NULL);
    g_free(text);
  }
  return good ? 0 : -1;
}

int
main(void)
{
  const struct CMUnitTest tests[] = {
    cmocka_unit_test(many_files_are_taken_in_their_order),
    cmocka_unit_test(no_files_are_no_work),
    cmocka_unit_test(what_one_thread_reads_is_one_job),
  };
  return cmocka_run_group_tests(tests, make_files, remove_scratch_files);
}
