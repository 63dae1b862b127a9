// Copyright 2026 the rowcall developers
// SPDX-License-Identifier: MIT

// How a repertoire uses a keyboard: which rows and columns carry it.

#include "rowcall/study.h"

static const double rows_share = 0.9;     // what "carry" means for rows
static const double columns_share = 0.95; // and for columns

static guint
idle_rows(const RcUse *use)
{
  guint sounding = 0;
  guint used = 0;
  for (guint i = 0; i < use->layout->buttons->len; ++i) {
    const RcButton *button = rc_layout_button(use->layout, i);
    sounding |= button->sound.kind == RC_SOUND_DEAD ? 0 : 1U << button->row;
    used |= use->buttons[i] ? 1U << button->row : 0;
  }
  return sounding & ~used;
}

static void
add_button(RcButtonSum *sum, const RcUse *use, guint button)
{
  sum->presses += use->presses[button];
  sum->ticks += use->buttons[button];
  sum->made_up += use->made_up[button];
}

RcHeat *
rc_heat_new(const RcUse *use)
{
  const RcLayout *layout = use->layout;
  RcHeat *heat = g_new0(RcHeat, 1);
  heat->by_row = g_new0(RcButtonSum, layout->rows->len);
  heat->by_column = g_new0(RcButtonSum, layout->columns->len);
  for (guint i = 0; i < layout->buttons->len; ++i) {
    const RcButton *button = rc_layout_button(layout, i);
    add_button(&heat->by_row[button->row], use, i);
    add_button(&heat->by_column[button->column], use, i);
    add_button(&heat->all, use, i);
  }
  heat->idle = idle_rows(use);
  if (use->played) {
    heat->rows = rc_use_rows(use, rows_share, &heat->rows_ticks);
    heat->columns_ticks = rc_use_columns(use, columns_share, &heat->first, &heat->last);
    rc_use_columns(use, 1, &heat->flattest, &heat->sharpest);
  }
  return heat;
}

void
rc_heat_free(RcHeat *heat)
{
  if (heat) {
    g_free(heat->by_row);
    g_free(heat->by_column);
    g_free(heat);
  }
}
