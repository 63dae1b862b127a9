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

#include "rowcall/music.h"

#include "music/degree.h"

#include <string.h>

typedef enum {
  WORD_TONES,      // takes degrees away and brings others
  WORD_MAJOR,      // the next number brings a major seventh
  WORD_TRIANGLE,   // a major seventh, with a number or without
  WORD_DIMINISHED, // a sign for the triad; the next number brings a diminished seventh
  WORD_NUMBER,
  WORD_ADD,
  WORD_NO
} WordKind;

typedef struct {
  const char *text;
  WordKind kind;
  gboolean first; // only directly after the root
  RcDegrees takes;
  RcDegrees brings;
  guint number;
} Word;

#define FIRST(text, takes, brings)                                                                                     \
  {                                                                                                                    \
    text, WORD_TONES, TRUE, takes, brings, 0                                                                           \
  }
#define LATER(text, takes, brings)                                                                                     \
  {                                                                                                                    \
    text, WORD_TONES, FALSE, takes, brings, 0                                                                          \
  }
#define MINOR(text) FIRST(text, RC_THIRDS, RC_BIT(FLAT_3))
#define HALF_DIMINISHED(text) FIRST(text, RC_THIRDS | RC_BIT(5), RC_BIT(FLAT_3) | RC_BIT(FLAT_5) | RC_BIT(FLAT_7))
#define ALTERED(text) LATER(text, RC_BIT(5) | RC_SEVENTHS, RC_BIT(SHARP_5) | RC_BIT(FLAT_7) | RC_BIT(SHARP_9))
#define SUSPENDED(text, brings) LATER(text, RC_THIRDS, brings)
#define NUMBER(text, number)                                                                                           \
  {                                                                                                                    \
    text, WORD_NUMBER, FALSE, 0, 0, number                                                                             \
  }
#define OF_KIND(text, kind)                                                                                            \
  {                                                                                                                    \
    text, kind, FALSE, 0, 0, 0                                                                                         \
  }

// One letter counts as written; longer words in any case.
static const Word words[] = {
  MINOR("m"),
  MINOR("mi"),
  MINOR("min"),
  MINOR("minor"),
  MINOR("-"),
  MINOR("−"),
  MINOR("–"),
  OF_KIND("M", WORD_MAJOR),
  OF_KIND("j", WORD_MAJOR),
  OF_KIND("ma", WORD_MAJOR),
  OF_KIND("maj", WORD_MAJOR),
  OF_KIND("major", WORD_MAJOR),
  OF_KIND("Δ", WORD_TRIANGLE),
  OF_KIND("∆", WORD_TRIANGLE),
  OF_KIND("△", WORD_TRIANGLE),
  OF_KIND("^", WORD_TRIANGLE),
  OF_KIND("dim", WORD_DIMINISHED),
  OF_KIND("o", WORD_DIMINISHED),
  OF_KIND("°", WORD_DIMINISHED),
  OF_KIND("º", WORD_DIMINISHED),
  OF_KIND("0", WORD_DIMINISHED),
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
  OF_KIND("add", WORD_ADD),
  OF_KIND("no", WORD_NO),
  OF_KIND("omit", WORD_NO),
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

typedef struct {
  const char *at;
  const char *end;
  RcDegrees degrees;
  RcDegrees said;  // named by numbers and alterations
  guint words;     // words read so far
  guint brackets;  // open brackets
  gboolean number; // a number was read
  gboolean diminished;
  gboolean triangle;
  const char *major; // where "maj" is while it waits for its number
  WordKind verb;     // WORD_ADD or WORD_NO while the list after it may go on
} Reader;

static gsize
left(const Reader *r)
{
  return (gsize)(r->end - r->at);
}

static void
replace(Reader *r, RcDegrees takes, RcDegrees brings)
{
  r->degrees = (r->degrees & ~takes) | brings;
}

// ---------------------------------------------------------------------------------------------- numbers and words

static RcDegrees
seventh_in_force(const Reader *r)
{
  if (r->major) {
    return RC_BIT(7);
  }
  if (r->degrees & RC_SEVENTHS) {
    return r->degrees & RC_SEVENTHS;
  }
  return r->diminished ? RC_BIT(DOUBLE_FLAT_7) : RC_BIT(FLAT_7);
}

// Notes that degrees are named; FALSE where one of them was named before.
static gboolean
say(Reader *r, RcDegrees named)
{
  const gboolean news = !(r->said & named);
  r->said |= named;
  return news;
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
apply_second(Reader *r, gboolean separated)
{
  if (r->degrees == RC_CHORD_MINOR && !separated) {
    r->degrees |= RC_BIT(9);
    return TRUE;
  }
  replace(r, RC_THIRDS, RC_BIT(SUS_2));
  return !r->words;
}

// A 4 is a suspension directly after the root (C4), and after a dominant seventh (G7/4, G7(4)). C6/4 and Cm7/4 may mean
// other things.
static gboolean
apply_fourth(Reader *r, gboolean separated)
{
  const RcDegrees dominant = RC_BIT(3) | RC_BIT(FLAT_7);
  const gboolean suspends = separated && (r->degrees & dominant) == dominant;
  replace(r, RC_THIRDS, RC_BIT(SUS_4));
  return !r->words || suspends;
}

// The first of 9, 11 and 13 piles thirds on the seventh; after a number they only add their own tone (7/9, 6/9,
// 7(13)).
static RcDegrees
piled(const Reader *r, guint number, gboolean separated)
{
  const gboolean piles = !r->number && (!separated || r->major);
  RcDegrees tones = piles ? seventh_in_force(r) : 0;
  tones |= number == 9 || (piles && number > 9) ? RC_BIT(9) : 0;
  tones |= number == 11 || (piles && number > 11) ? RC_BIT(11) : 0;
  tones |= number == 13 ? RC_BIT(13) : 0;
  return tones;
}

static gboolean
apply_number(Reader *r, guint number, gboolean separated)
{
  if (!say(r, named_by(number))) {
    return FALSE;
  }
  switch (number) {
  case 2:
    return apply_second(r, separated);
  case 4:
    return apply_fourth(r, separated);
  case 5:
    replace(r, RC_THIRDS, 0);
    return !r->words && (left(r) < 2 || !strchr("+-", r->at[1]));
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

static gboolean
apply_word(Reader *r, const Word *word, gboolean separated)
{
  switch (word->kind) {
  case WORD_TONES:
    if (!word->first && !(word->brings & ~r->degrees)) {
      return FALSE; // said already
    }
    replace(r, word->takes, word->brings);
    return TRUE;
  case WORD_TRIANGLE:
  case WORD_MAJOR:
    if (r->major) {
      return FALSE; // said already
    }
    r->triangle |= word->kind == WORD_TRIANGLE;
    r->major = r->at;
    return !(r->degrees & (RC_BIT(FLAT_7) | RC_BIT(7)));
  case WORD_DIMINISHED:
    r->diminished = TRUE;
    replace(r, RC_THIRDS | RC_BIT(5), RC_BIT(FLAT_3) | RC_BIT(FLAT_5));
    return !r->words;
  case WORD_NUMBER:
    return apply_number(r, word->number, separated);
  case WORD_ADD:
  case WORD_NO:
    break;
  }
  return TRUE;
}

// The "ma" of "madd9" and "malt" is a minor sign and the start of another word.
static gboolean
cuts_next_word(const Word *word, const char *at, gsize length)
{
  return word->kind == WORD_MAJOR && length >= 4 && strlen(word->text) == 2 &&
         (!g_ascii_strncasecmp(at + 1, "add", 3) || !g_ascii_strncasecmp(at + 1, "alt", 3));
}

// A capital M and a small m mean different things; longer words are read in any case, but no capital follows a small
// letter in a word: "EmA7" has none that is "mA".
static gboolean
is_word(const char *at, const char *text, gsize length)
{
  for (gsize i = 1; i < length; ++i) {
    if (g_ascii_islower(at[i - 1]) && g_ascii_isupper(at[i])) {
      return FALSE;
    }
  }
  return !g_ascii_strncasecmp(at, text, length);
}

static gboolean
word_fits(const Word *word, const char *at, gsize length)
{
  const gsize n = strlen(word->text);
  const gboolean exact = n == 1 || strchr(word->text, 'M') || !strcmp(word->text, "ped");
  return n <= length && !cuts_next_word(word, at, length) &&
         (exact ? !memcmp(at, word->text, n) : is_word(at, word->text, n));
}

static const Word *
longest_word(const Reader *r)
{
  const Word *best = NULL;
  for (guint i = 0; i < G_N_ELEMENTS(words); ++i) {
    const Word *word = &words[i];
    const gboolean allowed = !word->first || !r->words;
    const gboolean longer = !best || strlen(word->text) > strlen(best->text);
    if (allowed && longer && word_fits(word, r->at, left(r))) {
      best = word;
    }
  }
  return best;
}

// ---------------------------------------------------------------------------------------------------- alterations

typedef struct {
  const char *text;
  int sharps;
} AlterationSign;

static const AlterationSign alteration_signs[] = { { "b", -1 }, { "♭", -1 }, { "-", -1 }, { "−", -1 },
                                                   { "–", -1 }, { "#", 1 },  { "♯", 1 },  { "+", 1 } };

typedef struct {
  int sharps;
  const char *number;
  RcDegree degree;
  RcDegrees replaces;
} Alteration;

static const Alteration alterations[] = {
  { -1, "13", RC_DEGREE_FLAT_13, RC_BIT(13) },
  { 1, "11", RC_DEGREE_SHARP_11, RC_BIT(11) },
  { -1, "9", RC_DEGREE_FLAT_9, RC_BIT(9) },
  { 1, "9", RC_DEGREE_SHARP_9, RC_BIT(9) },
  { -1, "5", RC_DEGREE_FLAT_5, RC_BIT(5) },
  { 1, "5", RC_DEGREE_SHARP_5, RC_BIT(5) },
  { -1, "6", RC_DEGREE_FLAT_13, RC_BIT(6) },
  { 1, "4", RC_DEGREE_SHARP_11, RC_BIT(11) },
  { -1, "2", RC_DEGREE_FLAT_9, RC_BIT(9) },
  { 1, "2", RC_DEGREE_SHARP_9, RC_BIT(9) },
  { 1, "7", RC_DEGREE_7, 0 },
};

static gsize
read_alteration_sign(const char *at, gsize length, int *sharps)
{
  for (guint i = 0; i < G_N_ELEMENTS(alteration_signs); ++i) {
    const gsize n = strlen(alteration_signs[i].text);
    if (n <= length && !memcmp(at, alteration_signs[i].text, n)) {
      *sharps = alteration_signs[i].sharps;
      return n;
    }
  }
  return 0;
}

// Directly after the root "+" and "-" are qualities, unless a fifth follows: C-9 is a minor ninth, C-5 a flat fifth.
static gboolean
sign_is_quality(const Reader *r)
{
  const gboolean either = *r->at == '+' || *r->at == '-';
  return either && !r->words && !r->brackets && (left(r) < 2 || r->at[1] != '5');
}

// The alteration whose number begins at `at`.
static const Alteration *
find_alteration(const char *at, gsize length, int sharps)
{
  for (guint i = 0; i < G_N_ELEMENTS(alterations); ++i) {
    const Alteration *a = &alterations[i];
    const gsize n = strlen(a->number);
    if (a->sharps == sharps && n <= length && !memcmp(at, a->number, n)) {
      return a;
    }
  }
  return NULL;
}

// Applies an alteration, if it is one that was not there before, and goes on after it.
static gboolean
apply_alteration(Reader *r, const Alteration *a, gsize sign)
{
  if (!a || !say(r, 1U << a->degree)) {
    return FALSE;
  }
  replace(r, a->replaces, 1U << a->degree);
  r->at += sign + strlen(a->number);
  return TRUE;
}

static gboolean
read_alteration(Reader *r)
{
  int sharps = 0;
  const gsize sign = read_alteration_sign(r->at, left(r), &sharps);
  if (!sign || sign_is_quality(r)) {
    return FALSE;
  }
  return apply_alteration(r, find_alteration(r->at + sign, left(r) - sign, sharps), sign);
}

// A number with its sign last, as a word of its own: the "9-" of "C7(9-)".
typedef struct {
  gsize digits;
  gsize sign; // bytes; 0: there is none
  int sharps;
} SignLast;

static SignLast
find_sign_last(const Reader *r, gboolean apart)
{
  SignLast found = { 0 };
  while (found.digits < left(r) && g_ascii_isdigit(r->at[found.digits])) {
    ++found.digits;
  }
  const char *sign = r->at + found.digits;
  const gsize n = found.digits ? read_alteration_sign(sign, left(r) - found.digits, &found.sharps) : 0;
  const gboolean fifth = found.digits == 1 && *r->at == '5' && !r->words;
  const gboolean ends = sign + n == r->end || strchr(")],/ ", sign[n]);
  found.sign = ends && (apart || fifth) ? n : 0;
  return found;
}

// C(7+) is a major seventh to some and an augmented chord to others.
static gboolean
read_sign_last(Reader *r, SignLast found)
{
  const Alteration *a = find_alteration(r->at, left(r), found.sharps);
  return a && strlen(a->number) == found.digits && *r->at != '7' && apply_alteration(r, a, found.sign);
}

// ------------------------------------------------------------------------------------------------ "add" and "no"

typedef struct {
  const char *text;
  RcDegrees adds;  // 0: cannot be added
  RcDegrees takes; // 0: cannot be taken away
} NamedDegree;

// Longer names first.
static const NamedDegree named_degrees[] = {
  { "maj7", RC_BIT(7), 0 },
  { "root", 0, RC_BIT(1) },
  { "bb7", RC_BIT(DOUBLE_FLAT_7), 0 },
  { "b13", RC_BIT(FLAT_13), 0 },
  { "#11", RC_BIT(SHARP_11), 0 },
  { "M7", RC_BIT(7), 0 },
  { "b3", RC_BIT(FLAT_3), 0 },
  { "b5", RC_BIT(FLAT_5), 0 },
  { "#5", RC_BIT(SHARP_5), 0 },
  { "b6", RC_BIT(FLAT_13), 0 },
  { "b7", RC_BIT(FLAT_7), 0 },
  { "b9", RC_BIT(FLAT_9), 0 },
  { "#9", RC_BIT(SHARP_9), 0 },
  { "#4", RC_BIT(SHARP_11), 0 },
  { "11", RC_BIT(11), RC_BIT(11) | RC_BIT(SHARP_11) },
  { "13", RC_BIT(13), RC_BIT(13) | RC_BIT(FLAT_13) },
  { "1", RC_BIT(1), RC_BIT(1) },
  { "2", RC_BIT(9), RC_BIT(SUS_2) | RC_BIT(9) },
  { "3", RC_BIT(3), RC_THIRDS },
  { "4", RC_BIT(11), RC_BIT(SUS_4) | RC_BIT(11) },
  { "5", RC_BIT(5), RC_FIFTHS },
  { "6", RC_BIT(6), RC_BIT(6) },
  { "7", RC_BIT(FLAT_7), RC_SEVENTHS },
  { "9", RC_BIT(9), RC_BIT(FLAT_9) | RC_BIT(9) | RC_BIT(SHARP_9) },
};

static gsize
ordinal_ending(const char *at, gsize length)
{
  return length >= 2 && (!memcmp(at, "rd", 2) || !memcmp(at, "th", 2)) ? 2 : 0;
}

// Copies the start of a listed degree with its signs as `b` or `#`, and returns how many bytes shorter the copy is.
static gsize
fold_signs(const char *at, gsize length, char *folded, gsize size)
{
  GString *copy = g_string_sized_new(size);
  gsize read = 0;
  int sharps = 0;
  for (gsize sign; (sign = read_alteration_sign(at + read, length - read, &sharps)) > 1; read += sign) {
    g_string_append_c(copy, sharps < 0 ? 'b' : '#');
  }
  const gsize signs = copy->len;
  g_string_append_len(copy, at + read, (gssize)MIN(length - read, 6));
  g_strlcpy(folded, copy->str, size);
  g_string_free(copy, TRUE);
  return read - signs;
}

static gboolean
read_listed_degree(Reader *r)
{
  char text[16];
  const gsize extra = fold_signs(r->at, left(r), text, sizeof text);
  for (guint i = 0; i < G_N_ELEMENTS(named_degrees); ++i) {
    const NamedDegree *named = &named_degrees[i];
    const RcDegrees change = r->verb == WORD_ADD ? named->adds : named->takes;
    if (change && g_str_has_prefix(text, named->text)) {
      r->degrees = r->verb == WORD_ADD ? r->degrees | change : r->degrees & ~change;
      r->at += strlen(named->text) + extra;
      r->at += ordinal_ending(r->at, left(r));
      return TRUE;
    }
  }
  return FALSE;
}

// ---------------------------------------------------------------------------------------------------- the symbol

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
skip_blanks(Reader *r)
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
    if (apart + n <= length && is_word(at + apart, signs[i].text, n)) {
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
read_bass(Reader *r, RcNames names, RcNote *bass)
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
step_over_bracket(Reader *r)
{
  const gboolean opens = *r->at == '(' || *r->at == '[';
  const gboolean closes = *r->at == ')' || *r->at == ']';
  const gboolean empty = closes && (r->at[-1] == '(' || r->at[-1] == '[');
  if ((opens && !r->brackets) || (closes && r->brackets && !empty)) {
    r->brackets = opens ? 1 : 0;
    r->verb = WORD_TONES;
    ++r->at;
    return TRUE;
  }
  return FALSE;
}

static gboolean
skip_separators(Reader *r)
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
skip_slash(Reader *r)
{
  const gboolean separates = left(r) > 1 && r->at[0] == '/' && r->at[1] != '/';
  if (separates) {
    ++r->at;
    skip_blanks(r);
  }
  return separates;
}

// The full stop of a word cut short: "alt.", "dim."
static void
skip_stop(Reader *r, const Word *word)
{
  enum { SHORTEST = 3 };
  const gsize n = strlen(word->text);
  r->at += n >= SHORTEST && g_ascii_isalpha(word->text[n - 1]) && left(r) && *r->at == '.' ? 1 : 0;
}

static gboolean
read_word(Reader *r, gboolean separated, gboolean after_slash)
{
  const gboolean in_list = separated && r->verb != WORD_TONES;
  const SignLast sign_last = find_sign_last(r, r->brackets || after_slash);
  if (sign_last.sign) {
    return read_sign_last(r, sign_last);
  }
  if ((in_list && read_listed_degree(r)) || read_alteration(r)) {
    return TRUE;
  }
  const Word *word = longest_word(r);
  if (!word || !apply_word(r, word, separated)) {
    return FALSE;
  }
  r->at += strlen(word->text);
  skip_stop(r, word);
  if (word->kind == WORD_ADD || word->kind == WORD_NO) {
    r->verb = word->kind;
    skip_blanks(r);
    return read_listed_degree(r);
  }
  r->verb = WORD_TONES;
  return TRUE;
}

static gboolean
read_words(Reader *r, RcNames names, RcNote *bass)
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
settle(Reader *r)
{
  if (r->triangle) {
    r->degrees |= RC_BIT(7);
  } else if (r->major && ((r->degrees & RC_BIT(FLAT_3)) || is_bare_major(r->major, r->end))) {
    r->at = r->major;
    return FALSE;
  }
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

RcSymbolKind
rc_chord_parse(const char *text, gsize length, RcNames names, RcChord *chord, gsize *stopped_at)
{
  for (gsize n; (n = mark_at_end(text, length)) > 0; length -= n) {
  }
  if (is_silence(text, length)) {
    return RC_SYMBOL_SILENT;
  }
  RcNote root = 0;
  const gsize n = read_note(text, length, names, &root);
  Reader r = { .at = text + n, .end = text + length, .degrees = RC_CHORD_MAJOR, .verb = WORD_TONES };
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
