// Copyright 2026 the rowcall developers
// SPDX-License-Identifier: MIT

#include "rowcall/error.h"

#include <string.h>

G_DEFINE_QUARK(rowcall - error - quark, rc_error)

static char *
place_to_string(RcPlace place)
{
  if (!place.line) {
    return g_strdup(place.file);
  }
  if (!place.column) {
    return g_strdup_printf("%s:%u", place.file, place.line);
  }
  return g_strdup_printf("%s:%u:%u", place.file, place.line, place.column);
}

enum { MESSAGE_HEAD = 1200, MESSAGE_TAIL = 600 }; // bytes kept of one that quotes something huge

// Takes the middle out of a long text.
static void
shorten(char *text)
{
  static const char gap[] = " ... ";
  const gsize length = strlen(text);
  if (length > MESSAGE_HEAD + sizeof gap + MESSAGE_TAIL) {
    char *head = text + MESSAGE_HEAD;
    const char *tail = text + length - MESSAGE_TAIL;
    while ((*head & 0xC0) == 0x80) { // within a character
      --head;
    }
    while ((*tail & 0xC0) == 0x80) {
      ++tail;
    }
    memcpy(head, gap, sizeof gap - 1);
    memmove(head + sizeof gap - 1, tail, strlen(tail) + 1);
  }
}

gboolean
rc_fail(GError **error, RcErrorCode code, RcPlace place, const char *format, ...)
{
  va_list args;
  va_start(args, format);
  char *message = g_strdup_vprintf(format, args);
  va_end(args);
  shorten(message);
  if (place.file) {
    char *where = place_to_string(place);
    g_set_error(error, RC_ERROR, (int)code, "%s: %s", where, message);
    g_free(where);
  } else {
    g_set_error_literal(error, RC_ERROR, (int)code, message);
  }
  g_free(message);
  return FALSE;
}

enum { NAME_LIMIT = 40 }; // longer words are nobody's slip of the finger

// Optimal string alignment distance of two short ASCII words, letters of either case alike.
static guint
word_distance(const char *a, const char *b)
{
  guint rows[3][NAME_LIMIT + 1];
  guint *before = rows[0];
  guint *last = rows[1];
  guint *now = rows[2];
  const size_t n = strlen(b);
  for (guint j = 0; j <= n; ++j) {
    last[j] = j;
  }
  for (guint i = 1; a[i - 1]; ++i) {
    now[0] = i;
    for (guint j = 1; j <= n; ++j) {
      const guint change = g_ascii_tolower(a[i - 1]) != g_ascii_tolower(b[j - 1]);
      now[j] = MIN(MIN(last[j], now[j - 1]) + 1, last[j - 1] + change);
      if (i > 1 && j > 1 && a[i - 1] == b[j - 2] && a[i - 2] == b[j - 1]) {
        now[j] = MIN(now[j], before[j - 2] + 1);
      }
    }
    guint *spare = before;
    before = last;
    last = now;
    now = spare;
  }
  return last[n];
}

const char *
rc_nearest_name(const char *found, const char *const *names)
{
  const char *best = NULL;
  guint best_distance = G_MAXUINT;
  const size_t length = strlen(found);
  if (length > NAME_LIMIT) {
    return NULL;
  }
  for (; *names; ++names) {
    const size_t longer = MAX(length, strlen(*names));
    if (longer > NAME_LIMIT) {
      continue;
    }
    const gboolean begins = length > 1 && !g_ascii_strncasecmp(found, *names, length);
    const guint distance = begins ? 0 : word_distance(found, *names);
    if (distance <= (longer + 2) / 3 && distance < longer && distance < best_distance) {
      best = *names;
      best_distance = distance;
    }
  }
  return best;
}
