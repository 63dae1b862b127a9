// Copyright 2026 the rowcall developers
// SPDX-License-Identifier: MIT

// The lines of an ABC file as they come, held from the start of a tune on.

#ifndef ROWCALL_SRC_CORPUS_ABC_BUFFER_H
#define ROWCALL_SRC_CORPUS_ABC_BUFFER_H

#include "corpus/abc/text.h"
#include "corpus/piece.h"

typedef struct {
  RcPiece *piece; // borrowed
  char *text;
  gsize size;
  gsize length;     // bytes held
  gsize at;         // the next one to look at; those before may go when more is read
  guint line;       // of the next byte, from 1
  gboolean ended;   // there is no more to read
  gboolean cr_only; // lines end with a carriage return alone
} AbcBuffer;

/// Starts at the beginning of @p piece; a buffer that is all zero takes room, another keeps it.
void abc_buffer_start(AbcBuffer *buffer, RcPiece *piece);

void abc_buffer_clear(AbcBuffer *buffer);

/// Finds the line @p offset bytes after the next byte, reading more where it is not whole; @p length is with its end.
/// FALSE at the end; a line longer than a tune may be comes in pieces. Lines found before move.
gboolean abc_line_at(AbcBuffer *buffer, gsize offset, AbcText *line, gsize *length);

/// Puts @p new wherever @p text has @p old.
void abc_replace(char *text, gsize length, char old, char new);

/// Returns whether the lines of a text that begins as @p text does end with a carriage return alone.
gboolean abc_has_cr_only(const char *text, gsize length);

/// Reads more, up to @p bytes from the next byte on.
void abc_buffer_fill(AbcBuffer *buffer, gsize bytes);

#endif
