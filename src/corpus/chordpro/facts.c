// Copyright 2026 the rowcall developers
// SPDX-License-Identifier: MIT

#include "corpus/chordpro/heading.h"

#include <string.h>

// What people call a directive who type without braces.
typedef struct {
  const char *name;
  const char *directive;
  gboolean bare; // a value may follow it without a colon, "Capo 2"
} Fact;

static const Fact facts[] = {
  { "title", "title", FALSE }, { "key of", "key", TRUE },  { "key", "key", TRUE },
  { "time", "time", FALSE },   { "meter", "time", FALSE }, { "tempo", "tempo", TRUE },
  { "q", "tempo", FALSE },     { "bpm", "tempo", FALSE },  { "capo", "capo", TRUE },
};

// The fact that a line states, and its value; NULL where it states none.
static const Fact *
fact_of(const char *text, const char **value, gboolean *divided)
{
  for (guint i = 0; i < G_N_ELEMENTS(facts); ++i) {
    const gsize n = strlen(facts[i].name);
    if (!g_ascii_strncasecmp(text, facts[i].name, n) && !g_ascii_isalnum(text[n])) {
      const char *rest = text + n + strspn(text + n, " ");
      *divided = *rest == ':' || *rest == '=';
      *value = rest + strspn(rest, ":= ");
      return **value && (*divided || facts[i].bare) ? &facts[i] : NULL;
    }
  }
  return NULL;
}

// "3/4", which is a meter in any place.
static gboolean
is_bare_meter(const char *text)
{
  RcMeter meter;
  return strchr(text, '/') && rc_meter_parse(text, &meter);
}

// "q=72" and "72 bpm", which are tempos in any place.
static gboolean
is_bare_tempo(const char *text)
{
  const char *unit = text + strspn(text, "0123456789 ");
  return strchr(text, '=') || (unit > text && !g_ascii_strcasecmp(unit, "bpm"));
}

static void
remark_fact(CpSong *song, const GError *error)
{
  if (error) {
    rc_tune_remark(song->tune, RC_REMARK_VALUES, song->line, 0, "%s; it is read as words", error->message);
  }
}

// The pieces of a line that two blanks or a sign separate; one byte is between two of them, which may be empty.
static char **
split_pieces(const char *text)
{
  char *lines = g_strdup(text);
  for (char *at = lines; *at; ++at) {
    const gboolean blank = *at == ' ' && (at[1] == ' ' || (at > lines && at[-1] == '\n'));
    const gboolean dash = *at == '-' && at > lines && at[-1] == ' ' && at[1] == ' ';
    *at = blank || dash || strchr("|;,\t", *at) ? '\n' : *at;
  }
  char **pieces = g_strsplit(lines, "\n", 0);
  g_free(lines);
  return pieces;
}

// "(Capo 2)" without its brackets.
static char *
strip_piece(char *piece)
{
  g_strstrip(piece);
  const gsize length = strlen(piece);
  if (length > 1 && ((*piece == '(' && piece[length - 1] == ')') || (*piece == '[' && piece[length - 1] == ']'))) {
    *piece = piece[length - 1] = ' ';
    g_strstrip(piece);
  }
  return piece;
}

static gboolean
states_fact(const char *text)
{
  const char *value = NULL;
  gboolean divided = FALSE;
  return fact_of(text, &value, &divided) || is_bare_tempo(text) || is_bare_meter(text);
}

// Reads one fact; FALSE where the text is none. One with a colon that makes no sense is remarked on.
static gboolean
read_fact(CpHeading *heading, CpSong *song, const char *text)
{
  const char *value = NULL;
  gboolean divided = FALSE;
  GError *error = NULL;
  if ((is_bare_tempo(text) && cp_read_heading(heading, song, "tempo", text, NULL)) ||
      (is_bare_meter(text) && cp_read_heading(heading, song, "time", text, NULL))) {
    return TRUE;
  }
  const Fact *fact = fact_of(text, &value, &divided);
  const gboolean good = fact && cp_read_heading(heading, song, fact->directive, value, divided ? &error : NULL);
  remark_fact(song, error);
  g_clear_error(&error);
  return good;
}

gboolean
cp_read_facts(CpHeading *heading, CpSong *song, const char *text)
{
  if (song->tune->bars->len) {
    return FALSE;
  }
  char **pieces = split_pieces(text);
  gboolean all = TRUE;
  for (guint i = 0; pieces[i]; ++i) {
    all = all && (!*strip_piece(pieces[i]) || states_fact(pieces[i]));
  }
  gboolean good = all || read_fact(heading, song, text);
  for (guint i = 0; all && pieces[i]; ++i) {
    good = (!*pieces[i] || read_fact(heading, song, pieces[i])) && good;
  }
  g_strfreev(pieces);
  return good;
}

// The first of the pieces that state facts up to the end of a line, which begins with other words. Sets `words` to how
// many bytes of it these are; 0 where there are none.
static guint
find_last_facts(char *const *pieces, gsize *words)
{
  guint first = 0;
  gsize at = 0;
  *words = 0;
  for (guint i = 0; pieces[i]; ++i) {
    const gsize length = strlen(pieces[i]);
    if (*strip_piece(pieces[i]) && !states_fact(pieces[i])) {
      first = i + 1;
      *words = at + length;
    }
    at += length + 1;
  }
  return first;
}

gsize
cp_read_last_facts(CpHeading *heading, CpSong *song, const char *text)
{
  gsize words = 0;
  char **pieces = split_pieces(text);
  for (guint i = find_last_facts(pieces, &words); words && pieces[i]; ++i) {
    if (*pieces[i]) {
      read_fact(heading, song, pieces[i]);
    }
  }
  g_strfreev(pieces);
  return words ? words : strlen(text);
}
