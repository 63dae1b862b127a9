// Copyright 2026 the rowcall developers
// SPDX-License-Identifier: MIT

#include "corpus/yaml/parser.h"

#include "base/yaml_tree.h"

static int
feed(void *data, unsigned char *buffer, size_t size, size_t *size_read)
{
  YmParser *p = data;
  *size_read = 0;
  if (p->unparsed > RC_MAX_TUNE_BYTES) {
    p->too_long = TRUE;
    return 0;
  }
  const gsize n = rc_stream_read(p->stream, (char *)buffer, size);
  *size_read = rc_cleaner_pass(&p->cleaner, (char *)buffer, n);
  rc_stream_give_back(p->stream, n - *size_read);
  p->unparsed += *size_read;
  return !rc_piece_failure(p->stream->piece);
}

void
ym_parser_start(YmParser *p, guint line)
{
  ym_parser_stop(p);
  p->start_line = line;
  p->too_long = FALSE;
  rc_cleaner_start(&p->cleaner, line);
  ym_parser_begin_document(p, line);
  rc_yaml_start(&p->parser);
  yaml_parser_set_encoding(&p->parser, YAML_UTF8_ENCODING);
  yaml_parser_set_input(&p->parser, feed, p);
  p->parsing = TRUE;
}

void
ym_parser_stop(YmParser *p)
{
  if (p->parsing) {
    yaml_parser_delete(&p->parser);
    p->parsing = FALSE;
  }
}

void
ym_parser_clear(YmParser *p)
{
  ym_parser_stop(p);
  rc_cleaner_clear(&p->cleaner);
}

void
ym_parser_begin_document(YmParser *p, guint line)
{
  p->unparsed = 0;
  p->document_line = line;
}

RcPlace
ym_parser_place(const YmParser *p, const yaml_mark_t *mark)
{
  return (RcPlace){ p->stream->name, p->start_line + (guint)mark->line + 1, (guint)mark->column + 1 };
}

static void
fail_at(YmParser *p, const yaml_mark_t *mark)
{
  p->failed_line = p->start_line + (guint)mark->line;
  p->failed_column = (guint)mark->column + 1;
}

// ------------------------------------------------------------------------------------------------------------- events

// libyaml takes time with the square of the depth, so a bound keeps a small file from taking minutes.
static gboolean
follow_depth(YmParser *p, yaml_event_t *event, GError **error)
{
  switch (event->type) {
  case YAML_DOCUMENT_START_EVENT:
    p->depth = 0;
    return TRUE;
  case YAML_SEQUENCE_END_EVENT:
  case YAML_MAPPING_END_EVENT:
    --p->depth;
    return TRUE;
  case YAML_SEQUENCE_START_EVENT:
  case YAML_MAPPING_START_EVENT:
    if (++p->depth <= RC_MAX_YAML_DEPTH) {
      return TRUE;
    }
    break;
  default:
    return TRUE;
  }
  const RcPlace place = ym_parser_place(p, &event->start_mark);
  fail_at(p, &event->start_mark);
  yaml_event_delete(event);
  return rc_fail(error, RC_ERROR_LIMIT, place, "more than %d nested lists", RC_MAX_YAML_DEPTH);
}

static gboolean
check_event(YmParser *p, yaml_event_t *event, GError **error)
{
  if (rc_yaml_check_event(event, p->stream->name, p->start_line, error)) {
    return TRUE;
  }
  fail_at(p, &event->end_mark);
  yaml_event_delete(event);
  return FALSE;
}

gboolean
ym_parser_next(YmParser *p, yaml_event_t *event, GError **error)
{
  if (yaml_parser_parse(&p->parser, event)) {
    return event->type == YAML_SCALAR_EVENT ? check_event(p, event, error) : follow_depth(p, event, error);
  }
  fail_at(p, p->too_long ? &p->parser.mark : &p->parser.problem_mark);
  if (p->too_long) {
    return rc_fail(error, RC_ERROR_LIMIT, (RcPlace){ p->stream->name, p->document_line + 1, 0 },
                   "a tune of more than %d bytes; separate tunes by lines of `---`", RC_MAX_TUNE_BYTES);
  }
  const char *failure = rc_piece_failure(p->stream->piece);
  if (failure) {
    return rc_fail(error, RC_ERROR_IO, (RcPlace){ p->stream->name, 0, 0 }, "reading failed: %s", failure);
  }
  return rc_yaml_fail(&p->parser, p->stream->name, p->start_line, error);
}

gboolean
ym_parser_skip_rest(YmParser *p, yaml_event_type_t type, GError **error)
{
  const gboolean nests = type == YAML_SEQUENCE_START_EVENT || type == YAML_MAPPING_START_EVENT;
  const guint depth = p->depth - 1;
  yaml_event_t event;
  while (nests && p->depth > depth) {
    if (!ym_parser_next(p, &event, error)) {
      return FALSE;
    }
    yaml_event_delete(&event);
  }
  return TRUE;
}

gboolean
ym_parser_skip_value(YmParser *p, GError **error)
{
  yaml_event_t event;
  if (!ym_parser_next(p, &event, error)) {
    return FALSE;
  }
  const yaml_event_type_t type = event.type;
  yaml_event_delete(&event);
  return ym_parser_skip_rest(p, type, error);
}

gboolean
ym_parser_skip_document(YmParser *p, guint *line, guint *column)
{
  yaml_event_t event;
  while (ym_parser_next(p, &event, NULL)) {
    const gboolean ends = event.type == YAML_DOCUMENT_END_EVENT;
    *line = p->start_line + (guint)event.start_mark.line;
    *column = (guint)event.start_mark.column;
    yaml_event_delete(&event);
    if (ends) {
      return TRUE;
    }
  }
  *line = p->failed_line;
  *column = p->failed_column;
  return FALSE;
}

// ----------------------------------------------------------------------------------------------------------- failures

gboolean
ym_parser_take_bad_text(YmParser *p, guint line, guint column, GError **error)
{
  RcBadText bad;
  if (!rc_cleaner_take(&p->cleaner, line, column, &bad)) {
    return FALSE;
  }
  const RcPlace place = { p->stream->name, bad.line + 1, bad.column };
  g_clear_error(error);
  if (bad.control) {
    rc_yaml_fail_control(place, bad.code, error);
  } else {
    rc_fail(error, RC_ERROR_ENCODING, place, "byte 0x%02X is not UTF-8 text; save the file as UTF-8", bad.code);
  }
  return TRUE;
}

gboolean
ym_parser_is_lost(const YmParser *p)
{
  return rc_piece_failure(p->stream->piece) || p->parser.error == YAML_MEMORY_ERROR;
}
