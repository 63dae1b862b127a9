// Copyright 2026 the rowcall developers
// SPDX-License-Identifier: MIT

// Files to write and read in a test, in a folder of their own. Define N_FILES first.

#ifndef ROWCALL_TESTS_SCRATCH_FILES_H
#define ROWCALL_TESTS_SCRATCH_FILES_H

#include <glib.h>
#include <glib/gstdio.h>

static char *folder = NULL;
static char *files[N_FILES + 1]; // their paths

static inline int
make_scratch_files(void **state)
{
  (void)state;
  folder = g_dir_make_tmp("rowcall-XXXXXX", NULL);
  for (guint i = 0; folder && i < N_FILES; ++i) {
    files[i] = g_strdup_printf("%s/%03u.yaml", folder, i);
  }
  return folder ? 0 : -1;
}

static inline int
remove_scratch_files(void **state)
{
  (void)state;
  for (guint i = 0; i < N_FILES; ++i) {
    g_remove(files[i]);
    g_free(files[i]);
  }
  g_rmdir(folder);
  g_free(folder);
  return 0;
}

#endif
