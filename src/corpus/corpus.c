// Copyright 2026 the rowcall developers
// SPDX-License-Identifier: MIT

#include "rowcall/corpus.h"

#include "reader.h"

#include <string.h>

typedef struct {
  char *path;
  guint depth; // folders above it that were walked
} Entry;

struct RcCorpus {
  RcCorpusOptions options;
  GArray *waiting;  // of Entry: what is still to be read, next one last
  GPtrArray *paths; // of char *: files opened, which tunes point to
  RcYamlReader *reader;
  gboolean found; // the open input held a tune or a problem
};

static void
push(RcCorpus *corpus, char *path, guint depth)
{
  const Entry entry = { path, depth };
  g_array_append_val(corpus->waiting, entry);
}

RcCorpus *
rc_corpus_new(const char *const *paths, RcCorpusOptions options)
{
  RcCorpus *corpus = g_new0(RcCorpus, 1);
  corpus->options = options;
  corpus->waiting = g_array_new(FALSE, FALSE, sizeof(Entry));
  corpus->paths = g_ptr_array_new_with_free_func(g_free);
  for (guint i = g_strv_length((char **)paths); i-- > 0;) {
    push(corpus, g_strdup(paths[i]), 0);
  }
  return corpus;
}

void
rc_corpus_free(RcCorpus *corpus)
{
  if (corpus) {
    rc_yaml_reader_free(corpus->reader);
    for (guint i = 0; i < corpus->waiting->len; ++i) {
      g_free(g_array_index(corpus->waiting, Entry, i).path);
    }
    g_array_unref(corpus->waiting);
    g_ptr_array_unref(corpus->paths);
    g_free(corpus);
  }
}

guint
rc_corpus_files(const RcCorpus *corpus)
{
  return corpus->paths->len;
}

// -------------------------------------------------------------------------------------------------------- folders

static int
compare_paths(gconstpointer a, gconstpointer b)
{
  const char *const *left = a;
  const char *const *right = b;
  return strcmp(*left, *right);
}

static gboolean
is_of_interest(const char *path)
{
  if (g_file_test(path, G_FILE_TEST_IS_DIR)) {
    return !g_file_test(path, G_FILE_TEST_IS_SYMLINK); // a link may lead round in a circle
  }
  return g_str_has_suffix(path, ".yaml") || g_str_has_suffix(path, ".yml");
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
  GPtrArray *entries = g_ptr_array_new();
  for (const char *name; (name = g_dir_read_name(folder));) {
    char *entry = g_build_filename(path, name, NULL);
    if (*name != '.' && is_of_interest(entry)) {
      g_ptr_array_add(entries, entry);
    } else {
      g_free(entry);
    }
  }
  g_dir_close(folder);
  g_ptr_array_sort(entries, compare_paths);
  return entries;
}

static gboolean
push_folder(RcCorpus *corpus, const char *path, guint depth, GError **error)
{
  const RcPlace place = { path, 0, 0 };
  if (depth == RC_MAX_FOLDER_DEPTH) {
    return rc_fail(error, RC_ERROR_LIMIT, place, "folders lie deeper than %d in one another", RC_MAX_FOLDER_DEPTH);
  }
  GPtrArray *entries = list_folder(path, error);
  if (!entries) {
    return FALSE;
  }
  for (guint i = entries->len; i-- > 0;) {
    push(corpus, g_ptr_array_index(entries, i), depth + 1);
  }
  const gboolean empty = !entries->len && !depth;
  g_ptr_array_unref(entries);
  return !empty || rc_fail(error, RC_ERROR_IO, place, "the folder holds no tunes: no file ends in .yaml or .yml");
}

// ---------------------------------------------------------------------------------------------------------- files

static gboolean
open_file(RcCorpus *corpus, char *path, GError **error)
{
  corpus->reader = rc_yaml_reader_open(path, corpus->options, error);
  if (corpus->reader) {
    g_ptr_array_add(corpus->paths, path);
  } else {
    g_free(path);
  }
  corpus->found = FALSE;
  return corpus->reader != NULL;
}

static gboolean
open_next(RcCorpus *corpus, GError **error)
{
  const Entry entry = g_array_index(corpus->waiting, Entry, corpus->waiting->len - 1);
  g_array_set_size(corpus->waiting, corpus->waiting->len - 1);
  if (!g_file_test(entry.path, G_FILE_TEST_IS_DIR)) {
    return open_file(corpus, entry.path, error);
  }
  const gboolean good = push_folder(corpus, entry.path, entry.depth, error);
  g_free(entry.path);
  return good;
}

// Ends the open input; one that held nothing is a problem.
static gboolean
close_file(RcCorpus *corpus, GError **error)
{
  const char *path = g_ptr_array_index(corpus->paths, corpus->paths->len - 1);
  g_clear_pointer(&corpus->reader, rc_yaml_reader_free);
  return corpus->found || rc_fail(error, RC_ERROR_SYNTAX, (RcPlace){ path, 0, 0 },
                                  "holds no tunes; a tune begins with a line `title: ...`");
}

RcReadResult
rc_corpus_next(RcCorpus *corpus, RcTune *tune, GError **error)
{
  for (;;) {
    if (corpus->reader) {
      const RcReadResult result = rc_yaml_reader_next(corpus->reader, tune, error);
      if (result != RC_READ_END) {
        corpus->found = TRUE;
        return result;
      }
      if (!close_file(corpus, error)) {
        return RC_READ_PROBLEM;
      }
    }
    if (!corpus->waiting->len) {
      return RC_READ_END;
    }
    if (!open_next(corpus, error)) {
      return RC_READ_PROBLEM;
    }
  }
}
