// Copyright 2026 the rowcall developers
// SPDX-License-Identifier: MIT

// The symbols of a tune by their text. Most words of a repertoire are a few chords over and over: each is read once and
// remembered, and within a tune it keeps its index.

#ifndef ROWCALL_SRC_CORPUS_SYMBOLS_H
#define ROWCALL_SRC_CORPUS_SYMBOLS_H

#include "rowcall/music.h"

typedef struct RcSymbols RcSymbols;

#define RC_NO_SYMBOL G_MAXUINT

RcSymbols *rc_symbols_new(void);

void rc_symbols_free(RcSymbols *symbols);

/// Begins with an emptied @p tune.
void rc_symbols_start(RcSymbols *symbols, RcTune *tune, RcNames names);

/// Returns the index of the symbol written as @p text, added to the tune where it is new.
guint rc_symbols_index(RcSymbols *symbols, const char *text, gsize length);

/// Returns the same for a text of less than eight bytes, which @p packed holds as a number, the first the lowest byte;
/// RC_NO_SYMBOL where the text was not met before, in any tune.
guint rc_symbols_known(RcSymbols *symbols, const char *text, guint length, guint64 packed);

/// Returns the index of an unread symbol written as @p text, which elsewhere might be a chord.
guint rc_symbols_unread(RcSymbols *symbols, const char *text, gsize length);

/// Returns the index of the symbol that holds what was before.
guint rc_symbols_held(RcSymbols *symbols);

/// Returns whether a text that is no symbol was meant as one rather than as a word: it begins as a chord and goes on as
/// one, such as `Hx` and `Gmajx`, but not `Fine`, `Coda` or `D.C.`
gboolean rc_is_like_chord(const char *text, gsize length);

#endif
