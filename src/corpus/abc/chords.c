// Copyright 2026 the rowcall developers
// SPDX-License-Identifier: MIT

#include "corpus/abc/chords.h"

#include "corpus/abc/fields.h"

#include <string.h>

enum { SHORTEST_JUMP = 4 }; // "D.C."

// ----------------------------------------------------------------------------------------------------------- words

gboolean
abc_is_annotation(const char *text)
{
  const char c = *text;
  return c == '^' || c == '_' || c == '<' || c == '>' || c == '@' || c == '"';
}

// "f", "f#", "bb", or "f+" as old collections have it.
static gboolean
is_bass_note(AbcText text)
{
  static const char *const signs[] = { "", "#", "b", "+", "\u266F", "\u266D" };
  if (text.at == text.end || *text.at < 'a' || *text.at > 'g') {
    return FALSE;
  }
  for (guint i = 0; i < G_N_ELEMENTS(signs); ++i) {
    const gsize n = strlen(signs[i]);
    if (abc_length(text) == 1 + n && !memcmp(text.at + 1, signs[i], n)) {
      return TRUE;
    }
  }
  return FALSE;
}

// Whether a text begins or ends with a blank, or is a comment; one after a symbol is left to those that are not read.
static gboolean
needs_trim(const char *start, const char *end)
{
  return start < end && (abc_is_blank(*start) || abc_is_blank(end[-1]) || *start == '%');
}

// "/F#" and "/f#".
static gboolean
is_over_bass(AbcText text)
{
  const char letter = g_ascii_tolower(text.at[1]);
  const char *at = text.at + 2;
  at += at < text.end && (*at == '#' || *at == 'b');
  return letter >= 'a' && letter <= 'g' && at == text.end;
}

static AbcWordKind
kind_of(AbcText text, guint *jumps)
{
  enum { LONGEST_BASS = 4 };
  const gsize length = abc_length(text);
  if (length > 1 && *text.at == '/' && is_over_bass(text)) {
    return ABC_WORD_OVER;
  }
  if (!length || (!g_ascii_isupper(*text.at) && abc_is_annotation(text.at))) {
    return ABC_WORD_NOTE;
  }
  if (length >= SHORTEST_JUMP && (*jumps = abc_jump(text)) != 0) {
    return ABC_WORD_JUMP;
  }
  return g_ascii_islower(*text.at) && length <= LONGEST_BASS && is_bass_note(text) ? ABC_WORD_BASS : ABC_WORD_CHORD;
}

gboolean
abc_hides_chord(AbcText text)
{
  RcChord chord;
  const AbcText inner = abc_trim((AbcText){ text.at + 1, text.end });
  return abc_length(text) > 2 && *text.at != '@' && abc_length(inner) > 1 &&
         rc_chord_parse(inner.at, abc_length(inner), RC_NAMES_ENGLISH, &chord, NULL) == RC_SYMBOL_CHORD;
}

// Most words: "G", "Em", "C#m".
static inline gboolean
is_short_chord(const char *start, const char *end)
{
  return end - start < SHORTEST_JUMP && g_ascii_isupper(*start) && !abc_is_blank(end[-1]);
}

void
abc_read_word(const char *start, const char *end, AbcWord *word)
{
  if (is_short_chord(start, end)) {
    *word = (AbcWord){ ABC_WORD_CHORD, { start, end }, 0 };
    return;
  }
  if (needs_trim(start, end)) {
    const AbcText text = abc_trim((AbcText){ start, end });
    start = text.at;
    end = text.end;
  }
  word->text.at = start;
  word->text.end = end;
  word->jumps = 0;
  word->kind = kind_of((AbcText){ start, end }, &word->jumps);
}

// --------------------------------------------------------------------------------------------------------- symbols

static gboolean
is_read(const RcTune *tune, guint index)
{
  return g_array_index(tune->symbols, RcSymbol, index).kind != RC_SYMBOL_UNREAD;
}

static guint
index_of(RcSymbols *symbols, AbcText text)
{
  return rc_symbols_index(symbols, text.at, abc_length(text));
}

// The symbol that a text of our own making means, which is freed.
static guint
index_of_made(RcSymbols *symbols, char *text)
{
  const guint index = rc_symbols_index(symbols, text, strlen(text));
  g_free(text);
  return index;
}

// The text between brackets around the whole, "(D7)", or beside one that closes or opens at another note: "(D7" and
// "G)".
static gboolean
read_brackets(AbcText text, AbcText *inner)
{
  const gsize length = abc_length(text);
  const gboolean opens = length > 1 && *text.at == '(';
  const gboolean closes = length > 1 && text.end[-1] == ')' && (opens || !memchr(text.at, '(', length));
  *inner = abc_trim((AbcText){ text.at + opens, text.end - closes });
  return (opens || closes) && inner->at < inner->end && !memchr(inner->at, '(', abc_length(*inner)) &&
         !memchr(inner->at, ')', abc_length(*inner));
}

// The text before brackets, "G" of "G(Em)" and "G (Em)".
static gboolean
read_before_brackets(AbcText text, AbcText *before)
{
  const char *bracket = memchr(text.at, '(', abc_length(text));
  *before = abc_trim((AbcText){ text.at, bracket ? bracket : text.at });
  return before->at < before->end;
}

// How "D/f+" is written today, a new string; NULL where a text is none of that kind.
static char *
sharp_bass(AbcText text)
{
  const gsize length = abc_length(text);
  const char *end = text.end;
  if (length < 4 || end[-1] != '+' || end[-2] < 'a' || end[-2] > 'g' || end[-3] != '/') {
    return NULL;
  }
  return g_strdup_printf("%.*s#", (int)length - 1, text.at);
}

// How "Cd", "Ca" and "Fa7" are written today, a new string; NULL where a text is none of that kind.
static char *
old_kind(AbcText text)
{
  const char *slash = memchr(text.at, '/', abc_length(text));
  const char *end = slash ? slash : text.end;
  const char *at = text.at;
  if (at == end || *at < 'A' || *at > 'G') {
    return NULL;
  }
  ++at;
  at += at < end && (*at == '#' || *at == 'b');
  const char kind = at < end ? *at : '\0';
  const gboolean seventh = at + 2 == end && at[1] == '7';
  if ((kind != 'd' && kind != 'a') || (at + 1 != end && !seventh)) {
    return NULL;
  }
  return g_strdup_printf("%.*s%s%s%.*s", (int)(at - text.at), text.at, kind == 'd' ? "dim" : "aug", seventh ? "7" : "",
                         (int)(text.end - end), end);
}

// Whether a text is several chords in a row, as "C7 F7" and "C7 - F7" are.
static gboolean
are_like_chords(AbcText text)
{
  char *copy = g_strndup(text.at, abc_length(text));
  char **words = g_strsplit_set(copy, " ,;|", -1);
  guint chords = 0;
  guint others = 0;
  for (guint i = 0; words[i]; ++i) {
    const gboolean chord = rc_is_like_chord(words[i], strlen(words[i]));
    chords += chord ? 1 : 0;
    others += chord || !words[i][strspn(words[i], "-")] ? 0 : 1;
  }
  g_strfreev(words);
  g_free(copy);
  return chords > 1 && !others;
}

// Of a text that is no symbol, whether it was meant as one or several, perhaps within a bracket, or is words.
static guint
reading_of_unread(AbcText text)
{
  text.at += text.at < text.end && *text.at == '(';
  text.end -= text.at < text.end && text.end[-1] == ')';
  return rc_is_like_chord(text.at, abc_length(text)) || are_like_chords(text) ? 0 : ABC_READ_WORDS;
}

static AbcSymbol find_symbol(RcSymbols *symbols, const RcTune *tune, AbcText text, AbcHabits *habits);

// The symbol that a part of a text means, or the same in other words.
static AbcSymbol
find_instead(RcSymbols *symbols, const RcTune *tune, AbcText text, AbcReading reading, AbcHabits *habits)
{
  AbcSymbol symbol = find_symbol(symbols, tune, text, habits);
  symbol.readings |= (guint)reading;
  return symbol;
}

static AbcSymbol
find_made(RcSymbols *symbols, const RcTune *tune, char *text, AbcReading reading, AbcHabits *habits)
{
  const AbcSymbol symbol = find_instead(symbols, tune, (AbcText){ text, text + strlen(text) }, reading, habits);
  g_free(text);
  return symbol;
}

// "bm" is Bm; else it was meant as a chord and is not read, or is words.
static AbcSymbol
find_small(RcSymbols *symbols, const RcTune *tune, AbcText text, guint as_written)
{
  if (g_ascii_islower(*text.at)) {
    char *capital = g_strndup(text.at, abc_length(text));
    *capital = g_ascii_toupper(*capital);
    const guint index = index_of_made(symbols, capital);
    if (is_read(tune, index)) {
      return (AbcSymbol){ index, ABC_READ_SMALL };
    }
  }
  return (AbcSymbol){ as_written, reading_of_unread(text) };
}

// What a text means that is not read as it is written. Kept out of the way of those that are.
static G_GNUC_NO_INLINE AbcSymbol
find_unusual(RcSymbols *symbols, const RcTune *tune, AbcText text, guint as_written, AbcHabits *habits)
{
  AbcText part = abc_trim(text);
  if (part.end < text.end) { // a comment
    return find_symbol(symbols, tune, part, habits);
  }
  if (read_brackets(text, &part)) {
    const AbcSymbol symbol = find_instead(symbols, tune, part, ABC_READ_OPTIONAL, habits);
    return is_read(tune, symbol.index) ? symbol : (AbcSymbol){ as_written, reading_of_unread(text) };
  }
  if (read_before_brackets(text, &part)) {
    return find_instead(symbols, tune, part, ABC_READ_FIRST, habits);
  }
  char *today = sharp_bass(text);
  if (today) {
    ++habits->met[ABC_HABIT_SYMBOLS];
    return find_made(symbols, tune, today, ABC_READ_SHARP_BASS, habits);
  }
  today = old_kind(text);
  habits->met[ABC_HABIT_SYMBOLS] += today != NULL;
  if (today && habits->followed[ABC_HABIT_SYMBOLS]) {
    return find_made(symbols, tune, today, ABC_READ_HABIT, habits);
  }
  g_free(today);
  return find_small(symbols, tune, text, as_written);
}

static inline AbcSymbol
find_symbol(RcSymbols *symbols, const RcTune *tune, AbcText text, AbcHabits *habits)
{
  const guint as_written = index_of(symbols, text);
  return is_read(tune, as_written) ? (AbcSymbol){ as_written, 0 }
                                   : find_unusual(symbols, tune, text, as_written, habits);
}

AbcSymbol
abc_find_symbol(RcSymbols *symbols, const RcTune *tune, AbcText text, gboolean ascii, AbcHabits *habits)
{
  if (!ascii && !g_utf8_validate(text.at, (gssize)abc_length(text), NULL)) {
    return (AbcSymbol){ index_of_made(symbols, abc_text_to_utf8(text)), 0 };
  }
  return find_symbol(symbols, tune, text, habits);
}

gboolean
abc_find_over_bass(RcSymbols *symbols, const RcTune *tune, guint chord, AbcText bass, guint *index)
{
  const RcSymbol *over = &g_array_index(tune->symbols, RcSymbol, chord);
  const gboolean sharp = bass.end[-1] == '+';
  if (over->kind != RC_SYMBOL_CHORD || strchr(over->text, '/')) {
    return FALSE;
  }
  char *text = g_strdup_printf("%s/%.*s%s", over->text, (int)abc_length(bass) - sharp, bass.at, sharp ? "#" : "");
  *index = index_of_made(symbols, text);
  return is_read(tune, *index);
}

// --------------------------------------------------------------------------------------------------- symbol lines

// Section 4.20: below a line of music, a text in quotes or a decoration for each note, `*` for none, `|` for the bar.

// Whether a line may come between a line of music and its symbol lines: words, and comments.
static gboolean
may_come_between(const char *line)
{
  return *line == '%' || (line[0] == 'w' && line[1] == ':');
}

AbcSymbolLines
abc_find_symbol_lines(const AbcCursor *cursor, const char *end)
{
  AbcSymbolLines found;
  guint number = cursor->number + 1;
  found.n = 0;
  for (const char *at = abc_line_end(cursor->at); *at && at + 1 < end; ++number) {
    const char *line = at + 1;
    if (line[0] == 's' && line[1] == ':' && found.n < ABC_MAX_SYMBOL_LINES) {
      AbcCursor *symbols = &found.lines[found.n++];
      *symbols = *cursor;
      abc_start_line(symbols, line, number);
      symbols->at += 2;
    } else if (!may_come_between(line)) {
      break;
    }
    at = abc_line_end(line);
  }
  return found;
}

static void
skip_blanks(AbcCursor *line)
{
  while (abc_is_blank(*line->at) || *line->at == '\r') {
    ++line->at;
  }
}

gboolean
abc_take_symbol(AbcCursor *line, AbcWord *word)
{
  skip_blanks(line);
  const char sign = *line->at;
  if (sign == '|' || sign == '%' || abc_ends_line(sign)) {
    return FALSE; // the line has no more for this bar
  }
  const char *start = ++line->at;
  if (sign != '"' && sign != '!' && sign != '+') {
    return FALSE;
  }
  while (*line->at != sign && !abc_ends_line(*line->at)) {
    ++line->at;
  }
  const AbcText text = { start, line->at };
  line->at += *line->at == sign;
  if (sign == '"') {
    abc_read_word(text.at, text.end, word);
  } else {
    *word = (AbcWord){ ABC_WORD_JUMP, text, abc_jump(abc_trim(text)) };
  }
  return TRUE;
}

void
abc_pass_symbol_bars(AbcSymbolLines *lines)
{
  for (guint i = 0; i < lines->n; ++i) {
    AbcCursor *line = &lines->lines[i];
    skip_blanks(line);
    line->at += *line->at == '|';
  }
}
