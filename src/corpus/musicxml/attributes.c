// Copyright 2026 the rowcall developers
// SPDX-License-Identifier: MIT

// Key, meter and transposition of a MusicXML part.

#include "corpus/musicxml/values.h"

#include <string.h>

// ---------------------------------------------------------------------------------------------------- transposition

// Semitones on the line of fifths: by their letters where these are given, else as near as can be.
MxTransposition
mx_read_transposition(const MxNode *transpose)
{
  const int semitones = mx_child_whole(transpose, MX_CHROMATIC, 0);
  const int nearest = ((7 * semitones + 5) % 12 + 12) % 12 - 5;
  const MxNode *diatonic = mx_child(transpose, MX_DIATONIC);
  const int fifths = diatonic ? 7 * semitones - 12 * (int)diatonic->value : nearest;
  return (MxTransposition){ .fifths = ABS(fifths) <= 12 ? fifths : nearest,
                            .semitones = semitones,
                            .octaves = mx_child_whole(transpose, MX_OCTAVE_CHANGE, 0) };
}

// -------------------------------------------------------------------------------------------------------------- key

typedef struct {
  const char *name;
  RcMode mode;
} ModeName;

static RcMode
find_mode(const char *text)
{
  static const ModeName names[] = { { "major", RC_MODE_MAJOR },    { "minor", RC_MODE_MINOR },
                                    { "dorian", RC_MODE_DORIAN },  { "phrygian", RC_MODE_PHRYGIAN },
                                    { "lydian", RC_MODE_LYDIAN },  { "mixolydian", RC_MODE_MIXOLYDIAN },
                                    { "aeolian", RC_MODE_MINOR },  { "ionian", RC_MODE_MAJOR },
                                    { "locrian", RC_MODE_LOCRIAN } };
  for (guint i = 0; i < G_N_ELEMENTS(names); ++i) {
    if (!strcmp(names[i].name, text)) {
      return names[i].mode;
    }
  }
  return RC_MODE_NONE;
}

MxKey
mx_read_key(const MxNode *node)
{
  MxKey key = { .mode = RC_MODE_MAJOR };
  int step = G_MININT;
  for (MX_EACH(child, node)) {
    if (child->name == MX_FIFTHS) {
      key.traditional = TRUE;
      key.fifths = (int)child->value;
    } else if (child->name == MX_MODE) {
      key.has_mode = TRUE;
      key.mode = find_mode(child->text);
    } else if (child->name == MX_KEY_STEP) {
      step = mx_step(child->text);
    } else if (child->name == MX_KEY_ALTER && step != G_MININT) {
      key.assembled = TRUE;
      key.altered[step + 1] = (gint8)child->value;
    }
  }
  return key;
}

// The tonic above the one of the major key with the same signature, on the line of fifths.
static int
mode_fifths(RcMode mode)
{
  static const int fifths[] = {
    [RC_MODE_MAJOR] = 0,   [RC_MODE_MINOR] = 3,      [RC_MODE_DORIAN] = 2, [RC_MODE_PHRYGIAN] = 4,
    [RC_MODE_LYDIAN] = -1, [RC_MODE_MIXOLYDIAN] = 1, [RC_MODE_LOCRIAN] = 5
  };
  return fifths[mode];
}

// The tones of seven letters, each with its alteration.
static RcPcSet
altered_tones(const MxKey *key, int semitones)
{
  RcPcSet tones = 0;
  for (int step = -1; step < 6; ++step) {
    tones |= (RcPcSet)(1U << rc_note_pc(rc_note_up((RcNote)step, 7 * key->altered[step + 1])));
  }
  return rc_pcs_transpose(tones, semitones);
}

// A signature on the line of fifths, with no more signs than players write.
static int
within_signs(int fifths)
{
  enum { FIFTHS = 12, MOST = 7 };
  return fifths > MOST ? fifths - FIFTHS : fifths < -MOST ? fifths + FIFTHS : fifths;
}

RcSetting
mx_key_setting(const MxKey *key, const MxTransposition *transposition)
{
  RcSetting setting = { .key = { RC_MODE_NONE, 0 } };
  if (key->traditional && key->mode != RC_MODE_NONE) {
    const int moved = transposition->fifths;
    const int fifths = moved ? within_signs(key->fifths + moved) : key->fifths;
    setting.key = (RcKey){ key->mode, (RcNote)(fifths + mode_fifths(key->mode)) };
    setting.tones = rc_key_tones(setting.key);
    setting.signs_only = !key->has_mode;
  } else if (key->assembled) {
    setting.tones = altered_tones(key, transposition->semitones);
  }
  return setting;
}

// ------------------------------------------------------------------------------------------------------------ meter

// "3" or "3+2"
static guint
read_beats(const char *text)
{
  guint beats = 0;
  for (const char *at = text; at; at = strchr(at, '+'), at = at ? at + 1 : NULL) {
    beats += mx_read_count(at + strspn(at, " "), 0);
  }
  return beats;
}

// Meters that are added up, 2/4 and 3/8, count in the smaller value.
static RcMeter
add_meters(RcMeter sum, guint beats, guint unit)
{
  if (!sum.unit || !unit || unit == sum.unit) {
    return (RcMeter){ sum.beats + beats, unit };
  }
  const guint common = MAX(unit, sum.unit);
  return (RcMeter){ sum.beats * common / sum.unit + beats * common / unit, common };
}

MxMeterResult
mx_read_meter(const MxNode *time, RcMeter *meter, char *text)
{
  RcMeter sum = { 0, 0 };
  guint beats = 0;
  for (MX_EACH(child, time)) {
    if (child->name == MX_BEATS) {
      beats = read_beats(child->text);
    } else if (child->name == MX_BEAT_TYPE) {
      sum = add_meters(sum, beats, mx_read_count(child->text, 0));
    }
  }
  if (!sum.beats && !sum.unit) {
    return MX_NO_METER;
  }
  g_snprintf(text, 32, "%u/%u", sum.beats, sum.unit);
  return rc_meter_parse(text, meter) ? MX_METER : MX_BAD_METER;
}
