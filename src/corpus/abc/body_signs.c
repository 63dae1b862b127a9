// Copyright 2026 the rowcall developers
// SPDX-License-Identifier: MIT

// The signs of the body of an ABC tune, each led to what reads it.

#include "corpus/abc/body.h"

#include <string.h>

// Whether a text between two "+" is a chord as old collections write it, "+CEG+": notes, and not "+ff+", which is
// loud.
static gboolean
is_old_chord(AbcText text)
{
  guint notes = 0;
  gboolean only_f = TRUE;
  for (const char *at = text.at; at < text.end; ++at) {
    const char lower = g_ascii_tolower(*at);
    notes += lower >= 'a' && lower <= 'g';
    only_f &= *at == 'f';
    if ((lower < 'a' || lower > 'g') && !strchr("^_=,'/", *at) && !g_ascii_isdigit(*at)) {
      return FALSE;
    }
  }
  return notes > 1 && !only_f;
}

static gboolean
read_old_chord(AbcBody *b, const char *close, GError **error)
{
  AbcHabits *habits = &b->music->habits;
  ++habits->met[ABC_HABIT_CHORDS];
  if (habits->followed[ABC_HABIT_CHORDS]) {
    abc_body_remark(b, RC_REMARK_OLD_CHORDS, abc_place(&b->cursor, b->cursor.at), (AbcText){ NULL, NULL });
    return abc_body_read_unison(b, '+', error);
  }
  b->cursor.at = close + 1;
  return TRUE;
}

// "!trill!" or "+trill+"; a sign alone on its line says nothing.
static gboolean
read_decoration(AbcBody *b, GError **error)
{
  const char sign = *b->cursor.at;
  const char *close = b->cursor.at + 1;
  while (*close != sign && *close != '|' && !abc_ends_line(*close)) {
    ++close;
  }
  const AbcText text = { b->cursor.at + 1, close };
  if (*close != sign) {
    ++b->cursor.at;
  } else if (sign == '+' && is_old_chord(text)) {
    return read_old_chord(b, close, error);
  } else {
    b->bars.marks->jumps |= abc_jump(text);
    b->cursor.at = close + 1;
  }
  return TRUE;
}

// Whether a bracket closes before a bar line, as it does around notes; else a text after it names an ending.
static gboolean
closes_in_bar(const char *bracket)
{
  return bracket[strcspn(bracket, "]|\n")] == ']';
}

// "[": a bar line, an ending, a field, or notes at once.
static gboolean
read_bracket(AbcBody *b, GError **error)
{
  const char next = b->cursor.at[1];
  if (next == '|' || next == ']') {
    return abc_body_read_bar_line(b, error);
  }
  if (g_ascii_isdigit(next)) {
    return abc_body_read_ending(b, error);
  }
  if (g_ascii_isalpha(next) && b->cursor.at[2] == ':') {
    return abc_body_read_inline_field(b, error);
  }
  if (next == '"' && !closes_in_bar(b->cursor.at)) {
    b->cursor.at += 2;
    abc_skip_past(&b->cursor, '"');
    return TRUE;
  }
  return abc_body_read_unison(b, ']', error);
}

// Blanks, slurs, ties, continuation, decorations of one letter: of these only a letter that means a jump counts.
static void
read_small_sign(AbcBody *b)
{
  b->bars.marks->jumps |= abc_letter_jump(&b->state, *b->cursor.at);
  ++b->cursor.at;
}

// What belongs to notes.
static gboolean
read_note_sign(AbcBody *b, GError **error)
{
  switch (*b->cursor.at) {
  case '^':
  case '_':
  case '=':
    abc_body_read_note(b);
    return TRUE;
  case 'z':
  case 'x':
    abc_body_read_rest(b);
    return TRUE;
  case '>':
  case '<':
    abc_body_read_broken(b);
    return TRUE;
  case '{':
    abc_skip_past(&b->cursor, '}');
    return TRUE;
  case '!':
  case '+':
    return read_decoration(b, error);
  case '%':
    b->cursor.at = abc_line_end(b->cursor.at);
    return TRUE;
  default:
    read_small_sign(b);
    return TRUE;
  }
}

gboolean
abc_body_read_sign(AbcBody *b, GError **error)
{
  const char next = b->cursor.at[1];
  switch (*b->cursor.at) {
  case '|':
    return abc_body_read_bar_line(b, error);
  case '"':
    return abc_body_read_string(b, error);
  case '[':
    return read_bracket(b, error);
  case ':':
    if (next == '|' || next == ':' || next == ']') {
      return abc_body_read_bar_line(b, error);
    }
    break;
  case 'Z':
  case 'X':
    return abc_body_read_long_rest(b, error);
  case '(':
    if (g_ascii_isdigit(next)) {
      abc_body_read_tuplet(b);
      return TRUE;
    }
    break;
  case '&':
    ++b->cursor.at;
    abc_start_overlay(&b->bars);
    return TRUE;
  default:
    break;
  }
  return read_note_sign(b, error);
}
