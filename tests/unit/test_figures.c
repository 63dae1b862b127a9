// Copyright 2026 the rowcall developers
// SPDX-License-Identifier: MIT

// What a player sees in a drawing: which buttons are crossed out, ringed or held, and lines that do not cross. Figures
// are drawn as SVG, whose strokes are then looked at.

#undef NDEBUG

#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>

#include <cmocka.h>

#include "rowcall/draw.h"

#include <cairo-svg.h>
#include <math.h>
#include <string.h>

enum { SIDE = 800 };

// A line that was drawn with a pen.
typedef struct {
  double width;
  char *path; // as SVG has it
  double x;   // where it begins
  double y;
} Stroke;

typedef struct {
  GString *svg;
  cairo_surface_t *surface;
  cairo_t *cairo;
} Paper;

static cairo_status_t
write_svg(void *closure, const unsigned char *data, unsigned int length)
{
  g_string_append_len(closure, (const char *)data, length);
  return CAIRO_STATUS_SUCCESS;
}

static Paper
paper(void)
{
  Paper p = { g_string_new(NULL), NULL, NULL };
  p.surface = cairo_svg_surface_create_for_stream(write_svg, p.svg, SIDE, SIDE);
  p.cairo = cairo_create(p.surface);
  return p;
}

static void
clear_stroke(gpointer data)
{
  g_free(((Stroke *)data)->path);
}

static char *
first_group(const char *pattern, const char *text)
{
  GMatchInfo *info = NULL;
  GRegex *regex = g_regex_new(pattern, G_REGEX_DEFAULT, G_REGEX_MATCH_DEFAULT, NULL);
  char *group = g_regex_match(regex, text, G_REGEX_MATCH_DEFAULT, &info) ? g_match_info_fetch(info, 1) : NULL;
  g_match_info_free(info);
  g_regex_unref(regex);
  return group;
}

// Puts the paper away and returns its strokes, of Stroke.
static GArray *
strokes_on(Paper *p)
{
  GArray *strokes = g_array_new(FALSE, FALSE, sizeof(Stroke));
  g_array_set_clear_func(strokes, clear_stroke);
  cairo_destroy(p->cairo);
  cairo_surface_finish(p->surface);
  cairo_surface_destroy(p->surface);
  char **elements = g_strsplit(p->svg->str, "<path", -1);
  for (char **element = elements + 1; *element; ++element) {
    char *width = first_group("stroke-width[:=]\"?([0-9.]+)", *element);
    char *path = first_group("[^i]d=\"([^\"]*)\"", *element); // not of an id
    Stroke stroke = { width ? g_ascii_strtod(width, NULL) : 0, path, 0, 0 };
    if (width && path) {
      char *rest = NULL;
      stroke.x = g_ascii_strtod(strpbrk(path, "0123456789-"), &rest);
      stroke.y = g_ascii_strtod(rest, NULL);
      g_array_append_val(strokes, stroke);
    } else {
      g_free(path);
    }
    g_free(width);
  }
  g_strfreev(elements);
  g_string_free(p->svg, TRUE);
  return strokes;
}

static gboolean
is_circle(const Stroke *stroke)
{
  return strchr(stroke->path, 'C') != NULL;
}

static guint
count_circles(const GArray *strokes)
{
  guint n = 0;
  for (guint i = 0; i < strokes->len; ++i) {
    n += is_circle(&g_array_index(strokes, Stroke, i)) ? 1 : 0;
  }
  return n;
}

static RcLayout *
layout_called(const char *name)
{
  GError *error = NULL;
  RcLayout *layout = rc_layout_find(name, &error);
  assert_null(error);
  return layout;
}

static GArray *
keyboard_strokes(const RcLayout *layout)
{
  Paper p = paper();
  rc_draw_keyboard(p.cairo, (RcBox){ 0, 0, SIDE, SIDE }, layout);
  return strokes_on(&p);
}

// ------------------------------------------------------------------------------------------------------ the keyboard

// A circle begins at the right of its middle. Buttons are drawn in the order of their index.
static void
test_a_dead_button_is_crossed_out(void **state)
{
  (void)state;
  RcLayout *layout = layout_called("48-8x6");
  const guint dead = rc_layout_entry(layout, 3, 5);
  char *list = g_strdup_printf("%s:%s", rc_button_row(layout, rc_layout_button(layout, dead)),
                               rc_note_name(rc_button_column(layout, rc_layout_button(layout, dead)), RC_SIGNS_ASCII));
  GArray *before = keyboard_strokes(layout);
  assert_int_equal(before->len, count_circles(before));
  assert_true(rc_layout_silence(layout, list, NULL));
  GArray *after = keyboard_strokes(layout);
  assert_int_equal(after->len, before->len + 1);
  assert_int_equal(count_circles(after), count_circles(before));
  for (guint i = 0; i < after->len; ++i) {
    const Stroke *cross = &g_array_index(after, Stroke, i);
    if (is_circle(cross)) {
      continue;
    }
    const Stroke *outline = &g_array_index(after, Stroke, i - 1); // of the same button
    double p[8];
    const char *at = cross->path;
    for (guint n = 0; n < G_N_ELEMENTS(p); ++n) {
      char *rest = NULL;
      p[n] = g_ascii_strtod(strpbrk(at, "0123456789-"), &rest);
      at = rest;
    }
    const double x = (p[0] + p[2]) / 2; // of its middle
    const double y = (p[1] + p[3]) / 2;
    const double radius = outline->x - x;
    assert_true(fabs((p[4] + p[6]) / 2 - x) < 0.01 && fabs((p[5] + p[7]) / 2 - y) < 0.01);
    assert_true(fabs(y - outline->y) < 0.01); // in the middle of its button, and within it
    assert_int_equal(i - 1, dead + 2);        // the rings of C and E are drawn before it
    assert_true(hypot(p[0] - x, p[1] - y) > radius * 0.5 && hypot(p[0] - x, p[1] - y) < radius * 1.05);
    assert_true((p[2] - p[0]) * (p[6] - p[4]) + (p[3] - p[1]) * (p[7] - p[5]) < 0.01); // its arms are at right angles
    assert_true(fabs(p[3] - p[1]) > radius * 0.5 && fabs(p[2] - p[0]) > radius * 0.5); // and slant
  }
  g_array_unref(before);
  g_array_unref(after);
  g_free(list);
  rc_layout_free(layout);
}

// The buttons that are dimpled or rough on an instrument: C, E and A flat of the fundamental row (common practice).
static void
test_c_e_and_a_flat_are_ringed(void **state)
{
  (void)state;
  static const RcNote ringed[] = { -4, 0, 4 };
  RcLayout *layout = layout_called("120");
  GArray *strokes = keyboard_strokes(layout);
  guint rings = 0;
  for (guint i = 1; i < strokes->len; ++i) {
    const Stroke *outline = &g_array_index(strokes, Stroke, i - 1);
    const Stroke *ring = &g_array_index(strokes, Stroke, i);
    if (fabs(ring->y - outline->y) > 0.01 || ring->x - outline->x > 3 || ring->x <= outline->x) {
      continue; // another button
    }
    const RcButton *button = rc_layout_button(layout, i - 1 - rings);
    assert_string_equal(rc_button_row(layout, button), "fundamental");
    assert_int_equal(rc_button_column(layout, button), ringed[rings % G_N_ELEMENTS(ringed)]);
    ++rings;
  }
  assert_int_equal(rings, G_N_ELEMENTS(ringed));
  assert_int_equal(strokes->len, layout->buttons->len + rings);
  g_array_unref(strokes);
  rc_layout_free(layout);
}

// --------------------------------------------------------------------------------------------------------- the grip

// The frame of a second bass is the only thick line with corners.
static guint
count_frames(GArray *strokes)
{
  guint frames = 0;
  for (guint i = 0; i < strokes->len; ++i) {
    const Stroke *stroke = &g_array_index(strokes, Stroke, i);
    frames += stroke->width > 1.2 && is_circle(stroke) && strchr(stroke->path, 'L') ? 1 : 0;
  }
  return frames;
}

static GArray *
grip_strokes(const RcLayout *layout, const RcFingerMark *marks, guint n, RcCut *cut)
{
  Paper p = paper();
  *cut = rc_grip_cut(layout, marks, n, 120);
  rc_draw_grip(p.cairo, 10, 10, layout, cut, marks, n);
  return strokes_on(&p);
}

static void
test_the_second_bass_has_a_frame(void **state)
{
  (void)state;
  RcLayout *layout = layout_called("48-8x6");
  RcFingerMark marks[] = { { rc_layout_entry(layout, 1, 4), 1U << 4, TRUE },
                           { rc_layout_entry(layout, 2, 4), 1U << 3, TRUE },
                           { rc_layout_entry(layout, 1, 5), 1U << 2, FALSE } };
  RcCut cut;
  GArray *strokes = grip_strokes(layout, marks, G_N_ELEMENTS(marks), &cut);
  assert_int_equal(count_frames(strokes), 1);
  g_array_unref(strokes);
  marks[2].held = TRUE;
  strokes = grip_strokes(layout, marks, G_N_ELEMENTS(marks), &cut);
  assert_int_equal(count_frames(strokes), 0);
  g_array_unref(strokes);
  rc_layout_free(layout);
}

// A hand at the flat end of a 120 and one in its middle are cut out on one scale, as high as their lowest row asks for.
static void
test_cuts_are_on_one_scale(void **state)
{
  (void)state;
  static const char *const names[] = { "8", "48-8x6", "120", "push-pull-12-gc" };
  for (guint i = 0; i < G_N_ELEMENTS(names); ++i) {
    RcLayout *layout = layout_called(names[i]);
    const guint column = layout->columns->len / 2;
    const RcFingerMark marks[] = { { rc_layout_entry(layout, 0, 0), 1U << 4, TRUE },
                                   { rc_layout_entry(layout, 1, column), 1U << 3, TRUE } };
    const RcCut flat = rc_grip_cut(layout, marks, 1, 117);
    const RcCut middle = rc_grip_cut(layout, marks + 1, 1, 117);
    const double scale = flat.width / flat.board.width;
    const double apart = hypot(layout->row_mm, layout->slant_mm - layout->column_mm);
    assert_true(fabs(middle.width / middle.board.width - scale) < 1e-9);
    assert_true(0.94 * MIN(apart, hypot(layout->row_mm, layout->slant_mm)) * scale >= 6.5 * 72 / 25.4);
    assert_true(middle.width <= 117.01 && fabs(middle.height - flat.height) < 1e-9);
    rc_layout_free(layout);
  }
}

static void
test_a_whole_board_is_170_mm_wide(void **state)
{
  (void)state;
  static const char *const names[] = {
    "8", "12", "24", "40", "48-8x6", "48-12x4", "72", "120", "140-augmented", "push-pull-8-gc", "push-pull-12-gc"
  };
  for (guint i = 0; i < G_N_ELEMENTS(names); ++i) {
    RcLayout *layout = layout_called(names[i]);
    assert_true(fabs(rc_hand_board_box(layout, 0, 0).width * 25.4 / 72 - 170) < 0.01);
    rc_layout_free(layout);
  }
}

// --------------------------------------------------------------------------------------------------------- the heat

// The round outlines of an 8, of whose buttons only one has something to say: this.
static guint
round_buttons(double share, gboolean differences)
{
  RcLayout *layout = layout_called("8");
  double buttons[8];
  const double none[4] = { 0 };
  const RcHeatBoard board = { layout, buttons, none, none, differences };
  for (guint i = 0; i < G_N_ELEMENTS(buttons); ++i) {
    buttons[i] = i ? NAN : share;
  }
  assert_int_equal(layout->buttons->len, G_N_ELEMENTS(buttons));
  Paper p = paper();
  rc_draw_heat_board(p.cairo, 0, 0, SIDE, &board);
  GArray *strokes = strokes_on(&p);
  const guint n = count_circles(strokes);
  g_array_unref(strokes);
  rc_layout_free(layout);
  return n;
}

// So that nobody needs colours to tell the sign.
static void
test_a_negative_difference_is_no_circle(void **state)
{
  (void)state;
  assert_int_equal(round_buttons(0.05, TRUE), 1);
  assert_int_equal(round_buttons(-0.05, TRUE), 0);
  assert_int_equal(round_buttons(0, TRUE), 1);   // dashed
  assert_int_equal(round_buttons(NAN, TRUE), 0); // only its name
  assert_int_equal(round_buttons(0.05, FALSE), round_buttons(0, FALSE));
}

// ------------------------------------------------------------------------------------------------------- the offers

typedef struct {
  double x0, y0, x1, y1;
} Line;

static gboolean
lines_cross(Line a, Line b)
{
  const double across = (a.x1 - a.x0) * (b.y1 - b.y0) - (a.y1 - a.y0) * (b.x1 - b.x0);
  const double s = ((b.x0 - a.x0) * (b.y1 - b.y0) - (b.y0 - a.y0) * (b.x1 - b.x0)) / across;
  const double t = ((b.x0 - a.x0) * (a.y1 - a.y0) - (b.y0 - a.y0) * (a.x1 - a.x0)) / across;
  return across != 0 && s > 0 && s < 1 && t > 0 && t < 1;
}

// Leaders are neither level nor upright, and no dark line of the offers that nothing beats.
static guint
count_leader_crossings(const GArray *strokes, guint *leaders)
{
  Line lines[64];
  guint crossings = 0;
  *leaders = 0;
  for (guint i = 0; i < strokes->len && *leaders < G_N_ELEMENTS(lines); ++i) {
    const Stroke *stroke = &g_array_index(strokes, Stroke, i);
    Line line = { stroke->x, stroke->y, 0, 0 };
    const char *end = strchr(stroke->path, 'L');
    if (fabs(stroke->width - 0.5) > 1e-6 || is_circle(stroke) || !end) {
      continue;
    }
    char *rest = NULL;
    line.x1 = g_ascii_strtod(end + 1, &rest);
    line.y1 = g_ascii_strtod(rest, NULL);
    for (guint other = 0; other < *leaders; ++other) {
      crossings += lines_cross(line, lines[other]) ? 1 : 0;
    }
    lines[(*leaders)++] = line;
  }
  return crossings;
}

static guint
draw_crowd(guint seed, guint *leaders)
{
  enum { OFFERS = 14 };
  RcOfferPoint points[OFFERS];
  char labels[OFFERS][32];
  GRand *random = g_rand_new_with_seed(seed);
  for (guint i = 0; i < OFFERS; ++i) {
    g_snprintf(labels[i], sizeof labels[i], "Chapel box number %u", i);
    points[i] = (RcOfferPoint){ labels[i], 400 + i + g_rand_double(random), 0.93 + 0.03 * g_rand_double(random),
                                RC_OFFER_BEATEN };
  }
  g_rand_free(random);
  Paper p = paper();
  rc_draw_offers(p.cairo, (RcBox){ 0, 0, 560, 300 }, points, OFFERS,
                 &(RcOfferScales){ "price", "share", "target", 0.95 });
  GArray *strokes = strokes_on(&p);
  const guint crossings = count_leader_crossings(strokes, leaders);
  g_array_unref(strokes);
  return crossings;
}

// Fourteen offers within fifteen of the currency: more than have room, so that names and leaders are in each other's
// way.
static void
test_leaders_do_not_cross(void **state)
{
  (void)state;
  guint all = 0;
  for (guint seed = 1; seed <= 20; ++seed) {
    guint leaders = 0;
    assert_int_equal(draw_crowd(seed, &leaders), 0);
    all += leaders;
  }
  assert_true(all >= 20 * 4);
}

int
main(void)
{
  const struct CMUnitTest tests[] = {
    cmocka_unit_test(test_a_dead_button_is_crossed_out), cmocka_unit_test(test_c_e_and_a_flat_are_ringed),
    cmocka_unit_test(test_the_second_bass_has_a_frame),  cmocka_unit_test(test_cuts_are_on_one_scale),
    cmocka_unit_test(test_a_whole_board_is_170_mm_wide), cmocka_unit_test(test_a_negative_difference_is_no_circle),
    cmocka_unit_test(test_leaders_do_not_cross),
  };
  return cmocka_run_group_tests(tests, NULL, NULL);
}
