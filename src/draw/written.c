// Copyright 2026 the rowcall developers
// SPDX-License-Identifier: MIT

#include "draw/written.h"

static cairo_user_data_key_t written_key;

void
rc_text_written(cairo_surface_t *surface, GString *svg)
{
  cairo_surface_set_user_data(surface, &written_key, svg, NULL);
}

static GString *
svg_of(cairo_t *cairo)
{
  return cairo_surface_get_user_data(cairo_get_target(cairo), &written_key);
}

gboolean
rc_text_is_written(cairo_t *cairo)
{
  return svg_of(cairo) != NULL;
}

static void
append_number(GString *svg, const char *before, double number)
{
  char text[G_ASCII_DTOSTR_BUF_SIZE];
  g_ascii_formatd(text, sizeof text, "%.2f", number);
  g_string_append_printf(svg, "%s%s", before, text);
}

// Where the line is: its own matrix, unless it only moves.
static void
append_place(GString *svg, cairo_t *cairo, double x, double y)
{
  cairo_matrix_t m;
  cairo_get_matrix(cairo, &m);
  if (m.xx == 1 && m.yy == 1 && m.xy == 0 && m.yx == 0) {
    append_number(svg, " x=\"", x + m.x0);
    append_number(svg, "\" y=\"", y + m.y0);
  } else {
    append_number(svg, " x=\"", x);
    append_number(svg, "\" y=\"", y);
    append_number(svg, "\" transform=\"matrix(", m.xx);
    append_number(svg, " ", m.yx);
    append_number(svg, " ", m.xy);
    append_number(svg, " ", m.yy);
    append_number(svg, " ", m.x0);
    append_number(svg, " ", m.y0);
    g_string_append_c(svg, ')');
  }
  g_string_append_c(svg, '"');
}

static void
append_look(GString *svg, cairo_t *cairo, PangoLayout *layout)
{
  double red = 0;
  double green = 0;
  double blue = 0;
  const PangoFontDescription *font = pango_layout_get_font_description(layout);
  cairo_pattern_get_rgba(cairo_get_source(cairo), &red, &green, &blue, NULL);
  append_number(svg, " font-size=\"", (double)pango_font_description_get_size(font) / PANGO_SCALE);
  g_string_append(svg, "\"");
  if (pango_font_description_get_weight(font) >= PANGO_WEIGHT_BOLD) {
    g_string_append(svg, " font-weight=\"bold\"");
  }
  if (red + green + blue > 0) {
    g_string_append_printf(svg, " fill=\"#%02x%02x%02x\"", (guint)(red * 255 + 0.5), (guint)(green * 255 + 0.5),
                           (guint)(blue * 255 + 0.5));
  }
}

// What is seen of a line, in the order of its text: an ellipsis is a run of its own, which stands for the rest.
static char *
line_text(PangoLayoutLine *line, const char *text)
{
  GString *seen = g_string_new_len(text + line->start_index, line->length);
  for (const GSList *i = line->runs; i; i = i->next) {
    const PangoItem *item = ((const PangoLayoutRun *)i->data)->item;
    if (item->analysis.flags & PANGO_ANALYSIS_FLAG_IS_ELLIPSIS) {
      g_string_truncate(seen, (gsize)(item->offset - line->start_index));
      g_string_append(seen, "…");
    }
  }
  char *escaped = g_markup_escape_text(g_strchomp(seen->str), -1);
  g_string_free(seen, TRUE);
  return escaped;
}

static void
write_line(GString *svg, cairo_t *cairo, PangoLayout *layout, PangoLayoutIter *iter, double x, double y)
{
  PangoRectangle box;
  PangoLayoutLine *line = pango_layout_iter_get_line_readonly(iter);
  char *text = line_text(line, pango_layout_get_text(layout));
  pango_layout_iter_get_line_extents(iter, NULL, &box);
  const double width = (double)box.width / PANGO_SCALE;
  const gboolean leftwards = pango_layout_line_get_resolved_direction(line) == PANGO_DIRECTION_RTL;
  if (*text) {
    g_string_append(svg, "<text");
    append_place(svg, cairo, x + (double)box.x / PANGO_SCALE + (leftwards ? width : 0),
                 y + (double)pango_layout_iter_get_baseline(iter) / PANGO_SCALE);
    append_look(svg, cairo, layout);
    append_number(svg, " textLength=\"", width);
    g_string_append_printf(svg, "\" lengthAdjust=\"spacingAndGlyphs\"%s>%s</text>\n",
                           leftwards ? " direction=\"rtl\"" : "", text);
  }
  g_free(text);
}

void
rc_text_show(cairo_t *cairo, PangoLayout *layout)
{
  double x = 0;
  double y = 0;
  GString *svg = svg_of(cairo);
  if (!svg) {
    pango_cairo_show_layout(cairo, layout);
    return;
  }
  cairo_get_current_point(cairo, &x, &y);
  cairo_new_path(cairo);
  PangoLayoutIter *iter = pango_layout_get_iter(layout);
  do {
    write_line(svg, cairo, layout, iter, x, y);
  } while (pango_layout_iter_next_line(iter));
  pango_layout_iter_free(iter);
}
