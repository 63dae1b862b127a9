// Copyright 2026 the rowcall developers
// SPDX-License-Identifier: MIT

// A chord symbol while it is read (symbol.c), and what reads its words (symbol_words.c) and the degrees that it names
// by number (symbol_degrees.c).

#ifndef ROWCALL_SRC_MUSIC_SYMBOL_READER_H
#define ROWCALL_SRC_MUSIC_SYMBOL_READER_H

#include "rowcall/music.h"

/// What a word does.
typedef enum {
  RC_WORD_TONES,      ///< takes degrees away and brings others
  RC_WORD_MAJOR,      ///< the next number brings a major seventh
  RC_WORD_TRIANGLE,   ///< a major seventh, with a number or without
  RC_WORD_DIMINISHED, ///< a sign for the triad; the next number brings a diminished seventh
  RC_WORD_NUMBER,
  RC_WORD_ADD,
  RC_WORD_NO
} RcWordKind;

/// A word that has a fixed text.
typedef struct {
  const char *text;
  RcWordKind kind;
  gboolean first; ///< only directly after the root
  RcDegrees takes;
  RcDegrees brings;
  guint number;
} RcWord;

/// What is read of a symbol, up to the place that was reached.
typedef struct {
  const char *at;
  const char *end;
  RcDegrees degrees;
  RcDegrees said;  ///< named by numbers and alterations
  guint words;     ///< read so far
  guint brackets;  ///< open ones
  gboolean number; ///< one was read
  gboolean diminished;
  gboolean triangle;
  const char *major; ///< where "maj" is while it waits for its number
  RcWordKind verb;   ///< RC_WORD_ADD or RC_WORD_NO while the list after it may go on
} RcSymbolReader;

/// Returns the number of bytes not yet read.
static inline gsize
rc_symbol_left(const RcSymbolReader *r)
{
  return (gsize)(r->end - r->at);
}

static inline void
rc_symbol_replace(RcSymbolReader *r, RcDegrees takes, RcDegrees brings)
{
  r->degrees = (r->degrees & ~takes) | brings;
}

/// Notes that degrees are named; FALSE where one of them was named before.
static inline gboolean
rc_symbol_say(RcSymbolReader *r, RcDegrees named)
{
  const gboolean news = !(r->said & named);
  r->said |= named;
  return news;
}

// --------------------------------------------------------------------------------------------------------------- words

/// Returns whether @p text is a word at @p at, of @p length bytes. A capital M and a small m mean different things;
/// longer words are read in any case, but no capital follows a small letter in a word: "EmA7" has none that is "mA".
gboolean rc_is_word(const char *at, const char *text, gsize length);

/// Returns the longest word that is here and may be, or NULL.
const RcWord *rc_longest_word(const RcSymbolReader *r);

/// Makes of the chord what @p word says, which is @p separated from what comes before. FALSE where that cannot be
/// meant.
gboolean rc_apply_word(RcSymbolReader *r, const RcWord *word, gboolean separated);

// ------------------------------------------------------------------------------------------------------------- degrees

/// Reads an alteration, its sign first. FALSE where there is none.
gboolean rc_read_alteration(RcSymbolReader *r);

/// A number with its sign last, as a word of its own: the "9-" of "C7(9-)".
typedef struct {
  gsize digits;
  gsize sign; ///< bytes; 0: there is none
  int sharps;
} RcSignLast;

/// Returns what is here of that kind: of a fifth anywhere, else only where it is @p apart, in brackets or after a
/// slash.
RcSignLast rc_find_sign_last(const RcSymbolReader *r, gboolean apart);

/// Reads it. FALSE where it could mean two things: C(7+) is a major seventh to some and an augmented chord to others.
gboolean rc_read_sign_last(RcSymbolReader *r, RcSignLast found);

/// Reads a degree of the list after "add" or "no". FALSE where there is none.
gboolean rc_read_listed_degree(RcSymbolReader *r);

#endif
