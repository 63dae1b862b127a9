// Copyright 2026 the rowcall developers
// SPDX-License-Identifier: MIT

#include "rowcall/draw.h"

#include <pango/pangocairo.h>

#define FAMILY "DejaVu Sans, sans-serif"

typedef struct {
  double points;
  PangoWeight weight;
} Face;

static const Face faces[] = {
  [RC_TEXT_TITLE] = { 17, PANGO_WEIGHT_BOLD },   [RC_TEXT_HEADING] = { 12, PANGO_WEIGHT_BOLD },
  [RC_TEXT_BODY] = { 9.5, PANGO_WEIGHT_NORMAL }, [RC_TEXT_STRONG] = { 9.5, PANGO_WEIGHT_BOLD },
  [RC_TEXT_NOTE] = { 7.5, PANGO_WEIGHT_NORMAL },
};

static PangoLayout *
set_text(cairo_t *cairo, double points, PangoWeight weight, const char *text)
{
  PangoLayout *layout = pango_cairo_create_layout(cairo);
  PangoFontDescription *font = pango_font_description_from_string(FAMILY);
  pango_cairo_context_set_resolution(pango_layout_get_context(layout), 72); // so that a point is a point
  pango_font_description_set_size(font, (int)(points * PANGO_SCALE));
  pango_font_description_set_weight(font, weight);
  pango_layout_set_font_description(layout, font);
  pango_layout_set_text(layout, text, -1);
  pango_font_description_free(font);
  return layout;
}

static double
show(cairo_t *cairo, PangoLayout *layout, double x, double y)
{
  PangoRectangle extents;
  pango_layout_get_extents(layout, NULL, &extents);
  cairo_set_source_rgb(cairo, 0, 0, 0);
  cairo_move_to(cairo, x, y);
  pango_cairo_show_layout(cairo, layout);
  g_object_unref(layout);
  return (double)extents.height / PANGO_SCALE;
}

static PangoLayout *
set_in_width(cairo_t *cairo, RcTextStyle style, RcAlign align, double width, const char *text)
{
  static const PangoAlignment alignments[] = { PANGO_ALIGN_LEFT, PANGO_ALIGN_CENTER, PANGO_ALIGN_RIGHT };
  PangoLayout *layout = set_text(cairo, faces[style].points, faces[style].weight, text);
  pango_layout_set_width(layout, (int)(width * PANGO_SCALE));
  pango_layout_set_alignment(layout, alignments[align]);
  return layout;
}

double
rc_draw_text(cairo_t *cairo, RcTextStyle style, RcAlign align, double x, double y, double width, const char *text)
{
  return show(cairo, set_in_width(cairo, style, align, width, text), x, y);
}

double
rc_draw_line(cairo_t *cairo, RcTextStyle style, RcAlign align, double x, double y, double width, const char *text)
{
  PangoLayout *layout = set_in_width(cairo, style, align, width, text);
  pango_layout_set_ellipsize(layout, PANGO_ELLIPSIZE_END);
  pango_layout_set_single_paragraph_mode(layout, TRUE);
  return show(cairo, layout, x, y);
}

void
rc_draw_label(cairo_t *cairo, double points, double x, double y, double width, double shade, const char *text)
{
  int text_width = 0;
  int text_height = 0;
  PangoLayout *layout = set_text(cairo, points, PANGO_WEIGHT_NORMAL, text);
  pango_layout_get_size(layout, &text_width, &text_height);
  if (text_width > width * PANGO_SCALE) {
    g_object_unref(layout);
    layout = set_text(cairo, points * width * PANGO_SCALE / text_width, PANGO_WEIGHT_NORMAL, text);
    pango_layout_get_size(layout, &text_width, &text_height);
  }
  const double ink = shade > 0.55 ? 1 : 0;
  cairo_set_source_rgb(cairo, ink, ink, ink);
  cairo_move_to(cairo, x - text_width / 2.0 / PANGO_SCALE, y - text_height / 2.0 / PANGO_SCALE);
  pango_cairo_show_layout(cairo, layout);
  g_object_unref(layout);
}
