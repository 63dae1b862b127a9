// Copyright 2026 the rowcall developers
// SPDX-License-Identifier: MIT

// A surface of one of the picture formats that is drawn on in memory.

#ifndef ROWCALL_SRC_REPORT_CANVAS_H
#define ROWCALL_SRC_REPORT_CANVAS_H

#include "rowcall/report.h"

#include <cairo.h>

/// The usual page: A4, in points.
enum { RC_PAGE_LONG = 842, RC_PAGE_SHORT = 595, RC_MARGIN = 42 };

typedef struct {
  GByteArray *bytes;
  RcPicture picture;
  cairo_surface_t *surface;
  cairo_t *cairo; // units are points
} RcCanvas;

/// Starts a picture of @p width by @p height points, or a PDF whose pages have that size.
RcCanvas rc_canvas_start(RcPicture picture, double width, double height, const RcImprint *imprint);

/// Ends the picture and returns its bytes, or NULL with @p error set when cairo failed anywhere on the way.
GBytes *rc_canvas_finish(RcCanvas *canvas, GError **error);

#endif
