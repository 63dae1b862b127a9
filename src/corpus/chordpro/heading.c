// Copyright 2026 the rowcall developers
// SPDX-License-Identifier: MIT

#include "corpus/chordpro/heading.h"

#include <string.h>

enum { MOST_CAPO = 24, MOST_TRANSPOSE = 48 };

void
cp_heading_start(CpHeading *heading)
{
  g_free(heading->title);
  GArray *moves = heading->moves ? heading->moves : g_array_new(FALSE, FALSE, sizeof(int));
  g_array_set_size(moves, 0);
  *heading = (CpHeading){ .key = { RC_MODE_NONE, 0 }, .moves = moves };
}

void
cp_heading_clear(CpHeading *heading)
{
  g_free(heading->title);
  g_array_unref(heading->moves);
}

static int
transposition(const CpHeading *heading)
{
  return heading->moves->len ? g_array_index(heading->moves, int, heading->moves->len - 1) : 0;
}

// Chords and key sound higher by the capo and the transposition together.
static void
settle_shift(const CpHeading *heading, CpSong *song)
{
  song->shift = heading->capo + transposition(heading);
  song->setting.key = song->shift ? rc_key_moved(heading->key, song->shift) : heading->key;
  song->setting.tones = rc_key_tones(song->setting.key);
  cp_change_setting(song);
}

// Nothing at all is no mistake.
static gboolean
fail_value(const char *what, const char *found, const char *expected, GError **error)
{
  enum { SHOWN = 40 };
  if (!*found) {
    return TRUE;
  }
  char *shown = g_utf8_substring(found, 0, MIN(g_utf8_strlen(found, -1), SHOWN));
  rc_fail(error, RC_ERROR_VALUE, (RcPlace){ 0 }, "found %s `%s`; expected %s", what, shown, expected);
  g_free(shown);
  return FALSE;
}

static gboolean
read_title(CpHeading *heading, CpSong *song, const char *value, GError **error)
{
  (void)song;
  (void)error;
  if (!heading->title && *value) {
    heading->title = g_strdup(value);
  }
  return TRUE;
}

static gboolean
read_key(CpHeading *heading, CpSong *song, const char *value, GError **error)
{
  char *key = g_strchomp(g_strndup(value, strcspn(value, "("))); // "D (2 sharps)"
  const gboolean good = rc_key_parse(key, song->names, &heading->key, NULL);
  g_free(key);
  if (!good) {
    return fail_value("the key", value, "a tonic and a mode, such as D, Bm, E dorian", error);
  }
  settle_shift(heading, song);
  return TRUE;
}

static gboolean
read_time(CpHeading *heading, CpSong *song, const char *value, GError **error)
{
  (void)heading;
  if (!rc_meter_parse(value, &song->setting.meter)) {
    return fail_value("the time", value, "beats and note value, such as 3/4 or 6/8", error);
  }
  cp_change_setting(song);
  return TRUE;
}

// Also "120 bpm".
static gboolean
read_tempo(CpHeading *heading, CpSong *song, const char *value, GError **error)
{
  (void)heading;
  const gsize digits = strspn(value, "0123456789");
  const char *unit = value + digits + strspn(value + digits, " ");
  const gboolean beats = digits && !g_ascii_strcasecmp(unit, "bpm");
  char *tempo = g_strndup(value, beats ? digits : strlen(value));
  const gboolean good = rc_tempo_parse(tempo, song->setting.meter, &song->setting.tempo);
  g_free(tempo);
  if (!good) {
    return fail_value("the tempo", value, "beats a minute such as 138, 5 to 1000 quarter notes a minute", error);
  }
  cp_change_setting(song);
  return TRUE;
}

// A whole number, with whatever letter after it says how to spell.
static gboolean
read_semitones(const char *value, int most, int *number)
{
  char *end = NULL;
  const gint64 read = g_ascii_strtoll(value, &end, 10);
  *number = (int)CLAMP(read, -most - 1, most + 1);
  return end > value && (!*end || !end[1]) && ABS(*number) <= most;
}

// "2", "2nd"
static gboolean
read_ordinal(const char *word, int *number)
{
  static const char *const endings[] = { "", "st", "nd", "rd", "th", NULL };
  const gsize digits = strspn(word, "0123456789");
  char *plain = g_strndup(word, digits);
  const gboolean good = digits && g_strv_contains(endings, word + digits) && read_semitones(plain, MOST_CAPO, number);
  g_free(plain);
  return good;
}

// "2", "2nd fret", "fret 2", "on the 2nd fret"
static gboolean
read_fret(const char *value, int *fret)
{
  static const char *const others[] = { "", "on", "at", "the", "fret", NULL };
  guint numbers = 0;
  gboolean good = TRUE;
  char *small = g_ascii_strdown(value, -1);
  char **words = g_strsplit(small, " ", 0);
  for (guint i = 0; words[i] && good; ++i) {
    if (!g_strv_contains(others, words[i])) {
      good = read_ordinal(words[i], fret);
      ++numbers;
    }
  }
  g_strfreev(words);
  g_free(small);
  return good && numbers == 1;
}

static gboolean
read_capo(CpHeading *heading, CpSong *song, const char *value, GError **error)
{
  int fret = 0; // "no capo"
  if (g_ascii_strncasecmp(value, "no", 2) != 0 && !read_fret(value, &fret)) {
    return fail_value("the capo", value, "the number of a fret, 0 to 24", error);
  }
  heading->capo = fret;
  settle_shift(heading, song);
  return TRUE;
}

// Without a value the transposition before is in force again.
static gboolean
read_transpose(CpHeading *heading, CpSong *song, const char *value, GError **error)
{
  int semitones = 0;
  if (!*value && heading->moves->len) {
    g_array_set_size(heading->moves, heading->moves->len - 1);
  } else if (*value && !read_semitones(value, MOST_TRANSPOSE, &semitones)) {
    return fail_value("to transpose by", value, "semitones, -48 to 48", error);
  } else if (*value) {
    g_array_append_val(heading->moves, semitones);
  }
  settle_shift(heading, song);
  return TRUE;
}

typedef struct {
  const char *name;
  gboolean (*read)(CpHeading *heading, CpSong *song, const char *value, GError **error);
} Line;

static const Line lines[] = {
  { "title", read_title },         { "t", read_title },     { "key", read_key },
  { "time", read_time },           { "tempo", read_tempo }, { "capo", read_capo },
  { "transpose", read_transpose },
};

static const Line *
find_line(const char *name)
{
  for (guint i = 0; i < G_N_ELEMENTS(lines); ++i) {
    if (!strcmp(lines[i].name, name)) {
      return &lines[i];
    }
  }
  return NULL;
}

gboolean
cp_is_heading(const char *name)
{
  return find_line(name) != NULL;
}

gboolean
cp_read_heading(CpHeading *heading, CpSong *song, const char *name, const char *value, GError **error)
{
  const Line *line = find_line(name);
  return !line || line->read(heading, song, value, error);
}
