// Copyright 2026 the rowcall developers
// SPDX-License-Identifier: MIT

// The keyboard with the use of its buttons as a picture.

#include "report/heat_text.h"

#include "report/canvas.h"
#include "report/format.h"
#include "rowcall/draw.h"

#include <math.h>

GBytes *
rc_report_heat_picture(const RcUse *use, const RcRoll *roll, RcPicture picture, const RcImprint *imprint,
                       GError **error)
{
  enum { GAP = 12, SCALE_HEIGHT = 24 };
  const double width = RC_PAGE_LONG - 2 * RC_MARGIN;
  char *finding = rc_heat_finding(use);
  char *timing = rc_timing_text(roll);
  char *notes = rc_heat_notes(use);
  char *text = g_strconcat(notes, " ", timing, NULL);
  const double head =
    rc_text_height(RC_TEXT_TITLE, width, 3, finding) + 4 + rc_text_height(RC_TEXT_BODY, width, 0, text);
  const double keyboard = rc_keyboard_height(use->layout, width, use->played > 0);
  RcCanvas canvas = rc_canvas_start(picture, RC_PAGE_LONG,
                                    ceil(head + keyboard) + 2 * GAP + SCALE_HEIGHT + 2 * RC_MARGIN, imprint, finding);
  double y = RC_MARGIN;
  y += rc_canvas_text(&canvas, RC_TEXT_TITLE, RC_MARGIN, y, width, 3, finding) + 4;
  y += rc_canvas_text(&canvas, RC_TEXT_BODY, RC_MARGIN, y, width, 0, text) + GAP;
  rc_draw_keyboard(canvas.cairo, (RcBox){ RC_MARGIN, y, width, keyboard }, use->layout, use->played ? use : NULL);
  if (use->played) {
    rc_draw_use_scale(canvas.cairo, RC_MARGIN, y + keyboard + GAP, use);
  }
  cairo_show_page(canvas.cairo);
  g_free(finding);
  g_free(timing);
  g_free(notes);
  g_free(text);
  return rc_canvas_finish(&canvas, error);
}
