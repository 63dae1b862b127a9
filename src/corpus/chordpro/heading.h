// Copyright 2026 the rowcall developers
// SPDX-License-Identifier: MIT

// What a song says of itself: its title, key, time, tempo, capo and transpositions, in directives or as people type it
// without braces.

#ifndef ROWCALL_SRC_CORPUS_CHORDPRO_HEADING_H
#define ROWCALL_SRC_CORPUS_CHORDPRO_HEADING_H

#include "corpus/chordpro/chordpro.h"

typedef struct {
  char *title; // the first one; NULL: none is stated
  RcKey key;   // as written
  int capo;
  GArray *moves; // of int: transpositions, the one in force last
} CpHeading;

/// Starts a song. A heading that is all zero takes room, another keeps it.
void cp_heading_start(CpHeading *heading);

/// Frees what @p heading holds.
void cp_heading_clear(CpHeading *heading);

/// Returns whether a directive is one of a heading.
gboolean cp_is_heading(const char *name);

/// Reads a directive, and sets what is in force in @p song from there on; one that is none of a heading says nothing.
/// An empty value is no mistake, but a form that was not filled in. FALSE where the value makes no sense, with an error
/// that has no place.
gboolean cp_read_heading(CpHeading *heading, CpSong *song, const char *name, const char *value, GError **error);

/// Reads a line such as "Key: D", "Capo 2", "q=72", "Key: D  Capo: 2" above the chords of @p song. FALSE where it, or
/// part of it, is words; a remark says so of a value that makes no sense.
gboolean cp_read_facts(CpHeading *heading, CpSong *song, const char *text);

/// Reads the facts that follow a title on its line: "The Weir   (Capo 2)   3/4". Returns how many bytes of @p text are
/// before them.
gsize cp_read_last_facts(CpHeading *heading, CpSong *song, const char *text);

#endif
