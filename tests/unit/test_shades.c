// Copyright 2026 the rowcall developers
// SPDX-License-Identifier: MIT

// Shades that can be read and told apart: by the contrast formula of WCAG 2.2, in grey, and as seen by colour-blind
// eyes after the matrices of G. M. Machado, M. M. Oliveira, L. A. F. Fernandes (2009), A physiologically-based model
// for simulation of color vision deficiency, IEEE Trans. Visualization and Computer Graphics 15(6), severity 1.0,
// applied to linear RGB (the numbers are from memory).

#undef NDEBUG

#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>

#include <cmocka.h>

#include "rowcall/draw.h"

#include <math.h>

enum { GRADES = RC_BORROWED + 1 };

static const double eyes[][3][3] = {
  { { 1, 0, 0 }, { 0, 1, 0 }, { 0, 0, 1 } },
  { { 0.152286, 1.052583, -0.204868 }, { 0.114503, 0.786281, 0.099216 }, { -0.003882, -0.048116, 1.051998 } },
  { { 0.367322, 0.860646, -0.227968 }, { 0.280085, 0.672501, 0.047413 }, { -0.011820, 0.042940, 0.968881 } },
  { { 1.255528, -0.076749, -0.178779 }, { -0.078411, 0.930809, 0.147602 }, { 0.004733, 0.691367, 0.303900 } },
};

static const char *const eye_names[] = { "usual", "protanopic", "deuteranopic", "tritanopic" };

typedef struct {
  double v[3];
} Triple;

// WCAG 2.2, relative luminance: sRGB made linear.
static Triple
linear(Triple c)
{
  for (guint i = 0; i < 3; ++i) {
    c.v[i] = c.v[i] <= 0.04045 ? c.v[i] / 12.92 : pow((c.v[i] + 0.055) / 1.055, 2.4);
  }
  return c;
}

// The shade of a verdict in linear RGB.
static Triple
linear_shade(double shade)
{
  Triple c;
  cairo_surface_t *surface = cairo_image_surface_create(CAIRO_FORMAT_RGB24, 1, 1);
  cairo_t *cairo = cairo_create(surface);
  rc_shade(cairo, shade);
  cairo_pattern_get_rgba(cairo_get_source(cairo), &c.v[0], &c.v[1], &c.v[2], NULL);
  cairo_destroy(cairo);
  cairo_surface_destroy(surface);
  return linear(c);
}

static Triple
multiply(const double m[3][3], Triple c)
{
  Triple product;
  for (guint i = 0; i < 3; ++i) {
    product.v[i] = m[i][0] * c.v[0] + m[i][1] * c.v[1] + m[i][2] * c.v[2];
  }
  return product;
}

static double
luminance(Triple c)
{
  return 0.2126 * c.v[0] + 0.7152 * c.v[1] + 0.0722 * c.v[2];
}

static double
lab_part(double t)
{
  return t > 216.0 / 24389 ? cbrt(t) : (24389.0 / 27 * t + 16) / 116;
}

// CIE L*a*b* for D65.
static Triple
lab(Triple linear)
{
  static const double to_xyz[3][3] = { { 0.4124564, 0.3575761, 0.1804375 },
                                       { 0.2126729, 0.7151522, 0.0721750 },
                                       { 0.0193339, 0.1191920, 0.9503041 } };
  const Triple xyz = multiply(to_xyz, linear);
  const double x = lab_part(MAX(xyz.v[0], 0) / 0.95047);
  const double y = lab_part(MAX(xyz.v[1], 0));
  const double z = lab_part(MAX(xyz.v[2], 0) / 1.08883);
  return (Triple){ { 116 * y - 16, 500 * (x - y), 200 * (y - z) } };
}

static double
distance(Triple a, Triple b)
{
  return sqrt(pow(a.v[0] - b.v[0], 2) + pow(a.v[1] - b.v[1], 2) + pow(a.v[2] - b.v[2], 2));
}

static void
grades_are_told_apart_by_all_eyes(void **state)
{
  (void)state;
  for (guint eye = 0; eye < G_N_ELEMENTS(eyes); ++eye) {
    double least = INFINITY;
    for (guint a = 0; a < GRADES; ++a) {
      for (guint b = 0; b < a; ++b) {
        const Triple one = lab(multiply(eyes[eye], linear_shade(rc_verdict_shade((RcVerdict)a))));
        const Triple other = lab(multiply(eyes[eye], linear_shade(rc_verdict_shade((RcVerdict)b))));
        least = MIN(least, distance(one, other));
      }
    }
    print_message("%s eyes: the nearest two grades are %.1f apart in L*a*b*\n", eye_names[eye], least);
    assert_true(least > 10); // about four times what is just seen side by side
  }
}

static void
grades_grow_lighter_in_grey(void **state)
{
  (void)state;
  for (guint a = 1; a < GRADES; ++a) {
    const double darker = lab(linear_shade(rc_verdict_shade((RcVerdict)(a - 1)))).v[0];
    assert_true(lab(linear_shade(rc_verdict_shade((RcVerdict)a))).v[0] > darker + 7);
  }
}

static void
ink_can_be_read_on_every_shade(void **state)
{
  (void)state;
  for (guint i = 0; i <= 100; ++i) {
    const double light = luminance(linear_shade(i / 100.0)) + 0.05;
    const double contrast = rc_shade_ink(i / 100.0) > 0.5 ? 1.05 / light : light / 0.05;
    assert_true(contrast >= 4.5); // WCAG 2.2, success criterion 1.4.3
  }
}

// Colours of verdicts beside each other are parted by a white line in the charts; the darkest and the paper differ
// most.
static void
native_stands_out_from_the_paper(void **state)
{
  (void)state;
  assert_true(1.05 / (luminance(linear_shade(rc_verdict_shade(RC_NATIVE))) + 0.05) >= 3); // 1.4.11, graphics
}

static Triple
linear_class(guint class)
{
  const guchar *fill = rc_use_classes[class].fill;
  return linear((Triple){ { fill[0] / 255.0, fill[1] / 255.0, fill[2] / 255.0 } });
}

static void
shares_have_the_class_they_are_said_to_have(void **state)
{
  (void)state;
  static const struct {
    double share;
    const char *label;
  } shares[] = {
    { 0, "never" },     { 1e-9, "under 1" }, { 0.0099, "under 1" }, { 0.01, "1–2" },  { 0.02, "2–5" },
    { 0.049, "2–5" },   { 0.05, "5–10" },    { 0.0999, "5–10" },    { 0.1, "10–20" }, { 0.199, "10–20" },
    { 0.2, "over 20" }, { 1, "over 20" },    { -0.03, "2–5" },
  };
  for (guint i = 0; i < G_N_ELEMENTS(shares); ++i) {
    assert_string_equal(rc_use_classes[rc_use_class(shares[i].share)].label, shares[i].label);
  }
}

// WCAG 2.2, success criterion 1.4.3: at least 4.5 to 1.
static void
names_and_figures_can_be_read_on_every_class_of_use(void **state)
{
  (void)state;
  for (guint i = 0; i < RC_USE_CLASSES; ++i) {
    const double grey = rc_use_classes[i].ink / 255.0;
    const double fill = luminance(linear_class(i)) + 0.05;
    const double ink = luminance(linear((Triple){ { grey, grey, grey } })) + 0.05;
    print_message("%-8s %.1f to 1\n", rc_use_classes[i].label, MAX(fill, ink) / MIN(fill, ink));
    assert_true(MAX(fill, ink) / MIN(fill, ink) >= 4.5);
  }
}

// To every eye, and in grey.
static void
more_use_is_darker(void **state)
{
  (void)state;
  for (guint eye = 0; eye < G_N_ELEMENTS(eyes); ++eye) {
    for (guint i = 1; i < RC_USE_CLASSES; ++i) {
      const double lighter = lab(multiply(eyes[eye], linear_class(i - 1))).v[0];
      assert_true(lab(multiply(eyes[eye], linear_class(i))).v[0] < lighter - 4);
    }
  }
}

int
main(void)
{
  const struct CMUnitTest tests[] = {
    cmocka_unit_test(grades_are_told_apart_by_all_eyes),
    cmocka_unit_test(grades_grow_lighter_in_grey),
    cmocka_unit_test(ink_can_be_read_on_every_shade),
    cmocka_unit_test(native_stands_out_from_the_paper),
    cmocka_unit_test(shares_have_the_class_they_are_said_to_have),
    cmocka_unit_test(names_and_figures_can_be_read_on_every_class_of_use),
    cmocka_unit_test(more_use_is_darker),
  };
  return cmocka_run_group_tests(tests, NULL, NULL);
}
