// Copyright 2026 the rowcall developers
// SPDX-License-Identifier: MIT

// The coverage chart.

#ifndef ROWCALL_SRC_REPORT_COVERAGE_PICTURE_H
#define ROWCALL_SRC_REPORT_COVERAGE_PICTURE_H

#include "rowcall/draw.h"
#include "rowcall/report.h"

#define RC_NONE_CHOSEN G_MAXUINT

/// Draws a bar for each keyboard of @p comparison; a triangle points at @p chosen, #RC_NONE_CHOSEN for none.
void rc_coverage_draw(cairo_t *cairo, RcBox box, const RcComparison *comparison, RcShare share, guint chosen);

#endif
