// Copyright 2026 the rowcall developers
// SPDX-License-Identifier: MIT

// Lines of plain words: words of Latin letters, figures and common signs, between spaces. A word is shaped once in each
// weight and scaled to the sizes, since documents hold the same words, names and figures by the thousand, and setting a
// line of text takes long.

#ifndef ROWCALL_SRC_DRAW_WORDS_H
#define ROWCALL_SRC_DRAW_WORDS_H

#include "rowcall/draw.h"

#include <pango/pangocairo.h>

/// A line that is set, or several below one another; in Pango units, but for the glyphs, which are in points.
typedef struct {
  RcFace face;
  char *text;
  cairo_scaled_font_t *font; // borrowed
  cairo_glyph_t *glyphs;     // from the beginning of the line, one a letter
  cairo_text_cluster_t *clusters;
  int *places; // where each letter begins
  int n;
  GArray *starts; // of int: the first letter of each line; NULL where it is one
  int width;
  int height;
  int baseline; // below the top
} RcWords;

/// Returns the attributes of @p text, in a new list; a percent sign stays on the line of its number.
PangoAttrList *rc_words_attributes(const char *text);

/// Returns the font of @p face; free it.
PangoFontDescription *rc_words_font(RcFace face);

/// Makes text on @p context as wide and high on every surface, or on none.
void rc_words_unhint(PangoContext *context);

/// Sets @p text on one line, on a surface whose units are points. It is as PangoLayout sets it; FALSE where that takes
/// more than putting one word after the other: other scripts, fonts that lack a letter or join, kern or replace across
/// spaces.
gboolean rc_words_set(RcWords *words, RcFace face, const char *text);

/// Shortens the line with an ellipsis so that it is at most @p width wide. FALSE where that takes more, as above, or no
/// letter is left.
gboolean rc_words_shorten(RcWords *words, int width);

/// Wraps the line between words, so that none of its lines is wider than @p width; these are @p most or fewer, 0 for
/// any number. FALSE where that takes more, as above, or words are to be broken.
gboolean rc_words_wrap(RcWords *words, int width, guint most);

/// Shows the lines, flush left, with their top left corner at the current point and @p indent, in Pango units, to the
/// right.
void rc_words_show(cairo_t *cairo, const RcWords *words, int indent);

/// Frees what the line holds.
void rc_words_clear(RcWords *words);

#endif
