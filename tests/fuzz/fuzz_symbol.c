// Copyright 2026 the rowcall developers
// SPDX-License-Identifier: MIT

// Any text as a chord symbol: what is read must be written and read again as the same chord.

#include "rowcall/music.h"

#include <stdint.h>
#include <string.h>

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size);

static void
check(const char *text, gsize length, RcNames names)
{
  RcChord chord;
  RcChord again;
  gsize stopped_at = 0;
  const RcSymbolKind kind = rc_chord_parse(text, length, names, &chord, &stopped_at);
  g_assert_cmpuint(stopped_at, <=, length);
  if (kind == RC_SYMBOL_CHORD) {
    char *name = rc_chord_name(&chord, RC_SIGNS_ASCII);
    g_assert_cmpint(rc_chord_parse(name, strlen(name), RC_NAMES_ENGLISH, &again, NULL), ==, RC_SYMBOL_CHORD);
    g_assert_true(again.root == chord.root && again.bass == chord.bass && again.degrees == chord.degrees);
    g_free(name);
  }
}

int
LLVMFuzzerTestOneInput(const uint8_t *data, size_t size)
{
  check((const char *)data, size, RC_NAMES_ENGLISH);
  check((const char *)data, size, RC_NAMES_GERMAN);
  return 0;
}
