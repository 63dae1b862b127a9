// Copyright 2026 the rowcall developers
// SPDX-License-Identifier: MIT

// What the readers say alike.

#include "corpus/reader.h"

void
rc_reader_left_out(GError **error, const char *title)
{
  if (error && *error && title && *title) {
    enum { MOST = 200 }; // characters
    const gboolean whole = g_utf8_strlen(title, (gssize)4 * MOST) <= MOST;
    char *shown = whole ? g_strdup(title) : g_utf8_substring(title, 0, MOST);
    char *message = g_strdup_printf("%s; left out: %s%s", (*error)->message, shown, whole ? "" : "...");
    g_free((*error)->message);
    g_free(shown);
    (*error)->message = message;
  }
}

RcReadResult
rc_reader_end(const RcSource *source, RcPlace place, gboolean *told, GError **error)
{
  const char *failure = rc_source_failure(source);
  if (!failure || *told) {
    return RC_READ_END;
  }
  *told = TRUE;
  rc_fail(error, RC_ERROR_IO, place, "reading failed: %s", failure);
  return RC_READ_PROBLEM;
}
