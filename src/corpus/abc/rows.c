// Copyright 2026 the rowcall developers
// SPDX-License-Identifier: MIT

// A row is read byte by byte through one table, with a single branch that is taken when the row ends. Branches on what
// each byte is would be mispredicted at every second one; this way `compare` of the bench's ABC takes 12 % less time.

#include "corpus/abc/rows.h"

// What a byte of a row is.
enum {
  LETTER = 1 << 0,
  OCTAVE = 1 << 1, // "," or "'"
  DIGIT = 1 << 2,  // "2" to "9"
  HALF = 1 << 3,   // "/"
  QUIET = 1 << 4,  // takes no time and changes nothing
  SLUR = 1 << 5,   // "(", quiet unless a digit follows
  NOTE = LETTER | OCTAVE | DIGIT | HALF,
  ANY = NOTE | QUIET | SLUR
};

typedef struct {
  guint8 kind;
  guint8 after;  // the kinds that it may follow; of a byte that no row holds none
  gint16 halves; // of the unit, by which it makes the row longer
} Sign;

static const Sign signs[256] = {
  ['A'] = { LETTER, ANY, 2 },
  ['B'] = { LETTER, ANY, 2 },
  ['C'] = { LETTER, ANY, 2 },
  ['D'] = { LETTER, ANY, 2 },
  ['E'] = { LETTER, ANY, 2 },
  ['F'] = { LETTER, ANY, 2 },
  ['G'] = { LETTER, ANY, 2 },
  ['a'] = { LETTER, ANY, 2 },
  ['b'] = { LETTER, ANY, 2 },
  ['c'] = { LETTER, ANY, 2 },
  ['d'] = { LETTER, ANY, 2 },
  ['e'] = { LETTER, ANY, 2 },
  ['f'] = { LETTER, ANY, 2 },
  ['g'] = { LETTER, ANY, 2 },
  [','] = { OCTAVE, LETTER | OCTAVE, 0 },
  ['\''] = { OCTAVE, LETTER | OCTAVE, 0 },
  ['2'] = { DIGIT, LETTER | OCTAVE, 2 },
  ['3'] = { DIGIT, LETTER | OCTAVE, 4 },
  ['4'] = { DIGIT, LETTER | OCTAVE, 6 },
  ['5'] = { DIGIT, LETTER | OCTAVE, 8 },
  ['6'] = { DIGIT, LETTER | OCTAVE, 10 },
  ['7'] = { DIGIT, LETTER | OCTAVE, 12 },
  ['8'] = { DIGIT, LETTER | OCTAVE, 14 },
  ['9'] = { DIGIT, LETTER | OCTAVE, 16 },
  ['/'] = { HALF, LETTER | OCTAVE, -1 },
  [' '] = { QUIET, ANY, 0 },
  ['-'] = { QUIET, ANY, 0 },
  [')'] = { QUIET, ANY, 0 },
  ['.'] = { QUIET, ANY, 0 },
  ['~'] = { QUIET, ANY, 0 },
  ['('] = { SLUR, ANY, 0 },
};

static Sign
sign_of(char c)
{
  return signs[(guchar)c];
}

gboolean
abc_may_begin_row(char c)
{
  return (sign_of(c).after & QUIET) != 0;
}

static gboolean
changes_note(char c)
{
  return (c >= '0' && c <= '9') || c == '/' || c == '>' || c == '<';
}

// Goes back from the end of a note to its letter, and takes from `halves` what it is long.
static const char *
go_before_note(const char *end, gint *halves)
{
  const char *at = end;
  do {
    --at;
    *halves -= sign_of(*at).halves;
  } while (sign_of(*at).kind != LETTER);
  return at;
}

// Where a row ends at `at`, after a sign of kind `before`: a note that what follows changes is left to be read by
// itself, and so is the beginning of a tuplet.
static const char *
end_of_row(const char *at, guint before, gint *halves)
{
  if (!changes_note(*at)) {
    return at;
  }
  if (before & NOTE) {
    return go_before_note(at, halves);
  }
  return before == SLUR && *at != '/' && *at != '<' && *at != '>' ? at - 1 : at;
}

gboolean
abc_read_row(AbcCursor *c, const AbcScale *scale, RcTicks unit, AbcNotes *row)
{
  const char *at = c->at;
  RcPcSet tones = 0;
  gint halves = 0;
  guint before = QUIET;
  for (Sign sign = sign_of(*at); sign.after & before; sign = sign_of(*at)) {
    tones |= scale->sounds[(guchar)*at++];
    halves += sign.halves;
    before = sign.kind;
  }
  at = end_of_row(at, before, &halves);
  if (at == c->at || unit % 2) {
    return FALSE;
  }
  c->at = at;
  *row = (AbcNotes){ .length = unit / 2 * halves, .tones = tones };
  return TRUE;
}

gboolean
abc_read_letters(AbcCursor *c, const AbcScale *scale, guint n, RcPcSet *tones)
{
  const char *at = c->at;
  const char *end = at;
  RcPcSet all = 0;
  while ((gsize)(end - at) < n && sign_of(*end).kind == LETTER) {
    all |= scale->sounds[(guchar)*end++];
  }
  if ((gsize)(end - at) < n || changes_note(*end) || sign_of(*end).kind == OCTAVE) {
    return FALSE;
  }
  c->at = end;
  *tones = all;
  return TRUE;
}

const char *
abc_first_of_row(const char *start)
{
  const char *at = start;
  while (sign_of(*at).kind != LETTER) {
    ++at;
  }
  do {
    ++at;
  } while (sign_of(*at).kind & (NOTE & ~LETTER));
  return at;
}

AbcNotes
abc_last_of_row(const char *end, const AbcScale *scale, RcTicks unit)
{
  gint halves = 0;
  const char *note = go_before_note(end, &halves);
  return (AbcNotes){ .length = unit / 2 * -halves, .tones = scale->sounds[(guchar)*note] };
}
