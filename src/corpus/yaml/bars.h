// Copyright 2026 the rowcall developers
// SPDX-License-Identifier: MIT

// Bars written as text, "| Em . A7 | % | D | N.C. |", into a tune.

#ifndef ROWCALL_SRC_CORPUS_YAML_BARS_H
#define ROWCALL_SRC_CORPUS_YAML_BARS_H

#include "corpus/yaml/mistakes.h"
#include "corpus/yaml/places.h"
#include "rowcall/error.h"
#include "rowcall/music.h"

typedef struct RcBarReader RcBarReader;

RcBarReader *rc_bar_reader_new(void);

void rc_bar_reader_free(RcBarReader *reader);

/// Prepares for the symbols of an emptied @p tune.
void rc_bar_reader_start(RcBarReader *reader, RcTune *tune, RcNames names);

enum { RC_BARS_AFTER = 8 }; // bytes that end a text

/// Appends to the tune the bars of the text at whose start @p cursor is, as its newest part or a part of it. The text
/// is ended by RC_BARS_AFTER bytes, the first of them NUL. What is wrong with them is added to @p mistakes,
/// one for a bar; the tune then holds bars that must not be used. Returns FALSE where a limit of the tune is reached,
/// as the last of its mistakes.
gboolean rc_bar_reader_read(RcBarReader *reader, RcCursor *cursor, RcMistakes *mistakes);

#endif
