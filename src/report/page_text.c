// Copyright 2026 the rowcall developers
// SPDX-License-Identifier: MIT

// The browser page with tunes inside: what it holds is JSON in a script element that no browser runs.

#include "rowcall/report.h"

#include "report/json_text.h"

#include <string.h>

static const char opening[] = "<script type=\"application/json\" id=\"given\">";

// As text where it is text, so that people can read it there.
static void
add_file(GString *json, const RcPageFile *file)
{
  gsize length = 0;
  const char *content = g_bytes_get_data(file->content, &length);
  rc_json_begin_object(json, NULL);
  rc_json_text(json, "name", file->name);
  if (g_utf8_validate_len(content, length, NULL)) {
    char *text = g_strndup(content, length);
    rc_json_text(json, "text", text);
    g_free(text);
  } else {
    char *base64 = g_base64_encode((const guchar *)content, length);
    rc_json_text(json, "base64", base64);
    g_free(base64);
  }
  rc_json_end_object(json);
}

static void
add_dead(GString *json, const char *without)
{
  char **buttons = g_strsplit(without ? without : "", ",", -1);
  rc_json_begin_array(json, "dead");
  for (char **button = buttons; *button; ++button) {
    if (*g_strstrip(*button)) {
      rc_json_text(json, NULL, *button);
    }
  }
  rc_json_end_array(json);
  g_strfreev(buttons);
}

static GString *
given_json(const RcPageGiven *given)
{
  GString *json = g_string_new(NULL);
  rc_json_begin_object(json, NULL);
  rc_json_begin_array(json, "tunes");
  for (guint i = 0; i < given->n; ++i) {
    add_file(json, &given->files[i]);
  }
  rc_json_end_array(json);
  rc_json_text(json, given->own ? "own" : "board", given->own ? given->own : given->board);
  add_dead(json, given->without);
  rc_json_begin_array(json, "options");
  for (const char *const *option = given->options; *option; ++option) {
    rc_json_text(json, NULL, *option);
  }
  rc_json_end_array(json);
  rc_json_end_object(json);
  return json;
}

// Outside strings JSON has none of these, so that no tune can end the element it is in.
static void
append_escaped(GString *page, const GString *json)
{
  for (gsize i = 0; i < json->len; ++i) {
    const char letter = json->str[i];
    if (letter == '<' || letter == '>' || letter == '&') {
      g_string_append_printf(page, "\\u%04x", (guint)letter);
    } else {
      g_string_append_c(page, letter);
    }
  }
}

GString *
rc_report_page(const char *page, const char *file, const RcPageGiven *given, GError **error)
{
  const char *found = strstr(page, opening);
  const char *from = found ? found + strlen(opening) : NULL;
  const char *to = from ? strchr(from, '<') : NULL;
  if (!to) {
    rc_fail(
      error, RC_ERROR_VALUE, (RcPlace){ file, 0, 0 },
      "this is no page of rowcall: found no place for tunes in it, expected the file that src/page/build.sh makes");
    return NULL;
  }
  GString *json = given_json(given);
  GString *filled = g_string_new_len(page, from - page);
  append_escaped(filled, json);
  g_string_append(filled, to);
  g_string_free(json, TRUE);
  return filled;
}
