// Copyright 2026 the rowcall developers
// SPDX-License-Identifier: MIT

#include "sound/pattern.h"

#include <string.h>

enum { HELD_PERCENT = 96, SLOW_BEATS = 66 };

// How a rhythm is touched: percent of the time to the next stroke for which bass and chord are held; 0: one chord for
// the whole bar.
typedef struct {
  const char *rhythm; // or the end of its name
  guint bass;
  guint chord;
} Touch;

// Common practice, from memory.
static const Touch touches[] = {
  { "waltz", 90, 60 },      { "mazurka", 90, 60 }, { "jig", 80, 60 },   { "slide", 80, 60 },
  { "reel", 65, 45 },       { "polka", 70, 45 },   { "march", 90, 70 }, { "hornpipe", 75, 50 },
  { "strathspey", 65, 45 }, { "tango", 70, 50 },   { "air", 0, 0 },     { "ballad", 0, 0 },
};

static const Touch usual_touch = { NULL, 80, 55 };
static const Touch held_touch = { NULL, 0, 0 };

// "slip jig" ends with the word "jig".
static gboolean
ends_with_word(const char *text, const char *word)
{
  const gsize before = strlen(text) - MIN(strlen(word), strlen(text));
  return !strcmp(text + before, word) && (!before || !g_ascii_isalpha(text[before - 1]));
}

static const Touch *
find_touch(const char *rhythm)
{
  char *lower = g_ascii_strdown(rhythm ? rhythm : "", -1);
  const Touch *found = &usual_touch;
  for (guint i = 0; i < G_N_ELEMENTS(touches); ++i) {
    found = ends_with_word(lower, touches[i].rhythm) ? &touches[i] : found;
  }
  g_free(lower);
  return found;
}

static gboolean
is_slow(RcMeter meter, double quarters)
{
  const double beat = (double)rc_meter_beat(meter) / (double)RC_QUARTER;
  return quarters / beat < SLOW_BEATS;
}

static void
add(RcPattern *pattern, RcTicks at, gboolean bass, gboolean chord)
{
  if (pattern->n < RC_MAX_STROKES) {
    pattern->strokes[pattern->n++] = (RcStroke){ at, bass, chord };
  }
}

// A bass and `n` - 1 chords, a unit apart.
static void
add_group(RcPattern *pattern, RcTicks *at, guint n, RcTicks unit)
{
  for (guint i = 0; i < n; ++i) {
    add(pattern, *at, i == 0, i > 0);
    *at += unit;
  }
}

// Threes of 6/8: the bass on the first, the chord on the third.
static void
add_lilt(RcPattern *pattern, RcTicks *at, RcTicks unit)
{
  add(pattern, *at, TRUE, FALSE);
  add(pattern, *at + 2 * unit, FALSE, TRUE);
  *at += 3 * unit;
}

// Twos in even meters, threes in those of threes; else a three and then twos.
static void
add_strokes(RcPattern *pattern, RcMeter meter)
{
  const RcTicks unit = RC_QUARTER * 4 / meter.unit;
  RcTicks at = 0;
  if (meter.beats <= 2) {
    for (guint i = 0; i < meter.beats; ++i) {
      add_group(pattern, &at, 2, unit / 2);
    }
    return;
  }
  const gboolean threes = meter.beats % 3 == 0;
  const gboolean compound = threes && meter.beats > 3 && meter.unit >= 8;
  for (guint left = meter.beats; left > 0;) {
    const guint group = threes || left % 2 ? 3 : 2;
    if (compound) {
      add_lilt(pattern, &at, unit);
    } else {
      add_group(pattern, &at, group, unit);
    }
    left -= group;
  }
}

RcPattern
rc_pattern(RcMeter meter, const char *rhythm, double quarters)
{
  const Touch *touch = is_slow(meter, quarters) ? &held_touch : find_touch(rhythm);
  RcPattern pattern = { .n = 0, .bar = rc_meter_bar(meter) };
  pattern.bass_percent = touch->bass ? touch->bass : HELD_PERCENT;
  pattern.chord_percent = touch->chord ? touch->chord : HELD_PERCENT;
  if (touch->bass) {
    add_strokes(&pattern, meter);
  } else {
    add(&pattern, 0, TRUE, TRUE);
  }
  return pattern;
}
