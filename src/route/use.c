// Copyright 2026 the rowcall developers
// SPDX-License-Identifier: MIT

#include "rowcall/route.h"

RcUse *
rc_use_new(const RcLayout *layout)
{
  RcUse *use = g_new0(RcUse, 1);
  const gsize columns = layout->columns->len;
  use->layout = layout;
  use->presses = g_new0(guint64, MAX(layout->buttons->len, 1));
  use->buttons = g_new0(RcTicks, MAX(layout->buttons->len, 1));
  use->made_up = g_new0(RcTicks, MAX(layout->buttons->len, 1));
  use->in_columns = g_new0(RcTicks, MAX(columns, 1));
  use->by_rows = g_new0(RcTicks, (gsize)1 << layout->rows->len);
  use->by_columns = g_new0(RcTicks, MAX(columns * columns, 1));
  return use;
}

void
rc_use_free(RcUse *use)
{
  if (use) {
    g_free(use->presses);
    g_free(use->buttons);
    g_free(use->made_up);
    g_free(use->in_columns);
    g_free(use->by_rows);
    g_free(use->by_columns);
    g_clear_pointer(&use->titles, g_ptr_array_unref);
    g_clear_pointer(&use->by_tune, g_array_unref);
    g_free(use);
  }
}

void
rc_use_keep_tunes(RcUse *use)
{
  use->titles = g_ptr_array_new_with_free_func(g_free);
  use->by_tune = g_array_new(FALSE, FALSE, sizeof(RcTunePress));
}

// ---------------------------------------------------------------------------------------------------------- adding

// The rows and columns a grip lies in.
typedef struct {
  guint rows;      // set
  guint64 columns; // set
  guint first;
  guint last;
} Area;

static void
press(RcUse *use, guint index, RcTicks length, Area *area)
{
  const RcTicks ticks = MAX(length, 1);
  const RcButton *button = rc_layout_button(use->layout, index);
  ++use->presses[index];
  use->buttons[index] += ticks;
  use->made_up[index] += ticks - length;
  use->in_columns[button->column] += area->columns >> button->column & 1U ? 0 : ticks;
  area->rows |= 1U << button->row;
  area->columns |= G_GUINT64_CONSTANT(1) << button->column;
  area->first = MIN(area->first, button->column);
  area->last = MAX(area->last, button->column);
}

static void
add_held(RcUse *use, const RcStep *step)
{
  const RcTicks length = step->played.length;
  const RcTicks ticks = MAX(length, 1);
  Area area = { 0, 0, RC_MAX_COLUMNS, 0 };
  for (guint i = 0; i < rc_grip_count(&step->grip); ++i) {
    press(use, rc_grip_button(&step->grip, i), length, &area);
  }
  use->by_rows[area.rows] += ticks;
  use->by_columns[area.first * use->layout->columns->len + area.last] += ticks;
  use->played += ticks;
}

static void
add_steps(RcUse *use, const RcRoute *route, const RcTune *tune, RcVerdict accept)
{
  RcVerdict worst = RC_NATIVE;
  RcLacking lacking = { 0 };
  gboolean has_chords = FALSE;
  for (guint i = 0; i < route->steps->len; ++i) {
    const RcStep *step = &g_array_index(route->steps, RcStep, i);
    const RcSymbol *symbol = rc_tune_symbol(tune, step->played.symbol);
    if (symbol->kind != RC_SYMBOL_CHORD && symbol->kind != RC_SYMBOL_UNREAD) {
      continue;
    }
    has_chords = TRUE;
    worst = MAX(worst, step->verdict);
    if (step->verdict > accept) {
      rc_lacking_note(&lacking, symbol->same);
    }
    ++use->counts.chords[step->verdict];
    use->counts.ticks[step->verdict] += step->played.length;
    if (step->held) {
      add_held(use, step);
    } else {
      use->silent += MAX(step->played.length, 1);
    }
  }
  use->counts.tunes += has_chords ? 1 : 0;
  use->counts.native += has_chords && worst == RC_NATIVE;
  use->counts.playable += has_chords && worst <= accept;
  use->counts.one_short += lacking.n == 1 && worst != RC_UNREAD;
  use->reversals += route->reversals;
  use->travel += route->travel;
}

// Adds what `tune` pressed since the buttons had `presses` and `ticks`.
static void
keep_tune(RcUse *use, const RcTune *tune, const guint64 *presses, const RcTicks *ticks)
{
  const guint kept = use->by_tune->len;
  for (guint i = 0; i < use->layout->buttons->len; ++i) {
    const RcTunePress pressed = { use->titles->len, i, use->presses[i] - presses[i], use->buttons[i] - ticks[i] };
    if (pressed.presses) {
      g_array_append_val(use->by_tune, pressed);
    }
  }
  if (use->by_tune->len > kept) {
    g_ptr_array_add(use->titles, g_strdup(tune->title));
  }
}

void
rc_use_add(RcUse *use, const RcRoute *route, const RcTune *tune, RcVerdict accept)
{
  const guint n = use->layout->buttons->len;
  if (!use->titles) {
    add_steps(use, route, tune, accept);
    return;
  }
  guint64 *presses = g_memdup2(use->presses, n * sizeof *presses);
  RcTicks *ticks = g_memdup2(use->buttons, n * sizeof *ticks);
  add_steps(use, route, tune, accept);
  keep_tune(use, tune, presses, ticks);
  g_free(presses);
  g_free(ticks);
}

static void
merge_tunes(RcUse *into, const RcUse *from)
{
  const guint before = into->titles->len;
  for (guint i = 0; i < from->titles->len; ++i) {
    g_ptr_array_add(into->titles, g_strdup(g_ptr_array_index(from->titles, i)));
  }
  for (guint i = 0; i < from->by_tune->len; ++i) {
    RcTunePress pressed = g_array_index(from->by_tune, RcTunePress, i);
    pressed.tune += before;
    g_array_append_val(into->by_tune, pressed);
  }
}

static void
merge_counts(RcCounts *into, const RcCounts *from)
{
  for (guint i = 0; i < RC_N_VERDICTS; ++i) {
    into->chords[i] += from->chords[i];
    into->ticks[i] += from->ticks[i];
  }
  into->tunes += from->tunes;
  into->native += from->native;
  into->playable += from->playable;
  into->one_short += from->one_short;
}

void
rc_use_merge(RcUse *into, const RcUse *from)
{
  const gsize columns = into->layout->columns->len;
  for (guint i = 0; i < into->layout->buttons->len; ++i) {
    into->presses[i] += from->presses[i];
    into->buttons[i] += from->buttons[i];
    into->made_up[i] += from->made_up[i];
  }
  for (gsize i = 0; i < columns; ++i) {
    into->in_columns[i] += from->in_columns[i];
  }
  for (gsize i = 0; i < (gsize)1 << into->layout->rows->len; ++i) {
    into->by_rows[i] += from->by_rows[i];
  }
  for (gsize i = 0; i < columns * columns; ++i) {
    into->by_columns[i] += from->by_columns[i];
  }
  merge_counts(&into->counts, &from->counts);
  into->played += from->played;
  into->silent += from->silent;
  into->reversals += from->reversals;
  into->travel += from->travel;
  if (into->titles && from->titles) {
    merge_tunes(into, from);
  }
}

// -------------------------------------------------------------------------------------------------- rows and columns

// The time of the chords that lie within the rows of `set`.
static RcTicks
ticks_within(const RcUse *use, guint set)
{
  RcTicks ticks = use->by_rows[0];
  for (guint part = set; part; part = (part - 1) & set) {
    ticks += use->by_rows[part];
  }
  return ticks;
}

guint
rc_use_rows(const RcUse *use, double share, RcTicks *ticks)
{
  const guint all = (1U << use->layout->rows->len) - 1;
  const double enough = share * (double)use->played;
  guint best = all;
  *ticks = use->played;
  for (guint set = 1; set <= all; ++set) {
    const guint n = rc_count_bits(set);
    if (n > rc_count_bits(best)) {
      continue;
    }
    const RcTicks within = ticks_within(use, set);
    if ((double)within >= enough && (n < rc_count_bits(best) || within > *ticks || (within == *ticks && set < best))) {
      best = set;
      *ticks = within;
    }
  }
  return best;
}

static RcTicks
ticks_between(const RcUse *use, guint first, guint last)
{
  RcTicks ticks = 0;
  for (guint from = first; from <= last; ++from) {
    for (guint to = from; to <= last; ++to) {
      ticks += use->by_columns[from * use->layout->columns->len + to];
    }
  }
  return ticks;
}

RcTicks
rc_use_columns(const RcUse *use, double share, guint *first, guint *last)
{
  const guint columns = use->layout->columns->len;
  const double enough = share * (double)use->played;
  RcTicks best = 0;
  for (guint width = 1; width <= columns && !best; ++width) {
    for (guint from = 0; from + width <= columns; ++from) {
      const RcTicks ticks = ticks_between(use, from, from + width - 1);
      if ((double)ticks >= enough && ticks > best) {
        best = ticks;
        *first = from;
        *last = from + width - 1;
      }
    }
  }
  return best;
}
