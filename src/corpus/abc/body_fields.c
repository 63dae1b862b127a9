// Copyright 2026 the rowcall developers
// SPDX-License-Identifier: MIT

// Fields in the body of an ABC tune: settings, parts and voices.

#include "corpus/abc/body.h"

#include <string.h>

enum { MAX_VOICES = 1024 };

// A setting that is replaced before any note counts for nothing.
static void
change_setting(AbcBody *b)
{
  GArray *settings = b->music->tune->settings;
  const gboolean at_once = !b->bars.overlay && b->setting_bar == b->bars.n_bars && b->setting_pos == b->bars.pos;
  if (at_once) {
    g_array_set_size(settings, b->bars.setting);
  }
  b->bars.setting = settings->len;
  b->setting_bar = b->bars.n_bars;
  b->setting_pos = b->bars.pos;
  b->rhythm.unit = abc_unit(&b->state);
  g_array_append_val(settings, b->state.setting);
  if (!b->bars.pos) {
    b->bars.event->setting = b->bars.setting;
  }
}

static gboolean
read_value(AbcBody *b, char name, AbcText text)
{
  switch (name) {
  case 'K':
    return abc_read_key(text, &b->state);
  case 'M':
    return abc_read_meter(text, &b->state);
  case 'Q':
    return abc_read_tempo(text, &b->state);
  default:
    return abc_read_length(text, &b->state);
  }
}

// Key, meter, tempo and length; TRUE where it changes what notes and chords are read by.
static gboolean
read_setting(AbcBody *b, char name, AbcText text)
{
  if (name != 'K' && name != 'M' && name != 'Q' && name != 'L') {
    return FALSE;
  }
  const gboolean good = read_value(b, name, text);
  if (good && name == 'K') {
    abc_learn_key(&b->scale, b->state.accidentals);
  }
  abc_remark_setting(b->music, name, text, good || name == 'Q',
                     abc_place(&b->cursor, abc_trim(text).at)); // Q: may be words
  return good;
}

// "P:Fine" says what a decoration says.
static void
mark_jumps(AbcBody *b, guint jumps)
{
  const guint ends = jumps & RC_JUMP_ENDS;
  b->bars.marks->jumps |= jumps & ~ends;
  if (b->bars.n_bars) {
    b->bars.marks[-1].jumps |= ends;
  }
}

// A part begins, which also ends an ending before it.
static gboolean
read_part(AbcBody *b, AbcText text, GError **error)
{
  const AbcText label = abc_trim(text);
  const guint jumps = abc_jump(label);
  if (!abc_body_end_bar(b, &(AbcBarLine){ .breaks = !jumps }, error)) {
    return FALSE;
  }
  if (jumps) {
    mark_jumps(b, jumps);
  } else {
    const AbcPartMark mark = { label, b->bars.n_bars };
    g_array_append_val(b->music->part_marks, mark);
  }
  return TRUE;
}

static gboolean
find_voice(AbcVoices *voices, const char *name, gsize length)
{
  for (voices->current = 0; voices->current < voices->names->len; ++voices->current) {
    const char *known = g_ptr_array_index(voices->names, voices->current);
    if (!strncmp(known, name, length) && !known[length]) {
      return TRUE;
    }
  }
  return FALSE;
}

static gboolean
switch_voice(AbcBody *b, AbcText text, GError **error)
{
  AbcVoices *voices = &b->voices;
  text = abc_trim(text);
  gsize n = 0;
  while (text.at + n < text.end && !g_ascii_isspace(text.at[n])) {
    ++n;
  }
  voices->names = voices->names ? voices->names : g_ptr_array_new_with_free_func(g_free);
  if (!voices->names->len && (b->bars.n_bars || b->bars.pos)) {
    g_ptr_array_add(voices->names, g_strdup("1")); // the music before the first V: is a voice of its own
  }
  if (find_voice(voices, text.at, n)) {
    return TRUE;
  }
  g_ptr_array_add(voices->names, g_strndup(text.at, n));
  return voices->names->len <= MAX_VOICES ||
         abc_fail(&b->cursor, b->cursor.at, RC_ERROR_LIMIT, "the tune has more than 1024 voices", error);
}

void
abc_body_note_chord_voice(AbcBody *b)
{
  b->music->chord_voice = MIN(b->music->chord_voice, b->voices.current);
}

// A symbol line of a voice that is not read: whether it holds a chord.
static void
watch_symbol_line(AbcBody *b, AbcText text)
{
  while ((text.at = memchr(text.at, '"', abc_length(text)))) {
    if (!abc_is_annotation(++text.at)) {
      abc_body_note_chord_voice(b);
    }
    const char *close = memchr(text.at, '"', abc_length(text));
    text.at = close ? close + 1 : text.end;
  }
}

gboolean
abc_body_read_field(AbcBody *b, char name, AbcText text, GError **error)
{
  switch (name) {
  case 'V':
    return switch_voice(b, text, error);
  case 'P':
    return read_part(b, text, error);
  case 'U':
    abc_read_user_symbol(text, &b->state);
    return TRUE;
  case 'I':
    abc_read_directive(text, &b->state);
    b->scale.propagation = b->state.propagation;
    return TRUE;
  default:
    break;
  }
  if (abc_body_is_wanted(b)) {
    if (read_setting(b, name, text)) {
      change_setting(b);
    }
  } else if (name == 's') {
    watch_symbol_line(b, text);
  }
  return TRUE;
}

gboolean
abc_body_read_inline_field(AbcBody *b, GError **error)
{
  const char name = b->cursor.at[1];
  const char *start = b->cursor.at + 3;
  const char *close = start + strcspn(start, "]\n");
  b->cursor.at = close + (*close == ']');
  return abc_body_read_field(b, name, (AbcText){ start, close }, error);
}
