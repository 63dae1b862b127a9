// Copyright 2026 the rowcall developers
// SPDX-License-Identifier: MIT

// Text that is written into an SVG as text, since cairo would draw the outlines of its letters.

#ifndef ROWCALL_SRC_DRAW_WRITTEN_H
#define ROWCALL_SRC_DRAW_WRITTEN_H

#include <pango/pangocairo.h>

/// Has all text for @p surface appended to @p svg, an element a line, in place of being drawn. @p svg must outlive the
/// surface.
void rc_text_written(cairo_surface_t *surface, GString *svg);

/// Returns whether text is written rather than drawn.
gboolean rc_text_is_written(cairo_t *cairo);

/// Shows @p layout, its top left corner at the current point: drawn, or written where rc_text_written() says so.
void rc_text_show(cairo_t *cairo, PangoLayout *layout);

#endif
