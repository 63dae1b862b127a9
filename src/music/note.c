// Copyright 2026 the rowcall developers
// SPDX-License-Identifier: MIT

#include "rowcall/music.h"

#include <string.h>

enum { N_NOTES = RC_NOTE_HIGHEST - RC_NOTE_LOWEST + 1, FIFTHS_PER_SHARP = 7, FIFTHS_PER_OCTAVE = 12 };

static const char *const note_names[2][N_NOTES] = {
  [RC_SIGNS_ASCII] = { "Fbb", "Cbb", "Gbb", "Dbb", "Abb", "Ebb", "Bbb", "Fb",  "Cb",  "Gb",  "Db", "Ab",
                       "Eb",  "Bb",  "F",   "C",   "G",   "D",   "A",   "E",   "B",   "F#",  "C#", "G#",
                       "D#",  "A#",  "E#",  "B#",  "F##", "C##", "G##", "D##", "A##", "E##", "B##" },
  [RC_SIGNS_UNICODE] = { "F♭♭", "C♭♭", "G♭♭", "D♭♭", "A♭♭", "E♭♭", "B♭♭", "F♭",  "C♭",  "G♭",  "D♭", "A♭",
                         "E♭",  "B♭",  "F",   "C",   "G",   "D",   "A",   "E",   "B",   "F♯",  "C♯", "G♯",
                         "D♯",  "A♯",  "E♯",  "B♯",  "F♯♯", "C♯♯", "G♯♯", "D♯♯", "A♯♯", "E♯♯", "B♯♯" },
};

RcPcSet
rc_pcs_transpose(RcPcSet set, int semitones)
{
  const guint up = (guint)(((semitones % 12) + 12) % 12);
  const guint wide = (guint)set << up;
  return (RcPcSet)((wide | (wide >> 12U)) & 0xFFFU);
}

guint
rc_pcs_count(RcPcSet set)
{
  return rc_count_bits(set);
}

guint
rc_count_bits(guint set)
{
  guint n = 0;
  for (; set; set &= set - 1) {
    ++n;
  }
  return n;
}

RcNote
rc_note_up(RcNote note, int fifths)
{
  int up = note + fifths;
  while (up < RC_NOTE_LOWEST) {
    up += FIFTHS_PER_OCTAVE;
  }
  while (up > RC_NOTE_HIGHEST) {
    up -= FIFTHS_PER_OCTAVE;
  }
  return (RcNote)up;
}

RcNote
rc_note_near(RcNote centre, guint pc)
{
  for (int fifths = -5; fifths < 6; ++fifths) {
    const RcNote note = rc_note_up(centre, fifths);
    if (rc_note_pc(note) == pc) {
      return note;
    }
  }
  return rc_note_up(centre, 6);
}

const char *
rc_note_name(RcNote note, RcSigns signs)
{
  return note_names[signs][CLAMP(note, RC_NOTE_LOWEST, RC_NOTE_HIGHEST) - RC_NOTE_LOWEST];
}

typedef struct {
  const char *text;
  int sharps;
} Sign;

// Longer signs first.
static const Sign signs[] = { { "𝄫", -2 }, { "𝄪", 2 },   { "♭♭", -2 }, { "♯♯", 2 }, { "♭", -1 }, { "♯", 1 },
                              { "♮", 0 },  { "bb", -2 }, { "##", 2 },  { "b", -1 }, { "#", 1 } };

static gsize
read_sign(const char *text, gsize length, int *sharps)
{
  for (guint i = 0; length && i < G_N_ELEMENTS(signs); ++i) {
    const gsize n = *text == *signs[i].text ? strlen(signs[i].text) : 0;
    if (n && n <= length && !memcmp(text, signs[i].text, n)) {
      *sharps = signs[i].sharps;
      return n;
    }
  }
  *sharps = 0;
  return 0;
}

// German endings: Fis, Es, As, Des; an `s` alone flattens E and A, unless it begins `sus`.
static gsize
read_german_sign(char letter, const char *text, gsize length, int *sharps)
{
  if (length >= 2 && !memcmp(text, "is", 2)) {
    *sharps = 1;
    return 2;
  }
  if (length >= 2 && !memcmp(text, "es", 2)) {
    *sharps = -1;
    return 2;
  }
  if ((letter == 'E' || letter == 'A') && length && *text == 's' && !(length > 1 && text[1] == 'u')) {
    *sharps = -1;
    return 1;
  }
  return read_sign(text, length, sharps);
}

static gboolean
letter_fifths(char letter, int *fifths)
{
  static const char line[] = "FCGDAEB";
  const char *found = letter ? strchr(line, letter) : NULL;
  if (found) {
    *fifths = (int)(found - line) - 1;
  }
  return found != NULL;
}

static gsize
parse_german(const char *text, gsize length, RcNote *note)
{
  int fifths = 0;
  int sharps = 0;
  if (*text == 'H') {
    const gsize n = read_german_sign('H', text + 1, length - 1, &sharps);
    *note = (RcNote)(5 + FIFTHS_PER_SHARP * sharps);
    return 1 + n;
  }
  if (*text == 'B') { // B and Bb both are B flat
    const gsize n = read_sign(text + 1, length - 1, &sharps);
    *note = (RcNote)(sharps < -1 ? -2 - FIFTHS_PER_SHARP : -2);
    return sharps > 0 ? 1 : 1 + n;
  }
  if (!letter_fifths(*text, &fifths)) {
    return 0;
  }
  const gsize n = read_german_sign(*text, text + 1, length - 1, &sharps);
  *note = (RcNote)(fifths + FIFTHS_PER_SHARP * sharps);
  return 1 + n;
}

gsize
rc_note_parse(const char *text, gsize length, RcNames names, RcNote *note)
{
  int fifths = 0;
  int sharps = 0;
  if (!length) {
    return 0;
  }
  if (names == RC_NAMES_GERMAN) {
    return parse_german(text, length, note);
  }
  if (!letter_fifths(*text, &fifths)) {
    return 0;
  }
  const gsize n = read_sign(text + 1, length - 1, &sharps);
  *note = (RcNote)(fifths + FIFTHS_PER_SHARP * sharps);
  return 1 + n;
}
