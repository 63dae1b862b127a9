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

/// Returns whether the ending of @p path is that of an archive or of a compressed file.
gboolean rc_name_is_archive(const char *path);

/// Returns whether @p name, of a file or a folder, is one that systems put beside files for themselves.
gboolean rc_name_is_of_system(const char *name);

/// Returns a new array of RcInput *, in the order of @p paths, folders in the order of their entries' names.
GPtrArray *rc_inputs_find(const char *const *paths);

#endif
