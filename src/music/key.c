// Copyright 2026 the rowcall developers
// SPDX-License-Identifier: MIT

#include "rowcall/music.h"

#include <string.h>

typedef struct {
  const char *name;
  RcMode mode;
} NamedMode;

// Read by the first three letters or more.
static const NamedMode named_modes[] = {
  { "major", RC_MODE_MAJOR },   { "ionian", RC_MODE_MAJOR },          { "minor", RC_MODE_MINOR },
  { "aeolian", RC_MODE_MINOR }, { "dorian", RC_MODE_DORIAN },         { "phrygian", RC_MODE_PHRYGIAN },
  { "lydian", RC_MODE_LYDIAN }, { "mixolydian", RC_MODE_MIXOLYDIAN }, { "locrian", RC_MODE_LOCRIAN },
};

// How far the tonic is above the tonic of the relative major on the line of fifths.
static const int mode_fifths[] = {
  [RC_MODE_NONE] = 0,     [RC_MODE_MAJOR] = 0,   [RC_MODE_MINOR] = 3,      [RC_MODE_DORIAN] = 2,
  [RC_MODE_PHRYGIAN] = 4, [RC_MODE_LYDIAN] = -1, [RC_MODE_MIXOLYDIAN] = 1, [RC_MODE_LOCRIAN] = 5,
};

static gboolean
mode_from_name(const char *name, RcMode *mode)
{
  const gsize length = strlen(name);
  if (!length || !strcmp(name, "M")) {
    *mode = RC_MODE_MAJOR;
    return TRUE;
  }
  if (!strcmp(name, "m")) {
    *mode = RC_MODE_MINOR;
    return TRUE;
  }
  for (guint i = 0; i < G_N_ELEMENTS(named_modes) && length >= 3; ++i) {
    if (!g_ascii_strncasecmp(name, named_modes[i].name, length)) {
      *mode = named_modes[i].mode;
      return TRUE;
    }
  }
  return FALSE;
}

// "d minor" is D minor. "d" alone is that among German names only; among English ones nobody can know.
static gsize
read_tonic(const char *text, RcNames names, RcKey *key)
{
  const gboolean small = *text >= 'a' && *text <= 'h';
  char *capital = g_strdup(text);
  *capital = small ? g_ascii_toupper(*capital) : *capital;
  const gsize tonic = rc_note_parse(capital, strlen(capital), names, &key->tonic);
  const gboolean alone = small && tonic && !capital[tonic];
  key->mode = alone ? RC_MODE_MINOR : RC_MODE_NONE;
  g_free(capital);
  return alone && names == RC_NAMES_ENGLISH ? 0 : tonic;
}

gboolean
rc_key_parse(const char *text, RcNames names, RcKey *key, gsize *stopped_at)
{
  RcKey read = { RC_MODE_NONE, 0 };
  const gsize tonic = read_tonic(text, names, &read);
  const gsize mode = tonic + strspn(text + tonic, " ");
  const gboolean good = tonic && (read.mode != RC_MODE_NONE || mode_from_name(text + mode, &read.mode));
  if (good) {
    *key = read;
  } else if (stopped_at) {
    *stopped_at = tonic && !g_ascii_islower(*text) ? mode : 0;
  }
  return good;
}

char *
rc_key_name(RcKey key, RcSigns signs)
{
  if (key.mode == RC_MODE_NONE) {
    return g_strdup("no key");
  }
  for (guint i = 0; i < G_N_ELEMENTS(named_modes); ++i) {
    if (named_modes[i].mode == key.mode) {
      return g_strdup_printf("%s %s", rc_note_name(key.tonic, signs), named_modes[i].name);
    }
  }
  g_return_val_if_reached(NULL);
}

RcNote
rc_key_major(RcKey key)
{
  return (RcNote)(key.tonic - mode_fifths[key.mode]);
}

RcKey
rc_key_moved(RcKey key, int semitones)
{
  const int flattest = key.mode == RC_MODE_MINOR ? -6 : -5; // of the relative major
  if (key.mode == RC_MODE_NONE || semitones % 12 == 0) {
    return key;
  }
  int major = (rc_key_major(key) + 7 * (semitones % 12)) % 12; // a semitone up is seven fifths up
  major += major < flattest ? 12 : 0;
  major -= major >= flattest + 12 ? 12 : 0;
  return (RcKey){ key.mode, (RcNote)(major + mode_fifths[key.mode]) };
}

RcPcSet
rc_key_tones(RcKey key)
{
  enum {
    MAJOR = 1 << 0 | 1 << 2 | 1 << 4 | 1 << 5 | 1 << 7 | 1 << 9 | 1 << 11,
    MINOR = 1 << 0 | 1 << 2 | 1 << 3 | 1 << 5 | 1 << 7 | 1 << 8 | 1 << 9 | 1 << 10 | 1 << 11, // all three forms
    FIFTH = 7
  };
  switch (key.mode) {
  case RC_MODE_NONE:
    return 0;
  case RC_MODE_MINOR:
    return rc_pcs_transpose(MINOR, (int)rc_note_pc(key.tonic));
  default:
    return rc_pcs_transpose(MAJOR, FIFTH * rc_key_major(key));
  }
}

RcScale
rc_key_scale(RcKey key, RcPcSet tones)
{
  enum {
    ALL = 0xFFF,
    OF_MINOR = 1 << 0 | 1 << 2 | 1 << 5 | 1 << 7,
    FIFTH = 1 << 7,
    MINOR_THIRD_DOWN = -3,
    FIFTH_DOWN = -7
  };
  const int tonic = (int)rc_note_pc(key.tonic);
  const RcPcSet among = key.mode == RC_MODE_MINOR ? rc_pcs_transpose(OF_MINOR, tonic) : ALL;
  const guint roots = tones & rc_pcs_transpose(tones, MINOR_THIRD_DOWN) & rc_pcs_transpose(tones, FIFTH_DOWN);
  const gboolean known = key.mode != RC_MODE_NONE && tones;
  return (RcScale){ tones, (RcPcSet)(roots & among), known ? rc_pcs_transpose(FIFTH, tonic) : 0 };
}

RcNote
rc_key_spell(RcKey key, guint pc)
{
  enum { LEADING_TONE = 5 }; // of a minor key, in fifths above its tonic: too far from the relative major
  const RcNote leading = rc_note_up(key.tonic, LEADING_TONE);
  return key.mode == RC_MODE_MINOR && rc_note_pc(leading) == pc ? leading : rc_note_near(rc_key_major(key), pc);
}

// The tone next to a chord: a natural where there is one, else a sharp or flat as the root has, or the key.
static RcNote
spell_foreign(RcNote root, RcKey key, guint pc)
{
  enum { F = -1, D = 2, B = 5, A_FLAT = -4, G_SHARP = 8 };
  const RcNote natural = rc_note_near(D, pc); // from Eb to G#, and all naturals among them
  if (natural >= F && natural <= B) {
    return natural;
  }
  if (root < F || root > B) {
    return rc_note_near(root < F ? A_FLAT : G_SHARP, pc);
  }
  return key.mode == RC_MODE_NONE ? rc_note_near(root, pc) : rc_key_spell(key, pc);
}

RcNote
rc_chord_spell(const RcChord *chord, RcKey key, guint pc)
{
  for (guint i = 0; i < RC_N_DEGREES; ++i) {
    if ((chord->degrees & (1U << i)) && rc_chord_degree_pc(chord, (RcDegree)i) == pc) {
      return rc_note_up(chord->root, rc_degree_fifths((RcDegree)i));
    }
  }
  if (rc_note_pc(chord->bass) == pc) {
    return chord->bass;
  }
  return spell_foreign(chord->root, key, pc);
}
