// Copyright 2026 the rowcall developers
// SPDX-License-Identifier: MIT

// Lines of words, under a line of chords or without.

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

gboolean
cp_add_line(CpSong *song, guint first, const char *words, GError **error)
{
  song->opens = FALSE;
  song->endings = 0;
  if (song->keeps_words) {
    keep_line(song, words, song->tune->events->len > first);
  }
  return cp_add_bar(song, first, song->text, error);
}

// --------------------------------------------------------------------------------------------------- lines of chords

typedef enum { CHORD, WEAK_CHORD, ROUND_CHORD, SMALL_CHORD, SYLLABLE, SIGN, WORD, DIAGRAM } Token;

// Blanks and bar lines divide words, and so does the colon of a repeat sign. `before` is the byte before.
static gboolean
divides(char before, const char *at)
{
  return cp_is_blank(*at) || *at == '|' || (*at == ':' && (before == '|' || at[1] == '|'));
}

// The next word of a line; FALSE at its end.
static gboolean
next_word(const char **at, CpText *word)
{
  char before = '\0';
  while (divides(before, *at)) {
    before = *(*at)++;
  }
  word->at = *at;
  while (**at && !divides('\0', *at)) {
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

// "Es" and "H7", which --names german reads.
static gboolean
is_german_chord(CpText word)
{
  RcChord chord;
  return rc_chord_parse(word.at, (gsize)(word.end - word.at), RC_NAMES_GERMAN, &chord, NULL) == RC_SYMBOL_CHORD;
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
  if (g_ascii_islower(*trimmed.at)) {
    return cp_is_small_chord(song, trimmed) ? SMALL_CHORD : WORD;
  }
  if (is_bass(song, trimmed)) {
    return WEAK_CHORD;
  }
  if (cp_is_syllable(trimmed)) {
    return SYLLABLE;
  }
  if (cp_is_chord(song, trimmed) || cp_is_chords(song, trimmed)) {
    return cp_is_weak(trimmed) ? WEAK_CHORD : *trimmed.at == '(' ? ROUND_CHORD : CHORD;
  }
  return is_german_chord(trimmed) ? WEAK_CHORD : WORD;
}

// Of names of notes, whether one is another than the first: "La la La" is sung, "Do Sol" is played.
static gboolean
is_other_syllable(CpText *first, CpText word)
{
  word = trim_word(word);
  const gsize length = (gsize)(word.end - word.at);
  if (!first->at) {
    *first = word;
  }
  return (gsize)(first->end - first->at) != length || memcmp(first->at, word.at, length) != 0;
}

// Chords that are written small may be words, "am" and "a": a line of them has nothing else but other chords, or they
// are several and far apart.
static gboolean
is_small_line(const char *line, const guint *n)
{
  const char *first = line + strspn(line, " \t");
  const gboolean apart = strstr(first, "  ") || strchr(first, '\t');
  return n[SMALL_CHORD] && !n[WORD] && !n[SYLLABLE] && !n[DIAGRAM] && (n[CHORD] || (n[SMALL_CHORD] > 1 && apart));
}

gboolean
cp_is_line_of_chords(const CpSong *song, const char *line)
{
  guint n[DIAGRAM + 1] = { 0 };
  CpText syllable = { NULL, NULL };
  gboolean scale = FALSE;
  const gboolean tablature = strchr(line, '|') && strstr(line, "--");
  const char *at = line;
  for (CpText word; !tablature && next_word(&at, &word);) {
    const Token token = token_of(song, word);
    ++n[token];
    scale = (token == SYLLABLE && is_other_syllable(&syllable, word)) || scale;
  }
  if (is_small_line(line, n)) {
    return TRUE;
  }
  const guint words = n[WORD] + n[SMALL_CHORD] + (scale ? 0 : n[SYLLABLE]);
  const guint square = n[CHORD] + n[WEAK_CHORD] + (scale ? n[SYLLABLE] : 0);
  const guint chords = square + n[ROUND_CHORD];
  const guint least = song->bracketed ? 2 : 1; // chords are written otherwise there
  if (words && !square) {                      // "(G) down (C) (D)"
    return FALSE;
  }
  return (n[CHORD] || n[ROUND_CHORD] || scale) && chords >= least && chords > words && !n[DIAGRAM];
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

// The chords between two bar lines, as indexes of events.
typedef struct {
  guint first;
  guint end;
} Between;

// "%": the bar before once more.
static void
repeat_bar(CpSong *song, Between bar, const char *at, guint column)
{
  for (guint i = bar.first; i < bar.end; ++i) {
    cp_add_event(song, g_array_index(song->tune->events, RcEvent, i).symbol, at, 0, column);
  }
}

// The words of a line that may be chords: where the first begins and the last ends.
typedef struct {
  const char *first;
  const char *end;
} Chords;

// Whether a sign is in a line of chords before place `to`, or from `from` on; else it is among the chords.
static gboolean
has_sign(const char *line, const char *sign, const char *from, const char *to, gboolean *among)
{
  gboolean found = FALSE;
  for (const char *at = line; (at = strstr(at, sign)); ++at) {
    const gboolean outside = (from && at >= from) || (to && at < to);
    found |= outside;
    *among |= !outside;
  }
  return found;
}

// A repeat begins before a line and ends after one, since a line of chords is a bar here; what would begin or end
// within one is passed over whole.
static void
mark_repeats(CpSong *song, Chords chords)
{
  RcBarMarks *marks = &g_array_index(song->marks, RcBarMarks, song->marks->len - 1);
  gboolean among = FALSE;
  const gboolean opens = has_sign(song->from, "|:", NULL, chords.first, &among);
  const gboolean closes = has_sign(song->from, ":|", chords.end, NULL, &among);
  marks->opens = opens && !among;
  marks->closes = closes && !among ? 2 : 0;
  if (among && cp_is_news(song, RC_REMARK_REPEATS)) {
    rc_tune_remark(song->tune, RC_REMARK_REPEATS, song->line, 0,
                   "a repeat sign among chords is passed over; a repeat goes from |: at the beginning of a line to :| "
                   "at the end of one");
  }
}

gboolean
cp_read_chords(CpSong *song, const char *words, GError **error)
{
  const guint first = song->tune->events->len;
  const char *at = song->from;
  const char *counted = song->text;
  guint column = 0;
  gboolean good = TRUE;
  Between bar = { first, first };
  Chords chords = { NULL, at };
  for (CpText word; good && next_word(&at, &word); good = cp_check_limits(song, song->text, error)) {
    column = shown_column(column, counted, word.at);
    counted = word.at;
    if (memchr(chords.end, '|', (gsize)(word.at - chords.end))) {
      const guint so_far = song->tune->events->len;
      bar = (Between){ bar.end == so_far ? bar.first : bar.end, so_far };
    }
    if (word.end - word.at == 1 && *word.at == '%') {
      repeat_bar(song, bar, word.at, column);
    } else if (token_of(song, word) != SIGN) {
      const CpText trimmed = trim_word(word);
      if (!cp_add_chords(song, trimmed, column)) { // other words are for people
        cp_add_small_chord(song, trimmed, column);
      }
    } else {
      continue;
    }
    chords = (Chords){ chords.first ? chords.first : word.at, word.end };
  }
  char *shown = song->keeps_words ? without_tabs(words) : g_strdup("");
  const guint bars = song->tune->bars->len;
  good = good && cp_add_line(song, first, shown, error);
  if (song->tune->bars->len > bars) {
    mark_repeats(song, chords);
  }
  g_free(shown);
  return good;
}
