// Copyright 2026 the rowcall developers
// SPDX-License-Identifier: MIT

// ABC 2.1, in the pieces that its reader is made of. Section numbers are those of the ABC music standard 2.1.

#ifndef ROWCALL_SRC_CORPUS_ABC_ABC_H
#define ROWCALL_SRC_CORPUS_ABC_ABC_H

#include "rowcall/error.h"
#include "rowcall/music.h"
#include "corpus/symbols.h"
#include "corpus/unroll.h"

/// A stretch of text.
typedef struct {
  const char *at;
  const char *end;
} AbcText;

// --------------------------------------------------------------------------------------------------------- fields

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
  guint8 jumps[ABC_LETTERS]; // sets of RcJump: what the letter n behind A stands for, section 4.16
} AbcState;

/// The state at the beginning of a file: no key, 4/4, no tempo.
AbcState abc_state_start(void);

/// L, section 3.1.7. Each of these returns FALSE where the text is none and leaves the state as it was.
gboolean abc_read_length(AbcText text, AbcState *state);

/// M, section 3.1.6, "none" and sums such as (2+3)/8 among them.
gboolean abc_read_meter(AbcText text, AbcState *state);

/// Q, section 3.1.8, the old forms among them. A text without a number says nothing.
gboolean abc_read_tempo(AbcText text, AbcState *state);

/// K, section 3.1.14: modes, HP and Hp, none, explicit accidentals, clefs.
gboolean abc_read_key(AbcText text, AbcState *state);

/// Reads a directive, what stands behind "%%" or "I:", section 11; one that does not matter here is passed over.
void abc_read_directive(AbcText text, AbcState *state);

/// U, section 4.16: what a letter stands for.
void abc_read_user_symbol(AbcText text, AbcState *state);

/// Where a decoration, "D.C." or "coda", sends the player: a set of RcJump.
guint abc_jump(AbcText decoration);

/// The same, of what a letter stands for.
guint abc_letter_jump(const AbcState *state, char letter);

/// The unit in force: L, or by the meter, section 3.1.7.
RcTicks abc_unit(const AbcState *state);

/// Whether a text needs no change: ASCII on one line, without accents and entities.
gboolean abc_is_plain(AbcText text);

/// A text as UTF-8: it is Latin-1 where it is not; accents and entities, section 8.2, become letters; the lines of one
/// that goes on behind "+:", section 3.3, are joined. A new string.
char *abc_text_to_utf8(AbcText text);

/// Without blanks at its ends, and without a remark behind `%`.
AbcText abc_trim(AbcText text);

// ---------------------------------------------------------------------------------------------------------- music

/// A note of the melody within its bar.
typedef struct {
  guint bar;
  RcTicks start;
  RcTicks end;
  RcPcSet tones;
  guint8 pitch;  // of the highest, 60 being middle C
  gboolean tied; // to the next
} AbcNote;

/// A part's beginning.
typedef struct {
  AbcText label;
  guint bar;
} AbcPartMark;

/// Ways of writing that old collections have and the standard has not: read where a file shows them.
typedef enum {
  ABC_HABIT_SYMBOLS, // `D/f+`, `Cd`
  ABC_HABIT_CHORDS,  // notes at once as `+CEG+`
  ABC_N_HABITS
} AbcHabit;

/// What is read of one voice of a tune.
typedef struct {
  RcTune *tune; // its symbols, events, bars and settings
  RcSymbols *symbols;
  GArray *marks;         // of RcBarMarks, by bar
  GArray *notes;         // of AbcNote
  GArray *part_marks;    // of AbcPartMark
  gboolean chords;       // a chord symbol was read
  guint chord_voice;     // the first other voice in which one stands, or G_MAXUINT
  gboolean keeps_notes;  // for chords of another voice, or to be heard; else each chord is given the melody's tones as
                         // they are read
  gboolean symbol_lines; // the body holds some
  guint habits[ABC_N_HABITS];         // met, by AbcHabit
  gboolean read_habits[ABC_N_HABITS]; // they are read
} AbcMusic;

/// Reads the music of a tune's body, from line @p line of @p file on, into @p music: voice @p voice, from 0 in the
/// order they appear. The body ends with a line feed or a zero byte stands behind it; no other stands in it.
gboolean abc_read_music(AbcMusic *music, AbcText body, AbcState state, const char *file, guint line, guint voice,
                        GError **error);

// ---------------------------------------------------------------------------------------------------------- parts

/// Names the parts of the tune that was read: as P: lines do, else by letters for what repeats and double lines divide.
void abc_name_parts(const AbcMusic *music);

/// Sets in which order the bars are played: by @p order, section 3.1.9, an empty text where none is stated. FALSE where
/// that is longer than a tune may play.
gboolean abc_play(const AbcMusic *music, AbcText order);

#endif
