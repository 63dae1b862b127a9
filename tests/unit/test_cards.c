// Copyright 2026 the rowcall developers
// SPDX-License-Identifier: MIT

// What to tell a student of the chords of a tune: one card a chord, with every way in which the tune plays it.

#undef NDEBUG

#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>

#include <cmocka.h>

#include "rowcall/rowcall.h"

#include "scratch.h"

#include <string.h>

// The 8 has no button for C minor. Its third, E flat, is in the melody of bars 2 and 6; in bar 3 the melody has only
// the fifth, but the chord is short; in bar 5 it is long, and nothing gives the third, so that an open fifth has to do.
// Half a bar is two seconds.
static const char text[] = "X:1\nT:Three Ways to the Mill\nM:4/4\nL:1/4\nQ:1/4=60\nK:C\n"
                           "\"C\"CEGE|\"Cm\"_E4|\"C\"G2 \"Cm\"G2|\"C\"E4|\"Cm\"GGGG|\"C\"E2\"Cm\"_E2|\"C\"C4|]\n";

typedef struct {
  RcTune *tune;
  RcLayout *layout;
  RcPlanner *planner;
  RcRoute *route;
  RcChart *chart;
  RcCards *cards;
} Charted;

static Charted
chart(const char *layout, const char *abc)
{
  Charted c = { rc_tune_new(), rc_layout_find(layout, NULL), NULL, NULL, NULL, NULL };
  const char *const paths[] = { path, NULL };
  assert_true(g_file_set_contents(path, abc, -1, NULL));
  RcCorpus *corpus = rc_corpus_new(paths, (RcCorpusOptions){ 0 });
  assert_int_equal(rc_corpus_next(corpus, c.tune, NULL), RC_READ_TUNE);
  rc_corpus_free(corpus);
  RcRouteSettings settings = rc_route_settings();
  settings.roll.brisk = 2.5;
  c.planner = rc_planner_new(c.layout, &settings);
  c.route = rc_route_new(c.planner);
  rc_route_plan(c.route, c.tune);
  c.chart = rc_chart_new(c.planner, c.route, NULL, c.tune);
  c.cards = rc_cards_new(c.tune, c.chart);
  return c;
}

static void
clear_charted(Charted *c)
{
  rc_cards_free(c->cards);
  rc_chart_free(c->chart);
  rc_route_free(c->route);
  rc_planner_free(c->planner);
  rc_layout_free(c->layout);
  rc_tune_free(c->tune);
}

static void
test_one_chord_has_one_card_with_its_cases(void **state)
{
  (void)state;
  static const struct {
    RcVerdict verdict;
    RcHint hint;
    guint n_bars;
    guint bars[2]; // from 0
  } expected[] = {
    { RC_BARE, RC_HINT_MELODY, 2, { 1, 5 } },
    { RC_BARE, RC_HINT_BRISK, 1, { 2 } },
    { RC_BORROWED, RC_HINT_MAKESHIFT, 1, { 4 } }, // the basses C and G
  };
  Charted c = chart("8", text);
  assert_int_equal(c.cards->n, 2);
  assert_false(c.cards->cards[0].lacking);
  const RcCard *card = &c.cards->cards[1];
  const RcChord *chord = &g_array_index(c.tune->symbols, RcSymbol, card->symbol).chord;
  assert_true(card->lacking);
  assert_int_equal(card->times, 4);
  assert_int_equal(card->ticks, 12 * RC_QUARTER);
  assert_int_equal(card->n, G_N_ELEMENTS(expected));
  for (guint i = 0; i < card->n; ++i) {
    const RcNeed *need = card->cases[i];
    assert_int_equal(need->answer.verdict, expected[i].verdict);
    assert_int_equal(rc_hint(chord, &need->answer, need->wide), expected[i].hint);
    assert_int_equal(need->n_bars, expected[i].n_bars);
    assert_memory_equal(need->bars, expected[i].bars, need->n_bars * sizeof(guint));
  }
  clear_charted(&c);
}

// On the 48 F6 and F6/9 are both the F bass with D minor, C13 and C9 both the plain C7. So is C7 with a raised fifth,
// but its bass does not alternate with G. C minor seventh is E flat major over C, which is no plainer chord of C.
static void
test_chords_that_are_pressed_alike_are_one_stand_in(void **state)
{
  (void)state;
  static const char tune[] = "X:1\nT:Fen\nM:4/4\nL:1/4\nQ:1/4=60\nK:F\n"
                             "\"F6\"z4|\"C13\"z4|\"F6/9\"z4|\"C7#5\"z4|\"Cm7\"z4|\"F\"z4|\"C9\"z4|]\n";
  static const struct {
    guint chords;
    guint times;
    gboolean plain;
    const char *symbols[2];
  } expected[] = { { 2, 2, FALSE, { "F6", "F6/9" } },
                   { 2, 2, TRUE, { "C13", "C9" } },
                   { 1, 1, TRUE, { "C7#5", NULL } },
                   { 1, 1, FALSE, { "Cm7", NULL } } };
  static const guint numbers[] = { 1, 2, 1, 3, 4, 0, 2 };
  Charted c = chart("48-8x6", tune);
  RcStandIns *all = rc_stand_ins_new(c.tune, c.chart, c.layout);
  assert_int_equal(all->n, G_N_ELEMENTS(expected));
  for (guint i = 0; i < all->n; ++i) {
    assert_int_equal(all->list[i].n, expected[i].chords);
    assert_int_equal(all->list[i].times, expected[i].times);
    assert_true(all->list[i].ticks == expected[i].times * 4 * RC_QUARTER);
    assert_int_equal(all->list[i].plain, expected[i].plain);
    for (guint j = 0; j < all->list[i].n; ++j) { // its chords in the order they first come
      const RcSymbol *symbol = &g_array_index(c.tune->symbols, RcSymbol, all->list[i].needs[j]->symbol);
      assert_string_equal(symbol->text, expected[i].symbols[j]);
    }
  }
  assert_int_equal(c.chart->needs->len, G_N_ELEMENTS(numbers));
  assert_memory_equal(all->numbers, numbers, sizeof numbers);
  rc_stand_ins_free(all);
  rc_stand_ins_free(NULL);
  clear_charted(&c);
}

// C minor on an 8 is always C and G: bare where the melody helps or the chord is short, borrowed where neither is so.
// That is one stand-in, of the lower grade.
static void
test_a_stand_in_has_the_lowest_grade_of_a_chord(void **state)
{
  (void)state;
  Charted c = chart("8", text);
  RcStandIns *all = rc_stand_ins_new(c.tune, c.chart, c.layout);
  assert_int_equal(all->n, 1);
  assert_int_equal(all->list[0].n, 1);
  assert_int_equal(all->list[0].needs[0]->answer.verdict, RC_BORROWED);
  assert_int_equal(all->list[0].times, 4);
  assert_true(all->list[0].ticks == 12 * RC_QUARTER);
  assert_false(all->list[0].plain);
  rc_stand_ins_free(all);
  clear_charted(&c);
}

static void
assert_stand_in(const char *layout, const char *symbol, guint n, gboolean plain)
{
  char *tune = g_strdup_printf("X:1\nT:Fen\nM:4/4\nL:1/4\nQ:1/4=60\nK:C\n\"%s\"z4|]\n", symbol);
  Charted c = chart(layout, tune);
  RcStandIns *all = rc_stand_ins_new(c.tune, c.chart, c.layout);
  assert_int_equal(all->n, n);
  assert_int_equal(all->numbers[0], n);
  assert_true(!n || all->list[0].plain == plain);
  rc_stand_ins_free(all);
  clear_charted(&c);
  g_free(tune);
}

// Whatever chord the button of the same root sounds, from major to augmented. An 8 has nothing for F sharp minor, which
// is no stand-in.
static void
test_a_plain_stand_in_is_the_chord_of_its_root(void **state)
{
  (void)state;
  char *own = g_strconcat(path, ".yaml", NULL);
  assert_true(g_file_set_contents(own, "columns: [C]\nrows: [fundamental, augmented]\n", -1, NULL));
  assert_stand_in("48-8x6", "Cadd9", 1, TRUE); // as C
  assert_stand_in(own, "C6#5", 1, TRUE);       // as Caug
  assert_stand_in("48-8x6", "Cm7", 1, FALSE);  // with Eb
  assert_stand_in("8", "C", 0, FALSE);
  assert_stand_in("8", "F#m", 0, FALSE);
  g_remove(own);
  g_free(own);
}

// A suspended chord has its fourth in place of the third.
static void
test_what_a_student_is_told_of_each_grade(void **state)
{
  (void)state;
  enum { E = 1 << 4, F = 1 << 5, G = 1 << 7 };
  const RcChord c_major = { 0, 0, RC_CHORD_MAJOR };
  const RcChord c_sus = { 0, 0, RC_BIT(1) | RC_BIT(SUS_4) | RC_BIT(5) };
  static const RcHint hints[RC_N_VERDICTS] = {
    [RC_RICHER] = RC_HINT_LIGHT, [RC_BARE] = RC_HINT_BRISK, [RC_BORROWED] = RC_HINT_MAKESHIFT
  };
  for (guint i = RC_NATIVE; i <= RC_IMPOSSIBLE; ++i) {
    const RcAnswer answer = { .verdict = (RcVerdict)i };
    assert_int_equal(rc_hint(&c_major, &answer, FALSE), hints[i]); // nothing of those that are not in the table
    assert_int_equal(rc_hint(&c_major, &answer, TRUE), RC_HINT_WIDE);
  }
  RcAnswer bare = { .verdict = RC_BARE };
  bare.grading.helped = E;
  assert_int_equal(rc_hint(&c_major, &bare, FALSE), RC_HINT_MELODY);
  assert_int_equal(rc_hint(&c_sus, &bare, FALSE), RC_HINT_BRISK);
  bare.grading.helped = F;
  assert_int_equal(rc_hint(&c_sus, &bare, FALSE), RC_HINT_MELODY);
  bare.grading.helped = G; // no third
  assert_int_equal(rc_hint(&c_major, &bare, FALSE), RC_HINT_BRISK);
}

// The open fifth C and G has to do for C minor wherever it comes: the melody helps in bars 2 and 6 and not in bars 3
// and 5, so that one answer does not tell all of what is missing.
static void
test_one_grip_is_one_lack_however_it_is_graded(void **state)
{
  (void)state;
  Charted c = chart("8", text);
  guint n = 0;
  RcRollSettings settings = rc_roll_settings();
  settings.brisk = 2.5;
  RcCatalogue *catalogue = rc_catalogue_new(c.layout, (RcHand){ RC_GRIP_REACH, RC_GRIP_PRESS });
  RcPanel *panel = rc_panel_new(&catalogue, 1, rc_taste());
  RcRoll *roll = rc_roll_new(panel, settings);
  rc_roll_add(roll, c.tune);
  RcLack *lacks = rc_lacks_find(roll, 0, &n);
  assert_int_equal(n, 1);
  assert_int_equal(lacks->times, 4);
  assert_true(lacks->ticks == 12 * RC_QUARTER);
  assert_int_equal(lacks->answer.verdict, RC_BARE);
  assert_int_equal(lacks->answer.grip.n_basses, 2);
  assert_int_equal(lacks->answer.grip.n_chords, 0);
  assert_int_equal(lacks->graded_times[RC_BARE], 3);
  assert_true(lacks->graded_ticks[RC_BARE] == 8 * RC_QUARTER);
  assert_int_equal(lacks->graded_times[RC_BORROWED], 1);
  assert_true(lacks->graded_ticks[RC_BORROWED] == 4 * RC_QUARTER);
  assert_true(lacks->mixed);
  assert_int_equal(lacks->where, RC_LACK_ANYWHERE);
  g_free(lacks);
  lacks = rc_lacks_unplayable(roll, 0, &n); // the long one without help
  assert_int_equal(n, 1);
  assert_int_equal(lacks->times, 1);
  assert_true(lacks->ticks == 4 * RC_QUARTER);
  g_free(lacks);
  rc_roll_free(roll);
  rc_panel_free(panel);
  rc_catalogue_free(catalogue);
  clear_charted(&c);
}

// An 8 has nothing for F sharp minor, whatever the melody adds to it: that is one lack.
static void
test_no_grip_is_one_lack_whatever_the_melody(void **state)
{
  (void)state;
  Charted c = chart("8", "X:1\nT:Weir\nM:4/4\nL:1/4\nQ:1/4=60\nK:D\n"
                         "\"F#m\"F4|\"D\"D4|\"F#m\"A4|\"D\"D4|\"F#m\"c4|\"D\"D4|]\n");
  guint n = 0;
  RcCatalogue *catalogue = rc_catalogue_new(c.layout, (RcHand){ RC_GRIP_REACH, RC_GRIP_PRESS });
  RcPanel *panel = rc_panel_new(&catalogue, 1, rc_taste());
  RcRoll *roll = rc_roll_new(panel, rc_roll_settings());
  rc_roll_add(roll, c.tune);
  RcLack *lacks = rc_lacks_find(roll, 0, &n);
  assert_int_equal(n, 1);
  assert_int_equal(lacks->answer.verdict, RC_IMPOSSIBLE);
  assert_int_equal(lacks->times, 3);
  assert_true(lacks->ticks == 12 * RC_QUARTER);
  g_free(lacks);
  rc_roll_free(roll);
  rc_panel_free(panel);
  rc_catalogue_free(catalogue);
  clear_charted(&c);
}

static void
test_the_last_resort_is_the_bass(void **state)
{
  (void)state;
  RcChord chord;
  RcLayout *layout = rc_layout_find("12", NULL);
  assert_int_equal(rc_chord_parse("Cm/G", 4, RC_NAMES_ENGLISH, &chord, NULL), RC_SYMBOL_CHORD);
  const RcLastResort last = rc_last_resort(layout, &chord);
  assert_true(last.bass);
  assert_int_equal(rc_note_pc(rc_layout_button(layout, last.button)->sound.root), 7);
  assert_int_equal(rc_layout_button(layout, last.button)->sound.kind, RC_SOUND_BASS);
  assert_int_equal(rc_chord_parse("Gb", 2, RC_NAMES_ENGLISH, &chord, NULL), RC_SYMBOL_CHORD);
  assert_false(rc_last_resort(layout, &chord).bass); // a 12 has no such bass
  rc_layout_free(layout);
}

// On a 48 G is a bass of its own, beside C, and the counterbass of E flat, further off; so is E, beyond A. By
// rc_grip_compare() the one nearer to C and G comes first.
static void
test_the_last_resort_is_the_bass_at_hand(void **state)
{
  (void)state;
  static const struct {
    const char *symbol, *row, *column;
  } cases[] = { { "Gm7b5", "fundamental", "G" }, { "C/E", "counterbass", "C" }, { "B", "counterbass", "G" } };
  RcLayout *layout = rc_layout_find("48-8x6", NULL);
  for (guint i = 0; i < G_N_ELEMENTS(cases); ++i) {
    RcChord chord;
    assert_int_equal(rc_chord_parse(cases[i].symbol, strlen(cases[i].symbol), RC_NAMES_ENGLISH, &chord, NULL),
                     RC_SYMBOL_CHORD);
    const RcLastResort last = rc_last_resort(layout, &chord);
    assert_true(last.bass);
    const RcButton *button = rc_layout_button(layout, last.button);
    assert_string_equal(rc_button_row(layout, button), cases[i].row);
    assert_string_equal(rc_note_name(rc_button_column(layout, button), RC_SIGNS_ASCII), cases[i].column);
  }
  rc_layout_free(layout);
}

// A leap is as hard as its longest way and its shortest time, wherever they come.
static void
test_hard_spots_with_the_same_chords_are_one(void **state)
{
  (void)state;
  Charted c = chart("8", text);
  const RcHardSpot spots[] = { { RC_HARD_LEAP, 3, 0, 1, 61, 0.5, 2 },
                               { RC_HARD_WIDE, 3, 1, 1, 90, 0, 2 },
                               { RC_HARD_LEAP, 5, 0, 1, 80, 0.4, 1 },
                               { RC_HARD_LEAP, 6, 0, 1, 62, 0.6, 1 } };
  g_array_set_size(c.chart->hard, 0);
  g_array_append_vals(c.chart->hard, spots, G_N_ELEMENTS(spots));
  RcHardList *list = rc_hard_new(c.tune, c.chart);
  assert_int_equal(list->n, 2);
  assert_int_equal(list->spots[0].n, 3);
  assert_memory_equal(list->spots[0].bars, ((const guint[]){ 3, 5, 6 }), 3 * sizeof(guint));
  assert_true(list->spots[0].hardest.mm == 80 && list->spots[0].hardest.seconds == 0.4);
  assert_int_equal(list->spots[0].hardest.times, 4);
  assert_int_equal(list->spots[1].hardest.kind, RC_HARD_WIDE);
  assert_int_equal(list->spots[1].n, 1);
  rc_hard_free(list);
  clear_charted(&c);
}

static int
make_file(void **state)
{
  (void)state;
  return make_scratch("mill.abc");
}

int
main(void)
{
  const struct CMUnitTest tests[] = {
    cmocka_unit_test(test_one_chord_has_one_card_with_its_cases),
    cmocka_unit_test(test_chords_that_are_pressed_alike_are_one_stand_in),
    cmocka_unit_test(test_a_stand_in_has_the_lowest_grade_of_a_chord),
    cmocka_unit_test(test_a_plain_stand_in_is_the_chord_of_its_root),
    cmocka_unit_test(test_what_a_student_is_told_of_each_grade),
    cmocka_unit_test(test_one_grip_is_one_lack_however_it_is_graded),
    cmocka_unit_test(test_no_grip_is_one_lack_whatever_the_melody),
    cmocka_unit_test(test_the_last_resort_is_the_bass),
    cmocka_unit_test(test_the_last_resort_is_the_bass_at_hand),
    cmocka_unit_test(test_hard_spots_with_the_same_chords_are_one),
  };
  return cmocka_run_group_tests(tests, make_file, remove_scratch);
}
