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

// Begins a value, a member of an object where it has a name.
static void
begin_value(GString *json, const char *name)
{
  if (json->len && !strchr("{[,\n", json->str[json->len - 1])) {
    g_string_append_c(json, ',');
  }
  if (name) {
    append_text(json, name);
    g_string_append_c(json, ':');
  }
}

void
rc_json_begin_object(GString *json, const char *name)
{
  begin_value(json, name);
  g_string_append_c(json, '{');
}

void
rc_json_end_object(GString *json)
{
  g_string_append_c(json, '}');
}

void
rc_json_begin_array(GString *json, const char *name)
{
  begin_value(json, name);
  g_string_append_c(json, '[');
}

void
rc_json_end_array(GString *json)
{
  g_string_append_c(json, ']');
}

void
rc_json_text(GString *json, const char *name, const char *value)
{
  if (!value) {
    rc_json_null(json, name);
    return;
  }
  begin_value(json, name);
  append_text(json, value);
}

void
rc_json_number(GString *json, const char *name, gint64 value)
{
  begin_value(json, name);
  g_string_append_printf(json, "%" G_GINT64_FORMAT, value);
}

void
rc_json_decimal(GString *json, const char *name, double value)
{
  static const char *const formats[] = { "%.15g", "%.16g", "%.17g" }; // the last says every number
  char text[G_ASCII_DTOSTR_BUF_SIZE];
  for (guint i = 0; i < G_N_ELEMENTS(formats); ++i) {
    g_ascii_formatd(text, sizeof text, formats[i], value);
    if (g_ascii_strtod(text, NULL) == value) { // NOLINT(clang-diagnostic-float-equal): the same number is meant
      break;
    }
  }
  begin_value(json, name);
  g_string_append(json, text);
}

void
rc_json_boolean(GString *json, const char *name, gboolean value)
{
  begin_value(json, name);
  g_string_append(json, value ? "true" : "false");
}

void
rc_json_null(GString *json, const char *name)
{
  begin_value(json, name);
  g_string_append(json, "null");
}
