// Copyright 2026 the rowcall developers
// SPDX-License-Identifier: MIT

#include "corpus/clean.h"

#include <string.h>

enum { BLOCK = 64 };

void
rc_cleaner_start(RcCleaner *c, guint line)
{
  c->bad = c->bad ? c->bad : g_array_new(FALSE, FALSE, sizeof(RcBadText));
  g_array_set_size(c->bad, 0);
  c->line = line;
  c->column = 1;
}

void
rc_cleaner_clear(RcCleaner *c)
{
  g_clear_pointer(&c->bad, g_array_unref);
}

guint
rc_count_lines(const char *text, gsize length)
{
  enum { RUN = 128 }; // of which a byte holds the count, so that the compiler counts many at once
  guint lines = 0;
  for (; length >= RUN; text += RUN, length -= RUN) {
    guint8 run = 0;
    for (guint i = 0; i < RUN; ++i) {
      run = (guint8)(run + (text[i] == '\n'));
    }
    lines += run;
  }
  for (gsize i = 0; i < length; ++i) {
    lines += text[i] == '\n';
  }
  return lines;
}

// Whether a block is printable ASCII and ends of lines. Without a way out in its middle, so that it is fast.
static gboolean
is_plain(const char *bytes)
{
  guint8 strange = 0;
  for (guint i = 0; i < BLOCK; ++i) {
    const guint8 c = (guint8)bytes[i];
    strange = (guint8)(strange | ((c < ' ') & (c != '\n')) | (c > '~'));
  }
  return !strange;
}

// Goes on to the place after good text.
static void
advance(RcCleaner *c, const char *from, const char *to)
{
  const guint lines = rc_count_lines(from, (gsize)(to - from));
  const char *line = to;
  while (line > from && line[-1] != '\n') {
    --line;
  }
  c->line += lines;
  c->column = (lines ? 1 : c->column) + (guint)g_utf8_strlen(line, to - line);
}

static gboolean
is_allowed(gunichar code)
{
  return (code >= ' ' && code <= '~') || code == '\t' || code == '\n' || code == '\r' || code == 0x85 ||
         (code >= 0xA0 && code != 0xFEFF && code != 0xFFFE && code != 0xFFFF);
}

static void
note(RcCleaner *c, char *at, gsize length, guint code, gboolean control)
{
  const RcBadText bad = { c->line, c->column, code, control };
  g_array_append_val(c->bad, bad);
  memset(at, '?', length);
  ++c->column;
}

// Goes over one character, counting up to it from `counted` where it is no text; 0 where it is cut off.
static gsize
pass_character(RcCleaner *c, char *at, gsize length, gboolean whole, const char **counted)
{
  const gunichar code = (guchar)*at < 0x80 ? (gunichar)(guchar)*at : g_utf8_get_char_validated(at, (gssize)length);
  if (code == (gunichar)-2 && !whole && length < (gsize)g_utf8_skip[(guchar)*at]) { // a zero byte cuts off nothing
    return 0;
  }
  const gboolean broken = code == (gunichar)-1 || code == (gunichar)-2;
  const gsize n = broken || code < 0x80 ? 1 : (gsize)(g_utf8_next_char(at) - at);
  if (broken || !is_allowed(code)) {
    advance(c, *counted, at);
    note(c, at, n, broken ? (guchar)*at : code, !broken);
    *counted = at + n;
  }
  return n;
}

// Goes over `length` bytes or less, to the start of a character that is cut off.
static gsize
pass_characters(RcCleaner *c, char *bytes, gsize length, gsize left, gboolean whole, const char **counted)
{
  gsize at = 0;
  while (at < length) {
    const gsize n = pass_character(c, bytes + at, left - at, whole, counted);
    if (!n) {
      break;
    }
    at += n;
  }
  return at;
}

gsize
rc_cleaner_pass(RcCleaner *c, char *bytes, gsize length)
{
  enum { LONGEST = 4 };
  const char *counted = bytes;
  gsize at = 0;
  while (at < length) {
    const gsize left = length - at;
    if (left >= BLOCK && is_plain(bytes + at)) {
      at += BLOCK;
      continue;
    }
    const gsize n = pass_characters(c, bytes + at, MIN(left, BLOCK), left, length < LONGEST, &counted);
    if (!n) {
      break;
    }
    at += n;
  }
  advance(c, counted, bytes + at);
  return at;
}

static gboolean
stands_before(const RcBadText *bad, guint line, guint column)
{
  return bad->line < line || (bad->line == line && bad->column <= column); // its own column is counted from 1
}

gboolean
rc_cleaner_take(RcCleaner *c, guint line, guint column, RcBadText *first)
{
  guint n = 0;
  while (n < c->bad->len && stands_before(&g_array_index(c->bad, RcBadText, n), line, column)) {
    ++n;
  }
  if (n) {
    *first = g_array_index(c->bad, RcBadText, 0);
    g_array_remove_range(c->bad, 0, n);
  }
  return n > 0;
}
