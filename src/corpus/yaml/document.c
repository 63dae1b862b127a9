// Copyright 2026 the rowcall developers
// SPDX-License-Identifier: MIT

#include "corpus/yaml/document.h"

#include "base/array.h"
#include "corpus/yaml/bars.h"

#include <string.h>

void
ym_document_init(YmDocument *document)
{
  *document = (YmDocument){ .text = g_string_new(NULL), .parts = g_array_new(FALSE, FALSE, sizeof(YmPart)) };
}

void
ym_document_clear(YmDocument *document)
{
  rc_mistakes_clear(&document->mistakes);
  g_string_free(document->text, TRUE);
  g_array_unref(document->parts);
}

void
ym_document_begin(YmDocument *document)
{
  memset(document->texts, 0, sizeof document->texts);
  g_string_truncate(document->text, 0);
  rc_array_cut(document->parts, 0);
  document->parts_given = FALSE;
  rc_mistakes_clear(&document->mistakes);
}

// Without GLib's function where there is room, since it is called for every text.
char *
ym_document_add(YmDocument *document, YmText *text, gsize length)
{
  GString *texts = document->text;
  const gsize offset = texts->len;
  const gsize end = offset + length + RC_BARS_AFTER;
  if (end < texts->allocated_len) {
    texts->len = end;
  } else {
    g_string_set_size(texts, end);
  }
  memset(texts->str + offset + length, 0, RC_BARS_AFTER);
  text->offset = offset;
  return texts->str + offset;
}

gboolean
ym_document_has_part(const YmDocument *document, const char *name)
{
  for (guint i = 0; i < document->parts->len; ++i) {
    if (!strcmp(ym_text(document, &g_array_index(document->parts, YmPart, i).label), name)) {
      return TRUE;
    }
  }
  return FALSE;
}

void
ym_document_note(YmDocument *document, RcErrorCode code, RcPlace place, const char *format, ...)
{
  GError *mistake = NULL;
  va_list args;
  va_start(args, format);
  char *message = g_strdup_vprintf(format, args);
  va_end(args);
  rc_fail(&mistake, code, place, "%s", message);
  rc_mistakes_add(&document->mistakes, mistake);
  g_free(message);
}

void
ym_document_note_text(YmDocument *document, YmKey key, const char *expected)
{
  const YmText *text = &document->texts[key];
  ym_document_note(document, RC_ERROR_VALUE, text->written.start, "found %s `%s`; expected %s", ym_keys[key],
                   ym_text(document, text), expected);
}

gboolean
ym_document_keep(YmDocument *document, GError *mistake)
{
  if (mistake) {
    rc_mistakes_add(&document->mistakes, mistake);
  }
  return !mistake;
}
