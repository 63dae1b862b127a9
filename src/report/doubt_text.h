// Copyright 2026 the rowcall developers
// SPDX-License-Identifier: MIT

// What is doubtful in a tune, as questions.

#ifndef ROWCALL_SRC_REPORT_DOUBT_TEXT_H
#define ROWCALL_SRC_REPORT_DOUBT_TEXT_H

#include "rowcall/study.h"

/// Returns the question that @p doubt of @p tune asks, such as "the melody has D natural over B: is Bm meant?"; a new
/// string.
char *rc_doubt_text(const RcTune *tune, const RcDoubt *doubt, RcSigns signs);

/// Returns the doubts of @p tune with their bars, such as "bar 3 (A): the melody ...", and where @p in_file is set with
/// their places in the file before them, "waltzes.abc:12:5, ": an array of char *, to be freed with
/// g_ptr_array_unref().
GPtrArray *rc_doubt_texts(const RcTune *tune, gboolean in_file, RcSigns signs);

#endif
