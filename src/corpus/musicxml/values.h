// Copyright 2026 the rowcall developers
// SPDX-License-Identifier: MIT

// What the elements of a MusicXML score say, each as a value: attributes, notes, directions and bar lines.

#ifndef ROWCALL_SRC_CORPUS_MUSICXML_VALUES_H
#define ROWCALL_SRC_CORPUS_MUSICXML_VALUES_H

#include "corpus/musicxml/element.h"
#include "corpus/unroll.h"
#include "rowcall/music.h"

// ------------------------------------------------------------------------------------------------------- attributes

/// How much higher a part sounds than it is written.
typedef struct {
  int fifths; // on the line of fifths
  int semitones;
  int octaves; // besides
} MxTransposition;

MxTransposition mx_read_transposition(const MxNode *transpose);

/// A key as it is written.
typedef struct {
  gboolean traditional; // by its signature, or
  gboolean assembled;   // letter by letter
  gboolean has_mode;    // it is written; else the mode is the major one
  RcMode mode;
  int fifths;
  gint8 altered[7]; // by place on the line of fifths from F
} MxKey;

MxKey mx_read_key(const MxNode *node);

/// Returns a setting whose key and tones are those of @p key as it sounds.
RcSetting mx_key_setting(const MxKey *key, const MxTransposition *transposition);

/// What is read of a `time`.
typedef enum { MX_METER, MX_NO_METER, MX_BAD_METER } MxMeterResult;

/// Reads a meter, also 3+2/8 and several that are added up. @p text, of 32 bytes, is set to what was found.
MxMeterResult mx_read_meter(const MxNode *time, RcMeter *meter, char *text);

// ------------------------------------------------------------------------------------------------------------ notes

typedef struct {
  gboolean chord; // it begins with the note before
  gboolean grace;
  gboolean cue;
  gboolean timed;
  double duration; // in divisions
  int step;        // G_MININT: none, a rest or a drum
  int alter;
  int octave;
  guint staff;
} MxNote;

MxNote mx_read_note(const MxNode *node);

/// How high a note sounds, in semitones, 60 being middle C.
guint8 mx_note_pitch(const MxNote *note, const MxTransposition *transposition);

/// The pitch class that sounds.
RcPcSet mx_note_tone(const MxNote *note, const MxTransposition *transposition);

// ------------------------------------------------------------------------------------------------------- directions

/// What a `direction`, or a `sound` alone, says.
typedef struct {
  guint signs;           // segno and coda, set of RcJump
  guint jumps;           // the others
  guint64 times;         // bit n: they count the nth time only; 0: always
  double tempo;          // in quarter notes a minute; 0: none
  const char *rehearsal; // NULL: none
  gboolean opens;        // a repeat begins here
  gboolean chord;        // its words are a chord symbol
} MxDirection;

MxDirection mx_read_direction(const MxNode *node);

/// What a `barline` says.
typedef struct {
  gboolean left;    // it is at the beginning of its measure
  gboolean opens;   // a repeat begins
  guint closes;     // how often the repeat that ends here is played; 0: none does
  gboolean again;   // after a jump, too
  gboolean starts;  // an ending begins
  gboolean stops;   // it ends
  guint64 endings;  // bit n: for the nth time; bit 0: it has no number
  gboolean is_last; // a thick line: the piece or a section of it ends
  guint signs;      // segno and coda
} MxBarline;

MxBarline mx_read_barline(const MxNode *node);

#endif
