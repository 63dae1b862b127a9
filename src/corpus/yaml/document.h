// Copyright 2026 the rowcall developers
// SPDX-License-Identifier: MIT

// A document of YAML that is to be a tune: its texts, kept while it is read, and what is wrong with it.

#ifndef ROWCALL_SRC_CORPUS_YAML_DOCUMENT_H
#define ROWCALL_SRC_CORPUS_YAML_DOCUMENT_H

#include "corpus/yaml/keys.h"
#include "corpus/yaml/mistakes.h"
#include "corpus/yaml/places.h"

/// A scalar.
typedef struct {
  gsize offset; ///< in the document's text
  RcWritten written;
  gboolean given;
} YmText;

typedef struct {
  YmText label;
  YmText bars;
} YmPart;

typedef struct {
  guint line;    ///< of its first word
  GString *text; ///< of all scalars, one after another
  YmText texts[YM_N_TEXTS];
  gboolean parts_given;
  GArray *parts; ///< of YmPart
  RcMistakes mistakes;
} YmDocument;

void ym_document_init(YmDocument *document);

/// Frees what it holds.
void ym_document_clear(YmDocument *document);

/// Begins with an empty one.
void ym_document_begin(YmDocument *document);

/// Makes room for a text of @p length bytes at the end of the others, ends it and returns where it is to be written.
char *ym_document_add(YmDocument *document, YmText *text, gsize length);

/// Returns the text, ended by NUL and as many bytes as bars want (RC_BARS_AFTER).
static inline const char *
ym_text(const YmDocument *document, const YmText *text)
{
  return document->text->str + text->offset;
}

/// Returns whether it has a part of this name.
gboolean ym_document_has_part(const YmDocument *document, const char *name);

/// Adds a mistake to those of the document; reading goes on.
void ym_document_note(YmDocument *document, RcErrorCode code, RcPlace place, const char *format, ...)
  G_GNUC_PRINTF(4, 5);

/// Adds that the text of @p key is not what is @p expected.
void ym_document_note_text(YmDocument *document, YmKey key, const char *expected);

/// Adds a mistake that a function has set, if it has; returns whether it has not.
gboolean ym_document_keep(YmDocument *document, GError *mistake);

#endif
