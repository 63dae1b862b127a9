// Copyright 2026 the rowcall developers
// SPDX-License-Identifier: MIT

// A file to write and read in a test, in a folder of its own.

#ifndef ROWCALL_TESTS_SCRATCH_H
#define ROWCALL_TESTS_SCRATCH_H

#include <glib.h>
#include <glib/gstdio.h>

static char *folder = NULL;
static char *path = NULL; // of the file

static inline int
make_scratch(const char *name)
{
  folder = g_dir_make_tmp("rowcall-XXXXXX", NULL);
  path = folder ? g_build_filename(folder, name, NULL) : NULL;
  return folder ? 0 : -1;
}

static inline int
remove_scratch(void **state)
{
  (void)state;
  g_remove(path);
  g_rmdir(folder);
  g_free(path);
  g_free(folder);
  return 0;
}

#endif
