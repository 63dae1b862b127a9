// Copyright 2026 the rowcall developers
// SPDX-License-Identifier: MIT

// The text of bars while it is read: what is known at the place that was reached.

#ifndef ROWCALL_SRC_CORPUS_YAML_BAR_TEXT_H
#define ROWCALL_SRC_CORPUS_YAML_BAR_TEXT_H

#include "corpus/symbols.h"
#include "corpus/yaml/bars.h"

struct RcBarReader {
  RcSymbols *symbols;
  RcTune *tune;
  RcNames names;
  gboolean small; // a chord of the tune is written small
};

/// While a text is read, the tune's arrays hold room for more than the events and bars that are counted here.
typedef struct {
  RcBarReader *reader;
  RcTune *tune;
  RcCursor *cursor;
  const char *text; // ended by RC_BARS_AFTER bytes, the first of them NUL
  gsize at;
  RcTicks bar; // length of a bar
  guint n_events;
  guint n_bars;
  guint first_bar; // of this text
  gsize bar_line;  // where the last bar line is
  // the bar being read; the length of its events is counted in shares until it ends
  guint first_event;
  guint n_words;  // each has a share
  guint n_joined; // words that are part of another
  gsize word;     // where the last of them is
  gboolean repeats;
  gboolean quoted; // a curly quote was found in this text
  gboolean colons; // or a repeat mark
} YmBarText;

// ------------------------------------------------------------------------------------------------------------- bytes

typedef enum {
  YM_LETTER, // of a word
  YM_BLANK,
  YM_LINE, // "|"
  YM_END
} YmByteKind;

/// What each byte of a text is, in a table, since all of them are looked at.
static const guint8 ym_byte_kinds[256] = {
  ['\0'] = YM_END, [' '] = YM_BLANK, ['\n'] = YM_BLANK, ['\t'] = YM_BLANK, ['|'] = YM_LINE
};

/// Returns what a byte is.
static inline YmByteKind
ym_byte_kind(char c)
{
  return (YmByteKind)ym_byte_kinds[(guchar)c];
}

/// Returns the first place from @p at on that is not blank.
static inline gsize
ym_skip_spaces(const YmBarText *bars, gsize at)
{
  const char *text = bars->text;
  while (ym_byte_kind(text[at]) == YM_BLANK) {
    ++at;
  }
  return at;
}

/// Returns where the word at @p at ends.
static inline gsize
ym_word_end(const YmBarText *bars, gsize at)
{
  const char *text = bars->text;
  while (ym_byte_kind(text[at]) == YM_LETTER) {
    ++at;
  }
  return at;
}

/// Takes up the bass that follows a chord of @p length bytes after blanks, if it is meant so: that a slash between
/// blanks holds the chord is more likely where the words of the bar are its beats. Returns the symbol as a new string,
/// or NULL.
char *ym_take_spaced_bass(YmBarText *bars, gsize length);

#endif
