// Copyright 2026 the rowcall developers
// SPDX-License-Identifier: MIT

#include "corpus/abc/buffer.h"

#include "rowcall/corpus.h"

#include <string.h>

enum { FIRST_SIZE = 256 << 10 };

AbcBuffer
abc_buffer_start(RcSource *source)
{
  return (AbcBuffer){ .source = source, .text = g_malloc(FIRST_SIZE + 1), .size = FIRST_SIZE, .line = 1 };
}

void
abc_buffer_clear(AbcBuffer *b)
{
  g_clear_pointer(&b->text, g_free);
}

static void
replace(char *text, gsize length, char old, char new)
{
  const char *end = text + length;
  for (char *at = text; (at = memchr(at, old, (gsize)(end - at))); ++at) {
    *at = new;
  }
}

// Whether lines end with a carriage return alone, as the first stretch of a file shows.
static gboolean
has_cr_only(const char *text, gsize length)
{
  const char *cr = memchr(text, '\r', length);
  return cr && cr + 1 < text + length && !memchr(text, '\n', length);
}

// Reads more after what is there, moving what is left to the front first; FALSE at the end or where a tune is too long.
// A zero byte follows all.
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
    b->size *= 2;
    b->text = g_realloc(b->text, b->size + 1);
  }
  char *more = b->text + b->length;
  const gsize n = rc_source_read(b->source, more, b->size - b->length);
  b->cr_only |= b->line == 1 && !b->length && has_cr_only(more, n);
  if (b->cr_only) {
    replace(more, n, '\r', '\n');
  }
  replace(more, n, '\0', '?'); // it is no text and would end it
  b->length += n;
  b->text[b->length] = '\0';
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
