// Copyright 2026 the rowcall developers
// SPDX-License-Identifier: MIT

// Lines of words: with chords in brackets, or under a line of chords.

#include "corpus/chordpro/chordpro.h"

#include <string.h>

static void
keep_line(CpSong *song, const char *words, gboolean sung)
{
  const char *text = rc_tune_text(song->tune, words, strlen(words));
  const RcLine line = { text, song->label, song->tune->bars->len, sung };
  g_array_append_val(song->tune->lines, line);
  song->label = NULL;
}

void
cp_keep_line(CpSong *song, const char *words)
{
  if (song->keeps_words) {
    keep_line(song, words, FALSE);
  }
}

// Makes a bar of the events from `first` on, sung to these words.
static gboolean
add_line(CpSong *song, guint first, const char *words, GError **error)
{
  song->opens = FALSE;
  song->endings = 0;
  if (song->keeps_words) {
    keep_line(song, words, song->tune->events->len > first);
  }
  return cp_add_bar(song, first, song->text, error);
}

// Adds a chord, or several; FALSE where the text is none.
static gboolean
add_chords(CpSong *song, CpText text, guint over)
{
  guint symbol = 0;
  if (cp_over_bass(song, text, &symbol)) {
    cp_add_event(song, symbol, text.at, 0, over);
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

// --------------------------------------------------------------------------------------------------------- brackets

// Words of English that are spelled as chords; the letter A is one too, but seldom alone.
static gboolean
is_weak(CpText word)
{
  static const char *const weak[] = { "Ama", "Aped", "Bo", "Co", "Do", "Ebb", "Go" };
  for (guint i = 0; i < G_N_ELEMENTS(weak); ++i) {
    if (!strncmp(word.at, weak[i], strlen(weak[i])) && word.at + strlen(weak[i]) == word.end) {
      return TRUE;
    }
  }
  return FALSE;
}

// "[em]" is E minor. What a small letter alone means, D or D minor, nobody can know: it is unread.
static gboolean
add_small_chord(CpSong *song, CpText text, guint over)
{
  const gsize length = (gsize)(text.end - text.at);
  char *capital = g_strndup(text.at, length);
  *capital = g_ascii_toupper(*capital);
  const CpText large = { capital, capital + length };
  const gboolean small = *text.at >= 'a' && *text.at <= 'h';
  const gboolean chord = small && length > 1 && cp_is_chord(song, large) && !is_weak(large);
  if (chord || (small && length == 1)) {
    cp_add_event(song, cp_symbol(song, chord ? large : text), text.at, 0, over);
  }
  g_free(capital);
  return chord || (small && length == 1);
}

// "Sol7": the names of notes that are not read.
static gboolean
is_syllable(CpText text)
{
  static const char *const syllables[] = { "Do", "Re", "Mi", "Fa", "Sol", "La", "Si" };
  for (guint i = 0; i < G_N_ELEMENTS(syllables); ++i) {
    const gsize n = strlen(syllables[i]);
    if ((gsize)(text.end - text.at) >= n && !memcmp(text.at, syllables[i], n)) {
      return text.at + n == text.end || text.at[n] == 'm' || !g_ascii_islower(text.at[n]);
    }
  }
  return FALSE;
}

static void
remark_words(CpSong *song, CpText text)
{
  enum { SHOWN = 40 };
  if (song->remarked || ((*text.at < 'A' || *text.at > 'H') && !is_syllable(text))) {
    return;
  }
  char *words = g_strndup(text.at, (gsize)(text.end - text.at));
  char *shown = g_utf8_substring(words, 0, MIN(g_utf8_strlen(words, -1), SHOWN));
  song->remarked = TRUE;
  rc_tune_remark(song->tune, RC_REMARK_WORDS, song->line, 0,
                 "`[%s]` is no chord, but words in brackets; it is passed over", shown);
  g_free(shown);
  g_free(words);
}

// What is between brackets: chords; `[*loud]`, a remark for players; nothing; or words. Returns whether it is words.
static gboolean
read_bracket(CpSong *song, CpText text, guint over)
{
  while (text.at < text.end && cp_is_blank(*text.at)) {
    ++text.at;
  }
  while (text.end > text.at && cp_is_blank(text.end[-1])) {
    --text.end;
  }
  if (text.at == text.end || *text.at == '*' || add_chords(song, text, over) || add_small_chord(song, text, over)) {
    song->bracketed = TRUE;
    return FALSE;
  }
  remark_words(song, text);
  return TRUE;
}

gboolean
cp_read_words(CpSong *song, GError **error)
{
  const guint first = song->tune->events->len;
  GString *words = g_string_new(NULL);
  const char *at = song->from;
  guint over = 0;
  gboolean good = TRUE;
  for (const char *open; good && (open = strchr(at, '[')); good = cp_check_limits(song, song->text, error)) {
    const char *close = strchr(open, ']');
    if (!close) {
      g_string_free(words, TRUE);
      return cp_fail(song, open, RC_ERROR_SYNTAX, "a chord begins here and has no closing bracket on its line", error);
    }
    g_string_append_len(words, at, open - at);
    over += (guint)g_utf8_strlen(at, open - at);
    if (read_bracket(song, (CpText){ open + 1, close }, over)) {
      g_string_append_len(words, open, close + 1 - open);
      over += (guint)g_utf8_strlen(open, close + 1 - open);
    }
    at = close + 1;
  }
  g_string_append(words, at);
  good = good && add_line(song, first, words->str, error);
  g_string_free(words, TRUE);
  return good;
}

// --------------------------------------------------------------------------------------------------- lines of chords

typedef enum { CHORD, WEAK_CHORD, SIGN, WORD, DIAGRAM } Token;

static gboolean
divides(char c)
{
  return cp_is_blank(c) || c == '|';
}

// The next word of a line; FALSE at its end.
static gboolean
next_word(const char **at, CpText *word)
{
  while (divides(**at)) {
    ++*at;
  }
  word->at = *at;
  while (**at && !divides(**at)) {
    ++*at;
  }
  word->end = *at;
  return word->at < word->end;
}

// Without commas after it, and brackets that go round several: "(G" and "D)".
static CpText
trim_word(CpText word)
{
  const gsize length = (gsize)(word.end - word.at);
  if (length > 1 && *word.at == '(' && !memchr(word.at, ')', length)) {
    ++word.at;
  }
  while (word.end - word.at > 1 && strchr(",;", word.end[-1])) {
    --word.end;
  }
  if (word.end - word.at > 1 && word.end[-1] == ')' && !memchr(word.at, '(', (gsize)(word.end - word.at))) {
    --word.end;
  }
  return word;
}

static gboolean
consists_of(CpText word, const char *characters)
{
  while (word.at < word.end && strchr(characters, *word.at)) {
    ++word.at;
  }
  return word.at == word.end;
}

// "/F#": a bass alone.
static gboolean
is_bass(const CpSong *song, CpText word)
{
  RcNote note = 0;
  const gsize length = (gsize)(word.end - word.at);
  return length > 1 && *word.at == '/' && rc_note_parse(word.at + 1, length - 1, song->names, &note) == length - 1;
}

static Token
token_of(const CpSong *song, CpText word)
{
  enum { STRINGS = 4 };
  if (word.end - word.at >= STRINGS && consists_of(word, "0123456789xX")) {
    return DIAGRAM; // of a guitar: frets of its strings
  }
  if (consists_of(word, "0123456789xX/-.:%*()<>=~_+,;")) {
    return SIGN;
  }
  const CpText trimmed = trim_word(word);
  if (is_bass(song, trimmed)) {
    return WEAK_CHORD;
  }
  if (cp_is_chord(song, trimmed) || cp_is_chords(song, trimmed)) {
    return is_weak(trimmed) ? WEAK_CHORD : CHORD;
  }
  return WORD;
}

gboolean
cp_is_line_of_chords(const CpSong *song, const char *line)
{
  guint n[DIAGRAM + 1] = { 0 };
  const gboolean tablature = strchr(line, '|') && strstr(line, "--");
  for (CpText word; !tablature && next_word(&line, &word);) {
    ++n[token_of(song, word)];
  }
  const guint chords = n[CHORD] + n[WEAK_CHORD];
  const guint least = song->bracketed ? 2 : 1; // chords are written otherwise there
  return n[CHORD] && chords >= least && chords > n[WORD] && !n[DIAGRAM];
}

// ---------------------------------------------------------------------------------------------------------- columns

// The column, from 0, that is shown at `to`, that at `from` being known; tabs go to each eighth.
static guint
shown_column(guint column, const char *from, const char *to)
{
  enum { TAB = 8 };
  for (; from < to; from = g_utf8_next_char(from)) {
    column += *from == '\t' ? TAB - column % TAB : 1;
  }
  return column;
}

// The words with blanks for their tabs.
static char *
without_tabs(const char *words)
{
  GString *shown = g_string_new(NULL);
  guint column = 0;
  for (const char *at = words, *next; *at; at = next) {
    next = g_utf8_next_char(at);
    const guint end = shown_column(column, at, next);
    if (*at == '\t') {
      g_string_append_printf(shown, "%*s", (int)(end - column), "");
    } else {
      g_string_append_len(shown, at, next - at);
    }
    column = end;
  }
  return g_string_free(shown, FALSE);
}

gboolean
cp_read_chords(CpSong *song, const char *words, GError **error)
{
  const guint first = song->tune->events->len;
  const char *at = song->from;
  const char *counted = song->text;
  guint column = 0;
  gboolean good = TRUE;
  for (CpText word; good && next_word(&at, &word); good = cp_check_limits(song, song->text, error)) {
    column = shown_column(column, counted, word.at);
    counted = word.at;
    if (token_of(song, word) != SIGN) {
      add_chords(song, trim_word(word), column);
    }
  }
  char *shown = song->keeps_words ? without_tabs(words) : g_strdup("");
  good = good && add_line(song, first, shown, error);
  g_free(shown);
  return good;
}
