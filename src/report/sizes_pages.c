// Copyright 2026 the rowcall developers
// SPDX-License-Identifier: MIT

// The landscape of all sizes.

#include "report/document_pages.h"

#include "report/sizes_picture.h"
#include "report/sizes_text.h"

void
rc_section_sizes(RcDocument *d)
{
  enum { ACROSS = 2, SCALE_HEIGHT = 30 };
  const RcSwept *swept = d->report->swept;
  char *title = rc_swept_finding(swept, RC_SIGNS_UNICODE);
  rc_document_begin(d, "All sizes there could be", title, rc_landscape_words, NULL);
  const double height = MIN(rc_landscape_height(swept, ACROSS), rc_pages_room(&d->pages) - SCALE_HEIGHT);
  rc_landscape_draw(d->pages.canvas.cairo, rc_document_box(d, height), ACROSS, swept);
  d->pages.y += height;
  rc_draw_scale(d->pages.canvas.cairo, d->pages.left, d->pages.y, 0, "0", "50", "100 %",
                "share of the playing time carried at the accepted grade");
  g_free(title);
}
