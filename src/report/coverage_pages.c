// Copyright 2026 the rowcall developers
// SPDX-License-Identifier: MIT

// The coverage of all sizes in numbers.

#include "report/document_pages.h"

#include "report/format.h"

#define U64 G_GUINT64_FORMAT

enum { NAME_WIDTH = 62, LINE_HEIGHT = 12, WIDEST = 64 };

// A cell of a table, as wide as it is given, that ends at `right`.
static void
draw_cell(RcPages *p, gboolean head, double right, double width, const char *text)
{
  if (head) {
    rc_canvas_begin_heading(&p->canvas, "Column");
  } else {
    rc_canvas_begin(&p->canvas, "TD");
  }
  rc_draw_text(p->canvas.cairo, head ? RC_TEXT_STRONG : RC_TEXT_NOTE, RC_ALIGN_RIGHT, p->left + right - width, p->y,
               width, 1, text);
  rc_canvas_end(&p->canvas, head ? "TH" : "TD");
}

// A line of a table: a name and `n` cells to its right, no wider than words need.
static void
draw_line(RcPages *p, gboolean head, const char *name, char *const *cells, guint n)
{
  const double width = MIN((p->text_width - NAME_WIDTH) / n, WIDEST);
  rc_canvas_begin(&p->canvas, "TR");
  rc_canvas_begin_heading(&p->canvas, head ? "Column" : "Row");
  rc_draw_text(p->canvas.cairo, head ? RC_TEXT_STRONG : RC_TEXT_NOTE, RC_ALIGN_LEFT, p->left, p->y, NAME_WIDTH, 1,
               name);
  rc_canvas_end(&p->canvas, "TH");
  for (guint i = 0; i < n; ++i) {
    draw_cell(p, head, NAME_WIDTH + (i + 1) * width, width - 4, cells[i]);
  }
  rc_canvas_end(&p->canvas, "TR");
  p->y += LINE_HEIGHT + (head ? 2 : 0);
}

static void
draw_count_lines(RcDocument *d, const char *what, gboolean time)
{
  static const char *const names[] = { "total", "native", "A", "B", "C", "D", "E", "none", "unread" };
  const RcComparison *c = d->report->comparison;
  rc_pages_need(&d->pages, (c->n + 2) * LINE_HEIGHT + 8, "All numbers");
  rc_canvas_begin(&d->pages.canvas, "Table");
  draw_line(&d->pages, TRUE, what, (char *const *)names, G_N_ELEMENTS(names));
  for (guint i = 0; i < c->n; ++i) {
    char *cells[1 + RC_N_VERDICTS];
    const RcCounts counts = c->sizes[i].counts;
    cells[0] = time ? rc_quarters_text(rc_counts_ticks(&counts)) : g_strdup_printf("%" U64, rc_counts_chords(&counts));
    for (guint v = 0; v < RC_N_VERDICTS; ++v) {
      cells[1 + v] = time ? rc_quarters_text(counts.ticks[v]) : g_strdup_printf("%" U64, counts.chords[v]);
    }
    draw_line(&d->pages, FALSE, c->sizes[i].layout->name, cells, G_N_ELEMENTS(cells));
    for (guint j = 0; j < G_N_ELEMENTS(cells); ++j) {
      g_free(cells[j]);
    }
  }
  rc_canvas_end(&d->pages.canvas, "Table");
  d->pages.y += 10;
}

static void
draw_tune_lines(RcDocument *d)
{
  static const char *const names[] = { "total", "native", "playable", "one short" };
  const RcComparison *c = d->report->comparison;
  RcPages *p = &d->pages;
  rc_canvas_begin(&p->canvas, "Table");
  draw_line(p, TRUE, "tunes", (char *const *)names, G_N_ELEMENTS(names));
  for (guint i = 0; i < c->n; ++i) {
    const RcCounts counts = c->sizes[i].counts;
    char *cells[] = { g_strdup_printf("%" U64, counts.tunes), g_strdup_printf("%" U64, counts.native),
                      g_strdup_printf("%" U64, counts.playable), g_strdup_printf("%" U64, counts.one_short) };
    draw_line(p, FALSE, c->sizes[i].layout->name, cells, G_N_ELEMENTS(cells));
    for (guint j = 0; j < G_N_ELEMENTS(cells); ++j) {
      g_free(cells[j]);
    }
  }
  rc_canvas_end(&p->canvas, "Table");
}

void
rc_section_coverage(RcDocument *d)
{
  const gboolean measured = rc_counts_measured(&d->report->comparison->sizes[0].counts);
  rc_document_begin(
    d, "All numbers", "All numbers",
    measured ? "Tunes, chords as played, quarter notes as played. Each line of the last two adds up to its total."
             : "Tunes, and chords as played. Each line of the last adds up to its total.",
    NULL);
  draw_tune_lines(d);
  d->pages.y += 10;
  draw_count_lines(d, "chords", FALSE);
  if (measured) {
    draw_count_lines(d, "quarters", TRUE);
  }
}
