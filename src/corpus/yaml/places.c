// Copyright 2026 the rowcall developers
// SPDX-License-Identifier: MIT

#include "corpus/yaml/places.h"

#include <string.h>

static gboolean
is_blank(char c)
{
  return c == ' ' || c == '\n' || c == '\t' || c == '\r';
}

static gboolean
begins_character(char c)
{
  return ((guchar)c & 0xC0U) != 0x80U;
}

// --------------------------------------------------------------------------------------------------- through the input

static void
step_raw(RcCursor *c)
{
  const gboolean newline = *c->raw == '\n';
  c->line += newline ? 1 : 0;
  c->column = newline ? 1 : c->column + 1;
  for (++c->raw; c->raw < c->raw_end && !begins_character(*c->raw); ++c->raw) {
  }
}

static gboolean
at_raw(const RcCursor *c, const char *text)
{
  const gsize length = strlen(text);
  return (gsize)(c->raw_end - c->raw) >= length && !memcmp(c->raw, text, length);
}

// How many characters are a blank here: none, one, or an escape such as the one that joins two lines.
static gsize
raw_blank_length(const RcCursor *c)
{
  static const char *const escapes[] = { "\\\n", "\\\r\n", "\\ ", "\\t", "\\n", "\\x20" };
  if (c->raw == c->raw_end || is_blank(*c->raw)) {
    return c->raw == c->raw_end ? 0 : 1;
  }
  if (*c->raw != '\\' || c->written->quote != '"') {
    return 0;
  }
  for (guint i = 0; i < G_N_ELEMENTS(escapes); ++i) {
    if (at_raw(c, escapes[i])) {
      return strlen(escapes[i]);
    }
  }
  return 0;
}

static void
skip_raw_blanks(RcCursor *c)
{
  for (gsize length; (length = raw_blank_length(c));) {
    for (; length; --length) {
      step_raw(c);
    }
  }
}

// How many characters stand for the letter here: an escape has several.
static guint
raw_letter_length(const RcCursor *c)
{
  if (c->written->quote == '\'') {
    return at_raw(c, "''") ? 2 : 1;
  }
  if (c->written->quote != '"' || !at_raw(c, "\\")) {
    return 1;
  }
  return at_raw(c, "\\x") ? 4 : at_raw(c, "\\u") ? 6 : at_raw(c, "\\U") ? 10 : 2;
}

static void
step_raw_letter(RcCursor *c)
{
  skip_raw_blanks(c);
  for (guint left = raw_letter_length(c); left && c->raw < c->raw_end; --left) {
    step_raw(c);
  }
}

// From the line's start to the text's first letter: after the quote, or on the line below a block's sign.
static void
enter_raw(RcCursor *c)
{
  const guint line = c->line;
  while (c->raw < c->raw_end && c->line == line && c->column < c->written->start.column) {
    step_raw(c);
  }
  if (c->written->quote && c->raw < c->raw_end) {
    step_raw(c);
  }
  while (c->written->block && c->raw < c->raw_end && c->line == line) {
    step_raw(c);
  }
}

// ------------------------------------------------------------------------------------------------------- the cursor

// Whether each character of the text is one on its line, `width` characters wide with its quotes.
static gboolean
is_plain(const char *text, const RcWritten *w, gsize width)
{
  const gsize written = width - (w->quote ? 2 : 0);
  return !w->quote || written == w->length || written == (gsize)g_utf8_strlen(text, (gssize)w->length);
}

RcCursor
rc_cursor_start(const char *text, const RcWritten *w, RcStream *stream)
{
  RcCursor c = { .text = text, .written = w, .line = w->start.line, .column = w->start.column + (w->quote ? 1 : 0) };
  const gsize width = w->end_column - w->start.column;
  gsize length = 0;
  if (w->start.line == w->end_line && is_plain(text, w, width)) {
    c.straight = width == w->length + (w->quote ? 2 : 0);
    return c;
  }
  c.raw = rc_stream_line(stream, w->start.line - 1, &length);
  if (c.raw) {
    c.raw_end = c.raw + length;
    c.column = 1;
    enter_raw(&c);
  }
  return c;
}

RcPlace
rc_cursor_follow(RcCursor *c, gsize offset)
{
  const RcWritten *w = c->written;
  if (!c->raw && w->start.line != w->end_line) { // forgotten: the place of the whole
    return w->start;
  }
  for (; c->offset < offset; ++c->offset) {
    const char letter = c->text[c->offset];
    if (!begins_character(letter)) {
      continue;
    }
    if (!c->raw) {
      ++c->column;
    } else if (!is_blank(letter)) {
      step_raw_letter(c);
    }
  }
  if (c->raw) {
    skip_raw_blanks(c);
  }
  return (RcPlace){ w->start.file, c->line, c->column };
}
