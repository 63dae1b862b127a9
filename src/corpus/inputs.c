// Copyright 2026 the rowcall developers
// SPDX-License-Identifier: MIT

#include "corpus/inputs.h"

#include "corpus/format.h"
#include "rowcall/corpus.h"

#include <glib/gstdio.h>
#include <stdio.h>
#include <string.h>

static void
free_input(gpointer data)
{
  RcInput *input = data;
  g_free(input->path);
  g_clear_error(&input->error);
  g_free(input);
}

static void
add_input(GPtrArray *inputs, const char *path, GError *error)
{
  RcInput *input = g_new(RcInput, 1);
  *input = (RcInput){ g_strdup(path), error };
  g_ptr_array_add(inputs, input);
}

static const char *const archive_endings[] = { ".zip", ".tar", ".gz", ".tgz", ".bz2", ".xz", ".zst" };

gboolean
rc_name_is_archive(const char *path)
{
  for (guint i = 0; i < G_N_ELEMENTS(archive_endings); ++i) {
    if (rc_name_ends_in(path, archive_endings[i])) {
      return TRUE;
    }
  }
  return FALSE;
}

gboolean
rc_name_is_of_system(const char *name)
{
  return *name == '.' || !strcmp(name, "__MACOSX");
}

// Whether a text whose name tells nothing is music.
static gboolean
is_music(const char *path)
{
  enum { HEAD = 4096 };
  char head[HEAD];
  FILE *file = g_fopen(path, "rb");
  const gsize length = file ? fread(head, 1, sizeof head, file) : 0;
  if (file) {
    fclose(file);
  }
  return !file || rc_format_recognize(head, length); // one that cannot be opened is reported
}

static gboolean
is_tunes(const char *path)
{
  const RcFormat *format = rc_format_by_ending(path);
  return format && (!format->any_text || is_music(path));
}

// Of what is in a folder. A pipe there would be waited for without end.
static gboolean
is_of_interest(const char *path)
{
  GStatBuf file;
  const gboolean known = !g_stat(path, &file);
  if (known && S_ISDIR(file.st_mode)) {
    return !g_file_test(path, G_FILE_TEST_IS_SYMLINK); // a link may lead round in a circle
  }
  return (!known || S_ISREG(file.st_mode)) && (is_tunes(path) || rc_name_is_archive(path));
}

static int
compare_paths(gconstpointer a, gconstpointer b)
{
  const char *const *left = a;
  const char *const *right = b;
  return strcmp(*left, *right);
}

static GPtrArray *
list_folder(const char *path, GError **error)
{
  GError *cause = NULL;
  GDir *folder = g_dir_open(path, 0, &cause);
  if (!folder) {
    rc_fail(error, RC_ERROR_IO, (RcPlace){ path, 0, 0 }, "the folder cannot be read: %s", cause->message);
    g_error_free(cause);
    return NULL;
  }
  GPtrArray *entries = g_ptr_array_new_with_free_func(g_free);
  for (const char *name; (name = g_dir_read_name(folder));) {
    char *entry = g_build_filename(path, name, NULL);
    if (!rc_name_is_of_system(name) && is_of_interest(entry)) {
      g_ptr_array_add(entries, entry);
    } else {
      g_free(entry);
    }
  }
  g_dir_close(folder);
  g_ptr_array_sort(entries, compare_paths);
  return entries;
}

static void
add_folder(GPtrArray *inputs, const char *path, guint depth)
{
  GError *error = NULL;
  GPtrArray *entries = NULL;
  if (depth == RC_MAX_FOLDER_DEPTH) {
    rc_fail(&error, RC_ERROR_LIMIT, (RcPlace){ path, 0, 0 }, "folders are nested more than %d deep",
            RC_MAX_FOLDER_DEPTH);
  } else {
    entries = list_folder(path, &error);
  }
  if (!entries) {
    add_input(inputs, path, error);
    return;
  }
  for (guint i = 0; i < entries->len; ++i) {
    const char *entry = g_ptr_array_index(entries, i);
    if (g_file_test(entry, G_FILE_TEST_IS_DIR)) {
      add_folder(inputs, entry, depth + 1);
    } else {
      add_input(inputs, entry, NULL);
    }
  }
  g_ptr_array_unref(entries);
}

// What is the same for all names of a file; NULL where it cannot be looked at. A new string.
static char *
identity_of(const char *path)
{
  GStatBuf file;
  return g_stat(path, &file)
           ? NULL
           : g_strdup_printf("%" G_GUINT64_FORMAT ":%" G_GUINT64_FORMAT, (guint64)file.st_dev, (guint64)file.st_ino);
}

// Leaves of a file that is given several times the first.
static void
pass_over_repeated(GPtrArray *inputs)
{
  GHashTable *known = g_hash_table_new_full(g_str_hash, g_str_equal, g_free, NULL); // identities, of paths
  for (guint i = 0; i < inputs->len; ++i) {
    RcInput *input = g_ptr_array_index(inputs, i);
    char *identity = input->error ? NULL : identity_of(input->path);
    const char *before = identity ? g_hash_table_lookup(known, identity) : NULL;
    if (before) {
      const gboolean alike = !strcmp(before, input->path);
      rc_fail(&input->error, RC_ERROR_PASSED, (RcPlace){ input->path, 0, 0 },
              "passed over: the file is given twice%s%s%s", alike ? "" : ", as ", alike ? "" : before,
              "; it counts once");
      g_free(identity);
    } else if (identity) {
      g_hash_table_insert(known, identity, input->path);
    }
  }
  g_hash_table_unref(known);
}

GPtrArray *
rc_inputs_find(const char *const *paths)
{
  GPtrArray *inputs = g_ptr_array_new_with_free_func(free_input);
  for (; *paths; ++paths) {
    const guint before = inputs->len;
    if (!g_file_test(*paths, G_FILE_TEST_IS_DIR)) {
      add_input(inputs, *paths, NULL);
      continue;
    }
    add_folder(inputs, *paths, 0);
    if (inputs->len == before) {
      GError *error = NULL;
      rc_fail(&error, RC_ERROR_IO, (RcPlace){ *paths, 0, 0 },
              "the folder holds no tunes: no file's name ends in %s, or as that of an archive", rc_format_endings());
      add_input(inputs, *paths, error);
    }
  }
  pass_over_repeated(inputs);
  return inputs;
}
