// Copyright 2026 the rowcall developers
// SPDX-License-Identifier: MIT

// Every tune with its verdict on every size.

#include "report/document_pages.h"

#include "report/format.h"

#define U64 G_GUINT64_FORMAT

enum { KEY_WIDTH = 46, ROW_HEIGHT = 12 };

typedef struct {
  double title_width;
  double cell_width;
} IndexGrid;

static IndexGrid
index_grid(const RcDocument *d)
{
  const guint n = rc_roll_n_layouts(d->report->roll);
  const double cell = MIN(20, (d->pages.text_width - 150) / n);
  return (IndexGrid){ d->pages.text_width - KEY_WIDTH - n * cell, cell };
}

static void
draw_index_head(RcDocument *d, const IndexGrid *grid)
{
  RcPages *p = &d->pages;
  cairo_t *cairo = p->canvas.cairo;
  const double height = 44;
  for (guint i = 0; i < rc_roll_n_layouts(d->report->roll); ++i) {
    cairo_save(cairo);
    cairo_translate(cairo, p->left + grid->title_width + KEY_WIDTH + i * grid->cell_width + 2, p->y + height);
    cairo_rotate(cairo, -G_PI / 2);
    rc_draw_text(cairo, RC_TEXT_NOTE, RC_ALIGN_LEFT, 0, 0, height, 1, rc_roll_layout(d->report->roll, i)->name);
    cairo_restore(cairo);
  }
  p->y += height + 3;
}

static void
draw_verdict_cell(const RcDocument *d, double x, double width, const RcCounts *counts)
{
  static const char *const letters[] = { "", "A", "B", "C", "D", "E", "×", "?" };
  const RcVerdict worst = rc_counts_worst(counts);
  const double shade = counts->tunes ? rc_verdict_shade(worst) : -1;
  cairo_t *cairo = d->pages.canvas.cairo;
  cairo_rectangle(cairo, x, d->pages.y, width - 1, ROW_HEIGHT - 1);
  if (shade >= 0) {
    rc_shade(cairo, shade);
    cairo_fill(cairo);
  } else {
    cairo_set_source_rgb(cairo, 0.8, 0.8, 0.8);
    cairo_set_line_width(cairo, 0.4);
    cairo_stroke(cairo);
  }
  if (counts->tunes && *letters[worst]) {
    rc_draw_label(cairo, 7, x + (width - 1) / 2, d->pages.y + (ROW_HEIGHT - 1) / 2.0, width, shade, letters[worst]);
  }
}

static void
draw_index_row(RcDocument *d, const IndexGrid *grid, guint number, RcCounts *counts)
{
  RcPages *p = &d->pages;
  const RcTune *tune = d->report->tunes[number];
  const RcRollSettings settings = rc_roll_get_settings(d->report->roll);
  char *name = rc_tune_short_key(tune, RC_SIGNS_UNICODE);
  rc_panel_counts(d->report->panel, &settings, tune, counts);
  rc_draw_text(p->canvas.cairo, RC_TEXT_NOTE, RC_ALIGN_LEFT, p->left, p->y + 1, grid->title_width - 6, 1, tune->title);
  rc_draw_text(p->canvas.cairo, RC_TEXT_NOTE, RC_ALIGN_LEFT, p->left + grid->title_width, p->y + 1, KEY_WIDTH - 4, 1,
               name);
  for (guint i = 0; i < rc_roll_n_layouts(d->report->roll); ++i) {
    draw_verdict_cell(d, p->left + grid->title_width + KEY_WIDTH + i * grid->cell_width, grid->cell_width, &counts[i]);
  }
  if (rc_document_has(d, rc_section_sheets)) {
    char *place = g_strdup_printf("tune%u", number + 1);
    rc_pages_link(p, (RcBox){ p->left, p->y, grid->title_width, ROW_HEIGHT }, place);
    g_free(place);
  }
  p->y += ROW_HEIGHT;
  g_free(name);
}

void
rc_section_index(RcDocument *d)
{
  static const char heading[] = "All tunes";
  const IndexGrid grid = index_grid(d);
  const RcCounts chosen = rc_roll_counts(d->report->roll, d->report->chosen);
  RcCounts *counts = g_new(RcCounts, rc_roll_n_layouts(d->report->roll));
  char *title = g_strdup_printf("%" U64 " of %" U64 " tunes can be played whole on the %s", chosen.playable,
                                chosen.tunes, d->layout->name);
  rc_document_begin(
    d, heading, title,
    "For each tune and size the worst verdict among its chords: dark without a letter, every chord has its own "
    "button; A to E the grade of the worst stand-in; × some chord has no grip; ? some chord could not be read; "
    "empty: a tune without chords. A key in brackets is assumed from the chords.",
    NULL);
  rc_pages_name(&d->pages, "index");
  draw_index_head(d, &grid);
  for (guint i = 0; i < d->report->n_tunes && !d->pages.full; ++i) {
    if (rc_pages_room(&d->pages) < ROW_HEIGHT) {
      rc_pages_need(&d->pages, ROW_HEIGHT, heading);
      draw_index_head(d, &grid);
    }
    draw_index_row(d, &grid, i, counts);
  }
  g_free(counts);
  g_free(title);
}
