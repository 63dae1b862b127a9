// Copyright 2026 the rowcall developers
// SPDX-License-Identifier: MIT

// The form of a song: its parts, which of them singers have labelled, and the order they are played in, as lines ask
// for it that are read one after another.

#ifndef ROWCALL_SRC_CORPUS_CHORDPRO_FORM_H
#define ROWCALL_SRC_CORPUS_CHORDPRO_FORM_H

#include "corpus/chordpro/chordpro.h"

/// What the lines of a section are.
typedef enum { CP_IN_WORDS, CP_IN_GRID, CP_IN_TAB } CpEnvironment;

/// Bars that are played one after another.
typedef struct {
  guint first;
  guint end;
} CpBars;

/// A part that singers have labelled, "Chorus".
typedef struct {
  const char *label; // owned by the tune
  CpBars bars;
  guint line;     // of the label
  gboolean blank; // a blank line follows it
} CpLabelled;

typedef struct {
  CpEnvironment environment;
  guint part;         // first bar of the part being read
  char *label;        // of it; NULL: it has none
  CpLabelled current; // the labelled part being read, if any
  guint times;        // it is played so often
  gboolean in_label;  // there is one
  gboolean fresh;     // nothing but a blank line has followed its label
  GArray *labelled;   // of CpLabelled, those before that have bars
  CpBars chorus;      // the last {start_of_chorus}
  GArray *played;     // of CpBars, what was read, in playing order
  guint unplayed;     // first bar of what is not yet there
} CpForm;

/// Starts a song. A form that is all zero takes room, another keeps it.
void cp_form_start(CpForm *form);

/// Frees what @p form holds.
void cp_form_clear(CpForm *form);

/// Begins a labelled part; takes the label over. What "x2" says is its times, and no part of its name.
void cp_form_label(CpForm *form, CpSong *song, CpLabel label);

/// Words or chords follow: they are what the label before them names, or, after a blank line, a part without one.
void cp_form_words(CpForm *form, CpSong *song);

/// A part ends at a blank line.
void cp_form_blank(CpForm *form, CpSong *song);

/// Plays the bars from @p first on, those of a line, as often as the "x2" at its end says.
void cp_form_repeat(CpForm *form, CpSong *song, guint first, const char *line);

/// Begins a section, as {start_of_chorus: Refrain} has a name and a value, which may be empty.
void cp_form_start_section(CpForm *form, CpSong *song, const char *name, const char *value);

/// Ends the section of this name.
void cp_form_end_section(CpForm *form, CpSong *song, const char *name);

/// Plays the chorus again, if it is written before, as often as the value of {chorus} says.
void cp_form_recall_chorus(CpForm *form, CpSong *song, const char *value);

/// Ends the song: names its parts and sets the order in which its bars are played. FALSE with an error where they are
/// too many.
gboolean cp_form_end(CpForm *form, CpSong *song, GError **error);

#endif
