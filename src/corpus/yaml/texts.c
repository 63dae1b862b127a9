// Copyright 2026 the rowcall developers
// SPDX-License-Identifier: MIT

#include "corpus/yaml/reader.h"

#include "base/yaml_tree.h"

#include <string.h>

static char
quote_of(yaml_scalar_style_t style)
{
  return style == YAML_SINGLE_QUOTED_SCALAR_STYLE ? '\'' : style == YAML_DOUBLE_QUOTED_SCALAR_STYLE ? '"' : '\0';
}

// Without the line end that a block has at its end.
static void
keep_text(YmReader *r, const yaml_event_t *event, YmText *text)
{
  const yaml_scalar_style_t style = event->data.scalar.style;
  const char *value = (const char *)event->data.scalar.value;
  gsize length = event->data.scalar.length;
  while (length && value[length - 1] == '\n' && !quote_of(style)) {
    --length;
  }
  const guint end_line = r->parser.start_line + (guint)event->end_mark.line + 1;
  text->written = (RcWritten){ .length = length,
                               .start = ym_parser_place(&r->parser, &event->start_mark),
                               .end_line = end_line,
                               .end_column = (guint)event->end_mark.column + 1,
                               .quote = quote_of(style),
                               .block = style == YAML_LITERAL_SCALAR_STYLE || style == YAML_FOLDED_SCALAR_STYLE };
  text->given = TRUE;
  memcpy(ym_document_add(&r->document, text, length), value, length);
}

// Reads what begins with an event that is expected here, or notes the mistake and passes over it.
static gboolean
expect(YmReader *r, yaml_event_t *event, yaml_event_type_t type, const char *wanted, gboolean *found, GError **error)
{
  if (!ym_parser_next(&r->parser, event, error)) {
    return FALSE;
  }
  *found = event->type == type;
  if (*found) {
    return TRUE;
  }
  const yaml_event_type_t other = event->type;
  ym_document_note(&r->document, RC_ERROR_SYNTAX, ym_parser_place(&r->parser, &event->start_mark), "%s", wanted);
  yaml_event_delete(event);
  return ym_parser_skip_rest(&r->parser, other, error);
}

// Passes over a key that is no text, and its value.
static gboolean
skip_pair(YmReader *r, const yaml_event_t *key, const char *wanted, GError **error)
{
  ym_document_note(&r->document, RC_ERROR_SYNTAX, ym_parser_place(&r->parser, &key->start_mark), "%s", wanted);
  return ym_parser_skip_rest(&r->parser, key->type, error) && ym_parser_skip_value(&r->parser, error);
}

static gboolean
read_scalar(YmReader *r, YmText *text, const char *wanted, GError **error)
{
  yaml_event_t event;
  gboolean found = FALSE;
  if (!expect(r, &event, YAML_SCALAR_EVENT, wanted, &found, error)) {
    return FALSE;
  }
  if (found) {
    keep_text(r, &event, text);
    yaml_event_delete(&event);
  }
  return TRUE;
}

// -------------------------------------------------------------------------------------------------------------- parts

static gboolean
read_part(YmReader *r, const yaml_event_t *label, GError **error)
{
  YmDocument *document = &r->document;
  YmPart part = { .label = { 0 }, .bars = { 0 } };
  const RcPlace place = ym_parser_place(&r->parser, &label->start_mark);
  if (document->parts->len == RC_MAX_PARTS) {
    return rc_fail(error, RC_ERROR_LIMIT, place, "more than %d parts", RC_MAX_PARTS);
  }
  keep_text(r, label, &part.label);
  const char *name = ym_text(document, &part.label);
  if (ym_document_has_part(document, name)) {
    ym_document_note(document, RC_ERROR_VALUE, place, "the part `%s` is given twice; give one of them another name",
                     name);
    return ym_parser_skip_value(&r->parser, error);
  }
  if (!read_scalar(r, &part.bars, "a part is a text of bars, such as A: \"| D | Bm |\"", error)) {
    return FALSE;
  }
  if (part.bars.given) {
    g_array_append_val(document->parts, part);
  }
  return TRUE;
}

static gboolean
read_parts(YmReader *r, GError **error)
{
  yaml_event_t event;
  gboolean good = FALSE;
  if (!expect(r, &event, YAML_MAPPING_START_EVENT, "`parts` holds lines such as A: \"| D | Bm |\"", &good, error)) {
    return FALSE;
  }
  if (!good) {
    return TRUE;
  }
  yaml_event_delete(&event);
  while (good && ym_parser_next(&r->parser, &event, error)) {
    const gboolean ends = event.type == YAML_MAPPING_END_EVENT;
    good = ends ||
           (event.type == YAML_SCALAR_EVENT ? read_part(r, &event, error)
                                            : skip_pair(r, &event, "a part's name is a short text such as A", error));
    yaml_event_delete(&event);
    if (ends) {
      return TRUE;
    }
  }
  return FALSE;
}

// -------------------------------------------------------------------------------------------------------- the document

static gboolean
read_pair(YmReader *r, const yaml_event_t *key, GError **error)
{
  YmDocument *document = &r->document;
  const char *name = (const char *)key->data.scalar.value;
  const YmKey found = ym_find_key(name, strlen(name));
  if (found == YM_N_KEYS) {
    GError *mistake = NULL;
    rc_yaml_fail_key(ym_parser_place(&r->parser, &key->start_mark), name, ym_keys, &mistake);
    ym_document_keep(document, mistake);
    return ym_parser_skip_value(&r->parser, error);
  }
  if (found == YM_PARTS ? document->parts_given : document->texts[found].given) {
    return skip_pair(r, key, "this key is given twice in the tune; keep one", error);
  }
  if (found == YM_PARTS) {
    document->parts_given = TRUE;
    return read_parts(r, error);
  }
  return read_scalar(r, &document->texts[found], "a single text is expected here", error);
}

gboolean
ym_read_texts(YmReader *r, GError **error)
{
  yaml_event_t event;
  while (ym_parser_next(&r->parser, &event, error)) {
    const gboolean ends = event.type == YAML_MAPPING_END_EVENT;
    const gboolean good =
      ends || (event.type == YAML_SCALAR_EVENT ? read_pair(r, &event, error)
                                               : skip_pair(r, &event, "a key such as `title` is expected here", error));
    yaml_event_delete(&event);
    if (ends || !good) {
      return good;
    }
  }
  return FALSE;
}
