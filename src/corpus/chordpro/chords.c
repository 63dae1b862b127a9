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

guint
cp_column(const CpSong *song, const char *at)
{
  const gboolean earlier = at < song->counted;
  const char *from = earlier ? song->text : song->counted;
  return (earlier ? 1 : song->column) + (guint)g_utf8_strlen(from, at - from);
}

gboolean
cp_fail(const CpSong *song, const char *at, RcErrorCode code, const char *message, GError **error)
{
  return rc_fail(error, code, (RcPlace){ song->file, song->line, cp_column(song, at) }, "%s", message);
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
  static const char *const dividers[] = { " ", "\t", ",",      ";", "-",  "\u2013", "\u2014",
                                          "|", ">",  "\u2192", "~", "..", "\u2026" };
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

gboolean
cp_is_weak(CpText word)
{
  static const char *const weak[] = { "Ama", "Aped", "Bo", "Co", "Do", "Ebb", "Go" };
  for (guint i = 0; i < G_N_ELEMENTS(weak); ++i) {
    if (!strncmp(word.at, weak[i], strlen(weak[i])) && word.at + strlen(weak[i]) == word.end) {
      return TRUE;
    }
  }
  return FALSE;
}

// The letter of the note that a syllable at a place names, and its bytes; 0 where there is none.
static char
letter_of_syllable(CpText text, gsize *bytes)
{
  static const char *const syllables[] = { "Do", "Re", "Mi", "Fa", "Sol", "La", "Si" };
  for (guint i = 0; i < G_N_ELEMENTS(syllables); ++i) {
    *bytes = strlen(syllables[i]);
    if ((gsize)(text.end - text.at) >= *bytes && !memcmp(text.at, syllables[i], *bytes)) {
      return "CDEFGAB"[i];
    }
  }
  return '\0';
}

// The bytes of a chord's kind and bass; 0 for "/Si", a bass that is named by a syllable too.
static gsize
length_of_rest(const char *rest, gsize left)
{
  gsize bytes = 0;
  const char *slash = memchr(rest, '/', left);
  return slash && letter_of_syllable((CpText){ slash + 1, rest + left }, &bytes) ? (gsize)(slash - rest) : left;
}

// What follows the name of the note goes on as a chord does; "Solo" and "Lama" are words.
gboolean
cp_is_syllable(CpText text)
{
  gsize bytes = 0;
  RcChord chord;
  text = without_brackets(text);
  const gsize length = (gsize)(text.end - text.at);
  const char letter = letter_of_syllable(text, &bytes);
  const char *rest = text.at + bytes;
  if (!letter || length > LONGEST_CHORD) {
    return FALSE;
  }
  const gsize left = length_of_rest(rest, length - bytes);
  if ((left == 1 && *rest == 'o') || (left == 2 && !memcmp(rest, "ma", left))) {
    return FALSE;
  }
  char *name = g_strdup_printf("%c%.*s", letter, (int)left, rest);
  const RcSymbolKind kind = rc_chord_parse(name, left + 1, RC_NAMES_ENGLISH, &chord, NULL);
  g_free(name);
  return kind == RC_SYMBOL_CHORD;
}

// ------------------------------------------------------------------------------------------------ events and bars

void
cp_add_event(CpSong *song, guint symbol, const char *at, RcTicks length, guint over)
{
  song->column = cp_column(song, at);
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

gboolean
cp_is_news(CpSong *song, RcRemarkKind kind)
{
  const gboolean news = !(song->remarked & 1U << kind);
  song->remarked |= 1U << kind;
  return news;
}

char *
cp_shown(CpText text)
{
  enum { SHOWN = 40 };
  char *whole = g_strndup(text.at, (gsize)(text.end - text.at));
  char *shown = g_utf8_substring(whole, 0, MIN(g_utf8_strlen(whole, -1), SHOWN));
  g_free(whole);
  return shown;
}

// Notes that are named do re mi, which nobody can tell from D diminished, count as unread.
static void
add_syllable(CpSong *song, CpText text, guint over)
{
  const gsize length = (gsize)(text.end - text.at);
  cp_add_event(song, rc_symbols_unread(song->symbols, text.at, length), text.at, 0, over);
  if (cp_is_news(song, RC_REMARK_SYLLABLES)) {
    char *shown = cp_shown(text);
    rc_tune_remark(song->tune, RC_REMARK_SYLLABLES, song->line, song->column,
                   "`%s` names a note as in do re mi, which is not read; write C for Do, D for Re and so on", shown);
    g_free(shown);
  }
}

gboolean
cp_add_chords(CpSong *song, CpText text, guint over)
{
  guint symbol = 0;
  if (cp_over_bass(song, text, &symbol)) {
    cp_add_event(song, symbol, text.at, 0, over);
    return TRUE;
  }
  if (cp_is_syllable(text)) {
    add_syllable(song, text, over);
    return TRUE;
  }
  if (cp_is_chord(song, text) || !cp_is_chords(song, text)) {
    const gboolean meant = cp_is_chord(song, text) || cp_is_like_chord(text);
    if (meant) {
      cp_add_event(song, cp_symbol(song, text), text.at, 0, over);
    }
    return meant;
  }
  for (CpText piece; cp_next_piece(&text, &piece);) {
    cp_add_event(song, cp_symbol(song, piece), piece.at, 0, over);
  }
  return TRUE;
}

// A copy whose first letter is a capital.
static char *
large(CpText text)
{
  char *capital = g_strndup(text.at, (gsize)(text.end - text.at));
  *capital = g_ascii_toupper(*capital);
  return capital;
}

gboolean
cp_is_small_chord(const CpSong *song, CpText text)
{
  const gsize length = (gsize)(text.end - text.at);
  if (!length || *text.at < 'a' || *text.at > 'h') {
    return FALSE;
  }
  char *capital = large(text);
  const CpText written = { capital, capital + length };
  const gboolean is_chord = length == 1 || (cp_is_chord(song, written) && !cp_is_weak(written));
  g_free(capital);
  return is_chord;
}

gboolean
cp_add_small_chord(CpSong *song, CpText text, guint over)
{
  if (!cp_is_small_chord(song, text)) {
    return FALSE;
  }
  char *capital = large(text);
  const gsize length = (gsize)(text.end - text.at);
  cp_add_event(song, cp_symbol(song, length > 1 ? (CpText){ capital, capital + length } : text), text.at, 0, over);
  g_free(capital);
  return TRUE;
}
