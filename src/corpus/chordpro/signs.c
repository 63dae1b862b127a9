// Copyright 2026 the rowcall developers
// SPDX-License-Identifier: MIT

#include "corpus/chordpro/signs.h"
#include "corpus/chordpro/chordpro.h"

#include <string.h>

gboolean
cp_has_directive(const char *line, const char *end)
{
  const char *stop = line;
  while (stop < end && *stop != '\n' && *stop != '\r') {
    ++stop;
  }
  while (stop > line && stop[-1] == ' ') {
    --stop;
  }
  const gsize length = (gsize)(stop - line);
  if (length > 2 && *line == '{') {
    return g_ascii_isalpha(line[1]) && stop[-1] == '}' && !memchr(line + 1, '{', length - 1);
  }
  return length > 2 && *line == '[' && line[1] >= 'A' && line[1] <= 'H' && memchr(line, ']', length);
}

// What of a text shows that it is a song.
typedef struct {
  gboolean line; // of chords
  guint touching;
} Signs;

static void
find_signs(Signs *signs, const char *line, gsize length, RcNames names)
{
  char *text = g_strndup(line, length);
  const CpSong song = { .names = names };
  if (g_utf8_validate(text, -1, NULL)) {
    signs->line = signs->line || cp_is_line_of_chords(&song, text);
    signs->touching += cp_count_touching(&song, text);
  }
  g_free(text);
}

gboolean
cp_has_chords(const char *line, const char *end)
{
  enum { LEAST_TOUCHING = 2 }; // prose may have one, "[A]ll"
  static const char parts[] = "parts:";
  Signs english = { FALSE, 0 };
  Signs german = { FALSE, 0 };
  while (line < end) {
    const char *newline = memchr(line, '\n', (gsize)(end - line));
    const char *stop = newline ? newline : end;
    if ((gsize)(end - line) >= strlen(parts) && !memcmp(line, parts, strlen(parts))) {
      return FALSE;
    }
    find_signs(&english, line, (gsize)(stop - line), RC_NAMES_ENGLISH);
    find_signs(&german, line, (gsize)(stop - line), RC_NAMES_GERMAN);
    line = stop + (newline != NULL);
  }
  return english.line || german.line || MAX(english.touching, german.touching) >= LEAST_TOUCHING;
}
