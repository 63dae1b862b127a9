// Copyright 2026 the rowcall developers
// SPDX-License-Identifier: MIT

// Reading file after file, piece after piece, tune after tune.

#include "rowcall/corpus.h"

#include "corpus/cutter.h"
#include "corpus/inputs.h"
#include "corpus/reader.h"

struct RcCorpus {
  RcCorpusOptions options;
  GPtrArray *inputs; // of RcInput *
  guint next;        // index of the next one
  RcCutter *cutter;  // of the one that is open, or NULL
  RcPiece piece;
  RcReader reader;
  guint files;    // texts opened so far
  guint64 before; // bytes of the pieces before
};

RcCorpus *
rc_corpus_new(const char *const *paths, RcCorpusOptions options)
{
  RcCorpus *corpus = g_new0(RcCorpus, 1);
  corpus->options = options;
  corpus->reader.options = options;
  corpus->inputs = rc_inputs_find(paths);
  return corpus;
}

void
rc_corpus_free(RcCorpus *corpus)
{
  if (corpus) {
    rc_reader_clear(&corpus->reader);
    rc_piece_clear(&corpus->piece);
    rc_cutter_free(corpus->cutter);
    g_ptr_array_unref(corpus->inputs);
    g_free(corpus);
  }
}

guint
rc_corpus_files(const RcCorpus *corpus)
{
  return corpus->files;
}

guint64
rc_corpus_bytes(const RcCorpus *corpus)
{
  return corpus->before + (corpus->reader.piece ? rc_piece_bytes(&corpus->piece) : 0);
}

char **
rc_corpus_expand(const char *const *paths, GPtrArray *problems)
{
  GPtrArray *inputs = rc_inputs_find(paths);
  GPtrArray *expanded = g_ptr_array_new();
  for (guint i = 0; i < inputs->len; ++i) {
    const RcInput *input = g_ptr_array_index(inputs, i);
    if (input->error) {
      g_ptr_array_add(problems, g_error_copy(input->error));
    } else {
      g_ptr_array_add(expanded, g_strdup(input->path));
    }
  }
  g_ptr_array_add(expanded, NULL);
  g_ptr_array_unref(inputs);
  return (char **)g_ptr_array_free(expanded, FALSE);
}

// Goes on to the next input; FALSE where that names no file.
static gboolean
open_next(RcCorpus *corpus, GError **error)
{
  const RcInput *input = g_ptr_array_index(corpus->inputs, corpus->next++);
  if (input->error) {
    g_propagate_error(error, g_error_copy(input->error));
    return FALSE;
  }
  corpus->cutter = rc_cutter_new(input->path, corpus->options);
  return TRUE;
}

// Goes on to the next piece; FALSE with `error` set for a problem, or without at the very end.
static gboolean
next_piece(RcCorpus *corpus, GError **error)
{
  for (;;) {
    if (!corpus->cutter && (corpus->next == corpus->inputs->len || !open_next(corpus, error))) {
      return FALSE;
    }
    const RcCut cut = rc_cutter_next(corpus->cutter, &corpus->piece, error);
    if (cut == RC_CUT_PIECE) {
      corpus->files += corpus->piece.number == 0;
      rc_reader_start(&corpus->reader, &corpus->piece);
      return TRUE;
    }
    if (cut == RC_CUT_PROBLEM) {
      return FALSE;
    }
    g_clear_pointer(&corpus->cutter, rc_cutter_free);
  }
}

RcReadResult
rc_corpus_next(RcCorpus *corpus, RcTune *tune, GError **error)
{
  GError *problem = NULL;
  while (corpus->reader.piece || next_piece(corpus, &problem)) {
    const RcReadResult result = rc_reader_next(&corpus->reader, tune, error);
    if (result != RC_READ_END) {
      return result;
    }
    corpus->before += rc_piece_bytes(&corpus->piece);
    rc_tune_clear(tune); // it holds the name of its text, which may be gone
  }
  if (problem) {
    g_propagate_error(error, problem);
  }
  return problem ? RC_READ_PROBLEM : RC_READ_END;
}
