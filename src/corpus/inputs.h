// Copyright 2026 the rowcall developers
// SPDX-License-Identifier: MIT

// The files that a list of files and folders stands for.

#ifndef ROWCALL_SRC_CORPUS_INPUTS_H
#define ROWCALL_SRC_CORPUS_INPUTS_H

#include "rowcall/corpus.h"

typedef struct {
  char *path;
  GError *error; // why the path stands for no file: a folder that cannot be read or holds no tunes
} RcInput;

/// Returns the format that the ending of @p name tells, #RC_FILE_ANY where it tells none.
RcFileKind rc_file_kind(const char *name);

/// Returns whether it tells one.
gboolean rc_file_is_tunes(const char *name);

/// Returns whether the ending of @p name tells compressed MusicXML.
gboolean rc_file_is_container(const char *name);

/// Returns a new array of RcInput *, in the order of @p paths, folders in the order of their entries' names.
GPtrArray *rc_inputs_find(const char *const *paths);

#endif
