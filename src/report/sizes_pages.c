// Copyright 2026 the rowcall developers
// SPDX-License-Identifier: MIT

// The chart of all sizes.

#include "report/document_pages.h"

#include "report/sizes_picture.h"
#include "report/sizes_text.h"

void
rc_section_sizes(RcDocument *d)
{
  enum { HEAD = 130, CHART_HEIGHT = 400, LEAST_HEIGHT = 300 };
  RcPages *p = &d->pages;
  char *title = rc_swept_finding(d->report->swept, RC_SIGNS_UNICODE);
  rc_document_reserve(d, HEAD + LEAST_HEIGHT);
  rc_document_begin(d, "All sizes there could be", title, rc_size_chart_words, NULL);
  const double height = MIN(CHART_HEIGHT, rc_pages_room(p));
  rc_size_chart_draw(&p->canvas, rc_document_box(d, height), d->report->swept);
  p->y += height;
  g_free(title);
}
