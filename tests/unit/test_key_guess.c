// Copyright 2026 the rowcall developers
// SPDX-License-Identifier: MIT

// The key of a tune that states none. The progressions are made up; the keys are what a musician would call them.

#undef NDEBUG

#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>

#include <cmocka.h>

#include "rowcall/corpus.h"

#include "scratch.h"

static RcTune *
read_text(const char *text, RcCorpusOptions options)
{
  const char *const paths[] = { path, NULL };
  assert_true(g_file_set_contents(path, text, -1, NULL));
  RcCorpus *corpus = rc_corpus_new(paths, options);
  RcTune *tune = rc_tune_new();
  assert_int_equal(rc_corpus_next(corpus, tune, NULL), RC_READ_TUNE);
  RcTune *copy = rc_tune_copy(tune);
  rc_tune_free(tune);
  rc_corpus_free(corpus);
  return copy;
}

// "C major", or "C major, A minor" of a tune that changes; stars mark what is assumed.
static char *
keys_of(const char *text, RcCorpusOptions options)
{
  RcTune *tune = read_text(text, options);
  GString *keys = g_string_new(NULL);
  for (guint i = 0; i < tune->settings->len; ++i) {
    char *name = rc_key_name(rc_tune_setting(tune, i)->key, RC_SIGNS_ASCII);
    g_string_append_printf(keys, "%s%s%s", i ? ", " : "", name, rc_tune_setting(tune, i)->key_assumed ? "*" : "");
    g_free(name);
  }
  rc_tune_free(tune);
  return g_string_free(keys, FALSE);
}

typedef struct {
  const char *key;
  const char *bars;
} Guess;

static void
check_guesses(const Guess *guesses, guint n)
{
  for (guint i = 0; i < n; ++i) {
    char *text = g_strdup_printf("title: Sieve\nparts:\n  A: \"%s\"\n", guesses[i].bars);
    char *keys = keys_of(text, (RcCorpusOptions){ 0 });
    char *expected = g_strconcat(guesses[i].key, "*", NULL);
    if (strcmp(keys, expected) != 0) {
      fail_msg("%s: found %s, expected %s", guesses[i].bars, keys, expected);
    }
    g_free(expected);
    g_free(keys);
    g_free(text);
  }
}

static void
test_home_is_where_dominants_lead(void **state)
{
  (void)state;
  static const Guess guesses[] = {
    { "C major", "G7 | C" },
    { "A minor", "E7 | Am" },
    { "C major", "Em | G | C | G | % | C | Am" }, // G lasts longer, but each time it leads to C
    { "G major", "D7 | G | D7 | G | C | G | D7 | G" },
    { "F major", "Gm7 | C7 | Fmaj7 | % | Gm7 | C7 | Fmaj7 | D7 | Gm7 | C7 | Fmaj7 | %" },
    { "G minor", "Cm7 | F7 | Bbmaj7 | Ebmaj7 | Am7b5 | D7 | Gm | % | Cm7 | F7 | Bbmaj7 | % | Am7b5 | D7 | Gm | %" },
    { "D minor", "Dm | C | Dm | F | C | F | A7 | Dm | Gm | Dm | A7 | Dm" },
    { "D major", "Bm | Em | A | D | Bm | Em | A | D" },
    { "F major", "F | Dm | Bb | C7 | F | Dm | Gm | C7 | F | A7 | Dm | G7 | C7 | F | Bb C7 | F" },
  };
  check_guesses(guesses, G_N_ELEMENTS(guesses));
}

static void
test_relative_minor_is_told_from_its_major(void **state)
{
  (void)state;
  static const Guess guesses[] = {
    { "C major", "Am | F | C | G | Am | F | C | G | F | G | C" },
    { "A minor", "Am | F | C | G | Am | F | C | G | Dm | E7 | Am" },
    { "E minor", "Em | C | G | B7 | Em | C | B7 | Em" },
    { "B minor", "Bm | A | G | F#m | Bm | A | G F#7 | Bm" },
    { "A minor", "Am | Dm | E7 | Am | F | Dm | E7 | A" }, // ends in major, as some do
  };
  check_guesses(guesses, G_N_ELEMENTS(guesses));
}

static void
test_modes_are_major_or_minor_by_their_third(void **state)
{
  (void)state;
  static const Guess guesses[] = {
    { "E minor", "Em | D | Em | D | Em | D | Em D | Em" }, // dorian or natural minor
    { "A minor", "Am | D | Am | G | Am | D | Am" },        // dorian
    { "A major", "A | G | A | G | A | E | A" },            // mixolydian
    { "D major", "D | Gm | D | Cm | D | Gm | Cm | D" },    // phrygian with a major third
  };
  check_guesses(guesses, G_N_ELEMENTS(guesses));
}

static void
test_loops_that_do_not_end_at_home(void **state)
{
  (void)state;
  static const Guess guesses[] = {
    { "C major", "C | G | Am | F | C | G | Am | F" },
    { "C major", "C | Am | F | G | C | Am | F | G" },
    { "A minor", "Am | G | F | E | Am | G | F | E" },
    { "A major", "A7 | D7 | A7 | % | D7 | % | A7 | % | E7 | D7 | A7 | E7" }, // a blues
    { "A minor", "Am | Dm | Am | % | Dm | % | Am | % | E7 | Dm | Am | E7" },
  };
  check_guesses(guesses, G_N_ELEMENTS(guesses));
}

static void
test_a_trio_does_not_outweigh_the_march(void **state)
{
  (void)state;
  char *keys =
    keys_of("title: Sluice\nparts:\n  A: \"G | D7 | G | C | G | D7 | G\"\n  T: \"C | F | G7 | C\"\norder: A A T\n",
            (RcCorpusOptions){ 0 });
  assert_string_equal(keys, "G major*");
  g_free(keys);
}

static void
test_the_key_is_spelled_as_the_chords_are(void **state)
{
  (void)state;
  static const Guess guesses[] = {
    { "Gb major", "Gb | Cb | Db7 | Gb" },
    { "F# major", "F# | B | C#7 | F#" },
    { "Ab minor", "Abm | Dbm | Eb7 | Abm" },
    { "G# minor", "G#m | C#m | D#7 | G#m" },
  };
  check_guesses(guesses, G_N_ELEMENTS(guesses));
}

static void
test_stated_keys_stay(void **state)
{
  (void)state;
  static const struct {
    const char *text;
    const char *keys;
  } cases[] = {
    { "X:1\nT:Weir\nL:1/4\nM:4/4\nK:D\n\"G\"G4|\"C\"C4|\"G\"G4|\n", "D major" },
    { "X:1\nT:Weir\nL:1/4\nM:4/4\nK:none\n\"G\"G4|\"D7\"D4|\"G\"G4|\n", "G major*" },
    // Assumed up to where a key is stated, from the chords up to there.
    { "X:1\nT:Weir\nL:1/4\nM:4/4\nK:none\n\"G\"G4|\"D7\"D4|\"G\"G4|[K:C]\"C\"C4|\"F\"F4|\"C\"C4|\n",
      "G major*, C major" },
    // Signs without a tonic are tones that are known.
    { "X:1\nT:Weir\nL:1/4\nM:4/4\nK:none ^f\n\"G\"G4|\"C\"C4|\"G\"G4|\n", "no key" },
    { "X:1\nT:Weir\nL:1/4\nM:4/4\nK:none\nG4|D4|G4|\n", "no key" }, // no chords
  };
  for (guint i = 0; i < G_N_ELEMENTS(cases); ++i) {
    char *keys = keys_of(cases[i].text, (RcCorpusOptions){ 0 });
    if (strcmp(keys, cases[i].keys) != 0) {
      fail_msg("%s: found %s, expected %s", cases[i].text, keys, cases[i].keys);
    }
    g_free(keys);
  }
}

static void
test_none_is_assumed_where_none_is_wanted(void **state)
{
  (void)state;
  char *keys = keys_of("title: Weir\nparts:\n  A: \"G | D7 | G\"\n", (RcCorpusOptions){ .leave_unkeyed = TRUE });
  assert_string_equal(keys, "no key");
  g_free(keys);
}

static int
make_file(void **state)
{
  (void)state;
  return make_scratch("tune");
}

int
main(void)
{
  const struct CMUnitTest tests[] = {
    cmocka_unit_test(test_home_is_where_dominants_lead),
    cmocka_unit_test(test_relative_minor_is_told_from_its_major),
    cmocka_unit_test(test_modes_are_major_or_minor_by_their_third),
    cmocka_unit_test(test_loops_that_do_not_end_at_home),
    cmocka_unit_test(test_a_trio_does_not_outweigh_the_march),
    cmocka_unit_test(test_the_key_is_spelled_as_the_chords_are),
    cmocka_unit_test(test_stated_keys_stay),
    cmocka_unit_test(test_none_is_assumed_where_none_is_wanted),
  };
  return cmocka_run_group_tests(tests, make_file, remove_scratch);
}
