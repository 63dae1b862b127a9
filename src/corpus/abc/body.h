// Copyright 2026 the rowcall developers
// SPDX-License-Identifier: MIT

// The body of an ABC tune while it is read: what is known at the place that was reached, and what reads on from there.

#ifndef ROWCALL_SRC_CORPUS_ABC_BODY_H
#define ROWCALL_SRC_CORPUS_ABC_BODY_H

#include "corpus/abc/bars.h"
#include "corpus/abc/lines.h"
#include "corpus/abc/music.h"
#include "corpus/abc/notes.h"

#define ABC_NO_NOTE G_MAXUINT

/// Voices in the order they appear.
typedef struct {
  GPtrArray *names; // of char *; NULL until there is one
  guint current;
  guint wanted;
} AbcVoices;

/// The last note of the bar.
typedef struct {
  RcTicks length; // 0: there is none
  RcPcSet tones;
  guint kept;      // its index in the notes that are kept, or ABC_NO_NOTE
  const char *row; // the end of a row that it is the last of, which tells the others; NULL: of none
} AbcLastNote;

/// The body, up to the place that was reached.
typedef struct {
  AbcMusic *music;
  const char *end;
  AbcCursor cursor;
  AbcState state;
  AbcScale scale;
  AbcRhythm rhythm;
  AbcBars bars;
  AbcLastNote last;
  RcPcSet before_bar; // tones of the last note before the bar
  gboolean optional;  // the chord that waits is in brackets
  guint chord;        // symbol of the last chord, without a bass that came later; ABC_NO_NOTE: none
  AbcVoices voices;
  AbcSymbolLines symbol_lines; // those below this line of music
  guint setting_bar;           // where the setting in force was set
  RcTicks setting_pos;
  gboolean in_text; // between %%begintext and %%endtext
} AbcBody;

/// Returns whether the voice that is read is the current one.
static inline gboolean
abc_body_is_wanted(const AbcBody *b)
{
  return b->voices.current == b->voices.wanted;
}

// ------------------------------------------------------------------------------------------------------------- remarks

/// Keeps what there is to remark on, if it is the first of its kind.
void abc_body_remark(AbcBody *b, RcRemarkKind kind, AbcPlace place, AbcText text);

// ---------------------------------------------------------------------------------------------------------------- bars

/// Returns whether the tune has no more of anything than a tune may have; else sets @p error.
gboolean abc_body_check_limits(AbcBody *b, GError **error);

/// Sets what the last note is where it is that of a row.
void abc_body_learn_last_note(AbcBody *b);

/// Ends the bar, if it holds anything, by a line. FALSE where a limit is reached.
gboolean abc_body_end_bar(AbcBody *b, const AbcBarLine *line, GError **error);

/// Reads a bar line. FALSE where a limit is reached.
gboolean abc_body_read_bar_line(AbcBody *b, GError **error);

/// Reads an ending without a line, "[1". FALSE where a limit is reached.
gboolean abc_body_read_ending(AbcBody *b, GError **error);

// -------------------------------------------------------------------------------------------------------------- chords

/// Gives a chord that has waited since before the bar, without a note of its own, half of the last one, where the file
/// means it so; else it is lost.
void abc_body_settle_late_chord(AbcBody *b);

/// Reads a text in quotes. FALSE where it does not close on its line, or the tune has too many symbols.
gboolean abc_body_read_string(AbcBody *b, GError **error);

/// Takes what the symbol lines have for the note that was read; nothing more once the tune has too many symbols, which
/// the bar's end tells.
void abc_body_take_symbols(AbcBody *b);

// --------------------------------------------------------------------------------------------------------------- notes

/// Reads a row of plain notes. FALSE where there is none, or something is in force that changes notes.
gboolean abc_body_read_row(AbcBody *b);

/// Reads the beginning of a tuplet, and its notes where they are letters alone.
void abc_body_read_tuplet(AbcBody *b);

/// Reads a note, whatever it is like, or passes an accidental without one.
void abc_body_read_note(AbcBody *b);

/// Reads notes at once up to @p close. FALSE where a text between them is bad.
gboolean abc_body_read_unison(AbcBody *b, char close, GError **error);

/// Reads a rest, "z2".
void abc_body_read_rest(AbcBody *b);

/// Reads bars of rest, "Z4". FALSE where a limit is reached.
gboolean abc_body_read_long_rest(AbcBody *b, GError **error);

/// Reads ">" or "<" between two notes.
void abc_body_read_broken(AbcBody *b);

// -------------------------------------------------------------------------------------------------------------- fields

/// Reads a field in the body, on a line of its own or in brackets; those of voices that are not read do not touch ours.
gboolean abc_body_read_field(AbcBody *b, char name, AbcText text, GError **error);

/// Reads a field in brackets, "[K:G]".
gboolean abc_body_read_inline_field(AbcBody *b, GError **error);

/// Notes that the current voice, which is not read, has a chord.
void abc_body_note_chord_voice(AbcBody *b);

// --------------------------------------------------------------------------------------------------------------- signs

/// Reads whatever is here and is no row, text in quotes or plain note.
gboolean abc_body_read_sign(AbcBody *b, GError **error);

#endif
