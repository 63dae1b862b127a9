// Copyright 2026 the rowcall developers
// SPDX-License-Identifier: MIT

#include "corpus/piece.h"

#include "corpus/format.h"

#include <string.h>

// ------------------------------------------------------------------------------------------------------------- texts

RcText *
rc_text_new(const RcSource *source, const RcFormat *format)
{
  RcText *text = g_new0(RcText, 1);
  text->references = 1;
  text->name = g_strdup(rc_source_name(source));
  text->note = g_strdup(rc_source_note(source));
  text->format = format;
  g_mutex_init(&text->lock);
  g_cond_init(&text->changed);
  g_queue_init(&text->open);
  return text;
}

RcText *
rc_text_ref(RcText *text)
{
  g_atomic_int_inc(&text->references);
  return text;
}

void
rc_text_unref(RcText *text)
{
  if (!text || !g_atomic_int_dec_and_test(&text->references)) {
    return;
  }
  if (text->shared) {
    text->format->cuts->free_shared(text->shared);
  }
  g_queue_clear(&text->open);
  g_mutex_clear(&text->lock);
  g_cond_clear(&text->changed);
  g_free(text->name);
  g_free(text->note);
  g_free(text);
}

// ------------------------------------------------------------------------------------------------------------ pieces

gboolean
rc_piece_is_last(const RcPiece *piece)
{
  return piece->end_line == G_MAXUINT;
}

static gsize
read_rest(RcPiece *piece, char *bytes, gsize size)
{
  const gsize n = piece->rest ? rc_source_read(piece->rest, bytes, size) : 0;
  piece->streamed += n;
  piece->ended = !n;
  return n;
}

gsize
rc_piece_read(RcPiece *piece, char *bytes, gsize size)
{
  const gsize n = MIN(size, piece->length - piece->at);
  if (!n) {
    return read_rest(piece, bytes, size);
  }
  memcpy(bytes, piece->bytes + piece->at, n);
  piece->at += n;
  return n;
}

gsize
rc_piece_take(RcPiece *piece, char **bytes, gsize *room, gsize least)
{
  const RcPiece before = *piece;
  piece->bytes = *bytes;
  piece->room = *room;
  piece->length = 0;
  *bytes = before.bytes;
  *room = before.room;
  if (*room < least) {
    *bytes = g_realloc(*bytes, least);
    *room = least;
  }
  return before.length;
}

const char *
rc_piece_failure(const RcPiece *piece)
{
  return !piece->ended ? NULL : piece->rest ? rc_source_failure(piece->rest) : piece->failure;
}

gsize
rc_piece_bytes(const RcPiece *piece)
{
  return piece->own + piece->streamed;
}

gboolean
rc_piece_wait(const RcPiece *piece)
{
  RcText *text = piece->text;
  gconstpointer number = GUINT_TO_POINTER(piece->number);
  if (g_queue_peek_head(&text->open) != number) {
    g_cond_wait(&text->changed, &text->lock);
  }
  return g_queue_peek_head(&text->open) == number;
}

void
rc_piece_end(RcPiece *piece, gboolean found)
{
  RcText *text = g_steal_pointer(&piece->text);
  if (text) {
    g_mutex_lock(&text->lock);
    g_queue_remove(&text->open, GUINT_TO_POINTER(piece->number));
    text->found |= found;
    g_cond_broadcast(&text->changed);
    g_mutex_unlock(&text->lock);
    rc_text_unref(text);
  }
}

void
rc_piece_clear(RcPiece *piece)
{
  rc_piece_end(piece, FALSE);
  g_free(piece->bytes);
  g_free(piece->failure);
  *piece = (RcPiece){ 0 };
}
