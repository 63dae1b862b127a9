// Copyright 2026 the rowcall developers
// SPDX-License-Identifier: MIT

// What a reader reads from: a piece of a text. A text is a file or a member of an archive. It is cut before tunes, so
// that its pieces can be read at once by readers of their own (see cutter.h); one that cannot be cut is one piece.

#ifndef ROWCALL_SRC_CORPUS_PIECE_H
#define ROWCALL_SRC_CORPUS_PIECE_H

#include "rowcall/corpus.h"
#include "corpus/source.h"

/// A text, which its pieces share.
typedef struct {
  gint references;
  char *name; ///< for places: `club.abc`, `club.zip!waltzes.abc`
  char *note; ///< what there is to say of how it was found, or NULL
  const RcFormat *format;
  gpointer shared; ///< what its format's `share` found at its beginning, or NULL; what changes in it is under `lock`
  GMutex lock;     ///< over what follows
  GCond changed;
  GQueue open;    ///< numbers of the pieces that are cut and not yet read to their end, in order
  gboolean found; ///< one that is held a tune or a problem
} RcText;

/// Starts the text that is open in @p source. Free with rc_text_unref().
RcText *rc_text_new(const RcSource *source, const RcFormat *format);

RcText *rc_text_ref(RcText *text);

void rc_text_unref(RcText *text);

/// A piece. All zero is none; what one took is used again for the next.
typedef struct {
  RcText *text;     ///< held
  guint number;     ///< from 0
  guint first_line; ///< number of its first line, from 1
  guint end_line;   ///< of the line with which the next piece begins; G_MAXUINT in the last
  char *bytes;      ///< its own, and some of the next piece's for those who look ahead
  gsize room;       ///< for them
  gsize length;     ///< of all of them
  gsize own;        ///< how many are its own
  gsize at;         ///< the next one to give out
  RcSource *rest;   ///< borrowed: the piece goes on with what this has to give; NULL: it does not
  gsize streamed;   ///< bytes given out of it
  char *failure;    ///< why reading the text failed after the last byte, or NULL
  gboolean ended;   ///< all was given out
} RcPiece;

/// Returns whether the text has no piece after this one.
gboolean rc_piece_is_last(const RcPiece *piece);

/// Takes all bytes that it holds, before any was read, and returns how many: @p bytes becomes their place and @p room
/// what there is of it, at least @p least; the piece takes what these were, NULL and 0 or from g_malloc(). The rest of
/// a piece that streams is read.
gsize rc_piece_take(RcPiece *piece, char **bytes, gsize *room, gsize least);

/// Gives out up to @p size bytes, after its own the first of those of the next piece; 0 at the end and after a failure.
gsize rc_piece_read(RcPiece *piece, char *bytes, gsize size);

/// Returns why reading failed, once all bytes before that are given out, or NULL.
const char *rc_piece_failure(const RcPiece *piece);

/// Returns how many bytes of its own were read from the source so far.
gsize rc_piece_bytes(const RcPiece *piece);

/// Waits, with the text's lock held, until all pieces before this one are read, or something else has changed; returns
/// whether they are read. They are in other threads' hands.
gboolean rc_piece_wait(const RcPiece *piece);

/// Says that the piece is read to its end, or needed no more, and whether it held a tune or a problem; it is none then.
void rc_piece_end(RcPiece *piece, gboolean found);

/// Frees what the piece holds.
void rc_piece_clear(RcPiece *piece);

#endif
