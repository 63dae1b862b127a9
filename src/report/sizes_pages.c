// Copyright 2026 the rowcall developers
// SPDX-License-Identifier: MIT

// The landscape of all sizes.

#include "report/document_pages.h"

#include "report/sizes_picture.h"

void
rc_section_sizes(RcDocument *d)
{
  enum { ACROSS = 2, SCALE_HEIGHT = 30 };
  const RcReport *r = d->report;
  const RcTarget target = rc_target();
  char *title = rc_sizes_finding(r->sweep, r->sweep_roll, target);
  rc_document_begin(d, "All sizes there could be", title, rc_landscape_words, NULL);
  const double height = MIN(rc_landscape_height(r->sweep, ACROSS), rc_pages_room(&d->pages) - SCALE_HEIGHT);
  rc_landscape_draw(d->pages.canvas.cairo, rc_document_box(d, height), ACROSS, r->sweep, r->sweep_roll, target);
  d->pages.y += height;
  rc_draw_scale(d->pages.canvas.cairo, d->pages.left, d->pages.y, 0, "0", "50", "100 %",
                "share of the playing time carried at the accepted grade");
  g_free(title);
}
