// Copyright 2026 the rowcall developers
// SPDX-License-Identifier: MIT

// Bars of the body of an ABC tune, as their lines are read.

#include "corpus/abc/body.h"

#include "corpus/abc/rows.h"

gboolean
abc_body_check_limits(AbcBody *b, GError **error)
{
  if (b->music->notes->len > RC_MAX_NOTES) {
    return abc_fail(&b->cursor, b->cursor.at, RC_ERROR_LIMIT, "the melody has more notes than a tune may have", error);
  }
  if (b->bars.n_events > RC_MAX_EVENTS || b->bars.n_bars > RC_MAX_BARS ||
      b->music->tune->symbols->len > RC_MAX_SYMBOLS) {
    return abc_fail(&b->cursor, b->cursor.at, RC_ERROR_LIMIT, "the tune has more chords or bars than a tune may have",
                    error);
  }
  return TRUE;
}

static void
start_bar(AbcBody *b)
{
  b->before_bar = b->last.tones;
  b->last = (AbcLastNote){ .kept = ABC_NO_NOTE }; // broken rhythm does not reach over a bar line
  abc_forget_accidentals(&b->scale);
}

void
abc_body_learn_last_note(AbcBody *b)
{
  if (b->last.row) {
    const AbcNotes last = abc_last_of_row(b->last.row, &b->scale, b->rhythm.unit);
    b->last = (AbcLastNote){ last.length, last.tones, ABC_NO_NOTE, NULL };
  }
}

// Goes on after a bar that was ended.
static gboolean
pass_bar_end(AbcBody *b, AbcBarEnd end, GError **error)
{
  switch (end) {
  case ABC_BAR_EMPTY:
    return TRUE;
  case ABC_BAR_TOO_LONG:
    return abc_fail(&b->cursor, b->cursor.at, RC_ERROR_LIMIT, "the bar that ends here is longer than a bar may be",
                    error);
  case ABC_BAR_ENDED:
    break;
  }
  start_bar(b);
  return abc_body_check_limits(b, error);
}

gboolean
abc_body_end_bar(AbcBody *b, const AbcBarLine *line, GError **error)
{
  if (b->bars.opened && line->closes > b->bars.opened) {
    abc_body_remark(b, RC_REMARK_REPEATS, abc_place(&b->cursor, b->cursor.at), (AbcText){ NULL, NULL });
  }
  if (abc_chord_waits(&b->bars)) {
    abc_body_learn_last_note(b);
  }
  return pass_bar_end(b, abc_end_bar(&b->bars, line, b->last.length), error);
}

gboolean
abc_body_read_bar_line(AbcBody *b, GError **error)
{
  if (b->symbol_lines.n && b->bars.pos) {
    abc_pass_symbol_bars(&b->symbol_lines);
  }
  if (abc_is_plain_line(b->cursor.at)) {
    ++b->cursor.at;
    if (abc_chord_waits(&b->bars)) {
      abc_body_learn_last_note(b);
    }
    return pass_bar_end(b, abc_end_plain_bar(&b->bars, b->last.length), error);
  }
  AbcBarLine line;
  abc_read_bar_line(&b->cursor, &line);
  return abc_body_end_bar(b, &line, error);
}

gboolean
abc_body_read_ending(AbcBody *b, GError **error)
{
  const AbcBarLine line = { .endings = abc_read_ending(&b->cursor) };
  return abc_body_end_bar(b, &line, error);
}
