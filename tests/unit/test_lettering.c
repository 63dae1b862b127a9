// Copyright 2026 the rowcall developers
// SPDX-License-Identifier: MIT

// Text is drawn as Pango's own layouts draw it, letter by letter and dot by dot, whatever of it is set in another way.

#undef NDEBUG

#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>

#include <cmocka.h>

#include "rowcall/draw.h"

#include <pango/pangocairo.h>
#include <string.h>

enum { WIDE = 420, HIGH = 120 };

static const char *const texts[] = {
  "The Lantern Waltz",
  "AVATAR To Ye, WAVE; \"Ty\" Ta. L'Ö T V. Wo (fi ff ffl)",
  "lacks F♯m7♭5\u00a0×4, B♭maj7, E♭m6 – 95.2 %, 40 × … 12",
  "75 %",
  ">99 %",
  "1,234 / 5,678 = −3 · +4",
  "  spaced   out  ",
  "Grüße aus der Ähre, Çafé, Łódź, Đurđevac, ſ",
  "e\u0301 and o\u0308 are put together",
  "zero\u200bwidth, soft\u00adhyphen, \ufb01ne ligature",
  "שלום",
  "Mixed שלום and Latin",
  "Ελληνικά, Кириллица",
  "漢字の曲",
  "What stands here is far wider than the paper on which it is to be put, so that it is shortened or goes on below",
  "superlongwordwithoutanybreaksatallsuperlongwordwithoutanybreaksatall",
};

static const RcTextStyle styles[] = { RC_TEXT_TITLE, RC_TEXT_BODY, RC_TEXT_STRONG, RC_TEXT_NOTE };
static const double points[] = { 17, 9.5, 9.5, 7.5 };
static const gboolean bold[] = { TRUE, FALSE, TRUE, FALSE };

static cairo_t *
paper(void)
{
  cairo_surface_t *surface = cairo_image_surface_create(CAIRO_FORMAT_RGB24, WIDE, HIGH);
  cairo_t *cairo = cairo_create(surface);
  cairo_surface_destroy(surface);
  cairo_set_source_rgb(cairo, 1, 1, 1);
  cairo_paint(cairo);
  cairo_set_source_rgb(cairo, 0, 0, 0);
  return cairo;
}

// Pango's own layout of a text.
static PangoLayout *
layout_in(cairo_t *cairo, RcFace face, const char *text)
{
  PangoContext *context = pango_cairo_create_context(cairo);
  cairo_font_options_t *options = cairo_font_options_create();
  PangoFontDescription *font = pango_font_description_from_string("DejaVu Sans, sans-serif");
  PangoAttrList *attributes = pango_attr_list_new();
  cairo_font_options_set_hint_metrics(options, CAIRO_HINT_METRICS_OFF);
  cairo_font_options_set_hint_style(options, CAIRO_HINT_STYLE_NONE);
  pango_cairo_context_set_font_options(context, options);
  pango_cairo_context_set_resolution(context, 72);
  pango_context_set_round_glyph_positions(context, FALSE);
  PangoLayout *layout = pango_layout_new(context);
  pango_font_description_set_size(font, (int)(face.points * PANGO_SCALE));
  pango_font_description_set_weight(font, face.bold ? PANGO_WEIGHT_BOLD : PANGO_WEIGHT_NORMAL);
  pango_attr_list_insert(attributes, pango_attr_font_features_new("liga 0"));
  pango_layout_set_font_description(layout, font);
  pango_layout_set_attributes(layout, attributes);
  pango_layout_set_text(layout, text, -1);
  pango_font_description_free(font);
  pango_attr_list_unref(attributes);
  cairo_font_options_destroy(options);
  g_object_unref(context);
  return layout;
}

static PangoLayout *
layout_of(cairo_t *cairo, guint style, const char *text)
{
  return layout_in(cairo, (RcFace){ points[style], bold[style] }, text);
}

static void
assert_same(cairo_t *ours, cairo_t *reference, const char *text)
{
  cairo_surface_t *one = cairo_get_target(ours);
  cairo_surface_t *other = cairo_get_target(reference);
  cairo_surface_flush(one);
  cairo_surface_flush(other);
  const size_t bytes = (size_t)cairo_image_surface_get_stride(one) * HIGH;
  if (memcmp(cairo_image_surface_get_data(one), cairo_image_surface_get_data(other), bytes) != 0) {
    fail_msg("drawn otherwise: %s", text);
  }
}

static void
test_a_line_is_as_wide_as_its_layout(void **state)
{
  (void)state;
  cairo_t *cairo = paper();
  for (guint style = 0; style < G_N_ELEMENTS(styles); ++style) {
    for (guint i = 0; i < G_N_ELEMENTS(texts); ++i) {
      int width = 0;
      PangoLayout *layout = layout_of(cairo, style, texts[i]);
      pango_layout_get_size(layout, &width, NULL);
      assert_int_equal((int)(rc_text_width(styles[style], texts[i]) * PANGO_SCALE), width);
      g_object_unref(layout);
    }
  }
  cairo_destroy(cairo);
}

// So many that they are put together of their figures at last.
static void
test_numbers_are_as_wide_as_their_layouts(void **state)
{
  (void)state;
  cairo_t *cairo = paper();
  for (guint style = 0; style < G_N_ELEMENTS(styles); ++style) {
    for (guint i = 0; i < 200; ++i) {
      int width = 0;
      char *text = g_strdup_printf(i % 2 ? "No. %u of %u" : "%u / %u", i * 7919 % 10000, i * i);
      PangoLayout *layout = layout_of(cairo, style, text);
      pango_layout_get_size(layout, &width, NULL);
      assert_int_equal((int)(rc_text_width(styles[style], text) * PANGO_SCALE), width);
      g_object_unref(layout);
      g_free(text);
    }
  }
  cairo_destroy(cairo);
}

// Words are shaped in one size, and scaled to all others, some of which are no round numbers.
static void
test_words_of_all_sizes_are_drawn_as_their_layouts(void **state)
{
  (void)state;
  static const char *const words[] = { "AVATAR To Ye, WAVE", "F♯m7♭5\u00a0×4", "Çafé 1 234", "75 %" };
  for (guint size = 0; size < 240; ++size) {
    const RcFace face = { 4 + size * 0.1083, size % 2 };
    const char *text = words[size % G_N_ELEMENTS(words)];
    cairo_t *ours = paper();
    cairo_t *reference = paper();
    int width = 0;
    int height = 0;
    PangoLayout *layout = layout_in(reference, face, text);
    pango_layout_get_size(layout, &width, &height);
    cairo_move_to(reference, 10.3, 50.7 - height / 2.0 / PANGO_SCALE);
    pango_cairo_show_layout(reference, layout);
    rc_draw_word(ours, face, RC_ALIGN_LEFT, 10.3, 50.7, 0, 0, text);
    assert_int_equal((int)(rc_word_width(face, text) * PANGO_SCALE), width);
    assert_same(ours, reference, text);
    g_object_unref(layout);
    cairo_destroy(ours);
    cairo_destroy(reference);
  }
}

// Draws every text in a width, wrapped or on one line.
static void
check_drawn(RcAlign align, PangoAlignment alignment, guint lines)
{
  enum { ACROSS = 300 };
  for (guint style = 0; style < G_N_ELEMENTS(styles); ++style) {
    for (guint i = 0; i < G_N_ELEMENTS(texts); ++i) {
      cairo_t *ours = paper();
      cairo_t *reference = paper();
      int height = 0;
      PangoLayout *layout = layout_of(reference, style, texts[i]);
      pango_layout_set_width(layout, ACROSS * PANGO_SCALE);
      pango_layout_set_wrap(layout, PANGO_WRAP_WORD_CHAR);
      pango_layout_set_alignment(layout, alignment);
      if (lines) {
        pango_layout_set_height(layout, -(int)lines);
        pango_layout_set_ellipsize(layout, PANGO_ELLIPSIZE_END);
      }
      pango_layout_get_size(layout, NULL, &height);
      cairo_move_to(reference, 10.3, 5.7);
      pango_cairo_show_layout(reference, layout);
      const double drawn = rc_draw_text(ours, styles[style], align, 10.3, 5.7, ACROSS, lines, texts[i]);
      assert_int_equal((int)(drawn * PANGO_SCALE), height);
      assert_int_equal((int)(rc_text_height(styles[style], ACROSS, lines, texts[i]) * PANGO_SCALE), height);
      assert_same(ours, reference, texts[i]);
      g_object_unref(layout);
      cairo_destroy(ours);
      cairo_destroy(reference);
    }
  }
}

static void
test_text_is_wrapped_as_its_layout(void **state)
{
  (void)state;
  check_drawn(RC_ALIGN_LEFT, PANGO_ALIGN_LEFT, 0);
  check_drawn(RC_ALIGN_CENTRE, PANGO_ALIGN_CENTER, 0);
  check_drawn(RC_ALIGN_RIGHT, PANGO_ALIGN_RIGHT, 0);
}

static void
test_a_long_line_ends_in_an_ellipsis_as_its_layout_does(void **state)
{
  (void)state;
  check_drawn(RC_ALIGN_LEFT, PANGO_ALIGN_LEFT, 1);
  check_drawn(RC_ALIGN_CENTRE, PANGO_ALIGN_CENTER, 1);
  check_drawn(RC_ALIGN_RIGHT, PANGO_ALIGN_RIGHT, 1);
  check_drawn(RC_ALIGN_LEFT, PANGO_ALIGN_LEFT, 2);
}

// The lines that a text takes where its first two words just fit on one.
static int
lines_of(const char *first, const char *text)
{
  const double width = rc_text_width(RC_TEXT_BODY, first) + 1;
  return (int)(rc_text_height(RC_TEXT_BODY, width, 0, text) / rc_text_height(RC_TEXT_BODY, width, 0, first) + 0.5);
}

// In plain words, and in letters that only a layout sets.
static void
test_a_percent_sign_stays_with_its_number(void **state)
{
  (void)state;
  assert_int_equal(lines_of("carrying 96", "carrying 96 tunes carrying"), 3);
  assert_int_equal(lines_of("carrying 96", "carrying 96 & carrying"), 2);
  assert_int_equal(lines_of("carrying 96", "carrying 96 % carrying"), 3); // "96 %" on a line of its own
  assert_int_equal(lines_of("λλλλλλλλ 96", "λλλλλλλλ 96 & λλλλλλλλ"), 2);
  assert_int_equal(lines_of("λλλλλλλλ 96", "λλλλλλλλ 96 % λλλλλλλλ"), 3);
}

int
main(void)
{
  const struct CMUnitTest tests[] = {
    cmocka_unit_test(test_a_line_is_as_wide_as_its_layout),
    cmocka_unit_test(test_numbers_are_as_wide_as_their_layouts),
    cmocka_unit_test(test_words_of_all_sizes_are_drawn_as_their_layouts),
    cmocka_unit_test(test_text_is_wrapped_as_its_layout),
    cmocka_unit_test(test_a_long_line_ends_in_an_ellipsis_as_its_layout_does),
    cmocka_unit_test(test_a_percent_sign_stays_with_its_number),
  };
  return cmocka_run_group_tests(tests, NULL, NULL);
}
