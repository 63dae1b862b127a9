// Copyright 2026 the rowcall developers
// SPDX-License-Identifier: MIT

#include "rowcall/corpus.h"

#include "inputs.h"
#include "reader.h"

struct RcCorpus {
  RcCorpusOptions options;
  GPtrArray *inputs; // of RcInput *; tunes point to their paths
  guint next;        // index of the next one
  guint files;       // opened so far
  RcYamlReader *reader;
  gboolean found; // the open input held a tune or a problem
};

RcCorpus *
rc_corpus_new(const char *const *paths, RcCorpusOptions options)
{
  RcCorpus *corpus = g_new0(RcCorpus, 1);
  corpus->options = options;
  corpus->inputs = rc_inputs_find(paths);
  return corpus;
}

void
rc_corpus_free(RcCorpus *corpus)
{
  if (corpus) {
    rc_yaml_reader_free(corpus->reader);
    g_ptr_array_unref(corpus->inputs);
    g_free(corpus);
  }
}

guint
rc_corpus_files(const RcCorpus *corpus)
{
  return corpus->files;
}

static const RcInput *
input_at(const RcCorpus *corpus, guint index)
{
  return g_ptr_array_index(corpus->inputs, index);
}

static gboolean
open_next(RcCorpus *corpus, GError **error)
{
  const RcInput *input = input_at(corpus, corpus->next++);
  if (input->error) {
    g_propagate_error(error, g_error_copy(input->error));
    return FALSE;
  }
  corpus->reader = rc_yaml_reader_open(input->path, corpus->options, error);
  corpus->files += corpus->reader ? 1 : 0;
  corpus->found = FALSE;
  return corpus->reader != NULL;
}

// Ends the open input; one that held nothing is a problem.
static gboolean
close_file(RcCorpus *corpus, GError **error)
{
  const RcPlace place = { input_at(corpus, corpus->next - 1)->path, 0, 0 };
  g_clear_pointer(&corpus->reader, rc_yaml_reader_free);
  return corpus->found ||
         rc_fail(error, RC_ERROR_SYNTAX, place, "holds no tunes; a tune begins with a line `title: ...`");
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
    if (corpus->next == corpus->inputs->len) {
      return RC_READ_END;
    }
    if (!open_next(corpus, error)) {
      return RC_READ_PROBLEM;
    }
  }
}
