// Copyright 2026 the rowcall developers
// SPDX-License-Identifier: MIT

// Chord symbols of an ABC tune, in quotes or in symbol lines, and what else is written where they are.

#ifndef ROWCALL_SRC_CORPUS_ABC_CHORDS_H
#define ROWCALL_SRC_CORPUS_ABC_CHORDS_H

#include "corpus/abc/cursor.h"
#include "corpus/symbols.h"
#include "rowcall/music.h"

/// Ways of writing that are not in the standard and could mean something else: read where a file shows them often.
typedef enum {
  ABC_HABIT_SYMBOLS,     // `Cd`, `Ca`, `Fa7`; `D/f+`, which can mean one thing only, shows it too
  ABC_HABIT_CHORDS,      // notes at once as `+CEG+`
  ABC_HABIT_LATE_CHORDS, // a chord after the last note of a bar that begins there
  ABC_N_HABITS
} AbcHabit;

/// What is known of a file's habits.
typedef struct {
  guint met[ABC_N_HABITS];
  gboolean followed[ABC_N_HABITS];
} AbcHabits;

// ----------------------------------------------------------------------------------------------------------- words

typedef enum {
  ABC_WORD_NOTE,  // for the players: an annotation, section 4.19, or nothing
  ABC_WORD_JUMP,  // "D.C." and "Fine", as many books have them among the chords
  ABC_WORD_CHORD, // section 4.18
  ABC_WORD_BASS,  // "f#": a note for the bass alone
  ABC_WORD_OVER   // "/F#": the chord before over this bass
} AbcWordKind;

/// What a text in quotes is.
typedef struct {
  AbcWordKind kind;
  AbcText text; // without blanks at the ends
  guint jumps;  // set of RcJump
} AbcWord;

/// Returns whether an annotation holds a chord of more than a letter, as "^Am": by the standard it is none.
gboolean abc_hides_chord(AbcText text);

/// Sets @p word to what the text between quotes from @p start to @p end is.
void abc_read_word(const char *start, const char *end, AbcWord *word);

/// Returns whether a text in quotes that begins here is an annotation or empty.
gboolean abc_is_annotation(const char *text);

// --------------------------------------------------------------------------------------------------------- symbols

/// How the text of a chord symbol was read, where not as it is written.
typedef enum {
  ABC_READ_OPTIONAL = 1 << 0,   // "(D7)": a chord that may be left out
  ABC_READ_FIRST = 1 << 1,      // "G(Em)": the first of two
  ABC_READ_SHARP_BASS = 1 << 2, // "D/f+": as old collections write D/F#
  ABC_READ_HABIT = 1 << 3,      // "Cd": as a file with this habit means it
  ABC_READ_SMALL = 1 << 4,      // "bm": written small
  ABC_READ_WORDS = 1 << 5       // "Tutti": no chord
} AbcReading;

/// A chord symbol of the tune.
typedef struct {
  guint index;
  guint readings; // set of AbcReading
} AbcSymbol;

/// Finds the chord symbol that @p text means, and adds it to the tune where it is new. @p ascii says that the text is.
AbcSymbol abc_find_symbol(RcSymbols *symbols, const RcTune *tune, AbcText text, gboolean ascii, AbcHabits *habits);

/// Finds the symbol of @p chord, one of the tune, over another bass. FALSE where that is no chord.
gboolean abc_find_over_bass(RcSymbols *symbols, const RcTune *tune, guint chord, AbcText bass, guint *index);

// --------------------------------------------------------------------------------------------------- symbol lines

enum { ABC_MAX_SYMBOL_LINES = 8 };

/// Symbol lines below a line of music, and what is left of each; section 4.20.
typedef struct {
  AbcCursor lines[ABC_MAX_SYMBOL_LINES];
  guint n;
} AbcSymbolLines;

/// Finds the symbol lines below the line of music at @p cursor in a body that ends at @p end.
AbcSymbolLines abc_find_symbol_lines(const AbcCursor *cursor, const char *end);

/// Takes from a symbol line what it has for the next note: a text in quotes or, as a jump, a decoration. FALSE where it
/// has nothing.
gboolean abc_take_symbol(AbcCursor *line, AbcWord *word);

/// Moves the symbol lines that wait at a bar line past it.
void abc_pass_symbol_bars(AbcSymbolLines *lines);

#endif
