// Copyright 2026 the rowcall developers
// SPDX-License-Identifier: MIT

#include "rowcall/draw.h"

#include <math.h>

enum { CLASSES = 9 };

// ColorBrewer 2.0, YlGnBu, nine classes.
static const guchar palette[CLASSES][3] = {
  { 255, 255, 217 }, { 237, 248, 177 }, { 199, 233, 180 }, { 127, 205, 187 }, { 65, 182, 196 },
  { 29, 145, 192 },  { 34, 94, 168 },   { 37, 52, 148 },   { 8, 29, 88 },
};

static void
find_colour(double shade, double colour[3])
{
  const double place = CLAMP(shade, 0, 1) * (CLASSES - 1);
  const guint below = MIN((guint)place, CLASSES - 2);
  const double part = place - below;
  for (guint i = 0; i < 3; ++i) {
    colour[i] = (palette[below][i] * (1 - part) + palette[below + 1][i] * part) / 255;
  }
}

void
rc_shade(cairo_t *cairo, double shade)
{
  double colour[3];
  find_colour(shade, colour);
  cairo_set_source_rgb(cairo, colour[0], colour[1], colour[2]);
}

// Relative luminance as WCAG 2.1 defines it.
static double
luminance(const double colour[3])
{
  static const double weights[3] = { 0.2126, 0.7152, 0.0722 };
  double sum = 0;
  for (guint i = 0; i < 3; ++i) {
    sum += weights[i] * (colour[i] <= 0.04045 ? colour[i] / 12.92 : pow((colour[i] + 0.055) / 1.055, 2.4));
  }
  return sum;
}

double
rc_shade_ink(double shade)
{
  double colour[3];
  if (shade < 0) {
    return 0;
  }
  find_colour(shade, colour);
  const double light = luminance(colour) + 0.05;
  return 1.05 / light > light / 0.05 ? 1 : 0; // the contrast ratios of white and of black
}

double
rc_verdict_shade(RcVerdict verdict)
{
  static const double classes[] = { 7, 6, 5, 4, 3, 2 };
  return verdict <= RC_BORROWED ? classes[verdict] / (CLASSES - 1) : -1;
}

const RcUseClass rc_use_classes[RC_USE_CLASSES] = {
  { 0, "never", { 255, 255, 255 }, 96 },  { 0, "under 1", { 237, 248, 177 }, 0 },
  { 0.01, "1–2", { 199, 233, 180 }, 0 },  { 0.02, "2–5", { 127, 205, 187 }, 0 },
  { 0.05, "5–10", { 47, 164, 194 }, 0 },  { 0.1, "10–20", { 34, 94, 168 }, 255 },
  { 0.2, "over 20", { 8, 29, 88 }, 255 },
};

guint
rc_use_class(double share)
{
  const double size = fabs(share);
  guint class = size > 0 ? 1 : 0;
  while (class && class + 1 < RC_USE_CLASSES && size >= rc_use_classes[class + 1].least) {
    ++class;
  }
  return class;
}
