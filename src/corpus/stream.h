// Copyright 2026 the rowcall developers
// SPDX-License-Identifier: MIT

// A piece read once from start to end, of which the last stretch is remembered, so that a place in it can be found
// again and reading can go on after a broken tune, on standard input too.

#ifndef ROWCALL_SRC_CORPUS_STREAM_H
#define ROWCALL_SRC_CORPUS_STREAM_H

#include "corpus/piece.h"

typedef struct {
  RcPiece *piece;   // borrowed
  const char *name; // borrowed
  char *window;     // the last stretch read, all of a piece that does not stream
  gsize room;       // for it
  gsize length;     // bytes in the window
  gsize at;         // the next byte to give out
  guint line;       // line number, from 0, of the window's first byte
  guint64 offset;   // offset in the piece of the window's first byte
  guint found_line; // a line found before, at or after the window's first, and where it starts: the next is not far
  gsize found_at;
} RcStream;

/// Begins with @p piece; a stream that is open goes on with it, one that is all zero is opened.
void rc_stream_open(RcStream *stream, RcPiece *piece);

void rc_stream_close(RcStream *stream);

/// Gives out up to @p size bytes; 0 at the end and after a failure.
gsize rc_stream_read(RcStream *stream, char *buffer, gsize size);

/// Takes back the last @p n bytes given out.
void rc_stream_give_back(RcStream *stream, gsize n);

/// Returns the remembered text from the start of @p line (from 0) on and sets @p length, or NULL when it is forgotten.
const char *rc_stream_line(RcStream *stream, guint line, gsize *length);

/// Reads on until the line at which reading is, is remembered to its end. Nothing is given out.
void rc_stream_hold_line(RcStream *stream);

/// Moves to the next line that begins with "---", the current one included when it is @p line (from 0) or later, and
/// sets
/// @p line to its number. FALSE when there is none.
gboolean rc_stream_seek_document(RcStream *stream, guint *line);

#endif
