// Copyright 2026 the rowcall developers
// SPDX-License-Identifier: MIT

#include "corpus/yaml/keys.h"

#include <string.h>

const char *const ym_keys[] = { "title", "key", "meter", "tempo", "rhythm", "names", "note", "order", "parts", NULL };

// Whether a key is called so, as it is in the table or in another case.
static gboolean
is_called(YmKey key, const char *name, gsize length)
{
  return strlen(ym_keys[key]) == length &&
         (!memcmp(ym_keys[key], name, length) || !g_ascii_strncasecmp(ym_keys[key], name, length));
}

YmKey
ym_find_key(const char *name, gsize length)
{
  const char initial = (char)(*name | ('a' ^ 'A')); // small, where it is a letter
  YmKey key = YM_TITLE;
  while (key < YM_N_KEYS && (initial != *ym_keys[key] || !is_called(key, name, length))) {
    ++key;
  }
  return key;
}

// The key with which a line of a mapping that is not indented begins; its length is 0 where it begins with none.
static gsize
key_length(const char *line, const char *end)
{
  const char *at = line;
  while (at < end && (g_ascii_isalnum(*at) || *at == '_' || *at == '-' || *at == '.')) {
    ++at;
  }
  const gboolean ends = at + 1 >= end || at[1] == ' ' || at[1] == '\n' || at[1] == '\r';
  return at < end && *at == ':' && ends ? (gsize)(at - line) : 0;
}

// Settings of programs, and lists of their packages, are mappings of several keys as well, none of which is a tune's.
const char *
ym_foreign(const char *head, gsize length)
{
  const char *end = head + length;
  guint other = 0;
  for (const char *line = head; line < end;) {
    const gsize n = key_length(line, end);
    if (n && ym_find_key(line, n) < YM_N_KEYS) {
      return NULL;
    }
    other += n > 0;
    const char *newline = memchr(line, '\n', (gsize)(end - line));
    line = newline ? newline + 1 : end;
  }
  return other > 1 ? "it has none of the keys of a tune (title, key, meter, parts and so on)" : NULL;
}
