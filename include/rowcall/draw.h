// Copyright 2026 the rowcall developers
// SPDX-License-Identifier: MIT

/// @file draw.h
/// Figures and text on a cairo context. Nothing here knows of files, options or pages: a figure fills the box it is
/// given. Lengths are in points (1/72 inch), y grows downwards.

#ifndef ROWCALL_DRAW_H
#define ROWCALL_DRAW_H

#include "rowcall/coverage.h"

#include <cairo.h>

G_BEGIN_DECLS

/// A box on the page.
typedef struct {
  double x;
  double y;
  double width;
  double height;
} RcBox;

/// The type scale.
typedef enum {
  RC_TEXT_TITLE,
  RC_TEXT_HEADING,
  RC_TEXT_BODY,
  RC_TEXT_STRONG, ///< body size, bold
  RC_TEXT_NOTE
} RcTextStyle;

/// Where text stands in its width.
typedef enum { RC_ALIGN_LEFT, RC_ALIGN_CENTRE, RC_ALIGN_RIGHT } RcAlign;

/// Draws @p text (UTF-8) in black with its top left corner at @p x, @p y, wrapped to @p width. Returns its height.
double rc_draw_text(cairo_t *cairo, RcTextStyle style, RcAlign align, double x, double y, double width,
                    const char *text);

/// As rc_draw_text() on one line, shortened with an ellipsis where it is wider than @p width.
double rc_draw_line(cairo_t *cairo, RcTextStyle style, RcAlign align, double x, double y, double width,
                    const char *text);

/// Draws @p text centred on @p x, @p y in @p points or smaller, so that it is at most @p width wide, black or white,
/// whichever reads better on @p shade (see rc_shade()).
void rc_draw_label(cairo_t *cairo, double points, double x, double y, double width, double shade, const char *text);

/// Sets the colour of @p shade, 0 (palest) to 1 (darkest), of the one sequential scale of all figures: ColorBrewer's
/// YlGnBu with nine classes, between which it is interpolated. It is safe for colour-blind eyes and falls evenly in
/// grey.
void rc_shade(cairo_t *cairo, double shade);

/// Returns the shade in which @p verdict is drawn; negative for verdicts drawn without colour.
double rc_verdict_shade(RcVerdict verdict);

/// One bar of a coverage chart.
typedef struct {
  const char *name;             ///< of the layout
  const char *title;            ///< a line that describes it
  const char *note;             ///< what stands at the bar's end
  double shares[RC_N_VERDICTS]; ///< 0 to 1, adding up to 1 or all 0
} RcCoverageBar;

/// Draws stacked bars, one a layout, with direct labels and a scale of percent. @p what heads the scale, @p
/// note_heading the notes.
void rc_draw_coverage(cairo_t *cairo, RcBox box, const RcCoverageBar *bars, guint n_bars, const char *what,
                      const char *note_heading);

/// Returns the height of a keyboard drawn by rc_draw_keyboard() at @p width, without and with its totals.
double rc_keyboard_height(const RcLayout *layout, double width, gboolean totals);

/// Draws @p layout to scale, the flat end left and the bellows on top, with the names on its buttons and the C, E and
/// A flat of the fundamental row ringed, as they are marked to be felt. @p use may be NULL; else buttons are shaded by
/// the time they are held and carry its percentage, and rows and columns their totals.
void rc_draw_keyboard(cairo_t *cairo, RcBox box, const RcLayout *layout, const RcUse *use);

G_END_DECLS

#endif
