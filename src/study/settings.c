// Copyright 2026 the rowcall developers
// SPDX-License-Identifier: MIT

// Settings by name, read alike from a command line, a file or a page.

#include "rowcall/study.h"

#include "rowcall/error.h"

#include <string.h>

static const RcPlace nowhere = { NULL, 0, 0 }; // the caller knows

// ------------------------------------------------------------------------------------------------- words and numbers

static char *
list_words(const RcChoice *choices)
{
  GString *list = g_string_new(NULL);
  for (; choices->word; ++choices) {
    g_string_append_printf(list, "%s%s", !list->len ? "" : choices[1].word ? ", " : " or ", choices->word);
  }
  return g_string_free(list, FALSE);
}

gboolean
rc_choice_read(const RcChoice *choices, const char *text, int *value, GError **error)
{
  for (const RcChoice *choice = choices; choice->word; ++choice) {
    if (!g_ascii_strcasecmp(choice->word, text)) {
      *value = choice->value;
      return TRUE;
    }
  }
  char *words = list_words(choices);
  rc_fail(error, RC_ERROR_UNKNOWN, nowhere, "expected %s", words);
  g_free(words);
  return FALSE;
}

// Neither nan nor inf, no exponent, no sign, nothing after it.
static gboolean
is_decimal(const char *text, const char *characters)
{
  return *text && !text[strspn(text, characters)];
}

gboolean
rc_number_read(const char *text, double least, double most, const char *unit, double *number, GError **error)
{
  char *end = NULL;
  const double found = is_decimal(text, "0123456789.") ? g_ascii_strtod(text, &end) : -1;
  if (!end || *end || !(found >= least && found <= most)) {
    return rc_fail(error, RC_ERROR_VALUE, nowhere, "expected %.12g to %.12g %s", least, most, unit);
  }
  *number = found;
  return TRUE;
}

gboolean
rc_count_read(const char *text, guint least, guint most, const char *unit, guint *count, GError **error)
{
  const guint64 found = is_decimal(text, "0123456789") ? g_ascii_strtoull(text, NULL, 10) : G_MAXUINT64;
  if (found < least || found > most) {
    return rc_fail(error, RC_ERROR_VALUE, nowhere, "expected %u to %u %s", least, most, unit);
  }
  *count = (guint)found;
  return TRUE;
}

// ---------------------------------------------------------------------------------------------------------- the hand

static gboolean
set_reach(RcSettings *settings, const char *text, GError **error)
{
  return rc_count_read(text, 0, RC_MAX_COLUMNS, "columns", &settings->route.hand.reach, error);
}

static gboolean
set_press(RcSettings *settings, const char *text, GError **error)
{
  return rc_count_read(text, 1, RC_GRIP_PRESS, "buttons, the bass among them", &settings->route.hand.press, error);
}

static gboolean
set_school(RcSettings *settings, const char *text, GError **error)
{
  static const RcChoice schools[] = { { "4-3", RC_SCHOOL_4_3 }, { "3-2", RC_SCHOOL_3_2 }, { NULL, 0 } };
  int school = 0;
  const gboolean good = rc_choice_read(schools, text, &school, error);
  settings->route.fingers.school = good ? (RcSchool)school : settings->route.fingers.school;
  return good;
}

static gboolean
set_spans(RcSettings *settings, const char *text, GError **error)
{
  if (!rc_spans_parse(text, &settings->route.fingers)) {
    return rc_fail(error, RC_ERROR_VALUE, nowhere,
                   "expected six numbers of 10 to 300 mm, for fingers 2-3, 3-4, 4-5, 2-4, 3-5 and 2-5, such as "
                   "69,55,69,96,96,137");
  }
  return TRUE;
}

static gboolean
set_turns_apart(RcSettings *settings, const char *text, GError **error)
{
  return rc_number_read(text, 0, 60, "seconds", &settings->route.turns_apart, error);
}

// --------------------------------------------------------------------------------------------------------- the taste

static gboolean
set_accept(RcSettings *settings, const char *text, GError **error)
{
  return rc_grade_parse(text, &settings->route.taste.accept) ||
         rc_fail(error, RC_ERROR_UNKNOWN, nowhere, "expected a grade from A to E");
}

static gboolean
set_prefer(RcSettings *settings, const char *text, GError **error)
{
  static const RcChoice tastes[] = {
    { "plain", RC_PREFER_PLAIN }, { "sound", RC_PREFER_SOUND }, { "ease", RC_PREFER_EASE }, { NULL, 0 }
  };
  int prefer = 0;
  const gboolean good = rc_choice_read(tastes, text, &prefer, error);
  settings->route.taste.prefer = good ? (RcPrefer)prefer : settings->route.taste.prefer;
  return good;
}

static gboolean
set_brisk(RcSettings *settings, const char *text, GError **error)
{
  return rc_number_read(text, 0, 60, "seconds", &settings->route.roll.brisk, error);
}

// `80%`: how fast all tunes are, of their own tempi.
static gboolean
set_pace(RcSettings *settings, const char *text, GError **error)
{
  char *number = g_strndup(text, strlen(text) - 1);
  double percent = 0;
  const gboolean good = rc_number_read(number, 5, 500, "percent", &percent, error);
  g_free(number);
  if (good) {
    settings->route.roll.untimed = RC_UNTIMED_ASSUME;
    settings->route.roll.given = (RcTempo){ RC_TEMPO_NONE, 0 };
    settings->route.roll.pace = percent / 100;
  }
  return good;
}

static gboolean
set_tempo(RcSettings *settings, const char *text, GError **error)
{
  if (g_str_has_suffix(text, "%")) {
    return set_pace(settings, text, error);
  }
  RcTempo tempo = { RC_TEMPO_NONE, 0 };
  const gboolean none = !g_ascii_strcasecmp(text, "none");
  if (!none && !rc_tempo_parse(text, (RcMeter){ 4, 4 }, &tempo)) {
    return rc_fail(error, RC_ERROR_VALUE, nowhere,
                   "expected `none`, beats a minute such as 112, or a note value and a number, such as 1/4=112, or a "
                   "share of each tune's own tempo, such as 80%%");
  }
  settings->route.roll.pace = 1;
  settings->route.roll.untimed = none ? RC_UNTIMED_LEAVE : RC_UNTIMED_ASSUME;
  settings->route.roll.given = tempo;
  settings->route.roll.in_beats = !strchr(text, '=');
  return TRUE;
}

static gboolean
set_no_melody(RcSettings *settings, const char *text, GError **error)
{
  static const RcChoice answers[] = { { "yes", TRUE }, { "no", FALSE }, { NULL, 0 } };
  int answer = TRUE;
  const gboolean good = !text || rc_choice_read(answers, text, &answer, error);
  settings->route.roll.no_melody = good ? answer : settings->route.roll.no_melody;
  return good;
}

// -------------------------------------------------------------------------------------------------------- the target

// A percentage such as 94.7 in millionths, exactly; 0 where it is none above 0 and up to 100.
static guint
parse_percent(const char *text)
{
  enum { DECIMALS = 4 };
  const char *point = strchr(text, '.');
  const gsize whole = point ? (gsize)(point - text) : strlen(text);
  const char *rest = point ? point + 1 : "";
  if (!whole || whole > 3 || strlen(rest) > DECIMALS || (point && !*rest)) {
    return 0;
  }
  guint millionths = 0;
  for (gsize i = 0; i < whole + DECIMALS; ++i) {
    const char digit = i < whole ? text[i] : i - whole < strlen(rest) ? rest[i - whole] : '0';
    if (!g_ascii_isdigit(digit)) {
      return 0;
    }
    millionths = millionths * 10 + (guint)(digit - '0');
  }
  return millionths <= RC_TARGET_ALL ? millionths : 0;
}

static gboolean
read_target(const char *text, const char *of, guint *millionths, GError **error)
{
  const guint found = parse_percent(text);
  if (!found) {
    return rc_fail(error, RC_ERROR_VALUE, nowhere,
                   "expected a percentage of the %s, above 0 and at most 100, of no more than four decimals", of);
  }
  *millionths = found;
  return TRUE;
}

static gboolean
set_target(RcSettings *settings, const char *text, GError **error)
{
  const gboolean good = read_target(text, "playing time", &settings->target.millionths, error);
  settings->target.by = good ? RC_TARGET_TIME : settings->target.by;
  return good;
}

static gboolean
set_tunes(RcSettings *settings, const char *text, GError **error)
{
  const gboolean good = read_target(text, "tunes", &settings->target.millionths, error);
  settings->target.by = good ? RC_TARGET_TUNES : settings->target.by;
  return good;
}

// ----------------------------------------------------------------------------------------------------------- reading

static gboolean
set_names(RcSettings *settings, const char *text, GError **error)
{
  static const RcChoice names[] = { { "english", RC_NAMES_ENGLISH }, { "german", RC_NAMES_GERMAN }, { NULL, 0 } };
  int found = 0;
  const gboolean good = rc_choice_read(names, text, &found, error);
  settings->corpus.names = good ? (RcNames)found : settings->corpus.names;
  return good;
}

static gboolean
set_key(RcSettings *settings, const char *text, GError **error)
{
  static const RcChoice answers[] = { { "assume", FALSE }, { "none", TRUE }, { NULL, 0 } };
  int none = FALSE;
  const gboolean good = rc_choice_read(answers, text, &none, error);
  settings->corpus.leave_unkeyed = good ? none : settings->corpus.leave_unkeyed;
  return good;
}

static gboolean
set_from(RcSettings *settings, const char *text, GError **error)
{
  const RcFormat *format = rc_format_find(text);
  if (!format) {
    return rc_fail(error, RC_ERROR_UNKNOWN, nowhere, "expected %s", rc_format_names());
  }
  settings->corpus.from = format;
  return TRUE;
}

static gboolean
set_threads(RcSettings *settings, const char *text, GError **error)
{
  return rc_count_read(text, 1, RC_MAX_THREADS, "threads", &settings->threads, error);
}

// ----------------------------------------------------------------------------------------------------------- by name

static const struct {
  const char *name;
  gboolean (*set)(RcSettings *settings, const char *text, GError **error);
} table[] = {
  { "accept", set_accept }, { "brisk", set_brisk },
  { "from", set_from },     { "key", set_key },
  { "names", set_names },   { "no-melody", set_no_melody },
  { "prefer", set_prefer }, { "press", set_press },
  { "reach", set_reach },   { "school", set_school },
  { "spans", set_spans },   { "target", set_target },
  { "tempo", set_tempo },   { "threads", set_threads },
  { "tunes", set_tunes },   { "turns-apart", set_turns_apart },
};

RcSettings
rc_settings(void)
{
  return (RcSettings){ .route = rc_route_settings(), .target = rc_target() };
}

RcSettings *
rc_settings_new(void)
{
  RcSettings *settings = g_new(RcSettings, 1);
  *settings = rc_settings();
  return settings;
}

gboolean
rc_settings_set(RcSettings *settings, const char *name, const char *text, GError **error)
{
  for (guint i = 0; i < G_N_ELEMENTS(table); ++i) {
    if (!strcmp(table[i].name, name)) {
      return table[i].set(settings, text, error);
    }
  }
  return rc_fail(error, RC_ERROR_UNKNOWN, nowhere, "there is no such setting");
}
