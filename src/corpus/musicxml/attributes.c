// Copyright 2026 the rowcall developers
// SPDX-License-Identifier: MIT

// What stands in the `attributes` of a MusicXML measure: divisions, key, meter and transposition.

#include "corpus/musicxml/body.h"

#include <string.h>

static void
end_divisions(RcMusicxmlReader *r)
{
  static const double LEAST_DIVISIONS = 1.0 / 64;
  double divisions = 0;
  if (!mx_read_number(r->text, &divisions) || divisions < LEAST_DIVISIONS || divisions > MX_MAX_DIVISIONS) {
    mx_fail_found(r, "how many divisions a quarter note has, a number above 0 and at most 65536");
    return;
  }
  r->base = mx_ticks_at(r, r->pos);
  r->pos = 0;
  mx_part(r)->divisions = divisions;
}

static void
start_key(RcMusicxmlReader *r, const char **attributes)
{
  (void)attributes;
  r->key = (MxKey){ .mode = RC_MODE_MAJOR };
}

static void
end_fifths(RcMusicxmlReader *r)
{
  enum { MOST = 11 };
  r->key.traditional = mx_read_whole(r, -MOST, MOST, &r->key.fifths);
}

typedef struct {
  const char *name;
  RcMode mode;
} ModeName;

static void
end_mode(RcMusicxmlReader *r)
{
  static const ModeName names[] = { { "major", RC_MODE_MAJOR },    { "minor", RC_MODE_MINOR },
                                    { "dorian", RC_MODE_DORIAN },  { "phrygian", RC_MODE_PHRYGIAN },
                                    { "lydian", RC_MODE_LYDIAN },  { "mixolydian", RC_MODE_MIXOLYDIAN },
                                    { "aeolian", RC_MODE_MINOR },  { "ionian", RC_MODE_MAJOR },
                                    { "locrian", RC_MODE_LOCRIAN } };
  r->key.mode = RC_MODE_NONE;
  for (guint i = 0; i < G_N_ELEMENTS(names); ++i) {
    if (!strcmp(names[i].name, r->text)) {
      r->key.mode = names[i].mode;
    }
  }
}

static void
end_key_step(RcMusicxmlReader *r)
{
  r->key.step = mx_step(r->text);
}

static void
end_key_alter(RcMusicxmlReader *r)
{
  int alter = 0;
  if (mx_read_whole(r, -3, 3, &alter) && r->key.step != G_MININT) {
    r->key.assembled = TRUE;
    r->key.altered[r->key.step + 1] = (gint8)alter;
  }
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

static void
end_key(RcMusicxmlReader *r)
{
  RcSetting setting = { .key = { RC_MODE_NONE, 0 } };
  const MxPart *part = mx_part(r);
  if (r->key.traditional && r->key.mode != RC_MODE_NONE) {
    const int fifths = part->fifths ? within_signs(r->key.fifths + part->fifths) : r->key.fifths;
    setting.key = (RcKey){ r->key.mode, (RcNote)(fifths + mode_fifths(r->key.mode)) };
    setting.tones = rc_key_tones(setting.key);
  } else if (r->key.assembled) {
    setting.tones = altered_tones(&r->key, part->semitones);
  }
  mx_add_change(r, MX_CHANGE_KEY, &setting);
}

static void
start_time(RcMusicxmlReader *r, const char **attributes)
{
  (void)attributes;
  r->time = (MxTime){ 0 };
}

// "3" or "3+2"
static void
end_beats(RcMusicxmlReader *r)
{
  r->time.more = 0;
  for (const char *at = r->text; at; at = strchr(at, '+'), at = at ? at + 1 : NULL) {
    r->time.more += mx_read_count(at + strspn(at, " "), 0);
  }
}

// Meters that are added up, 2/4 and 3/8, count in the smaller value.
static void
end_beat_type(RcMusicxmlReader *r)
{
  const guint unit = mx_read_count(r->text, 0);
  MxTime *time = &r->time;
  if (time->unit && unit && unit != time->unit) {
    const guint common = MAX(unit, time->unit);
    time->beats = time->beats * common / time->unit;
    time->more = time->more * common / unit;
    time->unit = common;
  } else {
    time->unit = unit;
  }
  time->beats += time->more;
}

static void
end_time(RcMusicxmlReader *r)
{
  RcSetting setting = { 0 };
  char text[32];
  if (!r->time.beats && !r->time.unit) {
    return; // without a meter
  }
  g_snprintf(text, sizeof text, "%u/%u", r->time.beats, r->time.unit);
  if (!rc_meter_parse(text, &setting.meter)) {
    mx_fail(r, RC_ERROR_VALUE, "found a meter of `%s`; expected beats from 1 to 64 and a beat type such as 4 or 8",
            text);
    return;
  }
  mx_add_change(r, MX_CHANGE_METER, &setting);
}

static void
start_transpose(RcMusicxmlReader *r, const char **attributes)
{
  (void)attributes;
  r->transpose.chromatic = 0;
  r->transpose.octaves = 0;
  r->transpose.diatonic = 0;
  r->transpose.has_diatonic = FALSE;
}

static void
end_chromatic(RcMusicxmlReader *r)
{
  mx_read_whole(r, -96, 96, &r->transpose.chromatic);
}

static void
end_diatonic(RcMusicxmlReader *r)
{
  r->transpose.has_diatonic = mx_read_whole(r, -56, 56, &r->transpose.diatonic);
}

static void
end_octave_change(RcMusicxmlReader *r)
{
  mx_read_whole(r, -9, 9, &r->transpose.octaves);
}

// Semitones on the line of fifths: by their letters where these are given, else as near as can be.
static void
end_transpose(RcMusicxmlReader *r)
{
  const int semitones = r->transpose.chromatic;
  const int nearest = ((7 * semitones + 5) % 12 + 12) % 12 - 5;
  const int fifths = 7 * semitones - 12 * r->transpose.diatonic;
  mx_part(r)->semitones = semitones;
  mx_part(r)->octaves = r->transpose.octaves;
  mx_part(r)->fifths = r->transpose.has_diatonic && ABS(fifths) <= 12 ? fifths : nearest;
}

// ------------------------------------------------------------------------------------------------------- the table

const MxElement mx_attribute_elements[] = {
  { "attributes", MX_IN_MEASURE, NULL, NULL, FALSE },
  { "divisions", "attributes", NULL, end_divisions, TRUE },
  { "key", "attributes", start_key, end_key, FALSE },
  { "fifths", "key", NULL, end_fifths, TRUE },
  { "mode", "key", NULL, end_mode, TRUE },
  { "key-step", "key", NULL, end_key_step, TRUE },
  { "key-alter", "key", NULL, end_key_alter, TRUE },
  { "time", "attributes", start_time, end_time, FALSE },
  { "beats", "time", NULL, end_beats, TRUE },
  { "beat-type", "time", NULL, end_beat_type, TRUE },
  { "transpose", "attributes", start_transpose, end_transpose, FALSE },
  { "chromatic", "transpose", NULL, end_chromatic, TRUE },
  { "diatonic", "transpose", NULL, end_diatonic, TRUE },
  { "octave-change", "transpose", NULL, end_octave_change, TRUE },
  { NULL, NULL, NULL, NULL, FALSE },
};
