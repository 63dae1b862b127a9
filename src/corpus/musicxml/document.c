// Copyright 2026 the rowcall developers
// SPDX-License-Identifier: MIT

#include "corpus/musicxml/document.h"

#include <string.h>

gboolean
mx_is_xml(const char *line, const char *end)
{
  static const struct {
    const char *bytes;
    gsize n;
  } starts[] = { { "<", 1 }, { "\xEF\xBB\xBF<", 4 }, { "\xFE\xFF\0<", 4 }, { "\xFF\xFE<", 4 } };
  for (guint i = 0; i < G_N_ELEMENTS(starts); ++i) {
    if ((gsize)(end - line) >= starts[i].n && !memcmp(line, starts[i].bytes, starts[i].n)) {
      return TRUE;
    }
  }
  return FALSE;
}

// The first element after a declaration, comments and a document type; NULL where the text does not come to it.
static const char *
first_element(const char *at, const char *end)
{
  while ((at = memchr(at, '<', (gsize)(end - at))) && at + 1 < end && (at[1] == '?' || at[1] == '!')) {
    const gboolean comment = end - at >= 4 && !memcmp(at, "<!--", 4);
    const char *close = at[1] == '?' ? "?>" : comment ? "-->" : ">";
    at = g_strstr_len(at, end - at, close);
    if (!at) {
      return NULL;
    }
  }
  return at && at + 1 < end && g_ascii_isalpha(at[1]) ? at + 1 : NULL;
}

// Many programs keep what is theirs in XML.
const char *
mx_foreign(const char *head, gsize length)
{
  static const char *const scores[] = { "score-partwise", "score-timewise", "opus" };
  const char *element = first_element(head, head + length);
  for (guint i = 0; i < G_N_ELEMENTS(scores); ++i) {
    const gsize n = strlen(scores[i]);
    if (!element || (gsize)(head + length - element) < n || !memcmp(element, scores[i], n)) {
      return NULL;
    }
  }
  if (head + length - element > 4 && !g_ascii_strncasecmp(element, "html", 4)) {
    return "it is a web page; copy the tune from it into a text file";
  }
  return "it is XML of another kind; MusicXML begins with the element `score-partwise` or `score-timewise`";
}
