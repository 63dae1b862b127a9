// Copyright 2026 the rowcall developers
// SPDX-License-Identifier: MIT

// Chord symbols of an ABC tune, in the music or in symbol lines below it.

#include "corpus/abc/body.h"

#include <string.h>

// --------------------------------------------------------------------------------------------------------- symbols

// How a symbol is written today that is written as old collections do (`D/f+`, `Cd`): a new string, NULL where it is
// not.
static char *
old_symbol(const char *old, gsize length)
{
  const char *slash = memchr(old, '/', length);
  const gsize head = slash ? (gsize)(slash - old) : length;
  const gboolean sharp_bass = slash && length - head == 3 && slash[1] >= 'a' && slash[1] <= 'g' && slash[2] == '+';
  const gboolean diminished = head >= 2 && old[head - 1] == 'd' && (head == 2 || (head == 3 && strchr("b#", old[1])));
  if (!head || *old < 'A' || *old > 'G' || (!sharp_bass && !diminished)) {
    return NULL;
  }
  GString *today = g_string_new_len(old, (gssize)(diminished ? head - 1 : head));
  g_string_append(today, diminished ? "dim" : "");
  if (sharp_bass) {
    g_string_append_printf(today, "/%c#", slash[1]);
  } else if (slash) {
    g_string_append_len(today, slash, (gssize)(length - head));
  }
  return g_string_free(today, FALSE);
}

static guint
index_of(AbcBody *b, const char *text)
{
  return rc_symbols_index(b->music->symbols, text, strlen(text));
}

static guint
index_of_latin(AbcBody *b, AbcText text)
{
  char *utf8 = abc_text_to_utf8(text);
  const guint index = index_of(b, utf8);
  g_free(utf8);
  return index;
}

// The index of a symbol, which may be written as it is not read at once: with an alternative behind it, or as old
// collections do.
static guint
symbol_of(AbcBody *b, const char *text, gsize length)
{
  if (!b->ascii && !g_utf8_validate(text, (gssize)length, NULL)) {
    return index_of_latin(b, (AbcText){ text, text + length });
  }
  guint index = rc_symbols_index(b->music->symbols, text, length);
  if (g_array_index(b->tune->symbols, RcSymbol, index).kind != RC_SYMBOL_UNREAD) {
    return index;
  }
  const char *bracket = memchr(text, '(', length); // an alternative: G(Em), section 4.18
  if (bracket && bracket > text) {
    return rc_symbols_index(b->music->symbols, text, (gsize)(bracket - text));
  }
  char *today = old_symbol(text, length);
  if (today) {
    ++b->music->habits[ABC_HABIT_SYMBOLS];
    index = b->music->read_habits[ABC_HABIT_SYMBOLS] ? index_of(b, today) : index;
    g_free(today);
  }
  return index;
}

gboolean
abc_is_annotation(const char *text)
{
  const char c = *text;
  return c == '^' || c == '_' || c == '<' || c == '>' || c == '@' || c == '"';
}

static gboolean
is_blank(char c)
{
  return c == ' ' || c == '\t';
}

// Begins the chord that a text between quotes asks for, its blanks at the ends and remarks left out; an annotation asks
// for none.
static void
begin_chord(AbcBody *b, const char *start, const char *close, AbcLine *line)
{
  enum { SHORTEST_JUMP = 4 };
  if (start == close || abc_is_annotation(start)) {
    return;
  }
  const guint jump = close - start >= SHORTEST_JUMP ? abc_jump((AbcText){ start, close }) : 0;
  if (jump) { // many books write "D.C." and "Fine" as if they were chords
    b->marks->jumps |= jump;
    return;
  }
  abc_close_event(b);
  abc_open_event(b, symbol_of(b, start, (gsize)(close - start)), line->number, abc_column(b, line, start));
  b->music->chords = TRUE;
}

gboolean
abc_read_string(AbcBody *b, GError **error)
{
  const char *start = b->at + 1;
  const char *close = start;
  gboolean remark = FALSE;
  for (; *close != '"'; ++close) {
    if (abc_ends_line(*close)) {
      return abc_fail(b, b->at, RC_ERROR_SYNTAX, "a chord symbol begins here and has no closing quote on its line",
                      error);
    }
    remark |= *close == '%';
  }
  b->at = close + 1;
  if (b->overlay) {
    return TRUE;
  }
  if (remark || is_blank(*start) || is_blank(close[-1])) {
    const AbcText text = abc_trim((AbcText){ start, close });
    start = text.at;
    close = text.end;
  }
  begin_chord(b, start, close, &b->line);
  return b->tune->symbols->len <= RC_MAX_SYMBOLS || abc_check_limits(b, error);
}

// --------------------------------------------------------------------------------------------------- symbol lines

// Section 4.20: below a line of music, a text in quotes or a decoration for each note, `*` for none, `|` for the bar.

// Whether what stands between a line of music and its symbol lines: other fields of notes, and remarks.
static gboolean
may_stand_between(const char *line)
{
  return *line == '%' || (line[0] == 'w' && line[1] == ':');
}

void
abc_find_symbol_lines(AbcBody *b)
{
  guint number = b->line.number + 1;
  b->n_symbol_lines = 0;
  for (const char *end = abc_line_end(b->at); *end && end + 1 < b->text.end; ++number) {
    const char *line = end + 1;
    if (line[0] == 's' && line[1] == ':' && b->n_symbol_lines < ABC_MAX_SYMBOL_LINES) {
      b->symbol_lines[b->n_symbol_lines++] = (AbcSymbolLine){ { number, line, line, 0 }, line + 2 };
    } else if (!may_stand_between(line)) {
      break;
    }
    end = abc_line_end(line);
  }
}

static void
skip_blanks(AbcSymbolLine *s)
{
  while (is_blank(*s->at) || *s->at == '\r') {
    ++s->at;
  }
}

static void
take_symbol(AbcBody *b, AbcSymbolLine *s)
{
  skip_blanks(s);
  const char sign = *s->at;
  if (sign == '|' || sign == '%' || abc_ends_line(sign)) {
    return; // the line has no more for this bar
  }
  const char *start = ++s->at;
  if (sign != '"' && sign != '!' && sign != '+') {
    return;
  }
  while (*s->at != sign && !abc_ends_line(*s->at)) {
    ++s->at;
  }
  const AbcText text = abc_trim((AbcText){ start, s->at });
  s->at += *s->at == sign;
  if (sign == '"') {
    begin_chord(b, text.at, text.end, &s->line);
  } else {
    b->marks->jumps |= abc_jump(text);
  }
}

void
abc_take_symbols(AbcBody *b)
{
  for (guint i = 0; i < b->n_symbol_lines && b->tune->symbols->len <= RC_MAX_SYMBOLS; ++i) {
    take_symbol(b, &b->symbol_lines[i]);
  }
}

void
abc_pass_symbol_bars(AbcBody *b)
{
  for (guint i = 0; i < b->n_symbol_lines; ++i) {
    AbcSymbolLine *s = &b->symbol_lines[i];
    skip_blanks(s);
    s->at += *s->at == '|';
  }
}
