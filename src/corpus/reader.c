// Copyright 2026 the rowcall developers
// SPDX-License-Identifier: MIT

#include "corpus/reader.h"

#include "corpus/format.h"

// ------------------------------------------------------------------------------------------------- piece after piece

void
rc_reader_clear(RcReader *r)
{
  if (r->format) {
    r->format->free(r->reader);
  }
  *r = (RcReader){ .options = r->options };
}

void
rc_reader_start(RcReader *r, RcPiece *piece)
{
  const RcFormat *format = piece->text->format;
  if (r->format == format && format->restart) {
    format->restart(r->reader, piece);
  } else {
    rc_reader_clear(r);
    r->format = format;
    r->reader = format->start(piece, r->options);
  }
  r->piece = piece;
  r->found = FALSE;
}

// Whether some piece of the text before this one held a tune or a problem.
static gboolean
found_before(const RcPiece *piece)
{
  g_mutex_lock(&piece->text->lock);
  while (!piece->text->found && !rc_piece_wait(piece)) {
  }
  const gboolean found = piece->text->found;
  g_mutex_unlock(&piece->text->lock);
  return found;
}

static RcReadResult
end_piece(RcReader *r, GError **error)
{
  RcPiece *piece = r->piece;
  if (rc_piece_is_last(piece) && !r->found && !found_before(piece)) {
    r->found = TRUE;
    rc_fail(error, RC_ERROR_SYNTAX, (RcPlace){ piece->text->name, 0, 0 },
            "holds no tunes; a tune begins with a line `%s`", r->format->tune_begins);
    return RC_READ_PROBLEM;
  }
  rc_piece_end(piece, r->found);
  r->piece = NULL;
  return RC_READ_END;
}

RcReadResult
rc_reader_next(RcReader *r, RcTune *tune, GError **error)
{
  const RcReadResult result = r->format->next(r->reader, tune, error);
  if (result == RC_READ_END) {
    return end_piece(r, error);
  }
  r->found = TRUE;
  if (result == RC_READ_TUNE && rc_tune_setting(tune, 0)->tempo.source == RC_TEMPO_NONE) {
    rc_tune_find_dance(tune);
  }
  if (result == RC_READ_TUNE) {
    (r->options.leave_unkeyed ? rc_tune_leave_key : rc_tune_assume_key)(tune);
  }
  return result;
}

// ------------------------------------------------------------------------------------------- what the readers say
// alike

void
rc_reader_left_out(GError **error, const char *title)
{
  if (error && *error && title && *title) {
    enum { MOST = 200 }; // characters
    const gboolean whole = g_utf8_strlen(title, (gssize)4 * MOST) <= MOST;
    char *shown = whole ? g_strdup(title) : g_utf8_substring(title, 0, MOST);
    char *message = g_strdup_printf("%s; left out: %s%s", (*error)->message, shown, whole ? "" : "...");
    g_free((*error)->message);
    g_free(shown);
    (*error)->message = message;
  }
}

RcReadResult
rc_reader_end(const RcPiece *piece, RcPlace place, gboolean *told, GError **error)
{
  const char *failure = rc_piece_failure(piece);
  if (!failure || *told) {
    return RC_READ_END;
  }
  *told = TRUE;
  rc_fail(error, RC_ERROR_IO, place, "reading failed: %s", failure);
  return RC_READ_PROBLEM;
}
