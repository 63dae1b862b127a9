// Copyright 2026 the rowcall developers
// SPDX-License-Identifier: MIT

#include "corpus/yaml/cuts.h"

#include <string.h>

enum { MARK = 4 }; // bytes of `---` or `...` and what ends it

// Whether a line is such a mark, `---` or `...`.
static gboolean
is_mark(const char *line, gsize length, const char *mark)
{
  const char end = length >= MARK ? line[MARK - 1] : '\0';
  return (end == ' ' || end == '\t' || end == '\r' || end == '\n') && !memcmp(line, mark, MARK - 1);
}

static const char *
start_of_line(const char *text, const char *at)
{
  while (at > text && at[-1] != '\n') {
    --at;
  }
  return at;
}

// The first place of what ends a line; `end` where there is none.
static const char *
find_line_end(const char *text, const char *end, const char *sign)
{
  const gsize n = strlen(sign);
  for (const char *at = text; (at = memchr(at, *sign, (gsize)(end - at))) && (gsize)(end - at) > n; ++at) {
    if (!memcmp(at, sign, n) && (*sign != '\r' || at[1] != '\n')) {
      return at;
    }
  }
  return end;
}

// Where a line first ends otherwise than with a line feed. From there on libyaml counts other lines than all else does.
static const char *
find_odd_end(const char *text, const char *end)
{
  static const char *const odd[] = { "\r", "\xC2\x85", "\u2028", "\u2029" };
  for (guint i = 0; i < G_N_ELEMENTS(odd); ++i) {
    end = find_line_end(text, end, odd[i]);
  }
  return end;
}

// Whether the document before this one can be read without it, and this one without what is before. Directives such as
// %YAML belong to the document that begins after them, and so do all lines from the beginning of the text on, or after
// `...`: bytes that are no text are a mistake of it. (A line of a quote may look like a directive; then the text is not
// cut here, though it could be.)
static gboolean
is_cut(const char *text, const char *document, gboolean first)
{
  gboolean empty = TRUE; // all lines from here on up to the document
  for (const char *line = document; line > text;) {
    line = start_of_line(text, line - 1);
    const gsize length = (gsize)(document - line);
    if (*line == '%' || is_mark(line, length, "---")) {
      return *line != '%';
    }
    if (is_mark(line, length, "...")) {
      return empty;
    }
    empty = empty && (*line == '\n' || *line == '\r');
  }
  return !first;
}

static gsize
find(const char *text, gsize length, gsize most, gboolean first)
{
  const char *end = text + length;
  const gsize mark = first && length >= 3 && !memcmp(text, "\xEF\xBB\xBF", 3) ? 3 : 0; // of the order of bytes
  const char *from = text + mark;
  const char *to = text + MAX(mark, MIN(most, length));
  const char *line = start_of_line(from, find_odd_end(from, to));
  while (line > from) {
    if (is_mark(line, (gsize)(end - line), "---") && is_cut(from, line, first)) {
      return (gsize)(line - text);
    }
    line = start_of_line(from, line - 1);
  }
  return 0;
}

const RcCuts rc_yaml_cuts = { .ahead = MARK, .find = find };
