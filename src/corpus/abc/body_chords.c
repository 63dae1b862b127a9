// Copyright 2026 the rowcall developers
// SPDX-License-Identifier: MIT

// What is written among the chords of the body of an ABC tune.

#include "corpus/abc/body.h"

#include <string.h>

void
abc_body_settle_late_chord(AbcBody *b)
{
  AbcHabits *habits = &b->music->habits;
  const AbcPlace place = { b->bars.event->line, b->bars.event->column };
  const char *symbol = rc_tune_symbol(b->music->tune, b->bars.event->symbol)->text;
  const AbcText text = { symbol, symbol + strlen(symbol) };
  ++habits->met[ABC_HABIT_LATE_CHORDS];
  if (habits->followed[ABC_HABIT_LATE_CHORDS] && abc_share_last_note(&b->bars, b->before_bar)) {
    abc_body_remark(b, RC_REMARK_LATE_CHORDS, place, text);
  } else {
    abc_body_remark(b, RC_REMARK_LOST_CHORDS, place, text);
  }
}

static void
remark_readings(AbcBody *b, guint readings, AbcPlace place, AbcText text)
{
  if (!readings) {
    return;
  }
  if (readings & ABC_READ_FIRST) {
    abc_body_remark(b, RC_REMARK_ALTERNATIVES, place, text);
  }
  if (readings & (ABC_READ_SHARP_BASS | ABC_READ_HABIT)) {
    abc_body_remark(b, RC_REMARK_HABIT, place, text);
  }
  if (readings & ABC_READ_SMALL) {
    abc_body_remark(b, RC_REMARK_SMALL, place, text);
  }
}

// Begins a chord at the next note; one that still waits from before the bar is settled.
static void
begin_chord(AbcBody *b, guint symbol, AbcPlace place)
{
  if (abc_chord_waits(&b->bars) && b->bars.late) {
    abc_body_settle_late_chord(b);
  }
  abc_begin_chord(&b->bars, symbol, place);
}

// Remembers a symbol whose text is read as it is written.
static void
remember_chord(AbcBody *b, AbcText text, guint index)
{
  const RcSymbol *symbol = rc_tune_symbol(b->music->tune, index);
  if (symbol->kind != RC_SYMBOL_UNREAD && !strncmp(symbol->text, text.at, abc_length(text)) &&
      !symbol->text[abc_length(text)]) {
    abc_known_add(&b->music->known, text, index);
  }
}

// Whether a chord is in brackets, as one that may be left out is.
static gboolean
is_optional(const AbcWord *word)
{
  return *word->text.at == '(';
}

// Of several chords on a note the first is played, one in brackets only where there is no other.
static void
take_chord(AbcBody *b, const AbcWord *word, AbcCursor *line)
{
  const AbcPlace place = abc_place(line, word->text.at);
  const gboolean second = abc_chord_waits(&b->bars) && !b->bars.late;
  const AbcSymbol symbol =
    abc_find_symbol(b->music->symbols, b->music->tune, word->text, line->ascii, &b->music->habits);
  if (symbol.readings & ABC_READ_WORDS) {
    abc_body_remark(b, RC_REMARK_WORDS, place, word->text);
    return;
  }
  b->music->chords = TRUE;
  if (second) {
    abc_body_remark(b, RC_REMARK_ALTERNATIVES, place, word->text);
  }
  if (second && (!b->optional || is_optional(word))) {
    return;
  }
  remark_readings(b, symbol.readings, place, word->text);
  remember_chord(b, word->text, symbol.index);
  b->optional = is_optional(word);
  b->chord = symbol.index;
  begin_chord(b, symbol.index, place);
}

// "/F#" is the last chord over F sharp.
static void
take_over(AbcBody *b, const AbcWord *word, AbcCursor *line)
{
  const AbcPlace place = abc_place(line, word->text.at);
  const AbcText bass = { word->text.at + 1, word->text.end };
  guint index = 0;
  if (b->chord == ABC_NO_NOTE || !abc_find_over_bass(b->music->symbols, b->music->tune, b->chord, bass, &index)) {
    abc_body_remark(b, RC_REMARK_BASS_RUNS, place, word->text);
  } else if (abc_chord_waits(&b->bars) && !b->bars.late) {
    b->bars.event->symbol = index;
  } else {
    begin_chord(b, index, place);
  }
}

// "D""f#" is D over F sharp; alone it is a step of the bass under a chord that goes on.
static void
take_bass(AbcBody *b, const AbcWord *word, AbcCursor *line)
{
  const AbcPlace place = abc_place(line, word->text.at);
  RcEvent *event = b->bars.event;
  guint index = 0;
  if (abc_chord_waits(&b->bars) && !b->bars.late &&
      abc_find_over_bass(b->music->symbols, b->music->tune, event->symbol, word->text, &index)) {
    event->symbol = index;
    abc_body_remark(b, RC_REMARK_BASS_NOTES, place, word->text);
  } else {
    abc_body_remark(b, RC_REMARK_BASS_RUNS, place, word->text);
  }
}

// What is written among the chords at @p line.
static void
take_word(AbcBody *b, const AbcWord *word, AbcCursor *line)
{
  switch (word->kind) {
  case ABC_WORD_NOTE:
    if (word->text.at < word->text.end && abc_hides_chord(word->text)) {
      abc_body_remark(b, RC_REMARK_ANNOTATIONS, abc_place(line, word->text.at), word->text);
    }
    break;
  case ABC_WORD_JUMP:
    b->bars.marks->jumps |= word->jumps;
    break;
  case ABC_WORD_CHORD:
    take_chord(b, word, line);
    break;
  case ABC_WORD_BASS:
    take_bass(b, word, line);
    break;
  case ABC_WORD_OVER:
    take_over(b, word, line);
    break;
  }
}

// The symbol in this tune of a text that was read in others.
static guint
find_again(const AbcBody *b, const char *start, const AbcKnownChord *chord)
{
  const guint index = rc_symbols_known(b->music->symbols, start, chord->length, chord->text);
  return index != RC_NO_SYMBOL ? index : rc_symbols_index(b->music->symbols, start, chord->length);
}

// A symbol that was read before, where there is nothing else to think of.
static gboolean
read_known_chord(AbcBody *b)
{
  const char *start = b->cursor.at + 1;
  AbcKnown *known = &b->music->known;
  AbcKnownChord *chord = abc_known_find(known, abc_short_text(start));
  if (!chord || b->bars.overlay || abc_chord_waits(&b->bars)) {
    return FALSE;
  }
  if (chord->tune != known->tune) {
    chord->symbol = (guint16)find_again(b, start, chord);
    chord->tune = known->tune;
    b->music->chords = TRUE;
  }
  b->optional = FALSE;
  b->chord = chord->symbol;
  abc_begin_chord(&b->bars, chord->symbol, abc_place(&b->cursor, start));
  b->cursor.at = start + chord->length + 1;
  return TRUE;
}

static gboolean
read_word(AbcBody *b, GError **error)
{
  const char *start = b->cursor.at + 1;
  const char *close = start;
  while (*close != '"') {
    if (abc_ends_line(*close)) {
      return abc_fail(&b->cursor, b->cursor.at, RC_ERROR_SYNTAX,
                      "a chord symbol begins here and has no closing quote on its line", error);
    }
    ++close;
  }
  b->cursor.at = close + 1;
  if (!b->bars.overlay) {
    AbcWord word;
    abc_read_word(start, close, &word);
    take_word(b, &word, &b->cursor);
  }
  return TRUE;
}

gboolean
abc_body_read_string(AbcBody *b, GError **error)
{
  const gboolean good = read_known_chord(b) || read_word(b, error);
  return good && (b->music->tune->symbols->len <= RC_MAX_SYMBOLS || abc_body_check_limits(b, error));
}

void
abc_body_take_symbols(AbcBody *b)
{
  for (guint i = 0; i < b->symbol_lines.n && b->music->tune->symbols->len <= RC_MAX_SYMBOLS; ++i) {
    AbcCursor *line = &b->symbol_lines.lines[i];
    AbcWord word;
    if (abc_take_symbol(line, &word)) {
      take_word(b, &word, line);
    }
  }
}
