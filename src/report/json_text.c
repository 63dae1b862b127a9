// Copyright 2026 the rowcall developers
// SPDX-License-Identifier: MIT

#include "report/json_text.h"

#include "base/visible.h"

#include <string.h>

static void
append_character(GString *out, gunichar code)
{
  if (code == '"' || code == '\\') {
    g_string_append_c(out, '\\');
  }
  if (rc_is_hidden(code)) {
    g_string_append_printf(out, "\\u%04x", code);
  } else {
    g_string_append_unichar(out, code);
  }
}

static void
append_text(GString *out, const char *text)
{
  char *valid = g_utf8_make_valid(text, -1);
  g_string_append_c(out, '"');
  for (const char *at = valid; *at; at = g_utf8_next_char(at)) {
    append_character(out, g_utf8_get_char(at));
  }
  g_string_append_c(out, '"');
  g_free(valid);
}

static void
append_double(GString *out, double value)
{
  static const char *const formats[] = { "%.15g", "%.16g", "%.17g" }; // the last says every number
  char text[G_ASCII_DTOSTR_BUF_SIZE];
  for (guint i = 0; i < G_N_ELEMENTS(formats); ++i) {
    g_ascii_formatd(text, sizeof text, formats[i], value);
    if (g_ascii_strtod(text, NULL) == value) { // NOLINT(clang-diagnostic-float-equal): the same number is meant
      break;
    }
  }
  g_string_append(out, text);
}

static void
append_value(GString *out, JsonNode *node)
{
  const GType type = json_node_get_value_type(node);
  if (type == G_TYPE_STRING) {
    append_text(out, json_node_get_string(node));
  } else if (type == G_TYPE_DOUBLE) {
    append_double(out, json_node_get_double(node));
  } else if (type == G_TYPE_BOOLEAN) {
    g_string_append(out, json_node_get_boolean(node) ? "true" : "false");
  } else {
    g_string_append_printf(out, "%" G_GINT64_FORMAT, json_node_get_int(node));
  }
}

static void
append_element(JsonArray *array G_GNUC_UNUSED, guint index, JsonNode *element, gpointer out)
{
  g_string_append(out, index ? "," : "");
  rc_append_json(out, element);
}

static void
append_member(JsonObject *object G_GNUC_UNUSED, const char *name, JsonNode *member, gpointer data)
{
  GString *out = data;
  g_string_append(out, out->str[out->len - 1] == '{' ? "" : ",");
  append_text(out, name);
  g_string_append_c(out, ':');
  rc_append_json(out, member);
}

void
rc_append_json(GString *out, JsonNode *node)
{
  switch (json_node_get_node_type(node)) {
  case JSON_NODE_OBJECT:
    g_string_append_c(out, '{');
    json_object_foreach_member(json_node_get_object(node), append_member, out);
    g_string_append_c(out, '}');
    break;
  case JSON_NODE_ARRAY:
    g_string_append_c(out, '[');
    json_array_foreach_element(json_node_get_array(node), append_element, out);
    g_string_append_c(out, ']');
    break;
  case JSON_NODE_VALUE:
    append_value(out, node);
    break;
  case JSON_NODE_NULL:
    g_string_append(out, "null");
    break;
  }
}
