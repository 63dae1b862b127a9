// Copyright 2026 the rowcall developers
// SPDX-License-Identifier: MIT

// The words of chord symbols that have a fixed text, and what each of them, a number among them, makes of a chord.

#include "music/symbol_reader.h"

#include <string.h>

#define FIRST(text, takes, brings)                                                                                     \
  {                                                                                                                    \
    text, RC_WORD_TONES, TRUE, takes, brings, 0                                                                        \
  }
#define LATER(text, takes, brings)                                                                                     \
  {                                                                                                                    \
    text, RC_WORD_TONES, FALSE, takes, brings, 0                                                                       \
  }
#define MINOR(text) FIRST(text, RC_THIRDS, RC_BIT(FLAT_3))
#define HALF_DIMINISHED(text) FIRST(text, RC_THIRDS | RC_BIT(5), RC_BIT(FLAT_3) | RC_BIT(FLAT_5) | RC_BIT(FLAT_7))
#define ALTERED(text) LATER(text, RC_BIT(5) | RC_SEVENTHS, RC_BIT(SHARP_5) | RC_BIT(FLAT_7) | RC_BIT(SHARP_9))
#define SUSPENDED(text, brings) LATER(text, RC_THIRDS, brings)
#define NUMBER(text, number)                                                                                           \
  {                                                                                                                    \
    text, RC_WORD_NUMBER, FALSE, 0, 0, number                                                                          \
  }
#define OF_KIND(text, kind)                                                                                            \
  {                                                                                                                    \
    text, kind, FALSE, 0, 0, 0                                                                                         \
  }

// One letter counts as written; longer words in any case.
static const RcWord words[] = {
  MINOR("m"),
  MINOR("mi"),
  MINOR("min"),
  MINOR("minor"),
  MINOR("-"),
  MINOR("−"),
  MINOR("–"),
  OF_KIND("M", RC_WORD_MAJOR),
  OF_KIND("j", RC_WORD_MAJOR),
  OF_KIND("ma", RC_WORD_MAJOR),
  OF_KIND("maj", RC_WORD_MAJOR),
  OF_KIND("major", RC_WORD_MAJOR),
  OF_KIND("Δ", RC_WORD_TRIANGLE),
  OF_KIND("∆", RC_WORD_TRIANGLE),
  OF_KIND("△", RC_WORD_TRIANGLE),
  OF_KIND("^", RC_WORD_TRIANGLE),
  OF_KIND("dim", RC_WORD_DIMINISHED),
  OF_KIND("o", RC_WORD_DIMINISHED),
  OF_KIND("°", RC_WORD_DIMINISHED),
  OF_KIND("º", RC_WORD_DIMINISHED),
  OF_KIND("0", RC_WORD_DIMINISHED),
  HALF_DIMINISHED("ø"),
  HALF_DIMINISHED("Ø"),
  HALF_DIMINISHED("ø7"),
  HALF_DIMINISHED("Ø7"),
  HALF_DIMINISHED("hdim"),
  HALF_DIMINISHED("hdim7"),
  LATER("aug", RC_BIT(5), RC_BIT(SHARP_5)),
  LATER("aug5", RC_BIT(5), RC_BIT(SHARP_5)),
  LATER("+", RC_BIT(5), RC_BIT(SHARP_5)),
  ALTERED("alt"),
  ALTERED("alt7"),
  SUSPENDED("sus", RC_BIT(SUS_4)),
  SUSPENDED("sus4", RC_BIT(SUS_4)),
  SUSPENDED("sus2", RC_BIT(SUS_2)),
  SUSPENDED("sus24", RC_SUSPENDED),
  SUSPENDED("sus42", RC_SUSPENDED),
  SUSPENDED("sus2/4", RC_SUSPENDED),
  NUMBER("2", 2),
  NUMBER("4", 4),
  NUMBER("5", 5),
  NUMBER("6", 6),
  NUMBER("69", 69),
  NUMBER("7", 7),
  NUMBER("7th", 7),
  NUMBER("9", 9),
  NUMBER("9th", 9),
  NUMBER("11", 11),
  NUMBER("11th", 11),
  NUMBER("13", 13),
  NUMBER("13th", 13),
  NUMBER("dom", 7),
  NUMBER("dom7", 7),
  NUMBER("dom9", 9),
  NUMBER("dom11", 11),
  NUMBER("dom13", 13),
  LATER("7M", RC_SEVENTHS, RC_BIT(7)),
  OF_KIND("add", RC_WORD_ADD),
  OF_KIND("no", RC_WORD_NO),
  OF_KIND("omit", RC_WORD_NO),
  // Kinds of MusicXML that have no sign of their own. That standard names no degrees for those after "power": here
  // their usual meaning, from memory, above the lowest tone as the root.
  FIRST("ped", RC_CHORD_MAJOR, RC_BIT(1)),
  FIRST("pedal", RC_CHORD_MAJOR, RC_BIT(1)),
  FIRST("power", RC_THIRDS, 0),
  FIRST("Neapolitan", 0, RC_BIT(3)),
  FIRST("Italian", RC_BIT(5), RC_BIT(FLAT_7)),
  FIRST("French", RC_BIT(5), RC_BIT(FLAT_5) | RC_BIT(FLAT_7)),
  FIRST("German", 0, RC_BIT(FLAT_7)),
  HALF_DIMINISHED("Tristan"),
};

// ------------------------------------------------------------------------------------------------------------- numbers

static RcDegrees
seventh_in_force(const RcSymbolReader *r)
{
  if (r->major) {
    return RC_BIT(7);
  }
  const RcDegrees written = r->degrees & RC_SEVENTHS;
  return written ? written : r->diminished ? RC_BIT(DOUBLE_FLAT_7) : RC_BIT(FLAT_7);
}

static RcDegrees
named_by(guint number)
{
  switch (number) {
  case 6:
    return RC_BIT(6);
  case 69:
    return RC_BIT(6) | RC_BIT(9);
  case 9:
    return RC_BIT(9);
  case 11:
    return RC_BIT(11);
  case 13:
    return RC_BIT(13);
  default:
    return 0;
  }
}

// A 2 is a suspension directly after the root (C2), and only added to a minor triad (Bm2).
static gboolean
apply_second(RcSymbolReader *r, gboolean separated)
{
  if (r->degrees == RC_CHORD_MINOR && !separated) {
    r->degrees |= RC_BIT(9);
    return TRUE;
  }
  rc_symbol_replace(r, RC_THIRDS, RC_BIT(SUS_2));
  return !r->words;
}

// A 4 is a suspension directly after the root (C4), and after a dominant seventh (G7/4, G7(4)). C6/4 and Cm7/4 may mean
// other things.
static gboolean
apply_fourth(RcSymbolReader *r, gboolean separated)
{
  const RcDegrees dominant = RC_BIT(3) | RC_BIT(FLAT_7);
  const gboolean suspends = separated && (r->degrees & dominant) == dominant;
  rc_symbol_replace(r, RC_THIRDS, RC_BIT(SUS_4));
  return !r->words || suspends;
}

// The first of 9, 11 and 13 piles thirds on the seventh; after a number they only add their own tone (7/9, 6/9,
// 7(13)).
static RcDegrees
piled(const RcSymbolReader *r, guint number, gboolean separated)
{
  const gboolean piles = !r->number && (!separated || r->major);
  RcDegrees tones = piles ? seventh_in_force(r) : 0;
  tones |= number == 9 || (piles && number > 9) ? RC_BIT(9) : 0;
  tones |= number == 11 || (piles && number > 11) ? RC_BIT(11) : 0;
  tones |= number == 13 ? RC_BIT(13) : 0;
  return tones;
}

static gboolean
apply_number(RcSymbolReader *r, guint number, gboolean separated)
{
  if (!rc_symbol_say(r, named_by(number))) {
    return FALSE;
  }
  switch (number) {
  case 2:
    return apply_second(r, separated);
  case 4:
    return apply_fourth(r, separated);
  case 5:
    rc_symbol_replace(r, RC_THIRDS, 0);
    return !r->words && (rc_symbol_left(r) < 2 || !strchr("+-", r->at[1]));
  case 6:
    r->degrees |= (r->degrees & RC_SEVENTHS) ? RC_BIT(13) : RC_BIT(6);
    break;
  case 69:
    r->degrees |= RC_BIT(6) | RC_BIT(9);
    break;
  case 7:
    if ((r->degrees & RC_SEVENTHS) && !r->major) {
      return FALSE;
    }
    r->degrees |= seventh_in_force(r);
    break;
  default:
    r->degrees |= piled(r, number, separated);
  }
  r->major = NULL;
  r->number = TRUE;
  return TRUE;
}

// --------------------------------------------------------------------------------------------------------------- words

gboolean
rc_apply_word(RcSymbolReader *r, const RcWord *word, gboolean separated)
{
  switch (word->kind) {
  case RC_WORD_TONES:
    if (!word->first && !(word->brings & ~r->degrees)) {
      return FALSE; // said already
    }
    rc_symbol_replace(r, word->takes, word->brings);
    return TRUE;
  case RC_WORD_TRIANGLE:
  case RC_WORD_MAJOR:
    if (r->major) {
      return FALSE; // said already
    }
    r->triangle |= word->kind == RC_WORD_TRIANGLE;
    r->major = r->at;
    return !(r->degrees & (RC_BIT(FLAT_7) | RC_BIT(7)));
  case RC_WORD_DIMINISHED:
    r->diminished = TRUE;
    rc_symbol_replace(r, RC_THIRDS | RC_BIT(5), RC_BIT(FLAT_3) | RC_BIT(FLAT_5));
    return !r->words;
  case RC_WORD_NUMBER:
    return apply_number(r, word->number, separated);
  case RC_WORD_ADD:
  case RC_WORD_NO:
    break;
  }
  return TRUE;
}

// The "ma" of "madd9" and "malt" is a minor sign and the start of another word.
static gboolean
cuts_next_word(const RcWord *word, const char *at, gsize length)
{
  return word->kind == RC_WORD_MAJOR && length >= 4 && strlen(word->text) == 2 &&
         (!g_ascii_strncasecmp(at + 1, "add", 3) || !g_ascii_strncasecmp(at + 1, "alt", 3));
}

gboolean
rc_is_word(const char *at, const char *text, gsize length)
{
  for (gsize i = 1; i < length; ++i) {
    if (g_ascii_islower(at[i - 1]) && g_ascii_isupper(at[i])) {
      return FALSE;
    }
  }
  return !g_ascii_strncasecmp(at, text, length);
}

static gboolean
word_fits(const RcWord *word, const char *at, gsize length)
{
  const gsize n = strlen(word->text);
  const gboolean exact = n == 1 || strchr(word->text, 'M') || !strcmp(word->text, "ped");
  return n <= length && !cuts_next_word(word, at, length) &&
         (exact ? !memcmp(at, word->text, n) : rc_is_word(at, word->text, n));
}

const RcWord *
rc_longest_word(const RcSymbolReader *r)
{
  const RcWord *best = NULL;
  for (guint i = 0; i < G_N_ELEMENTS(words); ++i) {
    const RcWord *word = &words[i];
    const gboolean allowed = !word->first || !r->words;
    const gboolean longer = !best || strlen(word->text) > strlen(best->text);
    if (allowed && longer && word_fits(word, r->at, rc_symbol_left(r))) {
      best = word;
    }
  }
  return best;
}
