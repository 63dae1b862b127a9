// Copyright 2026 the rowcall developers
// SPDX-License-Identifier: MIT

#ifndef ROWCALL_SRC_SOUND_MIDI_H
#define ROWCALL_SRC_SOUND_MIDI_H

#include "rowcall/sound.h"

/// Returns @p score as a Standard MIDI File.
GBytes *rc_midi_file(const RcScore *score);

#endif
