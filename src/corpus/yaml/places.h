// Copyright 2026 the rowcall developers
// SPDX-License-Identifier: MIT

// Places within a text of a YAML document. One on a single line is counted through; one over several lines
// is folded, but its letters keep their order and are followed through the input.

#ifndef ROWCALL_SRC_CORPUS_YAML_PLACES_H
#define ROWCALL_SRC_CORPUS_YAML_PLACES_H

#include "rowcall/error.h"
#include "corpus/stream.h"

/// How a text is written.
typedef struct {
  gsize length;     // of the text, in bytes
  RcPlace start;    // of its first character, the quote if there is one
  guint end_line;   // after its last, from 1
  guint end_column; // from 1, in characters
  char quote;       // the quote it is written with, or 0
  gboolean block;   // written with | or >
} RcWritten;

/// A place that moves through a text.
typedef struct {
  const char *text;         // borrowed
  const RcWritten *written; // borrowed
  gboolean straight;        // on one line, a byte a character: nothing need be followed
  gsize offset;
  guint line;
  guint column;
  const char *raw; // NULL: the text is on one line, or its line is forgotten
  const char *raw_end;
} RcCursor;

/// Begins at the start of @p text. @p stream, from which it came, must not be read while the cursor is in use.
RcCursor rc_cursor_start(const char *text, const RcWritten *written, RcStream *stream);

/// Moves to the byte at @p offset of the text, not before one asked for earlier, and returns its place.
RcPlace rc_cursor_follow(RcCursor *cursor, gsize offset);

/// The same, without a call where nothing need be followed.
static inline RcPlace
rc_cursor_place(RcCursor *cursor, gsize offset)
{
  return cursor->straight ? (RcPlace){ cursor->written->start.file, cursor->line, cursor->column + (guint)offset }
                          : rc_cursor_follow(cursor, offset);
}

#endif
