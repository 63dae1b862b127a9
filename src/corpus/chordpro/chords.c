// Copyright 2026 the rowcall developers
// SPDX-License-Identifier: MIT

// The chords of a song: which texts are chords, and how they sound.

#include "corpus/chordpro/chordpro.h"

#include <string.h>

enum { LONGEST_CHORD = 64 };

void
cp_start_line(CpSong *song, const char *text, guint line)
{
  song->text = song->from = song->counted = text;
  song->column = 1;
  song->line = line;
}

static guint
column_of(const CpSong *song, const char *at)
{
  const gboolean earlier = at < song->counted;
  const char *from = earlier ? song->text : song->counted;
  return (earlier ? 1 : song->column) + (guint)g_utf8_strlen(from, at - from);
}

gboolean
cp_fail(const CpSong *song, const char *at, RcErrorCode code, const char *message, GError **error)
{
  return rc_fail(error, code, (RcPlace){ song->file, song->line, column_of(song, at) }, "%s", message);
}

void
cp_change_setting(CpSong *song)
{
  GArray *settings = song->tune->settings;
  if (!song->tune->events->len) {
    g_array_index(settings, RcSetting, 0) = song->setting;
    return;
  }
  g_array_append_val(settings, song->setting);
  song->setting_index = settings->len - 1;
}

// ---------------------------------------------------------------------------------------------------------- symbols

// Spelled as the key has it, else near another note.
static RcNote
moved_note(const CpSong *song, RcNote note, RcNote near)
{
  const guint pc = (rc_note_pc(note) + (guint)(song->shift + 1200)) % 12;
  return song->setting.key.mode == RC_MODE_NONE ? rc_note_near(near, pc) : rc_key_spell(song->setting.key, pc);
}

static CpText
without_brackets(CpText text)
{
  while (text.end - text.at > 2 && *text.at == '(' && text.end[-1] == ')') {
    ++text.at;
    --text.end;
  }
  return text;
}

guint
cp_symbol(CpSong *song, CpText text)
{
  RcChord chord;
  text = without_brackets(text);
  const gsize length = (gsize)(text.end - text.at);
  if ((!song->shift && song->names == RC_NAMES_ENGLISH) ||
      rc_chord_parse(text.at, length, song->names, &chord, NULL) != RC_SYMBOL_CHORD) {
    return rc_symbols_index(song->symbols, text.at, length);
  }
  const gboolean own_bass = chord.bass == chord.root;
  chord.root = song->shift ? moved_note(song, chord.root, 0) : chord.root;
  chord.bass = own_bass ? chord.root : song->shift ? moved_note(song, chord.bass, chord.root) : chord.bass;
  char *name = rc_chord_name(&chord, RC_SIGNS_ASCII);
  const guint index = rc_symbols_index(song->symbols, name, strlen(name));
  g_free(name);
  return index;
}

gboolean
cp_over_bass(CpSong *song, CpText text, guint *symbol)
{
  const gsize length = (gsize)(text.end - text.at);
  const GArray *events = song->tune->events;
  RcNote bass = 0;
  if (length < 2 || *text.at != '/' || !events->len ||
      rc_note_parse(text.at + 1, length - 1, song->names, &bass) != length - 1) {
    return FALSE;
  }
  const RcSymbol *before = rc_tune_symbol(song->tune, g_array_index(events, RcEvent, events->len - 1).symbol);
  if (before->kind != RC_SYMBOL_CHORD) {
    return FALSE;
  }
  RcChord chord = before->chord;
  chord.bass = song->shift ? moved_note(song, bass, chord.root) : bass;
  char *name = rc_chord_name(&chord, RC_SIGNS_ASCII);
  *symbol = rc_symbols_index(song->symbols, name, strlen(name));
  g_free(name);
  return TRUE;
}

// ----------------------------------------------------------------------------------------------- what a text can be

static gboolean
is_read(const char *at, gsize length, RcNames names)
{
  RcChord chord;
  return length <= LONGEST_CHORD && rc_chord_parse(at, length, names, &chord, NULL) != RC_SYMBOL_UNREAD;
}

gboolean
cp_is_chord(const CpSong *song, CpText text)
{
  text = without_brackets(text);
  return is_read(text.at, (gsize)(text.end - text.at), song->names);
}

// Returns the number of bytes of what divides chords in one bracket, as in `[D-Dsus]`: 0 where there is none.
static gsize
divider_at(const char *at)
{
  static const char *const dividers[] = { " ", "\t", ",", "-", "\u2013", "\u2014", "|", ">", "~" };
  for (guint i = 0; i < G_N_ELEMENTS(dividers); ++i) {
    if (!strncmp(at, dividers[i], strlen(dividers[i]))) {
      return strlen(dividers[i]);
    }
  }
  return 0;
}

gboolean
cp_next_piece(CpText *rest, CpText *piece)
{
  for (gsize n; rest->at < rest->end && (n = divider_at(rest->at)) > 0;) {
    rest->at += n;
  }
  piece->at = rest->at;
  while (rest->at < rest->end && !divider_at(rest->at)) {
    ++rest->at;
  }
  piece->end = rest->at;
  return piece->at < piece->end;
}

gboolean
cp_is_chords(const CpSong *song, CpText text)
{
  guint n = 0;
  for (CpText piece; cp_next_piece(&text, &piece); ++n) {
    if (!cp_is_chord(song, piece)) {
      return FALSE;
    }
  }
  return n > 1;
}

gboolean
cp_is_like_chord(CpText text)
{
  CpText piece;
  guint n = 0;
  text = without_brackets(text);
  if (rc_is_like_chord(text.at, (gsize)(text.end - text.at))) {
    return TRUE;
  }
  for (; cp_next_piece(&text, &piece); ++n) {
    if (!rc_is_like_chord(piece.at, (gsize)(piece.end - piece.at))) {
      return FALSE;
    }
  }
  return n > 0;
}

// ------------------------------------------------------------------------------------------------ events and bars

void
cp_add_event(CpSong *song, guint symbol, const char *at, RcTicks length, guint over)
{
  song->column = column_of(song, at);
  song->counted = at;
  const RcEvent event = { .symbol = symbol,
                          .setting = song->setting_index,
                          .line = song->line,
                          .column = song->column,
                          .length = length,
                          .over = over };
  g_array_append_val(song->tune->events, event);
  song->tune->unmeasured |= !length;
}

gboolean
cp_check_limits(const CpSong *song, const char *at, GError **error)
{
  const RcTune *tune = song->tune;
  if (tune->events->len > RC_MAX_EVENTS || tune->bars->len > RC_MAX_BARS || tune->symbols->len > RC_MAX_SYMBOLS) {
    return cp_fail(song, at, RC_ERROR_LIMIT, "the song has more chords or bars than a tune may have", error);
  }
  return TRUE;
}

gboolean
cp_add_bar(CpSong *song, guint first, const char *at, GError **error)
{
  const RcBar bar = { first, song->tune->events->len - first };
  const RcBarMarks marks = { .opens = song->opens, .endings = song->endings };
  if (bar.count) {
    g_array_append_val(song->tune->bars, bar);
    g_array_append_val(song->marks, marks);
    song->opens = FALSE;
    song->endings = 0;
  }
  return cp_check_limits(song, at, error);
}
