// Copyright 2026 the rowcall developers
// SPDX-License-Identifier: MIT

// What each next size buys.

#include "report/document_pages.h"

#include "report/format.h"

#define U64 G_GUINT64_FORMAT

// The most tunes that one step makes playable, and which.
static guint64
most_gained(const RcComparison *c, guint *from)
{
  guint64 most = 0;
  for (guint i = 0; i < c->n; ++i) {
    const RcGain *gain = &c->sizes[i].step.gain;
    if (gain->next >= 0 && gain->tunes > most) {
      most = gain->tunes;
      *from = i;
    }
  }
  return most;
}

static char *
gains_finding(const RcComparison *c)
{
  guint from = 0;
  const guint64 most = most_gained(c, &from);
  if (!most) {
    return g_strdup("No next size makes one more tune playable");
  }
  return g_strdup_printf("The step that buys most tunes is from %s to %s: %" U64 " more", c->sizes[from].layout->name,
                         c->sizes[c->sizes[from].step.gain.next].layout->name, most);
}

void
rc_section_gains(RcDocument *d)
{
  enum { BAR_WIDTH = 120, TEXT_X = 134 };
  RcPages *p = &d->pages;
  const RcComparison *c = d->report->comparison;
  guint from = 0;
  const guint64 most = MAX(most_gained(c, &from), 1);
  char *title = gains_finding(c);
  rc_document_begin(d, "What the next size buys", title,
                    rc_counts_measured(&c->sizes[0].counts)
                      ? "From each size to the next one that has all its buttons: tunes that become playable, playing "
                        "time that becomes good enough, the fewest chords that explain half of these tunes, and "
                        "playing time that moves from stand-ins to buttons of its own. Bars: tunes gained."
                      : "From each size to the next one that has all its buttons: tunes that become playable, chords "
                        "that become good enough, the fewest that explain half of these tunes, and chords that move "
                        "from stand-ins to buttons of their own. Bars: tunes gained.",
                    NULL);
  for (guint i = 0; i < c->n; ++i) {
    char *text = rc_step_text(c, i, RC_SIGNS_UNICODE);
    if (!text) {
      continue;
    }
    const RcGain *gain = &c->sizes[i].step.gain;
    const double width = p->text_width - TEXT_X;
    rc_pages_need(p, MAX(rc_text_height(RC_TEXT_BODY, width, 0, text), 12) + 6, "What the next size buys");
    rc_canvas_begin(&p->canvas, "P");
    rc_shade(p->canvas.cairo, rc_verdict_shade(RC_RICHER));
    cairo_rectangle(p->canvas.cairo, p->left, p->y + 2, BAR_WIDTH * (double)gain->tunes / (double)most, 9);
    cairo_fill(p->canvas.cairo);
    const double height =
      rc_draw_text(p->canvas.cairo, RC_TEXT_BODY, RC_ALIGN_LEFT, p->left + TEXT_X, p->y, width, 0, text);
    rc_canvas_end(&p->canvas, "P");
    p->y += MAX(height, 12) + 6;
    g_free(text);
  }
  g_free(title);
}
