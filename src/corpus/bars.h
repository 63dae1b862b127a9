// Copyright 2026 the rowcall developers
// SPDX-License-Identifier: MIT

// Bars written as text, "| Em . A7 | % | D | N.C. |", into a tune.

#ifndef ROWCALL_SRC_CORPUS_BARS_H
#define ROWCALL_SRC_CORPUS_BARS_H

#include "rowcall/error.h"
#include "rowcall/music.h"

typedef struct RcBarReader RcBarReader;

RcBarReader *rc_bar_reader_new(void);

void rc_bar_reader_free(RcBarReader *reader);

/// Prepares for the symbols of an emptied @p tune.
void rc_bar_reader_start(RcBarReader *reader, RcTune *tune, RcNames names);

/// Returns the place of the byte at @p offset of the text being read; never asked for an earlier one than before.
typedef RcPlace (*RcLocate)(gpointer data, gsize offset);

/// Appends the bars of @p text to the tune, as its newest part or a part of it. @p locate finds places with @p data. On
/// failure the tune holds bars that must not be used.
gboolean rc_bar_reader_read(RcBarReader *reader, const char *text, gsize length, RcLocate locate, gpointer data,
                            GError **error);

#endif
