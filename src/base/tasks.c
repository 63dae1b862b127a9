// Copyright 2026 the rowcall developers
// SPDX-License-Identifier: MIT

#include "base/tasks.h"

typedef struct {
  RcTaskFunc task;
  gpointer data;
  guint n;
  guint next; // the first that nobody has begun
} Tasks;

static gpointer
work(gpointer data)
{
  Tasks *tasks = data;
  for (guint i; (i = (guint)g_atomic_int_add((gint *)&tasks->next, 1)) < tasks->n;) {
    tasks->task(i, tasks->data);
  }
  return NULL;
}

void
rc_tasks_do(guint n, guint threads, RcTaskFunc task, gpointer data)
{
  Tasks tasks = { task, data, n, 0 };
  GPtrArray *others = g_ptr_array_new();
  const guint most = MIN(n, threads ? threads : g_get_num_processors());
  for (guint i = 1; i < most; ++i) {
    GThread *thread = g_thread_try_new("task", work, &tasks, NULL);
    if (thread) {
      g_ptr_array_add(others, thread);
    }
  }
  work(&tasks);
  for (guint i = 0; i < others->len; ++i) {
    g_thread_join(g_ptr_array_index(others, i));
  }
  g_ptr_array_unref(others);
}
