// Copyright 2026 the rowcall developers
// SPDX-License-Identifier: MIT

// Short chord symbols by their text between quotes: most that are written were written before, and need not be looked
// at again.

#ifndef ROWCALL_SRC_CORPUS_ABC_KNOWN_H
#define ROWCALL_SRC_CORPUS_ABC_KNOWN_H

#include "corpus/abc/text.h"

#include <string.h>

enum { ABC_KNOWN_BITS = 10, ABC_LONGEST_KNOWN = 7 };

/// A short text that is a symbol as it is written.
typedef struct {
  guint64 text;   // 0: none
  guint32 tune;   // number of the last one that had it
  guint16 symbol; // its index there
  guint16 length; // of the text
} AbcKnownChord;

/// Each text has one place, in which it takes the place of another. All zero knows none.
typedef struct {
  AbcKnownChord chords[1 << ABC_KNOWN_BITS];
  guint32 tune;
} AbcKnown;

static inline AbcKnownChord *
abc_known_place(AbcKnown *known, guint64 text)
{
  return &known->chords[text * G_GUINT64_CONSTANT(0x9E3779B97F4A7C15) >> (64 - ABC_KNOWN_BITS)]; // the golden ratio
}

/// Begins the next tune.
static inline void
abc_known_start(AbcKnown *known)
{
  ++known->tune;
}

/// Returns the text that begins at @p start and ends before a quote, as a number; 0 where it is empty or longer than
/// ABC_LONGEST_KNOWN. It looks at eight bytes, which ABC_PADDING allows for, and at no line's end, which no text that
/// is known has within.
static inline guint64
abc_short_text(const char *start)
{
  const guint64 ones = G_GUINT64_CONSTANT(0x0101010101010101);
  guint64 text = 0;
  memcpy(&text, start, sizeof text);
  text = GUINT64_FROM_LE(text);
  const guint64 zero_if_quote = text ^ (ones * '"');
  const guint64 quotes = (zero_if_quote - ones) & ~zero_if_quote & (ones * 0x80); // its lowest bit is in the first
  return quotes ? text & ((quotes - 1) & ~quotes) >> 7U : 0;
}

/// Returns the symbol with this text, of this tune or one before; NULL where it is not known.
static inline AbcKnownChord *
abc_known_find(AbcKnown *known, guint64 text)
{
  AbcKnownChord *chord = abc_known_place(known, text);
  return text && chord->text == text ? chord : NULL;
}

/// Remembers the symbol between quotes from @p text.at on, if it is short.
static inline void
abc_known_add(AbcKnown *known, AbcText text, guint symbol)
{
  const gsize length = abc_length(text);
  if (length && length <= ABC_LONGEST_KNOWN && *text.end == '"') {
    const guint64 number = abc_short_text(text.at);
    *abc_known_place(known, number) = (AbcKnownChord){ number, known->tune, (guint16)symbol, (guint16)length };
  }
}

#endif
