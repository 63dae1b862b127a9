// Copyright 2026 the rowcall developers
// SPDX-License-Identifier: MIT

// The chart of all sizes as a figure within a page.

#ifndef ROWCALL_SRC_REPORT_SIZES_PICTURE_H
#define ROWCALL_SRC_REPORT_SIZES_PICTURE_H

#include "report/canvas.h"

/// How the chart is read.
extern const char rc_size_chart_words[];

/// Draws the chart of @p swept as a figure, its top left corner at the place of @p box.
void rc_size_chart_draw(RcCanvas *canvas, RcBox box, const RcSwept *swept);

#endif
