// Copyright 2026 the rowcall developers
// SPDX-License-Identifier: MIT

#include "rowcall/keyboard.h"

gboolean
rc_grip_equal(const RcGrip *a, const RcGrip *b)
{
  gboolean equal = a->bass == b->bass && a->n_chords == b->n_chords;
  for (guint i = 0; equal && i < a->n_chords; ++i) {
    equal = a->chords[i] == b->chords[i];
  }
  return equal;
}

RcPcSet
rc_grip_tones(const RcLayout *layout, const RcGrip *grip)
{
  guint tones = rc_layout_button(layout, grip->bass)->sound.tones;
  for (guint i = 0; i < grip->n_chords; ++i) {
    tones |= rc_layout_button(layout, grip->chords[i])->sound.tones;
  }
  return (RcPcSet)tones;
}

RcBellows
rc_grip_bellows(const RcLayout *layout, const RcGrip *grip)
{
  RcBellows bellows = rc_layout_button(layout, grip->bass)->bellows;
  for (guint i = 0; i < grip->n_chords; ++i) {
    bellows |= rc_layout_button(layout, grip->chords[i])->bellows;
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
  guint low = rc_layout_button(layout, grip->bass)->column;
  guint high = low;
  for (guint i = 0; i < grip->n_chords; ++i) {
    const guint column = rc_layout_button(layout, grip->chords[i])->column;
    low = MIN(low, column);
    high = MAX(high, column);
  }
  return high - low;
}

char *
rc_grip_describe(const RcLayout *layout, const RcGrip *grip, RcSigns signs)
{
  const RcBellows bellows = rc_grip_bellows(layout, grip);
  char *bass = rc_button_name(layout, rc_layout_button(layout, grip->bass), signs);
  GString *words = g_string_new(bass);
  g_free(bass);
  for (guint i = 0; i < grip->n_chords; ++i) {
    char *chord = rc_button_name(layout, rc_layout_button(layout, grip->chords[i]), signs);
    g_string_append_printf(words, " + %s", chord);
    g_free(chord);
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
  int furthest = button_distance(layout, grip->bass);
  for (guint i = 0; i < grip->n_chords; ++i) {
    furthest = MAX(furthest, button_distance(layout, grip->chords[i]));
  }
  return furthest;
}

// Buttons are numbered by row, then by column, so comparing indices compares rows and columns.
int
rc_grip_compare(const RcLayout *layout, const RcGrip *a, const RcGrip *b)
{
  if (a->n_chords != b->n_chords) {
    return (int)a->n_chords - (int)b->n_chords;
  }
  const int reach = (int)rc_grip_reach(layout, a) - (int)rc_grip_reach(layout, b);
  if (reach) {
    return reach;
  }
  const int distance = distance_from_c(layout, a) - distance_from_c(layout, b);
  if (distance || a->bass != b->bass) {
    return distance ? distance : (int)a->bass - (int)b->bass;
  }
  for (guint i = 0; i < a->n_chords; ++i) {
    if (a->chords[i] != b->chords[i]) {
      return (int)a->chords[i] - (int)b->chords[i];
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
  if (grip->n_chords == RC_GRIP_CHORDS || 1U + grip->n_chords >= walk->hand.press) {
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
      RcGrip grip = { (guint16)i, { 0 }, 0 };
      walk_grip(&walk, &grip, 0, button->column, button->column, button->bellows);
    }
  }
}
