// Copyright 2026 the rowcall developers
// SPDX-License-Identifier: MIT

#include "corpus/abc/lines.h"

#include <string.h>

enum { LAST_ENDING = 63 };

// "1", "1,3", "1-3": which times an ending is for.
static guint64
read_numbers(AbcCursor *c)
{
  guint64 endings = 0;
  for (guint first = 0; g_ascii_isdigit(*c->at);) {
    guint last = 0;
    abc_read_digits(c, &first);
    last = first;
    if (*c->at == '-' && g_ascii_isdigit(c->at[1])) {
      ++c->at;
      abc_read_digits(c, &last);
    }
    for (guint n = first; n <= MIN(last, LAST_ENDING); ++n) {
      endings |= G_GUINT64_CONSTANT(1) << n;
    }
    if (*c->at == ',' && g_ascii_isdigit(c->at[1])) {
      ++c->at;
    }
  }
  return endings;
}

guint64
abc_read_ending(AbcCursor *c)
{
  ++c->at;
  return read_numbers(c);
}

static guint
count_colons(AbcCursor *c)
{
  const char *start = c->at;
  while (*c->at == ':') {
    ++c->at;
  }
  return (guint)MIN(c->at - start, LAST_ENDING - 1);
}

static gboolean
is_line_or_end(char c)
{
  return c == '|' || c == ']' || abc_ends_line(c);
}

// Lines and brackets, but no bracket that begins an ending, a field or a chord.
static guint
count_lines(AbcCursor *c)
{
  const char *start = c->at;
  while (*c->at == '|' || *c->at == ']' || (*c->at == '[' && is_line_or_end(c->at[1]))) {
    ++c->at;
  }
  return (guint)(c->at - start);
}

// What leaves a single line before it one that only ends a bar.
static const guint8 leaves_line_alone[256] = {
  ['A'] = 1, ['B'] = 1, ['C'] = 1, ['D'] = 1, ['E'] = 1, ['F'] = 1, ['G'] = 1, ['H'] = 1, ['I'] = 1, ['J'] = 1,
  ['K'] = 1, ['L'] = 1, ['M'] = 1, ['N'] = 1, ['O'] = 1, ['P'] = 1, ['Q'] = 1, ['R'] = 1, ['S'] = 1, ['T'] = 1,
  ['U'] = 1, ['V'] = 1, ['W'] = 1, ['X'] = 1, ['Y'] = 1, ['Z'] = 1, ['a'] = 1, ['b'] = 1, ['c'] = 1, ['d'] = 1,
  ['e'] = 1, ['f'] = 1, ['g'] = 1, ['h'] = 1, ['i'] = 1, ['j'] = 1, ['k'] = 1, ['l'] = 1, ['m'] = 1, ['n'] = 1,
  ['o'] = 1, ['p'] = 1, ['q'] = 1, ['r'] = 1, ['s'] = 1, ['t'] = 1, ['u'] = 1, ['v'] = 1, ['w'] = 1, ['x'] = 1,
  ['y'] = 1, ['z'] = 1, ['"'] = 1, ['('] = 1, ['^'] = 1, ['='] = 1, ['_'] = 1, ['{'] = 1, ['~'] = 1, ['\n'] = 1
};

gboolean
abc_is_plain_line(const char *at)
{
  return at[0] == '|' && leaves_line_alone[(guchar)at[1 + (at[1] == ' ')]];
}

static guint64
read_endings_after(AbcCursor *c)
{
  const char *ending = c->at;
  while (*ending == ' ') {
    ++ending;
  }
  if (*ending == '[' && g_ascii_isdigit(ending[1])) {
    c->at = ending + 1;
  }
  return read_numbers(c);
}

void
abc_read_bar_line(AbcCursor *c, AbcBarLine *line)
{
  *line = (AbcBarLine){ 0 };
  line->closes = count_colons(c);
  const char *lines = c->at;
  const guint n = count_lines(c);
  const gboolean invisible = n == 3 && !strncmp(lines, "[|]", 3);
  line->breaks = !invisible && (n > 1 || (n == 1 && *lines != '|'));
  line->opens = count_colons(c);
  if (!n && line->closes > 1) { // "::" closes and opens
    line->opens = 1;
    --line->closes;
  }
  line->endings = read_endings_after(c);
}
