// Copyright 2026 the rowcall developers
// SPDX-License-Identifier: MIT

#include "study/repairs.h"

#include "keyboard/retune.h"

// What the button at `index` sounds in one direction of the bellows.
static const RcSound *
sound_at(const RcLayout *layout, guint index, RcBellows bellows)
{
  const guint last = index + rc_layout_entries_at(layout, index) - 1;
  return &rc_layout_button(layout, bellows == RC_BELLOWS_PULL ? last : index)->sound;
}

// A button that lost its sound, at its indices on both keyboards, which differ where others sound alike both ways.
typedef struct {
  guint whole;
  guint dead;
} Lost;

static gboolean
is_lost(const RcLayout *whole, const RcLayout *dead, Lost at, RcBellows bellows)
{
  return sound_at(whole, at.whole, bellows)->kind != RC_SOUND_DEAD &&
         sound_at(dead, at.dead, bellows)->kind == RC_SOUND_DEAD;
}

static RcRepair
repair(const RcLayout *whole, const RcLayout *dead, Lost at, guint offer)
{
  RcLayout *layout = rc_layout_moved(dead, 0);
  rc_retune(layout, (RcSpot){ at.dead, RC_BELLOWS_PUSH }, *sound_at(whole, at.whole, RC_BELLOWS_PUSH));
  rc_retune(layout, (RcSpot){ at.dead, RC_BELLOWS_PULL }, *sound_at(whole, at.whole, RC_BELLOWS_PULL));
  const guint last = at.dead + rc_layout_entries_at(layout, at.dead) - 1;
  return (RcRepair){ offer, is_lost(whole, dead, at, RC_BELLOWS_PUSH) ? at.dead : last, layout };
}

void
rc_shop_add_repairs(RcShop *shop, const RcLayout *whole, const RcLayout *dead)
{
  for (guint i = 0; i < whole->buttons->len; i += rc_layout_entries_at(whole, i)) {
    const RcButton *button = rc_layout_button(whole, i);
    const Lost at = { i, rc_layout_entry(dead, button->row, button->column) };
    if (!is_lost(whole, dead, at, RC_BELLOWS_PUSH) && !is_lost(whole, dead, at, RC_BELLOWS_PULL)) {
      continue;
    }
    if (shop->repairs->len == RC_MAX_REPAIRS) {
      ++shop->untried;
      continue;
    }
    const RcRepair one = repair(whole, dead, at, shop->offers->len - 1);
    g_array_append_val(shop->repairs, one);
  }
}
