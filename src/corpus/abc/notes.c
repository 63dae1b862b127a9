// Copyright 2026 the rowcall developers
// SPDX-License-Identifier: MIT

// Notes and rests of an ABC tune: the time they take and the tones they sound.

#include "corpus/abc/body.h"

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

void
abc_learn_key(AbcBody *b)
{
  for (guint i = 0; i < 7; ++i) {
    const guint index = letter_index[i];
    b->sounds['A' + i] = letter_tone(index, b->state.accidentals[index]);
    b->sounds['a' + i] = b->sounds['A' + i];
  }
  if (b->any_in_octave) {
    memset(b->in_octave, 0, sizeof b->in_octave);
    b->any_in_octave = FALSE;
  }
  b->any_accidental = FALSE;
}

// ---------------------------------------------------------------------------------------------------------- lengths

// "2", "/2", "3/2", "/", "//": section 4.3.
static void
read_length(AbcBody *b, guint *times, guint *parts)
{
  guint number = 0;
  *times = 1;
  *parts = 1;
  if (g_ascii_isdigit(*b->at)) {
    abc_read_digits(b, times);
    *times = MIN(*times, MOST_UNITS);
  }
  while (*b->at == '/') {
    ++b->at;
    const guint divisor = abc_read_digits(b, &number) && number ? number : 2;
    *parts = *parts <= MOST_PARTS ? *parts * MIN(divisor, MOST_PARTS) : *parts;
  }
}

static RcTicks
broken_part(RcTicks length, gint halvings)
{
  const RcTicks part = length >> MIN(ABS(halvings), 10);
  return halvings > 0 ? part : 2 * length - part;
}

// The time a note takes that is written as `times` over `parts` of the unit: at most 10^10 units of 64 whole notes.
static RcTicks
note_length(AbcBody *b, gint64 times, gint64 parts)
{
  RcTicks length = b->unit * times;
  if (parts > 1) {
    length /= parts;
  }
  length = MIN(length, LONGEST_NOTE);
  if (b->tuplet_left) {
    length = length * b->tuplet_q / b->tuplet_p;
    --b->tuplet_left;
  }
  if (b->broken) {
    length = broken_part(length, b->broken);
    b->broken = 0;
  }
  return length;
}

// What is read of a note, or of several at once.
typedef struct {
  RcPcSet tones;
  guint pitch; // of the highest, 60 being middle C
} Sounds;

static void
add_note(AbcBody *b, Sounds sounds, RcTicks length)
{
  const RcPcSet tones = sounds.tones;
  b->last_length = length;
  b->last_note = ABC_NO_NOTE;
  if (b->event->symbol == ABC_NO_SYMBOL) {
    abc_hold(b);
  }
  if (!b->overlay) {
    b->event->melody |= tones;
  }
  if (tones && b->music->keeps_notes && !b->overlay) {
    const AbcNote note = { b->n_bars, b->pos, b->pos + length, tones, (guint8)sounds.pitch, *b->at == '-' };
    b->last_note = b->music->notes->len;
    g_array_append_val(b->music->notes, note);
  }
  b->pos += length;
}

void
abc_read_broken(AbcBody *b)
{
  const char sign = *b->at;
  gint n = 0;
  for (; *b->at == sign; ++b->at) {
    ++n;
  }
  const RcTicks length = broken_part(b->last_length, sign == '>' ? -n : n);
  b->pos += length - b->last_length;
  if (b->last_note != ABC_NO_NOTE) {
    AbcNote *note = &g_array_index(b->music->notes, AbcNote, b->last_note);
    note->end = note->start + length;
  }
  b->broken = sign == '>' ? n : -n;
  b->last_length = length;
}

void
abc_read_tuplet(AbcBody *b)
{
  static const guchar usual[] = { 0, 0, 3, 2, 3, 0, 2, 0, 3, 0 };
  const RcMeter meter = b->state.setting.meter;
  const gboolean compound = meter.unit >= 8 && meter.beats > 3 && meter.beats % 3 == 0;
  guint p = 0;
  guint q = 0;
  guint r = 0;
  ++b->at;
  abc_read_digits(b, &p);
  if (*b->at == ':') {
    ++b->at;
    abc_read_digits(b, &q);
    if (*b->at == ':') {
      ++b->at;
      abc_read_digits(b, &r);
    }
  }
  p = CLAMP(p, 1, 64);
  b->tuplet_p = p;
  b->tuplet_q = q ? MIN(q, 64) : p < 10 && usual[p] ? usual[p] : compound ? 3 : 2;
  b->tuplet_left = r ? r : p;
}

// ---------------------------------------------------------------------------------------------------------- pitches

// "^", "__", "=": UNWRITTEN where there is none.
static int
read_accidental(AbcBody *b)
{
  int semitones = UNWRITTEN;
  for (; *b->at == '^' || *b->at == '_' || *b->at == '='; ++b->at) {
    semitones = (semitones == UNWRITTEN ? 0 : semitones) + (*b->at == '^' ? 1 : *b->at == '_' ? -1 : 0);
  }
  return semitones;
}

// To the end of the bar, as far as the directive says, section 11.3.
static void
hold_accidental(AbcBody *b, char upper, guint octave, RcPcSet tone)
{
  switch (b->state.propagation) {
  case ABC_HOLDS_IN_ALL_OCTAVES:
    b->sounds[(guchar)upper] = tone;
    b->sounds[(guchar)(upper | 0x20)] = tone;
    b->any_accidental = TRUE;
    break;
  case ABC_HOLDS_IN_ITS_OCTAVE:
    b->in_octave[upper - 'A'][octave] = tone;
    b->any_in_octave = TRUE;
    b->any_accidental = TRUE;
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

// [accidental] letter [octave]: sections 4.1 and 4.2. FALSE where there is none.
static gboolean
read_pitch(AbcBody *b, Sounds *sounds)
{
  const char *start = b->at;
  const int written = read_accidental(b);
  const char letter = *b->at;
  const char upper = letter & ~0x20; // letters in ASCII differ in this bit only
  if (upper < 'A' || upper > 'G') {
    b->at = start;
    return FALSE;
  }
  int octave = letter == upper ? 4 : 5;
  for (++b->at; *b->at == '\'' || *b->at == ','; ++b->at) {
    octave += *b->at == '\'' ? 1 : -1;
  }
  octave = CLAMP(octave, 0, ABC_OCTAVES - 1);
  RcPcSet tone = b->sounds[(guchar)letter];
  if (written != UNWRITTEN) {
    tone = letter_tone(letter_index[upper - 'A'], written);
    hold_accidental(b, upper, (guint)octave, tone);
  } else if (b->any_in_octave && b->in_octave[upper - 'A'][octave]) {
    tone = b->in_octave[upper - 'A'][octave];
  }
  sounds->tones |= tone;
  if (b->music->keeps_notes) {
    sounds->pitch = MAX(sounds->pitch, pitch_of(upper, octave, tone));
  }
  return TRUE;
}

// ------------------------------------------------------------------------------------------------------------ notes

static void
read_note(AbcBody *b)
{
  Sounds sounds = { 0, 0 };
  guint times = 1;
  guint parts = 1;
  if (!read_pitch(b, &sounds)) {
    ++b->at; // an accidental without a note
    return;
  }
  if (b->n_symbol_lines && !b->overlay) {
    abc_take_symbols(b);
  }
  read_length(b, &times, &parts);
  add_note(b, sounds, note_length(b, times, parts));
}

// What may follow a note and change it, or be more of its length than one digit.
static gboolean
changes_note(char c)
{
  return (c >= '0' && c <= '9') || c == '/' || c == '>' || c == '<';
}

// Blanks, ties, ends of slurs, staccato and rolls take no time and change nothing.
static gboolean
is_quiet(char c)
{
  return c == ' ' || c == '-' || c == ')' || c == '.' || c == '~';
}

// Whether nothing is in force that changes notes to come, so that each is simply as long as it says.
static gboolean
is_calm(const AbcBody *b)
{
  return !b->tuplet_left && !b->broken && !b->overlay && !b->any_in_octave && !b->n_symbol_lines &&
         !b->music->keeps_notes && b->event->symbol != ABC_NO_SYMBOL;
}

// Goes past letters, to whose tones it adds, and returns how many they are.
static guint
read_letters(const AbcBody *b, const char **at, RcPcSet *tones)
{
  const char *start = *at;
  const char *end = start;
  for (RcPcSet tone; (tone = b->sounds[(guchar)*end]) != 0; ++end) {
    *tones |= tone;
  }
  *at = end;
  return (guint)(end - start);
}

// Most of a tune: letters one after another, some with signs of their octave or a digit for their length, and quiet
// signs between them. A note that more follows is left to be read by itself.
static void
read_row(AbcBody *b)
{
  const char *at = b->at;
  RcPcSet tones = 0;
  guint units = 0;
  guint last = 0; // units of the last note
  for (;; ++at) {
    const guint letters = read_letters(b, &at, &tones);
    if (letters) {
      const char *note = at - 1;
      while (*at == ',' || *at == '\'') {
        ++at;
      }
      const guint more = *at >= '2' && *at <= '9' ? (guint)(*at++ - '1') : 0;
      last = 1 + more;
      units += letters + more;
      if (changes_note(*at)) {
        units -= last;
        at = note;
        break;
      }
    }
    if (!is_quiet(*at)) {
      break;
    }
  }
  if (units) {
    b->event->melody |= tones;
    b->pos += b->unit * units;
    b->last_length = b->unit * last;
    b->last_note = ABC_NO_NOTE;
  }
  b->at = at;
}

void
abc_read_notes(AbcBody *b)
{
  const char *start = b->at;
  if (is_calm(b)) {
    read_row(b);
  }
  if (b->at == start) {
    read_note(b);
  }
}

void
abc_read_rest(AbcBody *b)
{
  guint times = 1;
  guint parts = 1;
  ++b->at;
  read_length(b, &times, &parts);
  add_note(b, (Sounds){ 0, 0 }, note_length(b, times, parts));
}

gboolean
abc_read_long_rest(AbcBody *b, GError **error)
{
  guint bars = 0;
  ++b->at;
  if (!abc_read_digits(b, &bars)) {
    bars = 1;
  }
  for (guint i = 0; i < MIN(bars, 1000); ++i) {
    add_note(b, (Sounds){ 0, 0 }, rc_meter_bar(b->state.setting.meter));
    if (i + 1 < bars && !abc_end_bar(b, 0, FALSE, error)) {
      return FALSE;
    }
  }
  return TRUE;
}

void
abc_read_unison(AbcBody *b, char close)
{
  Sounds sounds = { 0, 0 };
  guint times = 0;
  guint parts = 1;
  guint outer_times = 1;
  guint outer_parts = 1;
  for (++b->at; *b->at != close && *b->at != '|' && !abc_ends_line(*b->at);) {
    guint n = 1;
    guint d = 1;
    if (*b->at == '!' || *b->at == '"') {
      const char sign = *b->at++;
      abc_skip_past(b, sign);
      continue;
    }
    if (!read_pitch(b, &sounds)) {
      ++b->at; // ties, decorations of one letter
      continue;
    }
    read_length(b, &n, &d);
    if (!times) {
      times = n;
      parts = d;
    }
  }
  b->at += *b->at == close;
  if (b->n_symbol_lines && sounds.tones && !b->overlay) {
    abc_take_symbols(b);
  }
  read_length(b, &outer_times, &outer_parts);
  add_note(b, sounds, note_length(b, (gint64)MAX(times, 1) * outer_times, (gint64)parts * outer_parts));
}
