// Copyright 2026 the rowcall developers
// SPDX-License-Identifier: MIT

#include "corpus/stream.h"

#include "corpus/clean.h"

#include <string.h>

enum { WINDOW = 512 << 10, KEPT = 256 << 10 }; // at least, and of a piece that streams

void
rc_stream_open(RcStream *stream, RcPiece *piece)
{
  const guint line = piece->first_line - 1;
  char *window = stream->window;
  gsize room = stream->room;
  const gsize length = rc_piece_take(piece, &window, &room, WINDOW);
  *stream = (RcStream){ .piece = piece,
                        .name = piece->text->name,
                        .window = window,
                        .room = room,
                        .length = length,
                        .line = line,
                        .found_line = line };
}

void
rc_stream_close(RcStream *stream)
{
  g_free(stream->window);
  *stream = (RcStream){ 0 };
}

static void
forget(RcStream *stream)
{
  const gsize dropped = stream->length - KEPT;
  stream->line += rc_count_lines(stream->window, dropped);
  stream->offset += dropped;
  stream->at -= dropped;
  stream->length = KEPT;
  stream->found_line = stream->line;
  stream->found_at = 0;
  memmove(stream->window, stream->window + dropped, KEPT);
}

// Reads more after the window's end; FALSE at the end of the input.
static gboolean
fill(RcStream *stream, gsize size)
{
  if (stream->piece->rest && stream->length + size > stream->room) {
    forget(stream);
  }
  const gsize n = rc_piece_read(stream->piece, stream->window + stream->length, MIN(size, WINDOW - KEPT));
  stream->length += n;
  return n > 0;
}

static gsize
byte_order_mark(const char *text, gsize length)
{
  return length >= 3 && !memcmp(text, "\xEF\xBB\xBF", 3) ? 3 : 0;
}

gsize
rc_stream_read(RcStream *stream, char *buffer, gsize size)
{
  enum { LONGEST_CHARACTER = 4 };
  if (stream->length - stream->at < LONGEST_CHARACTER && !fill(stream, size) && stream->at == stream->length) {
    return 0;
  }
  if (!stream->at && !stream->offset && !stream->line) {
    stream->at = byte_order_mark(stream->window, stream->length);
  }
  const gsize n = MIN(size, stream->length - stream->at);
  memcpy(buffer, stream->window + stream->at, n);
  stream->at += n;
  return n;
}

void
rc_stream_give_back(RcStream *stream, gsize n)
{
  stream->at -= n;
}

const char *
rc_stream_line(RcStream *stream, guint line, gsize *length)
{
  const char *end = stream->window + stream->length;
  if (line < stream->line || (line == stream->line && stream->offset)) { // the first line may be cut
    return NULL;
  }
  if (line < stream->found_line) {
    stream->found_line = stream->line;
    stream->found_at = 0;
  }
  const char *at = stream->window + stream->found_at;
  for (; stream->found_line < line; ++stream->found_line) {
    at = memchr(at, '\n', (gsize)(end - at));
    if (!at) {
      stream->found_line = stream->line;
      stream->found_at = 0;
      return NULL;
    }
    ++at;
  }
  stream->found_at = (gsize)(at - stream->window);
  at += line ? 0 : byte_order_mark(at, (gsize)(end - at));
  *length = (gsize)(end - at);
  return at;
}

void
rc_stream_hold_line(RcStream *stream)
{
  while (!memchr(stream->window + stream->at, '\n', stream->length - stream->at) && fill(stream, WINDOW - KEPT)) {
  }
}

// Moves to the start of the next line; FALSE at the end.
static gboolean
next_line(RcStream *stream)
{
  for (;;) {
    const char *at = stream->window + stream->at;
    // NOLINTNEXTLINE(clang-analyzer-core.NonNullParamChecker): the window of an open stream is never NULL
    const char *newline = memchr(at, '\n', stream->length - stream->at);
    if (newline) {
      stream->at = (gsize)(newline + 1 - stream->window);
      return TRUE;
    }
    stream->at = stream->length;
    if (!fill(stream, WINDOW - KEPT)) {
      return FALSE;
    }
  }
}

static gboolean
at_document(RcStream *stream)
{
  while (stream->length - stream->at < 3 && fill(stream, WINDOW - KEPT)) {
  }
  return stream->length - stream->at >= 3 && !memcmp(stream->window + stream->at, "---", 3);
}

gboolean
rc_stream_seek_document(RcStream *stream, guint *line)
{
  gsize length = 0;
  const char *start = rc_stream_line(stream, *line, &length);
  if (start) {
    stream->at = (gsize)(start - stream->window);
  } else if (!next_line(stream)) { // forgotten: go on from where reading stopped
    return FALSE;
  }
  while (!at_document(stream)) {
    if (!next_line(stream)) {
      return FALSE;
    }
  }
  *line = stream->line + rc_count_lines(stream->window, stream->at);
  return TRUE;
}
