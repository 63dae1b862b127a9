// Copyright 2026 the rowcall developers
// SPDX-License-Identifier: MIT

// The chart of all sizes.

#include "report/sizes_picture.h"

#include "report/format.h"
#include "report/sizes_text.h"

const char rc_size_chart_words[] =
  "Each line is a set of rows, with the best range of columns for each number of buttons; it is dashed where there is "
  "no "
  "counterbass row. Dots are the usual sizes, rings the smallest keyboard of all and the smallest usual one that reach "
  "the target.";

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
fill_line(const RcSwept *s, const RcSweptRows *rows, RcSizeLine *line)
{
  guint *buttons = g_new(guint, rows->n_best);
  double *shares = g_new(double, rows->n_best);
  const guint set = s->sizes[rows->first].size->rows;
  for (guint i = 0; i < rows->n_best; ++i) {
    buttons[i] = s->sizes[rows->best[i]].size->buttons;
    shares[i] = rc_swept_share(s, rows->best[i]);
  }
  const gboolean answer = s->smallest >= (int)rows->first && s->smallest < (int)(rows->first + rows->n);
  *line = (RcSizeLine){ short_rows(s, set), rows->n_best, buttons, shares, !(set & 1U), answer };
}

static RcSizeDot
make_dot(const RcSwept *s, guint index)
{
  const RcSize *size = s->sizes[index].size;
  const gboolean smallest = (int)index == s->smallest;
  const char *first = rc_swept_column(s, size->first, RC_SIGNS_UNICODE);
  const char *last = rc_swept_column(s, size->last, RC_SIGNS_UNICODE);
  char *words = size->usual                 ? g_strdup(size->usual)
                : size->first == size->last ? g_strdup_printf("%u buttons, column %s", size->buttons, first)
                                            : g_strdup_printf("%u buttons, %s to %s", size->buttons, first, last);
  return (RcSizeDot){ words, size->buttons, rc_swept_share(s, index), smallest || (int)index == s->usual };
}

// Of the usual sizes and the smallest of all.
static GArray *
make_dots(const RcSwept *s)
{
  GArray *dots = g_array_new(FALSE, FALSE, sizeof(RcSizeDot));
  for (guint i = 0; i < s->n; ++i) {
    if (s->sizes[i].size->usual || (int)i == s->smallest) {
      const RcSizeDot dot = make_dot(s, i);
      g_array_append_val(dots, dot);
    }
  }
  return dots;
}

static char *
chart_text(const RcSwept *s, const RcSizeChart *chart)
{
  char *finding = rc_swept_finding(s, RC_SIGNS_UNICODE);
  GString *text = g_string_new(NULL);
  g_string_append_printf(text, "Chart of buttons against the %s. %s.", chart->what, finding);
  for (guint i = 0; i < chart->n_dots; ++i) {
    g_string_append_printf(text, " %s: %d %%.", chart->dots[i].name, (int)(chart->dots[i].share * 100));
  }
  g_free(finding);
  return g_string_free(text, FALSE);
}

void
rc_size_chart_draw(RcCanvas *canvas, RcBox box, const RcSwept *s)
{
  GArray *dots = make_dots(s);
  RcSizeLine *lines = g_new(RcSizeLine, MAX(s->n_rows, 1));
  char *percent = rc_target_text(s->target.millionths);
  char *target_text = g_strdup_printf("target %s %%", percent);
  char *axis = s->target.by == RC_TARGET_TUNES
                 ? g_strdup("share of the tunes that are playable")
                 : g_strdup_printf("share of the %s carried", rc_share_of(&s->sizes[0].counts));
  for (guint i = 0; i < s->n_rows; ++i) {
    fill_line(s, &s->rows[i], &lines[i]);
  }
  const RcSizeChart chart = { lines,      s->n_rows, (const RcSizeDot *)(gpointer)dots->data,
                              dots->len,  axis,      (double)s->target.millionths / RC_TARGET_ALL,
                              target_text };
  char *text = chart_text(s, &chart);
  rc_canvas_begin_figure(canvas, text);
  rc_draw_sizes(canvas->cairo, box, &chart);
  rc_canvas_end(canvas, "Figure");
  for (guint i = 0; i < s->n_rows; ++i) {
    g_free((char *)lines[i].label);
    g_free((guint *)lines[i].buttons);
    g_free((double *)lines[i].shares);
  }
  for (guint i = 0; i < dots->len; ++i) {
    g_free((char *)chart.dots[i].name);
  }
  g_array_unref(dots);
  g_free(lines);
  g_free(percent);
  g_free(target_text);
  g_free(axis);
  g_free(text);
}

GBytes *
rc_report_sizes_picture(const RcSwept *swept, RcPicture picture, const RcImprint *imprint, GError **error)
{
  enum { CHART_HEIGHT = 380 };
  const double width = RC_PAGE_LONG - 2 * RC_MARGIN;
  char *title = rc_swept_finding(swept, RC_SIGNS_UNICODE);
  char *timing = rc_timing_text(swept->rolled->roll);
  char *notes = g_strconcat(rc_size_chart_words, " ", timing, NULL);
  const double head =
    rc_text_height(RC_TEXT_TITLE, width, 3, title) + 4 + rc_text_height(RC_TEXT_BODY, width, 0, notes) + 12;
  RcCanvas canvas =
    rc_canvas_start(picture, RC_PAGE_LONG, (int)head + 1 + CHART_HEIGHT + 2 * RC_MARGIN, imprint, title);
  double y = RC_MARGIN;
  y += rc_canvas_text(&canvas, RC_TEXT_TITLE, RC_MARGIN, y, width, 3, title) + 4;
  y += rc_canvas_text(&canvas, RC_TEXT_BODY, RC_MARGIN, y, width, 0, notes) + 12;
  rc_size_chart_draw(&canvas, (RcBox){ RC_MARGIN, y, width, CHART_HEIGHT }, swept);
  cairo_show_page(canvas.cairo);
  g_free(title);
  g_free(timing);
  g_free(notes);
  return rc_canvas_finish(&canvas, error);
}
