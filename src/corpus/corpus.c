// Copyright 2026 the rowcall developers
// SPDX-License-Identifier: MIT

#include "rowcall/corpus.h"

#include "corpus/format.h"
#include "corpus/inputs.h"

struct RcCorpus {
  RcCorpusOptions options;
  GPtrArray *inputs;      // of RcInput *
  guint next;             // index of the next one
  GPtrArray *sources;     // of RcSource *: the open one last; tunes point to their names
  gboolean open;          // the last source has more to give
  const RcFormat *format; // of the open text; NULL: none is open
  gpointer reader;        // of it
  guint files;            // texts opened so far
  gboolean found;         // the open text held a tune or a problem
  guint64 bytes;          // of the sources before
};

RcCorpus *
rc_corpus_new(const char *const *paths, RcCorpusOptions options)
{
  RcCorpus *corpus = g_new0(RcCorpus, 1);
  corpus->options = options;
  corpus->inputs = rc_inputs_find(paths);
  corpus->sources = g_ptr_array_new_with_free_func((GDestroyNotify)rc_source_free);
  return corpus;
}

static void
close_text(RcCorpus *corpus)
{
  if (corpus->format) {
    corpus->format->free(corpus->reader);
  }
  corpus->format = NULL;
  corpus->reader = NULL;
}

void
rc_corpus_free(RcCorpus *corpus)
{
  if (corpus) {
    close_text(corpus);
    g_ptr_array_unref(corpus->sources);
    g_ptr_array_unref(corpus->inputs);
    g_free(corpus);
  }
}

guint
rc_corpus_files(const RcCorpus *corpus)
{
  return corpus->files;
}

static RcSource *
open_source(const RcCorpus *corpus)
{
  return corpus->open ? g_ptr_array_index(corpus->sources, corpus->sources->len - 1) : NULL;
}

guint64
rc_corpus_bytes(const RcCorpus *corpus)
{
  return corpus->bytes + (corpus->open ? rc_source_bytes(open_source(corpus)) : 0);
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

// ---------------------------------------------------------------------------------------------------------- a text

static const RcFormat *
find_format(const RcCorpus *corpus, RcSource *source)
{
  const RcFormat *named = rc_format_by_ending(rc_source_format_name(source));
  if ((named && !named->any_text) || corpus->options.from) {
    return named && !named->any_text ? named : corpus->options.from;
  }
  gsize length = 0;
  const char *head = rc_source_head(source, &length);
  return rc_format_by_text(head, length);
}

// Opens the text, unless it is plainly no music.
static gboolean
open_text(RcCorpus *corpus, RcSource *source, GError **error)
{
  gsize length = 0;
  const RcFormat *format = find_format(corpus, source);
  const char *head = format->foreign ? rc_source_head(source, &length) : NULL;
  const char *why = head ? format->foreign(head, length) : NULL;
  if (why) {
    rc_fail(error, RC_ERROR_PASSED, (RcPlace){ rc_source_name(source), 0, 0 }, "passed over: %s", why);
    return FALSE;
  }
  corpus->format = format;
  corpus->reader = corpus->format->start(source, corpus->options);
  corpus->found = FALSE;
  ++corpus->files;
  return TRUE;
}

// Ends the open text; one that held nothing is a problem.
static gboolean
end_text(RcCorpus *corpus, GError **error)
{
  const RcPlace place = { rc_source_name(open_source(corpus)), 0, 0 };
  const char *begins = corpus->format->tune_begins;
  close_text(corpus);
  return corpus->found ||
         rc_fail(error, RC_ERROR_SYNTAX, place, "holds no tunes; a tune begins with a line `%s`", begins);
}

// ------------------------------------------------------------------------------------------------------- the sources

static gboolean
open_next(RcCorpus *corpus, GError **error)
{
  const RcInput *input = g_ptr_array_index(corpus->inputs, corpus->next++);
  if (input->error) {
    g_propagate_error(error, g_error_copy(input->error));
    return FALSE;
  }
  RcSource *source = rc_source_open(input->path, error);
  if (source) {
    g_ptr_array_add(corpus->sources, source);
    corpus->open = TRUE;
  }
  return source != NULL;
}

static gboolean
end_source(RcCorpus *corpus, gboolean failed, GError **error)
{
  RcSource *source = open_source(corpus);
  const gboolean empty = !failed && rc_source_texts(source) == 0;
  corpus->bytes += rc_source_bytes(source);
  corpus->open = FALSE;
  rc_source_close(source);
  if (empty) {
    rc_fail(error, RC_ERROR_SYNTAX, (RcPlace){ rc_source_path(source), 0, 0 },
            "holds no tunes: no member's name ends in %s", rc_format_endings());
  }
  return !failed && !empty;
}

// Whether a member of an archive is a text that is no music, though its name might be that of a song.
static gboolean
is_prose(RcSource *source)
{
  const RcFormat *named = rc_format_by_ending(rc_source_format_name(source));
  if (!rc_source_is_member(source) || !named || !named->any_text) {
    return FALSE;
  }
  gsize length = 0;
  const char *head = rc_source_head(source, &length);
  return !rc_format_recognize(head, length);
}

static gboolean
is_tunes(const char *name)
{
  return rc_format_by_ending(name) != NULL;
}

// Goes on to the next text; FALSE with `error` set for a problem, or without at the very end.
static gboolean
next_text(RcCorpus *corpus, GError **error)
{
  for (;;) {
    if (!corpus->open && corpus->next == corpus->inputs->len) {
      return FALSE;
    }
    if (!corpus->open && !open_next(corpus, error)) {
      return FALSE;
    }
    RcSource *source = open_source(corpus);
    const RcSourceStep step = rc_source_next(source, is_tunes, error);
    if (step == RC_SOURCE_PROBLEM) {
      return FALSE;
    }
    if (step == RC_SOURCE_TEXT && is_prose(source)) {
      continue;
    }
    if (step == RC_SOURCE_TEXT) {
      return open_text(corpus, source, error);
    }
    if (!end_source(corpus, step == RC_SOURCE_FAILED, error)) {
      return FALSE;
    }
  }
}

RcReadResult
rc_corpus_next(RcCorpus *corpus, RcTune *tune, GError **error)
{
  GError *problem = NULL;
  RcReadResult result = RC_READ_END;
  while (result == RC_READ_END) {
    if (!corpus->format && !next_text(corpus, &problem)) {
      break;
    }
    result = corpus->format->next(corpus->reader, tune, &problem);
    corpus->found |= result != RC_READ_END;
    if (result == RC_READ_END && !end_text(corpus, &problem)) {
      break;
    }
  }
  if (problem) {
    g_propagate_error(error, problem);
    return RC_READ_PROBLEM;
  }
  if (result == RC_READ_TUNE && rc_tune_setting(tune, 0)->tempo.source == RC_TEMPO_NONE) {
    rc_tune_find_dance(tune);
  }
  if (result == RC_READ_TUNE) {
    (corpus->options.leave_unkeyed ? rc_tune_leave_key : rc_tune_assume_key)(tune);
  }
  return result;
}
