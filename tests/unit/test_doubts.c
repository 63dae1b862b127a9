// Copyright 2026 the rowcall developers
// SPDX-License-Identifier: MIT

// What is questioned in a tune, and what is not. All tunes are made up.

#undef NDEBUG

#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>

#include <cmocka.h>

#include "rowcall/study.h"

#include "scratch.h"

// "3:12 bar 2 B: D, Bm" of a chord, "4:1 bar 5 G: G major" of a key; a line each.
static void
append_doubt(GString *out, const RcTune *tune, const RcDoubt *doubt)
{
  char *key = rc_key_name(doubt->key, RC_SIGNS_ASCII);
  char *meant = rc_chord_name(&doubt->meant, RC_SIGNS_ASCII);
  g_string_append_printf(out, "%s%u:%u bar %u %s: ", out->len ? "\n" : "", doubt->line, doubt->column, doubt->bar + 1,
                         g_array_index(tune->symbols, RcSymbol, doubt->symbol).text);
  if (doubt->kind == RC_DOUBT_KEY) {
    g_string_append(out, key);
  } else {
    g_string_append_printf(out, "%s, %s", rc_note_name(doubt->third, RC_SIGNS_ASCII), meant);
  }
  g_free(meant);
  g_free(key);
}

static char *
doubts_of(const char *text)
{
  const char *const paths[] = { path, NULL };
  g_remove(path);
  assert_true(g_file_set_contents(path, text, -1, NULL));
  RcCorpus *corpus = rc_corpus_new(paths, (RcCorpusOptions){ .melody_notes = TRUE });
  RcTune *tune = rc_tune_new();
  assert_int_equal(rc_corpus_next(corpus, tune, NULL), RC_READ_TUNE);
  GArray *doubts = rc_tune_doubts(tune);
  GString *out = g_string_new(NULL);
  for (guint i = 0; i < doubts->len; ++i) {
    append_doubt(out, tune, &g_array_index(doubts, RcDoubt, i));
  }
  g_array_unref(doubts);
  rc_tune_free(tune);
  rc_corpus_free(corpus);
  return g_string_free(out, FALSE);
}

typedef struct {
  const char *body; // of a tune, from its fifth line on
  const char *doubts;
} Case;

static void
check(const char *head, const Case *cases, guint n)
{
  for (guint i = 0; i < n; ++i) {
    char *text = g_strconcat(head, cases[i].body, "\n", NULL);
    char *found = doubts_of(text);
    if (strcmp(found, cases[i].doubts) != 0) {
      fail_msg("%s: found\n%s\nexpected\n%s", cases[i].body, found, cases[i].doubts);
    }
    g_free(found);
    g_free(text);
  }
}

#define IN_G "X:1\nT:Weir\nM:4/4\nL:1/8\nK:G\n"
#define IN_A_MINOR "X:1\nT:Weir\nM:4/4\nL:1/8\nK:Am\n"
#define IN_F "X:1\nT:Weir\nM:4/4\nL:1/8\nK:F\n"
#define IN_D "X:1\nT:Weir\nM:4/4\nL:1/8\nK:D\n"

static void
test_the_other_third_is_questioned_once(void **state)
{
  (void)state;
  static const Case cases[] = {
    { "\"G\"G4 B4|\"B\"d2 f2 d4|\"Em\"e8|", "6:11 bar 2 B: D, Bm" },
    { "\"G\"G4 B4|\"B\"d2 f2 d4|\"Em\"e8|\"B\"d4 f4|\"B\"d8|", "6:11 bar 2 B: D, Bm" }, // three times written
    { "\"G\"G4 B4|\"B7\"d2 f2 d4|\"Em\"e8|", "6:11 bar 2 B7: D, Bm7" },
    { "\"G\"G4 B4|\"B/F#\"d2 f2 d4|\"Em\"e8|", "6:11 bar 2 B/F#: D, Bm/F#" },
    { "\"G\"G4 B4|\"Gm\"B2 d2 B2 G2|", "6:11 bar 2 Gm: B, G" },
    { "\"G\"G8|\"B\"f2 b2 f4|b4 d4|d2 d2 d4|", "6:8 bar 2 B: D, Bm" }, // held over bar lines
    { "\"G\"G4 B4|\"B6\"d2 f2 d4|\"Em\"e8|", "6:11 bar 2 B6: D, Bm6" },
    { "\"G\"G4 B4|\"Bmaj7\"d2 f2 d4|\"Em\"e8|", "" }, // of which nobody would write the minor by mistake
  };
  check(IN_G, cases, G_N_ELEMENTS(cases));
  static const Case in_f[] = { { "\"F\"F4 A4|\"A\"c2 e2 c4|\"Dm\"d8|", "6:11 bar 2 A: C, Am" } };
  check(IN_F, in_f, G_N_ELEMENTS(in_f));
}

static void
test_what_is_light_raises_no_doubt(void **state)
{
  (void)state;
  static const Case cases[] = {
    { "\"B\"b2 f2 b4|\"B\"f2 ed f4|\"Em\"e8|", "" },       // passing
    { "\"B\"{d}b2 {d}f2 {d}b4|\"B\"{d}f8|\"Em\"e8|", "" }, // grace notes
    { "\"B\"d2 f2 d4|\"B\"^d2 f2 d4|\"Em\"e8|", "" },      // its own third is there once
    { "\"B\"d2 f2 d4|\"B\"[^df]4 d4|\"Em\"e8|", "" },      // under another note
    { "\"G\"G2 _B2 d2 _B2|\"G\"_B4 d4|", "" },             // blue: not in the key
    { "\"B\"b2 d2 b4|\"B\"f8|\"B\"b8|\"Em\"e8|", "" },     // one short note in three bars
    { "\"B\"d2 g2 e2 c2|\"B\"d2 g2 e2 c2|\"Em\"e8|", "" }, // nor would the other chord agree
    { "\"Bsus4\"d2 f2 d4|\"B5\"d2 f2 d4|\"Bdim\"^d2 f2 d4|", "" },
    { "\"B\"z8|\"Em\"e8|", "" },
  };
  check(IN_G, cases, G_N_ELEMENTS(cases));
}

// The limits that src/study/doubts.c gives, each just reached and just missed. A bar has eight eighths; beats are
// quarters. D, the minor third of B, is d; F# is f.
static void
test_limits_of_a_doubted_chord(void **state)
{
  (void)state;
  static const Case cases[] = {
    // twice, and a quarter of the time: 4 of 16 eighths, and of 17
    { "\"B\"d2 b2 f2 b2|\"B\"d2 b2 f2 b2|\"Em\"e8|", "6:2 bar 1 B: D, Bm" },
    { "\"B\"d2 b2 f2 b2|\"B\"d2 b2 f2 b2|\"B\"b z7|\"Em\"e8|", "" },
    // once, and half of the time: 4 of 8, and of 9
    { "\"B\"d4 b4|\"Em\"e8|", "6:2 bar 1 B: D, Bm" },
    { "\"B\"d4 b4|\"B\"b z7|\"Em\"e8|", "" },
    // off the beat, but a beat long; and shorter
    { "\"B\"b d2 f2 d2 b|\"Em\"e8|", "6:2 bar 1 B: D, Bm" },
    { "\"B\"bd f2 bd f2|\"Em\"e8|", "" },
    // on the beat, however short
    { "\"B\"db f2 db f2|\"Em\"e8|", "6:2 bar 1 B: D, Bm" },
    // six tenths in tones of B minor: 6 of 10, and of 11
    { "\"B\"d2 g2 d2 e2|\"B\"f2 z6|\"Em\"e8|", "6:2 bar 1 B: D, Bm" },
    { "\"B\"d2 g2 d2 e2|\"B\"f2 gz5|\"Em\"e8|", "" },
    // a ninth is as plain as a seventh; an altered fifth is not
    { "\"G\"G4 B4|\"B9\"d2 f2 d4|\"Em\"e8|", "6:11 bar 2 B9: D, Bm9" },
    { "\"G\"G4 B4|\"Baug\"d2 f2 d4|\"Em\"e8|", "" },
    // a note that lasts on under the next chord counts as far as its own chord goes: D for 2 of 8 eighths, once
    { "\"B\"f4 b2 \"Em\"d2|\"Em\"e8|", "" },
    { "\"G\"G4 \"B\"f2 d2-|\"Em\"d8|", "6:8 bar 1 B: D, Bm" },
    { "\"B\"f2 b2 d-\"Em\"d3|\"Em\"e8|", "" }, // one of five eighths
  };
  check(IN_G, cases, G_N_ELEMENTS(cases));
}

// D major is meant for B where the melody has half as much again of it, and more, than of B minor: the A counts for the
// one alone. 6 eighths against 4, and 7.
static void
test_a_relative_chord_needs_half_as_much_again(void **state)
{
  (void)state;
  static const Case cases[] = {
    { "\"B\"d2 a2 d2 z2|\"G\"g8|", "6:2 bar 1 B: D, Bm" },
    { "\"B\"d2 a2 d2 az|\"G\"g8|", "6:2 bar 1 B: D, D" },
  };
  check(IN_D, cases, G_N_ELEMENTS(cases));
}

static void
test_a_relative_chord_is_meant_where_the_melody_says_so(void **state)
{
  (void)state;
  static const Case cases[] = {
    { "\"B\"d2 a2 d2 a2|\"B\"a4 d4|\"G\"g8|", "6:2 bar 1 B: D, D" },
    { "\"B\"d2 a2 f2 d2|\"B\"f4 d4|\"G\"g8|", "6:2 bar 1 B: D, Bm" },
  };
  check(IN_D, cases, G_N_ELEMENTS(cases));
}

static void
test_the_tonic_chord_with_a_third_that_the_key_has_not(void **state)
{
  (void)state;
  static const Case cases[] = {
    { "\"A\"A2 cA \"E7\"B4|\"A\"A8|\"F\"A8|\"A\"A8|", "6:2 bar 1 A: C, Am" }, // once will do
    { "\"A\"A2 Ac \"E7\"B4|\"A\"A8|\"F\"A8|\"A\"A8|", "" },                   // not off the beat
  };
  check(IN_A_MINOR, cases, G_N_ELEMENTS(cases));
}

static void
test_a_score_in_musicxml(void **state)
{
  (void)state;
  char *found = doubts_of(
    "<?xml version=\"1.0\"?>\n<score-partwise version=\"4.0\"><part-list><score-part "
    "id=\"P1\"><part-name>Melody</part-name>"
    "</score-part></part-list><part id=\"P1\"><measure number=\"1\"><attributes><divisions>1</divisions><key><fifths>1"
    "</fifths><mode>major</mode></key><time><beats>4</beats><beat-type>4</beat-type></time></attributes>\n"
    "<harmony><root><root-step>B</root-step></root><kind>major</kind></harmony>\n"
    "<note><pitch><step>D</step><octave>5</octave></pitch><duration>2</duration></note>"
    "<note><pitch><step>F</step><alter>1</alter><octave>5</octave></pitch><duration>1</duration></note>"
    "<note><pitch><step>D</step><octave>5</octave></pitch><duration>1</duration></note></measure></part>"
    "</score-partwise>\n");
  assert_true(g_str_has_suffix(found, "bar 1 B: D, Bm"));
  assert_true(g_str_has_prefix(found, "3:"));
  g_free(found);
}

#define YAML_IN_D "title: Weir\nkey: D\nmeter: 4/4\nparts:\n"

static void
test_a_key_that_the_chords_deny(void **state)
{
  (void)state;
  static const Case cases[] = {
    { "  A: \"| G | C | G | D | G | C | D | G |\"", "5:37 bar 8 G: G major" },
    { "  A: \"| Dm | Gm | A7 | Dm | Gm | Dm | A7 | Dm |\"", "5:44 bar 8 Dm: D minor" },
    { "  A: \"| D | C | G | D | G | C | D | G |\"", "" }, // it begins at home
    { "  A: \"| G | C | G | D | G | C | G | D |\"", "" }, // it ends at home
    { "  A: \"| D | C | D | G | D | C | A | D |\"", "" }, // mixolydian chords, but at home
    { "  A: \"| G | D | A | G | D | A | D | G |\"", "" }, // all in the key
    { "  A: \"| Em | A | B7 | Em | A | Em | B7 | Em |\"", "5:42 bar 8 Em: E dorian" },
    { "  A: \"| Em | Am | B7 | Em | C | Em | B7 | Em |\"", "5:43 bar 8 Em: E minor" },
    { "  A: \"| G | C | G |\"", "" },                                  // too little to go by
    { "  A: \"| G | C | G | D | G |\"", "" },                          // five chords
    { "  A: \"| G | C | G | C | D | G |\"", "5:29 bar 6 G: G major" }, // six
    // C, which D major has not, is a third of one bar in eight, and in nine: 4.2 and 3.7 % of the time
    { "  A: \"| G | C | G | D | G | Em | D | G |\"", "5:38 bar 8 G: G major" },
    { "  A: \"| G | C | G | D | G | Em | D | Em | G |\"", "" },
    // C sharp, which G major has not, takes as much back as C gives
    { "  A: \"| G | C | G | A | G | Em | D | G |\"", "" },
    { "  A: \"| Am | Em | E7 | Am | G | Em | E7 | Am |\"", "5:43 bar 8 Am: A minor" }, // not on the second degree
    { "  A: \"| Bm | Em | F#m | Bm | A | F#m | Em | Bm |\"", "" }, // the relative minor without its leading note
  };
  check(YAML_IN_D, cases, G_N_ELEMENTS(cases));
}

static void
test_the_second_degree_is_dorian_in_any_key(void **state)
{
  (void)state;
  static const Case cases[] = {
    { "  A: \"| Am | D | E7 | Am | D | Am | E7 | Am |\"", "5:42 bar 8 Am: A dorian" },
    { "  A: \"| Am | Dm | E7 | Am | F | Am | E7 | Am |\"", "5:43 bar 8 Am: A minor" },
  };
  check("title: Weir\nkey: G\nmeter: 4/4\nparts:\n", cases, G_N_ELEMENTS(cases));
}

// A tune that moves to another key states two.
static void
test_a_key_that_changes_is_left_alone(void **state)
{
  (void)state;
  static const Case cases[] = {
    { "\"G\"G8|\"C\"=c8|\"G\"B8|[K:A]\"D\"A8|\"G\"B8|\"C\"=c8|\"D\"A8|\"G\"=G8|", "" },
    { "\"G\"G8|\"C\"=c8|\"G\"B8|[K:Bm]\"D\"A8|\"G\"B8|\"C\"=c8|\"D\"A8|\"G\"G8|", "" },
  };
  check(IN_D, cases, G_N_ELEMENTS(cases));
}

static void
test_a_melody_that_ends_elsewhere_leaves_the_key_alone(void **state)
{
  (void)state;
  static const Case cases[] = {
    { "\"G\"G8|\"C\"=c8|\"G\"B8|\"D\"A8|\"G\"B8|\"C\"=c8|\"D\"A8|\"G\"G8|", "6:46 bar 8 G: G major" },
    { "\"G\"G8|\"C\"=c8|\"G\"B8|\"D\"A8|\"G\"B8|\"C\"=c8|\"D\"A8|\"G\"d8|", "" },
  };
  check(IN_D, cases, G_N_ELEMENTS(cases));
}

#define IN_D_MINOR "X:1\nT:Weir\nM:4/4\nL:1/8\nK:Dm\n"
#define MAJOR_CHORDS(melody) "\"D\"A8|\"G\"G8|\"A\"A8|\"D\"A8|\"D\"A8|\"G\"G8|\"A\"" melody "|\"D\"D8|"

// D major chords under a tune in D minor: the tune's own F says that D minor is meant, as a blues would have it.
static void
test_a_melody_with_the_stated_third_keeps_the_key(void **state)
{
  (void)state;
  static const Case cases[] = {
    { MAJOR_CHORDS("E8"), "6:44 bar 8 D: D major" },
    { MAJOR_CHORDS("E6 FE"), "" },
  };
  check(IN_D_MINOR, cases, G_N_ELEMENTS(cases));
}

// What was read before a tune says nothing of it: its notes must not stay where the next one's end.
static void
test_a_tune_is_doubted_by_itself(void **state)
{
  (void)state;
  static const char both[] =
    IN_D_MINOR "\"Dm\"F8|\"Dm\"F8|\"Dm\"F8|\"Dm\"F8|\"Gm\"F8|\"Dm\"F8|\"Gm\"F8|\"Dm\"F8|\"Gm\"F8|"
               "\"Dm\"F8|\n\n" IN_D_MINOR MAJOR_CHORDS("E8") "\n";
  const char *const paths[] = { path, NULL };
  g_remove(path);
  assert_true(g_file_set_contents(path, both, -1, NULL));
  RcCorpus *corpus = rc_corpus_new(paths, (RcCorpusOptions){ .melody_notes = TRUE });
  RcTune *tune = rc_tune_new();
  assert_int_equal(rc_corpus_next(corpus, tune, NULL), RC_READ_TUNE);
  assert_int_equal(rc_corpus_next(corpus, tune, NULL), RC_READ_TUNE);
  GArray *doubts = rc_tune_doubts(tune);
  assert_int_equal(doubts->len, 1);
  assert_int_equal(g_array_index(doubts, RcDoubt, 0).kind, RC_DOUBT_KEY);
  g_array_unref(doubts);
  rc_tune_free(tune);
  rc_corpus_free(corpus);
}

static void
test_an_assumed_key_is_not_questioned(void **state)
{
  (void)state;
  static const Case cases[] = { { "  A: \"| G | C | G | D | G | C | D | G |\"", "" } };
  check("title: Weir\nparts:\n", cases, 1);
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
    cmocka_unit_test(test_the_other_third_is_questioned_once),
    cmocka_unit_test(test_what_is_light_raises_no_doubt),
    cmocka_unit_test(test_limits_of_a_doubted_chord),
    cmocka_unit_test(test_a_relative_chord_needs_half_as_much_again),
    cmocka_unit_test(test_a_relative_chord_is_meant_where_the_melody_says_so),
    cmocka_unit_test(test_the_tonic_chord_with_a_third_that_the_key_has_not),
    cmocka_unit_test(test_a_score_in_musicxml),
    cmocka_unit_test(test_a_key_that_the_chords_deny),
    cmocka_unit_test(test_the_second_degree_is_dorian_in_any_key),
    cmocka_unit_test(test_a_key_that_changes_is_left_alone),
    cmocka_unit_test(test_a_melody_that_ends_elsewhere_leaves_the_key_alone),
    cmocka_unit_test(test_a_melody_with_the_stated_third_keeps_the_key),
    cmocka_unit_test(test_a_tune_is_doubted_by_itself),
    cmocka_unit_test(test_an_assumed_key_is_not_questioned),
  };
  return cmocka_run_group_tests(tests, make_file, remove_scratch);
}
