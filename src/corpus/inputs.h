// Copyright 2026 the rowcall developers
// SPDX-License-Identifier: MIT

// The files that a list of files and folders names.

#ifndef ROWCALL_SRC_CORPUS_INPUTS_H
#define ROWCALL_SRC_CORPUS_INPUTS_H

#include "rowcall/corpus.h"

typedef struct {
  char *path;
  GError *error; // why the path names no file: a folder that cannot be read or holds no tunes
} RcInput;

/// Returns a new array of RcInput *, in the order of @p paths, folders in the order of their entries' names.
GPtrArray *rc_inputs_find(const char *const *paths);

#endif
