// Copyright 2026 the rowcall developers
// SPDX-License-Identifier: MIT

#include "corpus/chordpro/input.h"
#include "rowcall/corpus.h"

#include <string.h>

enum { BLOCK = 64 << 10 };

void
cp_input_start(CpInput *input, RcPiece *piece)
{
  *input = (CpInput){ .piece = piece, .buffer = g_string_new(NULL), .text = g_string_new(NULL) };
}

void
cp_input_clear(CpInput *input)
{
  g_string_free(input->buffer, TRUE);
  g_string_free(input->text, TRUE);
}

// Reads more after what is there.
static void
fill(CpInput *input)
{
  g_string_erase(input->buffer, 0, (gssize)input->at);
  input->at = 0;
  const gsize before = input->buffer->len;
  g_string_set_size(input->buffer, before + BLOCK);
  const gsize n = rc_piece_read(input->piece, input->buffer->str + before, BLOCK);
  g_string_set_size(input->buffer, before + n);
  input->ended = !n;
}

// The blanks of web pages, which no line breaks at, are blanks.
static void
make_blanks_plain(GString *text)
{
  static const char unbroken[] = "\u00A0";
  char *to = text->str;
  for (const char *at = text->str; *at; ++at) {
    const gboolean blank = !strncmp(at, unbroken, strlen(unbroken));
    *to++ = blank ? ' ' : *at;
    at += blank;
  }
  g_string_truncate(text, (gsize)(to - text->str));
}

// The line as UTF-8: it is Latin-1 where it is not. Zero bytes are no text.
static void
set_line(CpInput *input, const char *text, gsize length)
{
  static const char mark[] = "\xEF\xBB\xBF"; // of the byte order
  const gboolean marked = !input->line && length >= strlen(mark) && !memcmp(text, mark, strlen(mark));
  text += marked ? strlen(mark) : 0;
  length -= marked ? strlen(mark) : 0;
  g_string_truncate(input->text, 0);
  g_string_append_len(input->text, text, (gssize)length);
  for (gsize i = 0; i < input->text->len; ++i) {
    input->text->str[i] = input->text->str[i] ? input->text->str[i] : '?';
  }
  if (!g_utf8_validate(input->text->str, (gssize)input->text->len, NULL)) {
    char *utf8 = g_convert(input->text->str, (gssize)input->text->len, "UTF-8", "ISO-8859-1", NULL, NULL, NULL);
    g_string_assign(input->text, utf8 ? utf8 : "");
    g_free(utf8);
  }
  make_blanks_plain(input->text);
  g_strchomp(input->text->str);
  input->text->len = strlen(input->text->str);
}

gboolean
cp_input_next(CpInput *input)
{
  if (input->rest) {
    return TRUE;
  }
  gsize searched = 0;
  for (;;) {
    const char *start = input->buffer->str + input->at;
    const gsize there = input->buffer->len - input->at;
    const char *newline = memchr(start + searched, '\n', there - searched);
    if (newline || input->ended || there > RC_MAX_TUNE_BYTES) {
      const gsize length = newline ? (gsize)(newline - start) : there;
      if (!there && input->ended) {
        return FALSE;
      }
      set_line(input, start, length);
      input->at += length + (newline ? 1 : 0);
      input->bytes += length + 1;
      ++input->line;
      return TRUE;
    }
    searched = there;
    fill(input);
  }
}

gboolean
cp_input_is_over(const CpInput *input)
{
  return input->ended && input->at == input->buffer->len;
}
