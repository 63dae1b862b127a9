// Copyright 2026 the rowcall developers
// SPDX-License-Identifier: MIT

// What the use of a keyboard's buttons says, in words, for heatmaps and the report.

#ifndef ROWCALL_SRC_REPORT_HEAT_TEXT_H
#define ROWCALL_SRC_REPORT_HEAT_TEXT_H

#include "rowcall/report.h"

/// Returns the finding in one sentence without its full stop; a new string.
char *rc_heat_finding(const RcUse *use);

/// Returns what the drawing of @p use rests on and how it is read; a new string.
char *rc_heat_notes(const RcUse *use);

#endif
