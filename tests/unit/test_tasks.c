// Copyright 2026 the rowcall developers
// SPDX-License-Identifier: MIT

// Tasks on several threads: each is done once, and on no more threads than were asked for.

#undef NDEBUG

#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>

#include <cmocka.h>

#include "base/tasks.h"

enum { N_TASKS = 32 };

// Each task writes its own place alone.
typedef struct {
  guint times[N_TASKS];
  GThread *by[N_TASKS];
} Done;

static void
note_task(guint number, gpointer data)
{
  Done *done = data;
  ++done->times[number];
  done->by[number] = g_thread_self();
  g_usleep(500); // so that the others get some
}

static guint
count_threads(const Done *done)
{
  guint n = 0;
  for (guint i = 0; i < N_TASKS; ++i) {
    guint earlier = 0;
    while (done->by[earlier] != done->by[i]) {
      ++earlier;
    }
    n += earlier == i ? 1 : 0;
  }
  return n;
}

static void
each_task_is_done_once(void **state)
{
  (void)state;
  for (guint threads = 1; threads <= 4; ++threads) {
    Done done = { { 0 }, { NULL } };
    rc_tasks_do(N_TASKS, threads, note_task, &done);
    for (guint i = 0; i < N_TASKS; ++i) {
      assert_int_equal(done.times[i], 1);
    }
    assert_true(count_threads(&done) <= threads);
    assert_true(threads > 1 || done.by[0] == g_thread_self());
  }
}

static void
no_tasks_are_no_work(void **state)
{
  (void)state;
  rc_tasks_do(0, 4, note_task, NULL);
}

int
main(void)
{
  const struct CMUnitTest tests[] = {
    cmocka_unit_test(each_task_is_done_once),
    cmocka_unit_test(no_tasks_are_no_work),
  };
  return cmocka_run_group_tests(tests, NULL, NULL);
}
