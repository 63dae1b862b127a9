// Copyright 2026 the rowcall developers
// SPDX-License-Identifier: MIT

// Chords without a button of their own, in words.

#ifndef ROWCALL_SRC_REPORT_LACK_TEXT_H
#define ROWCALL_SRC_REPORT_LACK_TEXT_H

#include "rowcall/study.h"

/// Returns "A♭7", or "A♭7 = G♯7" where the tunes write both; no line should break within it. A new string.
char *rc_lack_name(const RcLack *lack, RcSigns signs);

/// Appends the names of at most @p most chords that keyboard @p index of @p roll does not give at the accepted grade,
/// somewhere or anywhere, those it does not give for longest first; sets @p left to the number of the others.
void rc_append_unplayable(GString *text, const RcRoll *roll, guint index, RcSigns signs, guint most, guint *left);

/// Returns how what is pressed differs: "adds A; without F♯; in other keys"; empty where it does not. A new string.
char *rc_lack_sound(const RcLack *lack);

/// Returns what to press and how it differs; a new string.
char *rc_lack_text(const RcLayout *layout, const RcLack *lack);

/// Returns where this grip holds among others of the chord, such as "in other keys"; empty where it is the only one. A
/// constant.
const char *rc_lack_where(const RcLack *lack);

#endif
