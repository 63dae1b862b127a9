// Copyright 2026 the rowcall developers
// SPDX-License-Identifier: MIT

// The melody of an ABC tune, where it is kept: for chords in another voice, or to be heard.

#ifndef ROWCALL_SRC_CORPUS_ABC_MELODY_H
#define ROWCALL_SRC_CORPUS_ABC_MELODY_H

#include "rowcall/music.h"

/// Gives each chord of @p tune the tones of the notes (AbcNote, in the order of their bars) that sound while it lasts.
void abc_attach_melody(RcTune *tune, const GArray *notes);

/// Keeps the melody to be heard: of notes at once the highest; tied notes are one.
void abc_keep_melody(RcTune *tune, const GArray *notes);

#endif
