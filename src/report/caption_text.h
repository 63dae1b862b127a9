// Copyright 2026 the rowcall developers
// SPDX-License-Identifier: MIT

// What a drawing of a keyboard shows, in words.

#ifndef ROWCALL_SRC_REPORT_CAPTION_TEXT_H
#define ROWCALL_SRC_REPORT_CAPTION_TEXT_H

#include "rowcall/keyboard.h"

/// Returns the names of the buttons of @p layout that are marked to be felt, such as "C and E", empty where none is; a
/// new string.
char *rc_felt_names(const RcLayout *layout);

/// Returns what the names and marks on a drawing of @p layout mean; a new string.
char *rc_names_caption(const RcLayout *layout);

/// Returns what the drawing of @p layout shows, in sentences: where bellows and chin are, which buttons are ringed or
/// crossed out, what the names on the buttons mean. It speaks only of what is there. A new string.
char *rc_keyboard_caption(const RcLayout *layout);

#endif
