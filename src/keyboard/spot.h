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

/// Reads the note that all of @p text is, as layouts write it.
gboolean rc_note_read(const char *text, RcNote *note);

#endif
