// Copyright 2026 the rowcall developers
// SPDX-License-Identifier: MIT

// ABC 2.1, in the pieces that its reader is made of. Section numbers are those of the ABC music standard 2.1.

#ifndef ROWCALL_SRC_CORPUS_ABC_H
#define ROWCALL_SRC_CORPUS_ABC_H

#include "rowcall/error.h"
#include "rowcall/music.h"
#include "symbols.h"
#include "unroll.h"

/// A stretch of text.
typedef struct {
  const char *at;
  const char *end;
} AbcText;

// --------------------------------------------------------------------------------------------------------- fields

/// What fields set, and notes are read by.
typedef struct {
  RcSetting setting;
  RcTicks unit;         // L: the length of a note without a number; 0: by the meter
  gboolean free_meter;  // M:none
  gint8 accidentals[7]; // by letter from C: semitones the key adds
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

/// The unit in force: L, or by the meter, section 3.1.7.
RcTicks abc_unit(const AbcState *state);

/// Whether a text is ASCII without `\\` accents, so that it needs no change.
gboolean abc_is_plain(AbcText text);

/// A text as UTF-8: it is Latin-1 where it is not, and `\` accents, section 8.2, become letters. A new string.
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
} AbcNote;

/// A part's beginning.
typedef struct {
  AbcText label;
  guint bar;
} AbcPartMark;

/// What is read of one voice of a tune.
typedef struct {
  RcTune *tune; // its symbols, events, bars and settings
  RcSymbols *symbols;
  GArray *marks;        // of RcBarMarks, by bar
  GArray *notes;        // of AbcNote
  GArray *part_marks;   // of AbcPartMark
  guint voices;         // different voices met
  gboolean chords;      // a chord symbol was read
  guint chord_voice;    // the first other voice in which one stands, or G_MAXUINT
  gboolean keeps_notes; // for chords of another voice; else each chord is given the melody's tones as they are read
  guint habits;         // spellings of old collections met
  gboolean habit;       // they are read
} AbcMusic;

/// Reads the music of a tune's body, from line @p line of @p file on, into @p music: voice @p voice, from 0 in the
/// order they appear.
gboolean abc_read_music(AbcMusic *music, AbcText body, AbcState state, const char *file, guint line, guint voice,
                        GError **error);

#endif
