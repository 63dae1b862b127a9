// Copyright 2026 the rowcall developers
// SPDX-License-Identifier: MIT

// The use of the buttons.

#include "report/document_pages.h"

#include "report/caption_text.h"
#include "report/heat_boards.h"
#include "report/heat_text.h"

static const char heading[] = "Use of the buttons";

enum { MOST_BOARDS = 3 };

// The keyboards that are drawn, and how they are used; the chosen one first, whose use is the report's.
typedef struct {
  guint layouts[MOST_BOARDS];
  RcUse *uses[MOST_BOARDS];
  guint n;
} Boards;

static guint
find_largest(const RcRoll *roll)
{
  guint largest = 0;
  for (guint i = 1; i < rc_roll_n_layouts(roll); ++i) {
    const guint buttons = rc_layout_count_buttons(rc_roll_layout(roll, i));
    largest = buttons > rc_layout_count_buttons(rc_roll_layout(roll, largest)) ? i : largest;
  }
  return largest;
}

// The chosen size, the next one, and the largest.
static Boards
find_boards(const RcReport *report)
{
  Boards boards = { { report->chosen }, { report->use }, 1 };
  const RcGain gain = rc_roll_gain(report->roll, report->chosen);
  const guint largest = find_largest(report->roll);
  if (gain.next >= 0) {
    boards.layouts[boards.n++] = (guint)gain.next;
  }
  if (largest != boards.layouts[0] && largest != boards.layouts[boards.n - 1]) {
    boards.layouts[boards.n++] = largest;
  }
  rc_rolled_uses(report->rolled, boards.layouts + 1, boards.n - 1, boards.uses + 1);
  return boards;
}

static void
free_boards(const Boards *boards)
{
  for (guint i = 1; i < boards->n; ++i) {
    rc_use_free(boards->uses[i]);
  }
}

static const RcLayout *
layout_of(const RcDocument *d, const Boards *boards, guint i)
{
  return rc_roll_layout(d->report->roll, boards->layouts[i]);
}

static gboolean
is_any(const RcDocument *d, const Boards *boards, gboolean wide)
{
  for (guint i = 0; i < boards->n; ++i) {
    if (rc_heat_is_wide(layout_of(d, boards, i), d->look->paper) == wide) {
      return TRUE;
    }
  }
  return FALSE;
}

// Those that need pages on their long side, or all others.
static void
draw_boards(RcDocument *d, const Boards *boards, gboolean wide)
{
  for (guint i = 0; i < boards->n; ++i) {
    const RcUse *use = boards->uses[i];
    const RcLayout *layout = layout_of(d, boards, i);
    if (rc_heat_is_wide(layout, d->look->paper) == wide) {
      char *finding = i ? rc_heat_finding(use) : g_strdup(layout->title);
      char *name = g_strdup_printf("%s: %s", layout->name, finding);
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
  const Boards boards = find_boards(d->report);
  const gboolean wide = rc_heat_is_wide(d->layout, d->look->paper);
  char *found = rc_heat_finding(boards.uses[0]);
  char *title = g_strdup_printf("%s: %s", d->layout->name, found);
  char *caption = rc_names_caption(layout_of(d, &boards, boards.n - 1));
  char *notes = g_strdup_printf("Each tune along its best route. %s", caption);
  rc_pages_lay(p, wide);
  rc_document_begin(d, heading, title, notes, NULL);
  rc_heat_draw_key(p);
  draw_boards(d, &boards, wide);
  if (is_any(d, &boards, !wide) && p->canvas.picture == RC_PICTURE_PDF) {
    rc_pages_lay(p, !wide);
    rc_pages_begin(p, NULL);
    rc_heat_draw_key(p);
  }
  draw_boards(d, &boards, !wide); // on the one page of other pictures, smaller if need be
  rc_pages_lay(p, FALSE);
  free_boards(&boards);
  g_free(found);
  g_free(title);
  g_free(caption);
  g_free(notes);
}
