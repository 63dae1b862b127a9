// Copyright 2026 the rowcall developers
// SPDX-License-Identifier: MIT

// The landscape of all sizes as a figure within a page.

#ifndef ROWCALL_SRC_REPORT_SIZES_PICTURE_H
#define ROWCALL_SRC_REPORT_SIZES_PICTURE_H

#include "rowcall/draw.h"
#include "rowcall/report.h"

/// How the landscape is read.
extern const char rc_landscape_words[];

/// Returns the height of the landscape with @p across panels in a line.
double rc_landscape_height(const RcSwept *swept, guint across);

/// Draws a panel for each set of rows.
void rc_landscape_draw(cairo_t *cairo, RcBox box, guint across, const RcSwept *swept);

#endif
