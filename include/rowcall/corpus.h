// Copyright 2026 the rowcall developers
// SPDX-License-Identifier: MIT

/// @file corpus.h
/// Repertoires: any mix of files, folders and standard input, read one tune at a time. Nothing here prints: each step
/// gives a tune or a problem with its place.

#ifndef ROWCALL_CORPUS_H
#define ROWCALL_CORPUS_H

#include "rowcall/error.h"
#include "rowcall/music.h"

G_BEGIN_DECLS

/// The limits of an input; more of either is a problem of #RC_ERROR_LIMIT.
enum {
  RC_MAX_TUNE_BYTES = 16 << 20, ///< text of one tune
  RC_MAX_FOLDER_DEPTH = 32      ///< folders within folders
};

/// How a repertoire is read. All zero is the default.
typedef struct {
  RcNames names; ///< how notes are named where a tune does not say
} RcCorpusOptions;

/// What one step gave.
typedef enum {
  RC_READ_END,    ///< nothing is left
  RC_READ_TUNE,   ///< a tune
  RC_READ_PROBLEM ///< something that is no tune and was left out; reading goes on with the next
} RcReadResult;

/// A repertoire being read.
typedef struct RcCorpus RcCorpus;

/// Starts reading @p paths (NULL-terminated, copied): files, folders and `-` for standard input, in this order; folders
/// in the order of their entries' names, taking the files that end in `.yaml` or `.yml`. Nothing is opened yet. Free
/// with rc_corpus_free().
RcCorpus *rc_corpus_new(const char *const *paths, RcCorpusOptions options);

/// Frees @p corpus; NULL is allowed. Tunes read from it must not be used afterwards.
void rc_corpus_free(RcCorpus *corpus);

/// Reads the next tune into @p tune, which is emptied first. On #RC_READ_PROBLEM sets @p error, whose message names the
/// place and, where it is known, the tune that was left out. Memory does not grow with the number of tunes.
RcReadResult rc_corpus_next(RcCorpus *corpus, RcTune *tune, GError **error);

/// Returns the number of files opened so far, standard input included.
guint rc_corpus_files(const RcCorpus *corpus);

G_END_DECLS

#endif
