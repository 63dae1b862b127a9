// Copyright 2026 the rowcall developers
// SPDX-License-Identifier: MIT

// The landscape of all sizes.

#include "report/sizes_picture.h"

#include "report/canvas.h"
#include "report/format.h"
#include "report/sizes_text.h"

#include <math.h>

const char rc_landscape_words[] =
  "One panel a set of rows; a cell is a keyboard: along, its flattest column; up, how many columns it has. Framed and "
  "named: the usual sizes. Above the line the target is reached.";

enum { PANEL_GAP = 18, PANEL_HEIGHT = 188 };

// What the target is about, 0 to 1.
static double
share_of(const RcSwept *s, const RcCounts *counts)
{
  const gint64 part = s->target.by == RC_TARGET_TUNES ? (gint64)counts->playable : rc_counts_carried(counts, s->accept);
  const gint64 whole = s->target.by == RC_TARGET_TUNES ? (gint64)counts->tunes : rc_counts_read(counts);
  return whole ? (double)part / (double)whole : 0;
}

// "4 rows, counterbass to minor" where they lie side by side, as all usual ones do.
static char *
short_rows(const RcSwept *s, guint rows)
{
  char *all = rc_swept_rows_text(s, rows);
  char **names = g_strsplit(all, ", ", -1);
  const guint n = g_strv_length(names);
  const guint lowest = rows & (~rows + 1);
  const gboolean side_by_side = ((rows + lowest) & rows) == 0;
  char *text = n > 1 && side_by_side ? g_strdup_printf("%u rows, %s to %s", n, names[0], names[n - 1]) : g_strdup(all);
  g_strfreev(names);
  g_free(all);
  return text;
}

static void
draw_panel(cairo_t *cairo, RcBox box, const RcSwept *s, const RcSweptRows *rows, const char *const *names)
{
  GArray *marks = g_array_new(FALSE, FALSE, sizeof(RcLandscapeMark));
  double *shares = g_new(double, rows->n);
  for (guint i = 0; i < rows->n; ++i) {
    const RcSize *size = s->sizes[rows->first + i].size;
    shares[i] = share_of(s, &s->sizes[rows->first + i].counts);
    if (size->usual) {
      const RcLandscapeMark mark = { size->first, size->last - size->first + 1, size->usual };
      g_array_append_val(marks, mark);
    }
  }
  const int best = rows->smallest;
  char *title = short_rows(s, s->sizes[rows->first].size->rows);
  char *note = best < 0 ? g_strdup("no range of columns reaches the target")
                        : rc_swept_size_text(s, s->sizes[best].size, RC_SIGNS_UNICODE);
  char *text = best < 0 ? g_strdup(note) : g_strdup_printf("target reached with %s", note);
  const RcLandscape land = { title,
                             text,
                             rc_sweep_full(s->sweep)->columns->len,
                             names,
                             shares,
                             (double)s->target.millionths / RC_TARGET_ALL,
                             (const RcLandscapeMark *)(gpointer)marks->data,
                             marks->len };
  rc_draw_landscape(cairo, box, &land);
  g_array_unref(marks);
  g_free(shares);
  g_free(title);
  g_free(note);
  g_free(text);
}

double
rc_landscape_height(const RcSwept *s, guint across)
{
  const guint lines = (s->n_rows + across - 1) / across;
  return lines * (PANEL_HEIGHT + PANEL_GAP);
}

void
rc_landscape_draw(cairo_t *cairo, RcBox box, guint across, const RcSwept *s)
{
  const guint columns = rc_sweep_full(s->sweep)->columns->len;
  const double width = (box.width - (across - 1) * PANEL_GAP) / across;
  const guint lines = (s->n_rows + across - 1) / across;
  const double step = box.height / lines;
  const char **names = g_new(const char *, columns);
  for (guint i = 0; i < columns; ++i) {
    names[i] = rc_swept_column(s, i, RC_SIGNS_UNICODE);
  }
  for (guint set = 0; set < s->n_rows; ++set) {
    const guint line = set / across;
    const RcBox panel = { box.x + (set % across) * (width + PANEL_GAP), box.y + line * step, width, step - PANEL_GAP };
    draw_panel(cairo, panel, s, &s->rows[set], names);
  }
  g_free(names);
}

static void
draw_scale(cairo_t *cairo, double x, double y, RcTarget target)
{
  rc_draw_scale(cairo, x, y, 0, "0", "50", "100 %",
                target.by == RC_TARGET_TUNES ? "share of the tunes that are playable"
                                             : "share of the playing time carried at the accepted grade");
}

GBytes *
rc_report_sizes_picture(const RcSwept *swept, RcPicture picture, const RcImprint *imprint, GError **error)
{
  enum { SCALE_HEIGHT = 26, ACROSS = 3 };
  const double width = RC_PAGE_LONG - 2 * RC_MARGIN;
  const double panels = rc_landscape_height(swept, ACROSS);
  char *title = rc_swept_finding(swept, RC_SIGNS_UNICODE);
  char *timing = rc_timing_text(swept->rolled->roll);
  char *notes = g_strconcat(rc_landscape_words, " ", timing, NULL);
  const double head =
    rc_text_height(RC_TEXT_TITLE, width, 3, title) + 4 + rc_text_height(RC_TEXT_BODY, width, 0, notes) + 12;
  RcCanvas canvas =
    rc_canvas_start(picture, RC_PAGE_LONG, ceil(head + panels) + SCALE_HEIGHT + 2 * RC_MARGIN, imprint, title);
  double y = RC_MARGIN;
  y += rc_canvas_text(&canvas, RC_TEXT_TITLE, RC_MARGIN, y, width, 3, title) + 4;
  y += rc_canvas_text(&canvas, RC_TEXT_BODY, RC_MARGIN, y, width, 0, notes) + 12;
  rc_canvas_begin_figure(&canvas, title);
  rc_landscape_draw(canvas.cairo, (RcBox){ RC_MARGIN, y, width, panels }, ACROSS, swept);
  draw_scale(canvas.cairo, RC_MARGIN, y + panels, swept->target);
  rc_canvas_end(&canvas, "Figure");
  cairo_show_page(canvas.cairo);
  g_free(title);
  g_free(timing);
  g_free(notes);
  return rc_canvas_finish(&canvas, error);
}
