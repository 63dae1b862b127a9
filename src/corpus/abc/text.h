// Copyright 2026 the rowcall developers
// SPDX-License-Identifier: MIT

// Stretches of the text of an ABC file, and texts such as titles. Section numbers here and in the other files of this
// folder are those of the ABC music standard 2.1.

#ifndef ROWCALL_SRC_CORPUS_ABC_TEXT_H
#define ROWCALL_SRC_CORPUS_ABC_TEXT_H

#include <glib.h>

/// So many zero bytes follow the text of a file, so that several bytes can be looked at at once.
enum { ABC_PADDING = 8 };

/// A stretch of text.
typedef struct {
  const char *at;
  const char *end;
} AbcText;

static inline gsize
abc_length(AbcText text)
{
  return (gsize)(text.end - text.at);
}

/// Returns @p text without blanks at its ends, and without a comment after `%`.
AbcText abc_trim(AbcText text);

/// Returns whether @p text begins with @p word, in any case.
gboolean abc_starts_with(AbcText text, const char *word);

/// Returns whether a text needs no change: ASCII on one line, without accents and entities.
gboolean abc_is_plain(AbcText text);

/// Returns @p text as UTF-8: it is taken as Latin-1 where it is not; accents and entities, section 8.2, become letters;
/// the lines of one that is continued by "+:", section 3.3, are joined. A new string.
char *abc_text_to_utf8(AbcText text);

#endif
