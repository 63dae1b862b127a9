// Copyright 2026 the rowcall developers
// SPDX-License-Identifier: MIT

// Bar lines of ABC, repeats and endings among them; sections 4.8 to 4.10.

#ifndef ROWCALL_SRC_CORPUS_ABC_LINES_H
#define ROWCALL_SRC_CORPUS_ABC_LINES_H

#include "corpus/abc/cursor.h"

/// A bar line as written.
typedef struct {
  guint closes;    // colons before it: one for a repeat that is played twice
  gboolean breaks; // it is double or thick
  guint opens;     // colons after it
  guint64 endings; // bit n: an ending for the nth time begins after it
} AbcBarLine;

/// Returns whether a bar line that only ends a bar is here: a single one that what follows shows to be no more.
gboolean abc_is_plain_line(const char *at);

/// Reads any of | || [| |] |: :| :: :|: with more colons for more times, and an ending's numbers after it, into @p
/// line.
void abc_read_bar_line(AbcCursor *c, AbcBarLine *line);

/// Reads an ending's numbers that begin a bar without a line, "[1", and returns them as the bar line has them.
guint64 abc_read_ending(AbcCursor *c);

#endif
