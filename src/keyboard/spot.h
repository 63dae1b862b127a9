// Copyright 2026 the rowcall developers
// SPDX-License-Identifier: MIT

// Buttons as texts name them: in layout files, in offers, on the command line.

#ifndef ROWCALL_SRC_KEYBOARD_SPOT_H
#define ROWCALL_SRC_KEYBOARD_SPOT_H

#include "rowcall/error.h"
#include "rowcall/keyboard.h"

/// A button of a layout.
typedef struct {
  guint index;       ///< of its first entry
  RcBellows bellows; ///< the directions meant
} RcSpot;

/// Finds the button that @p text names, for an error at @p place: by its row and its column, `minor B`, perhaps in one
/// direction of the bellows alone, `bass E pull`. NULL is no name.
gboolean rc_spot_find(const RcLayout *layout, const char *text, RcPlace place, RcSpot *spot, GError **error);

/// As rc_spot_find(), but also by the usual name of a chord, `A7`, where one button has it to itself; one that sounds
/// it in one direction is meant in that one. A note alone is a bass as well as a chord. A dead button is what it would
/// sound.
gboolean rc_spot_find_called(const RcLayout *layout, const char *text, RcPlace place, RcSpot *spot, GError **error);

/// Returns how rc_spot_find() is told of @p spot, such as `seventh A`; a new string.
char *rc_spot_name(const RcLayout *layout, RcSpot spot);

/// Reads the note that all of @p text is, as layouts write it.
gboolean rc_note_read(const char *text, RcNote *note);

#endif
