// Copyright 2026 the rowcall developers
// SPDX-License-Identifier: MIT

#include "corpus/abc/cuts.h"

#include "corpus/abc/buffer.h"

#include <string.h>

static const char *
start_of_line(const char *text, const char *at)
{
  while (at > text && at[-1] != '\n') {
    --at;
  }
  return at;
}

// What ends with carriage returns alone has none of the line feeds that are looked for.
static gsize
find(const char *text, gsize length, gsize most, gboolean first)
{
  const char *end = text + length;
  const char *line = start_of_line(text, text + MIN(most, length));
  if (first && abc_has_cr_only(text, length)) {
    return 0;
  }
  while (line > text && !abc_is_field((AbcText){ line, end }, 'X')) {
    line = start_of_line(text, line - 1);
  }
  return (gsize)(line - text);
}

// The length of the lines before the first tune.
static gsize
head_length(const char *text, gsize length)
{
  const char *end = text + length;
  const char *line = text;
  while (line < end && !abc_is_field((AbcText){ line, end }, 'X')) {
    const char *newline = memchr(line, '\n', (gsize)(end - line));
    line = newline ? newline + 1 : end;
  }
  return (gsize)(line - text);
}

static gpointer
share(const char *text, gsize length)
{
  AbcFile *file = g_new0(AbcFile, 1);
  const gsize mark = length >= 3 && !memcmp(text, "\xEF\xBB\xBF", 3) ? 3 : 0; // of the order of bytes
  GString *head = g_string_new_len(text + mark, (gssize)head_length(text + mark, length - mark));
  file->head = abc_head_start();
  abc_replace(head->str, head->len, '\0', '?'); // as the buffer does
  for (const char *line = head->str; *line;) {
    const char *end = line + strcspn(line, "\n");
    abc_read_head_line((AbcText){ line, end }, &file->head);
    line = *end ? end + 1 : end;
  }
  g_string_free(head, TRUE);
  return file;
}

static void
free_shared(gpointer shared)
{
  AbcFile *file = shared;
  abc_head_clear(&file->head);
  g_free(file);
}

const RcCuts abc_cuts = { .ahead = ABC_LOOK_AHEAD, .find = find, .share = share, .free_shared = free_shared };
