// Copyright 2026 the rowcall developers
// SPDX-License-Identifier: MIT

#include "rowcall/music.h"

#include "music/degree.h"

#include <string.h>

const RcDegreeInfo rc_degree_info[RC_N_DEGREES] = {
  [RC_DEGREE_1] = { "1", 0 },          [RC_DEGREE_FLAT_3] = { "b3", -3 },
  [RC_DEGREE_3] = { "3", 4 },          [RC_DEGREE_SUS_2] = { "2", 2 },
  [RC_DEGREE_SUS_4] = { "4", -1 },     [RC_DEGREE_FLAT_5] = { "b5", -6 },
  [RC_DEGREE_5] = { "5", 1 },          [RC_DEGREE_SHARP_5] = { "#5", 8 },
  [RC_DEGREE_6] = { "6", 3 },          [RC_DEGREE_DOUBLE_FLAT_7] = { "bb7", -9 },
  [RC_DEGREE_FLAT_7] = { "b7", -2 },   [RC_DEGREE_7] = { "7", 5 },
  [RC_DEGREE_FLAT_9] = { "b9", -5 },   [RC_DEGREE_9] = { "9", 2 },
  [RC_DEGREE_SHARP_9] = { "#9", 9 },   [RC_DEGREE_11] = { "11", -1 },
  [RC_DEGREE_SHARP_11] = { "#11", 6 }, [RC_DEGREE_FLAT_13] = { "b13", -4 },
  [RC_DEGREE_13] = { "13", 3 },
};

int
rc_degree_fifths(RcDegree degree)
{
  return rc_degree_info[degree].fifths;
}

static const guchar degree_semitones[RC_N_DEGREES] = {
  [RC_DEGREE_1] = 0,        [RC_DEGREE_FLAT_3] = 3,
  [RC_DEGREE_3] = 4,        [RC_DEGREE_SUS_2] = 2,
  [RC_DEGREE_SUS_4] = 5,    [RC_DEGREE_FLAT_5] = 6,
  [RC_DEGREE_5] = 7,        [RC_DEGREE_SHARP_5] = 8,
  [RC_DEGREE_6] = 9,        [RC_DEGREE_DOUBLE_FLAT_7] = 9,
  [RC_DEGREE_FLAT_7] = 10,  [RC_DEGREE_7] = 11,
  [RC_DEGREE_FLAT_9] = 1,   [RC_DEGREE_9] = 2,
  [RC_DEGREE_SHARP_9] = 3,  [RC_DEGREE_11] = 5,
  [RC_DEGREE_SHARP_11] = 6, [RC_DEGREE_FLAT_13] = 8,
  [RC_DEGREE_13] = 9,
};

guint
rc_degree_semitones(RcDegree degree)
{
  return degree_semitones[degree];
}

static gboolean
degree_from_name(const char *name, gsize length, RcDegrees *degrees)
{
  for (guint i = 0; i < RC_N_DEGREES; ++i) {
    if (strlen(rc_degree_info[i].name) == length && !memcmp(rc_degree_info[i].name, name, length)) {
      *degrees |= 1U << i;
      return TRUE;
    }
  }
  return FALSE;
}

gboolean
rc_degrees_parse(const char *text, RcDegrees *degrees, gsize *stopped_at)
{
  RcDegrees read = 0;
  const char *at = text + strspn(text, " ,");
  while (*at) {
    const gsize length = strcspn(at, " ,");
    if (!degree_from_name(at, length, &read)) {
      break;
    }
    at += length;
    at += strspn(at, " ,");
  }
  if (stopped_at) {
    *stopped_at = (gsize)(at - text);
  }
  *degrees = read;
  return !*at && read;
}

RcDegrees
rc_degrees_settle(RcDegrees degrees)
{
  const RcDegrees sixth = RC_CHORD_DIMINISHED | RC_BIT(6);
  const gboolean is_seventh = (degrees & sixth) == sixth && !(degrees & (RC_SEVENTHS | RC_BIT(5)));
  return is_seventh ? degrees ^ (RC_BIT(6) | RC_BIT(DOUBLE_FLAT_7)) : degrees;
}

RcPcSet
rc_degrees_tones(RcDegrees degrees, guint root)
{
  guint tones = 0;
  for (guint degree = 0; degrees >> degree; ++degree) {
    tones |= (degrees >> degree & 1U) << degree_semitones[degree];
  }
  tones <<= root;
  return (RcPcSet)((tones | tones >> 12U) & 0xFFFU);
}

guint
rc_chord_degree_pc(const RcChord *chord, RcDegree degree)
{
  return (rc_note_pc(chord->root) + rc_degree_semitones(degree)) % 12U;
}

RcPcSet
rc_chord_tones(const RcChord *chord)
{
  const guint tones = rc_degrees_tones(chord->degrees, rc_note_pc(chord->root));
  return (RcPcSet)(tones | (1U << rc_note_pc(chord->bass)));
}
