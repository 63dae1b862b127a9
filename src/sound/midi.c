// Copyright 2026 the rowcall developers
// SPDX-License-Identifier: MIT

// Standard MIDI Files 1.0 (MIDI Manufacturers Association), format 1.

#include "sound/midi.h"

#include <math.h>
#include <string.h>

enum {
  DIVISION = 720, // to the quarter note: 1001 of our ticks each
  ACCORDION = 21, // General MIDI level 1, counted from 0
  NOTE_OFF = 0x80,
  NOTE_ON = 0x90,
  PROGRAM = 0xC0,
  META = 0xFF,
  META_NAME = 0x03,
  META_END = 0x2F,
  META_TEMPO = 0x51,
  META_METER = 0x58
};

static const char *const voice_names[RC_N_VOICES] = { "Bass", "Chords", "Melody" };

// A track being written.
typedef struct {
  GByteArray *bytes;
  gint64 at; // of the last event, in divisions
} Track;

static void
add_byte(GByteArray *bytes, guint value)
{
  const guint8 byte = (guint8)value;
  g_byte_array_append(bytes, &byte, 1);
}

static void
add_number(GByteArray *bytes, guint32 value, guint size)
{
  while (size-- > 0) {
    add_byte(bytes, (value >> (8 * size)) & 0xFFU);
  }
}

// Seven bits a byte, the highest first; all but the last have the top bit.
static void
add_variable(GByteArray *bytes, guint32 value)
{
  for (guint shift = 28; shift > 0; shift -= 7) {
    if (value >> shift) {
      add_byte(bytes, ((value >> shift) & 0x7FU) | 0x80U);
    }
  }
  add_byte(bytes, value & 0x7FU);
}

// Rounded from the beginning, so that nothing drifts.
static gint64
divisions(RcTicks at)
{
  return (at * DIVISION + RC_QUARTER / 2) / RC_QUARTER;
}

static void
move_to(Track *track, gint64 at)
{
  add_variable(track->bytes, (guint32)MAX(at - track->at, 0));
  track->at = MAX(at, track->at);
}

static void
add_meta(Track *track, gint64 at, guint type, guint length)
{
  move_to(track, at);
  add_byte(track->bytes, META);
  add_byte(track->bytes, type);
  add_variable(track->bytes, length);
}

static void
end_track(Track *track, GByteArray *file, gint64 at)
{
  add_meta(track, at, META_END, 0);
  g_byte_array_append(file, (const guint8 *)"MTrk", 4);
  add_number(file, track->bytes->len, 4);
  g_byte_array_append(file, track->bytes->data, track->bytes->len);
  g_byte_array_unref(track->bytes);
}

static void
add_meter(Track *track, gint64 at, RcMeter meter)
{
  enum { CLOCKS_A_WHOLE = 96, THIRTYSECONDS = 8 };
  add_meta(track, at, META_METER, 4);
  add_byte(track->bytes, meter.beats);
  add_byte(track->bytes, (guint)g_bit_nth_lsf(meter.unit, -1));
  add_byte(track->bytes, (guint)CLAMP(rc_meter_beat(meter) * CLOCKS_A_WHOLE / (4 * RC_QUARTER), 1, 255));
  add_byte(track->bytes, THIRTYSECONDS);
}

static void
add_tempi(const RcScore *score, GByteArray *file)
{
  Track track = { g_byte_array_new(), 0 };
  for (guint i = 0; i < score->tempi->len; ++i) {
    const RcScoreTempo *tempo = &g_array_index(score->tempi, RcScoreTempo, i);
    const gint64 at = divisions(tempo->at);
    add_meta(&track, at, META_TEMPO, 3);
    add_number(track.bytes, (guint32)lround(60e6 / tempo->quarters), 3);
    add_meter(&track, at, tempo->meter);
  }
  end_track(&track, file, divisions(score->length));
}

// A note's beginning or end.
typedef struct {
  gint64 at;
  gboolean on;
  guint8 pitch;
  guint8 level;
} Change;

// Ends before beginnings, so that a note may be struck again at once.
static int
by_time(gconstpointer a, gconstpointer b)
{
  const Change *left = a;
  const Change *right = b;
  if (left->at != right->at) {
    return left->at < right->at ? -1 : 1;
  }
  return left->on != right->on ? left->on - right->on : (int)left->pitch - right->pitch;
}

static GArray *
changes_of(const RcScore *score, RcVoice voice)
{
  GArray *changes = g_array_new(FALSE, FALSE, sizeof(Change));
  for (guint i = 0; i < score->notes->len; ++i) {
    const RcScoreNote *note = &g_array_index(score->notes, RcScoreNote, i);
    const Change on = { divisions(note->start), TRUE, note->pitch, note->level };
    const Change off = { divisions(note->start + note->length), FALSE, note->pitch, 0 };
    if (note->voice == voice && off.at > on.at) {
      g_array_append_val(changes, on);
      g_array_append_val(changes, off);
    }
  }
  g_array_sort(changes, by_time);
  return changes;
}

static void
add_voice(const RcScore *score, GArray *changes, RcVoice voice, GByteArray *file)
{
  Track track = { g_byte_array_new(), 0 };
  const gsize length = strlen(voice_names[voice]);
  add_meta(&track, 0, META_NAME, (guint)length);
  g_byte_array_append(track.bytes, (const guint8 *)voice_names[voice], (guint)length);
  add_variable(track.bytes, 0);
  add_byte(track.bytes, PROGRAM | (guint)voice);
  add_byte(track.bytes, ACCORDION);
  for (guint i = 0; i < changes->len; ++i) {
    const Change *change = &g_array_index(changes, Change, i);
    move_to(&track, change->at);
    add_byte(track.bytes, (change->on ? NOTE_ON : NOTE_OFF) | (guint)voice);
    add_byte(track.bytes, change->pitch);
    add_byte(track.bytes, change->level);
  }
  end_track(&track, file, divisions(score->length));
}

GBytes *
rc_midi_file(const RcScore *score)
{
  enum { FORMAT = 1, HEAD = 6, N_TRACKS_AT = 11 };
  GByteArray *file = g_byte_array_new();
  guint8 tracks = 1;
  g_byte_array_append(file, (const guint8 *)"MThd", 4);
  add_number(file, HEAD, 4);
  add_number(file, FORMAT, 2);
  add_number(file, tracks, 2);
  add_number(file, DIVISION, 2);
  add_tempi(score, file);
  for (guint voice = 0; voice < RC_N_VOICES; ++voice) {
    GArray *changes = changes_of(score, (RcVoice)voice);
    if (changes->len) {
      add_voice(score, changes, (RcVoice)voice, file);
      ++tracks;
    }
    g_array_unref(changes);
  }
  file->data[N_TRACKS_AT] = tracks;
  return g_byte_array_free_to_bytes(file);
}
