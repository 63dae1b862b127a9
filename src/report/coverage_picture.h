// Copyright 2026 the rowcall developers
// SPDX-License-Identifier: MIT

// The coverage chart, and what it shows in words.

#ifndef ROWCALL_SRC_REPORT_COVERAGE_PICTURE_H
#define ROWCALL_SRC_REPORT_COVERAGE_PICTURE_H

#include "rowcall/draw.h"
#include "rowcall/report.h"

#define RC_NONE_CHOSEN G_MAXUINT

/// Returns "93 % of the playing time at grade D or better, and 27 of 51 tunes whole"; a new string.
char *rc_carried_text(const RcCounts *counts, RcVerdict accept);

/// Returns the finding in a sentence without its full stop: which layout carries the tunes; a new string.
char *rc_coverage_finding(const RcRoll *roll);

/// Returns what the chart rests on; a new string.
char *rc_coverage_notes(const RcRoll *roll, const RcIntake *intake);

/// Draws a bar for each layout of @p roll; a triangle points at @p chosen, #RC_NONE_CHOSEN for none.
void rc_coverage_draw(cairo_t *cairo, RcBox box, const RcRoll *roll, RcShare share, guint chosen);

#endif
