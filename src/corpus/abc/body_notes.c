// Copyright 2026 the rowcall developers
// SPDX-License-Identifier: MIT

// Notes and rests of the body of an ABC tune as they pass.

#include "corpus/abc/body.h"

#include "corpus/abc/rows.h"

static void
keep_note(AbcBody *b, const AbcNotes *notes)
{
  const RcTicks start = b->bars.pos;
  const AbcNote note = { b->bars.n_bars,      start, start + notes->length, notes->tones, (guint8)notes->pitch,
                         *b->cursor.at == '-' };
  b->last.kept = b->music->notes->len;
  g_array_append_val(b->music->notes, note);
}

// Lets what sounded before go on, up to a note that ends at `at`.
static void
hold(AbcBody *b, const char *at)
{
  abc_hold(&b->bars, rc_symbols_held(b->music->symbols), abc_place(&b->cursor, at));
}

// Lets what was read sound, after what sounded before where no chord is written.
static void
sound(AbcBody *b, const AbcNotes *notes)
{
  if (abc_lacks_chord(&b->bars)) {
    hold(b, b->cursor.at);
  }
  b->last = (AbcLastNote){ notes->length, notes->tones, ABC_NO_NOTE, NULL };
  if (notes->tones && b->music->keeps_notes && !b->bars.overlay) {
    keep_note(b, notes);
  }
  abc_pass(&b->bars, notes->length, notes->tones);
}

// Whether nothing but a tuplet is in force that changes notes to come. Asked all at once, since mostly there is
// nothing.
static gboolean
is_calm(const AbcBody *b)
{
  return !((guint)b->rhythm.broken | (guint)b->bars.overlay | (guint)b->scale.any_in_octave | b->symbol_lines.n |
           (guint)b->music->keeps_notes);
}

gboolean
abc_body_read_row(AbcBody *b)
{
  AbcNotes row;
  const char *start = b->cursor.at;
  if (b->rhythm.tuplet_left || !is_calm(b) || !abc_read_row(&b->cursor, &b->scale, b->rhythm.unit, &row)) {
    return FALSE;
  }
  if (row.length) {
    if (abc_lacks_chord(&b->bars)) {
      hold(b, abc_first_of_row(start));
    }
    b->last.row = b->cursor.at;
    abc_pass(&b->bars, row.length, row.tones);
  }
  return TRUE;
}

void
abc_body_read_tuplet(AbcBody *b)
{
  AbcRhythm *rhythm = &b->rhythm;
  abc_read_tuplet(&b->cursor, b->state.setting.meter, rhythm);
  const guint n = rhythm->tuplet_left;
  const char *start = b->cursor.at;
  RcPcSet tones = 0;
  if (!is_calm(b) || !abc_read_letters(&b->cursor, &b->scale, n, &tones)) {
    return;
  }
  if (abc_lacks_chord(&b->bars)) {
    hold(b, start + 1);
  }
  const RcTicks length = rhythm->unit * rhythm->tuplet_q / rhythm->tuplet_p;
  rhythm->tuplet_left = 0;
  b->last = (AbcLastNote){ length, b->scale.sounds[(guchar)b->cursor.at[-1]], ABC_NO_NOTE, NULL };
  abc_pass(&b->bars, n * length, tones);
}

void
abc_body_read_note(AbcBody *b)
{
  AbcNotes notes;
  if (abc_read_note(&b->cursor, &b->scale, &b->rhythm, &notes)) {
    if (b->symbol_lines.n && !b->bars.overlay) {
      abc_body_take_symbols(b);
    }
    sound(b, &notes);
  }
}

// Texts in quotes between the brackets of notes at once are as those before them; the cursor stays where it is.
static gboolean
read_inner_strings(AbcBody *b, char close, GError **error)
{
  const char *start = b->cursor.at;
  gboolean good = TRUE;
  for (++b->cursor.at; good && *b->cursor.at != close && *b->cursor.at != '|' && !abc_ends_line(*b->cursor.at);) {
    if (*b->cursor.at == '"') {
      good = abc_body_read_string(b, error);
    } else {
      ++b->cursor.at;
    }
  }
  b->cursor.at = start;
  return good;
}

gboolean
abc_body_read_unison(AbcBody *b, char close, GError **error)
{
  if (!read_inner_strings(b, close, error)) {
    return FALSE;
  }
  const AbcNotes notes = abc_read_unison(&b->cursor, close, &b->scale, &b->rhythm);
  if (b->symbol_lines.n && notes.tones && !b->bars.overlay) {
    abc_body_take_symbols(b);
  }
  sound(b, &notes);
  return TRUE;
}

void
abc_body_read_rest(AbcBody *b)
{
  const AbcNotes rest = abc_read_rest(&b->cursor, &b->rhythm);
  sound(b, &rest);
}

gboolean
abc_body_read_long_rest(AbcBody *b, GError **error)
{
  const RcTicks bar = rc_meter_bar(b->state.setting.meter);
  const AbcNotes rest = { .length = bar };
  for (guint left = abc_read_long_rest(&b->cursor); left; --left) {
    sound(b, &rest);
    if (left > 1 && !abc_body_end_bar(b, &(AbcBarLine){ 0 }, error)) {
      return FALSE;
    }
  }
  return TRUE;
}

void
abc_body_read_broken(AbcBody *b)
{
  abc_body_learn_last_note(b);
  const RcTicks length = abc_read_broken(&b->cursor, b->last.length, &b->rhythm);
  b->bars.pos += length - b->last.length;
  if (b->last.kept != ABC_NO_NOTE) {
    AbcNote *note = &g_array_index(b->music->notes, AbcNote, b->last.kept);
    note->end = note->start + length;
  }
  b->last.length = length;
}
