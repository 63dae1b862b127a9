// Copyright 2026 the rowcall developers
// SPDX-License-Identifier: MIT

// Things to do that need nothing of each other.

#ifndef ROWCALL_SRC_BASE_TASKS_H
#define ROWCALL_SRC_BASE_TASKS_H

#include <glib.h>

/// Does the task of this number.
typedef void (*RcTaskFunc)(guint number, gpointer data);

/// Does the tasks 0 to @p n - 1, several at once, and returns when all are done: on at most @p threads threads, this
/// one among them; 0 is one for each processor. Where no other can be had this one does them all.
void rc_tasks_do(guint n, guint threads, RcTaskFunc task, gpointer data);

#endif
