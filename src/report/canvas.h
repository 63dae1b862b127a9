// Copyright 2026 the rowcall developers
// SPDX-License-Identifier: MIT

// A surface of one of the picture formats that is drawn on in memory, with what it tells those who do not see it: a PDF
// is tagged, an SVG holds text as text, a title and a description, a PNG a title and a description.

#ifndef ROWCALL_SRC_REPORT_CANVAS_H
#define ROWCALL_SRC_REPORT_CANVAS_H

#include "rowcall/draw.h"
#include "rowcall/report.h"

/// The usual page: A4, in points.
enum { RC_PAGE_LONG = 842, RC_PAGE_SHORT = 595, RC_MARGIN = 42 };

typedef struct {
  GByteArray *bytes;
  RcPicture picture;
  double width;
  double height;
  cairo_surface_t *surface;
  cairo_t *cairo;       // units are points
  char *title;          // may be empty
  GString *description; // of the figures so far
  GString *written;     // the text of an SVG
  GPtrArray *entries;   // of a PDF; see rc_pdf_complete()
} RcCanvas;

/// Starts a picture of @p width by @p height points, or a PDF whose pages have that size. Its title is that of
/// @p imprint with @p found, unless it is NULL, so that every file has one of its own.
RcCanvas rc_canvas_start(RcPicture picture, double width, double height, const RcImprint *imprint, const char *found);

/// The role of what is not read at all: feet, rails, headings of pages that go on. Cairo marks artifacts from 1.18 on;
/// until then they are private parts.
#define RC_FURNITURE "Private"

/// Begins a part of the document as it is read aloud. @p role is a standard structure type of PDF, such as "H1", "P",
/// "Table", "TR", "TD", "Link", or #RC_FURNITURE. Parts are nested; what is drawn belongs into one that holds no other.
/// Nothing but in a PDF.
void rc_canvas_begin(RcCanvas *canvas, const char *role);

/// Ends the part begun last, which has this @p role.
void rc_canvas_end(RcCanvas *canvas, const char *role);

/// Begins a figure, to be ended as "Figure". @p text says what it shows.
void rc_canvas_begin_figure(RcCanvas *canvas, const char *text);

/// Begins a heading in a table, to be ended as "TH", of a "Row" or a "Column".
void rc_canvas_begin_heading(RcCanvas *canvas, const char *scope);

/// Draws text as rc_draw_text() does, flush left, in a part of its own: a title is an H1, a heading an H2, all else a
/// P. Returns its height.
double rc_canvas_text(RcCanvas *canvas, RcTextStyle style, double x, double y, double width, guint lines,
                      const char *text);

/// Ends the picture and returns its bytes, or NULL with @p error set when cairo failed anywhere on the way.
GBytes *rc_canvas_finish(RcCanvas *canvas, GError **error);

#endif
