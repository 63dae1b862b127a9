// Copyright 2026 the rowcall developers
// SPDX-License-Identifier: MIT

#include "clean.h"

#include <string.h>

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

// Whether eight bytes are all printable ASCII: none below a space, none with the high bit, none DEL.
static gboolean
is_plain_word(const char *bytes)
{
  const guint64 ones = G_GUINT64_CONSTANT(0x0101010101010101);
  const guint64 high = ones << 7U;
  guint64 word;
  memcpy(&word, bytes, sizeof word);
  return !((word | (word - ones * 0x20) | (word + ones)) & high);
}

static void
note(RcCleaner *c, char *bytes, gsize length, guint code, gboolean control)
{
  const RcBadText bad = { c->line, c->column, code, control };
  g_array_append_val(c->bad, bad);
  memset(bytes, '?', length);
}

static gboolean
is_allowed(gunichar code)
{
  return (code >= ' ' && code <= '~') || code == '\t' || code == '\n' || code == '\r' || code == 0x85 ||
         (code >= 0xA0 && code != 0xFEFF && code != 0xFFFE && code != 0xFFFF);
}

// Goes over one character; 0 where it is cut off.
static gsize
pass_character(RcCleaner *c, char *at, gsize length, gboolean whole)
{
  const gunichar code = (guchar)*at < 0x80 ? (gunichar)(guchar)*at : g_utf8_get_char_validated(at, (gssize)length);
  gsize n = 1;
  if (code == (gunichar)-2 && !whole) {
    return 0;
  }
  if (code == (gunichar)-1 || code == (gunichar)-2) {
    note(c, at, 1, (guchar)*at, FALSE);
  } else {
    n = (guchar)*at < 0x80 ? 1 : (gsize)(g_utf8_next_char(at) - at);
    if (!is_allowed(code)) {
      note(c, at, n, code, TRUE);
    }
  }
  ++c->column;
  if (code == '\n') {
    ++c->line;
    c->column = 1;
  }
  return n;
}

gsize
rc_cleaner_pass(RcCleaner *c, char *bytes, gsize length)
{
  enum { WORD = 8, LONGEST = 4 };
  char *at = bytes;
  char *end = bytes + length;
  while (at < end) {
    if (end - at >= WORD && is_plain_word(at)) {
      at += WORD;
      c->column += WORD;
      continue;
    }
    const gsize n = pass_character(c, at, (gsize)(end - at), length < LONGEST);
    if (!n) {
      break;
    }
    at += n;
  }
  return (gsize)(at - bytes);
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
