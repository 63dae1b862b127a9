// Copyright 2026 the rowcall developers
// SPDX-License-Identifier: MIT

#include "rowcall/draw.h"

#include "base/visible.h"
#include "draw/words.h"
#include "draw/written.h"

#include <math.h>
#include <string.h>

static const RcFace faces[] = {
  [RC_TEXT_TITLE] = { 17, TRUE },   [RC_TEXT_HEADING] = { 12, TRUE }, [RC_TEXT_BODY] = { 9.5, FALSE },
  [RC_TEXT_STRONG] = { 9.5, TRUE }, [RC_TEXT_NOTE] = { 7.5, FALSE },  [RC_TEXT_NUMBER] = { 28, TRUE },
};

// Text that is set: a line of plain words where that is enough, else a layout.
typedef struct {
  char *line;
  RcWords words;
  PangoLayout *layout; // NULL where it is words
  int x;               // of the words from where the text begins, in Pango units, as they are aligned
} Text;

// One visible line of the text's beginning, as much as pages could hold, since setting text takes long.
static char *
line_of(const char *text)
{
  enum { MOST_BYTES = 16 << 10 };
  gsize plain = 0;
  while (plain < MOST_BYTES && text[plain] >= ' ' && text[plain] < 0x7F) {
    ++plain;
  }
  if (!text[plain]) {
    return g_strndup(text, plain);
  }
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

static void
clear_text(Text *text)
{
  g_clear_object(&text->layout);
  rc_words_clear(&text->words);
  g_clear_pointer(&text->line, g_free);
}

static void
set_layout(Text *text, cairo_t *cairo, RcFace face)
{
  PangoFontMap *fonts = pango_cairo_font_map_get_default();
  PangoContext *context = cairo ? pango_cairo_create_context(cairo) : pango_font_map_create_context(fonts);
  PangoFontDescription *font = rc_words_font(face);
  PangoAttrList *attributes = rc_words_attributes(text->line);
  rc_words_unhint(context);
  rc_words_clear(&text->words);
  text->layout = pango_layout_new(context);
  pango_layout_set_font_description(text->layout, font);
  pango_layout_set_text(text->layout, text->line, -1);
  pango_layout_set_attributes(text->layout, attributes);
  pango_attr_list_unref(attributes);
  pango_font_description_free(font);
  g_object_unref(context);
}

// Whether letters are drawn as large as their points say, and upright.
static gboolean
is_in_points(cairo_t *cairo)
{
  cairo_matrix_t matrix;
  cairo_get_matrix(cairo, &matrix);
  return matrix.xx == 1 && matrix.yy == 1 && matrix.xy == 0 && matrix.yx == 0;
}

static Text
set_text(cairo_t *cairo, RcFace face, const char *string)
{
  Text text = { .line = line_of(string) };
  const gboolean drawn = !cairo || (is_in_points(cairo) && !rc_text_is_written(cairo));
  if (!drawn || !rc_words_set(&text.words, face, text.line)) {
    set_layout(&text, cairo, face);
  }
  return text;
}

static int
width_of(const Text *text)
{
  int width = text->words.width;
  if (text->layout) {
    pango_layout_get_size(text->layout, &width, NULL);
  }
  return width;
}

static int
height_of(const Text *text)
{
  int height = text->words.height;
  if (text->layout) {
    pango_layout_get_size(text->layout, NULL, &height);
  }
  return height;
}

static double
points_wide(const Text *text)
{
  return (double)width_of(text) / PANGO_SCALE;
}

static double
points_high(const Text *text)
{
  return (double)height_of(text) / PANGO_SCALE;
}

static void
show_text(cairo_t *cairo, const Text *text, double x, double y)
{
  cairo_move_to(cairo, x, y);
  if (text->layout) {
    rc_text_show(cairo, text->layout);
  } else {
    rc_words_show(cairo, &text->words, text->x);
  }
}

// Wraps and aligns a layout.
static void
lay_in_width(PangoLayout *layout, RcAlign align, int width, guint lines)
{
  static const PangoAlignment alignments[] = { PANGO_ALIGN_LEFT, PANGO_ALIGN_CENTER, PANGO_ALIGN_RIGHT };
  pango_layout_set_width(layout, width);
  pango_layout_set_wrap(layout, PANGO_WRAP_WORD_CHAR);
  pango_layout_set_alignment(layout, alignments[align]);
  if (lines) {
    pango_layout_set_height(layout, -(int)lines);
    pango_layout_set_ellipsize(layout, PANGO_ELLIPSIZE_END);
  }
}

// Makes words no wider than so much; FALSE where only a layout can.
static gboolean
fit_words(RcWords *words, RcAlign align, int width, guint lines)
{
  return words->width <= width ||
         (align == RC_ALIGN_LEFT && (lines == 1 ? rc_words_shorten(words, width) : rc_words_wrap(words, width, lines)));
}

static Text
set_in_width(cairo_t *cairo, RcTextStyle style, RcAlign align, double width, guint lines, const char *string)
{
  const int units = (int)(MAX(width, 0) * PANGO_SCALE);
  Text text = set_text(cairo, faces[style], string);
  if (!text.layout && !fit_words(&text.words, align, units, lines)) {
    set_layout(&text, cairo, faces[style]);
  }
  if (text.layout) {
    lay_in_width(text.layout, align, units, lines);
  } else if (align != RC_ALIGN_LEFT) {
    text.x = align == RC_ALIGN_RIGHT ? units - text.words.width : (units - text.words.width) / 2;
  }
  return text;
}

double
rc_text_height(RcTextStyle style, double width, guint lines, const char *string)
{
  Text text = set_in_width(NULL, style, RC_ALIGN_LEFT, width, lines, string);
  const double height = points_high(&text);
  clear_text(&text);
  return height;
}

double
rc_word_width(RcFace face, const char *string)
{
  Text text = set_text(NULL, face, string);
  const double width = points_wide(&text);
  clear_text(&text);
  return width;
}

double
rc_text_width(RcTextStyle style, const char *string)
{
  return rc_word_width(faces[style], string);
}

double
rc_draw_text(cairo_t *cairo, RcTextStyle style, RcAlign align, double x, double y, double width, guint lines,
             const char *string)
{
  Text text = set_in_width(cairo, style, align, width, lines, string);
  const double height = points_high(&text);
  cairo_set_source_rgb(cairo, 0, 0, 0);
  show_text(cairo, &text, x, y);
  clear_text(&text);
  return height;
}

// In quarters of a point: each size is looked up among the fonts, which takes long.
static double
smaller(double points, double width, double needed)
{
  return MAX(floor(points * width / needed * 4), 1) / 4;
}

double
rc_fitted_points(double points, double width, const char *string)
{
  const double needed = rc_word_width((RcFace){ points, FALSE }, string);
  return needed > width ? smaller(points, width, needed) : points;
}

// At most `width` wide.
static Text
set_within(cairo_t *cairo, RcFace face, double width, const char *string)
{
  Text text = set_text(cairo, face, string);
  const double needed = points_wide(&text);
  if (needed > width) {
    clear_text(&text);
    text = set_text(cairo, (RcFace){ smaller(face.points, width, needed), face.bold }, string);
  }
  return text;
}

void
rc_draw_label(cairo_t *cairo, double points, double x, double y, double width, double shade, const char *string)
{
  rc_draw_inked(cairo, points, x, y, width, rc_shade_ink(shade), string);
}

// Shows one line, its middle at `y`, and so much of its width to the left of `x`.
static void
show_line(cairo_t *cairo, const Text *text, double part, double x, double y, double ink)
{
  cairo_set_source_rgb(cairo, ink, ink, ink);
  show_text(cairo, text, x - part * width_of(text) / PANGO_SCALE, y - height_of(text) / 2.0 / PANGO_SCALE);
}

void
rc_draw_inked(cairo_t *cairo, double points, double x, double y, double width, double ink, const char *string)
{
  Text text = set_within(cairo, (RcFace){ points, FALSE }, width, string);
  show_line(cairo, &text, 0.5, x, y, ink);
  clear_text(&text);
}

void
rc_draw_fitted(cairo_t *cairo, double points, double x, double y, double width, const char *string)
{
  Text text = set_within(cairo, (RcFace){ points, FALSE }, width, string);
  cairo_set_source_rgb(cairo, 0, 0, 0);
  show_text(cairo, &text, x, y);
  clear_text(&text);
}

gboolean
rc_draw_word_from(cairo_t *cairo, RcFace face, double least, RcAlign align, double x, double y, double width,
                  double ink, const char *string)
{
  static const double parts[] = { [RC_ALIGN_LEFT] = 0, [RC_ALIGN_CENTRE] = 0.5, [RC_ALIGN_RIGHT] = 1 };
  if (!*string) {
    return FALSE;
  }
  Text text = set_text(cairo, face, string);
  const double needed = points_wide(&text);
  if (width > 0 && needed > width) {
    face.points = smaller(face.points, width, needed);
    clear_text(&text);
    if (face.points < least) {
      return FALSE;
    }
    text = set_text(cairo, face, string);
  }
  show_line(cairo, &text, parts[align], x, y, ink);
  clear_text(&text);
  return TRUE;
}

void
rc_draw_word(cairo_t *cairo, RcFace face, RcAlign align, double x, double y, double width, double ink,
             const char *string)
{
  rc_draw_word_from(cairo, face, 0, align, x, y, width, ink, string);
}
