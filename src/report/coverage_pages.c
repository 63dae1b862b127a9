// Copyright 2026 the rowcall developers
// SPDX-License-Identifier: MIT

// The coverage of all sizes by chords and by tunes, and all numbers.

#include "report/document_pages.h"

#include "report/coverage_picture.h"
#include "report/coverage_text.h"
#include "report/format.h"

#define U64 G_GUINT64_FORMAT

static const double section_gap = 14; // points

enum { NAME_WIDTH = 62, LINE_HEIGHT = 12 };

static void
draw_cell(const RcPages *p, RcTextStyle style, double right, double width, const char *text)
{
  rc_draw_text(p->canvas.cairo, style, RC_ALIGN_RIGHT, p->left + right - width, p->y, width, 1, text);
}

// A line of a table: a name and `n` cells to its right.
static void
draw_line(RcPages *p, RcTextStyle style, const char *name, char *const *cells, guint n)
{
  const double width = (p->text_width - NAME_WIDTH) / n;
  rc_draw_text(p->canvas.cairo, style, RC_ALIGN_LEFT, p->left, p->y, NAME_WIDTH, 1, name);
  for (guint i = 0; i < n; ++i) {
    draw_cell(p, style, NAME_WIDTH + (i + 1) * width, width - 4, cells[i]);
  }
  p->y += LINE_HEIGHT;
}

static void
draw_count_lines(RcDocument *d, const char *what, gboolean time)
{
  static const char *const names[] = { "total", "native", "A", "B", "C", "D", "E", "none", "unread" };
  const RcRoll *roll = d->report->roll;
  rc_pages_need(&d->pages, (rc_roll_n_layouts(roll) + 2) * LINE_HEIGHT + 8, "Coverage");
  draw_line(&d->pages, RC_TEXT_STRONG, what, (char *const *)names, G_N_ELEMENTS(names));
  for (guint i = 0; i < rc_roll_n_layouts(roll); ++i) {
    char *cells[1 + RC_N_VERDICTS];
    const RcCounts counts = rc_roll_counts(roll, i);
    cells[0] = time ? rc_quarters_text(rc_counts_ticks(&counts)) : g_strdup_printf("%" U64, rc_counts_chords(&counts));
    for (guint v = 0; v < RC_N_VERDICTS; ++v) {
      cells[1 + v] = time ? rc_quarters_text(counts.ticks[v]) : g_strdup_printf("%" U64, counts.chords[v]);
    }
    draw_line(&d->pages, RC_TEXT_NOTE, rc_roll_layout(roll, i)->name, cells, G_N_ELEMENTS(cells));
    for (guint c = 0; c < G_N_ELEMENTS(cells); ++c) {
      g_free(cells[c]);
    }
  }
  d->pages.y += 10;
}

static void
draw_tune_bar(const RcPages *p, const RcCounts *counts, double x, double width)
{
  const double all = (double)MAX(counts->tunes, 1);
  cairo_t *cairo = p->canvas.cairo;
  rc_shade(cairo, rc_verdict_shade(RC_RICHER));
  cairo_rectangle(cairo, x, p->y + 1, width * (double)counts->playable / all, LINE_HEIGHT - 4);
  cairo_fill(cairo);
  rc_shade(cairo, rc_verdict_shade(RC_NATIVE));
  cairo_rectangle(cairo, x, p->y + 1, width * (double)counts->native / all, LINE_HEIGHT - 4);
  cairo_fill(cairo);
  cairo_set_source_rgb(cairo, 0.35, 0.35, 0.35);
  cairo_set_line_width(cairo, 0.5);
  cairo_rectangle(cairo, x, p->y + 1, width, LINE_HEIGHT - 4);
  cairo_stroke(cairo);
}

static void
draw_tune_lines(RcDocument *d)
{
  static const char *const names[] = { "total", "native", "playable", "", "", "" };
  const RcRoll *roll = d->report->roll;
  RcPages *p = &d->pages;
  rc_pages_need(p, (rc_roll_n_layouts(roll) + 2) * LINE_HEIGHT + 8, "Coverage");
  rc_draw_text(p->canvas.cairo, RC_TEXT_NOTE, RC_ALIGN_LEFT, p->left + p->text_width / 2 + 36, p->y, p->text_width / 2,
               1, "of all tunes: dark native, lighter playable");
  draw_line(p, RC_TEXT_STRONG, "tunes", (char *const *)names, G_N_ELEMENTS(names));
  for (guint i = 0; i < rc_roll_n_layouts(roll); ++i) {
    const RcCounts counts = rc_roll_counts(roll, i);
    char *cells[] = { g_strdup_printf("%" U64, counts.tunes),
                      g_strdup_printf("%" U64, counts.native),
                      g_strdup_printf("%" U64, counts.playable),
                      g_strdup(""),
                      g_strdup(""),
                      g_strdup("") };
    draw_tune_bar(p, &counts, p->left + p->text_width / 2 + 36, p->text_width / 2 - 36);
    draw_line(p, RC_TEXT_NOTE, rc_roll_layout(roll, i)->name, cells, G_N_ELEMENTS(cells));
    for (guint c = 0; c < G_N_ELEMENTS(cells); ++c) {
      g_free(cells[c]);
    }
  }
}

void
rc_section_coverage(RcDocument *d)
{
  const RcRoll *roll = d->report->roll;
  char *finding = rc_coverage_finding(d->report->comparison);
  char *title = g_strconcat(finding, ": all numbers", NULL);
  rc_document_begin(
    d, "Coverage of all sizes", title,
    "The same chords counted one by one, however long they last, and then all numbers: chords as played, quarter "
    "notes as played, whole tunes. Each line adds up to its total.",
    NULL);
  const double chart = rc_coverage_height(rc_roll_n_layouts(roll), d->pages.text_width);
  rc_coverage_draw(d->pages.canvas.cairo, rc_document_box(d, chart), d->report->comparison, RC_SHARE_CHORDS,
                   d->report->chosen);
  d->pages.y += chart + section_gap;
  draw_tune_lines(d);
  d->pages.y += 10;
  draw_count_lines(d, "chords", FALSE);
  draw_count_lines(d, "quarters", TRUE);
  g_free(finding);
  g_free(title);
}
