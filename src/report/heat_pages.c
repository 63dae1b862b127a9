// Copyright 2026 the rowcall developers
// SPDX-License-Identifier: MIT

// The use of the buttons.

#include "report/document_pages.h"

#include "report/caption_text.h"
#include "report/heat_boards.h"
#include "report/heat_text.h"

static const char heading[] = "Use of the buttons";

// The chosen size, the next one, and the largest.
static guint
heat_layouts(const RcDocument *d, guint layouts[3])
{
  guint n = 0;
  const RcGain gain = rc_roll_gain(d->report->roll, d->report->chosen);
  const guint last = rc_roll_n_layouts(d->report->roll) - 1;
  layouts[n++] = d->report->chosen;
  if (gain.next >= 0) {
    layouts[n++] = (guint)gain.next;
  }
  guint largest = 0;
  for (guint i = 0; i <= last; ++i) {
    const guint buttons = rc_layout_count_buttons(rc_roll_layout(d->report->roll, i));
    largest = buttons > rc_layout_count_buttons(rc_roll_layout(d->report->roll, largest)) ? i : largest;
  }
  if (largest != layouts[0] && largest != layouts[n - 1]) {
    layouts[n++] = largest;
  }
  return n;
}

static gboolean
is_any(const RcDocument *d, const guint *layouts, guint n, gboolean wide)
{
  for (guint i = 0; i < n; ++i) {
    if (rc_heat_is_wide(rc_roll_layout(d->report->roll, layouts[i]), d->look->paper) == wide) {
      return TRUE;
    }
  }
  return FALSE;
}

// The boards that need pages on their long side, or all others.
static void
draw_boards(RcDocument *d, const guint *layouts, guint n, gboolean wide)
{
  for (guint i = 0; i < n; ++i) {
    const RcUse *use = d->report->uses[layouts[i]];
    if (rc_heat_is_wide(use->layout, d->look->paper) == wide) {
      char *finding = layouts[i] == d->report->chosen ? g_strdup(use->layout->title) : rc_heat_finding(use);
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
  guint layouts[3];
  const guint n = heat_layouts(d, layouts);
  const gboolean wide = rc_heat_is_wide(d->layout, d->look->paper);
  char *found = rc_heat_finding(d->report->uses[d->report->chosen]);
  char *title = g_strdup_printf("%s: %s", d->layout->name, found);
  char *caption = rc_names_caption(rc_roll_layout(d->report->roll, layouts[n - 1]));
  char *notes = g_strdup_printf("Each tune along its best route. %s", caption);
  rc_pages_lay(p, wide);
  rc_document_begin(d, heading, title, notes, NULL);
  rc_heat_draw_key(p);
  draw_boards(d, layouts, n, wide);
  if (is_any(d, layouts, n, !wide) && p->canvas.picture == RC_PICTURE_PDF) {
    rc_pages_lay(p, !wide);
    rc_pages_begin(p, NULL);
    rc_heat_draw_key(p);
  }
  draw_boards(d, layouts, n, !wide); // on the one page of other pictures, smaller if need be
  rc_pages_lay(p, FALSE);
  g_free(found);
  g_free(title);
  g_free(caption);
  g_free(notes);
}
