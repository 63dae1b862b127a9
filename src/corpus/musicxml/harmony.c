// Copyright 2026 the rowcall developers
// SPDX-License-Identifier: MIT

// Chords of MusicXML: root, kind, degrees, bass and inversion into a chord symbol.

#include "corpus/musicxml/harmony.h"

#include <string.h>

// ------------------------------------------------------------------------------------------------------------ kinds

typedef struct {
  const char *kind;
  const char *suffix; // after the root of a chord symbol
} Kind;

// The 33 kinds but for `none` and `other`, then some that files have and the standard does not.
static const Kind kinds[] = {
  { "major", "" },
  { "minor", "m" },
  { "augmented", "aug" },
  { "diminished", "dim" },
  { "dominant", "7" },
  { "major-seventh", "maj7" },
  { "minor-seventh", "m7" },
  { "diminished-seventh", "dim7" },
  { "augmented-seventh", "aug7" },
  { "half-diminished", "m7b5" },
  { "major-minor", "m(maj7)" },
  { "major-sixth", "6" },
  { "minor-sixth", "m6" },
  { "dominant-ninth", "9" },
  { "major-ninth", "maj9" },
  { "minor-ninth", "m9" },
  { "dominant-11th", "11" },
  { "major-11th", "maj11" },
  { "minor-11th", "m11" },
  { "dominant-13th", "13" },
  { "major-13th", "maj13" },
  { "minor-13th", "m13" },
  { "suspended-second", "sus2" },
  { "suspended-fourth", "sus4" },
  { "Neapolitan", "Neapolitan" },
  { "Italian", "Italian" },
  { "French", "French" },
  { "German", "German" },
  { "pedal", "ped" },
  { "power", "5" },
  { "Tristan", "Tristan" },
  { "dominant-seventh", "7" },
  { "augmented-ninth", "9#5" },
  { "minor-major", "m(maj7)" },
};

// The tones of one of the 33 kinds and of some more that files have; FALSE where it names none.
static gboolean
find_kind(const char *kind, RcDegrees *degrees)
{
  for (guint i = 0; i < G_N_ELEMENTS(kinds); ++i) {
    if (!strcmp(kinds[i].kind, kind)) {
      char symbol[16];
      RcChord chord;
      g_snprintf(symbol, sizeof symbol, "C%s", kinds[i].suffix);
      if (rc_chord_parse(symbol, strlen(symbol), RC_NAMES_ENGLISH, &chord, NULL) == RC_SYMBOL_CHORD) {
        *degrees = chord.degrees;
        return TRUE;
      }
    }
  }
  return FALSE;
}

// ---------------------------------------------------------------------------------------------------------- degrees

typedef struct {
  guint value;
  int semitones; // above the root
  RcDegree degree;
  gboolean stands_in; // it has another number and sounds the same
} Tone;

// By the number of a degree and how high it is; the first of a number without an alteration is that of a dominant
// chord. Tones beyond our degrees are taken for those that sound the same.
static const Tone tones[] = {
  { 1, 0, RC_DEGREE_1, FALSE },       { 2, 2, RC_DEGREE_9, FALSE },       { 2, 1, RC_DEGREE_FLAT_9, FALSE },
  { 2, 3, RC_DEGREE_SHARP_9, FALSE }, { 2, 2, RC_DEGREE_SUS_2, FALSE },   { 3, 4, RC_DEGREE_3, FALSE },
  { 3, 3, RC_DEGREE_FLAT_3, FALSE },  { 4, 5, RC_DEGREE_11, FALSE },      { 4, 6, RC_DEGREE_SHARP_11, FALSE },
  { 4, 5, RC_DEGREE_SUS_4, FALSE },   { 4, 4, RC_DEGREE_3, TRUE },        { 5, 7, RC_DEGREE_5, FALSE },
  { 5, 6, RC_DEGREE_FLAT_5, FALSE },  { 5, 8, RC_DEGREE_SHARP_5, FALSE }, { 6, 9, RC_DEGREE_6, FALSE },
  { 6, 8, RC_DEGREE_FLAT_13, FALSE }, { 6, 9, RC_DEGREE_13, FALSE },      { 6, 10, RC_DEGREE_FLAT_7, TRUE },
  { 7, 10, RC_DEGREE_FLAT_7, FALSE }, { 7, 11, RC_DEGREE_7, FALSE },      { 7, 9, RC_DEGREE_DOUBLE_FLAT_7, FALSE },
};

enum { OCTAVE = 7, THIRTEENTH = 13 };

// 9, 11 and 13 have the letters of 2, 4 and 6.
static guint
within_octave(guint value)
{
  return value > OCTAVE ? value - OCTAVE : value;
}

static const Tone *
tone_at(guint value, int semitones)
{
  for (guint i = 0; i < G_N_ELEMENTS(tones); ++i) {
    if (tones[i].value == within_octave(value) && tones[i].semitones == semitones) {
      return &tones[i];
    }
  }
  return NULL;
}

// How high a degree is in a dominant chord.
static int
dominant_semitones(guint value)
{
  for (guint i = 0; i < G_N_ELEMENTS(tones); ++i) {
    if (tones[i].value == within_octave(value)) {
      return tones[i].semitones;
    }
  }
  return 0;
}

static const Tone *
tone_present(RcDegrees degrees, guint value)
{
  for (guint i = 0; i < G_N_ELEMENTS(tones); ++i) {
    const gboolean named = tones[i].value == within_octave(value) && !tones[i].stands_in;
    if (named && (degrees & (1U << tones[i].degree))) {
      return &tones[i];
    }
  }
  return NULL;
}

// The sixth is a 13th where it is written so or added to a seventh.
static RcDegrees
bit_of(const Tone *tone, guint value, RcDegrees degrees)
{
  const gboolean high = value == THIRTEENTH || (degrees & RC_SEVENTHS);
  return tone->degree == RC_DEGREE_6 && high ? RC_BIT(13) : 1U << tone->degree;
}

// Moves a degree by `alter` semitones from where it is in the chord, or in a dominant chord.
static gboolean
apply_degree(const MxDegree *d, RcDegrees *degrees)
{
  const Tone *present = d->type == MX_DEGREE_ADD ? NULL : tone_present(*degrees, d->value);
  if (d->type == MX_DEGREE_SUBTRACT) {
    *degrees &= present ? ~(1U << present->degree) : ~0U;
    return TRUE;
  }
  const Tone *tone = tone_at(d->value, (present ? present->semitones : dominant_semitones(d->value)) + d->alter);
  if (tone) {
    *degrees &= present ? ~(1U << present->degree) : ~0U;
    *degrees |= bit_of(tone, d->value, *degrees);
  }
  return tone != NULL;
}

static gboolean
adds(const MxHarmony *h, guint value)
{
  for (guint i = 0; i < h->n_degrees; ++i) {
    if (h->degrees[i].value == value && h->degrees[i].type == MX_DEGREE_ADD && !h->degrees[i].alter) {
      return TRUE;
    }
  }
  return FALSE;
}

// A second or fourth that is added where the third is taken away replaces it.
static RcDegrees
suspend(const MxHarmony *h, RcDegrees degrees)
{
  if (!(degrees & (RC_THIRDS | RC_SUSPENDED)) && adds(h, 4)) {
    degrees = (degrees & ~RC_BIT(11)) | RC_BIT(SUS_4);
  } else if (!(degrees & (RC_THIRDS | RC_SUSPENDED)) && adds(h, 2)) {
    degrees = (degrees & ~RC_BIT(9)) | RC_BIT(SUS_2);
  }
  return degrees;
}

static gboolean
apply_degrees(const MxHarmony *h, RcDegrees *degrees)
{
  for (guint i = 0; i < h->n_degrees; ++i) {
    if (!apply_degree(&h->degrees[i], degrees)) {
      return FALSE;
    }
  }
  *degrees = rc_degrees_settle(suspend(h, *degrees));
  return *degrees != 0;
}

// ----------------------------------------------------------------------------------------------------------- chords

// A letter and an alteration as a note; rc_note_up() spells anew what would need more than a double accidental.
static RcNote
note_of(int step, int alter, int fifths)
{
  enum { SHARP = 7 };
  return rc_note_up((RcNote)step, SHARP * alter + fifths);
}

// The bass of an inversion: the first is the third or what replaces it, then the fifth, then sixth or seventh.
static RcNote
inverted_bass(const RcChord *chord, guint inversion)
{
  static const RcDegrees floors[] = { RC_THIRDS | RC_SUSPENDED, RC_FIFTHS, RC_BIT(6) | RC_SEVENTHS };
  const RcDegrees floor = inversion && inversion <= G_N_ELEMENTS(floors) ? chord->degrees & floors[inversion - 1] : 0;
  for (int degree = 0; degree < RC_N_DEGREES; ++degree) {
    if (floor & (1U << degree)) {
      return rc_note_up(chord->root, rc_degree_fifths((RcDegree)degree));
    }
  }
  return chord->root;
}

// What the printed text after the root says: for kinds that say nothing.
static gboolean
read_text(const MxHarmony *h, RcDegrees *degrees)
{
  enum { LONGEST = 64 };
  char symbol[LONGEST];
  RcChord chord;
  const gboolean whole = g_snprintf(symbol, sizeof symbol, "C%s", h->text) < LONGEST;
  if (!*h->text || !whole ||
      rc_chord_parse(symbol, strlen(symbol), RC_NAMES_ENGLISH, &chord, NULL) != RC_SYMBOL_CHORD ||
      chord.bass != chord.root) {
    return FALSE;
  }
  *degrees = chord.degrees;
  return TRUE;
}

// A kind and a text that are both empty print the root alone, which is a major chord.
static gboolean
find_degrees(const MxHarmony *h, RcDegrees *degrees)
{
  const gboolean bare = !*h->kind && !*h->text;
  if (find_kind(bare ? "major" : h->kind, degrees)) {
    return apply_degrees(h, degrees);
  }
  if (read_text(h, degrees)) {
    return TRUE; // its degrees are in the text
  }
  *degrees = RC_BIT(1);
  return !strcmp(h->kind, "other") && h->n_degrees && apply_degrees(h, degrees);
}

static gboolean
find_chord(const MxHarmony *h, int fifths, RcChord *chord)
{
  RcDegrees degrees = 0;
  if (h->other || h->chords > 1 || !find_degrees(h, &degrees)) {
    return FALSE;
  }
  chord->root = note_of(h->root_step, h->root_alter, fifths);
  chord->degrees = degrees;
  chord->bass =
    h->bass_step != G_MININT ? note_of(h->bass_step, h->bass_alter, fifths) : inverted_bass(chord, h->inversion);
  return TRUE;
}

// What is shown of a chord that is not read. A bracket opens it, so that it is not read as another chord.
static char *
unread_name(const MxHarmony *h, int fifths)
{
  if (h->other) {
    return g_strdup_printf("[%s]", h->said);
  }
  const char *root = rc_note_name(note_of(h->root_step, h->root_alter, fifths), RC_SIGNS_ASCII);
  const char *what = *h->text ? h->text : h->kind;
  return h->chords > 1 ? g_strdup_printf("[%s%s and more]", root, what) : g_strdup_printf("[%s %s]", root, what);
}

static guint
find_symbol(const MxHarmony *h, int fifths, RcSymbols *symbols)
{
  RcChord chord;
  if (!strcmp(h->kind, "none")) {
    return rc_symbols_index(symbols, "N.C.", 4);
  }
  char *name = find_chord(h, fifths, &chord) ? rc_chord_name(&chord, RC_SIGNS_ASCII) : unread_name(h, fifths);
  const guint index = rc_symbols_index(symbols, name, strlen(name));
  g_free(name);
  return index;
}

// Whether it may be remembered.
static gboolean
is_plain(const MxHarmony *h)
{
  return h->chords == 1 && !h->other && !h->n_degrees && strlen(h->kind) < MX_KNOWN_TEXT &&
         strlen(h->text) < MX_KNOWN_TEXT;
}

guint
mx_harmony_symbol(const MxHarmony *h, int fifths, MxKnownChords *known, RcSymbols *symbols)
{
  if (!is_plain(h)) {
    return find_symbol(h, fifths, symbols);
  }
  const int notes[4] = { h->root_step, h->root_alter, h->bass_step, h->bass_alter };
  const guint mixed = (guint)h->root_step + 7 * (guint)h->root_alter + 31 * (guint)h->bass_step +
                      5 * (guint)(h->kind[0] ? h->kind[0] + h->kind[1] : 0);
  MxKnownChord *chord = &known->chords[mixed % MX_KNOWN];
  if (!chord->known || chord->fifths != fifths || memcmp(chord->notes, notes, sizeof notes) != 0 ||
      chord->inversion != h->inversion || strcmp(chord->kind, h->kind) != 0 || strcmp(chord->text, h->text) != 0) {
    chord->known = TRUE;
    chord->symbol = find_symbol(h, fifths, symbols);
    chord->fifths = fifths;
    memcpy(chord->notes, notes, sizeof notes);
    chord->inversion = h->inversion;
    g_strlcpy(chord->kind, h->kind, sizeof chord->kind);
    g_strlcpy(chord->text, h->text, sizeof chord->text);
  }
  return chord->symbol;
}

// ---------------------------------------------------------------------------------------------------------- reading

static MxDegree
read_degree(const MxNode *node)
{
  const char *type = mx_child_text(node, MX_DEGREE_TYPE);
  return (MxDegree){ .value = (guint)mx_child_whole(node, MX_DEGREE_VALUE, 0),
                     .alter = mx_child_whole(node, MX_DEGREE_ALTER, 0),
                     .type = !strcmp(type, "alter")      ? MX_DEGREE_CHANGE
                             : !strcmp(type, "subtract") ? MX_DEGREE_SUBTRACT
                                                         : MX_DEGREE_ADD };
}

static void
add_degree(MxHarmony *h, MxDegree degree)
{
  if (degree.value && h->n_degrees < MX_MAX_DEGREES) {
    h->degrees[h->n_degrees] = degree;
  }
  h->n_degrees += degree.value != 0;
}

static void
read_root(MxHarmony *h, const MxNode *node)
{
  if (node->name == MX_ROOT) {
    h->root_step = mx_child_whole(node, MX_ROOT_STEP, G_MININT);
    h->root_alter = mx_child_whole(node, MX_ROOT_ALTER, 0);
  } else {
    h->other = TRUE;
    h->said = node->name == MX_FUNCTION ? node->text : mx_child_text(node, MX_NUMERAL_ROOT);
  }
}

// Of chords one above the other the first root and kind are kept.
static void
read_child(MxHarmony *h, const MxNode *child)
{
  const char *printed = NULL;
  switch (child->name) {
  case MX_ROOT:
  case MX_FUNCTION:
  case MX_NUMERAL:
    ++h->chords;
    if (h->chords == 1) {
      read_root(h, child);
    }
    break;
  case MX_KIND:
    printed = mx_attribute(child, "text");
    if (h->chords <= 1) {
      h->kind = child->text;
      h->text = printed ? printed : "";
    }
    break;
  case MX_INVERSION:
    h->inversion = mx_read_count(child->text, 0);
    break;
  case MX_BASS:
    h->bass_step = mx_child_whole(child, MX_BASS_STEP, G_MININT);
    h->bass_alter = mx_child_whole(child, MX_BASS_ALTER, 0);
    break;
  case MX_DEGREE:
    add_degree(h, read_degree(child));
    break;
  default:
    break;
  }
}

MxHarmony
mx_read_harmony(const MxNode *node)
{
  MxHarmony harmony = { .root_step = G_MININT, .bass_step = G_MININT, .kind = "", .text = "", .said = "" };
  for (MX_EACH(child, node)) {
    read_child(&harmony, child);
  }
  return harmony;
}
