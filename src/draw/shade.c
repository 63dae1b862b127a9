// Copyright 2026 the rowcall developers
// SPDX-License-Identifier: MIT

#include "rowcall/draw.h"

enum { CLASSES = 9 };

// ColorBrewer 2.0, YlGnBu, nine classes.
static const guchar palette[CLASSES][3] = {
  { 255, 255, 217 }, { 237, 248, 177 }, { 199, 233, 180 }, { 127, 205, 187 }, { 65, 182, 196 },
  { 29, 145, 192 },  { 34, 94, 168 },   { 37, 52, 148 },   { 8, 29, 88 },
};

void
rc_shade(cairo_t *cairo, double shade)
{
  const double place = CLAMP(shade, 0, 1) * (CLASSES - 1);
  const guint below = MIN((guint)place, CLASSES - 2);
  const double part = place - below;
  double colour[3];
  for (guint i = 0; i < 3; ++i) {
    colour[i] = (palette[below][i] * (1 - part) + palette[below + 1][i] * part) / 255;
  }
  cairo_set_source_rgb(cairo, colour[0], colour[1], colour[2]);
}

double
rc_verdict_shade(RcVerdict verdict)
{
  static const double classes[] = { 7, 6, 5, 4, 3, 2 };
  return verdict <= RC_BORROWED ? classes[verdict] / (CLASSES - 1) : -1;
}
