// Copyright 2026 the rowcall developers
// SPDX-License-Identifier: MIT

// A MusicXML score as it is read, part after part, and what becomes of it: the bars of a tune and their order.

#ifndef ROWCALL_SRC_CORPUS_MUSICXML_SCORE_H
#define ROWCALL_SRC_CORPUS_MUSICXML_SCORE_H

#include "corpus/symbols.h"
#include "corpus/unroll.h"
#include "rowcall/music.h"

/// A point in the score: a measure, and how far in it.
typedef struct {
  guint measure;
  guint order; // of writing, among what is at the same point
  RcTicks pos;
} MxPoint;

/// Where a chord is drawn, in tenths of the distance of two lines.
typedef struct {
  gboolean drawn; // it is said, or
  gboolean timed; // an offset says where the chord begins
  double x;
} MxDrawn;

typedef struct {
  MxPoint at;
  guint symbol;
  guint line;
  guint column;
  MxDrawn drawn;
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
  RcTicks length;     // 0: nothing in it takes time
  const char *number; // as written; owned by the tune
  guint line;
  guint column;
  double width;   // as it is drawn; 0: not said
  gboolean stops; // the bracket of an ending ends here
} MxMeasureAt;

/// A segno or a coda.
typedef struct {
  guint measure;
  RcTicks pos; // MX_MEASURE_END: at the bar line that ends the measure
  guint signs; // set of RcJump
} MxSignAt;

#define MX_MEASURE_END G_MAXINT64

typedef struct {
  char *label;
  guint measure;
} MxRehearsal;

/// Something that one part carries, the first that has any.
typedef struct {
  GArray *items;
  guint part; // G_MAXUINT: none has any so far
} MxTrack;

typedef struct {
  GArray *measures;   // of MxMeasureAt
  GArray *marks;      // of RcBarMarks, beside them
  GArray *signs;      // of MxSignAt
  MxTrack chords;     // of MxChordAt
  MxTrack notes;      // of MxNoteAt
  MxTrack rehearsals; // of MxRehearsal
  MxTrack changes[MX_N_CHANGES];
  guint word_chord; // index of the first measure with a chord written as words, and 1; 0: none
} MxScore;

void mx_score_start(MxScore *score);

void mx_score_clear(MxScore *score);

/// Adds an item that @p part carries, unless a part before it carries some. Returns whether it was added.
gboolean mx_track_add(MxTrack *track, guint part, gconstpointer item);

/// Orders two points by measure, place in it and order of writing; for arrays whose items begin with a point.
int mx_compare_points(gconstpointer a, gconstpointer b);

/// Makes events, bars, settings and parts of @p tune, and the order in which they are played. FALSE where there are
/// more than a tune may have.
gboolean mx_score_into_tune(MxScore *score, RcTune *tune, RcSymbols *symbols);

/// Gives @p tune the notes of its melody.
void mx_score_keep_notes(const MxScore *score, RcTune *tune);

// --------------------------------------------------------------------------------------------------------- settling

/// Lets endings reach as far as they are meant to, and puts segno and coda before the measure they lead to.
void mx_settle_marks(MxScore *score);

/// Places the @p n chords of a measure of this length, in their order: those at one point share the time up to the next
/// chord, in proportion to where they are drawn where that increases and the beats allow, else equally. Returns whether
/// some did.
gboolean mx_share_time(MxChordAt *chords, guint n, RcTicks length, RcTicks beat, double width);

#endif
