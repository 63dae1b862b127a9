// Copyright 2026 the rowcall developers
// SPDX-License-Identifier: MIT

// Every question that is asked of the demo books and of the example files of Debian's packages abcmidi and abcm2ps,
// each judged by hand from the notes and chords there. At most one in ten may be wrong. A question that is not in the
// table fails, and so does one that is not asked any more.

#undef NDEBUG

#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>

#include <cmocka.h>

#include "rowcall/study.h"
#include "table.h"

#define EXAMPLES "/usr/share/doc/%s/examples"

typedef struct {
  const char *place; // file, line and column
  const char *meant;
  gboolean right;
  const char *judgement;
} Judged;

static const Judged judged[] = {
  { "accordion.abc:48:3", "Am", TRUE,
    "the key is A minor, and the melody over the tonic chord is A, C, A: major thirds are written throughout" },
  { "newfeatures.abc:68:65", "F major", TRUE,
    "C is stated, the chords are F, Bb, F, C, Bb, F: B flat is not in C, and F begins and ends" },
};

static char *
meaning(const RcDoubt *doubt)
{
  return doubt->kind == RC_DOUBT_KEY ? rc_key_name(doubt->key, RC_SIGNS_ASCII)
                                     : rc_chord_name(&doubt->meant, RC_SIGNS_ASCII);
}

static gboolean
is_judged(const char *place, const char *meant)
{
  for (guint i = 0; i < G_N_ELEMENTS(judged); ++i) {
    if (!strcmp(judged[i].place, place) && !strcmp(judged[i].meant, meant)) {
      return TRUE;
    }
  }
  return FALSE;
}

static void
check_doubts(Check *c, const RcTune *tune)
{
  GArray *doubts = rc_tune_doubts(tune);
  char *name = g_path_get_basename(tune->file);
  for (guint i = 0; i < doubts->len; ++i) {
    const RcDoubt *doubt = &g_array_index(doubts, RcDoubt, i);
    char *place = g_strdup_printf("%s:%u:%u", name, doubt->line, doubt->column);
    char *meant = meaning(doubt);
    check(c, is_judged(place, meant), "%s: is %s meant? nobody has judged that", place, meant);
    g_free(meant);
    g_free(place);
  }
  g_free(name);
  g_array_unref(doubts);
}

static void
check_folder(Check *c, const char *folder)
{
  const char *const paths[] = { folder, NULL };
  RcCorpus *corpus = rc_corpus_new(paths, (RcCorpusOptions){ .melody_notes = TRUE });
  RcTune *tune = rc_tune_new();
  GError *error = NULL;
  for (RcReadResult result; (result = rc_corpus_next(corpus, tune, &error)) != RC_READ_END;) {
    if (result == RC_READ_TUNE) {
      check_doubts(c, tune);
    }
    g_clear_error(&error);
  }
  rc_tune_free(tune);
  rc_corpus_free(corpus);
}

static void
test_questions(void **state)
{
  (void)state;
  static const char *const packages[] = { "abcmidi", "abcm2ps" };
  Check c = { "questions", 0, 0 };
  char *demo = g_build_filename(g_getenv("ROWCALL_TEST_DATA"), "..", "corpus", NULL);
  check_folder(&c, demo);
  for (guint i = 0; i < G_N_ELEMENTS(packages); ++i) {
    char *folder = g_strdup_printf(EXAMPLES, packages[i]);
    check_folder(&c, folder);
    g_free(folder);
  }
  guint wrong = 0;
  for (guint i = 0; i < G_N_ELEMENTS(judged); ++i) {
    wrong += judged[i].right ? 0 : 1;
  }
  print_message("%u questions, %u of them wrong\n", c.compared, wrong);
  assert_int_equal(c.compared, G_N_ELEMENTS(judged));
  assert_true(10 * wrong <= G_N_ELEMENTS(judged));
  check_finish(&c);
  g_free(demo);
}

int
main(void)
{
  const struct CMUnitTest tests[] = { cmocka_unit_test(test_questions) };
  return cmocka_run_group_tests(tests, NULL, NULL);
}
