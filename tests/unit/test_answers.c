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
  RcLayout *layout = rc_layout_find("8", NULL);
  RcCatalogue *catalogue = rc_catalogue_new(layout, (RcHand){ RC_GRIP_REACH, RC_GRIP_PRESS });
  for (guint i = 0; i < G_N_ELEMENTS(asked); ++i) {
    RcQuestion question = { .text = asked[i][0] };
    GString *out = g_string_new(NULL);
    question.kind =
      rc_chord_parse(asked[i][0], strlen(asked[i][0]), RC_NAMES_ENGLISH, &question.request.chord, &question.stopped_at);
    rc_report_chord(out, RC_FORMAT_JSON, catalogue, &question, 1, 0);
    char *expected = g_strdup_printf("\"verdict\":\"%s\"", asked[i][1]);
    if (!strstr(out->str, expected)) {
      fail_msg("found %s; expected %s", out->str, expected);
    }
    g_free(expected);
    g_string_free(out, TRUE);
  }
  rc_catalogue_free(catalogue);
  rc_layout_free(layout);
}

int
main(void)
{
  const struct CMUnitTest tests[] = {
    cmocka_unit_test(every_text_has_a_verdict_in_json),
  };
  return cmocka_run_group_tests(tests, NULL, NULL);
}
