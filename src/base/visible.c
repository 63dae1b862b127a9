// Copyright 2026 the rowcall developers
// SPDX-License-Identifier: MIT

#include "base/visible.h"

#include <string.h>

typedef struct {
  gunichar first;
  gunichar last;
} Range;

static const Range hidden[] = { { 0x00, 0x1F },     { 0x7F, 0x9F },     { 0x61C, 0x61C },
                                { 0x200E, 0x200F }, { 0x2028, 0x202E }, { 0x2066, 0x2069 } };

gboolean
rc_is_hidden(gunichar code)
{
  for (guint i = 0; i < G_N_ELEMENTS(hidden); ++i) {
    if (code >= hidden[i].first && code <= hidden[i].last) {
      return TRUE;
    }
  }
  return FALSE;
}

static void
append_hidden(GString *out, gunichar code)
{
  static const char named[] = "\t\n\r";
  const char *place = code ? strchr(named, (int)code) : NULL;
  if (place) {
    g_string_append_printf(out, "\\%c", "tnr"[place - named]);
  } else {
    g_string_append_printf(out, code < 0x100 ? "\\x%02x" : "\\u%04x", code);
  }
}

static gboolean
is_plain(char c)
{
  return c >= ' ' && c < 0x7F;
}

// Appends the character at `text`, or a byte that is none, and returns what follows.
static const char *
append_character(GString *out, const char *text, const char *end)
{
  const gunichar code = g_utf8_get_char_validated(text, end - text);
  if (code >= 0x110000) { // says that it is none
    append_hidden(out, (guchar)*text);
    return text + 1;
  }
  const char *next = text + g_utf8_skip[(guchar)*text];
  if (rc_is_hidden(code)) {
    append_hidden(out, code);
  } else {
    g_string_append_len(out, text, next - text);
  }
  return next;
}

// The length of the line end at `text`, 0 where there is none.
static gsize
line_end(const char *text, const char *end)
{
  const gsize returns = *text == '\r';
  return text + returns < end && text[returns] == '\n' ? returns + 1 : 0;
}

static GString *
make_visible(const char *text, gsize length, gboolean lines)
{
  GString *out = g_string_sized_new(length);
  for (const char *end = text + length; text < end;) {
    const char *plain = text;
    while (plain < end && is_plain(*plain)) {
      ++plain;
    }
    const gsize kept = (gsize)(plain - text) + (lines && plain < end ? line_end(plain, end) : 0);
    g_string_append_len(out, text, (gssize)kept);
    text += kept;
    if (!kept) {
      text = append_character(out, text, end);
    }
  }
  return out;
}

char *
rc_visible(const char *text)
{
  return g_string_free(make_visible(text, strlen(text), FALSE), FALSE);
}

GString *
rc_visible_lines(const char *text, gsize length)
{
  return make_visible(text, length, TRUE);
}
