// Copyright 2026 the rowcall developers
// SPDX-License-Identifier: MIT

// How a repertoire uses a keyboard: which rows and columns carry it. And two such uses beside each other.

#include "rowcall/study.h"

#include <math.h>
#include <string.h>

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

static RcTicks
held_in_row(const RcUse *use, guint row)
{
  RcTicks held = 0;
  for (guint set = 0; set < 1U << use->layout->rows->len; ++set) {
    held += (set & 1U << row) ? use->by_rows[set] : 0;
  }
  return held;
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
  for (guint row = 0; row < layout->rows->len; ++row) {
    heat->by_row[row].held = held_in_row(use, row);
  }
  for (guint column = 0; column < layout->columns->len; ++column) {
    heat->by_column[column].held = use->in_columns[column];
  }
  heat->whole = use->played + use->silent;
  heat->all.held = use->played;
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

double
rc_heat_share(const RcHeat *heat, RcTicks ticks)
{
  return heat->whole ? (double)ticks / (double)heat->whole : 0;
}

// ------------------------------------------------------------------------------------------------ beside each other

// The button of `layout` that corresponds to `button` of `from`; -1 where there is none.
static int
find_button(const RcLayout *layout, const RcLayout *from, const RcButton *button)
{
  const int row = rc_layout_find_row(layout, rc_button_row(from, button));
  const int column = rc_layout_find_column(layout, rc_button_column(from, button));
  if (row < 0 || column < 0) {
    return -1;
  }
  const guint first = rc_layout_entry(layout, (guint)row, (guint)column);
  for (guint i = first; i < first + rc_layout_entries_at(layout, first); ++i) {
    if (rc_layout_button(layout, i)->bellows == button->bellows) {
      return (int)i;
    }
  }
  return -1;
}

static int *
find_others(const RcLayout *layout, const RcLayout *other)
{
  int *others = g_new(int, layout->buttons->len);
  for (guint i = 0; i < layout->buttons->len; ++i) {
    // NOLINTNEXTLINE(readability-suspicious-call-argument): of the other layout, from this one
    others[i] = find_button(other, layout, rc_layout_button(layout, i));
  }
  return others;
}

static int
compare_pressings(gconstpointer a, gconstpointer b)
{
  const RcPressing *one = a;
  const RcPressing *other = b;
  return one->ticks != other->ticks ? (one->ticks > other->ticks ? -1 : 1) : 0;
}

static void
find_tunes(RcOwnButton *own, const RcUse *use)
{
  GArray *tunes = g_array_new(FALSE, FALSE, sizeof(RcPressing));
  for (guint i = 0; i < use->by_tune->len; ++i) {
    const RcTunePress *press = &g_array_index(use->by_tune, RcTunePress, i);
    if (press->button == own->button) {
      const RcPressing pressing = { g_ptr_array_index(use->titles, press->tune), press->presses, press->ticks };
      g_array_append_val(tunes, pressing);
    }
  }
  g_array_sort(tunes, compare_pressings); // which keeps the order of equal ones
  own->n_tunes = tunes->len;
  own->tunes = (RcPressing *)(gpointer)g_array_free(tunes, FALSE);
}

static int
compare_own(gconstpointer a, gconstpointer b)
{
  const RcOwnButton *one = a;
  const RcOwnButton *other = b;
  return one->ticks != other->ticks ? (one->ticks > other->ticks ? -1 : 1) : one->button < other->button ? -1 : 1;
}

static void
find_own(RcHeatSide *side, const RcUse *other)
{
  GArray *all = g_array_new(FALSE, FALSE, sizeof(RcOwnButton));
  for (guint i = 0; i < side->use->layout->buttons->len; ++i) {
    const gboolean there = side->others[i] >= 0 && other->presses[side->others[i]];
    if (side->use->presses[i] && !there) {
      RcOwnButton own = { i, side->use->presses[i], side->use->buttons[i], NULL, 0 };
      find_tunes(&own, side->use);
      g_array_append_val(all, own);
    }
  }
  g_array_sort(all, compare_own);
  side->n_own = all->len;
  side->own = (RcOwnButton *)(gpointer)g_array_free(all, FALSE);
}

// The tune of `use` that presses the button longest.
static const char *
longest_tune(const RcUse *use, guint button)
{
  const char *title = "";
  RcTicks ticks = 0;
  // NOLINTNEXTLINE(clang-analyzer-core.NullDereference): each side has its use
  for (guint i = 0; i < use->by_tune->len; ++i) {
    const RcTunePress *press = &g_array_index(use->by_tune, RcTunePress, i);
    if (press->button == button && press->ticks > ticks) {
      title = g_ptr_array_index(use->titles, press->tune);
      ticks = press->ticks;
    }
  }
  return title;
}

// Puts a button that both press into its place among those that differ most.
static void
note_shift(RcHeatPair *pair, guint button)
{
  const double change = rc_heat_pair_button(pair, button);
  guint at = pair->n_shifts;
  while (at && fabs(pair->shifts[at - 1].difference) < fabs(change)) {
    --at;
  }
  if (at == RC_HEAT_SHIFTS || change == 0) {
    return;
  }
  pair->n_shifts = MIN(pair->n_shifts + 1, RC_HEAT_SHIFTS);
  memmove(&pair->shifts[at + 1], &pair->shifts[at], (pair->n_shifts - at - 1) * sizeof pair->shifts[0]);
  pair->shifts[at] = (RcHeatShift){ button, change, NULL };
}

static void
find_shifts(RcHeatPair *pair)
{
  const RcHeatSide *sides = pair->sides;
  for (guint i = 0; i < sides[0].use->layout->buttons->len; ++i) {
    const int there = sides[0].others[i];
    if (there >= 0 && sides[0].use->presses[i] && sides[1].use->presses[there]) {
      ++pair->shared;
      note_shift(pair, i);
    }
  }
  for (guint i = 0; i < pair->n_shifts; ++i) {
    RcHeatShift *shift = &pair->shifts[i];
    const gboolean second = shift->difference < 0;
    shift->title = longest_tune(sides[second].use, second ? (guint)sides[0].others[shift->button] : shift->button);
  }
}

RcHeatPair *
rc_heat_pair_new(const RcUse *one, const RcUse *other)
{
  RcHeatPair *pair = g_new0(RcHeatPair, 1);
  for (guint i = 0; i < 2; ++i) {
    const RcUse *beside = i ? one : other;
    RcHeatSide *side = &pair->sides[i];
    side->use = i ? other : one;
    side->heat = rc_heat_new(side->use);
    side->others = find_others(side->use->layout, beside->layout);
    find_own(side, beside);
  }
  for (guint i = 0; i < one->layout->buttons->len; ++i) {
    pair->alike += pair->sides[0].others[i] >= 0 ? 1 : 0;
  }
  find_shifts(pair);
  return pair;
}

void
rc_heat_pair_free(RcHeatPair *pair)
{
  for (guint i = 0; pair && i < G_N_ELEMENTS(pair->sides); ++i) {
    RcHeatSide *side = &pair->sides[i];
    for (guint own = 0; own < side->n_own; ++own) {
      g_free(side->own[own].tunes);
    }
    rc_heat_free(side->heat);
    g_free(side->others);
    g_free(side->own);
  }
  g_free(pair);
}

// The difference of two times, each of the playing time of its side.
static double
difference(const RcHeatPair *pair, RcTicks one, RcTicks other)
{
  return rc_heat_share(pair->sides[0].heat, one) - rc_heat_share(pair->sides[1].heat, other);
}

double
rc_heat_pair_button(const RcHeatPair *pair, guint index)
{
  const int there = pair->sides[0].others[index];
  return there < 0 ? NAN : difference(pair, pair->sides[0].use->buttons[index], pair->sides[1].use->buttons[there]);
}

double
rc_heat_pair_row(const RcHeatPair *pair, guint row)
{
  const int there =
    rc_layout_find_row(pair->sides[1].use->layout, g_ptr_array_index(pair->sides[0].use->layout->rows, row));
  return there < 0 ? NAN
                   : difference(pair, pair->sides[0].heat->by_row[row].held, pair->sides[1].heat->by_row[there].held);
}

double
rc_heat_pair_column(const RcHeatPair *pair, guint column)
{
  const int there = rc_layout_find_column(pair->sides[1].use->layout,
                                          g_array_index(pair->sides[0].use->layout->columns, RcNote, column));
  return there < 0
           ? NAN
           : difference(pair, pair->sides[0].heat->by_column[column].held, pair->sides[1].heat->by_column[there].held);
}
