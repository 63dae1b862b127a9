// Copyright 2026 the rowcall developers
// SPDX-License-Identifier: MIT

// Answers as text, where the whole has once been found to say something else than it should.

#undef NDEBUG

#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>

#include <cmocka.h>

#include "rowcall/report.h"

#include <string.h>

// Whatever was asked, JSON gives it one of the five verdicts that README.md names.
static void
every_text_has_a_verdict_in_json(void **state)
{
  (void)state;
  static const char *const asked[][2] = { { "C", "native" },    { "Am7", "substitutable" }, { "F#", "impossible" },
                                          { "N.C.", "silent" }, { "Xq", "unread" },         { "", "unread" } };
  RcBoards *boards = rc_boards_find(&(RcBoardName){ "8", NULL }, 1, NULL, NULL);
  for (guint i = 0; i < G_N_ELEMENTS(asked); ++i) {
    RcAsked *answer = rc_asked_new(boards, 0, asked[i][0], &(RcSurroundings){ .brisk = FALSE });
    GString *out = g_string_new(NULL);
    rc_report_chord(out, RC_TEXT_JSON, boards->layouts[0], &answer, 1, 0);
    char *expected = g_strdup_printf("\"verdict\":\"%s\"", asked[i][1]);
    if (!strstr(out->str, expected)) {
      fail_msg("found %s; expected %s", out->str, expected);
    }
    g_free(expected);
    g_string_free(out, TRUE);
    rc_asked_free(answer);
  }
  rc_boards_free(boards);
}

static RcLayout *
make_board(const char *lines)
{
  GError *error = NULL;
  char *text = g_strdup_printf("name: t\ntitle: t\nspacing: {column: 16, row: 12.5, slant: 8}\n%s", lines);
  RcLayout *layout = rc_layout_parse(text, strlen(text), "t.yaml", &error);
  if (error) {
    fail_msg("%s in %s", error->message, text);
  }
  g_free(text);
  return layout;
}

// Whether the second of two keyboards counts as the next size of the first.
static gboolean
is_next(const char *small, const char *large)
{
  RcLayout *layouts[] = { make_board(small), make_board(large) };
  RcCatalogue *catalogues[] = { rc_catalogue_new(layouts[0], (RcHand){ 2, 3 }),
                                rc_catalogue_new(layouts[1], (RcHand){ 2, 3 }) };
  RcPanel *panel = rc_panel_new(catalogues, 2, (RcTaste){ RC_PREFER_PLAIN, RC_SAME });
  RcRoll *roll = rc_roll_new(panel, rc_roll_settings());
  const RcGain gain = rc_roll_gain(roll, 0);
  rc_roll_free(roll);
  rc_panel_free(panel);
  for (guint i = 0; i < 2; ++i) {
    rc_catalogue_free(catalogues[i]);
    rc_layout_free(layouts[i]);
  }
  return gain.next == 1;
}

// With C and E side by side a hand that reaches two columns holds C bass + E minor, C major seventh; with three columns
// between them it does not, so that the larger keyboard carries less.
static void
next_size_has_its_buttons_within_the_same_reach(void **state)
{
  (void)state;
  assert_true(is_next("columns: C..E\nrows: [fundamental, minor]", "columns: F..E\nrows: [fundamental, minor]"));
  assert_true(is_next("columns: [C, E]\nrows: [fundamental]", "columns: [F, C, E]\nrows: [fundamental, minor]"));
  assert_false(is_next("columns: [C, E]\nrows: [fundamental, minor]", "columns: C..E\nrows: [fundamental, minor]"));
  assert_false(is_next("columns: [C, E]\nrows: [fundamental]", "columns: [C, F, E]\nrows: [fundamental, minor]"));
}

// C augmented and E augmented are the same tones and not the same native chord.
static void
next_size_has_buttons_of_the_same_root(void **state)
{
  (void)state;
  static const char small[] = "columns: C..G\nrows: [fundamental, augmented]\n";
  assert_true(is_next(small, "columns: C..D\nrows: [fundamental, augmented]"));
  assert_false(is_next(small, "columns: C..D\nrows: [fundamental, augmented]\nretuned: {augmented C: E augmented}"));
}

// A button that sounds C on the push alone has its like where C sounds on the push, or both ways; not on the pull.
static void
next_size_has_buttons_of_the_same_bellows(void **state)
{
  (void)state;
  static const char small[] = "columns: [C]\nrows: [bass]\nbuttons:\n  bass C: {push: C, pull: G}\n";
#define LARGER "columns: [C, G]\nrows: [bass]\nbuttons:\n  bass G: {push: G, pull: D}\n  bass C: "
  assert_true(is_next(small, LARGER "{push: C, pull: G}\n"));
  assert_false(is_next(small, LARGER "{push: G, pull: C}\n"));
#undef LARGER
}

int
main(void)
{
  const struct CMUnitTest tests[] = {
    cmocka_unit_test(every_text_has_a_verdict_in_json),
    cmocka_unit_test(next_size_has_its_buttons_within_the_same_reach),
    cmocka_unit_test(next_size_has_buttons_of_the_same_root),
    cmocka_unit_test(next_size_has_buttons_of_the_same_bellows),
  };
  return cmocka_run_group_tests(tests, NULL, NULL);
}
