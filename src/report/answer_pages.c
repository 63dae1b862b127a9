// Copyright 2026 the rowcall developers
// SPDX-License-Identifier: MIT

// Page one of the report: the answer in words and one figure.

#include "report/document_pages.h"

#include "report/answer_text.h"
#include "report/coverage_picture.h"
#include "report/coverage_text.h"

void
rc_section_answer(RcDocument *d)
{
  RcPages *p = &d->pages;
  const RcReport *r = d->report;
  char *headline = rc_answer_headline(r);
  char *rests = rc_coverage_notes(r->comparison);
  char *notes = g_strdup_printf("The triangle marks the %s. %s", d->layout->name, rests);
  GPtrArray *paragraphs = rc_answer_paragraphs(r);
  rc_pages_begin(p, NULL);
  rc_pages_bookmark(p, "The answer");
  if (d->look->title) {
    rc_pages_text(p, RC_TEXT_STRONG, d->look->title);
  }
  if (d->look->player) {
    char *line = g_strdup_printf("for %s", d->look->player);
    rc_pages_text(p, RC_TEXT_BODY, line);
    g_free(line);
  }
  p->y += 6;
  rc_pages_text(p, RC_TEXT_TITLE, headline);
  p->y += 8;
  for (guint i = 0; i + 1 < paragraphs->len; i += 2) {
    rc_pages_text(p, RC_TEXT_STRONG, g_ptr_array_index(paragraphs, i));
    rc_pages_text(p, RC_TEXT_BODY, g_ptr_array_index(paragraphs, i + 1));
    p->y += 6;
  }
  p->y += 6;
  const double notes_height = rc_text_height(RC_TEXT_NOTE, p->text_width, 0, notes) + 6;
  const double chart =
    MIN(rc_coverage_height(rc_roll_n_layouts(r->roll), p->text_width), rc_pages_room(p) - notes_height);
  rc_coverage_draw(p->canvas.cairo, rc_document_box(d, chart), r->comparison, RC_SHARE_TIME, r->chosen);
  p->y += chart + 6;
  rc_pages_text(p, RC_TEXT_NOTE, notes);
  g_ptr_array_unref(paragraphs);
  g_free(headline);
  g_free(rests);
  g_free(notes);
}
