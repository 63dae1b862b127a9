// Copyright 2026 the rowcall developers
// SPDX-License-Identifier: MIT

#include "corpus/abc/cursor.h"

#include <string.h>

void
abc_start_line(AbcCursor *c, const char *line, guint number)
{
  c->at = line;
  c->line = line;
  c->number = number;
  c->counted = line;
  c->characters = 0;
}

guint
abc_count_characters(AbcCursor *c, const char *at)
{
  for (; c->counted < at; ++c->counted) {
    c->characters += ((guchar)*c->counted & 0xC0U) != 0x80;
  }
  return c->characters;
}

gboolean
abc_fail(AbcCursor *c, const char *at, RcErrorCode code, const char *message, GError **error)
{
  const AbcPlace place = abc_place(c, at);
  return rc_fail(error, code, (RcPlace){ c->file, place.line, place.column }, "%s", message);
}

const char *
abc_line_end(const char *at)
{
  return at + strcspn(at, "\n");
}

void
abc_skip_past(AbcCursor *c, char close)
{
  while (*c->at != close && !abc_ends_line(*c->at)) {
    ++c->at;
  }
  c->at += *c->at == close;
}

gsize
abc_read_digits(AbcCursor *c, guint *number)
{
  const char *start = c->at;
  guint value = 0;
  for (; g_ascii_isdigit(*c->at); ++c->at) {
    value = value < 100000 ? 10 * value + (guint)(*c->at - '0') : value;
  }
  *number = value;
  return (gsize)(c->at - start);
}
