// Copyright 2026 the rowcall developers
// SPDX-License-Identifier: MIT

#include "rowcall/music.h"

#include <string.h>

enum { MAX_BEATS = 64, MAX_UNIT = 64, TOO_LARGE = 1000 };

static gboolean
read_number(const char **at, guint most, guint *number)
{
  guint value = 0;
  if (!g_ascii_isdigit(**at)) {
    return FALSE;
  }
  for (; g_ascii_isdigit(**at); ++*at) {
    value = MIN(10 * value + (guint)(**at - '0'), TOO_LARGE);
  }
  *number = value;
  return value >= 1 && value <= most;
}

static gboolean
is_power_of_two(guint n)
{
  return n && !(n & (n - 1));
}

// number "/" number, the second a power of two; leaves `at` after it.
static gboolean
read_fraction(const char **at, RcMeter *fraction)
{
  if (!read_number(at, MAX_BEATS, &fraction->beats) || **at != '/') {
    return FALSE;
  }
  ++*at;
  return read_number(at, MAX_UNIT, &fraction->unit) && is_power_of_two(fraction->unit);
}

gboolean
rc_meter_parse(const char *text, RcMeter *meter)
{
  RcMeter read = { 4, 4 };
  const char *at = text;
  if (!strcmp(text, "C|")) {
    read = (RcMeter){ 2, 2 };
  } else if (strcmp(text, "C") != 0 && (!read_fraction(&at, &read) || *at)) {
    return FALSE;
  }
  *meter = read;
  return TRUE;
}

RcTicks
rc_meter_bar(RcMeter meter)
{
  return RC_QUARTER * 4 * meter.beats / meter.unit;
}

RcTicks
rc_meter_beat(RcMeter meter)
{
  const gboolean compound = meter.unit >= 8 && meter.beats > 3 && meter.beats % 3 == 0;
  return RC_QUARTER * 4 * (compound ? 3 : 1) / meter.unit;
}

// "1/4"; also "q" and the sign of a quarter note, by which many abbreviate it.
static gboolean
read_note_value(const char **at, RcMeter *value)
{
  static const char *const quarters[] = { "q", "Q", "\u2669" };
  for (guint i = 0; i < G_N_ELEMENTS(quarters); ++i) {
    if (g_str_has_prefix(*at, quarters[i])) {
      *at += strlen(quarters[i]);
      *value = (RcMeter){ 1, 4 };
      return TRUE;
    }
  }
  return read_fraction(at, value);
}

gboolean
rc_tempo_parse(const char *text, RcMeter meter, RcTempo *tempo)
{
  double beat = (double)rc_meter_beat(meter) / (double)RC_QUARTER;
  const char *at = text;
  if (strchr(text, '=')) {
    RcMeter value = { 1, 4 };
    if (!read_note_value(&at, &value)) {
      return FALSE;
    }
    at += strspn(at, " ");
    if (*at++ != '=') {
      return FALSE;
    }
    at += strspn(at, " ");
    beat = 4.0 * value.beats / value.unit;
  }
  if (!g_ascii_isdigit(*at) || at[strspn(at, "0123456789.")]) { // 1e2 and 0x10 are no numbers here
    return FALSE;
  }
  char *end = NULL;
  const double quarters = g_ascii_strtod(at, &end) * beat;
  if (*end || !(quarters >= RC_MIN_QUARTERS && quarters <= RC_MAX_QUARTERS)) {
    return FALSE;
  }
  *tempo = (RcTempo){ RC_TEMPO_STATED, quarters };
  return TRUE;
}

// Meters that differ in how one dances to them.
typedef enum {
  IN_TWO = 1 << 0,   // 2/4, 4/4, 2/2
  IN_THREE = 1 << 1, // 3/4, 3/8
  IN_SIX = 1 << 2,   // 6/8, 12/8
  IN_NINE = 1 << 3   // 9/8
} Motion;

// What counts as one in a meter that a dance goes to.
typedef enum {
  BY_NOTE,    // the note value of the table
  BY_BEAT,    // the beat of the meter: a march steps to the half notes of 2/2 and to the dotted quarters of 6/8
  BY_HALF_BAR // a reel has two steps a bar, in 2/4 as in 4/4
} Count;

typedef struct {
  const char *rhythm;
  double beats;  // a minute
  RcMeter beat;  // the note value that counts as one, in meters that it does not go to as well
  guint motions; // the meters that it goes to; 0: a name that is a common word too, by which no title means the dance
  Count count;
} UsualTempo;

// Common practice, from memory: tempi at which dances and songs are usually played for dancing or singing.
static const UsualTempo usual_tempi[] = {
  { "jig", 112, { 3, 8 }, IN_SIX, BY_BEAT },
  { "double jig", 112, { 3, 8 }, IN_SIX, BY_BEAT },
  { "single jig", 120, { 3, 8 }, IN_SIX, BY_BEAT },
  { "slip jig", 112, { 3, 8 }, IN_NINE, BY_BEAT },
  { "slide", 132, { 3, 8 }, IN_SIX, BY_BEAT },
  { "reel", 104, { 1, 2 }, IN_TWO, BY_HALF_BAR },
  { "hornpipe", 80, { 1, 2 }, IN_TWO, BY_HALF_BAR },
  { "strathspey", 128, { 1, 4 }, IN_TWO, BY_NOTE },
  { "polka", 120, { 1, 4 }, IN_TWO, BY_BEAT },
  { "march", 112, { 1, 4 }, IN_TWO | IN_SIX, BY_BEAT },
  { "waltz", 144, { 1, 4 }, IN_THREE, BY_BEAT },
  { "mazurka", 132, { 1, 4 }, IN_THREE, BY_BEAT },
  { "schottische", 76, { 1, 2 }, IN_TWO, BY_HALF_BAR },
  { "barndance", 84, { 1, 2 }, IN_TWO, BY_HALF_BAR },
  { "barn dance", 84, { 1, 2 }, IN_TWO, BY_HALF_BAR },
  { "two-step", 112, { 1, 4 }, IN_TWO | IN_SIX, BY_BEAT },
  { "quickstep", 200, { 1, 4 }, IN_TWO, BY_NOTE },
  { "foxtrot", 120, { 1, 4 }, IN_TWO, BY_NOTE },
  { "swing", 140, { 1, 4 }, 0, BY_NOTE },
  { "ballad", 72, { 1, 4 }, 0, BY_NOTE },
  { "bossa", 132, { 1, 4 }, 0, BY_NOTE },
  { "tango", 120, { 1, 4 }, IN_TWO, BY_NOTE },
  { "rumba", 104, { 1, 4 }, IN_TWO, BY_NOTE },
  { "song", 100, { 1, 4 }, 0, BY_NOTE },
  { "air", 72, { 1, 4 }, 0, BY_NOTE },
  { "slow air", 60, { 1, 4 }, 0, BY_NOTE },
};

typedef struct {
  RcMeter meter;
  double beats; // a minute, of the meter's own beat
} MeterTempo;

// Of meters that do not go at the usual 112.
static const MeterTempo meter_tempi[] = {
  { { 3, 4 }, 132 },
  { { 2, 2 }, 96 },
  { { 12, 8 }, 100 },
  { { 3, 8 }, 168 },
};

static const UsualTempo *
usual_tempo(const char *rhythm)
{
  const char initial = g_ascii_tolower(*rhythm);
  for (guint i = 0; i < G_N_ELEMENTS(usual_tempi); ++i) {
    const char *name = usual_tempi[i].rhythm;
    if (*name == initial && !g_ascii_strcasecmp(name, rhythm)) {
      return &usual_tempi[i];
    }
  }
  return NULL;
}

// ----------------------------------------------------------------------------------------------------------- dances

static guint
motion_of(RcMeter meter)
{
  if (meter.unit >= 8 && meter.beats > 3 && meter.beats % 3 == 0) {
    return meter.beats % 9 ? IN_SIX : IN_NINE;
  }
  return meter.beats == 3 ? IN_THREE : meter.beats % 2 ? 0 : IN_TWO;
}

// Letters of other alphabets are letters too.
static gboolean
is_letter(char c)
{
  return g_ascii_isalpha(c) || ((guchar)c & 0x80U);
}

// Whether the word at `text` is this name, singular or plural; what separates its words may be anything or nothing.
static gboolean
is_named(const char *text, const char *name)
{
  for (; *name; ++name) {
    if (g_ascii_isalpha(*name)) {
      if (g_ascii_tolower(*text) != *name) {
        return FALSE;
      }
      ++text;
    } else {
      while (*text && !is_letter(*text)) {
        ++text;
      }
    }
  }
  const gsize plural = !g_ascii_strncasecmp(text, "es", 2) ? 2 : g_ascii_tolower(*text) == 's';
  return !is_letter(*text) || !is_letter(text[plural]);
}

const char *
rc_find_dance(const char *text, RcMeter meter)
{
  const guint motion = motion_of(meter);
  const char *found = NULL;
  for (const char *at = text; *at; ++at) {
    if (!is_letter(*at) || (at > text && is_letter(at[-1]))) {
      continue;
    }
    const char initial = (char)(*at | ('a' ^ 'A')); // small, where it is ASCII
    for (guint i = 0; i < G_N_ELEMENTS(usual_tempi); ++i) {
      const UsualTempo *dance = &usual_tempi[i];
      if (*dance->rhythm == initial && (dance->motions & motion) && is_named(at, dance->rhythm) &&
          (!found || strlen(dance->rhythm) > strlen(found))) {
        found = dance->rhythm;
      }
    }
  }
  return found;
}

// In quarter notes.
static double
beat_of(const UsualTempo *usual, RcMeter meter)
{
  const gboolean danced = (usual->motions & motion_of(meter)) != 0;
  if (danced && usual->count == BY_BEAT) {
    return (double)rc_meter_beat(meter) / (double)RC_QUARTER;
  }
  const RcMeter beat = danced && usual->count == BY_HALF_BAR ? (RcMeter){ meter.beats / 2, meter.unit } : usual->beat;
  return (double)rc_meter_bar(beat) / (double)RC_QUARTER;
}

RcTempo
rc_tempo_assume(const char *rhythm, RcMeter meter)
{
  const UsualTempo *usual = rhythm ? usual_tempo(rhythm) : NULL;
  if (usual) {
    return (RcTempo){ RC_TEMPO_RHYTHM, usual->beats * beat_of(usual, meter) };
  }
  double beats = 112;
  for (guint i = 0; i < G_N_ELEMENTS(meter_tempi); ++i) {
    if (meter_tempi[i].meter.beats == meter.beats && meter_tempi[i].meter.unit == meter.unit) {
      beats = meter_tempi[i].beats;
    }
  }
  return (RcTempo){ RC_TEMPO_METER, beats * (double)rc_meter_beat(meter) / (double)RC_QUARTER };
}

double
rc_ticks_seconds(RcTicks ticks, RcTempo tempo)
{
  return (double)ticks / (double)RC_QUARTER * 60 / tempo.quarters;
}
