// Copyright 2026 the rowcall developers
// SPDX-License-Identifier: MIT

#include "report/need_text.h"

#include "report/format.h"

#include <string.h>

static void
append_button(GString *text, const RcLayout *layout, guint button, guint finger, RcSigns signs)
{
  char *name = rc_button_name(layout, rc_layout_button(layout, button), signs);
  g_string_append_printf(text, "%s%s with %u", text->len ? " + " : "", name, rc_finger_of_player(layout, finger));
  g_free(name);
}

char *
rc_need_press(const RcLayout *layout, const RcNeed *need, RcSigns signs)
{
  const RcGrip *grip = &need->answer.grip;
  GString *text = g_string_new(NULL);
  for (guint i = 0; i < rc_grip_count(grip); ++i) {
    append_button(text, layout, rc_grip_button(grip, i), rc_grip_finger(grip, &need->fingers, i), signs);
  }
  if (rc_grip_bellows(layout, grip) != RC_BELLOWS_BOTH) {
    g_string_append_printf(text, ", on %s", rc_bellows_name(rc_grip_bellows(layout, grip)));
  }
  return g_string_free(text, FALSE);
}

static void
append_tones(GString *text, const char *before, const RcChord *chord, RcKey key, RcPcSet set, RcSigns signs)
{
  char *tones = rc_tones_text(chord, key, set, signs, " ");
  if (*tones) {
    g_string_append_printf(text, "%s%s%s", text->len ? "; " : "", before, tones);
  }
  g_free(tones);
}

static const char *
degree_word(RcDegree degree)
{
  static const char *const words[RC_N_DEGREES] = {
    [RC_DEGREE_1] = "root",
    [RC_DEGREE_FLAT_3] = "third",
    [RC_DEGREE_3] = "third",
    [RC_DEGREE_SUS_2] = "second",
    [RC_DEGREE_SUS_4] = "fourth",
    [RC_DEGREE_FLAT_5] = "fifth",
    [RC_DEGREE_5] = "fifth",
    [RC_DEGREE_SHARP_5] = "fifth",
    [RC_DEGREE_6] = "sixth",
    [RC_DEGREE_FLAT_7] = "seventh",
    [RC_DEGREE_DOUBLE_FLAT_7] = "seventh",
    [RC_DEGREE_7] = "seventh",
    [RC_DEGREE_FLAT_9] = "ninth",
    [RC_DEGREE_9] = "ninth",
    [RC_DEGREE_SHARP_9] = "ninth",
    [RC_DEGREE_11] = "eleventh",
    [RC_DEGREE_SHARP_11] = "eleventh",
    [RC_DEGREE_FLAT_13] = "thirteenth",
    [RC_DEGREE_13] = "thirteenth",
  };
  return words[degree];
}

char *
rc_melody_gives(const RcChord *chord, RcKey key, RcPcSet helped, RcSigns signs)
{
  GString *text = g_string_new(NULL);
  for (guint degree = 0; degree < RC_N_DEGREES; ++degree) {
    const guint pc = rc_chord_degree_pc(chord, (RcDegree)degree);
    if (chord->degrees & 1U << degree && rc_pcs_has(helped, pc)) {
      g_string_append_printf(text, "%s the %s, %s", text->len ? ", and" : "the melody gives",
                             degree_word((RcDegree)degree), rc_tone_name(chord, key, pc, signs));
    }
  }
  return g_string_free(text, FALSE);
}

char *
rc_need_differences(const RcLayout *layout, const RcTune *tune, const RcNeed *need, RcSigns signs)
{
  const RcChord *chord = &rc_tune_symbol(tune, need->symbol)->chord;
  const RcGrading *grading = &need->answer.grading;
  const RcNote bass = rc_layout_button(layout, need->answer.grip.basses[0])->sound.root;
  const RcKey key = rc_tune_setting(tune, 0)->key;
  char *melody = rc_melody_gives(chord, key, grading->helped, signs);
  GString *text = g_string_new(NULL);
  append_tones(text, "adds ", chord, key, grading->foreign, signs);
  append_tones(text, "without ", chord, key, grading->missing, signs);
  g_string_append_printf(text, "%s%s", text->len && *melody ? "; " : "", melody);
  if (!rc_pcs_has(rc_grip_basses(layout, &need->answer.grip), rc_note_pc(chord->bass))) {
    g_string_append_printf(text, "%sbass %s, not %s", text->len ? "; " : "", rc_note_name(bass, signs),
                           rc_note_name(chord->bass, signs));
  }
  g_free(melody);
  return g_string_free(text, FALSE);
}

const char *
rc_hint_text(RcHint hint)
{
  static const char *const texts[] = {
    [RC_HINT_NONE] = "",
    [RC_HINT_WIDE] = "Wide: do not force the stretch, stop if it hurts, and ask a teacher or a doctor.",
    [RC_HINT_LIGHT] = "Lean on the bass and keep the chord light.",
    [RC_HINT_MELODY] = "That is why a bare bass is enough.",
    [RC_HINT_BRISK] = "Bare bass, only because it goes by fast.",
    [RC_HINT_MAKESHIFT] = "A makeshift: play it short and soft, and listen whether it passes.",
  };
  return texts[hint];
}

char *
rc_last_resort_text(const RcLayout *layout, const RcChord *chord, RcSigns signs)
{
  const RcLastResort last = rc_last_resort(layout, chord);
  if (!last.bass) {
    return g_strdup("rest");
  }
  char *bass = rc_button_describe(layout, rc_layout_button(layout, last.button), signs);
  char *text = g_strdup_printf("hold the %s alone, or rest", bass);
  g_free(bass);
  return text;
}

char *
rc_need_second(const RcLayout *layout, const RcNeed *need, RcSigns signs)
{
  if (!need->second.found) {
    return NULL;
  }
  char *name = rc_button_describe(layout, rc_layout_button(layout, need->second.button), signs);
  char *text = need->second.finger
                 ? g_strdup_printf("%s with %u", name, rc_finger_of_player(layout, need->second.finger))
                 : g_strdup_printf("%s, moving the hand", name);
  g_free(name);
  return text;
}

char *
rc_board_note(const RcLayout *layout, gboolean melody)
{
  GString *text = g_string_new(NULL);
  if (melody && rc_layout_has_bellows(layout)) {
    g_string_append(text,
                    "The bellows are planned for the left hand alone: which way the melody needs them, and how much "
                    "air they hold, is not modelled.");
  }
  if (layout->mirrored) {
    g_string_append_printf(text, "%sThe board is mirrored, and so are the usual fingers.", text->len ? " " : "");
  }
  return g_string_free(text, FALSE);
}

char *
rc_turns_text(const RcChart *chart)
{
  GString *text = g_string_new(NULL);
  g_string_append_printf(text, "The bellows turn %u time%s", chart->reversals, chart->reversals == 1 ? "" : "s");
  if (chart->hasty) {
    g_string_append_printf(text, ", %u of them sooner than asked for", chart->hasty);
  }
  if (chart->freely != chart->reversals) {
    g_string_append_printf(text, "; by sound alone they would turn %u time%s", chart->freely,
                           chart->freely == 1 ? "" : "s");
  }
  return g_string_free(g_string_append_c(text, '.'), FALSE);
}

static const char *
word_for_bar(const RcTune *tune, guint bar)
{
  return rc_tune_bar_is_line(tune, bar) ? "line" : "bar";
}

static const char *
word_for_bars(const RcTune *tune, const guint *bars, guint n)
{
  guint lines = 0;
  for (guint i = 0; i < n; ++i) {
    lines += rc_tune_bar_is_line(tune, bars[i]) ? 1 : 0;
  }
  return !lines ? "bars" : lines == n ? "lines" : "lines and bars";
}

// "bar 17", "the pickup to 9"
static char *
bare_bar_text(const RcTune *tune, guint bar)
{
  const guint number = rc_tune_bar_number(tune, bar);
  if (!rc_tune_bar_is_pickup(tune, bar)) {
    return g_strdup_printf("%s %u", word_for_bar(tune, bar), number);
  }
  return number ? g_strdup_printf("the pickup to %u", number + 1) : g_strdup("the pickup");
}

char *
rc_bar_text(const RcTune *tune, guint bar)
{
  char *text = bare_bar_text(tune, bar);
  for (guint i = 0; i < tune->parts->len && tune->parts->len > 1; ++i) {
    const RcPart *part = &g_array_index(tune->parts, RcPart, i);
    if (*part->label && bar >= part->first && bar < part->first + part->count) {
      char *whole = g_strdup_printf("%s (%s)", text, part->label);
      g_free(text);
      return whole;
    }
  }
  return text;
}

// Appends a run of bars that follow one another: "7-9", or "pickup"; of two with `two` between.
static void
append_run(GString *text, const RcTune *tune, guint first, guint last, const char *two)
{
  const guint from = rc_tune_bar_number(tune, first) + (rc_tune_bar_is_pickup(tune, first) ? 1 : 0);
  const guint to = rc_tune_bar_number(tune, last);
  if (to < from) {
    g_string_append(text, "pickup");
    return;
  }
  g_string_append_printf(text, "%u", from);
  if (to > from) {
    g_string_append_printf(text, "%s%u", to > from + 1 ? "-" : two, to);
  }
}

char *
rc_bars_text(const RcTune *tune, const guint *bars, guint n)
{
  enum { MOST_RUNS = 8 };
  if (n == 1) {
    return rc_bar_text(tune, bars[0]);
  }
  GString *text = g_string_new(word_for_bars(tune, bars, n));
  guint at = 0;
  for (guint run = 0; at < n && run < MOST_RUNS; ++run) {
    guint last = at;
    while (last + 1 < n && bars[last + 1] == bars[last] + 1) {
      ++last;
    }
    g_string_append(text, at ? ", " : " ");
    append_run(text, tune, bars[at], bars[last], ", ");
    at = last + 1;
  }
  if (at < n) {
    g_string_append_printf(text, " and %u more", n - at);
  }
  return g_string_free(text, FALSE);
}

// The part that `at`, a place in the played bars, begins and that is played whole from there; NULL for none.
static const RcPart *
whole_part(const RcTune *tune, guint at)
{
  const guint *played = &g_array_index(tune->played, guint, 0);
  for (guint p = 0; p < tune->parts->len; ++p) {
    const RcPart *part = &g_array_index(tune->parts, RcPart, p);
    guint same = 0;
    while (same < part->count && at + same < tune->played->len && played[at + same] == part->first + same) {
      ++same;
    }
    if (part->count && same == part->count) {
      return part;
    }
  }
  return NULL;
}

static gboolean
has_long_labels(const RcTune *tune)
{
  for (guint i = 0; i < tune->parts->len; ++i) {
    if (strchr(g_array_index(tune->parts, RcPart, i).label, ' ')) {
      return TRUE;
    }
  }
  return FALSE;
}

static gboolean
is_lone_pickup(const RcTune *tune, const RcPart *part)
{
  return part->count == 1 && rc_tune_bar_is_pickup(tune, part->first);
}

// "Played: A A B", "Played: Verse 1, Chorus", or NULL where that would not tell the bars: endings, or parts that are
// not played whole or have no name.
static char *
parts_text(const RcTune *tune)
{
  GString *order = g_string_new("Played:");
  const char *comma = has_long_labels(tune) ? "," : "";
  guint parts = 0;
  for (guint at = 0; at < tune->played->len;) {
    const RcPart *part = whole_part(tune, at);
    if (!part || (!*part->label && !is_lone_pickup(tune, part))) {
      g_string_free(order, TRUE);
      return NULL;
    }
    if (*part->label) {
      g_string_append_printf(order, "%s %s", parts++ ? comma : "", part->label);
    }
    at += part->count;
  }
  return g_string_free(order, FALSE);
}

// "Played: bars 1-2, 1, 3-5"
static char *
bars_text(const RcTune *tune)
{
  const guint *played = &g_array_index(tune->played, guint, 0);
  GString *order = g_string_new(NULL);
  g_string_append_printf(order, "Played: %s", word_for_bars(tune, played, tune->played->len));
  for (guint at = 0; at < tune->played->len;) {
    guint last = at;
    while (last + 1 < tune->played->len && played[last + 1] == played[last] + 1) {
      ++last;
    }
    g_string_append(order, at ? ", " : " ");
    append_run(order, tune, played[at], played[last], "-");
    at = last + 1;
  }
  return g_string_free(order, FALSE);
}

char *
rc_order_text(const RcTune *tune)
{
  char *parts = parts_text(tune);
  return parts ? parts : bars_text(tune);
}

// ------------------------------------------------------------------------------------------------------- hard spots

enum { MOST_BARS = 24 }; // listed of one kind of spot

static char *
spot_text(const RcHardSpot *spot, const char *from, const char *to)
{
  const int tenths = (int)(spot->seconds * 10); // rounded down, so that nothing sounds slower than it is
  switch (spot->kind) {
  case RC_HARD_WIDE:
    return g_strdup_printf("%s is a wide grip, %.0f mm", to, spot->mm);
  case RC_HARD_TURN:
    return g_strdup_printf("the bellows turn at %s, %d.%d s after they last did", to, tenths / 10, tenths % 10);
  default:
    return g_strdup_printf("%.0f mm from %s to %s after %d.%d s", spot->mm, from, to, tenths / 10, tenths % 10);
  }
}

static char *
spots_text(const RcTune *tune, const RcHardSpots *spots, RcSigns signs)
{
  char *from = rc_symbol_shown(rc_tune_symbol(tune, spots->hardest.from), signs);
  char *to = rc_symbol_shown(rc_tune_symbol(tune, spots->hardest.to), signs);
  char *what = spot_text(&spots->hardest, from, to);
  GString *text = g_string_new(what);
  for (guint i = 0; i < MIN(spots->n, MOST_BARS); ++i) {
    char *bar = rc_bar_text(tune, spots->bars[i]);
    g_string_append_printf(text, "%s %s", i ? "," : ":", bar);
    g_free(bar);
  }
  if (spots->n > MOST_BARS) {
    g_string_append_printf(text, " and %u more", spots->n - MOST_BARS);
  }
  g_free(what);
  g_free(from);
  g_free(to);
  return g_string_free(text, FALSE);
}

GPtrArray *
rc_hard_texts(const RcTune *tune, const RcChart *chart, RcSigns signs)
{
  RcHardList *list = rc_hard_new(tune, chart);
  GPtrArray *texts = g_ptr_array_new_with_free_func(g_free);
  for (guint i = 0; i < list->n; ++i) {
    g_ptr_array_add(texts, spots_text(tune, &list->spots[i], signs));
  }
  rc_hard_free(list);
  return texts;
}
