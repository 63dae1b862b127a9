// Copyright 2026 the rowcall developers
// SPDX-License-Identifier: MIT

// After broken YAML reading goes on at the next line that begins with "---". A text is cut before such lines; the
// reader of a piece sees the line after it, where an open quote is noticed.

#include "corpus/yaml/reader.h"

#include "corpus/format.h"
#include "corpus/reader.h"
#include "corpus/yaml/cuts.h"
#include "corpus/yaml/plain.h"

#include <string.h>

// The title of a document that broke before its events came, from its text: on a line between its "---" and the
// failure.
static char *
find_title(YmReader *r)
{
  rc_stream_hold_line(&r->stream); // it may be the last
  for (guint line = r->parser.failed_line + 1; line-- > r->parser.start_line;) {
    gsize length = 0;
    const char *at = rc_stream_line(&r->stream, line, &length);
    if (!at || (length >= 3 && !memcmp(at, "---", 3))) {
      break;
    }
    if (length > 6 && !g_ascii_strncasecmp(at, "title:", 6)) {
      const char *end = memchr(at, '\n', length);
      char *text = g_utf8_make_valid(at + 6, (end ? end : at + length) - at - 6);
      return g_strstrip(g_strdelimit(text, "\"'\r", ' '));
    }
  }
  return NULL;
}

// Whether the next piece begins with a line, from 0, or before.
static gboolean
is_next_piece(const YmReader *r, guint line)
{
  return line + 1 >= r->stream.piece->end_line;
}

// After broken YAML: goes to the next "---", if there is one in the piece.
static void
restart(YmReader *r)
{
  const gboolean lost = ym_parser_is_lost(&r->parser);
  r->line = MAX(r->parser.failed_line, r->parser.document_line + 1);
  ym_parser_stop(&r->parser);
  r->ended = lost || !rc_stream_seek_document(&r->stream, &r->line) || is_next_piece(r, r->line);
}

// Gives the next mistake of the document.
static RcReadResult
give_mistake(YmReader *r, GError **error)
{
  GError *mistake = rc_mistakes_take(&r->document.mistakes, (RcPlace){ r->stream.name, r->document.line, 0 });
  if (mistake) {
    g_propagate_error(error, mistake);
  }
  return mistake ? RC_READ_PROBLEM : RC_READ_END;
}

// The document is no tune: gives the first of its mistakes, which names it; the others follow.
static RcReadResult
leave_out(YmReader *r, GError **error)
{
  const YmText *title = &r->document.texts[YM_TITLE];
  GError *first = NULL;
  const RcReadResult result = give_mistake(r, &first);
  char *name = title->given ? g_strdup(ym_text(&r->document, title)) : r->parser.parser.error ? find_title(r) : NULL;
  rc_reader_left_out(&first, name);
  g_propagate_error(error, first);
  g_free(name);
  return result;
}

// Reading the document came to an end at `mistake`, or at bad text that explains it; goes on after the document.
static RcReadResult
report(YmReader *r, GError *mistake, GError **error)
{
  YmParser *parser = &r->parser;
  guint line = parser->failed_line;
  guint column = parser->failed_column;
  const gboolean broken = parser->parser.error != YAML_NO_ERROR || !ym_parser_skip_document(parser, &line, &column);
  ym_parser_take_bad_text(parser, line, column, &mistake);
  rc_mistakes_add(&r->document.mistakes, mistake);
  const RcReadResult result = leave_out(r, error);
  if (broken) {
    restart(r);
  }
  return result;
}

static gboolean
is_empty_scalar(const yaml_event_t *event)
{
  return event->type == YAML_SCALAR_EVENT && !event->data.scalar.length;
}

// Reads the end of a document; FALSE where the YAML is broken there. Bytes of it that are no text are a mistake.
static gboolean
end_document(YmReader *r, GError **error)
{
  yaml_event_t event;
  GError *bad = NULL;
  if (!ym_parser_next(&r->parser, &event, error)) {
    return FALSE;
  }
  const yaml_mark_t mark = event.start_mark;
  yaml_event_delete(&event);
  ym_parser_take_bad_text(&r->parser, r->parser.start_line + (guint)mark.line, (guint)mark.column, &bad);
  ym_document_keep(&r->document, bad);
  return TRUE;
}

// Reads the texts of a document up to its end; FALSE where it cannot be read to its end. @p empty says whether there is
// nothing in it.
static gboolean
read_content(YmReader *r, gboolean *empty, GError **error)
{
  yaml_event_t event;
  if (!ym_parser_next(&r->parser, &event, error)) {
    return FALSE;
  }
  const yaml_event_type_t type = event.type;
  *empty = is_empty_scalar(&event);
  const RcPlace place = ym_parser_place(&r->parser, &event.start_mark);
  yaml_event_delete(&event);
  r->document.line = place.line;
  if (!*empty && type != YAML_MAPPING_START_EVENT) {
    return rc_fail(error, RC_ERROR_SYNTAX, place,
                   "a tune begins with lines such as `title: ...`; found something else");
  }
  return (*empty || ym_read_texts(r, error)) && end_document(r, error);
}

static RcReadResult
finish_tune(YmReader *r, RcTune *tune, GError **error)
{
  tune->file = r->stream.name;
  tune->line = r->document.line;
  return ym_make_tune(r, tune) ? RC_READ_TUNE : leave_out(r, error);
}

// Reads one document up to its end; an empty one gives RC_READ_END.
static RcReadResult
read_document(YmReader *r, RcTune *tune, GError **error)
{
  GError *mistake = NULL;
  gboolean empty = FALSE;
  if (!read_content(r, &empty, &mistake)) {
    return report(r, mistake, error);
  }
  return empty && !r->document.mistakes.found ? RC_READ_END : finish_tune(r, tune, error);
}

// Reads the document at a line, from 0, if it is written plainly, and stops parsing at the next.
static gboolean
read_plain(YmReader *r, const char *at, guint line)
{
  YmLines lines = { at, r->plain_end, r->stream.name, line };
  if (!at || !r->plain_end || !ym_read_plain(&r->document, &lines)) {
    ym_document_begin(&r->document);
    return FALSE;
  }
  ym_parser_stop(&r->parser);
  rc_stream_go_to(&r->stream, lines.at);
  r->line = lines.line;
  return TRUE;
}

// Reads on by libyaml; RC_READ_END says no more than that there is no tune yet.
static RcReadResult
parse(YmReader *r, RcTune *tune, GError **error)
{
  yaml_event_t event;
  GError *mistake = NULL;
  gsize length = 0;
  if (!ym_parser_next(&r->parser, &event, &mistake)) {
    return report(r, mistake, error);
  }
  const yaml_event_type_t type = event.type;
  const guint line = r->parser.start_line + (guint)event.start_mark.line;
  yaml_event_delete(&event);
  if (type == YAML_STREAM_END_EVENT || is_next_piece(r, line)) {
    ym_parser_stop(&r->parser);
    r->ended = TRUE;
  }
  if (r->ended || type != YAML_DOCUMENT_START_EVENT) {
    return RC_READ_END;
  }
  ym_parser_begin_document(&r->parser, line);
  const gboolean tried = line == r->parser.start_line;
  return !tried && read_plain(r, rc_stream_line(&r->stream, line, &length), line) ? finish_tune(r, tune, error)
                                                                                  : read_document(r, tune, error);
}

// The same where nothing is parsed, at the beginning of a document.
static RcReadResult
begin(YmReader *r, RcTune *tune, GError **error)
{
  if (is_next_piece(r, r->line)) {
    r->ended = TRUE;
  } else if (read_plain(r, rc_stream_next(&r->stream), r->line)) {
    return finish_tune(r, tune, error);
  } else {
    ym_parser_start(&r->parser, r->line);
  }
  return RC_READ_END;
}

static RcReadResult
read_next(gpointer reader, RcTune *tune, GError **error)
{
  YmReader *r = reader;
  RcReadResult result = give_mistake(r, error);
  while (result == RC_READ_END && !r->ended) {
    rc_tune_clear(tune);
    ym_document_begin(&r->document);
    result = r->parser.parsing ? parse(r, tune, error) : begin(r, tune, error);
  }
  return result;
}

// The end of what may be read without libyaml: all lines of a piece that does not stream, if libyaml counts them as we
// do, which only the last piece can keep it from.
static const char *
find_plain_end(const RcStream *stream)
{
  const char *text = rc_stream_next(stream);
  gsize length = stream->length - stream->at;
  if (stream->piece->rest || (rc_piece_is_last(stream->piece) && ym_has_odd_ends(text, length))) {
    return NULL;
  }
  while (length && text[length - 1] != '\n') {
    --length;
  }
  return text + length;
}

static void
read_piece(gpointer reader, RcPiece *piece)
{
  YmReader *r = reader;
  ym_parser_stop(&r->parser);
  rc_mistakes_clear(&r->document.mistakes);
  rc_stream_open(&r->stream, piece);
  r->line = piece->first_line - 1;
  r->ended = FALSE;
  r->plain_end = find_plain_end(&r->stream);
}

static gpointer
start_reading(RcPiece *piece, RcCorpusOptions options)
{
  YmReader *r = g_new0(YmReader, 1);
  r->options = options;
  r->bars = rc_bar_reader_new();
  r->parser.stream = &r->stream;
  ym_document_init(&r->document);
  read_piece(r, piece);
  return r;
}

static void
end_reading(gpointer reader)
{
  YmReader *r = reader;
  if (r) {
    ym_parser_clear(&r->parser);
    rc_stream_close(&r->stream);
    ym_document_clear(&r->document);
    rc_bar_reader_free(r->bars);
    g_free(r);
  }
}

static const char *const endings[] = { ".yaml", ".yml", NULL };

const RcFormat rc_yaml_format = { .name = "yaml",
                                  .endings = endings,
                                  .tune_begins = "title: ...",
                                  .foreign = ym_foreign,
                                  .cuts = &rc_yaml_cuts,
                                  .start = start_reading,
                                  .restart = read_piece,
                                  .next = read_next,
                                  .free = end_reading };
