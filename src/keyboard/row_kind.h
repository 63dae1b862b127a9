// Copyright 2026 the rowcall developers
// SPDX-License-Identifier: MIT

// What a row is by its name, and how a button's tones make its sound.

#ifndef ROWCALL_SRC_KEYBOARD_ROW_KIND_H
#define ROWCALL_SRC_KEYBOARD_ROW_KIND_H

#include "rowcall/keyboard.h"

typedef struct {
  const char *name;
  RcSoundKind kind;
  int fifths;        // from the column's note to the button's root
  RcDegrees degrees; // what a button sounds above its root
} RcRowKind;

/// The names of all kinds of rows, NULL-terminated.
extern const char *const rc_row_names[];

/// Returns the kind of row called @p name, or NULL.
const RcRowKind *rc_row_kind(const char *name);

/// Returns the kind that @p degrees make, #RC_SOUND_OTHER where they make none.
RcSoundKind rc_sound_kind(RcDegrees degrees);

/// Returns the kind of button to which a chord of @p degrees is native, #RC_SOUND_DEAD where it is to none.
RcSoundKind rc_native_kind(RcDegrees degrees);

/// Returns the sound of @p degrees above @p root: @p kind while the tones still make that kind, else #RC_SOUND_OTHER.
RcSound rc_sound_make(RcSoundKind kind, RcNote root, RcDegrees degrees);

#endif
