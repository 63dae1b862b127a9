// Copyright 2026 the rowcall developers
// SPDX-License-Identifier: MIT

// The place up to which the body of an ABC tune is read. Every line ends with a line feed, or the last with a zero
// byte, and no other zero byte is in the text, so that nothing needs to ask where the text ends before it looks at the
// next byte.

#ifndef ROWCALL_SRC_CORPUS_ABC_CURSOR_H
#define ROWCALL_SRC_CORPUS_ABC_CURSOR_H

#include "corpus/abc/text.h"
#include "rowcall/error.h"

typedef struct {
  const char *at;      // the next byte to read
  const char *line;    // where its line starts
  guint number;        // of the line in the file, from 1
  gboolean ascii;      // a character is a byte
  const char *counted; // up to where characters of the line are counted
  guint characters;
  const char *file;
} AbcCursor;

/// A place in the file; line 0: none.
typedef struct {
  guint line;
  guint column; // in characters, from 1
} AbcPlace;

/// Moves the cursor to the start of the line with this number.
void abc_start_line(AbcCursor *c, const char *line, guint number);

/// Counts the characters of the cursor's line before @p at, at or after those asked for before on this line.
guint abc_count_characters(AbcCursor *c, const char *at);

/// Returns the place of @p at on the cursor's line, as abc_count_characters().
static inline AbcPlace
abc_place(AbcCursor *c, const char *at)
{
  const guint before = c->ascii ? (guint)(at - c->line) : abc_count_characters(c, at);
  return (AbcPlace){ c->number, before + 1 };
}

/// Sets an error that names a place on the cursor's line, and returns FALSE.
gboolean abc_fail(AbcCursor *c, const char *at, RcErrorCode code, const char *message, GError **error);

/// Returns whether a byte ends a line.
static inline gboolean
abc_ends_line(char c)
{
  return c == '\n' || c == '\0';
}

static inline gboolean
abc_is_blank(char c)
{
  return c == ' ' || c == '\t';
}

/// Returns the end of the line that @p at is on.
const char *abc_line_end(const char *at);

/// Moves past the next @p close on this line, or to the line's end.
void abc_skip_past(AbcCursor *c, char close);

/// Reads a number, 0 where there is none, and returns how many digits it has. Large ones are cut.
gsize abc_read_digits(AbcCursor *c, guint *number);

#endif
