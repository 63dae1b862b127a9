// Copyright 2026 the rowcall developers
// SPDX-License-Identifier: MIT

// Tempo, repeats and endings, jumps and rehearsal marks of a MusicXML score.

#include "corpus/musicxml/body.h"

#include <string.h>

// ------------------------------------------------------------------------------------------------------------ tempo

// Tempi that no player plays are passed over.
static void
set_tempo(RcMusicxmlReader *r, double quarters)
{
  RcSetting setting = { 0 };
  char text[64];
  char number[G_ASCII_DTOSTR_BUF_SIZE];
  g_snprintf(text, sizeof text, "1/4=%s", g_ascii_dtostr(number, sizeof number, quarters));
  if (rc_tempo_parse(text, (RcMeter){ 4, 4 }, &setting.tempo)) {
    mx_add_change(r, MX_CHANGE_TEMPO, &setting);
  }
}

static void
start_metronome(RcMusicxmlReader *r, const char **attributes)
{
  (void)attributes;
  r->metronome = (MxMetronome){ 0 };
}

static void
end_beat_unit(RcMusicxmlReader *r)
{
  static const char *const units[] = { "breve", "whole", "half", "quarter", "eighth", "16th", "32nd" };
  for (guint i = 0; i < G_N_ELEMENTS(units); ++i) {
    if (!strcmp(units[i], r->text)) {
      r->metronome.beat = 8.0 / (1U << i);
    }
  }
  ++r->metronome.beats;
}

static void
end_beat_unit_dot(RcMusicxmlReader *r)
{
  r->metronome.beat *= 1.5;
}

// "138", "c. 138"
static void
end_per_minute(RcMusicxmlReader *r)
{
  const char *digit = r->text + strcspn(r->text, "0123456789");
  r->metronome.per_minute = g_ascii_strtod(digit, NULL);
}

// One that sets two notes equal has no number.
static void
end_metronome(RcMusicxmlReader *r)
{
  if (r->metronome.beats == 1 && r->metronome.per_minute > 0) {
    set_tempo(r, r->metronome.beat * r->metronome.per_minute);
  }
}

// -------------------------------------------------------------------------------------------------- repeats and jumps

static void
start_repeat(RcMusicxmlReader *r, const char **attributes)
{
  enum { MOST_TIMES = 63 };
  const char *direction = mx_attribute(attributes, "direction");
  if (!direction) {
    return;
  }
  if (!strcmp(direction, "forward")) {
    mx_marks(r)->opens = TRUE;
  } else {
    mx_marks(r)->closes = MIN(mx_read_count(mx_attribute(attributes, "times"), 2), MOST_TIMES);
  }
}

// "1", "1, 2"
static guint64
read_endings(const char *text)
{
  enum { LAST_ENDING = 63 };
  guint64 endings = 0;
  for (const char *at = text; *at;) {
    at += strcspn(at, "0123456789");
    const guint n = mx_read_count(at, 0);
    endings |= n && n <= LAST_ENDING ? G_GUINT64_CONSTANT(1) << n : 0;
    at += strspn(at, "0123456789");
  }
  return endings;
}

static void
start_ending(RcMusicxmlReader *r, const char **attributes)
{
  const char *type = mx_attribute(attributes, "type");
  const char *number = mx_attribute(attributes, "number");
  if (!type) {
    return;
  }
  if (!strcmp(type, "start")) {
    mx_marks(r)->endings |= number ? read_endings(number) : 0;
  } else {
    mx_marks(r)->breaks = TRUE; // it ends here, also where nothing is repeated behind it
  }
}

// The piece or a section of it ends behind a thick line.
static void
end_bar_style(RcMusicxmlReader *r)
{
  mx_marks(r)->breaks |= !strcmp(r->text, "light-heavy") || !strcmp(r->text, "heavy-heavy");
}

static void
start_segno(RcMusicxmlReader *r, const char **attributes)
{
  (void)attributes;
  mx_marks(r)->jumps |= RC_JUMP_SEGNO;
}

typedef struct {
  const char *name;
  guint jumps;
} JumpName;

// What is played, and where it goes on.
static void
start_sound(RcMusicxmlReader *r, const char **attributes)
{
  static const JumpName names[] = { { "segno", RC_JUMP_SEGNO },    { "coda", RC_JUMP_CODA },
                                    { "tocoda", RC_JUMP_TO_CODA }, { "fine", RC_JUMP_FINE },
                                    { "dacapo", RC_JUMP_DA_CAPO }, { "dalsegno", RC_JUMP_DAL_SEGNO } };
  double tempo = 0;
  for (guint i = 0; i < G_N_ELEMENTS(names); ++i) {
    const char *value = mx_attribute(attributes, names[i].name);
    mx_marks(r)->jumps |= value && strcmp(value, "no") != 0 ? names[i].jumps : 0;
  }
  if (mx_attribute(attributes, "forward-repeat")) {
    mx_marks(r)->opens = TRUE;
  }
  const char *text = mx_attribute(attributes, "tempo");
  if (text && mx_read_number(text, &tempo)) {
    set_tempo(r, tempo);
  }
}

// Words that send players somewhere, where they are all that is written: "D.C. al Fine", "To Coda".
static void
end_words(RcMusicxmlReader *r)
{
  static const JumpName starts[] = { { "d.c", RC_JUMP_DA_CAPO },     { "dc al", RC_JUMP_DA_CAPO },
                                     { "da capo", RC_JUMP_DA_CAPO }, { "d.s", RC_JUMP_DAL_SEGNO },
                                     { "ds al", RC_JUMP_DAL_SEGNO }, { "dal segno", RC_JUMP_DAL_SEGNO },
                                     { "to coda", RC_JUMP_TO_CODA }, { "fine", RC_JUMP_FINE } };
  char *words = g_strstrip(g_ascii_strdown(r->text, -1));
  guint jumps = 0;
  for (guint i = 0; i < G_N_ELEMENTS(starts); ++i) {
    jumps |= g_str_has_prefix(words, starts[i].name) ? starts[i].jumps : 0;
  }
  if (jumps & (RC_JUMP_DA_CAPO | RC_JUMP_DAL_SEGNO)) {
    jumps |= strstr(words, "fine") ? RC_JUMP_AL_FINE : 0;
    jumps |= strstr(words, "coda") ? RC_JUMP_AL_CODA : 0;
  }
  if (jumps) {
    mx_marks(r)->jumps |= jumps;
  }
  g_free(words);
}

static void
end_rehearsal(RcMusicxmlReader *r)
{
  if (r->score.rehearsals.items->len >= RC_MAX_PARTS) {
    return;
  }
  const MxRehearsal mark = { g_strndup(r->text, MX_MAX_NAME), r->measure };
  if (!mx_track_add(&r->score.rehearsals, r->part, &mark)) {
    g_free(mark.label);
  }
}

// ------------------------------------------------------------------------------------------------------- the table

const MxElement mx_direction_elements[] = {
  { "metronome", NULL, start_metronome, end_metronome, FALSE },
  { "beat-unit", "metronome", NULL, end_beat_unit, TRUE },
  { "beat-unit-dot", "metronome", NULL, end_beat_unit_dot, FALSE },
  { "per-minute", "metronome", NULL, end_per_minute, TRUE },
  { "sound", NULL, start_sound, NULL, FALSE },
  { "direction-type", NULL, NULL, NULL, FALSE },
  { "segno", "direction-type", start_segno, NULL, FALSE },
  { "words", "direction-type", NULL, end_words, TRUE },
  { "rehearsal", "direction-type", NULL, end_rehearsal, TRUE },
  { "barline", MX_IN_MEASURE, NULL, NULL, FALSE },
  { "bar-style", "barline", NULL, end_bar_style, TRUE },
  { "repeat", "barline", start_repeat, NULL, FALSE },
  { "ending", "barline", start_ending, NULL, FALSE },
  { NULL, NULL, NULL, NULL, FALSE },
};
