// Copyright 2026 the rowcall developers
// SPDX-License-Identifier: MIT

// What the rules of the roll promise beyond single chords: tunes that are one short, the melody's help, three buttons.

#undef NDEBUG

#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>

#include <cmocka.h>

#include "rowcall/rowcall.h"

#include "rolled.h"

#include <math.h>
#include <string.h>

#define HEAD "title: Weir\nmeter: 4/4\ntempo: 60\nkey: C\n"

// On an 8 with C, F, G and D and their major chords F sharp minor and A7 are impossible, and held long so is B minor at
// an accepted grade.
static const struct {
  const char *parts;
  guint playable;
  guint one_short;
} tunes[] = {
  { "parts: {A: \"| C | F | G | C |\"}\n", 1, 0 },
  { "parts: {A: \"| C | F#m | G | C |\"}\n", 0, 1 },
  { "parts: {A: \"| F#m | C | F#m | Gbm |\"}\n", 0, 1 }, // however often, however spelled
  { "parts: {A: \"| F#m | C | A7 | C |\"}\n", 0, 0 },    // two
  { "parts: {A: \"| F#m | C | Bm | C |\"}\n", 0, 0 },
  { "parts: {A: \"| F#m | C | Xyz | C |\"}\n", 0, 0 }, // unread
  { "parts: {A: \"| Xyz | C |\"}\n", 0, 0 },
};

static void
one_different_chord_makes_a_tune_one_short(void **state)
{
  (void)state;
  for (guint i = 0; i < G_N_ELEMENTS(tunes); ++i) {
    char *text = g_strconcat(HEAD, tunes[i].parts, NULL);
    Rolled rolled = roll_text(text);
    const RcCounts counts = rc_roll_counts(rolled.roll, 0);
    if (counts.playable != tunes[i].playable || counts.one_short != tunes[i].one_short) {
      fail_msg("%s: %u playable, %u one short", text, (guint)counts.playable, (guint)counts.one_short);
    }
    clear_rolled(&rolled);
    g_free(text);
  }
}

// In the key of C.
static RcRequest
request_for(const char *symbol)
{
  RcRequest request = { 0 };
  const RcKey key = { RC_MODE_MAJOR, 0 };
  assert_int_equal(rc_chord_parse(symbol, strlen(symbol), RC_NAMES_ENGLISH, &request.chord, NULL), RC_SYMBOL_CHORD);
  request.key = rc_key_scale(key, rc_key_tones(key));
  return request;
}

static guint
tone(const char *note)
{
  RcNote read = 0;
  assert_int_equal(rc_note_parse(note, strlen(note), RC_NAMES_ENGLISH, &read), strlen(note));
  return 1U << rc_note_pc(read);
}

// The melody may fill the seventh of Cmaj7, so that C major over C lacks nothing; the third of C it may fill only for a
// bare bass, and the bass of C/E never.
static void
the_melody_fills_what_the_left_hand_may_leave_out(void **state)
{
  (void)state;
  const RcPcSet c_major = (RcPcSet)(tone("C") | tone("E") | tone("G"));
  const RcPcSet fifth = (RcPcSet)(tone("C") | tone("G"));
  const RcSounding c_chord = { c_major, (RcPcSet)tone("C"), 1, 1 };
  const RcSounding basses = { fifth, fifth, 2, 0 };
  RcRequest request = request_for("Cmaj7");
  assert_int_equal(rc_grade(&request, &c_chord).verdict, RC_LEANER);
  request.melody = (RcPcSet)tone("B");
  assert_int_equal(rc_grade(&request, &c_chord).verdict, RC_SAME);
  assert_int_equal(rc_grade(&request, &c_chord).helped, tone("B"));
  request = request_for("C");
  assert_int_equal(rc_grade(&request, &basses).verdict, RC_BORROWED);
  request.melody = (RcPcSet)tone("E");
  assert_int_equal(rc_grade(&request, &basses).verdict, RC_BARE);
  request.melody = 0;
  request.brisk = TRUE;
  assert_int_equal(rc_grade(&request, &basses).verdict, RC_BARE);
  request = request_for("C/E");
  request.melody = (RcPcSet)tone("E");
  assert_int_equal(rc_grade(&request, &basses).verdict, RC_BORROWED);
  assert_true(rc_grade(&request, &basses).missing & tone("E"));
}

// Both 6 and 9 are usual over G major in C; two buttons may add both, three only one.
static void
three_buttons_have_one_foreign_tone_at_most(void **state)
{
  (void)state;
  const RcRequest request = request_for("G");
  const RcPcSet g_major = (RcPcSet)(tone("G") | tone("B") | tone("D"));
  const RcSounding sixth = { (RcPcSet)(g_major | tone("E")), (RcPcSet)tone("G"), 1, 2 };
  const RcSounding two = { (RcPcSet)(g_major | tone("E") | tone("A")), (RcPcSet)tone("G"), 1, 2 };
  const RcSounding plain = { two.tones, two.basses, 1, 1 };
  assert_int_equal(rc_grade(&request, &sixth).verdict, RC_RICHER);
  assert_int_equal(rc_grade(&request, &two).verdict, RC_IMPOSSIBLE);
  assert_int_equal(rc_grade(&request, &plain).verdict, RC_RICHER);
}

// With the perfect fifth beside a raised or lowered one, as scores may ask for, a chord is a major triad: B is usual
// and B flat is not, which it would be to an augmented one.
static void
a_triad_with_two_fifths_is_a_major_triad(void **state)
{
  (void)state;
  static const RcDegrees fifths[] = { RC_BIT(SHARP_5), RC_BIT(FLAT_5) };
  for (guint i = 0; i < G_N_ELEMENTS(fifths); ++i) {
    const RcRequest request = { .chord = { 0, 0, RC_CHORD_MAJOR | fifths[i] } };
    const RcPcSet wanted = rc_chord_tones(&request.chord);
    const RcSounding major_seventh = { (RcPcSet)(wanted | tone("B")), (RcPcSet)tone("C"), 1, 1 };
    const RcSounding seventh = { (RcPcSet)(wanted | tone("Bb")), (RcPcSet)tone("C"), 1, 1 };
    assert_int_equal(rc_grade(&request, &major_seventh).verdict, RC_RICHER);
    assert_int_equal(rc_grade(&request, &seventh).verdict, RC_IMPOSSIBLE);
  }
}

// In G a B leads home to E minor and may have its seventh A and the ninth C, which E minor has; a D, the fifth degree,
// its seventh alone; and an A, which leads to D major, neither.
static void
major_triads_that_lead_home_have_their_seventh(void **state)
{
  (void)state;
  static const struct {
    const char *root, *third, *fifth, *seventh, *ninth;
    RcVerdict with_seventh, with_both;
  } cases[] = { { "B", "D#", "F#", "A", "C", RC_RICHER, RC_RICHER },
                { "D", "F#", "A", "C", "Eb", RC_RICHER, RC_IMPOSSIBLE },
                { "A", "C#", "E", "G", "Bb", RC_IMPOSSIBLE, RC_IMPOSSIBLE } };
  const RcKey g = { RC_MODE_MAJOR, 1 };
  for (guint i = 0; i < G_N_ELEMENTS(cases); ++i) {
    RcRequest request = request_for(cases[i].root);
    request.key = rc_key_scale(g, rc_key_tones(g));
    const RcPcSet bass = (RcPcSet)tone(cases[i].root);
    const guint seventh = bass | tone(cases[i].third) | tone(cases[i].fifth) | tone(cases[i].seventh);
    const RcSounding four = { (RcPcSet)seventh, bass, 1, 1 };
    const RcSounding five = { (RcPcSet)(seventh | tone(cases[i].ninth)), bass, 1, 1 };
    assert_int_equal(rc_grade(&request, &four).verdict, cases[i].with_seventh);
    assert_int_equal(rc_grade(&request, &five).verdict, cases[i].with_both);
  }
}

// The lowered fifth of a sus chord may not be left out, as that of a diminished chord may where its seventh sounds: F
// major over C is C and F of Csus4b5, and an A that players add.
static void
a_lowered_fifth_is_left_out_of_diminished_chords_alone(void **state)
{
  (void)state;
  const RcSounding f_over_c = { (RcPcSet)(tone("F") | tone("A") | tone("C")), (RcPcSet)tone("C"), 1, 1 };
  const RcRequest sus = { .chord = { 0, 0, RC_BIT(1) | RC_BIT(SUS_4) | RC_BIT(FLAT_5) } };
  assert_int_equal(rc_grade(&sus, &f_over_c).verdict, RC_BORROWED);
  const RcSounding button = { (RcPcSet)(tone("C") | tone("Eb") | tone("A")), (RcPcSet)tone("C"), 1, 1 };
  RcRequest diminished = { .chord = { 0, 0, RC_CHORD_DIMINISHED } };
  assert_int_equal(rc_grade(&diminished, &button).verdict, RC_LEANER);
  diminished.chord.degrees = RC_CHORD_DIMINISHED_7;
  assert_int_equal(rc_grade(&diminished, &button).verdict, RC_LEANER);
}

// By letter or by word, in large or small letters; no other verdict is a grade.
static void
grades_are_read_by_letter_or_word(void **state)
{
  (void)state;
  static const struct {
    RcVerdict grade;
    const char *letter, *small, *word, *large;
  } grades[] = { { RC_SAME, "A", "a", "same", "SAME" },
                 { RC_RICHER, "B", "b", "richer", "Richer" },
                 { RC_LEANER, "C", "c", "leaner", "LEANER" },
                 { RC_BARE, "D", "d", "bare", "Bare" },
                 { RC_BORROWED, "E", "e", "borrowed", "BORROWED" } };
  static const char *const none[] = { "", "F", "native", "impossible", "unread", "AB", "bar", " A" };
  for (guint i = 0; i < G_N_ELEMENTS(grades); ++i) {
    const char *const texts[] = { grades[i].letter, grades[i].small, grades[i].word, grades[i].large };
    for (guint j = 0; j < G_N_ELEMENTS(texts); ++j) {
      RcVerdict grade = RC_UNREAD;
      assert_true(rc_grade_parse(texts[j], &grade));
      assert_int_equal(grade, grades[i].grade);
    }
  }
  for (guint i = 0; i < G_N_ELEMENTS(none); ++i) {
    RcVerdict grade = RC_UNREAD;
    assert_false(rc_grade_parse(none[i], &grade));
    assert_int_equal(grade, RC_UNREAD);
  }
}

// A hundredth is ten thousand millionths; what lies between two is shown as the nearer.
static void
likeness_is_shown_in_hundredths(void **state)
{
  (void)state;
  assert_int_equal(rc_likeness_hundredths(0), 0);
  assert_int_equal(rc_likeness_hundredths(4999), 0);
  assert_int_equal(rc_likeness_hundredths(5000), 1);
  assert_int_equal(rc_likeness_hundredths(14999), 1);
  assert_int_equal(rc_likeness_hundredths(15000), 2);
  assert_int_equal(rc_likeness_hundredths(100000000), 10000);
}

// Whatever is after the twelve tones. C major supports C by its root, third and fifth: by 1988's weights 1, 1/3, 1/2.
static void
models_of_hearing_heed_twelve_tones(void **state)
{
  (void)state;
  const guint triad[13] = { [0] = 1, [4] = 1, [7] = 1 };
  const guint and_more[13] = { [0] = 1, [4] = 1, [7] = 1, [12] = 50 };
  double weights[13] = { [12] = 1000 };
  double support[13] = { [12] = 1000 };
  memcpy(weights, rc_root_weights_1988, sizeof rc_root_weights_1988);
  assert_true(fabs(rc_spectral_similarity(triad, and_more) - 1) < 1e-9);
  assert_true(fabs(rc_spectral_similarity(and_more, triad) - 1) < 1e-9);
  assert_int_equal(rc_root_supports(weights, (RcPcSet)(tone("C") | tone("E") | tone("G")), support), 0);
  assert_true(fabs(support[0] - (1 + 1.0 / 3 + 1.0 / 2)) < 1e-9);
  double sum = 0;
  for (guint i = 0; i < 12; ++i) {
    sum += support[i];
  }
  assert_true(fabs(rc_root_ambiguity(support) - sqrt(sum / support[0])) < 1e-9);
}

// A tone that supports itself alone is not ambiguous, however much it does.
static void
one_root_is_not_ambiguous(void **state)
{
  (void)state;
  const double weights[12] = { [0] = 0.25 };
  double support[12] = { 0 };
  assert_int_equal(rc_root_supports(weights, (RcPcSet)tone("D"), support), 2);
  assert_true(fabs(rc_root_ambiguity(support) - 1) < 1e-9);
}

static void
silence_is_like_nothing_and_has_no_root_but_the_lowest(void **state)
{
  (void)state;
  const guint silence[12] = { 0 };
  const guint triad[12] = { [0] = 1, [4] = 1, [7] = 1 };
  double support[12] = { 0 };
  assert_true(fabs(rc_spectral_similarity(silence, triad)) < 1e-9);
  assert_true(fabs(rc_spectral_similarity(silence, silence)) < 1e-9);
  assert_int_equal(rc_root_supports(rc_root_weights_1988, 0, support), 0);
  assert_true(fabs(rc_root_ambiguity(support)) < 1e-9);
  assert_int_equal(rc_root_supports(rc_root_weights_1988, 0xFFF, support), 0); // all tie
}

// What a 24 (Eb to E) buys after an 8 (F to D). Three tunes lack the same three chords, which come in any order and
// spelling; one lacks another, and one plays already. No two chords explain half of the four.
static const char lacking[] =
  HEAD "parts: {A: \"| C | Eb | A | E |\"}\n---\n" HEAD "parts: {A: \"| E | D# | A |\"}\n---\n" HEAD
       "parts: {A: \"| A | E | Eb | A |\"}\n---\n" HEAD "parts: {A: \"| Bb | C |\"}\n---\n" HEAD
       "parts: {A: \"| C | G |\"}\n";

static void
the_next_size_is_explained_by_few_chords(void **state)
{
  (void)state;
  static const char *const names[] = { "8", "24" };
  const char *const paths[] = { path, NULL };
  RcLayout *layouts[2];
  RcCatalogue *catalogues[2];
  for (guint i = 0; i < 2; ++i) {
    layouts[i] = rc_layout_find(names[i], NULL);
    catalogues[i] = rc_catalogue_new(layouts[i], (RcHand){ RC_GRIP_REACH, RC_GRIP_PRESS });
  }
  RcPanel *panel = rc_panel_new(catalogues, 2, rc_taste());
  RcRoll *roll = rc_roll_new(panel, rc_roll_settings());
  RcTune *tune = rc_tune_new();
  assert_true(g_file_set_contents(path, lacking, -1, NULL));
  RcCorpus *corpus = rc_corpus_new(paths, (RcCorpusOptions){ 0 });
  while (rc_corpus_next(corpus, tune, NULL) == RC_READ_TUNE) {
    rc_roll_add(roll, tune);
  }
  const RcGain gain = rc_roll_gain(roll, 0);
  guint roots = 0;
  for (guint i = 0; i < gain.n_chords; ++i) {
    roots |= 1U << rc_note_pc(gain.chords[i].root);
  }
  assert_int_equal(gain.next, 1);
  assert_int_equal(gain.tunes, 4);
  assert_int_equal(gain.n_chords, 3);
  assert_int_equal(roots, tone("Eb") | tone("A") | tone("E"));
  assert_int_equal(gain.explained, 3);
  assert_true(gain.ticks == (RcTicks)(3 + 3 + 4 + 1) * 4 * RC_QUARTER); // bars of chords that an 8 lacks
  assert_int_equal(rc_roll_gain(roll, 1).next, -1);
  rc_tune_free(tune);
  rc_corpus_free(corpus);
  rc_roll_free(roll);
  rc_panel_free(panel);
  for (guint i = 0; i < 2; ++i) {
    rc_catalogue_free(catalogues[i]);
    rc_layout_free(layouts[i]);
  }
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
    cmocka_unit_test(one_different_chord_makes_a_tune_one_short),
    cmocka_unit_test(the_melody_fills_what_the_left_hand_may_leave_out),
    cmocka_unit_test(the_next_size_is_explained_by_few_chords),
    cmocka_unit_test(three_buttons_have_one_foreign_tone_at_most),
    cmocka_unit_test(a_triad_with_two_fifths_is_a_major_triad),
    cmocka_unit_test(a_lowered_fifth_is_left_out_of_diminished_chords_alone),
    cmocka_unit_test(major_triads_that_lead_home_have_their_seventh),
    cmocka_unit_test(grades_are_read_by_letter_or_word),
    cmocka_unit_test(models_of_hearing_heed_twelve_tones),
    cmocka_unit_test(one_root_is_not_ambiguous),
    cmocka_unit_test(silence_is_like_nothing_and_has_no_root_but_the_lowest),
    cmocka_unit_test(likeness_is_shown_in_hundredths),
  };
  return cmocka_run_group_tests(tests, make_file, remove_scratch);
}
