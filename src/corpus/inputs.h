// Copyright 2026 the rowcall developers
// SPDX-License-Identifier: MIT

// The files that a list of files and folders stands for.

#ifndef ROWCALL_SRC_CORPUS_INPUTS_H
#define ROWCALL_SRC_CORPUS_INPUTS_H

#include <glib.h>

typedef struct {
  char *path;
  GError *error; // why the path stands for no file: a folder that cannot be read or holds no tunes
} RcInput;

/// Returns a new array of RcInput *, in the order of @p paths, folders in the order of their entries' names.
GPtrArray *rc_inputs_find(const char *const *paths);

#endif
