// Copyright 2026 the rowcall developers
// SPDX-License-Identifier: MIT

// What a good teacher would press for single chords. Common practice: written down before the rules were built, and
// worked out by hand from what each button sounds; no page confirms all of them.

#undef NDEBUG

#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>

#include <cmocka.h>

#include "rowcall/coverage.h"

#include <string.h>

// The chord is first in the ranked list of the board, pressed so, with that grade.
typedef struct {
  const char *chord;
  const char *key; // NULL: not known
  const char *board;
  RcPrefer prefer;
  const char *press;
  RcVerdict grade;
} Known;

static const Known results[] = {
  { "Bm", "D", "48-8x6", RC_PREFER_PLAIN, "B bass (counterbass of G) + D major", RC_RICHER },
  { "Bm", "G", "48-8x6", RC_PREFER_PLAIN, "B bass (counterbass of G) + D major", RC_RICHER },
  { "Am7", "C", "48-8x6", RC_PREFER_PLAIN, "A bass (counterbass of F) + C major", RC_SAME },
  { "Cmaj7", "C", "48-8x6", RC_PREFER_PLAIN, "C bass + E minor", RC_SAME },
  { "Cmaj7", NULL, "48-8x6", RC_PREFER_PLAIN, "C bass + E minor", RC_SAME },
  { "Bm7b5", "C", "48-8x6", RC_PREFER_PLAIN, "B bass (counterbass of G) + D minor", RC_SAME },
  { "C6", "C", "48-8x6", RC_PREFER_PLAIN, "C bass + A minor", RC_SAME },
  { "C6", NULL, "48-8x6", RC_PREFER_PLAIN, "C bass + A minor", RC_SAME },
  { "G7sus4", "C", "48-8x6", RC_PREFER_PLAIN, "G bass + F major", RC_RICHER },
  { "G9sus4", "C", "48-8x6", RC_PREFER_PLAIN, "G bass + F major", RC_SAME },
  { "G9sus4", NULL, "48-8x6", RC_PREFER_PLAIN, "G bass + F major", RC_SAME },
  { "Csus4", "F", "48-8x6", RC_PREFER_PLAIN, "C bass + F major", RC_RICHER },
  { "Csus4", "F", "48-8x6", RC_PREFER_SOUND, "F bass + C bass + G bass", RC_SAME },
  { "C5", NULL, "12", RC_PREFER_PLAIN, "C bass + G bass", RC_SAME },
  { "C5", "C", "12", RC_PREFER_PLAIN, "C bass + G bass", RC_SAME },
  { "Gaug", "C", "48-8x6", RC_PREFER_PLAIN, "G bass + G seventh", RC_LEANER },
  { "G7#5", "C", "48-8x6", RC_PREFER_PLAIN, "G bass + G seventh", RC_LEANER },
  { "F#dim", "G", "48-12x4", RC_PREFER_PLAIN, "F# bass (counterbass of D) + A minor", RC_RICHER },
  { "F#dim", "G", "60", RC_PREFER_PLAIN, "F# bass (counterbass of D) + A minor", RC_RICHER },
  { "B7", "D", "48-8x6", RC_PREFER_PLAIN, "B bass (counterbass of G) + C diminished", RC_RICHER },
  { "B7", "G", "48-8x6", RC_PREFER_PLAIN, "B bass (counterbass of G) + C diminished", RC_RICHER },
  { "B7", "A", "48-8x6", RC_PREFER_PLAIN, "B bass (counterbass of G) + C diminished", RC_BORROWED }, // C sharp is sung
  { "F#7", "Bm", "48-8x6", RC_PREFER_PLAIN, "F# bass (counterbass of D) + G diminished", RC_RICHER },
  { "D/F#", "G", "12", RC_PREFER_PLAIN, "D bass + D major", RC_LEANER },
  { "Am/G", NULL, "12", RC_PREFER_PLAIN, "A bass + C major", RC_LEANER },
  { "Am/G", "C", "12", RC_PREFER_PLAIN, "A bass + C major", RC_LEANER },
  { "A7", "D", "24", RC_PREFER_PLAIN, "A bass + A major", RC_LEANER },
  { "A7", "D", "24", RC_PREFER_SOUND, "A bass + A major + E minor", RC_RICHER },
  { "G13", "C", "120", RC_PREFER_PLAIN, "G bass + G seventh", RC_LEANER },
  { "Cadd9", "C", "48-8x6", RC_PREFER_PLAIN, "C bass + C major", RC_LEANER },
  { "Cadd9", NULL, "48-8x6", RC_PREFER_PLAIN, "C bass + C major", RC_LEANER },
  { "Cmaj9", NULL, "120", RC_PREFER_PLAIN, "C bass + E minor", RC_LEANER },
  { "Cmaj9", "C", "120", RC_PREFER_PLAIN, "C bass + E minor", RC_LEANER },
  { "Cdim7", "C", "60", RC_PREFER_PLAIN, "C bass + F seventh", RC_LEANER },
};

static RcRequest
request_for(const char *symbol, const char *key_name)
{
  RcRequest request = { 0 };
  RcKey key = { RC_MODE_NONE, 0 };
  assert_int_equal(rc_chord_parse(symbol, strlen(symbol), RC_NAMES_ENGLISH, &request.chord, NULL), RC_SYMBOL_CHORD);
  assert_true(!key_name || rc_key_parse(key_name, RC_NAMES_ENGLISH, &key, NULL));
  request.key = rc_key_scale(key, rc_key_tones(key));
  return request;
}

// Returns how the chord was answered otherwise than known, a new string, or NULL.
static char *
check_known(const Known *known)
{
  RcLayout *layout = rc_layout_find(known->board, NULL);
  RcCatalogue *catalogue = rc_catalogue_new(layout, (RcHand){ RC_GRIP_REACH, RC_GRIP_PRESS });
  const RcRequest request = request_for(known->chord, known->key);
  const RcAnswer answer = rc_catalogue_best(catalogue, (RcTaste){ known->prefer, RC_BARE }, &request);
  char *press = answer.verdict < RC_IMPOSSIBLE ? rc_grip_describe(layout, &answer.grip, RC_SIGNS_ASCII) : g_strdup("-");
  const gboolean right = answer.verdict == known->grade && !strcmp(press, known->press);
  char *found = right ? NULL
                      : g_strdup_printf("%s in %s on a %s: %s, %s; known is %s, %s", known->chord,
                                        known->key ? known->key : "no key", known->board, press,
                                        rc_verdict_name(answer.verdict), known->press, rc_verdict_name(known->grade));
  g_free(press);
  rc_catalogue_free(catalogue);
  rc_layout_free(layout);
  return found;
}

static void
test_what_a_teacher_would_press(void **state)
{
  (void)state;
  guint wrong = 0;
  for (guint i = 0; i < G_N_ELEMENTS(results); ++i) {
    char *found = check_known(&results[i]);
    if (found) {
      print_error("%s\n", found);
      ++wrong;
    }
    g_free(found);
  }
  assert_int_equal(wrong, 0);
}

// Not in any way of playing the chord, whatever its grade.
static void
check_never(const char *symbol, const char *key, const char *board, guint pc)
{
  RcLayout *layout = rc_layout_find(board, NULL);
  RcCatalogue *catalogue = rc_catalogue_new(layout, (RcHand){ RC_GRIP_REACH, RC_GRIP_PRESS });
  const RcRequest request = request_for(symbol, key);
  GArray *answers = rc_catalogue_rank(catalogue, rc_taste(), &request);
  assert_true(answers->len > 0);
  for (guint i = 0; i < answers->len; ++i) {
    const RcAnswer *answer = &g_array_index(answers, RcAnswer, i);
    assert_false(rc_pcs_has(rc_grip_tones(layout, &answer->grip), pc));
  }
  g_array_unref(answers);
  rc_catalogue_free(catalogue);
  rc_layout_free(layout);
}

static void
test_what_is_written_closes_its_degree(void **state)
{
  (void)state;
  check_never("G13", "C", "120", 0);    // the natural eleventh
  check_never("Cadd9", "C", "120", 11); // a major seventh, which would make it Cmaj9
  check_never("Cadd9", "C", "48-8x6", 11);
  check_never("C7b9", "F", "120", 2); // the natural ninth
}

int
main(void)
{
  const struct CMUnitTest tests[] = {
    cmocka_unit_test(test_what_a_teacher_would_press),
    cmocka_unit_test(test_what_is_written_closes_its_degree),
  };
  return cmocka_run_group_tests(tests, NULL, NULL);
}
