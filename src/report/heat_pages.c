// Copyright 2026 the rowcall developers
// SPDX-License-Identifier: MIT

// The use of the buttons.

#include "report/document_pages.h"

#include "report/caption_text.h"
#include "report/heat_boards.h"
#include "report/heat_text.h"

static const char heading[] = "Use of the buttons";

static gboolean
is_any(const RcDocument *d, gboolean wide)
{
  for (guint i = 0; i < d->report->n_uses; ++i) {
    if (rc_heat_is_wide(d->report->uses[i]->layout, d->look->paper) == wide) {
      return TRUE;
    }
  }
  return FALSE;
}

// Those that need pages on their long side, or all others.
static void
draw_boards(RcDocument *d, gboolean wide)
{
  for (guint i = 0; i < d->report->n_uses; ++i) {
    const RcUse *use = d->report->uses[i];
    if (rc_heat_is_wide(use->layout, d->look->paper) == wide) {
      char *finding = i ? rc_heat_finding(use) : g_strdup(use->layout->title);
      char *name = g_strdup_printf("%s: %s", use->layout->name, finding);
      rc_heat_draw_use(&d->pages, name, use);
      g_free(finding);
      g_free(name);
    }
  }
}

void
rc_section_heat(RcDocument *d)
{
  RcPages *p = &d->pages;
  const RcReport *report = d->report;
  const gboolean wide = rc_heat_is_wide(d->layout, d->look->paper);
  char *found = rc_heat_finding(report->uses[0]);
  char *title = g_strdup_printf("%s: %s", d->layout->name, found);
  char *caption = rc_names_caption(report->uses[report->n_uses - 1]->layout);
  char *notes = g_strdup_printf("Each tune along its best route. %s", caption);
  rc_pages_lay(p, wide);
  rc_document_begin(d, heading, title, notes, NULL);
  rc_heat_draw_key(p, &report->uses[0]->counts);
  draw_boards(d, wide);
  if (is_any(d, !wide) && p->canvas.picture == RC_PICTURE_PDF) {
    rc_pages_lay(p, !wide);
    rc_pages_begin(p, NULL);
    rc_heat_draw_key(p, &report->uses[0]->counts);
  }
  draw_boards(d, !wide); // on the one page of other pictures, smaller if need be
  rc_pages_lay(p, FALSE);
  g_free(found);
  g_free(title);
  g_free(caption);
  g_free(notes);
}
