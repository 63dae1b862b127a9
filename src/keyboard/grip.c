// Copyright 2026 the rowcall developers
// SPDX-License-Identifier: MIT

#include "rowcall/keyboard.h"

gboolean
rc_grip_equal(const RcGrip *a, const RcGrip *b)
{
  gboolean equal = a->n_basses == b->n_basses && a->n_chords == b->n_chords;
  for (guint i = 0; equal && i < rc_grip_count(a); ++i) {
    equal = rc_grip_button(a, i) == rc_grip_button(b, i);
  }
  return equal;
}

RcPcSet
rc_grip_basses(const RcLayout *layout, const RcGrip *grip)
{
  guint tones = 0;
  for (guint i = 0; i < grip->n_basses; ++i) {
    tones |= rc_layout_button(layout, grip->basses[i])->sound.tones;
  }
  return (RcPcSet)tones;
}

RcPcSet
rc_grip_tones(const RcLayout *layout, const RcGrip *grip)
{
  guint tones = 0;
  for (guint i = 0; i < rc_grip_count(grip); ++i) {
    tones |= rc_layout_button(layout, rc_grip_button(grip, i))->sound.tones;
  }
  return (RcPcSet)tones;
}

RcBellows
rc_grip_bellows(const RcLayout *layout, const RcGrip *grip)
{
  RcBellows bellows = RC_BELLOWS_BOTH;
  for (guint i = 0; i < rc_grip_count(grip); ++i) {
    bellows |= rc_layout_button(layout, rc_grip_button(grip, i))->bellows;
  }
  return bellows;
}

gboolean
rc_bellows_agree(RcBellows a, RcBellows b)
{
  return a == b || a == RC_BELLOWS_BOTH || b == RC_BELLOWS_BOTH;
}

guint
rc_grip_reach(const RcLayout *layout, const RcGrip *grip)
{
  guint low = rc_layout_button(layout, grip->basses[0])->column;
  guint high = low;
  for (guint i = 1; i < rc_grip_count(grip); ++i) {
    const guint column = rc_layout_button(layout, rc_grip_button(grip, i))->column;
    low = MIN(low, column);
    high = MAX(high, column);
  }
  return high - low;
}

char *
rc_grip_describe(const RcLayout *layout, const RcGrip *grip, RcSigns signs)
{
  const RcBellows bellows = rc_grip_bellows(layout, grip);
  GString *words = g_string_new(NULL);
  for (guint i = 0; i < rc_grip_count(grip); ++i) {
    char *name = rc_button_name(layout, rc_layout_button(layout, rc_grip_button(grip, i)), signs);
    g_string_append_printf(words, "%s%s", i ? " + " : "", name);
    g_free(name);
  }
  if (bellows != RC_BELLOWS_BOTH) {
    g_string_append_printf(words, ", on %s", rc_bellows_name(bellows));
  }
  return g_string_free(words, FALSE);
}

// Half columns from between C and G: the same from C, but F sharp before G flat.
static int
button_distance(const RcLayout *layout, guint index)
{
  return ABS(2 * rc_button_column(layout, rc_layout_button(layout, index)) - 1);
}

// Of the grip's furthest button.
static int
distance_from_c(const RcLayout *layout, const RcGrip *grip)
{
  int furthest = 0;
  for (guint i = 0; i < rc_grip_count(grip); ++i) {
    furthest = MAX(furthest, button_distance(layout, rc_grip_button(grip, i)));
  }
  return furthest;
}

// Buttons are numbered by row, then by column, so comparing indices compares rows and columns.
int
rc_grip_compare(const RcLayout *layout, const RcGrip *a, const RcGrip *b)
{
  if (rc_grip_count(a) != rc_grip_count(b)) {
    return (int)rc_grip_count(a) - (int)rc_grip_count(b);
  }
  const int reach = (int)rc_grip_reach(layout, a) - (int)rc_grip_reach(layout, b);
  if (reach) {
    return reach;
  }
  const int distance = distance_from_c(layout, a) - distance_from_c(layout, b);
  if (distance || a->n_basses != b->n_basses) {
    return distance ? distance : (int)a->n_basses - (int)b->n_basses;
  }
  for (guint i = 0; i < rc_grip_count(a); ++i) {
    if (rc_grip_button(a, i) != rc_grip_button(b, i)) {
      return (int)rc_grip_button(a, i) - (int)rc_grip_button(b, i);
    }
  }
  return 0;
}

typedef struct {
  const RcLayout *layout;
  RcHand hand;
  RcGripFunc each;
  gpointer data;
} GripWalk;

static gboolean
is_chord_button(const RcButton *button)
{
  return button->sound.kind != RC_SOUND_DEAD && button->sound.kind != RC_SOUND_BASS;
}

// Calls for `grip`, which lies between two columns and sounds in one direction of the bellows, then for it with each
// further chord button from `from` on.
static void
walk_grip(const GripWalk *walk, RcGrip *grip, guint from, guint low, guint high, RcBellows bellows)
{
  walk->each(grip, walk->data);
  if (grip->n_chords == RC_GRIP_CHORDS || rc_grip_count(grip) >= walk->hand.press) {
    return;
  }
  for (guint i = from; i < walk->layout->buttons->len; ++i) {
    const RcButton *button = rc_layout_button(walk->layout, i);
    const guint lowest = MIN(low, button->column);
    const guint highest = MAX(high, button->column);
    if (is_chord_button(button) && highest - lowest <= walk->hand.reach && rc_bellows_agree(bellows, button->bellows)) {
      grip->chords[grip->n_chords++] = (guint16)i;
      walk_grip(walk, grip, i + 1, lowest, highest, bellows | button->bellows);
      --grip->n_chords;
    }
  }
}

void
rc_layout_each_grip(const RcLayout *layout, RcHand hand, RcGripFunc each, gpointer data)
{
  const GripWalk walk = { layout, hand, each, data };
  for (guint i = 0; i < layout->buttons->len; ++i) {
    const RcButton *button = rc_layout_button(layout, i);
    if (button->sound.kind == RC_SOUND_BASS) {
      RcGrip grip = { .basses = { (guint16)i }, .n_basses = 1 };
      walk_grip(&walk, &grip, 0, button->column, button->column, button->bellows);
    }
  }
}
