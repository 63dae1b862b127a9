// Copyright 2026 the rowcall developers
// SPDX-License-Identifier: MIT

// The coverage chart.

#ifndef ROWCALL_SRC_REPORT_COVERAGE_PICTURE_H
#define ROWCALL_SRC_REPORT_COVERAGE_PICTURE_H

#include "rowcall/draw.h"
#include "rowcall/report.h"

#define RC_NONE_OWN G_MAXUINT

/// Returns the chart of @p comparison, in which the row of @p own stands out, #RC_NONE_OWN for none. Clear with
/// rc_coverage_chart_clear().
RcCoverageChart rc_coverage_chart(const RcComparison *comparison, guint own);

/// Frees what @p chart holds.
void rc_coverage_chart_clear(RcCoverageChart *chart);

/// Returns what @p chart shows, row by row, for those who do not see it; a new string.
char *rc_coverage_chart_text(const RcCoverageChart *chart);

#endif
