// Copyright 2026 the rowcall developers
// SPDX-License-Identifier: MIT

// Chords of MusicXML: root, kind, degrees, bass and inversion into a chord symbol.

#ifndef ROWCALL_SRC_CORPUS_MUSICXML_HARMONY_H
#define ROWCALL_SRC_CORPUS_MUSICXML_HARMONY_H

#include "corpus/musicxml/element.h"
#include "corpus/symbols.h"
#include "rowcall/music.h"

enum { MX_MAX_DEGREES = 16, MX_KNOWN = 64, MX_KNOWN_TEXT = 32 };

/// What a degree does to the chord that its kind names.
typedef enum { MX_DEGREE_ADD, MX_DEGREE_CHANGE, MX_DEGREE_SUBTRACT } MxDegreeType;

typedef struct {
  guint value; // 1 is the root, 3 the third
  int alter;   // in semitones
  MxDegreeType type;
} MxDegree;

/// One `harmony` as written.
typedef struct {
  guint chords;   // how many it holds, one above the other: the first is kept
  gboolean other; // a numeral or a function
  int root_step;  // letters as places on the line of fifths; G_MININT: none
  int root_alter;
  int bass_step;
  int bass_alter;
  guint inversion;
  MxDegree degrees[MX_MAX_DEGREES];
  guint n_degrees;  // as written, also where that is more
  const char *kind; // these borrow from the node
  const char *text; // of the kind, as it is printed
  const char *said; // the numeral or the function
} MxHarmony;

MxHarmony mx_read_harmony(const MxNode *node);

/// A chord that was read before, with neither degrees nor a long text.
typedef struct {
  gboolean known;
  guint symbol;
  int fifths;
  int notes[4]; // of root and bass
  guint inversion;
  char kind[MX_KNOWN_TEXT];
  char text[MX_KNOWN_TEXT];
} MxKnownChord;

/// Those of one tune, so that most chords are looked up. All zero at first.
typedef struct {
  MxKnownChord chords[MX_KNOWN];
} MxKnownChords;

/// Returns the symbol of the chord, sounding @p fifths higher than written, added to the tune where it is new. A
/// numeral, a function, a chord upon a chord and a kind that is not known are unread.
guint mx_harmony_symbol(const MxHarmony *harmony, int fifths, MxKnownChords *known, RcSymbols *symbols);

#endif
