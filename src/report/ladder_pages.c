// Copyright 2026 the rowcall developers
// SPDX-License-Identifier: MIT

// The ladder: an order of learning on paper, the first step at the top.

#include "report/ladder_text.h"
#include "report/pages.h"

#include "rowcall/error.h"

static const char heading[] = "Ladder";

// In points.
static const double rail = 26;    // between the rails of the ladder
static const double indent = 40;  // of the text beside it
static const double between = 10; // two steps
static const double before_left_out = 18;
static const double with_heading = 60; // of the first lines below it

static void
draw_line(const RcPages *p, double x, double y, double to_x, double to_y)
{
  cairo_t *cairo = p->canvas.cairo;
  cairo_set_source_rgb(cairo, 0.45, 0.45, 0.45);
  cairo_set_line_width(cairo, 1);
  cairo_move_to(cairo, x, y);
  cairo_line_to(cairo, to_x, to_y);
  cairo_stroke(cairo);
}

// Both rails, and moves on below them.
static void
draw_rails(RcPages *p, double height)
{
  rc_canvas_begin(&p->canvas, RC_FURNITURE);
  draw_line(p, p->left, p->y, p->left, p->y + height);
  draw_line(p, p->left + rail, p->y, p->left + rail, p->y + height);
  rc_canvas_end(&p->canvas, RC_FURNITURE);
  p->y += height;
}

static double
text_width(const RcPages *p)
{
  return p->text_width - indent;
}

// Text beside the ladder, whose rails go on along it.
static void
draw_beside(RcPages *p, RcTextStyle style, const char *text)
{
  enum { MOST_LINES = 40 };
  rc_pages_need(p, rc_text_height(style, text_width(p), MOST_LINES, text), heading);
  const double height = rc_canvas_text(&p->canvas, style, p->left + indent, p->y, text_width(p), MOST_LINES, text);
  draw_rails(p, height);
}

// A rung with its number above it.
static void
draw_rung_line(RcPages *p, guint number)
{
  char *text = g_strdup_printf("%u", number);
  const double y = p->y + 15;
  rc_canvas_begin(&p->canvas, "Lbl");
  rc_draw_text(p->canvas.cairo, RC_TEXT_STRONG, RC_ALIGN_CENTRE, p->left, p->y, rail, 1, text);
  draw_line(p, p->left, y, p->left + rail, y);
  rc_canvas_end(&p->canvas, "Lbl");
  g_free(text);
}

static void
draw_rung(RcPages *p, const RcLadder *ladder, guint number)
{
  const RcRung *rung = &ladder->rungs[number];
  char *words = rc_rung_count_text(ladder, rung, RC_SIGNS_UNICODE);
  rc_canvas_begin(&p->canvas, "LI");
  rc_pages_need(p, 20 + rc_text_height(RC_TEXT_NOTE, text_width(p), 0, words), heading);
  draw_rung_line(p, number + 1);
  rc_canvas_begin(&p->canvas, "LBody");
  draw_beside(p, RC_TEXT_STRONG, rung->tunes[0]->title);
  draw_beside(p, RC_TEXT_NOTE, words);
  for (guint i = 1; i < rung->n_tunes && !p->full; ++i) {
    draw_beside(p, RC_TEXT_BODY, rung->tunes[i]->title);
  }
  draw_rails(p, between);
  rc_canvas_end(&p->canvas, "LBody");
  rc_canvas_end(&p->canvas, "LI");
  g_free(words);
}

static void
draw_head(RcPages *p, const char *title, const RcLadder *ladder)
{
  enum { LETTERS = 180 };
  char *lessons = rc_lessons_sentence(ladder, LETTERS, RC_SIGNS_UNICODE);
  rc_pages_begin(p, NULL);
  rc_pages_bookmark(p, heading);
  rc_pages_text(p, RC_TEXT_TITLE, title);
  p->y += 4;
  if (lessons) {
    rc_pages_text(p, RC_TEXT_BODY, lessons);
    p->y += 4;
  }
  rc_pages_text(p, RC_TEXT_NOTE, rc_ladder_rule());
  p->y += 2;
  rc_pages_text(p, RC_TEXT_NOTE, rc_ladder_advice());
  p->y += 14;
  g_free(lessons);
}

static void
draw_left_out(RcPages *p, const RcLadder *ladder)
{
  enum { TITLES = 30 }; // of a paragraph, so that it fits on a page
  if (ladder->n_unplayable && !p->full) {
    p->y += before_left_out;
    rc_pages_need(p, with_heading, heading);
    rc_pages_paragraph(p, RC_TEXT_HEADING, "Left out, since they do not play on this keyboard", heading);
  }
  for (guint i = 0; i < ladder->n_unplayable && !p->full; i += TITLES) {
    GString *titles = g_string_new(NULL);
    for (guint j = i; j < MIN(i + TITLES, ladder->n_unplayable); ++j) {
      g_string_append_printf(titles, "%s%s", j > i ? "  ·  " : "", ladder->unplayable[j]->title);
    }
    rc_pages_paragraph(p, RC_TEXT_NOTE, titles->str, heading);
    g_string_free(titles, TRUE);
  }
}

GBytes *
rc_report_ladder_picture(const RcLadder *ladder, RcPaper paper, RcPicture picture, const RcImprint *imprint,
                         GError **error)
{
  char *title = g_strdup_printf("%u steps on %s", ladder->n, ladder->layout->name);
  RcPages pages = rc_pages_start(picture, paper, heading, imprint, title);
  draw_head(&pages, title, ladder);
  rc_canvas_begin(&pages.canvas, "L");
  for (guint i = 0; i < ladder->n && !pages.full; ++i) {
    draw_rung(&pages, ladder, i);
  }
  rc_canvas_end(&pages.canvas, "L");
  draw_left_out(&pages, ladder);
  const guint number = pages.number;
  GBytes *bytes = rc_pages_finish(&pages, error);
  g_free(title);
  if (bytes && picture != RC_PICTURE_PDF && number > 1) {
    rc_fail(error, RC_ERROR_LIMIT, (RcPlace){ NULL, 0, 0 },
            "the ladder has %u pages, a picture has one; name a .pdf, or take fewer tunes", number);
    g_clear_pointer(&bytes, g_bytes_unref);
  }
  return bytes;
}
