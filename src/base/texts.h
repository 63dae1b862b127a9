// Copyright 2026 the rowcall developers
// SPDX-License-Identifier: MIT

// Copies of many short texts that are freed together. A GStringChunk takes some forty instructions for each beside the
// copying, here it is a dozen; a tune has about ten.

#ifndef ROWCALL_SRC_BASE_TEXTS_H
#define ROWCALL_SRC_BASE_TEXTS_H

#include <glib.h>

#include <string.h>

typedef struct RcTextBlock RcTextBlock;

typedef struct RcTexts {
  RcTextBlock *last; // the block that is being filled, or NULL
  char *at;          // where the next text goes in it
  gsize left;        // bytes from there to its end
  gsize block;       // bytes of one
  gsize bytes;       // of all
} RcTexts;

/// Returns no texts yet; they will lie in blocks of @p block bytes. Free with rc_texts_free().
RcTexts *rc_texts_new(gsize block);

void rc_texts_free(RcTexts *texts);

/// Frees all copies.
void rc_texts_clear(RcTexts *texts);

/// Makes room for @p bytes.
void rc_texts_reserve(RcTexts *texts, gsize bytes);

/// Returns a copy of @p length bytes, with a zero byte after them, owned by @p texts.
static inline const char *
rc_texts_add(RcTexts *texts, const char *text, gsize length)
{
  if (length >= texts->left) {
    rc_texts_reserve(texts, length + 1);
  }
  char *copy = texts->at;
  if (length) {
    memcpy(copy, text, length);
  }
  copy[length] = '\0';
  texts->at += length + 1;
  texts->left -= length + 1;
  return copy;
}

#endif
