// Copyright 2026 the rowcall developers
// SPDX-License-Identifier: MIT

// Lines of words with chords in brackets, `[D]Down by the [G]weir`; some write `(D)Down by the (G)weir`.

#include "corpus/chordpro/chordpro.h"

#include <string.h>

// What is between brackets, and what is after them.
typedef struct {
  CpText inner;
  const char *open;
  const char *after;
} Bracket;

static CpText
without_blanks(CpText text)
{
  while (text.at < text.end && cp_is_blank(*text.at)) {
    ++text.at;
  }
  while (text.end > text.at && cp_is_blank(text.end[-1])) {
    --text.end;
  }
  return text;
}

// ----------------------------------------------------------------------------------------------------- round brackets

// Finds the next bracket that closes before another of the signs; TRUE where there is one.
static gboolean
find_closed(const char *at, const char *signs, char opens, char closes, Bracket *bracket)
{
  const char *open = NULL;
  for (; *at; ++at) {
    if (open && *at == closes) {
      *bracket = (Bracket){ without_blanks((CpText){ open + 1, at }), open, at + 1 };
      return TRUE;
    }
    if (strchr(signs, *at)) {
      open = *at == opens ? at : NULL;
    }
  }
  return FALSE;
}

static gboolean
holds_chords(const CpSong *song, CpText text)
{
  return text.at < text.end && *text.at >= 'A' && *text.at <= 'H' && !cp_is_weak(text) &&
         (cp_is_chord(song, text) || cp_is_chords(song, text));
}

// Finds the next round bracket that holds nothing but chords, and is not within a square one.
static gboolean
find_round(const CpSong *song, const char *at, Bracket *bracket)
{
  Bracket square = { .open = NULL };
  gboolean squares = find_closed(at, "[]", '[', ']', &square);
  while (find_closed(at, "()[", '(', ')', bracket)) {
    while (squares && square.after <= bracket->open) {
      squares = find_closed(square.after, "[]", '[', ']', &square);
    }
    if (!(squares && square.open < bracket->open) && holds_chords(song, bracket->inner)) {
      return TRUE;
    }
    at = bracket->after;
  }
  return FALSE;
}

// "(G)Down"; but "(A)bide" is a word.
static gboolean
touches_word(const Bracket *bracket)
{
  const gboolean article = bracket->inner.end - bracket->inner.at == 1 && *bracket->inner.at == 'A';
  return !article && g_unichar_isalpha(g_utf8_get_char(bracket->after));
}

// One alone may be words, as in "(C) 2019" and "Weir (G)", unless a word touches it.
static gboolean
has_round(const CpSong *song, const char *line)
{
  Bracket bracket;
  guint n = 0;
  for (; find_round(song, line, &bracket); line = bracket.after) {
    if (++n > 1 || touches_word(&bracket)) {
      return TRUE;
    }
  }
  return n && song->round;
}

static void
remark_round(CpSong *song, const Bracket *bracket, const char *read)
{
  if (cp_is_news(song, RC_REMARK_ROUND)) {
    char *shown = cp_shown((CpText){ bracket->open, bracket->after });
    rc_tune_remark(song->tune, RC_REMARK_ROUND, song->line, cp_column(song, bracket->open), "`%s` %s", shown, read);
    g_free(shown);
  }
}

static void
read_round(CpSong *song, const Bracket *bracket, guint over)
{
  remark_round(song, bracket, "in round brackets is read as a chord, as in square ones");
  cp_add_chords(song, bracket->inner, over);
  song->round = song->bracketed = TRUE;
}

gboolean
cp_has_brackets(const CpSong *song, const char *line)
{
  return strchr(line, '[') || has_round(song, line);
}

guint
cp_count_touching(const CpSong *song, const char *line)
{
  Bracket bracket;
  guint n = 0;
  for (const char *at = line; find_round(song, at, &bracket); at = bracket.after) {
    n += touches_word(&bracket) ? 1 : 0;
  }
  for (const char *at = line; find_closed(at, "[]", '[', ']', &bracket); at = bracket.after) {
    n += cp_is_chord(song, bracket.inner) && g_unichar_isalpha(g_utf8_get_char(bracket.after)) ? 1 : 0;
  }
  return n;
}

void
cp_remark_lone_bracket(CpSong *song, const char *line)
{
  Bracket bracket;
  if (find_round(song, line, &bracket)) {
    remark_round(song, &bracket, "alone in round brackets is read as words; a chord is written in square ones");
  }
}

// ---------------------------------------------------------------------------------------------------- square brackets

// Words in brackets are noted where they may have been meant as a chord.
static void
take_words(CpSong *song, CpText text)
{
  if (!song->words) {
    song->words = rc_tune_text(song->tune, text.at, (gsize)(text.end - text.at));
    song->words_at = (RcPlace){ song->file, song->line, cp_column(song, text.at) };
  }
  if (*text.at >= 'A' && *text.at <= 'H' && cp_is_news(song, RC_REMARK_WORDS)) {
    char *shown = cp_shown(text);
    rc_tune_remark(song->tune, RC_REMARK_WORDS, song->line, 0,
                   "`[%s]` is no chord, but words in brackets; it is passed over", shown);
    g_free(shown);
  }
}

// What is between brackets: chords; `[*loud]`, a remark for players; nothing; or words. Returns whether it is words.
static gboolean
read_square(CpSong *song, CpText text, guint over)
{
  if (text.at == text.end || *text.at == '*' || cp_add_chords(song, text, over) ||
      cp_add_small_chord(song, text, over)) {
    song->bracketed = TRUE;
    return FALSE;
  }
  take_words(song, text);
  return TRUE;
}

// A bracket that closes neither on its line nor before the next one opens.
static void
remark_unclosed(CpSong *song, const char *open, const char *end)
{
  if (cp_is_news(song, RC_REMARK_UNCLOSED)) {
    char *shown = cp_shown(without_blanks((CpText){ open, end }));
    rc_tune_remark(song->tune, RC_REMARK_UNCLOSED, song->line, cp_column(song, open),
                   "`%s` has no closing bracket on its line: it is read as words", shown);
    g_free(shown);
  }
}

// Finds the next square bracket; one that does not close is told and passed over.
static gboolean
find_square(CpSong *song, const char *at, Bracket *bracket)
{
  for (const char *open = at; (open = strchr(open, '[')); ++open) {
    const char *close = open + 1 + strcspn(open + 1, "[]");
    if (*close == ']') {
      *bracket = (Bracket){ without_blanks((CpText){ open + 1, close }), open, close + 1 };
      return TRUE;
    }
    remark_unclosed(song, open, close);
  }
  return FALSE;
}

// -------------------------------------------------------------------------------------------------------------- lines

// A line of words as it is read: the words without the chords, and how many letters they are.
typedef struct {
  GString *words;
  guint letters;
} Words;

static void
append_words(Words *words, const char *from, const char *to)
{
  g_string_append_len(words->words, from, to - from);
  words->letters += (guint)g_utf8_strlen(from, to - from);
}

// Reads the chords of either kind, whichever comes next.
static gboolean
read_brackets(CpSong *song, Words *words, GError **error)
{
  const char *at = song->from;
  const gboolean takes_round = has_round(song, at);
  Bracket square = { .open = NULL };
  Bracket round = { .open = NULL };
  gboolean squares = find_square(song, at, &square);
  gboolean rounds = takes_round && find_round(song, at, &round);
  while (squares || rounds) {
    const gboolean is_square = squares && (!rounds || square.open < round.open);
    const Bracket bracket = is_square ? square : round;
    append_words(words, at, bracket.open);
    if (!is_square) {
      read_round(song, &bracket, words->letters);
    } else if (read_square(song, bracket.inner, words->letters)) {
      append_words(words, bracket.open, bracket.after);
    }
    at = bracket.after;
    squares = is_square ? find_square(song, at, &square) : squares;
    rounds = is_square ? rounds : find_round(song, at, &round);
    if (!cp_check_limits(song, song->text, error)) {
      return FALSE;
    }
  }
  append_words(words, at, at + strlen(at));
  return TRUE;
}

gboolean
cp_read_words(CpSong *song, GError **error)
{
  const guint first = song->tune->events->len;
  Words words = { g_string_new(NULL), 0 };
  const gboolean good = read_brackets(song, &words, error) && cp_add_line(song, first, words.words->str, error);
  g_string_free(words.words, TRUE);
  return good;
}
