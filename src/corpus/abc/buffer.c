// Copyright 2026 the rowcall developers
// SPDX-License-Identifier: MIT

#include "corpus/abc/buffer.h"

#include "rowcall/corpus.h"

#include <string.h>

void
abc_buffer_clear(AbcBuffer *b)
{
  g_clear_pointer(&b->text, g_free);
}

void
abc_replace(char *text, gsize length, char old, char new)
{
  const char *end = text + length;
  for (char *at = text; (at = memchr(at, old, (gsize)(end - at))); ++at) {
    *at = new;
  }
}

gboolean
abc_has_cr_only(const char *text, gsize length)
{
  enum { SEEN = 4096 };
  length = MIN(length, SEEN);
  const char *cr = memchr(text, '\r', length);
  return cr && cr + 1 < text + length && !memchr(text, '\n', length);
}

// Adds what was read after what is there. Zero bytes follow all.
static void
add(AbcBuffer *b, gsize n)
{
  char *more = b->text + b->length;
  b->cr_only |= b->line == 1 && !b->length && abc_has_cr_only(more, n);
  if (b->cr_only) {
    abc_replace(more, n, '\r', '\n');
  }
  abc_replace(more, n, '\0', '?'); // it is no text and would end it
  b->length += n;
  memset(b->text + b->length, '\0', ABC_PADDING);
}

void
abc_buffer_start(AbcBuffer *b, RcPiece *piece)
{
  gsize room = b->text ? b->size + ABC_PADDING : 0;
  *b = (AbcBuffer){ .piece = piece, .text = b->text, .line = piece->first_line };
  const gsize length = rc_piece_take(piece, &b->text, &room, piece->length + ABC_PADDING);
  b->size = room - ABC_PADDING;
  add(b, length);
}

// Reads more after what is there, moving what is left to the front first; FALSE at the end or where a tune is too long.
static gboolean
fill(AbcBuffer *b)
{
  if (b->at) {
    memmove(b->text, b->text + b->at, b->length - b->at);
    b->length -= b->at;
    b->at = 0;
  }
  if (b->length == b->size) {
    if (b->size > RC_MAX_TUNE_BYTES) {
      return FALSE;
    }
    b->size = 2 * b->size + 1;
    b->text = g_realloc(b->text, b->size + ABC_PADDING);
  }
  const gsize n = rc_piece_read(b->piece, b->text + b->length, b->size - b->length);
  add(b, n);
  b->ended |= !n;
  return n > 0;
}

gboolean
abc_line_at(AbcBuffer *b, gsize offset, AbcText *line, gsize *length)
{
  gsize searched = 0;
  for (;;) {
    const char *start = b->text + b->at + offset;
    const gsize there = b->length - b->at - offset;
    const char *newline = memchr(start + searched, '\n', there - searched);
    if (newline) {
      *line = (AbcText){ start, newline };
      *length = (gsize)(newline - start) + 1;
      return TRUE;
    }
    searched = there;
    if (b->ended || !fill(b)) {
      start = b->text + b->at + offset;
      *line = (AbcText){ start, start + there };
      *length = there;
      return there > 0;
    }
  }
}

void
abc_buffer_fill(AbcBuffer *b, gsize bytes)
{
  while (!b->ended && b->length - b->at < bytes && fill(b)) {
  }
}
