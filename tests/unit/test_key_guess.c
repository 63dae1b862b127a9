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
keys_of_tune(const RcTune *tune)
{
  GString *keys = g_string_new(NULL);
  for (guint i = 0; i < tune->settings->len; ++i) {
    const RcSetting *setting = rc_tune_setting(tune, i);
    char *name = rc_key_name(setting->key, RC_SIGNS_ASCII);
    g_string_append_printf(keys, "%s%s%s", i ? ", " : "", name, setting->key_assumed ? "*" : "");
    assert_true(!setting->key_assumed || setting->tones == rc_key_tones(setting->key));
    g_free(name);
  }
  return g_string_free(keys, FALSE);
}

static char *
keys_of(const char *text, RcCorpusOptions options)
{
  RcTune *tune = read_text(text, options);
  char *keys = keys_of_tune(tune);
  rc_tune_free(tune);
  return keys;
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
    { "C major", "C5 | % | Csus4 | C5" },                  // nothing says minor
    { "C major", "C5 | B5 | C5" },
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
test_the_key_moves_with_the_chords(void **state)
{
  (void)state;
  static const char *const bars[] = { "F | G | Am | F | G | Am", "D7 | G | D7 | G | C | G | D7 | G",
                                      "Em | D | Em | D | Em | D | Em D | Em",
                                      "Am | F | C | G | Am | F | C | G | F | G | C" };
  for (guint i = 0; i < G_N_ELEMENTS(bars); ++i) {
    char *text = g_strdup_printf("title: Sieve\nparts:\n  A: \"%s\"\n", bars[i]);
    RcTune *tune = read_text(text, (RcCorpusOptions){ 0 });
    for (int up = 1; up < 12; ++up) {
      RcTune *moved = rc_tune_moved(tune, up);
      const RcKey key = rc_tune_setting(moved, 0)->key;
      const RcKey guess = rc_tune_guess_key(moved, key);
      assert_int_equal(guess.mode, key.mode);
      assert_int_equal(rc_note_pc(guess.tonic), rc_note_pc(key.tonic));
      rc_tune_free(moved);
    }
    rc_tune_free(tune);
    g_free(text);
  }
}

// Where a tune ends says much: at home, or on the chord that leads round to it.
static void
test_the_end_tells_of_home(void **state)
{
  (void)state;
  static const Guess guesses[] = {
    { "A minor", "F | G | Am | F | G | Am" },               // VI VII i
    { "A minor", "Dm | E7 | Am | Dm | E7 | Am | Dm | E7" }, // iv V i, round and round
  };
  check_guesses(guesses, G_N_ELEMENTS(guesses));
}

// Only a dominant leads: neither a minor triad nor a major seventh calls for the chord a fifth below.
static void
test_other_chords_than_dominants_lead_nowhere(void **state)
{
  (void)state;
  static const Guess guesses[] = {
    { "C major", "Cmaj7 | Fmaj7 | Cmaj7 | Fmaj7" }, // I IV
    { "A minor", "Am | Dm | Am | Dm" },             // i iv
  };
  check_guesses(guesses, G_N_ELEMENTS(guesses));
}

static void
test_a_chord_counts_for_as_long_as_it_sounds(void **state)
{
  (void)state;
  static const Guess guess = { "C major", "Dm | C | % | % | % | % | Am" };
  check_guesses(&guess, 1);
  // Words say no lengths: all chords count alike.
  static const char *const songs[][2] = {
    { "[F]Down [G]by the [Am]weir\n[F]Where the [G]kettle [Am]sings\n", "A minor*" },
    { "[G]Down by the weir\n", "G major*" },
  };
  for (guint i = 0; i < G_N_ELEMENTS(songs); ++i) {
    char *text = g_strconcat("{title: Weir}\n", songs[i][0], NULL);
    char *keys = keys_of(text, (RcCorpusOptions){ 0 });
    assert_string_equal(keys, songs[i][1]);
    g_free(keys);
    g_free(text);
  }
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
    { "A# minor", "A#m | D#m | E#7 | A#m" },
    // More than seven signs nobody writes.
    { "Ab major", "G# | C# | D#7 | G#" },
    { "E major", "Fb | Bbb | Cb7 | Fb" },
    { "F minor", "E#m | A#m | B#7 | E#m" },
    { "G major", "F#dim | %" }, // on its leading tone, whose home is not even written
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
    // They spell it too, not those in a key that is stated.
    { "X:1\nT:Weir\nL:1/4\nM:4/4\nK:none\n\"F#\"z4|\"C#7\"z4|\"F#\"z4|[K:Db]\"Db\"z4|\"Gb\"z4|\"Db\"z4|\n",
      "F# major*, Db major" },
    // So too where the part in the stated key is played first.
    { "X:1\nT:Weir\nL:1/4\nM:4/4\nP:BA\nK:none\nP:A\n\"G\"G4|\"D7\"D4|\"G\"G4|\n"
      "P:B\nK:C\n\"C\"C4|\"F\"F4|\"C\"C4|\"F\"F4|\"C\"C4|\"F\"F4|\"C\"C4|\n",
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

// A tune in which these keys, as bits, are signs alone, as a score writes them: no sharp is C major or A minor.
static RcTune *
read_signs(const char *bars, guint signs_only)
{
  char *text = g_strdup_printf("X:1\nT:Weir\nL:1/4\nM:3/4\nQ:1/4=90\n%s|]\n", bars);
  RcTune *tune = read_text(text, (RcCorpusOptions){ 0 });
  for (guint i = 0; i < tune->settings->len; ++i) {
    g_array_index(tune->settings, RcSetting, i).signs_only = signs_only >> i & 1U;
  }
  g_free(text);
  return tune;
}

#define IN_A_MINOR "\"Am\"z3|\"E7\"z3|\"Am\"z3"
#define IN_C "\"C\"z3|\"G7\"z3|\"C\"z3"
#define IN_G "\"G\"z3|\"D7\"z3|\"G\"z3"

static void
test_chords_tell_the_mode_of_signs(void **state)
{
  (void)state;
  static const struct {
    const char *bars;
    guint signs_only;
    const char *keys;
  } cases[] = {
    { "K:C\n" IN_A_MINOR, 1, "A minor*" },
    { "K:C\n" IN_C, 1, "C major*" },
    { "K:C\n\"Am\"z3|\"Dm\"z3|\"Am\"z3", 1, "A minor*" },
    { "K:C\n" IN_A_MINOR, 0, "C major" },                // which is what it says
    { "K:C\n\"Dm\"z3|\"F\"z3|\"Dm\"z3", 1, "C major*" }, // they are as much at home in both
    { "K:C\nC3|E3|G3", 1, "C major*" },                  // no chords
    // Each of the signs by the chords under them alone, the same signs later among them.
    { "K:C\n" IN_A_MINOR "|[K:G]" IN_G "|[K:C]" IN_A_MINOR, 1 | 2 | 4, "A minor*, G major*, A minor*" },
    { "K:C\n\"F\"z3|[K:G]" IN_G "|[K:C]" IN_A_MINOR, 1 | 2 | 4, "A minor*, G major*, A minor*" },
    { "K:C\n" IN_A_MINOR "|[K:G]" IN_G "|[K:C]" IN_A_MINOR, 1 | 4, "A minor*, G major, A minor*" },
    { "K:C\n" IN_A_MINOR "|[K:G]" IN_G "|[K:C]" IN_A_MINOR, 4, "C major, G major, A minor*" },
    { "K:G\n" IN_G "|[K:C]" IN_A_MINOR "|[K:G]\"Em\"z3", 1 | 2 | 4, "G major*, A minor*, G major*" },
  };
  for (guint i = 0; i < G_N_ELEMENTS(cases); ++i) {
    RcTune *tune = read_signs(cases[i].bars, cases[i].signs_only);
    rc_tune_assume_key(tune);
    char *keys = keys_of_tune(tune);
    if (strcmp(keys, cases[i].keys) != 0) {
      fail_msg("%s: found %s, expected %s", cases[i].bars, keys, cases[i].keys);
    }
    for (guint j = 0; j < tune->settings->len; ++j) {
      const RcSetting *setting = rc_tune_setting(tune, j);
      assert_false(setting->signs_only);
      assert_int_equal(setting->tones, rc_key_tones(setting->key));
      assert_true(setting->meter.beats == 3 && setting->meter.unit == 4 && setting->tempo.quarters == 90);
    }
    g_free(keys);
    rc_tune_free(tune);
  }
}

// Who wants no key assumed has none of signs alone; their tones are known.
static void
test_signs_alone_may_be_left_without_a_key(void **state)
{
  (void)state;
  RcTune *tune = read_signs("K:D\n" IN_G "|[K:G]" IN_G "|[K:C]" IN_C, 1 | 4);
  rc_tune_leave_key(tune);
  char *keys = keys_of_tune(tune);
  assert_string_equal(keys, "no key, G major, no key");
  assert_int_equal(rc_tune_setting(tune, 0)->tones, rc_key_tones((RcKey){ RC_MODE_MAJOR, 2 }));
  g_free(keys);
  rc_tune_free(tune);
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
    cmocka_unit_test(test_the_key_moves_with_the_chords),
    cmocka_unit_test(test_the_end_tells_of_home),
    cmocka_unit_test(test_other_chords_than_dominants_lead_nowhere),
    cmocka_unit_test(test_a_chord_counts_for_as_long_as_it_sounds),
    cmocka_unit_test(test_a_trio_does_not_outweigh_the_march),
    cmocka_unit_test(test_the_key_is_spelled_as_the_chords_are),
    cmocka_unit_test(test_stated_keys_stay),
    cmocka_unit_test(test_chords_tell_the_mode_of_signs),
    cmocka_unit_test(test_signs_alone_may_be_left_without_a_key),
    cmocka_unit_test(test_none_is_assumed_where_none_is_wanted),
  };
  return cmocka_run_group_tests(tests, make_file, remove_scratch);
}
