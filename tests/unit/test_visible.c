// Copyright 2026 the rowcall developers
// SPDX-License-Identifier: MIT

// Text of others that is safe to show: what a terminal obeys or what turns the order of reading becomes letters.

#undef NDEBUG

#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>

#include <cmocka.h>

#include "base/visible.h"

#include <string.h>

// The control characters of Unicode (general category Cc: C0, DEL, C1), the explicit directional formatting characters
// of Unicode Standard Annex #9 (ALM, LRM, RLM, LRE, RLE, PDF, LRO, RLO, LRI, RLI, FSI, PDI), and the line and paragraph
// separators.
static const gunichar directions[] = { 0x061C, 0x200E, 0x200F, 0x202A, 0x202B, 0x202C, 0x202D,
                                       0x202E, 0x2066, 0x2067, 0x2068, 0x2069, 0x2028, 0x2029 };

static gboolean
is_listed(gunichar code)
{
  gboolean listed = code < 0x110000 && g_unichar_type(code) == G_UNICODE_CONTROL;
  for (guint i = 0; i < G_N_ELEMENTS(directions); ++i) {
    listed = listed || code == directions[i];
  }
  return listed;
}

static void
what_is_hidden_and_what_is_not(void **state)
{
  (void)state;
  for (gunichar code = 0; code < 0x3000; ++code) {
    if (rc_is_hidden(code) != is_listed(code)) {
      fail_msg("U+%04X", code);
    }
  }
}

static const struct {
  const char *text, *line, *lines;
} cases[] = {
  { "", "", "" },
  { "Mill Race", "Mill Race", "Mill Race" },
  { "B\xe2\x99\xad \xf0\x9d\x84\xab caf\xc3\xa9 ~", "B\xe2\x99\xad \xf0\x9d\x84\xab caf\xc3\xa9 ~",
    "B\xe2\x99\xad \xf0\x9d\x84\xab caf\xc3\xa9 ~" },
  { "a\tb", "a\\tb", "a\\tb" },
  { "a\nb\n", "a\\nb\\n", "a\nb\n" },
  { "a\r\nb\r\n", "a\\r\\nb\\r\\n", "a\r\nb\r\n" },
  { "a\rb\r", "a\\rb\\r", "a\\rb\\r" }, // a return alone would write over the line
  { "\x1b[2J\x07\x7f", "\\x1b[2J\\x07\\x7f", "\\x1b[2J\\x07\\x7f" },
  { "\xc2\x9b"
    "0m",
    "\\x9b0m", "\\x9b0m" },                                    // C1, as a character
  { "a\xff\xe2\x99", "a\\xff\\xe2\\x99", "a\\xff\\xe2\\x99" }, // bytes that are no text, one cut off
  { "\xe2\x80\xae"
    "evil",
    "\\u202eevil", "\\u202eevil" },
  { "a\xe2\x80\xa8"
    "b",
    "a\\u2028b", "a\\u2028b" },
  { "back\\slash", "back\\slash", "back\\slash" },
};

static void
text_of_others_is_written_in_letters(void **state)
{
  (void)state;
  for (guint i = 0; i < G_N_ELEMENTS(cases); ++i) {
    char *line = rc_visible(cases[i].text);
    char *again = rc_visible(line);
    GString *lines = rc_visible_lines(cases[i].text, strlen(cases[i].text));
    assert_string_equal(line, cases[i].line);
    assert_string_equal(again, line); // twice is as once
    assert_string_equal(lines->str, cases[i].lines);
    g_string_free(lines, TRUE);
    g_free(again);
    g_free(line);
  }
}

// Of so many bytes, a zero among them; what follows them does not count.
static void
bytes_are_counted(void **state)
{
  (void)state;
  GString *lines = rc_visible_lines("a\0b\nc", 4);
  assert_string_equal(lines->str, "a\\x00b\n");
  g_string_free(lines, TRUE);
  lines = rc_visible_lines("a\r\nb", 2);
  assert_string_equal(lines->str, "a\\r");
  g_string_free(lines, TRUE);
}

int
main(void)
{
  const struct CMUnitTest tests[] = {
    cmocka_unit_test(what_is_hidden_and_what_is_not),
    cmocka_unit_test(text_of_others_is_written_in_letters),
    cmocka_unit_test(bytes_are_counted),
  };
  return cmocka_run_group_tests(tests, NULL, NULL);
}
