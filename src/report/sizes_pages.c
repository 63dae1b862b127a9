// Copyright 2026 the rowcall developers
// SPDX-License-Identifier: MIT

// The chart of all sizes.

#include "report/document_pages.h"

#include "report/sizes_picture.h"
#include "report/sizes_text.h"

void
rc_section_sizes(RcDocument *d)
{
  enum { CHART_HEIGHT = 400, LEAST_HEIGHT = 300 };
  static const char heading[] = "All sizes there could be";
  RcPages *p = &d->pages;
  char *title = rc_swept_finding(d->report->swept, RC_SIGNS_UNICODE);
  rc_document_begin(d, heading, title, rc_size_chart_words, NULL);
  rc_pages_need(p, LEAST_HEIGHT, heading);
  const double height = MIN(CHART_HEIGHT, rc_pages_room(p));
  rc_size_chart_draw(&p->canvas, rc_document_box(d, height), d->report->swept);
  p->y += height;
  g_free(title);
}
