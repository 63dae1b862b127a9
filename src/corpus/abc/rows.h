// Copyright 2026 the rowcall developers
// SPDX-License-Identifier: MIT

// Plain notes one after another, which are most of a tune: letters with signs of their octave, a digit or a single "/",
// and between them blanks, slurs and other signs that take no time. They are read all at once, as long as nothing is in
// force that changes them.

#ifndef ROWCALL_SRC_CORPUS_ABC_ROWS_H
#define ROWCALL_SRC_CORPUS_ABC_ROWS_H

#include "corpus/abc/cursor.h"
#include "corpus/abc/notes.h"

/// Returns whether a row may begin with this byte: a note that is written without accidental, or a sign between notes.
gboolean abc_may_begin_row(char c);

/// Reads a row up to the first note or sign that asks for more, and sets @p row to the time and tones of its notes;
/// without notes it takes no time. FALSE where there is none.
gboolean abc_read_row(AbcCursor *c, const AbcScale *scale, RcTicks unit, AbcNotes *row);

/// Reads @p n notes that are letters alone, and sets @p tones to what they sound. FALSE where others are written.
gboolean abc_read_letters(AbcCursor *c, const AbcScale *scale, guint n, RcPcSet *tones);

/// Returns the end of the first note of a row that begins at @p start and has one.
const char *abc_first_of_row(const char *start);

/// Returns the last note of a row that ends at @p end, without its pitch.
AbcNotes abc_last_of_row(const char *end, const AbcScale *scale, RcTicks unit);

#endif
