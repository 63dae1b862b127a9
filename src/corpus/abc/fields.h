// Copyright 2026 the rowcall developers
// SPDX-License-Identifier: MIT

// What the information fields of ABC set: key, meter, unit length and tempo, and what letters and directives mean.

#ifndef ROWCALL_SRC_CORPUS_ABC_FIELDS_H
#define ROWCALL_SRC_CORPUS_ABC_FIELDS_H

#include "corpus/abc/text.h"
#include "rowcall/music.h"

/// How far an accidental holds, as %%propagate-accidentals says; section 11.3.
typedef enum {
  ABC_HOLDS_IN_ALL_OCTAVES, // to the end of the bar, "pitch": the default
  ABC_HOLDS_IN_ITS_OCTAVE,  // to the end of the bar, "octave"
  ABC_HOLDS_FOR_ITS_NOTE    // "not"
} AbcPropagation;

enum { ABC_LETTERS = 'z' - 'A' + 1 };

/// What fields set, and notes are read by.
typedef struct {
  RcSetting setting;
  RcTicks unit;         // L: the length of a note without a number; 0: by the meter
  gboolean free_meter;  // M:none
  gint8 accidentals[7]; // by letter from C: semitones the key adds
  AbcPropagation propagation;
  guint8 jumps[ABC_LETTERS]; // sets of RcJump: what the nth letter from A means, section 4.16
} AbcState;

/// Returns the state at the beginning of a file: no key, 4/4, no tempo.
AbcState abc_state_start(void);

/// L, section 3.1.7. Each of these returns FALSE where the text is none and leaves the state as it was.
gboolean abc_read_length(AbcText text, AbcState *state);

/// M, section 3.1.6, "none" and sums such as (2+3)/8 among them.
gboolean abc_read_meter(AbcText text, AbcState *state);

/// Q, section 3.1.8, the old forms among them. A text without a number says nothing.
gboolean abc_read_tempo(AbcText text, AbcState *state);

/// K, section 3.1.14: modes, HP and Hp, none, explicit accidentals, clefs.
gboolean abc_read_key(AbcText text, AbcState *state);

/// Returns whether a text is a key whose tonic is a small letter, which is read as a capital: `g` is G major.
gboolean abc_is_small_key(AbcText text);

/// Reads a directive, what follows "%%" or "I:", section 11; one that does not matter here is passed over.
void abc_read_directive(AbcText text, AbcState *state);

/// U, section 4.16: what a letter means.
void abc_read_user_symbol(AbcText text, AbcState *state);

/// Returns where a decoration, "D.C." or "coda", sends the player: a set of RcJump.
guint abc_jump(AbcText decoration);

/// Returns the same of what a letter means.
guint abc_letter_jump(const AbcState *state, char letter);

/// Returns the unit in force: L, or by the meter, section 3.1.7.
RcTicks abc_unit(const AbcState *state);

#endif
