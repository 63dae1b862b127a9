// Copyright 2026 the rowcall developers
// SPDX-License-Identifier: MIT

// Tempo, repeats and endings, jumps and rehearsal marks of a MusicXML score.

#include "corpus/musicxml/values.h"

#include <string.h>

// ------------------------------------------------------------------------------------------------------------ tempo

static double
unit_quarters(const char *text)
{
  static const char *const units[] = { "breve", "whole", "half", "quarter", "eighth", "16th", "32nd" };
  for (guint i = 0; i < G_N_ELEMENTS(units); ++i) {
    if (!strcmp(units[i], text)) {
      return 8.0 / (1U << i);
    }
  }
  return 0;
}

// "138", "c. 138"; a mark that sets two notes equal has no number.
static double
read_metronome(const MxNode *metronome)
{
  double beat = 0;
  guint beats = 0;
  for (MX_EACH(child, metronome)) {
    if (child->name == MX_BEAT_UNIT) {
      beat = unit_quarters(child->text);
      ++beats;
    } else if (child->name == MX_BEAT_UNIT_DOT) {
      beat *= 1.5;
    }
  }
  const char *text = mx_child_text(metronome, MX_PER_MINUTE);
  return beats == 1 ? beat * g_ascii_strtod(text + strcspn(text, "0123456789"), NULL) : 0;
}

// ------------------------------------------------------------------------------------------------------------ times

// "1", "1, 2": bit n for each number n; bit 0 where there is none.
static guint64
read_numbers(const char *text)
{
  enum { LAST = 63 };
  guint64 numbers = 0;
  for (const char *at = text; *at;) {
    at += strcspn(at, "0123456789");
    const guint n = mx_read_count(at, 0);
    numbers |= n && n <= LAST ? G_GUINT64_CONSTANT(1) << n : 0;
    at += strspn(at, "0123456789");
  }
  return numbers ? numbers : 1U;
}

// ------------------------------------------------------------------------------------------------------------ words

enum { CODA_SIGN = '@', SEGNO_SIGN = '$' };

typedef struct {
  const char *start;
  guint jumps;
} JumpWords;

static guint
find_words(const char *words, const JumpWords *table, guint n)
{
  for (guint i = 0; i < n; ++i) {
    if (g_str_has_prefix(words, table[i].start)) {
      return table[i].jumps;
    }
  }
  return 0;
}

// "D.C." or "D. C." for the letter c, and not "D string" for s.
static gboolean
is_initials(const char *text, char letter)
{
  text += strcspn(text, "Dd");
  const char *next = *text ? text + 1 : text;
  const gsize between = strspn(next, ". ");
  return memchr(next, '.', between) && g_ascii_tolower(next[between]) == letter && !g_ascii_isalpha(next[between + 1]);
}

static guint
find_back(const char *text, const char *words)
{
  static const JumpWords backs[] = { { "dacapo", RC_JUMP_DA_CAPO }, { "dalsegno", RC_JUMP_DAL_SEGNO },
                                     { "dal$", RC_JUMP_DAL_SEGNO }, { "d$", RC_JUMP_DAL_SEGNO },
                                     { "dcal", RC_JUMP_DA_CAPO },   { "dsal", RC_JUMP_DAL_SEGNO } };
  const guint back = find_words(words, backs, G_N_ELEMENTS(backs));
  if (back || *words != 'd') {
    return back;
  }
  return !strcmp(words, "dc") || is_initials(text, 'c')   ? RC_JUMP_DA_CAPO
         : !strcmp(words, "ds") || is_initials(text, 's') ? RC_JUMP_DAL_SEGNO
                                                          : 0U;
}

// "D.C. al Fine", "D.S.", "Da Capo": where it leads back, and what it needs.
static guint
read_back(const char *text, const char *words)
{
  const guint back = find_back(text, words);
  if (!back) {
    return 0;
  }
  const gboolean coda = strstr(words, "coda") || strchr(words, CODA_SIGN);
  return back | (strstr(words, "fine") ? RC_JUMP_AL_FINE : 0U) | (coda ? RC_JUMP_AL_CODA : 0U);
}

// "To Coda"; what a jump needs may stand alone beside it: "al Fine".
static guint
read_on(const char *words)
{
  static const JumpWords ons[] = { { "tocoda", RC_JUMP_TO_CODA },    { "to@", RC_JUMP_TO_CODA },
                                   { "tothecoda", RC_JUMP_TO_CODA }, { "alcoda", RC_JUMP_AL_CODA },
                                   { "al@", RC_JUMP_AL_CODA },       { "alfine", RC_JUMP_AL_FINE } };
  return find_words(words, ons, G_N_ELEMENTS(ons));
}

// Only letters, in lower case, and signs: "D.C.alfine" and "D. C. al Fine" are the same.
static char *
squeeze(const char *text)
{
  GString *letters = g_string_new(NULL);
  for (; *text; ++text) {
    if (g_ascii_isalpha(*text) || *text == CODA_SIGN || *text == SEGNO_SIGN) {
      g_string_append_c(letters, g_ascii_tolower(*text));
    }
  }
  return g_string_free(letters, FALSE);
}

// "Fine", "(fine)", "Fine 2nd time", but not "Fine tuning".
static gboolean
is_fine(const char *words)
{
  return !strcmp(words, "fine") || (g_str_has_prefix(words, "fine") && strstr(words, "time"));
}

// Reads words and signs as they follow each other: "To" and a coda sign send to the coda, which does not begin here.
static void
read_words(const char *text, MxDirection *d)
{
  char *words = squeeze(text);
  const guint back = read_back(text, words);
  const guint on = back ? 0 : read_on(words);
  d->jumps |= back | on;
  if (back || on) {
    d->signs = 0;
  } else if (is_fine(words)) {
    d->jumps |= RC_JUMP_FINE;
  } else if (!strcmp(words, "coda") || !strcmp(words, "@coda")) {
    d->signs |= RC_JUMP_CODA;
  } else if (!strcmp(words, "segno")) {
    d->signs |= RC_JUMP_SEGNO;
  }
  g_free(words);
}

// ------------------------------------------------------------------------------------------------------- directions

typedef struct {
  const char *name;
  guint jump;
} SoundName;

// What is played, and where it goes on.
static void
read_sound(const MxNode *sound, MxDirection *d)
{
  static const SoundName signs[] = { { "segno", RC_JUMP_SEGNO }, { "coda", RC_JUMP_CODA } };
  static const SoundName jumps[] = { { "tocoda", RC_JUMP_TO_CODA },
                                     { "fine", RC_JUMP_FINE },
                                     { "dacapo", RC_JUMP_DA_CAPO },
                                     { "dalsegno", RC_JUMP_DAL_SEGNO } };
  for (guint i = 0; i < G_N_ELEMENTS(jumps); ++i) {
    const char *value = mx_attribute(sound, jumps[i].name);
    d->jumps |= value && strcmp(value, "no") != 0 ? jumps[i].jump : 0;
  }
  d->signs = d->jumps ? 0 : d->signs; // a coda sign at the leave
  for (guint i = 0; i < G_N_ELEMENTS(signs); ++i) {
    const char *value = mx_attribute(sound, signs[i].name);
    d->signs |= value && strcmp(value, "no") != 0 ? signs[i].jump : 0;
  }
  const char *tempo = mx_attribute(sound, "tempo");
  const char *times = mx_attribute(sound, "time-only");
  double quarters = 0;
  d->opens |= mx_attribute(sound, "forward-repeat") != NULL;
  d->tempo = tempo && mx_read_number(tempo, &quarters) ? quarters : d->tempo;
  d->times |= times ? read_numbers(times) & ~G_GUINT64_CONSTANT(1) : 0;
}

// What they have of our signs for signs means something else.
static void
append_words(GString *text, const char *words)
{
  char *plain = g_strdelimit(g_strdup(words), "@$", ' ');
  g_string_append_printf(text, " %s", plain);
  g_free(plain);
}

static void
read_type(const MxNode *type, GString *text, MxDirection *d)
{
  for (MX_EACH(child, type)) {
    if (child->name == MX_METRONOME) {
      d->tempo = read_metronome(child);
    } else if (child->name == MX_REHEARSAL) {
      d->rehearsal = child->text;
    } else if (child->name == MX_WORDS) {
      append_words(text, child->text);
    } else if (child->name == MX_CODA) {
      d->signs |= RC_JUMP_CODA;
      g_string_append_c(text, CODA_SIGN);
    } else if (child->name == MX_SEGNO) {
      d->signs |= RC_JUMP_SEGNO;
      g_string_append_c(text, SEGNO_SIGN);
    }
  }
}

// Whether words are a chord of more than a letter, which names parts as well.
static gboolean
is_chord(const char *words)
{
  RcChord chord;
  const char *text = words + strspn(words, " ");
  return strlen(text) > 1 && rc_chord_parse(text, strlen(text), RC_NAMES_ENGLISH, &chord, NULL) == RC_SYMBOL_CHORD;
}

MxDirection
mx_read_direction(const MxNode *node)
{
  MxDirection d = { 0 };
  if (node->name == MX_SOUND) {
    read_sound(node, &d);
    return d;
  }
  GString *text = g_string_new(NULL);
  const MxNode *sound = NULL;
  for (MX_EACH(child, node)) {
    if (child->name == MX_DIRECTION_TYPE) {
      read_type(child, text, &d);
    } else {
      sound = child;
    }
  }
  if (text->len) {
    read_words(text->str, &d);
    d.chord = is_chord(text->str);
  }
  if (sound) {
    read_sound(sound, &d);
  }
  g_string_free(text, TRUE);
  return d;
}

// -------------------------------------------------------------------------------------------------------- bar lines

static void
read_repeat(const MxNode *repeat, MxBarline *b)
{
  enum { MOST_TIMES = 63 };
  const char *direction = mx_attribute(repeat, "direction");
  const char *again = mx_attribute(repeat, "after-jump");
  if (direction && !strcmp(direction, "forward")) {
    b->opens = TRUE;
  } else if (direction) {
    b->closes = MIN(mx_read_count(mx_attribute(repeat, "times"), 2), MOST_TIMES);
    b->again = again && !strcmp(again, "yes");
  }
}

static void
read_ending(const MxNode *ending, MxBarline *b)
{
  const char *type = mx_attribute(ending, "type");
  const char *number = mx_attribute(ending, "number");
  if (type && !strcmp(type, "start")) {
    b->starts = TRUE;
    b->endings = read_numbers(number ? number : "");
  } else if (type) {
    b->stops = TRUE;
  }
}

MxBarline
mx_read_barline(const MxNode *node)
{
  const char *location = mx_attribute(node, "location");
  MxBarline b = { .left = location && !strcmp(location, "left") };
  b.signs = (mx_attribute(node, "segno") ? RC_JUMP_SEGNO : 0U) | (mx_attribute(node, "coda") ? RC_JUMP_CODA : 0U);
  for (MX_EACH(child, node)) {
    if (child->name == MX_REPEAT) {
      read_repeat(child, &b);
    } else if (child->name == MX_ENDING) {
      read_ending(child, &b);
    } else if (child->name == MX_BAR_STYLE) {
      b.is_last |= !strcmp(child->text, "light-heavy") || !strcmp(child->text, "heavy-heavy");
    } else {
      b.signs |= child->name == MX_SEGNO ? RC_JUMP_SEGNO : RC_JUMP_CODA;
    }
  }
  return b;
}
