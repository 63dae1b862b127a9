// Copyright 2026 the rowcall developers
// SPDX-License-Identifier: MIT

// What routes tell a player of the buttons: how long each is held, which rows and columns are enough, where the hand
// leaps.

#undef NDEBUG

#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>

#include <cmocka.h>

#include "rowcall/rowcall.h"

#include "scratch.h"

#include <string.h>

#define HEAD "title: Weir\nmeter: 4/4\ntempo: 120\nkey: C\n"

static const RcTicks bar = 4 * RC_QUARTER;

// One or more tunes planned on a keyboard.
typedef struct {
  RcLayout *layout;
  RcPlanner *planner;
  RcTune *tune;
  RcRoute *route;
  RcUse *use;
} Planned;

static Planned
plan_with(const char *layout, RcRouteSettings settings)
{
  Planned p = { .layout = rc_layout_find(layout, NULL), .tune = rc_tune_new() };
  p.planner = rc_planner_new(p.layout, &settings);
  p.route = rc_route_new(p.planner);
  p.use = rc_use_new(p.layout);
  return p;
}

static Planned
plan_on(const char *layout)
{
  return plan_with(layout, rc_route_settings());
}

static void
clear_planned(Planned *p)
{
  rc_use_free(p->use);
  rc_route_free(p->route);
  rc_planner_free(p->planner);
  rc_tune_free(p->tune);
  rc_layout_free(p->layout);
}

// Plans the chords of one part, played in this order.
static void
plan_tune(Planned *p, const char *part, const char *order)
{
  const char *const paths[] = { path, NULL };
  char *text = g_strdup_printf(HEAD "parts: {A: \"%s\"}\norder: %s\n", part, order);
  assert_true(g_file_set_contents(path, text, -1, NULL));
  RcCorpus *corpus = rc_corpus_new(paths, (RcCorpusOptions){ 0 });
  assert_int_equal(rc_corpus_next(corpus, p->tune, NULL), RC_READ_TUNE);
  rc_corpus_free(corpus);
  g_free(text);
  rc_route_plan(p->route, p->tune);
}

// And adds them to the use.
static void
add_tune(Planned *p, const char *part, const char *order)
{
  plan_tune(p, part, order);
  rc_use_add(p->use, p->route, p->tune, RC_BARE);
}

static void
add_part(Planned *p, const char *part)
{
  add_tune(p, part, "A");
}

static void
assert_rows(const RcUse *use, double share, guint rows, RcTicks ticks)
{
  RcTicks found = 0;
  assert_int_equal(rc_use_rows(use, share, &found), rows);
  assert_true(found == ticks);
}

static void
assert_columns(const RcUse *use, double share, guint first, guint last, RcTicks ticks)
{
  guint from = 99;
  guint to = 99;
  assert_true(rc_use_columns(use, share, &from, &to) == ticks);
  assert_int_equal(from, first);
  assert_int_equal(to, last);
}

enum { FUNDAMENTAL = 1 << 0, MAJOR = 1 << 1, MINOR = 1 << 2, SEVENTH = 1 << 3 };     // rows of a 32
enum { COLUMN_C = 3, COLUMN_G = 4, COLUMN_A = 6, COLUMNS = 8, BUTTON_C = COLUMN_C }; // of Eb to E, from 0

// All are native: C with the bass and the major row, A minor with the minor, G7 with the seventh row.
static void
the_fewest_rows_and_columns_that_are_enough(void **state)
{
  (void)state;
  Planned p = plan_on("32");
  add_part(&p, "| C | Am | C | G7 |");
  assert_rows(p.use, 0.25, FUNDAMENTAL | MAJOR, 2 * bar); // most time of three pairs of rows
  assert_rows(p.use, 0.5, FUNDAMENTAL | MAJOR, 2 * bar);
  assert_rows(p.use, 0.51, FUNDAMENTAL | MAJOR | MINOR, 3 * bar); // as much as with sevenths, nearer to the bellows
  assert_rows(p.use, 1, FUNDAMENTAL | MAJOR | MINOR | SEVENTH, 4 * bar);
  assert_columns(p.use, 0.25, COLUMN_C, COLUMN_C, 2 * bar);
  assert_columns(p.use, 0.5, COLUMN_C, COLUMN_C, 2 * bar);
  assert_columns(p.use, 0.75, COLUMN_C, COLUMN_G, 3 * bar);
  assert_columns(p.use, 0.76, COLUMN_C, COLUMN_A, 4 * bar);
  add_part(&p, "| G7 |"); // now C and G last as long
  assert_columns(p.use, 0.4, COLUMN_C, COLUMN_C, 2 * bar);
  add_part(&p, "| Am | Am | Am | Am |"); // and A longer than either
  assert_columns(p.use, 0.2, COLUMN_A, COLUMN_A, 5 * bar);
  assert_rows(p.use, 0.5, FUNDAMENTAL | MINOR, 5 * bar);
  clear_planned(&p);
}

// E flat is the first column of a 32, and its fifth, B flat, the next.
static void
the_first_row_and_the_first_columns_may_be_enough(void **state)
{
  (void)state;
  Planned p = plan_on("32");
  add_part(&p, "| Eb5 | Eb5 |");
  assert_rows(p.use, 1, FUNDAMENTAL, p.use->played);
  assert_columns(p.use, 1, 0, 1, p.use->played);
  clear_planned(&p);
}

static void
nothing_held_needs_no_rows(void **state)
{
  (void)state;
  RcTicks ticks = 1;
  guint first = 0;
  guint last = 0;
  Planned p = plan_on("32");
  rc_use_rows(p.use, 1, &ticks);
  assert_true(ticks == 0);
  assert_true(rc_use_columns(p.use, 1, &first, &last) == 0);
  clear_planned(&p);
}

// The counterbasses and the diminished row.
static void
rows_that_are_never_touched_are_idle(void **state)
{
  (void)state;
  Planned p = plan_on("48-8x6");
  add_part(&p, "| C | Am | G7 |");
  RcHeat *heat = rc_heat_new(p.use);
  assert_int_equal(heat->idle, 1 << 0 | 1 << 5);
  rc_heat_free(heat);
  add_part(&p, "| C/E | Adim |");
  heat = rc_heat_new(p.use);
  assert_int_equal(heat->idle, 0);
  rc_heat_free(heat);
  clear_planned(&p);
}

static void
each_button_is_held_as_long_as_its_chords(void **state)
{
  (void)state;
  Planned p = plan_on("32");
  add_part(&p, "| C | Am | C | N.C. | G7 | G7 |");
  assert_int_equal(p.use->presses[BUTTON_C], 2); // a chord that is written again is not pressed again
  assert_int_equal(p.use->presses[COLUMN_G], 1);
  assert_true(p.use->buttons[BUTTON_C] == 2 * bar);
  assert_true(p.use->buttons[COLUMNS + COLUMN_C] == 2 * bar); // C major
  assert_true(p.use->buttons[COLUMN_G] == 2 * bar);
  assert_true(p.use->buttons[2 * COLUMNS + COLUMN_A] == bar); // A minor
  assert_true(p.use->buttons[0] == 0);
  assert_true(p.use->made_up[BUTTON_C] == 0);
  assert_true(p.use->played == 5 * bar);
  assert_true(p.use->silent == 0);
  assert_int_equal(p.use->counts.chords[RC_NATIVE], 4);
  assert_true(p.use->counts.ticks[RC_NATIVE] == 5 * bar);
  clear_planned(&p);
}

// On an 8 (F to D) F sharp minor and A7 are impossible.
static void
tunes_are_counted_as_a_roll_counts_them(void **state)
{
  (void)state;
  static const struct {
    const char *part;
    guint tunes, native, playable, one_short, silent_bars;
  } cases[] = {
    { "| C | F |", 1, 1, 1, 0, 0 },
    { "| C | C6 |", 1, 0, 1, 0, 0 },
    { "| C | F#m | C | F#m |", 1, 0, 0, 1, 2 },
    { "| C | F#m | C | A7 |", 1, 0, 0, 0, 2 },
    { "| C | F#m | Xyz |", 1, 0, 0, 0, 2 },
    { "| N.C. | N.C. |", 0, 0, 0, 0, 0 },
  };
  Planned sum = plan_on("8");
  RcCounts all = { 0 };
  for (guint i = 0; i < G_N_ELEMENTS(cases); ++i) {
    Planned p = plan_on("8");
    add_part(&p, cases[i].part);
    assert_int_equal(p.use->counts.tunes, cases[i].tunes);
    assert_int_equal(p.use->counts.native, cases[i].native);
    assert_int_equal(p.use->counts.playable, cases[i].playable);
    assert_int_equal(p.use->counts.one_short, cases[i].one_short);
    assert_true(p.use->silent == (RcTicks)cases[i].silent_bars * bar);
    all.tunes += cases[i].tunes;
    all.playable += cases[i].playable;
    all.native += cases[i].native;
    all.one_short += cases[i].one_short;
    add_part(&sum, cases[i].part);
    clear_planned(&p);
  }
  assert_int_equal(sum.use->counts.tunes, all.tunes);
  assert_int_equal(sum.use->counts.native, all.native);
  assert_int_equal(sum.use->counts.playable, all.playable);
  assert_int_equal(sum.use->counts.one_short, all.one_short);
  clear_planned(&sum);
}

// Books read apart and put together say what they say read as one.
static void
uses_add_up(void **state)
{
  (void)state;
  static const char *const parts[] = { "| C | Am | C | G7 |", "| G | Em | F#dim | Xyz |", "| C | G | Eb |" };
  Planned one = plan_on("32");
  Planned other = plan_on("32");
  Planned both = plan_on("32");
  add_part(&one, parts[0]);
  add_part(&other, parts[1]);
  add_part(&other, parts[2]);
  add_part(&both, parts[0]);
  add_part(&both, parts[1]);
  add_part(&both, parts[2]);
  assert_true(other.use->counts.native > 0);
  rc_use_merge(one.use, other.use);
  const gsize n = one.layout->buttons->len;
  assert_memory_equal(one.use->presses, both.use->presses, n * sizeof *one.use->presses);
  assert_memory_equal(one.use->buttons, both.use->buttons, n * sizeof *one.use->buttons);
  assert_memory_equal(one.use->made_up, both.use->made_up, n * sizeof *one.use->made_up);
  assert_memory_equal(one.use->in_columns, both.use->in_columns, COLUMNS * sizeof *one.use->in_columns);
  assert_true(one.use->in_columns[0] == 4 * RC_QUARTER); // E flat
  assert_memory_equal(one.use->by_rows, both.use->by_rows, 16 * sizeof *one.use->by_rows);
  assert_memory_equal(one.use->by_columns, both.use->by_columns,
                      (gsize)COLUMNS * COLUMNS * sizeof *one.use->by_columns);
  assert_memory_equal(&one.use->counts, &both.use->counts, sizeof one.use->counts);
  assert_true(one.use->played == both.use->played);
  assert_true(one.use->silent == both.use->silent && one.use->silent > 0);
  assert_true(one.use->travel == both.use->travel && one.use->travel > 0);
  clear_planned(&one);
  clear_planned(&other);
  clear_planned(&both);
}

// On a 72 F sharp is six columns from C, 96 mm; a quarter note lasts half a second. G is beside C, and the bar of C
// lasts too long for the way after it to be at speed.
static void
leaps_at_speed_are_told_by_bar(void **state)
{
  (void)state;
  Planned p = plan_on("72");
  add_part(&p, "| C F# C F# | C G C G | C | F# |");
  RcChart *chart = rc_chart_new(p.planner, p.route, NULL, p.tune);
  static const struct {
    guint bar, times;
    const char *from, *to;
  } expected[] = { { 0, 2, "C", "F#" }, { 0, 1, "F#", "C" }, { 1, 1, "F#", "C" } };
  assert_int_equal(chart->hard->len, G_N_ELEMENTS(expected));
  for (guint i = 0; i < chart->hard->len; ++i) {
    const RcHardSpot *spot = &g_array_index(chart->hard, RcHardSpot, i);
    assert_int_equal(spot->kind, RC_HARD_LEAP);
    assert_int_equal(spot->bar, expected[i].bar);
    assert_int_equal(spot->times, expected[i].times);
    assert_string_equal(rc_tune_symbol(p.tune, spot->from)->text, expected[i].from);
    assert_string_equal(rc_tune_symbol(p.tune, spot->to)->text, expected[i].to);
    assert_true(spot->seconds == 0.5);
    assert_true(spot->mm > RC_LEAP_MM && spot->mm < 8 * p.layout->column_mm); // the fingers shorten or lengthen it
  }
  rc_chart_free(chart);
  clear_planned(&p);
}

// F sharp is on the push only, B minor on the pull only: each chord turns the bellows, half a second after the one
// before, but the first of them, before which there was no turn.
static void
hasty_turns_of_the_bellows_are_told_by_bar(void **state)
{
  (void)state;
  RcRouteSettings settings = rc_route_settings();
  settings.turns_apart = 1;
  Planned p = plan_with("push-pull-8-ad", settings);
  add_part(&p, "| F# Bm F# Bm | F# |");
  RcChart *chart = rc_chart_new(p.planner, p.route, NULL, p.tune);
  static const struct {
    guint bar;
    const char *to;
  } expected[] = { { 0, "F#" }, { 0, "Bm" }, { 1, "F#" } };
  assert_int_equal(chart->hard->len, G_N_ELEMENTS(expected));
  for (guint i = 0; i < chart->hard->len; ++i) {
    const RcHardSpot *spot = &g_array_index(chart->hard, RcHardSpot, i);
    assert_int_equal(spot->kind, RC_HARD_TURN);
    assert_int_equal(spot->bar, expected[i].bar);
    assert_string_equal(rc_tune_symbol(p.tune, spot->to)->text, expected[i].to);
    assert_int_equal(spot->times, 1);
    assert_true(spot->seconds == 0.5);
  }
  rc_chart_free(chart);
  clear_planned(&p);
}

// F sharp is on the push only, B minor and E on the pull only. The bellows turn before the first of these and after the
// last, two seconds a chord: 63 chords are too soon for ten minutes, 64 long enough whatever they last.
static void
a_turn_64_chords_ago_is_long_ago(void **state)
{
  (void)state;
  RcRouteSettings settings = rc_route_settings();
  settings.turns_apart = 600;
  for (guint n = 62; n <= 66; ++n) {
    Planned p = plan_with("push-pull-8-ad", settings);
    GString *part = g_string_new("| F#");
    for (guint i = 0; i < n; ++i) {
      g_string_append(part, i % 2 ? " | E" : " | Bm");
    }
    g_string_append(part, " | F# |");
    plan_tune(&p, part->str, "A");
    assert_int_equal(p.route->reversals, 2);
    assert_int_equal(p.route->hasty, n < 64);
    const RcStep *last = &g_array_index(p.route->steps, RcStep, n + 1);
    assert_true(last->hasty == (n < 64 ? 2 * n : 0)); // a bar lasts two seconds
    g_string_free(part, TRUE);
    clear_planned(&p);
  }
}

// F sharp is on the push only, B minor and E on the pull only: two bars of two seconds are between the turns.
static void
a_turn_just_in_time_is_not_too_soon(void **state)
{
  (void)state;
  static const struct {
    double apart;
    guint hasty;
  } cases[] = { { 0.5, 0 }, { 3.9, 0 }, { 4, 0 }, { 4.1, 1 } };
  for (guint i = 0; i < G_N_ELEMENTS(cases); ++i) {
    RcRouteSettings settings = rc_route_settings();
    settings.turns_apart = cases[i].apart;
    Planned p = plan_with("push-pull-8-ad", settings);
    plan_tune(&p, "| F# | Bm | E | F# |", "A");
    assert_int_equal(p.route->reversals, 2);
    assert_int_equal(p.route->hasty, cases[i].hasty);
    clear_planned(&p);
  }
}

// The leap back to the first bar is played last and told first.
static void
leaps_are_told_in_the_order_of_the_written_bars(void **state)
{
  (void)state;
  static const guint bars[] = { 0, 1, 1 }; // from C to D flat the fingers reach
  Planned p = plan_on("72");
  add_tune(&p, "| G C G C | C F# C Db |", "A A");
  RcChart *chart = rc_chart_new(p.planner, p.route, NULL, p.tune);
  assert_int_equal(chart->hard->len, G_N_ELEMENTS(bars));
  for (guint i = 0; i < G_N_ELEMENTS(bars); ++i) {
    assert_int_equal(g_array_index(chart->hard, RcHardSpot, i).bar, bars[i]);
  }
  const RcHardSpot *back = &g_array_index(chart->hard, RcHardSpot, 0);
  assert_string_equal(rc_tune_symbol(p.tune, back->from)->text, "Db");
  rc_chart_free(chart);
  clear_planned(&p);
}

// On an 8. The chord that is held from bar to bar is marked in each; so are those that come round again. G6 is richer
// than G: its grip is G and G major, which leaves out the sixth.
static void
a_chart_marks_each_chord_as_it_is_held(void **state)
{
  (void)state;
  static const RcVerdict expected[] = { RC_NATIVE, RC_IMPOSSIBLE, RC_IMPOSSIBLE, RC_NATIVE, RC_LEANER, RC_NATIVE };
  for (guint times = 1; times <= 2; ++times) {
    Planned p = plan_on("8");
    add_tune(&p, "| C | F#m | F#m . C | G6 C |", times == 1 ? "A" : "A A");
    RcChart *chart = rc_chart_new(p.planner, p.route, NULL, p.tune);
    assert_int_equal(p.tune->events->len, G_N_ELEMENTS(expected));
    for (guint i = 0; i < G_N_ELEMENTS(expected); ++i) {
      assert_int_equal(chart->verdicts[i], expected[i]);
    }
    rc_chart_free(chart);
    clear_planned(&p);
  }
}

// The fifth of C is G, in the next column. A hand whose fingers span 10 mm has to move for it.
static void
the_bass_to_alternate_with_may_need_a_move(void **state)
{
  (void)state;
  RcLayout *layout = rc_layout_find("32", NULL);
  RcFingers fingers = rc_fingers();
  const RcChord c_major = { 0, 0, RC_CHORD_MAJOR };
  const RcGrip grip = { { BUTTON_C }, { COLUMNS + COLUMN_C, 0 }, 1, 1 };
  const RcFingering fingering = { { 4 }, { 3 } };
  const RcSecondBass near = rc_second_bass(&fingers, layout, 4, &c_major, &grip, &fingering);
  assert_true(near.found && near.button == COLUMN_G && near.finger != 0 && near.finger != 3);
  assert_true(rc_spans_parse("10,10,10,10,10,10", &fingers));
  const RcSecondBass far = rc_second_bass(&fingers, layout, 4, &c_major, &grip, &fingering);
  assert_true(far.found && far.button == COLUMN_G && far.finger == 0);
  assert_false(rc_second_bass(&fingers, layout, 0, &c_major, &grip, &fingering).found); // a hand of one column
  rc_layout_free(layout);
}

// The bass and the chord of C are in one column, which is held as long as the chord, not twice as long.
static void
a_column_is_held_as_long_as_its_chords(void **state)
{
  (void)state;
  Planned p = plan_on("32");
  add_part(&p, "| C | Am | C | G7 |");
  RcHeat *heat = rc_heat_new(p.use);
  assert_true(heat->whole == 4 * bar);
  assert_true(heat->by_row[0].held == 4 * bar && heat->by_row[1].held == 2 * bar);
  assert_true(heat->by_row[2].held == bar && heat->by_row[3].held == bar);
  assert_true(heat->by_column[COLUMN_C].held == 2 * bar && heat->by_column[COLUMN_C].ticks == 4 * bar);
  assert_true(heat->by_column[COLUMN_G].held == bar && heat->by_column[COLUMN_A].held == bar);
  assert_true(heat->by_column[0].held == 0);
  assert_true(rc_heat_share(heat, heat->by_column[COLUMN_C].held) == 0.5);
  rc_heat_free(heat);
  clear_planned(&p);
}

// By way of a use of its own, as each file has.
static void
add_titled(Planned *p, const char *title, const char *part)
{
  plan_tune(p, part, "A");
  RcUse *use = rc_use_new(p->layout);
  rc_use_keep_tunes(use);
  p->tune->title = title;
  rc_use_add(use, p->route, p->tune, RC_BARE);
  rc_use_merge(p->use, use);
  rc_use_free(use);
}

static Planned
plan_tunes_on(const char *layout)
{
  Planned p = plan_on(layout);
  rc_use_keep_tunes(p.use);
  return p;
}

static void
assert_own(const RcHeatSide *side, guint nth, const char *name, RcTicks ticks, guint n_tunes)
{
  const RcOwnButton *own = &side->own[nth];
  char *found = rc_button_name(side->use->layout, rc_layout_button(side->use->layout, own->button), RC_SIGNS_ASCII);
  assert_string_equal(found, name);
  assert_true(own->ticks == ticks);
  assert_int_equal(own->n_tunes, n_tunes);
  g_free(found);
}

static void
two_repertoires_beside_each_other(void **state)
{
  (void)state;
  Planned one = plan_tunes_on("32");
  Planned other = plan_tunes_on("32");
  add_titled(&one, "Weir", "| C | Am |");
  add_titled(&other, "Weir", "| C | G7 |");
  add_titled(&other, "Mill", "| G7 | G7 |");
  RcHeatPair *pair = rc_heat_pair_new(one.use, other.use);
  assert_int_equal(pair->alike, 32);
  assert_int_equal(pair->shared, 2); // the bass and the major of C
  assert_int_equal(pair->sides[0].n_own, 2);
  assert_own(&pair->sides[0], 0, "A bass", bar, 1);
  assert_own(&pair->sides[0], 1, "A minor", bar, 1);
  assert_int_equal(pair->sides[1].n_own, 2);
  assert_own(&pair->sides[1], 0, "G bass", 3 * bar, 2);
  assert_own(&pair->sides[1], 1, "G seventh", 3 * bar, 2);
  const RcPressing *tunes = pair->sides[1].own[0].tunes;
  assert_string_equal(tunes[0].title, "Mill"); // though it was read later
  assert_true(tunes[0].ticks == 2 * bar && tunes[0].presses == 1);
  assert_string_equal(tunes[1].title, "Weir");
  assert_true(rc_heat_pair_button(pair, BUTTON_C) == 0.25); // half of the one, a quarter of the other
  assert_true(rc_heat_pair_row(pair, 2) == 0.5);            // minor
  assert_true(rc_heat_pair_row(pair, 3) == -0.75);          // seventh
  assert_true(rc_heat_pair_column(pair, COLUMN_G) == -0.75);
  rc_heat_pair_free(pair);
  clear_planned(&one);
  clear_planned(&other);
}

// G is held three quarters of the one time and one quarter of the other, C a quarter and half.
static void
what_changed_most_is_told_first(void **state)
{
  (void)state;
  static const char *const names[] = { "G bass", "G major", "C bass" }; // three are told
  static const double differences[] = { 0.5, 0.5, -0.25 };
  Planned one = plan_tunes_on("32");
  Planned other = plan_tunes_on("32");
  add_titled(&one, "Weir", "| G | G | G | C |");
  add_titled(&other, "Mill", "| G | C | C | F |");
  RcHeatPair *pair = rc_heat_pair_new(one.use, other.use);
  assert_int_equal(pair->n_shifts, G_N_ELEMENTS(names));
  for (guint i = 0; i < G_N_ELEMENTS(names); ++i) {
    const RcLayout *layout = one.use->layout;
    char *name = rc_button_name(layout, rc_layout_button(layout, pair->shifts[i].button), RC_SIGNS_ASCII);
    assert_string_equal(name, names[i]);
    assert_true(pair->shifts[i].difference == differences[i]);
    g_free(name);
  }
  rc_heat_pair_free(pair);
  clear_planned(&one);
  clear_planned(&other);
}

// A 12 has Bb to A in two rows; a 24 more columns and the minor row.
static void
buttons_correspond_by_row_and_column(void **state)
{
  (void)state;
  Planned small = plan_tunes_on("12");
  Planned large = plan_tunes_on("24");
  Planned box = plan_tunes_on("push-pull-8-gc");
  add_titled(&small, "Weir", "| C | Am |");
  add_titled(&large, "Weir", "| C | Am |");
  RcHeatPair *pair = rc_heat_pair_new(large.use, small.use);
  assert_int_equal(pair->alike, 12);
  assert_true(pair->sides[0].others[0] == -1 && pair->sides[0].others[1] == 0); // Eb, Bb
  assert_own(&pair->sides[0], pair->sides[0].n_own - 1, "A minor", bar, 1);
  assert_true(rc_heat_pair_row(pair, 2) != rc_heat_pair_row(pair, 2)); // not a number
  assert_true(rc_heat_pair_column(pair, 0) != rc_heat_pair_column(pair, 0));
  assert_true(rc_heat_pair_button(pair, 0) != rc_heat_pair_button(pair, 0));
  assert_true(rc_heat_pair_button(pair, COLUMN_C) == 0);
  rc_heat_pair_free(pair);
  pair = rc_heat_pair_new(large.use, box.use);
  assert_int_equal(pair->alike, 0);
  rc_heat_pair_free(pair);
  clear_planned(&small);
  clear_planned(&large);
  clear_planned(&box);
}

// Bb is the first column of a 12, and its first button; it is held half of the one time and all of the other.
static void
the_first_button_corresponds_too(void **state)
{
  (void)state;
  Planned small = plan_tunes_on("12");
  Planned large = plan_tunes_on("24");
  add_titled(&small, "Weir", "| Bb | Bb |");
  add_titled(&large, "Weir", "| Bb | C |");
  RcHeatPair *pair = rc_heat_pair_new(large.use, small.use);
  assert_int_equal(pair->shared, 2); // bass and major
  assert_int_equal(pair->sides[0].n_own, 2);
  assert_int_equal(pair->sides[1].n_own, 0);
  assert_true(rc_heat_pair_button(pair, 1) == -0.5); // after Eb
  assert_true(rc_heat_pair_column(pair, 1) == -0.5);
  assert_true(rc_heat_pair_row(pair, 0) == 0);
  assert_int_equal(pair->n_shifts, 2);
  assert_int_equal(pair->shifts[0].button, 1);
  rc_heat_pair_free(pair);
  clear_planned(&small);
  clear_planned(&large);
}

static int
make_file(void **state)
{
  (void)state;
  return make_scratch("weir.yaml");
}

int
main(void)
{
  const struct CMUnitTest tests[] = {
    cmocka_unit_test(the_fewest_rows_and_columns_that_are_enough),
    cmocka_unit_test(the_first_row_and_the_first_columns_may_be_enough),
    cmocka_unit_test(nothing_held_needs_no_rows),
    cmocka_unit_test(rows_that_are_never_touched_are_idle),
    cmocka_unit_test(each_button_is_held_as_long_as_its_chords),
    cmocka_unit_test(tunes_are_counted_as_a_roll_counts_them),
    cmocka_unit_test(uses_add_up),
    cmocka_unit_test(a_chart_marks_each_chord_as_it_is_held),
    cmocka_unit_test(the_bass_to_alternate_with_may_need_a_move),
    cmocka_unit_test(leaps_at_speed_are_told_by_bar),
    cmocka_unit_test(hasty_turns_of_the_bellows_are_told_by_bar),
    cmocka_unit_test(a_turn_64_chords_ago_is_long_ago),
    cmocka_unit_test(a_turn_just_in_time_is_not_too_soon),
    cmocka_unit_test(leaps_are_told_in_the_order_of_the_written_bars),
    cmocka_unit_test(a_column_is_held_as_long_as_its_chords),
    cmocka_unit_test(two_repertoires_beside_each_other),
    cmocka_unit_test(what_changed_most_is_told_first),
    cmocka_unit_test(buttons_correspond_by_row_and_column),
    cmocka_unit_test(the_first_button_corresponds_too),
  };
  return cmocka_run_group_tests(tests, make_file, remove_scratch);
}
