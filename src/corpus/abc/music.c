// Copyright 2026 the rowcall developers
// SPDX-License-Identifier: MIT

// The body of an ABC tune: its lines, the fields and voices among them, and which piece reads a sign of music.

#include "corpus/abc/body.h"

#include <string.h>

enum { MAX_VOICES = 1024 };

// ---------------------------------------------------------------------------------------------------------- places

guint
abc_column(const AbcBody *b, AbcLine *line, const char *at)
{
  if (b->ascii) {
    return (guint)(at - line->start) + 1;
  }
  for (; line->counted < at; ++line->counted) {
    line->characters += ((guchar)*line->counted & 0xC0U) != 0x80;
  }
  return line->characters + 1;
}

gboolean
abc_fail(AbcBody *b, const char *at, RcErrorCode code, const char *message, GError **error)
{
  const RcPlace place = { b->file, b->line.number, abc_column(b, &b->line, at) };
  return rc_fail(error, code, place, "%s", message);
}

const char *
abc_line_end(const char *at)
{
  return at + strcspn(at, "\n");
}

void
abc_skip_past(AbcBody *b, char close)
{
  while (*b->at != close && !abc_ends_line(*b->at)) {
    ++b->at;
  }
  b->at += *b->at == close;
}

gsize
abc_read_digits(AbcBody *b, guint *number)
{
  const char *start = b->at;
  guint value = 0;
  for (; g_ascii_isdigit(*b->at); ++b->at) {
    value = value < 100000 ? 10 * value + (guint)(*b->at - '0') : value;
  }
  *number = value;
  return (gsize)(b->at - start);
}

static gboolean
is_wanted(const AbcBody *b)
{
  return b->voice == b->wanted;
}

// ----------------------------------------------------------------------------------------------------------- fields

static void
change_setting(AbcBody *b)
{
  b->setting = b->tune->settings->len;
  b->unit = abc_unit(&b->state);
  g_array_append_val(b->tune->settings, b->state.setting);
  if (!b->pos) {
    b->event->setting = b->setting;
  }
}

static void
mark_part(AbcBody *b, AbcText label)
{
  const AbcPartMark mark = { abc_trim(label), b->n_bars + (b->pos ? 1 : 0) };
  g_array_append_val(b->music->part_marks, mark);
}

static gboolean
switch_voice(AbcBody *b, AbcText text, GError **error)
{
  text = abc_trim(text);
  gsize n = 0;
  while (text.at + n < text.end && !g_ascii_isspace(text.at[n])) {
    ++n;
  }
  b->voices = b->voices ? b->voices : g_ptr_array_new_with_free_func(g_free);
  if (!b->voices->len && (b->n_bars || b->pos)) {
    g_ptr_array_add(b->voices, g_strdup("1")); // the music before the first V: is a voice of its own
  }
  for (b->voice = 0; b->voice < b->voices->len; ++b->voice) {
    const char *name = g_ptr_array_index(b->voices, b->voice);
    if (!strncmp(name, text.at, n) && !name[n]) {
      return TRUE;
    }
  }
  g_ptr_array_add(b->voices, g_strndup(text.at, n));
  return b->voices->len <= MAX_VOICES ||
         abc_fail(b, b->at, RC_ERROR_LIMIT, "the tune has more than 1024 voices", error);
}

// Key, meter, tempo and length; TRUE where it changes what notes and chords are read by.
static gboolean
read_setting(AbcBody *b, char name, AbcText text)
{
  switch (name) {
  case 'K':
    if (abc_read_key(text, &b->state)) {
      abc_learn_key(b);
      return TRUE;
    }
    return FALSE;
  case 'M':
    return abc_read_meter(text, &b->state);
  case 'Q':
    return abc_read_tempo(text, &b->state);
  case 'L':
    return abc_read_length(text, &b->state);
  default:
    return FALSE;
  }
}

// A symbol line of a voice that is not read: whether it holds a chord.
static void
watch_symbol_line(AbcBody *b, AbcText text)
{
  while ((text.at = memchr(text.at, '"', (gsize)(text.end - text.at)))) {
    if (!abc_is_annotation(++text.at)) {
      b->music->chord_voice = MIN(b->music->chord_voice, b->voice);
    }
    const char *close = memchr(text.at, '"', (gsize)(text.end - text.at));
    text.at = close ? close + 1 : text.end;
  }
}

// A field in the body, on a line of its own or in brackets; fields of voices that are not read do not touch ours.
static gboolean
read_field(AbcBody *b, char name, AbcText text, GError **error)
{
  if (name == 'V') {
    return switch_voice(b, text, error);
  }
  if (name == 'P') {
    if (b->pos && !abc_end_bar(b, 0, FALSE, error)) {
      return FALSE;
    }
    mark_part(b, text);
  } else if (name == 'U') {
    abc_read_user_symbol(text, &b->state);
  } else if (name == 'I') {
    abc_read_directive(text, &b->state);
  } else if (!is_wanted(b)) {
    if (name == 's') {
      watch_symbol_line(b, text);
    }
  } else if (read_setting(b, name, text)) {
    change_setting(b);
  }
  return TRUE;
}

// "[K:G]"
static gboolean
read_inline_field(AbcBody *b, GError **error)
{
  const char name = b->at[1];
  const char *start = b->at + 3;
  const char *close = start + strcspn(start, "]\n");
  b->at = close + (*close == ']');
  return read_field(b, name, (AbcText){ start, close }, error);
}

// -------------------------------------------------------------------------------------------------------- decorations

// Whether what stands between two "+" is a chord as old collections write it, "+CEG+": notes, and not "+ff+", which is
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

// "!trill!" or "+trill+"; a sign alone on its line says nothing.
static void
read_decoration(AbcBody *b)
{
  const char sign = *b->at;
  const char *close = b->at + 1;
  while (*close != sign && *close != '|' && !abc_ends_line(*close)) {
    ++close;
  }
  const AbcText text = { b->at + 1, close };
  if (*close != sign) {
    ++b->at;
  } else if (sign == '+' && is_old_chord(text)) {
    ++b->music->habits[ABC_HABIT_CHORDS];
    if (b->music->read_habits[ABC_HABIT_CHORDS]) {
      abc_read_unison(b, '+');
    } else {
      b->at = close + 1;
    }
  } else {
    b->marks->jumps |= abc_jump(text);
    b->at = close + 1;
  }
}

// ----------------------------------------------------------------------------------------------------------- signs

// "[": a bar line, an ending, a field, or notes at once.
static gboolean
read_bracket(AbcBody *b, GError **error)
{
  const char next = b->at[1];
  if (next == '|' || next == ']') {
    return abc_read_bar_line(b, error);
  }
  if (g_ascii_isdigit(next)) {
    return abc_read_ending(b, error);
  }
  if (g_ascii_isalpha(next) && b->at[2] == ':') {
    return read_inline_field(b, error);
  }
  abc_read_unison(b, ']');
  return TRUE;
}

// Blanks, slurs, ties, continuation, decorations of one letter: of these only a letter that stands for a jump counts.
static void
read_small_sign(AbcBody *b)
{
  b->marks->jumps |= abc_letter_jump(&b->state, *b->at);
  ++b->at;
}

// What belongs to notes.
static void
read_note_sign(AbcBody *b)
{
  switch (*b->at) {
  case '^':
  case '_':
  case '=':
    abc_read_notes(b);
    return;
  case 'z':
  case 'x':
    abc_read_rest(b);
    return;
  case '>':
  case '<':
    abc_read_broken(b);
    return;
  case '{':
    abc_skip_past(b, '}');
    return;
  case '!':
  case '+':
    read_decoration(b);
    return;
  case '%':
    b->at = abc_line_end(b->at);
    return;
  default:
    read_small_sign(b);
  }
}

static gboolean
read_sign(AbcBody *b, GError **error)
{
  const char next = b->at[1];
  switch (*b->at) {
  case '|':
    return abc_read_bar_line(b, error);
  case '"':
    return abc_read_string(b, error);
  case '[':
    return read_bracket(b, error);
  case ':':
    if (next == '|' || next == ':' || next == ']') {
      return abc_read_bar_line(b, error);
    }
    break;
  case 'Z':
  case 'X':
    return abc_read_long_rest(b, error);
  case '(':
    if (g_ascii_isdigit(next)) {
      abc_read_tuplet(b);
      return TRUE;
    }
    break;
  case '&':
    abc_start_overlay(b);
    return TRUE;
  default:
    break;
  }
  read_note_sign(b);
  return TRUE;
}

// In a voice that is not read only what can lead out of it counts.
static gboolean
skip_other_voice(AbcBody *b, GError **error)
{
  if (*b->at == '"') {
    ++b->at;
    if (!abc_is_annotation(b->at) && !abc_ends_line(*b->at)) {
      b->music->chord_voice = MIN(b->music->chord_voice, b->voice);
    }
    abc_skip_past(b, '"');
  } else if (*b->at == '%') {
    b->at = abc_line_end(b->at);
  } else if (*b->at == '[' && b->at[1] == 'V' && b->at[2] == ':') {
    return read_inline_field(b, error);
  } else {
    ++b->at;
  }
  return TRUE;
}

// ------------------------------------------------------------------------------------------------------------ lines

static gboolean
read_music_line(AbcBody *b, GError **error)
{
  if (b->music->symbol_lines) {
    abc_find_symbol_lines(b);
  }
  gboolean good = TRUE;
  while (good && !abc_ends_line(*b->at)) {
    if (!is_wanted(b)) {
      good = skip_other_voice(b, error);
    } else if (b->sounds[(guchar)*b->at]) {
      abc_read_notes(b);
    } else {
      good = read_sign(b, error);
    }
  }
  return good;
}

// A field on a line of its own; those that may not stand in a body, section 3, are no music either: "Z:", but "G:|" is.
static gboolean
is_field_line(const char *line)
{
  return (g_ascii_isalpha(*line) || *line == '+') && line[1] == ':' && line[2] != '|' && line[2] != ':' &&
         line[2] != ']';
}

// "%%begintext" to "%%endtext" and the like, section 11.4.2: what stands between is no music.
static void
read_remark(AbcBody *b, const char *line)
{
  if (!strncmp(line, "%%begin", 7)) {
    b->in_text = TRUE;
  } else if (!strncmp(line, "%%end", 5)) {
    b->in_text = FALSE;
  } else if (!strncmp(line, "%%", 2)) {
    abc_read_directive((AbcText){ line + 2, abc_line_end(line) }, &b->state);
  }
}

static gboolean
read_line(AbcBody *b, GError **error)
{
  const char *line = b->at;
  b->line.start = line;
  b->line.counted = line;
  b->line.characters = 0;
  if (*line != '%' && !b->in_text && !is_field_line(line)) {
    return read_music_line(b, error);
  }
  b->at = abc_line_end(line);
  if (*line == '%') {
    read_remark(b, line);
  } else if (!b->in_text) {
    return read_field(b, *line, (AbcText){ line + 2, b->at }, error);
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
start_body(AbcBody *b, AbcMusic *music, AbcText text, AbcState state, const char *file, guint line, guint voice)
{
  memset(b, 0, sizeof *b);
  b->music = music;
  b->tune = music->tune;
  b->file = file;
  b->at = text.at;
  b->text = text;
  b->line.number = line;
  b->ascii = is_ascii(text);
  b->state = state;
  b->wanted = voice;
  b->unit = abc_unit(&state);
  b->state.unit = b->unit; // a meter change in the body does not change it, section 3.1.7
  music->chord_voice = G_MAXUINT;
  abc_learn_key(b);
  abc_start_bars(b);
}

// Leaves in the arrays what is used of them.
static void
end_body(AbcBody *b)
{
  g_array_set_size(b->tune->events, b->n_events);
  g_array_set_size(b->tune->bars, b->n_bars);
  g_array_set_size(b->music->marks, b->n_bars);
  g_clear_pointer(&b->voices, g_ptr_array_unref);
}

gboolean
abc_read_music(AbcMusic *music, AbcText body, AbcState state, const char *file, guint line, guint voice, GError **error)
{
  AbcBody b;
  start_body(&b, music, body, state, file, line, voice);
  gboolean good = TRUE;
  while (good && b.at < body.end) {
    good = read_line(&b, error);
    if (good) {
      b.at += *b.at == '\n';
      ++b.line.number;
    }
  }
  good = good && abc_end_bar(&b, 0, TRUE, error);
  end_body(&b);
  return good;
}
