// Copyright 2026 the rowcall developers
// SPDX-License-Identifier: MIT

// What the pieces that read the elements of a MusicXML score share. Each has a table of elements; musicxml_reader.c
// puts them together and calls what they name. All but those of the head are called within a measure of a part only.

#ifndef ROWCALL_SRC_CORPUS_MUSICXML_BODY_H
#define ROWCALL_SRC_CORPUS_MUSICXML_BODY_H

#include "corpus/musicxml/musicxml.h"
#include "corpus/source.h"

#include <expat.h>

enum {
  MX_MAX_DEPTH = 64,        // elements in one another
  MX_MAX_TEXT = 4096,       // bytes of text of an element that is read
  MX_MAX_TAG = 1 << 20,     // bytes of a tag with its attributes, or of a comment, which are held whole
  MX_MAX_BAR_CHORDS = 256,  // chords in a measure
  MX_MAX_DIVISIONS = 65536, // of a quarter note
  MX_LONGEST_BAR = 65536,   // in quarter notes, so that no sum of lengths can overflow
  MX_MAX_ELEMENTS = 96,     // that are read
  MX_KNOWN = 64,            // chords that are remembered
  MX_SLOTS = 256
};

typedef struct RcMusicxmlReader RcMusicxmlReader;

/// Stands for the measure of a part, whichever of the two elements is the inner one: elsewhere the element is a
/// mistake.
#define MX_IN_MEASURE "measure"

/// What an element does where it begins and, with its text, where it ends; where `within` is not NULL, only directly
/// in that element.
typedef struct {
  const char *name;
  const char *within;
  void (*start)(RcMusicxmlReader *r, const char **attributes);
  void (*end)(RcMusicxmlReader *r);
  gboolean has_text;
} MxElement;

/// The tables; each ends with an element without a name.
extern const MxElement mx_attribute_elements[];
extern const MxElement mx_note_elements[];
extern const MxElement mx_harmony_elements[];
extern const MxElement mx_direction_elements[];

/// A part and what its attributes say.
typedef struct {
  char *id;
  double divisions; // of a quarter note; 0: not said yet
  int fifths;       // how much higher it sounds than it is written, on the line of fifths
  int semitones;
  int octaves; // besides
  guint staff; // the one that carries the melody; 0: no note so far
} MxPart;

/// The note being read.
typedef struct {
  gboolean chord; // it begins with the note before
  gboolean grace;
  gboolean cue;
  int step; // G_MININT: none, a rest or a drum
  int alter;
  int octave;
  guint staff;
} MxNote;

/// The key being read.
typedef struct {
  int fifths;
  gboolean traditional; // fifths are given
  gboolean assembled;   // letters are
  RcMode mode;
  int step;
  gint8 altered[7]; // by place on the line of fifths from F
} MxKey;

/// The meter being read.
typedef struct {
  guint beats;
  guint unit;
  guint more; // beats as they are read
} MxTime;

/// The transposition being read.
typedef struct {
  int chromatic;
  int diatonic;
  int octaves; // besides
  gboolean has_diatonic;
} MxTranspose;

/// The metronome mark being read.
typedef struct {
  double beat; // in quarter notes; 0: none
  guint beats; // how many notes it names
  double per_minute;
} MxMetronome;

/// A chord that was read before, so that most of them are looked up: they have neither degrees nor texts that count.
typedef struct {
  gboolean known;
  guint symbol;
  int fifths; // of the part
  MxHarmony harmony;
} MxKnown;

struct RcMusicxmlReader {
  RcSource *source;
  const char *name;
  XML_Parser parser;
  GError *error; // the first
  gboolean done;
  gboolean melody_notes; // are wanted

  const MxElement *elements[MX_MAX_ELEMENTS];
  guint8 around[MX_MAX_ELEMENTS]; // the index of the element they stand in; MX_MAX_ELEMENTS: any
  guint n_elements;
  guint n_head;           // those before are not of a measure
  guint8 slots[MX_SLOTS]; // index + 1 into `elements` by the hash of the name
  guint8 stack[MX_MAX_DEPTH];
  guint depth;
  gboolean timewise;
  gboolean inside; // a measure of a part
  char text[MX_MAX_TEXT + 1];
  gsize length;

  RcTune *tune;
  RcSymbols *symbols;
  MxScore score;
  char *title; // of the work, or of the movement

  GArray *parts; // of MxPart
  guint part;
  guint measure;
  guint order;    // counts what stands at points
  RcTicks base;   // where the divisions in force begin, in the measure
  double pos;     // in divisions from there
  double before;  // where the note before began
  guint n_chords; // in this part's measure
  double duration;
  gboolean has_duration;
  MxNote note;
  MxKey key;
  MxTime time;
  MxTranspose transpose;
  MxMetronome metronome;
  MxHarmony harmony;
  MxDegree degree;
  MxKnown known[MX_KNOWN];
  RcPlace harmony_place;
  double offset;
  gboolean alternate; // the harmony is another reading of one before
};

// ----------------------------------------------------------------------------------------------------------- errors

RcPlace mx_place(RcMusicxmlReader *r);

/// Stops reading with a message; the first counts.
void mx_fail(RcMusicxmlReader *r, RcErrorCode code, const char *format, ...) G_GNUC_PRINTF(3, 4);

void mx_fail_limit(RcMusicxmlReader *r, const char *what, guint limit);

/// Stops reading at the text that was found, cut to what fits a message.
void mx_fail_found(RcMusicxmlReader *r, const char *expected);

// ------------------------------------------------------------------------------------------------------------ values

/// The value of an attribute, or NULL.
const char *mx_attribute(const char **attributes, const char *name);

/// Reads a decimal number that fills the text.
gboolean mx_read_number(const char *text, double *number);

/// Reads the element's text as a number within bounds, rounded to a whole one: a microtone sounds as the note beside
/// it. Stops reading where it is none.
gboolean mx_read_whole(RcMusicxmlReader *r, int least, int most, int *number);

/// The whole number at the start of a text, @p other where it is none or 0.
guint mx_read_count(const char *text, guint other);

// ------------------------------------------------------------------------------------------------------------- time

MxPart *mx_part(RcMusicxmlReader *r);

/// Where @p pos divisions from the base are in the measure.
RcTicks mx_ticks_at(RcMusicxmlReader *r, double pos);

/// The point @p offset divisions from here.
MxPoint mx_point(RcMusicxmlReader *r, double offset);

RcBarMarks *mx_marks(RcMusicxmlReader *r);

/// Moves on by a duration; whatever part goes farthest says how long the measure is.
void mx_advance(RcMusicxmlReader *r, double duration);

/// Notes what changes here.
void mx_add_change(RcMusicxmlReader *r, MxChangeKind kind, const RcSetting *setting);

#endif
