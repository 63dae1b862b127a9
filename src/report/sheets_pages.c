// Copyright 2026 the rowcall developers
// SPDX-License-Identifier: MIT

// Practice sheets of all tunes.

#include "report/document_pages.h"

#include "report/sheet_pages.h"

// Returns the page it begins on.
static guint
draw_sheet(RcDocument *d, RcPlayer *player, guint number)
{
  const RcTune *tune = d->report->tunes[number];
  char *place = rc_document_has(d, rc_section_index) ? g_strdup_printf("tune%u", number + 1) : NULL;
  const guint page = d->pages.number + 1;
  rc_sheet_draw(&d->pages, d->layout, tune, rc_player_chart(player, tune), place);
  g_free(place);
  return page;
}

void
rc_section_sheets(RcDocument *d)
{
  RcPlayer *player = rc_player_new(d->report->rolled->boards, d->report->chosen);
  d->sheet_pages = g_new0(guint, MAX(d->report->n_tunes, 1));
  for (guint i = 0; i < d->report->n_tunes && !d->pages.full; ++i) {
    d->sheet_pages[i] = draw_sheet(d, player, i);
  }
  d->pages.y = d->pages.height; // a sheet has its page to itself
  rc_player_free(player);
}
