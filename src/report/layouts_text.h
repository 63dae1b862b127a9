// Copyright 2026 the rowcall developers
// SPDX-License-Identifier: MIT

// What chord buttons sound, in words.

#ifndef ROWCALL_SRC_REPORT_LAYOUTS_TEXT_H
#define ROWCALL_SRC_REPORT_LAYOUTS_TEXT_H

#include "rowcall/report.h"

/// Returns the tones of one seventh and one diminished button, of which makes differ, and of one of each other odd
/// kind; empty where there is none. A new string.
char *rc_layout_sounds_text(const RcLayout *layout, RcSigns signs);

#endif
