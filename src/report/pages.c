// Copyright 2026 the rowcall developers
// SPDX-License-Identifier: MIT

#include "report/pages.h"

#include "base/visible.h"
#include "rowcall/error.h"
#include "rowcall/report.h"

#include <cairo-pdf.h>

// In points.
static const double top = 40;
static const double side = 46;
static const double bottom = 46;     // the running title is in it
static const double key_height = 34; // of three lines
static const double number_width = 40;

static const double papers[][2] = { [RC_PAPER_A4] = { 595.28, 841.89 }, [RC_PAPER_LETTER] = { 612, 792 } };

RcPages
rc_pages_start(RcPicture picture, RcPaper paper, const char *running, const RcImprint *imprint, const char *found)
{
  return rc_pages_start_sized(picture, papers[paper][0], papers[paper][1], running, imprint, found);
}

RcPages
rc_pages_start_sized(RcPicture picture, double width, double height, const char *running, const RcImprint *imprint,
                     const char *found)
{
  return (RcPages){ .canvas = rc_canvas_start(picture, width, height, imprint, found),
                    .width = width,
                    .height = height,
                    .running = running,
                    .left = side,
                    .text_width = width - 2 * side };
}

double
rc_pages_text_width(RcPaper paper, gboolean lying)
{
  return papers[paper][lying] - 2 * side;
}

void
rc_pages_lay(RcPages *p, gboolean lying)
{
  p->turned = p->canvas.picture == RC_PICTURE_PDF && lying != (p->width > p->height);
}

static void
turn(RcPages *p)
{
  const double width = p->height;
  p->height = p->width;
  p->width = width;
  p->text_width = width - 2 * side;
  p->turned = FALSE;
  cairo_pdf_surface_set_size(p->canvas.surface, p->width, p->height);
}

static double
foot_y(const RcPages *p)
{
  return p->height - bottom;
}

// The number is at the outer edge of a page printed on both sides, the running title at the inner one.
static void
draw_foot(RcPages *p)
{
  char *number = g_strdup_printf("%u", p->number);
  const gboolean odd = p->number % 2 == 1;
  const double number_x = odd ? p->left + p->text_width - number_width : p->left;
  rc_canvas_begin(&p->canvas, RC_FURNITURE);
  rc_draw_text(p->canvas.cairo, RC_TEXT_NOTE, odd ? RC_ALIGN_LEFT : RC_ALIGN_RIGHT,
               odd ? p->left : p->left + number_width, foot_y(p) + 10, p->text_width - number_width, 1,
               p->foot ? p->foot : p->running);
  rc_draw_text(p->canvas.cairo, RC_TEXT_STRONG, odd ? RC_ALIGN_RIGHT : RC_ALIGN_LEFT, number_x, foot_y(p) + 8,
               number_width, 1, number);
  rc_canvas_end(&p->canvas, RC_FURNITURE);
  g_free(number);
}

static void
end_page(RcPages *p)
{
  if (p->key) {
    rc_canvas_text(&p->canvas, RC_TEXT_NOTE, p->left, foot_y(p) - key_height, p->text_width, 4, p->key);
  }
  draw_foot(p);
  g_clear_pointer(&p->foot, g_free);
  cairo_show_page(p->canvas.cairo);
}

// Draws a frame of white along the edges of a page: cairo notes where on it there is something, place by place, which
// of thousands takes long; where the first place is as large as the page it takes nothing.
static void
draw_edges(RcPages *p)
{
  static const double edge = 1; // what is as large as the page is taken to undo all before it
  if (p->canvas.picture == RC_PICTURE_PDF) {
    rc_canvas_begin(&p->canvas, RC_FURNITURE);
    cairo_set_source_rgb(p->canvas.cairo, 1, 1, 1);
    cairo_set_line_width(p->canvas.cairo, 0.1);
    cairo_rectangle(p->canvas.cairo, edge, edge, p->width - 2 * edge, p->height - 2 * edge);
    cairo_stroke(p->canvas.cairo);
    rc_canvas_end(&p->canvas, RC_FURNITURE);
  }
}

void
rc_pages_begin(RcPages *p, const char *key)
{
  if (p->number && !p->full) {
    end_page(p);
  }
  if (p->turned && p->number < RC_MAX_PAGES) {
    turn(p);
  }
  char *copy = g_strdup(key); // which may be the one that goes
  g_free(p->key);
  p->key = copy;
  p->full |= p->number == RC_MAX_PAGES;
  p->number += !p->full;
  p->y = top;
  draw_edges(p);
}

void
rc_pages_set_foot(RcPages *p, char *text)
{
  g_free(p->foot);
  p->foot = text;
}

double
rc_pages_room(const RcPages *p)
{
  return foot_y(p) - (p->key ? key_height + 4 : 0) - p->y;
}

void
rc_pages_need(RcPages *p, double height, const char *heading)
{
  if (height > rc_pages_room(p) && p->y > top) {
    rc_pages_begin(p, p->key);
    char *text = g_strconcat(heading, " (continued)", NULL);
    rc_canvas_begin(&p->canvas, RC_FURNITURE); // nobody who listens has turned a page
    p->y += rc_draw_text(p->canvas.cairo, RC_TEXT_STRONG, RC_ALIGN_LEFT, p->left, p->y, p->text_width, 1, text) + 8;
    rc_canvas_end(&p->canvas, RC_FURNITURE);
    g_free(text);
  }
}

void
rc_pages_text(RcPages *p, RcTextStyle style, const char *text)
{
  p->y += rc_canvas_text(&p->canvas, style, p->left, p->y, p->text_width, 0, text);
}

void
rc_pages_paragraph(RcPages *p, RcTextStyle style, const char *text, const char *heading)
{
  enum { MOST_LINES = 40 }; // these fit on a page
  rc_pages_need(p, rc_text_height(style, p->text_width, MOST_LINES, text), heading);
  p->y += rc_canvas_text(&p->canvas, style, p->left, p->y, p->text_width, MOST_LINES, text);
}

RcBox
rc_pages_begin_figure(RcPages *p, double height, const char *heading, const char *text)
{
  rc_pages_need(p, height, heading);
  rc_canvas_begin_figure(&p->canvas, text);
  return (RcBox){ p->left, p->y, p->text_width, height };
}

void
rc_pages_end_figure(RcPages *p, double height)
{
  rc_canvas_end(&p->canvas, "Figure");
  p->y += height;
}

void
rc_pages_bookmark(RcPages *p, const char *text)
{
  if (p->canvas.picture != RC_PICTURE_PDF) {
    return;
  }
  char *link = g_strdup_printf("page=%u pos=[0 %d]", p->number, p->y > top ? (int)p->y : 0);
  char *shown = rc_visible(text);
  cairo_pdf_surface_add_outline(p->canvas.surface, CAIRO_PDF_OUTLINE_ROOT, shown, link, CAIRO_PDF_OUTLINE_FLAG_OPEN);
  g_free(shown);
  g_free(link);
}

void
rc_pages_name(RcPages *p, const char *name)
{
  if (p->canvas.picture == RC_PICTURE_PDF) {
    char *attributes = g_strdup_printf("name='%s' x=0 y=0", name);
    cairo_tag_begin(p->canvas.cairo, CAIRO_TAG_DEST, attributes);
    cairo_tag_end(p->canvas.cairo, CAIRO_TAG_DEST);
    g_free(attributes);
  }
}

void
rc_pages_begin_link(RcPages *p, RcBox box, const char *name)
{
  if (p->canvas.picture == RC_PICTURE_PDF) {
    char *attributes =
      g_strdup_printf("dest='%s' rect=[%d %d %d %d]", name, (int)box.x, (int)box.y, (int)box.width, (int)box.height);
    cairo_tag_begin(p->canvas.cairo, CAIRO_TAG_LINK, attributes);
    g_free(attributes);
  }
}

void
rc_pages_end_link(RcPages *p)
{
  if (p->canvas.picture == RC_PICTURE_PDF) {
    cairo_tag_end(p->canvas.cairo, CAIRO_TAG_LINK);
  }
}

void
rc_pages_link(RcPages *p, RcBox box, const char *name)
{
  rc_pages_begin_link(p, box, name);
  rc_pages_end_link(p);
}

GBytes *
rc_pages_finish(RcPages *p, GError **error)
{
  if (p->number) {
    end_page(p);
  }
  g_clear_pointer(&p->key, g_free);
  GBytes *bytes = rc_canvas_finish(&p->canvas, p->full ? NULL : error);
  if (p->full) {
    g_clear_pointer(&bytes, g_bytes_unref);
    rc_fail(error, RC_ERROR_LIMIT, (RcPlace){ NULL, 0, 0 },
            "more than %d pages; take fewer tunes at once, or leave out the sheets", RC_MAX_PAGES);
  }
  return bytes;
}
