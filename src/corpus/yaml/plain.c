// Copyright 2026 the rowcall developers
// SPDX-License-Identifier: MIT

#include "corpus/yaml/plain.h"

#include <string.h>

enum { TO_COME = -1, DELETE = 0x7F, LONGEST_NAME = 64 };

// A place in a document. The text ends with a line end, so that one comes wherever this is.
typedef struct {
  YmDocument *document;
  const char *at;
  const char *start; // of the line
  const char *end;   // of the text
  RcPlace place;     // of the line
  gssize indent;     // of the parts; 0 where none can come, TO_COME where the first must
} Reading;

// ------------------------------------------------------------------------------------------------------------- texts

// Whether a character of several bytes is a letter or sign as any other: no line end, mark or control.
static gboolean
is_usual(gunichar c)
{
  return c >= 0xA0 && c != 0x2028 && c != 0x2029 && c != 0xFEFF && c != 0xFFFE && c != 0xFFFF;
}

// The characters of a text that has some of several bytes; 0 where they are not all usual.
static gsize
count_wide(const char *text, gsize length)
{
  gsize n = 0;
  if (!g_utf8_validate_len(text, length, NULL)) {
    return 0;
  }
  for (const char *at = text; at < text + length; at = g_utf8_next_char(at), ++n) {
    if ((guchar)*at > DELETE && !is_usual(g_utf8_get_char(at))) {
      return 0;
    }
  }
  return n;
}

static RcPlace
place_of(const Reading *reading, const char *at)
{
  return (RcPlace){ reading->place.file, reading->place.line, reading->place.column + (guint)(at - reading->start) };
}

// Keeps a text on one line that begins here, with its quotes; the place is then after it. FALSE where a character in it
// is odd.
static gboolean
keep(Reading *reading, YmText *text, const char *end, gboolean wide, char quote)
{
  const char *from = reading->at + (quote ? 1 : 0);
  const gsize length = (gsize)(end - reading->at) - (quote ? 2 : 0);
  const gsize characters = wide ? count_wide(from, length) : length;
  const RcPlace place = place_of(reading, reading->at);
  const guint width = (guint)characters + (quote ? 2 : 0);
  text->written = (RcWritten){ length, place, place.line, place.column + width, quote, FALSE };
  text->given = TRUE;
  memcpy(ym_document_add(reading->document, text, length), from, length);
  reading->at = end;
  return characters || !wide;
}

// Reads a text without quotes, up to the end of the line or a comment.
static gboolean
read_bare(Reading *reading, YmText *text)
{
  const char *at = reading->at;
  guint8 wide = 0;
  for (; *at != '\n' && !(*at == '#' && at[-1] == ' '); ++at) {
    const guint8 c = (guint8)*at;
    if (c < ' ' || c == DELETE || (c == ':' && (at[1] == ' ' || at[1] == '\n'))) {
      return FALSE;
    }
    wide |= c;
  }
  while (at[-1] == ' ') {
    --at;
  }
  return keep(reading, text, at, wide > DELETE, '\0');
}

// Puts the lines of a text together, a space for each line end and the blanks about it; the place is then in the last.
// Returns the length; 0 where libyaml would keep a line end, or may not allow what is there.
static gsize
fold(Reading *reading, const char *end, char *folded)
{
  char *to = folded;
  for (const char *at = reading->at; at < end;) {
    if (*at != '\n') {
      *to++ = *at++;
      continue;
    }
    while (to > folded && to[-1] == ' ') {
      --to;
    }
    reading->start = ++at;
    ++reading->place.line;
    while (*at == ' ') {
      ++at;
    }
    if (*at == '\n') {
      return 0;
    }
    *to++ = ' ';
  }
  return (gsize)(to - folded);
}

// The same for a text on several lines.
static gboolean
keep_folded(Reading *reading, YmText *text, const char *end, char quote)
{
  const RcPlace place = place_of(reading, reading->at);
  const gsize most = (gsize)(end - ++reading->at);
  char *folded = ym_document_add(reading->document, text, most);
  const gsize length = fold(reading, end, folded);
  memset(folded + length, 0, most - length);
  reading->at = end + 1;
  const RcPlace after = place_of(reading, reading->at);
  text->written = (RcWritten){ length, place, after.line, after.column, quote, FALSE };
  text->given = TRUE;
  return length > 0;
}

static gboolean
read_quoted(Reading *reading, YmText *text)
{
  const char quote = *reading->at;
  gboolean lines = FALSE;
  guint8 wide = 0;
  const char *at = reading->at + 1;
  for (; *at != quote; ++at) {
    const guint8 c = (guint8)*at;
    const gboolean newline = c == '\n' && at + 1 < reading->end && at[1] == ' ';
    if ((c < ' ' && !newline) || c == DELETE || c == '\\') {
      return FALSE;
    }
    lines |= newline;
    wide |= c;
  }
  if (!lines) {
    return keep(reading, text, at + 1, wide > DELETE, quote);
  }
  return wide <= DELETE && keep_folded(reading, text, at, quote);
}

// Goes on to the next line, where nothing but blanks is left of this one.
static gboolean
end_line(Reading *reading)
{
  while (*reading->at == ' ') {
    ++reading->at;
  }
  if (*reading->at != '\n') {
    return FALSE;
  }
  reading->start = ++reading->at;
  ++reading->place.line;
  return TRUE;
}

static gboolean
pass_comment(Reading *reading)
{
  const char *from = reading->at;
  guint8 wide = 0;
  for (; *reading->at != '\n'; ++reading->at) {
    const guint8 c = (guint8)*reading->at;
    if (c < ' ' || c == DELETE) {
      return FALSE;
    }
    wide |= c;
  }
  return (wide <= DELETE || count_wide(from, (gsize)(reading->at - from))) && end_line(reading);
}

// The same after a key or its text, where a comment may be left, too.
static gboolean
end_pair(Reading *reading)
{
  while (*reading->at == ' ') {
    ++reading->at;
  }
  return *reading->at == '#' && reading->at[-1] == ' ' ? pass_comment(reading) : end_line(reading);
}

// Reads the text after a key, up to the end of its line.
static gboolean
read_text(Reading *reading, YmText *text)
{
  const char *key_end = reading->at;
  while (*reading->at == ' ') {
    ++reading->at;
  }
  const char c = *reading->at;
  if (reading->at == key_end) {
    return FALSE;
  }
  if (c == '"' || c == '\'') {
    return read_quoted(reading, text) && end_pair(reading);
  }
  return (g_ascii_isalnum(c) || c == '(' || (guchar)c > DELETE) && read_bare(reading, text) && end_pair(reading);
}

// ------------------------------------------------------------------------------------------------------------- lines

// The length of a name, which ends before `:`, with single spaces between its words; 0 where there is none.
static gsize
name_length(const char *name)
{
  gsize n = 0;
  while (g_ascii_isalnum(name[n]) || (n && name[n] == ' ' && g_ascii_isalnum(name[n + 1]))) {
    ++n;
  }
  return name[n] == ':' && n <= LONGEST_NAME ? n : 0;
}

static gboolean
read_pair(Reading *reading)
{
  YmDocument *document = reading->document;
  const gsize length = name_length(reading->at);
  const YmKey key = length ? ym_find_key(reading->at, length) : YM_N_KEYS;
  if (key == YM_N_KEYS || reading->indent == TO_COME) {
    return FALSE;
  }
  document->line = document->line ? document->line : reading->place.line;
  reading->at += length + 1;
  reading->indent = 0;
  if (key < YM_N_TEXTS) {
    return !document->texts[key].given && read_text(reading, &document->texts[key]);
  }
  reading->indent = TO_COME;
  return !document->parts->len && end_pair(reading);
}

static gboolean
read_part(Reading *reading)
{
  YmDocument *document = reading->document;
  YmPart part = { .label = { 0 }, .bars = { 0 } };
  const gssize indent = reading->at - reading->start;
  const gsize length = name_length(reading->at);
  if (!length || (reading->indent != indent && reading->indent != TO_COME) || document->parts->len == RC_MAX_PARTS) {
    return FALSE;
  }
  reading->indent = indent;
  keep(reading, &part.label, reading->at + length, FALSE, '\0');
  ++reading->at;
  if (ym_document_has_part(document, ym_text(document, &part.label)) || !read_text(reading, &part.bars)) {
    return FALSE;
  }
  g_array_append_val(document->parts, part);
  return TRUE;
}

static gboolean
read_line(Reading *reading)
{
  while (*reading->at == ' ') {
    ++reading->at;
  }
  if (*reading->at == '\n') {
    return end_line(reading);
  }
  if (*reading->at == '#') {
    return pass_comment(reading);
  }
  return reading->at == reading->start ? read_pair(reading) : reading->indent && read_part(reading);
}

// Whether a document begins with this line.
static gboolean
is_mark(const char *line, const char *end)
{
  return end - line > 3 && !memcmp(line, "---", 3) && (line[3] == '\n' || line[3] == ' ' || line[3] == '\t');
}

gboolean
ym_read_plain(YmDocument *document, YmLines *lines)
{
  Reading reading = { document, lines->at, lines->at, lines->end, { lines->file, lines->line + 1, 1 }, 0 };
  document->line = 0;
  if (!is_mark(lines->at, lines->end)) {
    return FALSE;
  }
  reading.at += 3;
  for (gboolean good = end_line(&reading); good && reading.at < reading.end; good = read_line(&reading)) {
    if (*reading.at == '-') {
      lines->at = reading.at;
      lines->line = reading.place.line - 1;
      return document->line && reading.indent != TO_COME && is_mark(reading.at, reading.end);
    }
  }
  return FALSE;
}
