// Copyright 2026 the rowcall developers
// SPDX-License-Identifier: MIT

#include "rowcall/draw.h"

double
rc_draw_scale(cairo_t *cairo, double x, double y, double least, const char *low, const char *middle, const char *high,
              const char *what)
{
  enum { STEPS = 64, WIDTH = 180, HEIGHT = 9, LABEL = 60, WHAT = 320 };
  for (guint i = 0; i < STEPS; ++i) {
    rc_shade(cairo, least + (1 - least) * i / (STEPS - 1));
    cairo_rectangle(cairo, x + WIDTH * i / (double)STEPS, y, WIDTH / (double)STEPS + 0.3, HEIGHT);
    cairo_fill(cairo);
  }
  rc_draw_text(cairo, RC_TEXT_NOTE, RC_ALIGN_LEFT, x, y + HEIGHT + 2, LABEL, 1, low);
  rc_draw_text(cairo, RC_TEXT_NOTE, RC_ALIGN_CENTRE, x + (WIDTH - LABEL) / 2.0, y + HEIGHT + 2, LABEL, 1, middle);
  rc_draw_text(cairo, RC_TEXT_NOTE, RC_ALIGN_RIGHT, x + WIDTH - LABEL, y + HEIGHT + 2, LABEL, 1, high);
  rc_draw_text(cairo, RC_TEXT_NOTE, RC_ALIGN_LEFT, x + WIDTH + 12, y, WHAT, 2, what);
  return HEIGHT + 2 + rc_text_height(RC_TEXT_NOTE, LABEL, 1, low);
}
