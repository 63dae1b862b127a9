// Copyright 2026 the rowcall developers
// SPDX-License-Identifier: MIT

// Reading pieces, and what the readers of all formats share.

#ifndef ROWCALL_SRC_CORPUS_READER_H
#define ROWCALL_SRC_CORPUS_READER_H

#include "rowcall/corpus.h"
#include "corpus/piece.h"

/// Reads piece after piece, of any texts and formats. All zero but for the options is one that has begun none.
typedef struct {
  RcCorpusOptions options;
  const RcFormat *format; ///< of the reader; NULL: there is none
  gpointer reader;
  RcPiece *piece; ///< borrowed; NULL: none is being read
  gboolean found; ///< a tune or a problem in it
} RcReader;

/// Begins with @p piece, which is ended by rc_reader_next() or rc_piece_end().
void rc_reader_start(RcReader *reader, RcPiece *piece);

/// As rc_corpus_next(), for the piece. At its end it is ended, and is none. Where it is the last of a text that holds
/// no tunes, that is a problem before.
RcReadResult rc_reader_next(RcReader *reader, RcTune *tune, GError **error);

/// Frees what @p reader holds.
void rc_reader_clear(RcReader *reader);

/// Adds to the message of @p error which tune is left out for it; @p title may be NULL or empty.
void rc_reader_left_out(GError **error, const char *title);

/// Returns what comes after the last tune: the end, or, once, why reading failed, reported for @p place. @p told is
/// whether that was said.
RcReadResult rc_reader_end(const RcPiece *piece, RcPlace place, gboolean *told, GError **error);

#endif
