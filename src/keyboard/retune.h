// Copyright 2026 the rowcall developers
// SPDX-License-Identifier: MIT

// Single buttons that sound something other than their row and column say, or nothing.

#ifndef ROWCALL_SRC_KEYBOARD_RETUNE_H
#define ROWCALL_SRC_KEYBOARD_RETUNE_H

#include "keyboard/spot.h"

/// Has a button of @p layout sound so, in the directions of @p spot. The entries of other buttons may move.
void rc_retune(RcLayout *layout, RcSpot spot, RcSound sound);

/// Silences the button that @p text names, for an error at @p place.
gboolean rc_silence(RcLayout *layout, const char *text, RcPlace place, GError **error);

/// Reads what a button sounds: `B` a bass note, `B minor` a chord of a row's kind, `B 1 5` these tones above B.
gboolean rc_sound_parse(const char *text, RcSound *sound);

#endif
