// Copyright 2026 the rowcall developers
// SPDX-License-Identifier: MIT

#include "base/yaml_tree.h"

#include <string.h>

// How to mend the commonest mistakes; each is recognized by a part of libyaml's words.
static const char *
mend_of(const yaml_parser_t *parser)
{
  static const struct {
    const char *said;
    const char *mend;
  } mends[] = {
    { "block scalar", "put the text in quotes, such as A: \"| D | G |\", and close them" },
    { "cannot start any token",
      "indent with spaces, no tabulators, and put a text that begins with such a character in quotes" },
    { "mapping values are not allowed", "put a text that holds a colon in quotes" },
    { "quoted scalar", "close the quotes" },
    { "did not find expected key", "indent the lines of a list equally" },
  };
  for (guint i = 0; i < G_N_ELEMENTS(mends); ++i) {
    if ((parser->problem && strstr(parser->problem, mends[i].said)) ||
        (parser->context && strstr(parser->context, mends[i].said))) {
      return mends[i].mend;
    }
  }
  return "check indentation, quotes and colons there";
}

void
rc_yaml_start(yaml_parser_t *parser)
{
  if (!yaml_parser_initialize(parser)) {
    g_error("there is no memory for a YAML parser");
  }
}

gboolean
rc_yaml_fail(const yaml_parser_t *parser, const char *file, guint lines_before, GError **error)
{
  const yaml_mark_t mark = parser->problem_mark; // counted from 0
  const RcPlace place = { file, lines_before + (guint)mark.line + 1, (guint)mark.column + 1 };
  const gboolean elsewhere = parser->context && parser->context_mark.index != mark.index;
  char *context = elsewhere ? g_strdup_printf(" %s that begins at line %u, column %u", parser->context,
                                              lines_before + (guint)parser->context_mark.line + 1,
                                              (guint)parser->context_mark.column + 1)
                            : g_strconcat(parser->context ? " " : "", parser->context, NULL);
  rc_fail(error, RC_ERROR_SYNTAX, place, "broken YAML: %s%s; %s", parser->problem ? parser->problem : "cannot be read",
          context, mend_of(parser));
  g_free(context);
  return FALSE;
}

gboolean
rc_yaml_fail_control(RcPlace place, guint code, GError **error)
{
  return rc_fail(error, RC_ERROR_SYNTAX, place, "the control character U+%04X is not allowed in a text; remove it",
                 code);
}

gboolean
rc_yaml_check_event(const yaml_event_t *event, const char *file, guint lines_before, GError **error)
{
  if (event->type != YAML_SCALAR_EVENT || event->data.scalar.style != YAML_DOUBLE_QUOTED_SCALAR_STYLE ||
      !memchr(event->data.scalar.value, '\0', event->data.scalar.length)) { // only an escape can stand for it
    return TRUE;
  }
  const yaml_mark_t mark = event->start_mark;
  return rc_yaml_fail_control((RcPlace){ file, lines_before + (guint)mark.line + 1, (guint)mark.column + 1 }, 0, error);
}

const char *
rc_yaml_line_end(const char *text)
{
  static const char *const ends[] = { "\n", "\r", "\xC2\x85", "\xE2\x80\xA8", "\xE2\x80\xA9" };
  const char *first = NULL;
  if (!text[strcspn(text, "\n\r\xC2\xE2")]) { // nothing that any of them begins with: quick, and nearly always so
    return NULL;
  }
  for (guint i = 0; i < G_N_ELEMENTS(ends); ++i) {
    const char *at = strstr(text, ends[i]);
    first = at && (!first || at < first) ? at : first;
  }
  return first;
}

gboolean
rc_yaml_fail_line_end(RcPlace place, const char *what, const char *at, GError **error)
{
  return rc_fail(error, RC_ERROR_VALUE, place, "%s holds a line end (U+%04X); write it on one line", what,
                 g_utf8_get_char(at));
}

// The line and column, in characters, of a byte of `text`.
static RcPlace
place_of_byte(const char *text, const char *byte, const char *file)
{
  const char *line = text;
  RcPlace place = { file, 1, 1 };
  for (const char *at = text; at < byte; ++at) {
    if (*at == '\n') {
      line = at + 1;
      ++place.line;
    }
  }
  place.column = (guint)g_utf8_strlen(line, byte - line) + 1;
  return place;
}

static gboolean
check_utf8(const char *text, gsize length, const char *file, GError **error)
{
  const char *bad = NULL;
  if (g_utf8_validate_len(text, length, &bad)) {
    return TRUE;
  }
  return rc_fail(error, RC_ERROR_ENCODING, place_of_byte(text, bad, file),
                 "byte 0x%02X is not UTF-8 text; save the file as UTF-8", (guint)(guchar)*bad);
}

static gboolean
fail_load(const yaml_parser_t *parser, const char *text, gsize length, const char *file, GError **error)
{
  if (parser->error == YAML_READER_ERROR && parser->problem_offset < length) {
    return rc_yaml_fail_control(place_of_byte(text, text + parser->problem_offset, file), (guint)parser->problem_value,
                                error);
  }
  return rc_yaml_fail(parser, file, 0, error);
}

// Whether nothing follows the first document.
static gboolean
check_end(yaml_parser_t *parser, const char *text, gsize length, const char *file, GError **error)
{
  yaml_document_t more;
  if (!yaml_parser_load(parser, &more)) {
    return fail_load(parser, text, length, file, error);
  }
  const yaml_node_t *root = yaml_document_get_root_node(&more);
  const guint line = (guint)more.start_mark.line + 1;
  yaml_document_delete(&more);
  return !root || rc_fail(error, RC_ERROR_SYNTAX, (RcPlace){ file, line, 1 },
                          "a second document begins here; a file of this kind holds one, so remove the line `---`");
}

// libyaml takes time with the square of the depth, so a bound keeps a small file from taking minutes; and no text may
// hold NUL. Broken YAML passes: loading it says what is wrong.
static gboolean
check_events(const char *text, gsize length, const char *file, GError **error)
{
  yaml_parser_t parser;
  yaml_event_t event;
  guint depth = 0;
  yaml_mark_t mark = { 0, 0, 0 };
  gboolean ended = FALSE;
  gboolean good = TRUE;
  rc_yaml_start(&parser);
  yaml_parser_set_input_string(&parser, (const unsigned char *)text, length);
  while (good && !ended && depth <= RC_MAX_YAML_DEPTH && yaml_parser_parse(&parser, &event)) {
    mark = event.start_mark;
    depth += event.type == YAML_SEQUENCE_START_EVENT || event.type == YAML_MAPPING_START_EVENT;
    depth -= event.type == YAML_SEQUENCE_END_EVENT || event.type == YAML_MAPPING_END_EVENT;
    ended = event.type == YAML_STREAM_END_EVENT;
    good = rc_yaml_check_event(&event, file, 0, error);
    yaml_event_delete(&event);
  }
  yaml_parser_delete(&parser);
  const RcPlace place = { file, (guint)mark.line + 1, (guint)mark.column + 1 };
  if (!good) {
    return FALSE;
  }
  return depth <= RC_MAX_YAML_DEPTH ||
         rc_fail(error, RC_ERROR_LIMIT, place, "more than %d nested lists", RC_MAX_YAML_DEPTH);
}

gboolean
rc_yaml_tree_load(RcYamlTree *tree, const char *text, gsize length, const char *file, GError **error)
{
  yaml_parser_t parser;
  tree->file = file;
  if (!check_utf8(text, length, file, error) || !check_events(text, length, file, error)) {
    return FALSE;
  }
  rc_yaml_start(&parser);
  yaml_parser_set_input_string(&parser, (const unsigned char *)text, length);
  gboolean good = yaml_parser_load(&parser, &tree->document);
  if (!good) {
    fail_load(&parser, text, length, file, error);
  } else if (!check_end(&parser, text, length, file, error)) {
    yaml_document_delete(&tree->document);
    good = FALSE;
  }
  yaml_parser_delete(&parser);
  return good;
}

void
rc_yaml_tree_clear(RcYamlTree *tree)
{
  yaml_document_delete(&tree->document);
}

yaml_node_t *
rc_yaml_tree_root(RcYamlTree *tree, const char *what, GError **error)
{
  yaml_node_t *root = yaml_document_get_root_node(&tree->document);
  if (root && root->type == YAML_MAPPING_NODE) {
    return root;
  }
  const RcPlace place = root ? rc_yaml_place(tree, root) : (RcPlace){ tree->file, 1, 1 };
  rc_fail(error, RC_ERROR_SYNTAX, place, "%s is a list of `key: value` lines; found %s", what,
          root ? "something else" : "nothing");
  return NULL;
}

yaml_node_t *
rc_yaml_node(RcYamlTree *tree, yaml_node_item_t item)
{
  return yaml_document_get_node(&tree->document, item);
}

yaml_node_t *
rc_yaml_get(RcYamlTree *tree, const yaml_node_t *map, const char *key)
{
  const yaml_node_pair_t *pair = map->data.mapping.pairs.start;
  for (; pair < map->data.mapping.pairs.top; ++pair) {
    const char *text = rc_yaml_text(rc_yaml_node(tree, pair->key));
    if (text && !strcmp(text, key)) {
      return rc_yaml_node(tree, pair->value);
    }
  }
  return NULL;
}

const char *
rc_yaml_text(const yaml_node_t *node)
{
  return node && node->type == YAML_SCALAR_NODE ? (const char *)node->data.scalar.value : NULL;
}

RcPlace
rc_yaml_place(const RcYamlTree *tree, const yaml_node_t *node)
{
  return (RcPlace){ tree->file, (guint)node->start_mark.line + 1, (guint)node->start_mark.column + 1 };
}

gboolean
rc_yaml_fail_key(RcPlace place, const char *key, const char *const *known, GError **error)
{
  const char *nearest = rc_nearest_name(key, known);
  if (nearest) {
    return rc_fail(error, RC_ERROR_UNKNOWN, place, "unknown key `%s`; did you mean `%s`?", key, nearest);
  }
  char *all = g_strjoinv(", ", (char **)known);
  rc_fail(error, RC_ERROR_UNKNOWN, place, "unknown key `%s`; expected one of: %s", key, all);
  g_free(all);
  return FALSE;
}

gboolean
rc_yaml_check_keys(RcYamlTree *tree, const yaml_node_t *map, const char *const *known, GError **error)
{
  const yaml_node_pair_t *pair = map->data.mapping.pairs.start;
  for (; pair < map->data.mapping.pairs.top; ++pair) {
    const yaml_node_t *key = rc_yaml_node(tree, pair->key);
    const char *text = rc_yaml_text(key);
    if (!text || !g_strv_contains(known, text)) {
      return rc_yaml_fail_key(rc_yaml_place(tree, key), text ? text : "(a list)", known, error);
    }
  }
  return rc_yaml_check_once(tree, map, error);
}

gboolean
rc_yaml_check_once(RcYamlTree *tree, const yaml_node_t *map, GError **error)
{
  GHashTable *seen = g_hash_table_new(g_str_hash, g_str_equal);
  const yaml_node_pair_t *pair = map->data.mapping.pairs.start;
  gboolean good = TRUE;
  for (; good && pair < map->data.mapping.pairs.top; ++pair) {
    const yaml_node_t *key = rc_yaml_node(tree, pair->key);
    char *text = (char *)rc_yaml_text(key);
    good = !text || g_hash_table_add(seen, text) ||
           rc_fail(error, RC_ERROR_SYNTAX, rc_yaml_place(tree, key), "the key `%s` is given twice; keep one", text);
  }
  g_hash_table_unref(seen);
  return good;
}
