// Copyright 2026 the rowcall developers
// SPDX-License-Identifier: MIT

// A file, or what an archive holds, cut into pieces one after another. Cutting takes far less time than reading, so one
// thread after another cuts the next piece and then reads it while others go on cutting. Where pieces begin and end
// depends on the texts alone, never on who reads what when.

#ifndef ROWCALL_SRC_CORPUS_CUTTER_H
#define ROWCALL_SRC_CORPUS_CUTTER_H

#include "corpus/piece.h"

typedef struct RcCutter RcCutter;

/// Starts with the file @p path, `-` being standard input; nothing is opened yet. @p path must outlive it. Free with
/// rc_cutter_free().
RcCutter *rc_cutter_new(const char *path, RcCorpusOptions options);

/// Frees @p cutter; NULL is allowed. Pieces live on, but for one that streams.
void rc_cutter_free(RcCutter *cutter);

typedef enum {
  RC_CUT_END,    ///< nothing is left
  RC_CUT_PIECE,  ///< a piece
  RC_CUT_PROBLEM ///< something that cannot be read or was passed over; others may follow
} RcCut;

/// Makes @p piece, which must be none, the next one. While that streams, which is where its `rest` is set, the cutter
/// must not be used.
RcCut rc_cutter_next(RcCutter *cutter, RcPiece *piece, GError **error);

/// Returns whether it is known that nothing is left.
gboolean rc_cutter_is_done(const RcCutter *cutter);

#endif
