// Copyright 2026 the rowcall developers
// SPDX-License-Identifier: MIT

// After broken YAML reading goes on at the next line that begins with "---". A text is cut before such lines; the
// reader of a piece sees the line after it, where an open quote is noticed.

#include "corpus/yaml/reader.h"

#include "corpus/format.h"
#include "corpus/reader.h"
#include "corpus/yaml/cuts.h"

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

// After broken YAML: a new parser from the next "---", or none.
static void
restart(YmReader *r)
{
  guint line = MAX(r->parser.failed_line, r->parser.document_line + 1);
  const gboolean lost = ym_parser_is_lost(&r->parser);
  ym_parser_stop(&r->parser);
  if (!lost && rc_stream_seek_document(&r->stream, &line) && !is_next_piece(r, line)) {
    ym_parser_start(&r->parser, line);
  }
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

// Reads one document up to its end; an empty one gives RC_READ_END.
static RcReadResult
read_document(YmReader *r, RcTune *tune, GError **error)
{
  GError *mistake = NULL;
  gboolean empty = FALSE;
  if (!read_content(r, &empty, &mistake)) {
    return report(r, mistake, error);
  }
  if (empty && !r->document.mistakes.found) {
    return RC_READ_END;
  }
  tune->file = r->stream.name;
  tune->line = r->document.line;
  return ym_make_tune(r, tune) ? RC_READ_TUNE : leave_out(r, error);
}

static RcReadResult
read_next(gpointer reader, RcTune *tune, GError **error)
{
  YmReader *r = reader;
  if (give_mistake(r, error) == RC_READ_PROBLEM) {
    return RC_READ_PROBLEM;
  }
  while (r->parser.parsing) {
    yaml_event_t event;
    GError *mistake = NULL;
    rc_tune_clear(tune);
    ym_document_begin(&r->document);
    if (!ym_parser_next(&r->parser, &event, &mistake)) {
      return report(r, mistake, error);
    }
    const yaml_event_type_t type = event.type;
    const guint line = r->parser.start_line + (guint)event.start_mark.line;
    yaml_event_delete(&event);
    if (type == YAML_STREAM_END_EVENT || is_next_piece(r, line)) {
      ym_parser_stop(&r->parser);
      break;
    }
    if (type == YAML_DOCUMENT_START_EVENT) {
      ym_parser_begin_document(&r->parser, line);
      const RcReadResult result = read_document(r, tune, error);
      if (result != RC_READ_END) {
        return result;
      }
    }
  }
  return RC_READ_END;
}

static void
read_piece(gpointer reader, RcPiece *piece)
{
  YmReader *r = reader;
  rc_mistakes_clear(&r->document.mistakes);
  rc_stream_open(&r->stream, piece);
  ym_parser_start(&r->parser, piece->first_line - 1);
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
