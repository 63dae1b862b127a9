// Copyright 2026 the rowcall developers
// SPDX-License-Identifier: MIT

// MusicXML 4.0, in the pieces that its reader is made of: musicxml_reader.c goes from element to element and leaves
// chords and the score to the files of those names.

#ifndef ROWCALL_SRC_CORPUS_MUSICXML_MUSICXML_H
#define ROWCALL_SRC_CORPUS_MUSICXML_MUSICXML_H

#include "rowcall/error.h"
#include "rowcall/music.h"
#include "corpus/symbols.h"
#include "corpus/unroll.h"

// --------------------------------------------------------------------------------------------------------- harmony

enum { MX_MAX_DEGREES = 16, MX_MAX_NAME = 64 };

/// What a degree does to the chord that its kind names.
typedef enum { MX_DEGREE_ADD, MX_DEGREE_ALTER, MX_DEGREE_SUBTRACT } MxDegreeType;

typedef struct {
  guint value; // 1 is the root, 3 the third
  int alter;   // in semitones
  MxDegreeType type;
} MxDegree;

/// One `harmony` as written.
typedef struct {
  guint chords;   // how many it holds, one above the other
  gboolean root;  // a root is written, or
  gboolean other; // a numeral or a function
  int root_step;  // letters as places on the line of fifths; G_MININT: none
  int root_alter;
  int bass_step;
  int bass_alter;
  guint inversion;
  MxDegree degrees[MX_MAX_DEGREES];
  guint n_degrees;
  char kind[MX_MAX_NAME];
  char text[MX_MAX_NAME]; // of the kind, as it is printed
  char said[MX_MAX_NAME]; // the numeral or the function
} MxHarmony;

/// An empty one.
MxHarmony mx_harmony_start(void);

/// The place on the line of fifths of a letter A to G, G_MININT where there is none.
int mx_step(const char *text);

/// Returns the symbol of the chord, sounding @p fifths higher than written, added to the tune where it is new. A
/// numeral, a function, a chord upon a chord and a kind that says nothing are unread.
guint mx_harmony_symbol(const MxHarmony *harmony, int fifths, RcSymbols *symbols);

/// The tones of one of the 33 kinds and of some more that files have; FALSE where it names none.
gboolean mx_kind_degrees(const char *kind, RcDegrees *degrees);

// ------------------------------------------------------------------------------------------------------- the score

/// A point in the score: a measure, and how far in it.
typedef struct {
  guint measure;
  guint order; // of writing, among what stands at the same point
  RcTicks pos;
} MxPoint;

typedef struct {
  MxPoint at;
  guint symbol;
  guint line;
  guint column;
} MxChordAt;

typedef struct {
  guint measure;
  RcPcSet tone;
  guint8 pitch; // in semitones, 60 being middle C
  RcTicks start;
  RcTicks end;
} MxNoteAt;

/// What may change on the way.
typedef enum { MX_CHANGE_KEY, MX_CHANGE_METER, MX_CHANGE_TEMPO, MX_N_CHANGES } MxChangeKind;

typedef struct {
  MxPoint at;
  RcSetting setting; // of which only what changes counts
} MxChange;

typedef struct {
  RcTicks length; // 0: nothing in it takes time
  guint line;
  guint column;
} MxMeasure;

typedef struct {
  char *label;
  guint measure;
} MxRehearsal;

/// Something that one part carries, the first that has any.
typedef struct {
  GArray *items;
  guint part; // G_MAXUINT: none has any so far
} MxTrack;

/// A score as it is read.
typedef struct {
  GArray *measures;   // of MxMeasure
  GArray *marks;      // of RcBarMarks, beside them
  MxTrack chords;     // of MxChordAt
  MxTrack notes;      // of MxNoteAt
  MxTrack rehearsals; // of MxRehearsal
  MxTrack changes[MX_N_CHANGES];
} MxScore;

void mx_score_start(MxScore *score);

void mx_score_clear(MxScore *score);

/// Adds an item that @p part carries, unless a part before it carries some. Returns whether it was added.
gboolean mx_track_add(MxTrack *track, guint part, gconstpointer item);

/// Makes events, bars, settings and parts of @p tune, and the order in which they are played. FALSE where there are
/// more than a tune may have.
gboolean mx_score_into_tune(MxScore *score, RcTune *tune, RcSymbols *symbols);

/// Gives @p tune the notes of its melody.
void mx_score_keep_notes(const MxScore *score, RcTune *tune);

#endif
