// Copyright 2026 the rowcall developers
// SPDX-License-Identifier: MIT

// Practice sheets of all tunes.

#include "report/document_pages.h"

#include "report/sheet_pages.h"

static void
draw_sheet(RcDocument *d, RcPlayer *player, guint number)
{
  const RcTune *tune = d->report->tunes[number];
  char *place = rc_document_has(d, rc_section_index) ? g_strdup_printf("tune%u", number + 1) : NULL;
  rc_sheet_draw(&d->pages, d->layout, tune, rc_player_chart(player, tune), place);
  g_free(place);
}

void
rc_section_sheets(RcDocument *d)
{
  RcPlayer *player = rc_player_new(d->report->rolled->boards, d->report->chosen);
  for (guint i = 0; i < d->report->n_tunes && !d->pages.full; ++i) {
    draw_sheet(d, player, i);
  }
  rc_player_free(player);
}
