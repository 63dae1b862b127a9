// Copyright 2026 the rowcall developers
// SPDX-License-Identifier: MIT

#include "corpus/format.h"

#include <string.h>

// The table, in alphabetical order but for the last, which takes what no other recognizes.
#define FORMATS(ROW)                                                                                                   \
  ROW(abc)                                                                                                             \
  ROW(chordpro)                                                                                                        \
  ROW(musicxml)                                                                                                        \
  ROW(words)                                                                                                           \
  ROW(yaml)

#define DECLARE(name) extern const RcFormat rc_##name##_format;
#define LIST(name) &rc_##name##_format,

FORMATS(DECLARE)

static const RcFormat *const formats[] = { FORMATS(LIST) };

enum { N_FORMATS = G_N_ELEMENTS(formats) };

// ------------------------------------------------------------------------------------------------------------ lists

// "a, b or c", kept for good.
static const char *
join_words(const GPtrArray *words)
{
  GString *list = g_string_new(NULL);
  for (guint i = 0; i < words->len; ++i) {
    g_string_append(list, !i ? "" : i + 1 < words->len ? ", " : " or ");
    g_string_append(list, g_ptr_array_index(words, i));
  }
  const char *kept = g_intern_string(list->str);
  g_string_free(list, TRUE);
  return kept;
}

const char *
rc_format_names(void)
{
  GPtrArray *names = g_ptr_array_new();
  for (guint i = 0; i < N_FORMATS; ++i) {
    g_ptr_array_add(names, (gpointer)formats[i]->name);
  }
  const char *list = join_words(names);
  g_ptr_array_unref(names);
  return list;
}

const char *
rc_format_endings(void)
{
  GPtrArray *endings = g_ptr_array_new();
  for (guint i = 0; i < N_FORMATS; ++i) {
    for (const char *const *ending = formats[i]->endings; *ending; ++ending) {
      g_ptr_array_add(endings, (gpointer)*ending);
    }
  }
  const char *list = join_words(endings);
  g_ptr_array_unref(endings);
  return list;
}

// ---------------------------------------------------------------------------------------------------------- finding

const RcFormat *
rc_format_find(const char *name)
{
  for (guint i = 0; i < N_FORMATS; ++i) {
    if (!strcmp(formats[i]->name, name)) {
      return formats[i];
    }
  }
  return NULL;
}

gboolean
rc_name_ends_in(const char *name, const char *ending)
{
  const gsize length = strlen(name);
  const gsize n = strlen(ending);
  return length > n && !g_ascii_strcasecmp(name + length - n, ending);
}

const RcFormat *
rc_format_by_ending(const char *name)
{
  for (guint i = 0; i < N_FORMATS; ++i) {
    for (const char *const *ending = formats[i]->endings; *ending; ++ending) {
      if (rc_name_ends_in(name, *ending)) {
        return formats[i];
      }
    }
  }
  return NULL;
}

static gboolean
is_line_end(char c)
{
  return c == '\n' || c == '\r';
}

// The first line from `at` on that is neither blank nor a comment; `end` where there is none.
static const char *
first_line(const char *at, const char *end)
{
  while (at < end) {
    while (at < end && (*at == ' ' || is_line_end(*at))) {
      ++at;
    }
    if (at == end || (*at != '%' && *at != '#')) {
      return at;
    }
    while (at < end && !is_line_end(*at)) {
      ++at;
    }
  }
  return end;
}

const RcFormat *
rc_format_recognize(const char *text, gsize length)
{
  const char *end = text + length;
  const char *line = first_line(text, end);
  for (guint i = 0; i < N_FORMATS && line < end; ++i) {
    if (formats[i]->recognizes && formats[i]->recognizes(line, end)) {
      return formats[i];
    }
  }
  return NULL;
}

const RcFormat *
rc_format_by_text(const char *text, gsize length)
{
  const RcFormat *told = rc_format_recognize(text, length);
  return told ? told : formats[N_FORMATS - 1];
}
