// Copyright 2026 the rowcall developers
// SPDX-License-Identifier: MIT

// The rule by which a key is assumed, against the keys that tunes state (the demo books, and the example files of
// Debian's packages abcmidi and abcm2ps), and against the published key profiles of C. L. Krumhansl and E. J. Kessler
// (1982), Tracing the dynamic changes in perceived tonal organization in a spatial representation of musical keys,
// Psychological Review 89(4) 334-368, and the key-finding algorithm of C. L. Krumhansl and M. Schmuckler that C. L.
// Krumhansl (1990), Cognitive Foundations of Musical Pitch, describes: the key whose profile correlates best with the
// time that each pitch class sounds. Values and description are from memory.
//
// The assumed key is major or minor. A stated mode is one or the other by the third that its tones have: E dorian is
// right if E minor is assumed, A mixolydian if A major is, since what depends on it is which third, and which chord, is
// at home. A relative minor taken for its major is wrong.

#undef NDEBUG

#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>

#include <cmocka.h>

#include "rowcall/corpus.h"
#include "table.h"

#include <math.h>

#define EXAMPLES "/usr/share/doc/%s/examples"

enum { PITCH_CLASSES = 12, FEWEST_CHORDS = 8 };

// A tune of the examples whose stated key is not the one assumed: which, by its file and the line where it begins.
typedef struct {
  const char *place;
  const char *assumed;
  const char *reason;
} Miss;

static const Miss misses[] = {
  { "accordion.abc:40", "A major",
    "its chords are written as roots without thirds: major throughout over a melody in A minor" },
};

// Pages that show clefs, with names of notes (C to c) in place of chords: no tunes.
static const char *const pages_of_clefs[] = { "newfeatures.abc:7", "sample.abc:8", "sample2.abc:120" };

// ----------------------------------------------------------------------------------------------- the published rule

static const double major_profile[PITCH_CLASSES] = { 6.35, 2.23, 3.48, 2.33, 4.38, 4.09,
                                                     2.52, 5.19, 2.39, 3.66, 2.29, 2.88 };
static const double minor_profile[PITCH_CLASSES] = { 6.33, 2.68, 3.52, 5.38, 2.60, 3.53,
                                                     2.54, 4.75, 3.98, 2.69, 3.34, 3.17 };

static double
mean(const double values[PITCH_CLASSES])
{
  double sum = 0;
  for (guint i = 0; i < PITCH_CLASSES; ++i) {
    sum += values[i];
  }
  return sum / PITCH_CLASSES;
}

// Pearson's, of the time of each pitch class with a profile whose first value is that of `tonic`.
static double
correlation(const double times[PITCH_CLASSES], const double profile[PITCH_CLASSES], guint tonic)
{
  const double mean_time = mean(times);
  const double mean_value = mean(profile);
  double both = 0;
  double time = 0;
  double value = 0;
  for (guint i = 0; i < PITCH_CLASSES; ++i) {
    const double t = times[(tonic + i) % PITCH_CLASSES] - mean_time;
    const double v = profile[i] - mean_value;
    both += t * v;
    time += t * t;
    value += v * v;
  }
  return both / sqrt(time * value);
}

typedef struct {
  guint tonic;
  gboolean minor;
} Key;

static gboolean
same(Key a, Key b)
{
  return a.tonic == b.tonic && a.minor == b.minor;
}

static Key
key_by_profiles(const RcTune *tune)
{
  double times[PITCH_CLASSES] = { 0 };
  RcPlayed played;
  for (RcWalk walk = rc_walk_start(tune); rc_walk_next(&walk, &played);) {
    const RcSymbol *symbol = &g_array_index(tune->symbols, RcSymbol, played.symbol);
    for (guint pc = 0; pc < PITCH_CLASSES && symbol->kind == RC_SYMBOL_CHORD; ++pc) {
      times[pc] += rc_pcs_has(rc_chord_tones(&symbol->chord), pc) ? (double)played.length : 0;
    }
  }
  Key best = { 0, FALSE };
  double most = -2;
  for (guint i = 0; i < 2 * PITCH_CLASSES; ++i) {
    const Key key = { i % PITCH_CLASSES, i >= PITCH_CLASSES };
    const double these = correlation(times, key.minor ? minor_profile : major_profile, key.tonic);
    if (these > most) {
      most = these;
      best = key;
    }
  }
  return best;
}

// ----------------------------------------------------------------------------------------------------------- tunes

// A tune counts where it has eight chords as played and states one key, whose tones have its tonic and one third of it.
static gboolean
stated_key(const RcTune *tune, Key *key)
{
  const RcSetting *start = rc_tune_setting(tune, 0);
  const guint tonic = rc_note_pc(start->key.tonic);
  const gboolean minor = rc_pcs_has(start->tones, (tonic + 3) % PITCH_CLASSES);
  *key = (Key){ tonic, minor };
  for (guint i = 1; i < tune->settings->len; ++i) {
    const RcKey other = rc_tune_setting(tune, i)->key;
    if (other.mode != start->key.mode || other.tonic != start->key.tonic) {
      return FALSE;
    }
  }
  return start->key.mode != RC_MODE_NONE && !start->key_assumed && rc_pcs_has(start->tones, tonic) &&
         minor != rc_pcs_has(start->tones, (tonic + 4) % PITCH_CLASSES);
}

static guint
count_chords(const RcTune *tune)
{
  guint n = 0;
  RcPlayed played;
  for (RcWalk walk = rc_walk_start(tune); rc_walk_next(&walk, &played);) {
    n += g_array_index(tune->symbols, RcSymbol, played.symbol).kind == RC_SYMBOL_CHORD;
  }
  return n;
}

typedef struct {
  guint tunes;
  guint right;
  guint explained;
  guint profiles; // right by the published rule
  guint both;
} Score;

static gboolean
is_at(const RcTune *tune, const char *place)
{
  char *name = g_path_get_basename(tune->file);
  char *own = g_strdup_printf("%s:%u", name, tune->line);
  const gboolean there = !strcmp(own, place);
  g_free(own);
  g_free(name);
  return there;
}

static const Miss *
find_miss(const RcTune *tune)
{
  const Miss *found = NULL;
  for (guint i = 0; i < G_N_ELEMENTS(misses); ++i) {
    found = is_at(tune, misses[i].place) ? &misses[i] : found;
  }
  return found;
}

static gboolean
is_page_of_clefs(const RcTune *tune)
{
  gboolean found = FALSE;
  for (guint i = 0; i < G_N_ELEMENTS(pages_of_clefs); ++i) {
    found |= is_at(tune, pages_of_clefs[i]);
  }
  return found;
}

static void
judge(Check *c, Score *score, const RcTune *tune)
{
  Key stated;
  if (!stated_key(tune, &stated) || count_chords(tune) < FEWEST_CHORDS || is_page_of_clefs(tune)) {
    return;
  }
  const RcKey guess = rc_tune_guess_key(tune, rc_tune_setting(tune, 0)->key);
  const Key assumed = { rc_note_pc(guess.tonic), guess.mode == RC_MODE_MINOR };
  const gboolean right = same(assumed, stated);
  const gboolean profiles = same(key_by_profiles(tune), stated);
  const Miss *miss = find_miss(tune);
  char *name = rc_key_name(guess, RC_SIGNS_ASCII);
  char *key = rc_key_name(rc_tune_setting(tune, 0)->key, RC_SIGNS_ASCII);
  check(c, right == !miss, "%s:%u: %s is assumed and %s stated, %s", tune->file, tune->line, name, key,
        miss ? "no difference any more" : "which no entry of the table explains");
  check(c, !miss || !strcmp(name, miss->assumed), "%s:%u: found %s", tune->file, tune->line, name);
  ++score->tunes;
  score->right += right ? 1 : 0;
  score->explained += miss ? 1 : 0;
  score->profiles += profiles ? 1 : 0;
  score->both += right && profiles ? 1 : 0;
  g_free(key);
  g_free(name);
}

static void
judge_folder(Check *c, Score *score, const char *folder)
{
  const char *const paths[] = { folder, NULL };
  RcCorpus *corpus = rc_corpus_new(paths, (RcCorpusOptions){ 0 });
  RcTune *tune = rc_tune_new();
  GError *error = NULL;
  for (RcReadResult result; (result = rc_corpus_next(corpus, tune, &error)) != RC_READ_END;) {
    if (result == RC_READ_TUNE) {
      judge(c, score, tune);
    }
    g_clear_error(&error);
  }
  rc_tune_free(tune);
  rc_corpus_free(corpus);
}

static void
test_stated_keys(void **state)
{
  (void)state;
  static const char *const packages[] = { "abcmidi", "abcm2ps" };
  Check c = { "assumed keys", 0, 0 };
  Score score = { 0 };
  char *demo = g_build_filename(g_getenv("ROWCALL_TEST_DATA"), "..", "corpus", NULL);
  judge_folder(&c, &score, demo);
  assert_int_not_equal(score.tunes, 0);
  for (guint i = 0; i < G_N_ELEMENTS(packages); ++i) {
    char *folder = g_strdup_printf(EXAMPLES, packages[i]);
    const guint before = score.tunes;
    judge_folder(&c, &score, folder);
    assert_int_not_equal(score.tunes, before);
    g_free(folder);
  }
  print_message("of %u keys stated the rule assumes %u, the profiles %u, both %u\n", score.tunes, score.right,
                score.profiles, score.both);
  assert_int_equal(score.explained, G_N_ELEMENTS(misses));
  check(&c, 20 * score.right >= 19 * score.tunes, "fewer than 19 in 20 are right");
  check(&c, score.right > score.profiles, "the published profiles are right more often");
  check(&c, score.both + score.explained >= score.profiles, "what the profiles find is not assumed");
  check_finish(&c);
  g_free(demo);
}

int
main(void)
{
  const struct CMUnitTest tests[] = {
    cmocka_unit_test(test_stated_keys),
  };
  return cmocka_run_group_tests(tests, NULL, NULL);
}
