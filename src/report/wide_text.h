// Copyright 2026 the rowcall developers
// SPDX-License-Identifier: MIT

// Grips that stretch the hand beyond comfort, in words.

#ifndef ROWCALL_SRC_REPORT_WIDE_TEXT_H
#define ROWCALL_SRC_REPORT_WIDE_TEXT_H

#include "report/json_text.h"
#include "rowcall/report.h"

/// Returns "Bm as B bass (counterbass of G) + D major, 61 mm, 14 times in 5 tunes; ..." of the first @p most of the
/// @p n @p grips of @p layout, and how many more there are; empty where there is none. A new string.
char *rc_wide_text(const RcLayout *layout, const RcWideGrip *grips, guint n, guint most);

/// Appends what of the @p n @p grips stretches the hand on @p layout, with a word of care; nothing where there is none.
void rc_append_wide(GString *out, const RcLayout *layout, const RcWideGrip *grips, guint n);

/// Appends the member "wide": an array of the @p n @p grips.
void rc_json_wide(GString *json, const RcLayout *layout, const RcWideGrip *grips, guint n);

#endif
