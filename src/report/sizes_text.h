// Copyright 2026 the rowcall developers
// SPDX-License-Identifier: MIT

// The sizes there could be, in words.

#ifndef ROWCALL_SRC_REPORT_SIZES_TEXT_H
#define ROWCALL_SRC_REPORT_SIZES_TEXT_H

#include "rowcall/report.h"

/// Returns the name of column @p column of the full keyboard; a constant.
const char *rc_swept_column(const RcSwept *swept, guint column, RcSigns signs);

/// Returns the names of a set of rows, separated by commas; a new string.
char *rc_swept_rows_text(const RcSwept *swept, guint rows);

/// Returns "48 buttons: 8 columns Eb to E"; a new string.
char *rc_swept_size_text(const RcSwept *swept, const RcSize *size, RcSigns signs);

/// Returns the answer in a sentence without its full stop; a new string.
char *rc_swept_finding(const RcSwept *swept, RcSigns signs);

#endif
