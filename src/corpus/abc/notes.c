// Copyright 2026 the rowcall developers
// SPDX-License-Identifier: MIT

#include "corpus/abc/notes.h"

#include <string.h>

enum { UNWRITTEN = 100, MOST_UNITS = 100000, MOST_PARTS = 1024 };

// Longer notes are cut, so that no sum of lengths can overflow.
#define LONGEST_NOTE (4096 * RC_QUARTER)

static const guchar letter_index[] = { 5, 6, 0, 1, 2, 3, 4 }; // A to G, counted from C
static const guchar letter_tones[] = { 0, 2, 4, 5, 7, 9, 11 };

static RcPcSet
letter_tone(guint index, int semitones)
{
  return (RcPcSet)(1U << ((guint)(letter_tones[index] + 24 + semitones) % 12U));
}

static void
sound_key(AbcScale *scale)
{
  for (guint i = 0; i < 7; ++i) {
    const guint index = letter_index[i];
    scale->sounds['A' + i] = letter_tone(index, scale->key[index]);
    scale->sounds['a' + i] = scale->sounds['A' + i];
  }
  if (scale->any_in_octave) {
    memset(scale->in_octave, 0, sizeof scale->in_octave);
    scale->any_in_octave = FALSE;
  }
  scale->any_accidental = FALSE;
}

void
abc_learn_key(AbcScale *scale, const gint8 key[7])
{
  memcpy(scale->key, key, sizeof scale->key);
  sound_key(scale);
}

void
abc_forget_accidentals(AbcScale *scale)
{
  if (scale->any_accidental) {
    sound_key(scale);
  }
}

// ---------------------------------------------------------------------------------------------------------- lengths

// Units, and into how many parts they are divided.
typedef struct {
  guint times;
  guint parts;
} Length;

// "2", "/2", "3/2", "/", "//": section 4.3.
static Length
read_length(AbcCursor *c)
{
  guint times = 1;
  guint parts = 1;
  guint number = 0;
  if (g_ascii_isdigit(*c->at)) {
    abc_read_digits(c, &times);
    times = MIN(times, MOST_UNITS);
  }
  while (*c->at == '/') {
    ++c->at;
    const guint divisor = abc_read_digits(c, &number) && number ? number : 2;
    parts = parts <= MOST_PARTS ? parts * MIN(divisor, MOST_PARTS) : parts;
  }
  return (Length){ times, parts };
}

static RcTicks
broken_part(RcTicks length, gint halvings)
{
  const RcTicks part = length >> MIN(ABS(halvings), 10);
  return halvings > 0 ? part : 2 * length - part;
}

// The time a note takes that is written as `times` over `parts` of the unit: at most 10^10 units of 64 whole notes.
static RcTicks
note_length(AbcRhythm *rhythm, gint64 times, gint64 parts)
{
  RcTicks length = rhythm->unit * times;
  if (parts > 1) {
    length /= parts;
  }
  length = MIN(length, LONGEST_NOTE);
  if (rhythm->tuplet_left) {
    length = length * rhythm->tuplet_q / rhythm->tuplet_p;
    --rhythm->tuplet_left;
  }
  if (rhythm->broken) {
    length = broken_part(length, rhythm->broken);
    rhythm->broken = 0;
  }
  return length;
}

RcTicks
abc_read_broken(AbcCursor *c, RcTicks length, AbcRhythm *rhythm)
{
  const char sign = *c->at;
  gint n = 0;
  for (; *c->at == sign; ++c->at) {
    ++n;
  }
  rhythm->broken = sign == '>' ? n : -n;
  return broken_part(length, -rhythm->broken);
}

void
abc_read_tuplet(AbcCursor *c, RcMeter meter, AbcRhythm *rhythm)
{
  static const guchar usual[] = { 0, 0, 3, 2, 3, 0, 2, 0, 3, 0 };
  const gboolean compound = meter.unit >= 8 && meter.beats > 3 && meter.beats % 3 == 0;
  guint p = 0;
  guint q = 0;
  guint r = 0;
  ++c->at;
  abc_read_digits(c, &p);
  if (*c->at == ':') {
    ++c->at;
    abc_read_digits(c, &q);
    if (*c->at == ':') {
      ++c->at;
      abc_read_digits(c, &r);
    }
  }
  p = CLAMP(p, 1, 64);
  rhythm->tuplet_p = p;
  rhythm->tuplet_q = q ? MIN(q, 64) : p < 10 && usual[p] ? usual[p] : compound ? 3 : 2;
  rhythm->tuplet_left = r ? r : p;
}

// ---------------------------------------------------------------------------------------------------------- pitches

// "^", "__", "=": UNWRITTEN where there is none.
static int
read_accidental(AbcCursor *c)
{
  int semitones = UNWRITTEN;
  for (; *c->at == '^' || *c->at == '_' || *c->at == '='; ++c->at) {
    semitones = (semitones == UNWRITTEN ? 0 : semitones) + (*c->at == '^' ? 1 : *c->at == '_' ? -1 : 0);
  }
  return semitones;
}

// To the end of the bar, as far as the directive says, section 11.3.
static void
hold_accidental(AbcScale *scale, char upper, guint octave, RcPcSet tone)
{
  switch (scale->propagation) {
  case ABC_HOLDS_IN_ALL_OCTAVES:
    scale->sounds[(guchar)upper] = tone;
    scale->sounds[(guchar)(upper | 0x20)] = tone;
    scale->any_accidental = TRUE;
    break;
  case ABC_HOLDS_IN_ITS_OCTAVE:
    scale->in_octave[upper - 'A'][octave] = tone;
    scale->any_in_octave = TRUE;
    scale->any_accidental = TRUE;
    break;
  case ABC_HOLDS_FOR_ITS_NOTE:
    break;
  }
}

// The pitch of `tone` near a letter of an octave, in which C is the lowest.
static guint
pitch_of(char upper, int octave, RcPcSet tone)
{
  enum { AWAY = 6, HIGHEST = 127 }; // semitones: an accidental's are fewer
  const guint natural = letter_tones[letter_index[upper - 'A']];
  const guint pc = (guint)g_bit_nth_lsf(tone, -1);
  const guint pitch = 12 * (guint)(octave + 1) + natural + (pc + 12 + AWAY - natural) % 12 - AWAY;
  return MIN(pitch, HIGHEST);
}

static int
read_octave(AbcCursor *c, int octave)
{
  for (; *c->at == '\'' || *c->at == ','; ++c->at) {
    octave += *c->at == '\'' ? 1 : -1;
  }
  return CLAMP(octave, 0, ABC_OCTAVES - 1);
}

// [accidental] letter [octave]: sections 4.1 and 4.2. Adds the tone and pitch to `notes`; FALSE where there is none.
static gboolean
read_pitch(AbcCursor *c, AbcScale *scale, AbcNotes *notes)
{
  const char *start = c->at;
  const int written = read_accidental(c);
  const char letter = *c->at;
  const char upper = letter & ~0x20; // letters in ASCII differ in this bit only
  if (upper < 'A' || upper > 'G') {
    c->at = start;
    return FALSE;
  }
  ++c->at;
  const int octave = read_octave(c, letter == upper ? 4 : 5);
  RcPcSet tone = scale->sounds[(guchar)letter];
  if (written != UNWRITTEN) {
    tone = letter_tone(letter_index[upper - 'A'], written);
    hold_accidental(scale, upper, (guint)octave, tone);
  } else if (scale->any_in_octave && scale->in_octave[upper - 'A'][octave]) {
    tone = scale->in_octave[upper - 'A'][octave];
  }
  notes->tones |= tone;
  if (scale->pitches) {
    notes->pitch = MAX(notes->pitch, pitch_of(upper, octave, tone));
  }
  return TRUE;
}

// ------------------------------------------------------------------------------------------------------------ notes

gboolean
abc_read_note(AbcCursor *c, AbcScale *scale, AbcRhythm *rhythm, AbcNotes *notes)
{
  *notes = (AbcNotes){ 0 };
  if (!read_pitch(c, scale, notes)) {
    ++c->at;
    return FALSE;
  }
  const Length length = read_length(c);
  notes->length = note_length(rhythm, length.times, length.parts);
  return TRUE;
}

AbcNotes
abc_read_rest(AbcCursor *c, AbcRhythm *rhythm)
{
  AbcNotes rest = { 0 };
  ++c->at;
  const Length length = read_length(c);
  rest.length = note_length(rhythm, length.times, length.parts);
  return rest;
}

guint
abc_read_long_rest(AbcCursor *c)
{
  enum { MOST_BARS = 1000 };
  guint bars = 0;
  ++c->at;
  return abc_read_digits(c, &bars) ? MIN(bars, MOST_BARS) : 1;
}

AbcNotes
abc_read_unison(AbcCursor *c, char close, AbcScale *scale, AbcRhythm *rhythm)
{
  AbcNotes notes = { 0 };
  Length inner = { 0, 1 }; // of the first note
  for (++c->at; *c->at != close && *c->at != '|' && !abc_ends_line(*c->at);) {
    if (*c->at == '!' || *c->at == '"') {
      const char sign = *c->at++;
      abc_skip_past(c, sign);
    } else if (!read_pitch(c, scale, &notes)) {
      ++c->at; // ties, decorations of one letter
    } else {
      const Length length = read_length(c);
      inner = inner.times ? inner : length;
    }
  }
  c->at += *c->at == close;
  const Length outer = read_length(c);
  notes.length = note_length(rhythm, (gint64)MAX(inner.times, 1) * outer.times, (gint64)inner.parts * outer.parts);
  return notes;
}
