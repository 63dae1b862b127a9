// Copyright 2026 the rowcall developers
// SPDX-License-Identifier: MIT

// Watching over text on its way to a parser: bytes that are no text are noted with their place and replaced, so that
// one of them costs its own tune only.

#ifndef ROWCALL_SRC_CORPUS_CLEAN_H
#define ROWCALL_SRC_CORPUS_CLEAN_H

#include <glib.h>

typedef struct {
  guint line;   // from 0
  guint column; // from 1, in characters
  guint code;   // the byte, or the control character's number
  gboolean control;
} RcBadText;

typedef struct {
  guint line;   // of the next character, from 0
  guint column; // from 1
  GArray *bad;  // of RcBadText, in their order
} RcCleaner;

/// Returns the number of line ends in @p text.
guint rc_count_lines(const char *text, gsize length);

/// Starts at the beginning of @p line (from 0), with nothing noted.
void rc_cleaner_start(RcCleaner *cleaner, guint line);

void rc_cleaner_clear(RcCleaner *cleaner);

/// Goes through @p length bytes, puts `?` where they are no text, and returns how many it went through: fewer where a
/// character is cut off at the end, unless it is all there is.
gsize rc_cleaner_pass(RcCleaner *cleaner, char *bytes, gsize length);

/// Takes out what is noted before a place (line and column from 0) and sets @p first to the first of it; FALSE where
/// nothing is.
gboolean rc_cleaner_take(RcCleaner *cleaner, guint line, guint column, RcBadText *first);

#endif
