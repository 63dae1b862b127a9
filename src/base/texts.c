// Copyright 2026 the rowcall developers
// SPDX-License-Identifier: MIT

#include "base/texts.h"

struct RcTextBlock {
  RcTextBlock *before;
  char bytes[];
};

RcTexts *
rc_texts_new(gsize block)
{
  RcTexts *texts = g_new0(RcTexts, 1);
  texts->block = block;
  return texts;
}

void
rc_texts_clear(RcTexts *texts)
{
  for (RcTextBlock *block = texts->last; block;) {
    RcTextBlock *before = block->before;
    g_free(block);
    block = before;
  }
  *texts = (RcTexts){ .block = texts->block };
}

void
rc_texts_free(RcTexts *texts)
{
  if (texts) {
    rc_texts_clear(texts);
    g_free(texts);
  }
}

void
rc_texts_reserve(RcTexts *texts, gsize bytes)
{
  const gsize size = MAX(bytes, texts->block);
  RcTextBlock *block = g_malloc(sizeof *block + size);
  block->before = texts->last;
  texts->last = block;
  texts->at = block->bytes;
  texts->left = size;
  texts->bytes += size;
}
