// Copyright 2026 the rowcall developers
// SPDX-License-Identifier: MIT

#include "corpus/yaml/bar_text.h"

#include <string.h>

// A bass that blanks divide from its chord: `C/ G`, `C /G`, `C / G`.
typedef struct {
  gsize at; // of the note's name
  gsize end;
  guint words;     // of the bar that it takes up
  gboolean spaced; // blanks on both sides
  RcNote note;
} SpacedBass;

// Finds what may be the bass of the chord that ends at `end`.
static gboolean
find_spaced_bass(const YmBarText *bars, gsize end, SpacedBass *bass)
{
  const gboolean slash_before = bars->text[end - 1] == '/';
  gsize at = ym_skip_spaces(bars, end);
  bass->words = 1;
  bass->spaced = FALSE;
  if (!slash_before) {
    at += bars->text[at] == '/';
    bass->spaced = ym_byte_kind(bars->text[at]) == YM_BLANK;
    bass->words += bass->spaced ? 1 : 0;
    at = ym_skip_spaces(bars, at);
  }
  bass->at = at;
  bass->end = ym_word_end(bars, at);
  const gsize length = bass->end - at;
  return length && rc_note_parse(bars->text + at, length, bars->reader->names, &bass->note) == length;
}

// Whether the bar has a word for each beat, or several, or is divided equally, so that a slash may hold a beat.
static gboolean
fills_beats(const YmBarText *bars)
{
  const RcMeter meter = rc_tune_setting(bars->tune, 0)->meter;
  const guint beats = (guint)(bars->bar / rc_meter_beat(meter));
  guint words = bars->n_words + bars->n_joined;
  for (gsize at = ym_skip_spaces(bars, bars->at); ym_byte_kind(bars->text[at]) == YM_LETTER;) {
    at = ym_skip_spaces(bars, ym_word_end(bars, at));
    ++words;
  }
  return words % beats == 0 || beats % words == 0 || words % meter.beats == 0;
}

static void
remark_slash(YmBarText *bars, gboolean held, const char *joined)
{
  const RcPlace place = rc_cursor_place(bars->cursor, bars->word);
  if (held) {
    rc_tune_remark(
      bars->tune, RC_REMARK_HELD_SLASHES, place.line, place.column,
      "a slash between blanks holds the chord before it, since the bar's words fill its beats; a chord over "
      "a bass is written `%s`",
      joined);
  } else {
    rc_tune_remark(bars->tune, RC_REMARK_SPACED_SLASHES, place.line, place.column,
                   "a slash between blanks is read as one before a bass, `%s`, since the bar's words do not fill its "
                   "beats; a dot holds a chord",
                   joined);
  }
}

// Whether a bass makes an inversion of a chord, so that a chord of its own name is less likely meant.
static gboolean
is_inversion(const RcChord *chord, RcNote bass)
{
  enum { FIFTH = 7 };
  const guint pc = rc_note_pc(bass);
  return pc != rc_note_pc(chord->root) && pc != (rc_note_pc(chord->root) + FIFTH) % 12 &&
         rc_pcs_has(rc_chord_tones(chord), pc);
}

char *
ym_take_spaced_bass(YmBarText *bars, gsize length)
{
  SpacedBass bass = { 0 };
  RcChord chord;
  const char *word = bars->text + bars->word;
  length -= word[length - 1] == '/' ? 1 : 0;
  if (!length || memchr(word, '/', length) || !find_spaced_bass(bars, bars->at, &bass) ||
      rc_chord_parse(word, length, bars->reader->names, &chord, NULL) != RC_SYMBOL_CHORD) {
    return NULL;
  }
  char *joined = g_strdup_printf("%.*s/%.*s", (int)length, word, (int)(bass.end - bass.at), bars->text + bass.at);
  const gboolean held = bass.spaced && fills_beats(bars);
  if (bass.spaced && (!held || is_inversion(&chord, bass.note))) {
    remark_slash(bars, held, joined);
  }
  if (held) {
    g_free(joined);
    return NULL;
  }
  bars->n_joined += bass.words;
  bars->at = bass.end;
  return joined;
}
