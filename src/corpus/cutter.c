// Copyright 2026 the rowcall developers
// SPDX-License-Identifier: MIT

#include "corpus/cutter.h"

#include "corpus/clean.h"
#include "corpus/format.h"
#include "corpus/not_text.h"

#include <string.h>

// Bytes of a piece, and how many times as many are held at most to find where to cut.
enum { USUAL_BYTES = 256 << 10, MOST_TIMES = 8 };

struct RcCutter {
  const char *path;
  RcCorpusOptions options;
  gsize usual;      // bytes of a piece
  gboolean opened;  // the source was
  RcSource *source; // NULL: there is none, or no more to read of it
  RcText *text;     // the one being cut, or NULL
  char *held;       // what is read of it and not yet in a piece
  gsize room;
  gsize length;
  gboolean ended; // there is no more to read of it
  guint line;     // of the next byte, from 1
  guint pieces;   // cut off it
};

RcCutter *
rc_cutter_new(const char *path, RcCorpusOptions options)
{
  RcCutter *c = g_new0(RcCutter, 1);
  c->path = path;
  c->options = options;
  c->usual = options.piece_bytes ? options.piece_bytes : USUAL_BYTES;
  return c;
}

void
rc_cutter_free(RcCutter *c)
{
  if (c) {
    rc_text_unref(c->text);
    rc_source_free(c->source);
    g_free(c->held);
    g_free(c);
  }
}

gboolean
rc_cutter_is_done(const RcCutter *c)
{
  return c->opened && !c->text && (!c->source || rc_source_is_single(c->source));
}

// ----------------------------------------------------------------------------------------------------- opening texts

static const RcFormat *
find_format(const RcCutter *c)
{
  const RcFormat *named = rc_format_by_ending(rc_source_format_name(c->source));
  if ((named && !named->any_text) || c->options.from) {
    return named && !named->any_text ? named : c->options.from;
  }
  gsize length = 0;
  const char *head = rc_source_head(c->source, &length);
  return rc_format_by_text(head, length);
}

// What the text is that is open, if it is no text; XML may be in any encoding.
static const char *
not_text(const RcFormat *format, const char *head, gsize length)
{
  return format->recognizes && format->recognizes(head, head + length) ? NULL : rc_not_text(head, length);
}

// Starts the text that is open, unless it is plainly no music.
static void
start_text(RcCutter *c, GError **error)
{
  gsize length = 0;
  const RcFormat *format = find_format(c);
  const char *head = rc_source_head(c->source, &length);
  const char *why = format->foreign ? format->foreign(head, length) : NULL;
  const char *other = not_text(format, head, length);
  if (other) {
    rc_fail(error, RC_ERROR_SYNTAX, (RcPlace){ rc_source_name(c->source), 0, 0 }, "is %s", other);
    return;
  }
  if (why) {
    rc_fail(error, RC_ERROR_PASSED, (RcPlace){ rc_source_name(c->source), 0, 0 }, "passed over: %s", why);
    return;
  }
  c->text = rc_text_new(c->source, format);
  c->length = 0;
  c->ended = FALSE;
  c->line = 1;
  c->pieces = 0;
}

// Whether a member of an archive is a text that is no music, though its name might be that of a song.
static gboolean
is_prose(RcSource *source)
{
  const RcFormat *named = rc_format_by_ending(rc_source_format_name(source));
  if (!rc_source_is_member(source) || !named || !named->any_text) {
    return FALSE;
  }
  gsize length = 0;
  const char *head = rc_source_head(source, &length);
  return !rc_format_recognize(head, length);
}

static gboolean
is_tunes(const char *name)
{
  return rc_format_by_ending(name) != NULL;
}

static void
end_source(RcCutter *c, gboolean failed, GError **error)
{
  const gboolean empty = !failed && rc_source_texts(c->source) == 0;
  g_clear_pointer(&c->source, rc_source_free);
  if (empty) {
    rc_fail(error, RC_ERROR_SYNTAX, (RcPlace){ c->path, 0, 0 }, "holds no tunes: no member's name ends in %s",
            rc_format_endings());
  }
}

static RcSource *
open_source(const char *path, GError **error)
{
  const char *other = rc_not_text_by_name(path);
  if (other) {
    rc_fail(error, RC_ERROR_SYNTAX, (RcPlace){ path, 0, 0 }, "is %s", other);
    return NULL;
  }
  return rc_source_open(path, error);
}

// Goes on to the next text; there is none where `error` is set, and at the very end.
static void
next_text(RcCutter *c, GError **error)
{
  gboolean prose = TRUE;
  if (!c->opened) {
    c->opened = TRUE;
    c->source = open_source(c->path, error);
  }
  while (c->source && prose) {
    const RcSourceStep step = rc_source_next(c->source, is_tunes, error);
    prose = step == RC_SOURCE_TEXT && is_prose(c->source);
    if (step == RC_SOURCE_END || step == RC_SOURCE_FAILED) {
      end_source(c, step == RC_SOURCE_FAILED, error);
    } else if (step == RC_SOURCE_TEXT && !prose) {
      start_text(c, error);
    }
  }
}

// ----------------------------------------------------------------------------------------------------------- cutting

static void
make_room(RcCutter *c, gsize bytes)
{
  if (bytes > c->room) {
    c->held = g_realloc(c->held, bytes);
    c->room = bytes;
  }
}

// Reads on until so many bytes are held, or there is no more.
static void
hold(RcCutter *c, gsize bytes)
{
  make_room(c, bytes);
  while (c->length < bytes && !c->ended) {
    const gsize n = rc_source_read(c->source, c->held + c->length, bytes - c->length);
    c->length += n;
    c->ended = !n;
  }
}

// Returns where the next piece begins; 0 where this one is the last, as it is too where the text cannot be cut within
// what may be held.
static gsize
find_cut(RcCutter *c)
{
  const RcCuts *cuts = c->text->format->cuts;
  gsize cut = 0;
  for (gsize most = c->usual; !cut && most <= MOST_TIMES * c->usual; most *= 2) {
    hold(c, most + (cuts ? cuts->ahead : 0) + 1);
    if (c->ended && c->length <= most) {
      break;
    }
    cut = cuts ? cuts->find(c->held, c->length, most, !c->pieces) : 0;
  }
  return cut;
}

static void
start_piece(RcCutter *c, RcPiece *piece)
{
  RcText *text = c->text;
  const RcCuts *cuts = text->format->cuts;
  if (!c->pieces && cuts && cuts->share) {
    text->shared = cuts->share(c->held, c->length);
  }
  piece->text = rc_text_ref(text);
  piece->number = c->pieces++;
  piece->first_line = c->line;
  piece->rest = NULL;
  piece->at = 0;
  piece->streamed = 0;
  piece->ended = FALSE;
  g_clear_pointer(&piece->failure, g_free);
  g_mutex_lock(&text->lock);
  g_queue_push_tail(&text->open, GUINT_TO_POINTER(piece->number));
  g_mutex_unlock(&text->lock);
}

// Gives the piece all that is held in place of its own bytes, the first @p own of it being the piece's, and holds what
// comes after these.
static void
hand_over(RcCutter *c, RcPiece *piece, gsize own, gsize ahead)
{
  const RcPiece before = *piece;
  const gsize left = c->length - own;
  piece->bytes = c->held;
  piece->room = c->room;
  piece->own = own;
  piece->length = MIN(own + ahead, c->length);
  c->held = before.bytes;
  c->room = before.room;
  make_room(c, left);
  if (left) {
    memcpy(c->held, piece->bytes + own, left);
  }
  c->length = left;
}

// Cuts off the piece before @p cut.
static void
cut_off(RcCutter *c, RcPiece *piece, gsize cut)
{
  c->line += rc_count_lines(c->held, cut);
  piece->end_line = c->line;
  hand_over(c, piece, cut, c->text->format->cuts->ahead);
}

// Makes the last piece of the text of all that is left of it.
static void
end_text(RcCutter *c, RcPiece *piece)
{
  piece->end_line = G_MAXUINT;
  piece->rest = c->ended ? NULL : c->source;
  piece->failure = c->ended ? g_strdup(rc_source_failure(c->source)) : NULL;
  hand_over(c, piece, c->length, 0);
  g_clear_pointer(&c->text, rc_text_unref);
}

RcCut
rc_cutter_next(RcCutter *c, RcPiece *piece, GError **error)
{
  GError *problem = NULL;
  if (!c->text) {
    next_text(c, &problem);
  }
  if (problem) {
    g_propagate_error(error, problem);
    return RC_CUT_PROBLEM;
  }
  if (!c->text) {
    return RC_CUT_END;
  }
  const gsize cut = find_cut(c);
  start_piece(c, piece);
  if (cut) {
    cut_off(c, piece, cut);
  } else {
    end_text(c, piece);
  }
  return RC_CUT_PIECE;
}
