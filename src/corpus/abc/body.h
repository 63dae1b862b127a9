// Copyright 2026 the rowcall developers
// SPDX-License-Identifier: MIT

// What the pieces that read the music of an ABC tune share: abc_music.c goes from line to line and from sign to sign,
// and leaves notes, bars and chords to the files of those names. Each reads on from `at` and leaves it behind what it
// read. Every line ends with a line feed, or the last with a zero byte, and no other zero byte stands in the text, so
// that nothing needs to ask where the text ends before it looks at the next byte.

#ifndef ROWCALL_SRC_CORPUS_ABC_BODY_H
#define ROWCALL_SRC_CORPUS_ABC_BODY_H

#include "corpus/abc/abc.h"

#define ABC_NO_SYMBOL G_MAXUINT
#define ABC_NO_NOTE G_MAXUINT

enum { ABC_OCTAVES = 10, ABC_MAX_SYMBOL_LINES = 8 };

/// A line, and how far its characters are counted.
typedef struct {
  guint number; // in the file, from 1
  const char *start;
  const char *counted;
  guint characters;
} AbcLine;

/// A symbol line, s:, and what is left of it.
typedef struct {
  AbcLine line;
  const char *at;
} AbcSymbolLine;

/// The bars and events of a voice as they are read. The arrays of the tune hold room ahead; what is used of them is
/// counted here until the end.
typedef struct {
  AbcMusic *music;
  RcTune *tune;
  const char *file;
  const char *at; // the next byte to read
  AbcText text;   // the whole body
  AbcLine line;
  gboolean ascii; // the whole body is

  AbcState state;
  RcTicks unit;
  guint setting;     // index of the setting in force
  guint wanted;      // the voice that is read
  guint voice;       // the voice we are in
  GPtrArray *voices; // of char *: names in the order they appear
  gboolean in_text;  // between %%begintext and %%endtext

  RcPcSet sounds[256];                              // what a letter sounds here; 0 for other characters
  RcPcSet in_octave[7][ABC_OCTAVES];                // accidentals that hold in their octave only; 0: none
  gboolean any_accidental;                          // one is written in this bar and holds to its end
  gboolean any_in_octave;                           // one of those that hold in their octave
  AbcSymbolLine symbol_lines[ABC_MAX_SYMBOL_LINES]; // those below this line of music
  guint n_symbol_lines;

  guint n_events;
  guint n_bars;
  RcTicks pos; // in the bar
  guint first_event;
  RcEvent *event;   // the chord that sounds, at the end of those of the tune
  gboolean pending; // it has no time yet
  RcTicks event_start;
  RcBarMarks *marks; // of the bar being read, at the end of those before
  RcTicks main_pos;  // where the bar stood before an overlay
  gboolean overlay;

  RcTicks last_length; // of the last note, for broken rhythm
  guint last_note;     // its index in notes, or ABC_NO_NOTE
  gint broken;         // what the next note gets: > 0 shorter by so many halvings, < 0 longer
  guint tuplet_p;
  guint tuplet_q;
  guint tuplet_left;
} AbcBody;

// ---------------------------------------------------------------------------------------------------------- places

/// The column of a place, in characters from 1, behind those asked for before on this line.
guint abc_column(const AbcBody *b, AbcLine *line, const char *at);

/// Sets an error that names a place on the line being read, and returns FALSE.
gboolean abc_fail(AbcBody *b, const char *at, RcErrorCode code, const char *message, GError **error);

/// Whether a byte ends a line.
static inline gboolean
abc_ends_line(char c)
{
  return c == '\n' || c == '\0';
}

/// The end of the line in which @p at stands.
const char *abc_line_end(const char *at);

/// Moves past the next @p close on this line, or to the line's end.
void abc_skip_past(AbcBody *b, char close);

/// Reads a number, 0 where there is none, and returns how many digits it has. Large ones are cut.
gsize abc_read_digits(AbcBody *b, guint *number);

// ----------------------------------------------------------------------------------------------------------- notes

/// Makes the letters sound as the key has it, without accidentals written in the bar.
void abc_learn_key(AbcBody *b);

/// Reads a note, or several plain ones in a row.
void abc_read_notes(AbcBody *b);

/// Reads a rest, "z2".
void abc_read_rest(AbcBody *b);

/// Reads bars of rest, "Z4", section 4.5; each is a bar of its own.
gboolean abc_read_long_rest(AbcBody *b, GError **error);

/// Reads notes at once, "[CEG]2", section 4.17, or between other signs: as long as the first of them.
void abc_read_unison(AbcBody *b, char close);

/// Reads the beginning of a tuplet, "(3:2:4", section 4.13.
void abc_read_tuplet(AbcBody *b);

/// Reads ">" or "<" between two notes, section 4.4.
void abc_read_broken(AbcBody *b);

// ------------------------------------------------------------------------------------------------------------ bars

/// Begins the first bar.
void abc_start_bars(AbcBody *b);

/// Ends the chord that sounds here, if it has taken time.
void abc_close_event(AbcBody *b);

/// Begins a chord here. @p symbol is written at @p column of line @p line.
void abc_open_event(AbcBody *b, guint symbol, guint line, guint column);

/// Lets what sounded before the bar go on from its start.
void abc_hold(AbcBody *b);

/// Ends the bar being read, if it holds anything; @p closes and @p breaks, as in RcBarMarks, say what the line behind
/// it means for it, or for the bar before where it holds nothing.
gboolean abc_end_bar(AbcBody *b, guint closes, gboolean breaks, GError **error);

/// Sets an error where the tune has become too long.
gboolean abc_check_limits(AbcBody *b, GError **error);

/// Reads any bar line, section 4.8, and an ending's numbers behind it.
gboolean abc_read_bar_line(AbcBody *b, GError **error);

/// Reads an ending's numbers where they begin a bar without a line, "[1".
gboolean abc_read_ending(AbcBody *b, GError **error);

/// Goes back to the start of the bar for "&", section 7.4.
void abc_start_overlay(AbcBody *b);

// ---------------------------------------------------------------------------------------------------------- chords

/// Reads a text in quotes: a chord symbol, section 4.18, or an annotation, 4.19.
gboolean abc_read_string(AbcBody *b, GError **error);

/// Whether a text in quotes that begins here is an annotation or empty.
gboolean abc_is_annotation(const char *text);

/// Finds the symbol lines below the line of music that begins here.
void abc_find_symbol_lines(AbcBody *b);

/// Takes what stands in the symbol lines for the note that comes; nothing more once the tune has too many symbols,
/// which the bar's end tells.
void abc_take_symbols(AbcBody *b);

/// Moves the symbol lines that wait at a bar line past it.
void abc_pass_symbol_bars(AbcBody *b);

#endif
