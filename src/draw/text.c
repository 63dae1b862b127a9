// Copyright 2026 the rowcall developers
// SPDX-License-Identifier: MIT

#include "rowcall/draw.h"

#include "base/visible.h"
#include "draw/written.h"

#include <math.h>
#include <pango/pangocairo.h>
#include <string.h>

#define FAMILY "DejaVu Sans, sans-serif"

typedef struct {
  double points;
  PangoWeight weight;
} Face;

static const Face faces[] = {
  [RC_TEXT_TITLE] = { 17, PANGO_WEIGHT_BOLD },   [RC_TEXT_HEADING] = { 12, PANGO_WEIGHT_BOLD },
  [RC_TEXT_BODY] = { 9.5, PANGO_WEIGHT_NORMAL }, [RC_TEXT_STRONG] = { 9.5, PANGO_WEIGHT_BOLD },
  [RC_TEXT_NOTE] = { 7.5, PANGO_WEIGHT_NORMAL }, [RC_TEXT_NUMBER] = { 28, PANGO_WEIGHT_BOLD },
};

// Text is measured and drawn without hinting, so that it is as wide and high on every surface, or on none.
static PangoContext *
make_context(cairo_t *cairo)
{
  PangoContext *context =
    cairo ? pango_cairo_create_context(cairo) : pango_font_map_create_context(pango_cairo_font_map_get_default());
  cairo_font_options_t *options = cairo_font_options_create();
  cairo_font_options_set_hint_metrics(options, CAIRO_HINT_METRICS_OFF);
  cairo_font_options_set_hint_style(options, CAIRO_HINT_STYLE_NONE);
  pango_cairo_context_set_font_options(context, options);
  pango_cairo_context_set_resolution(context, 72); // so that a point is a point
  pango_context_set_round_glyph_positions(context, FALSE);
  cairo_font_options_destroy(options);
  return context;
}

// One visible line of the text's beginning, as much as pages could hold, since setting text takes long.
static char *
line_of(const char *text)
{
  enum { MOST_BYTES = 16 << 10 };
  const gsize most = strnlen(text, MOST_BYTES + 1) > MOST_BYTES ? MOST_BYTES : strlen(text);
  const char *end = text + most;
  while (end > text && *end && (*end & 0xC0) == 0x80) { // not within a character
    --end;
  }
  char *line = g_strdelimit(g_strndup(text, (gsize)(end - text)), "\n\r\t\v\f", ' ');
  char *shown = rc_visible(line);
  g_free(line);
  return shown;
}

// No letters joined into one sign, which a search or a reader aloud would stumble over.
static void
keep_letters_apart(PangoLayout *layout)
{
  PangoAttrList *attributes = pango_attr_list_new();
  pango_attr_list_insert(attributes, pango_attr_font_features_new("liga 0"));
  pango_layout_set_attributes(layout, attributes);
  pango_attr_list_unref(attributes);
}

static PangoLayout *
set_text(cairo_t *cairo, double points, PangoWeight weight, const char *text)
{
  PangoContext *context = make_context(cairo);
  PangoLayout *layout = pango_layout_new(context);
  PangoFontDescription *font = pango_font_description_new();
  char *line = line_of(text);
  pango_font_description_set_family_static(font, FAMILY);
  pango_font_description_set_size(font, (int)(points * PANGO_SCALE));
  pango_font_description_set_weight(font, weight);
  pango_layout_set_font_description(layout, font);
  pango_layout_set_text(layout, line, -1);
  keep_letters_apart(layout);
  pango_font_description_free(font);
  g_object_unref(context);
  g_free(line);
  return layout;
}

static PangoLayout *
set_in_width(cairo_t *cairo, RcTextStyle style, RcAlign align, double width, guint lines, const char *text)
{
  static const PangoAlignment alignments[] = { PANGO_ALIGN_LEFT, PANGO_ALIGN_CENTER, PANGO_ALIGN_RIGHT };
  PangoLayout *layout = set_text(cairo, faces[style].points, faces[style].weight, text);
  pango_layout_set_width(layout, (int)(MAX(width, 0) * PANGO_SCALE));
  pango_layout_set_wrap(layout, PANGO_WRAP_WORD_CHAR);
  pango_layout_set_alignment(layout, alignments[align]);
  if (lines) {
    pango_layout_set_height(layout, -(int)lines);
    pango_layout_set_ellipsize(layout, PANGO_ELLIPSIZE_END);
  }
  return layout;
}

static double
points_high(PangoLayout *layout)
{
  PangoRectangle extents;
  pango_layout_get_extents(layout, NULL, &extents);
  return (double)extents.height / PANGO_SCALE;
}

double
rc_text_height(RcTextStyle style, double width, guint lines, const char *text)
{
  PangoLayout *layout = set_in_width(NULL, style, RC_ALIGN_LEFT, width, lines, text);
  const double height = points_high(layout);
  g_object_unref(layout);
  return height;
}

double
rc_text_width(RcTextStyle style, const char *text)
{
  int width = 0;
  PangoLayout *layout = set_text(NULL, faces[style].points, faces[style].weight, text);
  pango_layout_get_size(layout, &width, NULL);
  g_object_unref(layout);
  return (double)width / PANGO_SCALE;
}

double
rc_draw_text(cairo_t *cairo, RcTextStyle style, RcAlign align, double x, double y, double width, guint lines,
             const char *text)
{
  PangoLayout *layout = set_in_width(cairo, style, align, width, lines, text);
  const double height = points_high(layout);
  cairo_set_source_rgb(cairo, 0, 0, 0);
  cairo_move_to(cairo, x, y);
  rc_text_show(cairo, layout);
  g_object_unref(layout);
  return height;
}

static double
points_wide(PangoLayout *layout)
{
  int width = 0;
  pango_layout_get_size(layout, &width, NULL);
  return (double)width / PANGO_SCALE;
}

// In quarters of a point: each size is looked up among the fonts, which takes long.
static double
smaller(double points, double width, double needed)
{
  return MAX(floor(points * width / needed * 4), 1) / 4;
}

double
rc_fitted_points(double points, double width, const char *text)
{
  PangoLayout *layout = set_text(NULL, points, PANGO_WEIGHT_NORMAL, text);
  const double needed = points_wide(layout);
  g_object_unref(layout);
  return needed > width ? smaller(points, width, needed) : points;
}

static PangoLayout *
set_within(cairo_t *cairo, double points, double width, const char *text)
{
  PangoLayout *layout = set_text(cairo, points, PANGO_WEIGHT_NORMAL, text);
  const double needed = points_wide(layout);
  if (needed > width) {
    g_object_unref(layout);
    layout = set_text(cairo, smaller(points, width, needed), PANGO_WEIGHT_NORMAL, text);
  }
  return layout;
}

void
rc_draw_label(cairo_t *cairo, double points, double x, double y, double width, double shade, const char *text)
{
  rc_draw_inked(cairo, points, x, y, width, rc_shade_ink(shade), text);
}

void
rc_draw_inked(cairo_t *cairo, double points, double x, double y, double width, double ink, const char *text)
{
  int text_width = 0;
  int text_height = 0;
  PangoLayout *layout = set_within(cairo, points, width, text);
  pango_layout_get_size(layout, &text_width, &text_height);
  cairo_set_source_rgb(cairo, ink, ink, ink);
  cairo_move_to(cairo, x - text_width / 2.0 / PANGO_SCALE, y - text_height / 2.0 / PANGO_SCALE);
  rc_text_show(cairo, layout);
  g_object_unref(layout);
}

void
rc_draw_fitted(cairo_t *cairo, double points, double x, double y, double width, const char *text)
{
  PangoLayout *layout = set_within(cairo, points, width, text);
  cairo_set_source_rgb(cairo, 0, 0, 0);
  cairo_move_to(cairo, x, y);
  rc_text_show(cairo, layout);
  g_object_unref(layout);
}

double
rc_word_width(RcFace face, const char *text)
{
  PangoLayout *layout = set_text(NULL, face.points, face.bold ? PANGO_WEIGHT_BOLD : PANGO_WEIGHT_NORMAL, text);
  const double width = points_wide(layout);
  g_object_unref(layout);
  return width;
}

// At most `width` wide; 0 for any width. NULL where it would be smaller than `least` points.
static PangoLayout *
set_word(cairo_t *cairo, RcFace face, double least, double width, const char *text)
{
  const PangoWeight weight = face.bold ? PANGO_WEIGHT_BOLD : PANGO_WEIGHT_NORMAL;
  PangoLayout *layout = set_text(cairo, face.points, weight, text);
  const double needed = points_wide(layout);
  if (width > 0 && needed > width) {
    const double points = smaller(face.points, width, needed);
    g_object_unref(layout);
    layout = points < least ? NULL : set_text(cairo, points, weight, text);
  }
  return layout;
}

gboolean
rc_draw_word_from(cairo_t *cairo, RcFace face, double least, RcAlign align, double x, double y, double width,
                  double ink, const char *text)
{
  static const double parts[] = { [RC_ALIGN_LEFT] = 0, [RC_ALIGN_CENTRE] = 0.5, [RC_ALIGN_RIGHT] = 1 };
  int text_width = 0;
  int text_height = 0;
  PangoLayout *layout = *text ? set_word(cairo, face, least, width, text) : NULL;
  if (!layout) {
    return FALSE;
  }
  pango_layout_get_size(layout, &text_width, &text_height);
  cairo_set_source_rgb(cairo, ink, ink, ink);
  cairo_move_to(cairo, x - parts[align] * text_width / PANGO_SCALE, y - text_height / 2.0 / PANGO_SCALE);
  rc_text_show(cairo, layout);
  g_object_unref(layout);
  return TRUE;
}

void
rc_draw_word(cairo_t *cairo, RcFace face, RcAlign align, double x, double y, double width, double ink, const char *text)
{
  rc_draw_word_from(cairo, face, 0, align, x, y, width, ink, text);
}
