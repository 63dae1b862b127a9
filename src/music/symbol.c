// Copyright 2026 the rowcall developers
// SPDX-License-Identifier: MIT

// Reading chord symbols.
//
//   symbol  = root { word } [ "/" note [ "m" ] ] { "*" } | "N.C."
//   word    = quality | number | alteration | "add" degree | "no" degrees | "alt"
//
// Words follow one another with or without brackets, commas and spaces. The table `words` holds all that have a fixed
// text; the longest that fits is taken. A "/" before anything that is not a bass note only separates (6/9, m/maj7).
// "+" and "-" are qualities directly after the root (C+7, C-7) and signs of an alteration later (C7+5, C7-9). In
// brackets or after a slash an alteration may have its sign last (C7(9-), C7/9-), and a fifth may anywhere (C5+).
//
// What could mean two things is no symbol: Cmajmaj7, C66 and C7b5b5 say something twice, EmA7 is two chords, C(7+) is a
// major seventh in some countries and an augmented chord in others.

#include "music/symbol_reader.h"

#include <string.h>

// Returns the number of bytes of a blank, one that no line breaks at too; 0 where there is none.
static gsize
blank_at(const char *at, const char *end)
{
  static const char unbroken[] = "\u00A0";
  const gsize n = sizeof unbroken - 1;
  if (at < end && *at == ' ') {
    return 1;
  }
  return (gsize)(end - at) >= n && !memcmp(at, unbroken, n) ? n : 0;
}

static void
skip_blanks(RcSymbolReader *r)
{
  for (gsize n; (n = blank_at(r->at, r->end)) > 0; r->at += n) {
  }
}

// "flat" or "sharp" after the letter of an English note: "Bflat", "F sharp", "E-flat". Returns the number of bytes.
static gsize
read_spelled_sign(const char *at, gsize length, int *fifths)
{
  static const struct {
    const char *text;
    int fifths;
  } signs[] = { { "flat", -7 }, { "sharp", 7 } };
  const gsize apart = length && (*at == ' ' || *at == '-') ? 1 : 0;
  for (guint i = 0; i < G_N_ELEMENTS(signs); ++i) {
    const gsize n = strlen(signs[i].text);
    if (apart + n <= length && rc_is_word(at + apart, signs[i].text, n)) {
      *fifths = signs[i].fifths;
      return apart + n;
    }
  }
  return 0;
}

static gsize
read_note(const char *text, gsize length, RcNames names, RcNote *note)
{
  const gsize n = rc_note_parse(text, length, names, note);
  int fifths = 0;
  if (n != 1 || names != RC_NAMES_ENGLISH) {
    return n;
  }
  const gsize sign = read_spelled_sign(text + n, length - n, &fifths);
  *note = (RcNote)(*note + fifths);
  return n + sign;
}

// A bass "Bm" is the note B.
static gboolean
read_bass(RcSymbolReader *r, RcNames names, RcNote *bass)
{
  enum { LONGEST = 12 };
  char capital[LONGEST] = { 0 };
  const char *at = r->at + 1;
  RcNote note = 0;
  if (*r->at != '/' || r->brackets) {
    return FALSE;
  }
  for (gsize n; (n = blank_at(at, r->end)) > 0; at += n) {
  }
  const gsize length = (gsize)(r->end - at);
  if (!length || length >= LONGEST) {
    return FALSE;
  }
  memcpy(capital, at, length);
  capital[0] = g_ascii_toupper(capital[0]);
  const gsize n = read_note(capital, length, names, &note);
  if (!n || strcmp(capital + n, capital[n] == 'm' ? "m" : "") != 0) {
    return FALSE;
  }
  *bass = note;
  r->at = r->end;
  return TRUE;
}

static gboolean
step_over_bracket(RcSymbolReader *r)
{
  const gboolean opens = *r->at == '(' || *r->at == '[';
  const gboolean closes = *r->at == ')' || *r->at == ']';
  const gboolean empty = closes && (r->at[-1] == '(' || r->at[-1] == '[');
  if ((opens && !r->brackets) || (closes && r->brackets && !empty)) {
    r->brackets = opens ? 1 : 0;
    r->verb = RC_WORD_TONES;
    ++r->at;
    return TRUE;
  }
  return FALSE;
}

static gboolean
skip_separators(RcSymbolReader *r)
{
  const char *start = r->at;
  while (r->at < r->end) {
    const gsize blank = *r->at == ',' ? 1 : blank_at(r->at, r->end);
    if (blank) {
      r->at += blank;
    } else if (!step_over_bracket(r)) {
      break;
    }
  }
  return r->at > start;
}

// "C7/9", "Cm/maj7", "C6 / 9": a slash before another word.
static gboolean
skip_slash(RcSymbolReader *r)
{
  const gboolean separates = rc_symbol_left(r) > 1 && r->at[0] == '/' && r->at[1] != '/';
  if (separates) {
    ++r->at;
    skip_blanks(r);
  }
  return separates;
}

// The full stop of a word cut short: "alt.", "dim."
static void
skip_stop(RcSymbolReader *r, const RcWord *word)
{
  enum { SHORTEST = 3 };
  const gsize n = strlen(word->text);
  r->at += n >= SHORTEST && g_ascii_isalpha(word->text[n - 1]) && rc_symbol_left(r) && *r->at == '.' ? 1 : 0;
}

static gboolean
read_word(RcSymbolReader *r, gboolean separated, gboolean after_slash)
{
  const gboolean in_list = separated && r->verb != RC_WORD_TONES;
  const RcSignLast sign_last = rc_find_sign_last(r, r->brackets || after_slash);
  if (sign_last.sign) {
    return rc_read_sign_last(r, sign_last);
  }
  if ((in_list && rc_read_listed_degree(r)) || rc_read_alteration(r)) {
    return TRUE;
  }
  const RcWord *word = rc_longest_word(r);
  if (!word || !rc_apply_word(r, word, separated)) {
    return FALSE;
  }
  r->at += strlen(word->text);
  skip_stop(r, word);
  if (word->kind == RC_WORD_ADD || word->kind == RC_WORD_NO) {
    r->verb = word->kind;
    skip_blanks(r);
    return rc_read_listed_degree(r);
  }
  r->verb = RC_WORD_TONES;
  return TRUE;
}

static gboolean
read_words(RcSymbolReader *r, RcNames names, RcNote *bass)
{
  while (r->at < r->end) {
    const gboolean separated = skip_separators(r);
    if (r->at == r->end || read_bass(r, names, bass)) {
      break;
    }
    const gboolean after_slash = skip_slash(r);
    if (!read_word(r, separated || after_slash, after_slash)) {
      return FALSE;
    }
    ++r->words;
  }
  return !r->brackets;
}

// "maj" without a number is the plain triad; its shortest and its loudest forms are rather other words: "Dj", "AMA".
static gboolean
is_bare_major(const char *at, const char *end)
{
  const gsize length = (gsize)(end - at);
  return *at == 'j' || (length > 1 && !memcmp(at, "MA", 2) && !(length > 2 && at[2] == 'J'));
}

// The triangle brings its seventh in any case; "maj" without a number says nothing after a minor third; and something
// must sound.
static gboolean
settle(RcSymbolReader *r)
{
  if (r->triangle) {
    r->degrees |= RC_BIT(7);
  } else if (r->major && ((r->degrees & RC_BIT(FLAT_3)) || is_bare_major(r->major, r->end))) {
    r->at = r->major;
    return FALSE;
  }
  r->degrees = rc_degrees_settle(r->degrees);
  return r->degrees != 0;
}

static gboolean
is_silence(const char *text, gsize length)
{
  static const char *const names[] = { "N.C.", "N.C", "NC", "NC.", "n.c.", "n.c", "nc", "N" };
  for (guint i = 0; i < G_N_ELEMENTS(names); ++i) {
    if (strlen(names[i]) == length && !memcmp(names[i], text, length)) {
      return TRUE;
    }
  }
  return FALSE;
}

// The number of bytes of a blank at the end of a text, or of a star, which points to a footnote.
static gsize
mark_at_end(const char *text, gsize length)
{
  static const char *const marks[] = { " ", "*", "\u00A0" };
  for (guint i = 0; i < G_N_ELEMENTS(marks); ++i) {
    const gsize n = strlen(marks[i]);
    if (length > n && !memcmp(text + length - n, marks[i], n)) {
      return n;
    }
  }
  return 0;
}

// Reads what begins with a capital letter, upon a triad.
static RcSymbolKind
read_chord(const char *text, gsize length, RcNames names, RcDegrees triad, RcChord *chord, gsize *stopped_at)
{
  RcNote root = 0;
  const gsize n = read_note(text, length, names, &root);
  RcSymbolReader r = { .at = text + n, .end = text + length, .degrees = triad, .verb = RC_WORD_TONES };
  RcNote bass = root;
  if (n && read_words(&r, names, &bass) && settle(&r)) {
    *chord = (RcChord){ root, bass, r.degrees };
    return RC_SYMBOL_CHORD;
  }
  if (stopped_at) {
    *stopped_at = (gsize)(r.at - text);
  }
  return RC_SYMBOL_UNREAD;
}

// Among German names "a" is A minor.
static RcSymbolKind
read_german_minor(const char *text, gsize length, RcChord *chord, gsize *stopped_at)
{
  char *capital = g_strndup(text, length);
  *capital = g_ascii_toupper(*capital);
  const RcSymbolKind kind = read_chord(capital, length, RC_NAMES_GERMAN, RC_CHORD_MINOR, chord, stopped_at);
  g_free(capital);
  return kind;
}

RcSymbolKind
rc_chord_parse(const char *text, gsize length, RcNames names, RcChord *chord, gsize *stopped_at)
{
  for (gsize n; (n = mark_at_end(text, length)) > 0; length -= n) {
  }
  if (is_silence(text, length)) {
    return RC_SYMBOL_SILENT;
  }
  if (names == RC_NAMES_GERMAN && length && *text >= 'a' && *text <= 'h') {
    return read_german_minor(text, length, chord, stopped_at);
  }
  return read_chord(text, length, names, RC_CHORD_MAJOR, chord, stopped_at);
}
