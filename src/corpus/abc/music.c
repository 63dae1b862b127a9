// Copyright 2026 the rowcall developers
// SPDX-License-Identifier: MIT

// The body of an ABC tune, line by line. What a sign says is read by files that know nothing of each other's work, such
// as notes.c and lines.c; what it does to the body by those that begin with "body".

#include "corpus/abc/music.h"

#include "corpus/abc/body.h"
#include "corpus/abc/rows.h"

#include <string.h>

static void
keep_found(AbcMusic *music, RcRemarkKind kind, AbcPlace place, AbcText text)
{
  if (!music->found[kind].place.line) {
    music->found[kind] = (AbcFound){ place, text };
    music->remarks = TRUE;
  }
}

void
abc_body_remark(AbcBody *b, RcRemarkKind kind, AbcPlace place, AbcText text)
{
  keep_found(b->music, kind, place, text);
}

void
abc_remark_setting(AbcMusic *music, char name, AbcText text, gboolean good, AbcPlace place)
{
  if (!good) {
    keep_found(music, RC_REMARK_VALUES, place, abc_trim(text));
  } else if (name == 'K' && abc_is_small_key(text)) {
    keep_found(music, RC_REMARK_SMALL_KEY, place, abc_trim(text));
  }
}

// --------------------------------------------------------------------------------------------------------------- lines

// In a voice that is not read only what can lead out of it counts.
static gboolean
skip_other_voice(AbcBody *b, GError **error)
{
  AbcCursor *c = &b->cursor;
  if (*c->at == '"') {
    ++c->at;
    if (!abc_is_annotation(c->at) && !abc_ends_line(*c->at)) {
      abc_body_note_chord_voice(b);
    }
    abc_skip_past(c, '"');
  } else if (*c->at == '%') {
    c->at = abc_line_end(c->at);
  } else if (*c->at == '[' && c->at[1] == 'V' && c->at[2] == ':') {
    return abc_body_read_inline_field(b, error);
  } else {
    ++c->at;
  }
  return TRUE;
}

// Reads what most of a line consists of, up to its end or past a sign, which may begin another voice. What is most
// common is asked for first.
static gboolean
read_own_voice(AbcBody *b, GError **error)
{
  for (;;) {
    const char next = *b->cursor.at;
    if (next == '"') {
      if (!abc_body_read_string(b, error)) {
        return FALSE;
      }
    } else if (next == '|') {
      if (!abc_body_read_bar_line(b, error)) {
        return FALSE;
      }
    } else if (abc_may_begin_row(next) && abc_body_read_row(b)) {
      continue;
    } else if (b->scale.sounds[(guchar)next]) {
      abc_body_read_note(b);
    } else {
      return abc_ends_line(next) || abc_body_read_sign(b, error);
    }
  }
}

static gboolean
read_music_line(AbcBody *b, GError **error)
{
  if (b->music->symbol_lines) {
    b->symbol_lines = abc_find_symbol_lines(&b->cursor, b->end);
  }
  gboolean good = TRUE;
  while (good && !abc_ends_line(*b->cursor.at)) {
    good = abc_body_is_wanted(b) ? read_own_voice(b, error) : skip_other_voice(b, error);
  }
  return good;
}

// A field on a line of its own; those that may not be in a body, section 3, are no music either: "Z:", but "G:|" is.
static gboolean
is_field_line(const char *line)
{
  return (g_ascii_isalpha(*line) || *line == '+') && line[1] == ':' && line[2] != '|' && line[2] != ':' &&
         line[2] != ']';
}

// "%%begintext" to "%%endtext" and the like, section 11.4.2: what is between them is no music.
static void
read_comment(AbcBody *b, const char *line)
{
  if (!strncmp(line, "%%begin", 7)) {
    b->in_text = TRUE;
  } else if (!strncmp(line, "%%end", 5)) {
    b->in_text = FALSE;
  } else if (!strncmp(line, "%%", 2)) {
    abc_read_directive((AbcText){ line + 2, abc_line_end(line) }, &b->state);
    b->scale.propagation = b->state.propagation;
  }
}

static gboolean
read_line(AbcBody *b, GError **error)
{
  const char *line = b->cursor.at;
  if (*line != '%' && !b->in_text && !is_field_line(line)) {
    return read_music_line(b, error);
  }
  b->cursor.at = abc_line_end(line);
  if (*line == '%') {
    read_comment(b, line);
  } else if (!b->in_text) {
    return abc_body_read_field(b, *line, (AbcText){ line + 2, b->cursor.at }, error);
  }
  return TRUE;
}

static gboolean
is_ascii(AbcText text)
{
  guchar bits = 0;
  for (; text.at < text.end; ++text.at) {
    bits |= (guchar)*text.at;
  }
  return bits < 0x80;
}

static void
start_body(AbcBody *b, AbcMusic *music, AbcText text, AbcState state, guint voice)
{
  memset(b, 0, sizeof *b);
  b->music = music;
  b->end = text.end;
  b->state = state;
  b->voices.wanted = voice;
  b->rhythm.unit = abc_unit(&state);
  b->state.unit = b->rhythm.unit; // a meter change in the body does not change it, section 3.1.7
  b->scale.propagation = state.propagation;
  b->scale.pitches = music->keeps_notes;
  b->last.kept = ABC_NO_NOTE;
  b->chord = ABC_NO_NOTE;
  music->chord_voice = G_MAXUINT;
  abc_learn_key(&b->scale, state.accidentals);
  abc_start_bars(&b->bars, music->tune, music->marks);
}

static gboolean
read_lines(AbcBody *b, guint number, GError **error)
{
  for (; b->cursor.at < b->end; ++number) {
    abc_start_line(&b->cursor, b->cursor.at, number);
    if (!read_line(b, error)) {
      return FALSE;
    }
    b->cursor.at += *b->cursor.at == '\n';
  }
  return TRUE;
}

// Ends the last bar; a chord that still waits has no note to begin with.
static gboolean
end_body(AbcBody *b, GError **error)
{
  if (!abc_body_end_bar(b, &(AbcBarLine){ .breaks = TRUE }, error)) {
    return FALSE;
  }
  if (b->bars.waiting) {
    abc_body_settle_late_chord(b);
  }
  return TRUE;
}

gboolean
abc_read_music(AbcMusic *music, AbcText body, AbcState state, const char *file, guint line, guint voice, GError **error)
{
  AbcBody b;
  start_body(&b, music, body, state, voice);
  b.cursor = (AbcCursor){ .at = body.at, .line = body.at, .ascii = is_ascii(body), .file = file };
  const gboolean good = read_lines(&b, line, error) && end_body(&b, error);
  abc_finish_bars(&b.bars);
  g_clear_pointer(&b.voices.names, g_ptr_array_unref);
  return good;
}
