// Copyright 2026 the rowcall developers
// SPDX-License-Identifier: MIT

// Notes and rests of an ABC tune: the time they take and the tones they sound.

#ifndef ROWCALL_SRC_CORPUS_ABC_NOTES_H
#define ROWCALL_SRC_CORPUS_ABC_NOTES_H

#include "corpus/abc/cursor.h"
#include "corpus/abc/fields.h"

enum { ABC_OCTAVES = 10 };

/// What letters sound: by the key, and by accidentals written in the bar.
typedef struct {
  RcPcSet sounds[256];               // by letter; 0 for other characters
  RcPcSet in_octave[7][ABC_OCTAVES]; // accidentals that hold in their octave only; 0: none
  gboolean any_accidental;           // one is written in this bar and holds to its end
  gboolean any_in_octave;            // one of those that hold in their octave
  gint8 key[7];                      // by letter from C: semitones the key adds
  AbcPropagation propagation;
  gboolean pitches; // pitches are wanted beside tones
} AbcScale;

/// Makes the letters sound as the key has it, without accidentals written in the bar.
void abc_learn_key(AbcScale *scale, const gint8 key[7]);

/// Forgets the accidentals written in a bar that ends.
void abc_forget_accidentals(AbcScale *scale);

/// What makes the notes to come longer or shorter than they are written.
typedef struct {
  RcTicks unit;
  gint broken; // of the next note: > 0 shorter by so many halvings, < 0 longer
  guint tuplet_p;
  guint tuplet_q;
  guint tuplet_left; // notes
} AbcRhythm;

/// A note, a rest, or several notes at once.
typedef struct {
  RcTicks length;
  RcPcSet tones;
  guint pitch; // of the highest, 60 being middle C; where wanted
} AbcNotes;

/// Reads a note. FALSE where there is only an accidental, which is passed.
gboolean abc_read_note(AbcCursor *c, AbcScale *scale, AbcRhythm *rhythm, AbcNotes *notes);

/// Reads a rest, "z2".
AbcNotes abc_read_rest(AbcCursor *c, AbcRhythm *rhythm);

/// Reads bars of rest, "Z4", section 4.5, and returns how many.
guint abc_read_long_rest(AbcCursor *c);

/// Reads notes at once, "[CEG]2", section 4.17, or between other signs: as long as the first of them.
AbcNotes abc_read_unison(AbcCursor *c, char close, AbcScale *scale, AbcRhythm *rhythm);

/// Reads the beginning of a tuplet, "(3:2:4", section 4.13.
void abc_read_tuplet(AbcCursor *c, RcMeter meter, AbcRhythm *rhythm);

/// Reads ">" or "<" between two notes, section 4.4, and returns how long the one before, of @p length, now is.
RcTicks abc_read_broken(AbcCursor *c, RcTicks length, AbcRhythm *rhythm);

#endif
