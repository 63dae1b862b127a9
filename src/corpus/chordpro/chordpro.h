// Copyright 2026 the rowcall developers
// SPDX-License-Identifier: MIT

// Songs, ChordPro and chords over words as people type them: what the parts of their reader share. reader.c goes from
// line to line (input.h); brackets.c, lines.c and grids.c read lines with chords, labels.c those that name parts;
// chords.c knows what a chord is. What a song says of itself is its heading (heading.h), in which order it is played
// its form (form.h); directives in braces (directives.h) change either.

#ifndef ROWCALL_SRC_CORPUS_CHORDPRO_CHORDPRO_H
#define ROWCALL_SRC_CORPUS_CHORDPRO_CHORDPRO_H

#include "rowcall/error.h"
#include "rowcall/music.h"
#include "corpus/symbols.h"
#include "corpus/unroll.h"

/// A song as it is read.
typedef struct {
  RcTune *tune;
  RcSymbols *symbols;
  GArray *marks; // of RcBarMarks, beside the tune's bars
  const char *file;
  guint line;
  const char *text;    // of the line; set by cp_start_line()
  const char *from;    // where its words begin, after a label
  const char *counted; // a place in it, and its column, from 1
  guint column;
  RcNames names;     // of the notes as written
  RcSetting setting; // in force, as it sounds
  guint setting_index;
  int shift;         // semitones that chords sound higher than they are written
  guint64 endings;   // for the next bar of a grid
  gboolean opens;    // a repeat begins with it
  gboolean two_bars; // it is the second of two that are repeated
  gboolean keeps_words;
  const char *label;  // of the part that begins with the next line of words; NULL where none does
  gboolean bracketed; // it has chords in brackets
  const char *words;  // the first in brackets that are no chord, owned by the tune; NULL: there are none
  RcPlace words_at;
  gboolean round;   // some in round ones
  guint64 remarked; // set of RcRemarkKind
} CpSong;

/// Begins with a line.
void cp_start_line(CpSong *song, const char *text, guint line);

/// Returns the column of a byte of the line, from 1.
guint cp_column(const CpSong *song, const char *at);

/// A stretch of text.
typedef struct {
  const char *at;
  const char *end;
} CpText;

// ----------------------------------------------------------------------------------------------------------- chords

/// Returns the symbol of a chord as it sounds, with the English names of notes. A chord in round brackets may be left
/// out by players; it counts.
guint cp_symbol(CpSong *song, CpText text);

/// Finds the symbol of the chord before over another bass, where a text is a bass alone, `/F#`.
gboolean cp_over_bass(CpSong *song, CpText text, guint *symbol);

/// Returns whether a text is a chord symbol.
gboolean cp_is_chord(const CpSong *song, CpText text);

/// Returns whether a text is several chords one after another, as `D-Dsus`.
gboolean cp_is_chords(const CpSong *song, CpText text);

/// Takes the next chord from a text of several; FALSE at its end.
gboolean cp_next_piece(CpText *rest, CpText *piece);

/// Returns whether a text that is no chord was meant as one rather than as a word.
gboolean cp_is_like_chord(CpText text);

/// Returns whether a word is one of English that is spelled as a chord is; the letter A is one too, but seldom alone.
gboolean cp_is_weak(CpText word);

/// Returns whether a text is a chord whose root is named as in do re mi: `Sol7`, `Do`.
gboolean cp_is_syllable(CpText text);

/// Adds a chord, or several; FALSE where the text is none.
gboolean cp_add_chords(CpSong *song, CpText text, guint over);

/// Returns whether a text is a chord that is written small: "em" is E minor. What a small letter alone means, D or D
/// minor, nobody can know: it is one, and unread.
gboolean cp_is_small_chord(const CpSong *song, CpText text);

/// Adds such a chord; FALSE where the text is none.
gboolean cp_add_small_chord(CpSong *song, CpText text, guint over);

/// Adds a chord, found at a byte of the line, over a letter of its words.
void cp_add_event(CpSong *song, guint symbol, const char *at, RcTicks length, guint over);

/// Makes a bar of the events from @p first on, if there are any. FALSE with an error where the song gets too long.
gboolean cp_add_bar(CpSong *song, guint first, const char *at, GError **error);

/// Sets an error, found at a byte of the line, where the song is too long for a tune.
gboolean cp_check_limits(const CpSong *song, const char *at, GError **error);

/// Notes that key, meter or tempo have changed.
void cp_change_setting(CpSong *song);

/// Returns whether this is the first remark of its kind on the song.
gboolean cp_is_news(CpSong *song, RcRemarkKind kind);

/// Returns the beginning of a text as a message shows it, a new string.
char *cp_shown(CpText text);

/// Sets an error at a byte of the line and returns FALSE.
gboolean cp_fail(const CpSong *song, const char *at, RcErrorCode code, const char *message, GError **error);

static inline gboolean
cp_is_blank(char c)
{
  return c == ' ' || c == '\t' || c == '\r';
}

// ------------------------------------------------------------------------------------------------------------ lines

/// Reads a line of a grid: bars of equal cells.
gboolean cp_read_grid(CpSong *song, GError **error);

/// Returns whether a line has chords in brackets: square ones, or round ones, `(G)Down by the (C)weir`. Two round ones,
/// or one that a word touches, are none that the words themselves have.
gboolean cp_has_brackets(const CpSong *song, const char *line);

/// Counts the chords in brackets of either kind that a word touches.
guint cp_count_touching(const CpSong *song, const char *line);

/// Notes a chord in round brackets that is read as words, if the line has one.
void cp_remark_lone_bracket(CpSong *song, const char *line);

/// Reads a line of words with chords in brackets: a bar without length.
gboolean cp_read_words(CpSong *song, GError **error);

/// Makes a bar of the events from @p first on, sung to these words.
gboolean cp_add_line(CpSong *song, guint first, const char *words, GError **error);

/// Returns whether most words of a line are chords.
gboolean cp_is_line_of_chords(const CpSong *song, const char *line);

/// Reads a line of chords, the song's line, over @p words, which are empty where nothing is sung to them.
gboolean cp_read_chords(CpSong *song, const char *words, GError **error);

/// Keeps a line of words without chords.
void cp_keep_line(CpSong *song, const char *words);

// ----------------------------------------------------------------------------------------------------------- labels

/// A label of a part of a song, as singers write it: "Chorus", "[Verse 2]", "Intro x2:".
typedef struct {
  char *text;  ///< without what is around it; NULL: there is none
  gsize name;  ///< bytes of it without "x2"
  guint times; ///< the part is sung so often
} CpLabel;

/// Takes a label from the start of a line; returns what is after it.
const char *cp_take_label(const char *line, CpLabel *label);

/// Returns the label that the text of a comment is.
CpLabel cp_comment_label(const char *text);

/// Returns how many bytes at the beginning of a line say that it lists what is no music, "Chords:", "Tuning"; 0 where
/// none do.
gsize cp_list_label(const char *line);

/// Returns how often a line is sung that ends in "x2", "(x2)" or "2x"; 1 where it does not.
guint cp_times(const char *line);

#endif
