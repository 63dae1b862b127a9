// Copyright 2026 the rowcall developers
// SPDX-License-Identifier: MIT

// Page one of the report: a headline, three figures, what to do, and one chart.

#include "report/document_pages.h"

#include "report/answer_text.h"
#include "report/coverage_picture.h"
#include "report/coverage_text.h"

// In points.
static const double column_gap = 16;
static const double verb_width = 44;
static const RcFace number_face = { 28, TRUE }; // that of RC_TEXT_NUMBER; smaller for the name of an own keyboard

static void
draw_title(RcDocument *d)
{
  RcPages *p = &d->pages;
  if (d->look->title) {
    rc_pages_text(p, RC_TEXT_STRONG, d->look->title);
  }
  if (d->look->player) {
    char *line = g_strdup_printf("for %s", d->look->player);
    rc_pages_text(p, RC_TEXT_BODY, line);
    g_free(line);
  }
  p->y += d->look->title || d->look->player ? 8 : 0;
  char *headline = rc_answer_headline(d->report);
  rc_pages_text(p, RC_TEXT_TITLE, headline);
  p->y += 12;
  g_free(headline);
}

// A figure and, below it, what it counts; returns their height.
static double
draw_figure(RcPages *p, double x, double width, const RcAnswerFigure *figure)
{
  double y = p->y;
  rc_canvas_begin(&p->canvas, "P");
  const double height = rc_text_height(RC_TEXT_NUMBER, width, 1, figure->value);
  rc_draw_word(p->canvas.cairo, number_face, RC_ALIGN_LEFT, x, y + height / 2, width, 0, figure->value);
  y += height;
  y += rc_draw_text(p->canvas.cairo, RC_TEXT_BODY, RC_ALIGN_LEFT, x, y, width, 0, figure->counts);
  rc_canvas_end(&p->canvas, "P");
  return y - p->y;
}

static void
draw_figures(RcDocument *d)
{
  RcPages *p = &d->pages;
  RcAnswerFigure figures[RC_ANSWER_FIGURES];
  rc_answer_figures(d->report, figures);
  const double width = (p->text_width - (RC_ANSWER_FIGURES - 1) * column_gap) / RC_ANSWER_FIGURES;
  double height = 0;
  for (guint i = 0; i < RC_ANSWER_FIGURES; ++i) {
    const double drawn = draw_figure(p, p->left + i * (width + column_gap), width, &figures[i]);
    height = MAX(height, drawn);
    g_free(figures[i].value);
    g_free(figures[i].counts);
  }
  p->y += height + 12;
}

static void
draw_actions(RcDocument *d)
{
  enum { LETTERS = 86 };
  RcPages *p = &d->pages;
  RcAnswerAction actions[RC_ANSWER_ACTIONS];
  const gboolean listed = rc_document_has(d, rc_section_moves);
  const guint n = rc_answer_actions(d->report, LETTERS, listed ? "“Tunes to move”" : "rowcall keys", actions);
  for (guint i = 0; i < n; ++i) {
    cairo_t *cairo = p->canvas.cairo;
    const gboolean linked = listed && d->report->advice.n_moved && g_str_equal(actions[i].verb, "Move");
    rc_canvas_begin(&p->canvas, "P");
    if (linked) {
      rc_pages_begin_link(p, (RcBox){ p->left, p->y, p->text_width, 12 }, "moves");
    }
    rc_draw_text(cairo, RC_TEXT_STRONG, RC_ALIGN_LEFT, p->left, p->y, verb_width, 1, actions[i].verb);
    p->y += rc_draw_text(cairo, RC_TEXT_BODY, RC_ALIGN_LEFT, p->left + verb_width, p->y, p->text_width - verb_width, 2,
                         actions[i].text);
    if (linked) {
      rc_pages_end_link(p);
    }
    rc_canvas_end(&p->canvas, "P");
    p->y += 4;
    g_free(actions[i].text);
  }
  p->y += 10;
}

static void
draw_chart(RcDocument *d, double below)
{
  RcPages *p = &d->pages;
  RcCoverageChart chart = rc_coverage_chart(d->report->comparison, d->report->chosen);
  const double height = MIN(rc_coverage_height(&chart, p->text_width), rc_pages_room(p) - below);
  char *text = rc_coverage_chart_text(&chart);
  rc_draw_coverage(p->canvas.cairo, rc_pages_begin_figure(p, height, "", text), &chart);
  rc_pages_end_figure(p, height);
  p->y += 10;
  rc_coverage_chart_clear(&chart);
  g_free(text);
}

// What the chart rests on, and what to mind.
static char *
notes_text(const RcDocument *d)
{
  char *left_out = rc_answer_left_out(d->report);
  char *rests = rc_coverage_notes(d->report->comparison);
  char *notes = g_strdup_printf("%s%s%s %s", left_out, *left_out ? " " : "", rests, rc_answer_caution);
  g_free(left_out);
  g_free(rests);
  return notes;
}

void
rc_section_answer(RcDocument *d)
{
  RcPages *p = &d->pages;
  const RcCounts counts = d->report->comparison->sizes[d->report->chosen].counts;
  char *notes = notes_text(d);
  rc_pages_begin(p, NULL);
  rc_pages_bookmark(p, "The answer");
  draw_title(d);
  if (rc_counts_read(&counts)) {
    draw_figures(d);
    draw_actions(d);
  }
  draw_chart(d, rc_text_height(RC_TEXT_BODY, p->text_width, 0, notes) + 10);
  rc_pages_text(p, RC_TEXT_BODY, notes);
  g_free(notes);
}
