// Copyright 2026 the rowcall developers
// SPDX-License-Identifier: MIT

// The tunes to move: those that the keyboard does not play as written, and the keys in which it does.

#include "report/document_pages.h"

#include "report/format.h"
#include "report/move_text.h"

static const char bookmark[] = "Tunes to move";

static const double row_height = 15; // points

enum { MOST_LISTED = 180 }; // tunes: four pages

// The columns of the table, in parts of the width; what has no heading goes on with the cell before it.
static const struct {
  const char *heading;
  double x;
  double width;
  RcAlign align;
} columns[] = { { "tune", 0, 0.38, RC_ALIGN_LEFT },        { "written in", 0.39, 0.12, RC_ALIGN_LEFT },
                { "carried", 0.51, 0.09, RC_ALIGN_RIGHT }, { "move to", 0.63, 0.1, RC_ALIGN_LEFT },
                { NULL, 0.73, 0.18, RC_ALIGN_LEFT },       { "there", 0.92, 0.08, RC_ALIGN_LEFT } };

enum { COLUMNS = G_N_ELEMENTS(columns) };

static void
draw_cell(RcPages *p, RcTextStyle style, guint column, const char *text)
{
  const double width = columns[column].width * p->text_width;
  rc_draw_text(p->canvas.cairo, style, columns[column].align, p->left + columns[column].x * p->text_width, p->y, width,
               1, text);
}

static void
draw_headings(RcPages *p)
{
  rc_canvas_begin(&p->canvas, "TR");
  for (guint i = 0; i < COLUMNS; ++i) {
    if (columns[i].heading) {
      rc_canvas_begin_heading(&p->canvas, "Column");
      draw_cell(p, RC_TEXT_STRONG, i, columns[i].heading);
      rc_canvas_end(&p->canvas, "TH");
    }
  }
  rc_canvas_end(&p->canvas, "TR");
  p->y += row_height + 2;
}

static void
draw_row(RcPages *p, const RcMoved *moved)
{
  char percent[8];
  rc_percent(percent, moved->carried, moved->read, 0, RC_TARGET_ALL);
  char *const cells[COLUMNS] = { g_strdup(moved->tune->title),
                                 rc_move_key(moved->tune, RC_AS_WRITTEN, RC_SIGNS_UNICODE),
                                 g_strdup_printf("%s\u00a0%%", *percent == '-' ? "0" : percent),
                                 rc_move_key(moved->tune, moved->move, RC_SIGNS_UNICODE),
                                 g_strdup(rc_move_called(moved->move)),
                                 g_strdup(moved->native ? "native" : "plays") };
  rc_canvas_begin(&p->canvas, "TR");
  for (guint i = 0; i < COLUMNS; ++i) {
    if (!i) {
      rc_canvas_begin_heading(&p->canvas, "Row");
    } else if (columns[i].heading) {
      rc_canvas_begin(&p->canvas, "TD");
    }
    draw_cell(p, RC_TEXT_BODY, i, cells[i]);
    if (i + 1 == COLUMNS || columns[i + 1].heading) {
      rc_canvas_end(&p->canvas, i ? "TD" : "TH");
    }
    g_free(cells[i]);
  }
  rc_canvas_end(&p->canvas, "TR");
  p->y += row_height;
}

static void
draw_table(RcPages *p, const RcMoved *moved, guint n)
{
  rc_canvas_begin(&p->canvas, "Table");
  draw_headings(p);
  for (guint i = 0; i < n && !p->full; ++i) {
    if (rc_pages_room(p) < row_height) {
      rc_canvas_end(&p->canvas, "Table");
      rc_pages_need(p, row_height, bookmark);
      rc_canvas_begin(&p->canvas, "Table");
      draw_headings(p);
    }
    draw_row(p, &moved[i]);
  }
  rc_canvas_end(&p->canvas, "Table");
}

// Said only where nothing else is.
static void
draw_nothing_to_move(RcDocument *d)
{
  if (!d->pages.number) {
    rc_document_begin(d, bookmark, "Tunes to move: none plays in another key that does not play as written", NULL,
                      NULL);
  }
}

static void
draw_moves(RcDocument *d, guint listed)
{
  RcPages *p = &d->pages;
  const RcAdvice *advice = &d->report->advice;
  char *title = g_strdup_printf("Tunes to move: %u more play in other keys", advice->n_moved);
  rc_document_begin(d, bookmark, title,
                    "Those that gain most time first. Native: there each chord has a button of its own. Ask the "
                    "others who play or sing, and try the melody in the new key.",
                    NULL);
  rc_pages_name(p, "moves");
  draw_table(p, advice->moved, listed);
  if (listed < advice->n_moved) {
    char *more = g_strdup_printf("and %u more; rowcall keys names them all", advice->n_moved - listed);
    p->y += 4;
    rc_pages_paragraph(p, RC_TEXT_BODY, more, bookmark);
    g_free(more);
  }
  g_free(title);
}

void
rc_section_moves(RcDocument *d)
{
  const guint listed = MIN(d->report->advice.n_moved, MOST_LISTED);
  if (listed) {
    draw_moves(d, listed);
  } else {
    draw_nothing_to_move(d);
  }
}
