// Copyright 2026 the rowcall developers
// SPDX-License-Identifier: MIT

// Reeds, added up from harmonics once and then read out at any pitch: a table holds one turn of a reed that sounds so
// many harmonics, scaled to a peak of 1.

#include "rowcall/sound.h"

#include <math.h>
#include <string.h>

enum {
  HARMONICS = 12,  // as the likeness has them
  TABLE_BITS = 12, // of a table's index; the rest of a phase lies between two entries
  TABLE = 1 << TABLE_BITS,
  REST_BITS = 32 - TABLE_BITS,
  REEDS = 2, // most of a voice
  A440 = 69,
  PITCHES = 128
};

static const double roll_off = 0.75; // as the likeness has it
static const double turn = 2 * G_PI;
static const double attack = 0.018; // seconds
static const double release = 0.045;

// A set of reeds that sound together. The loudest that rc_score_add() asks for at once is a bass at 112 of 127, chords
// of four times 78 and a note of melody at 96: together under 1 even where all their peaks meet.
typedef struct {
  double level;
  struct {
    int semitones; // above the note
    double share;
    double cents; // out of tune, at most; see detune()
  } reeds[REEDS];
  guint n;
} Register;

static const Register registers[RC_N_VOICES] = {
  [RC_VOICE_BASS] = { 0.34, { { 0, 0.55, 0.8 }, { 12, 0.45, 1.5 } }, 2 },
  [RC_VOICE_CHORD] = { 0.22, { { 0, 0.7, 1.2 }, { 12, 0.3, 1.5 } }, 2 },
  [RC_VOICE_MELODY] = { 0.18, { { 0, 1, 0.5 } }, 1 },
};

// One reed of a sounding note.
typedef struct {
  const float *table;
  guint32 phase; // 2^32 is a turn
  guint32 step;
  float level;
} Reed;

typedef struct {
  gint64 start; // samples
  gint64 end;
  gint64 attack; // length
  gint64 release;
  guint n;
  Reed reeds[REEDS];
} Sounding;

struct RcRender {
  const RcScore *score;
  guint next; // note to come
  gint64 at;  // the next sample
  gint64 end;
  GArray *sounding;             // of Sounding
  float *tables[HARMONICS + 1]; // by harmonics, made when needed
};

// ----------------------------------------------------------------------------------------------------------- tables

// The phases, pi i (i - 1) / n, spread the peaks of the harmonics: M. R. Schroeder (1970), Synthesis of low-peak-factor
// signals and binary sequences with low autocorrelation, IEEE Trans. Information Theory 16(1), for a flat spectrum.
static double
turn_at(guint harmonics, double phase)
{
  double sum = 0;
  for (guint i = 1; i <= harmonics; ++i) {
    sum += pow(i, -roll_off) * sin(turn * phase * i - G_PI * i * (i - 1) / HARMONICS);
  }
  return sum;
}

// The last entry is after the end, for reading between two.
static float *
make_table(guint harmonics)
{
  float *table = g_new(float, TABLE + 1);
  float peak = 0;
  for (guint i = 0; i <= TABLE; ++i) {
    table[i] = (float)turn_at(harmonics, (double)(i % TABLE) / TABLE);
    peak = MAX(peak, fabsf(table[i]));
  }
  for (guint i = 0; i <= TABLE; ++i) {
    table[i] /= peak;
  }
  return table;
}

// As many harmonics as the rate carries.
static const float *
table_for(RcRender *r, double frequency)
{
  const double carried = 0.45 * RC_SOUND_RATE / frequency;
  const guint harmonics = carried < 1 ? 1 : (guint)MIN(carried, HARMONICS);
  if (!r->tables[harmonics]) {
    r->tables[harmonics] = make_table(harmonics);
  }
  return r->tables[harmonics];
}

// ------------------------------------------------------------------------------------------------------------- notes

// How far a reed is out of tune, from -1 to 1: each reed its own way, always the same.
static double
detune(guint pitch)
{
  static const guint seed = 7;
  return (double)((pitch * pitch * 29U + pitch * 11U + seed) % 41U) / 20 - 1;
}

static Reed
make_reed(RcRender *r, const Register *of, guint index, guint pitch, double level)
{
  const guint reed = pitch + (guint)of->reeds[index].semitones;
  const double semitones = (double)reed - A440 + of->reeds[index].cents * detune(reed) / 100;
  const double frequency = 440 * exp2(semitones / 12);
  const double step = frequency / RC_SOUND_RATE * exp2(32);
  return (Reed){ table_for(r, frequency), 0, (guint32)llround(step), (float)(level * of->reeds[index].share) };
}

static gint64
sample_at(const RcRender *r, RcTicks at)
{
  return llround(rc_score_seconds(r->score, at) * RC_SOUND_RATE);
}

static void
start_note(RcRender *r, const RcScoreNote *note)
{
  const Register *of = &registers[note->voice];
  Sounding s = { .start = sample_at(r, note->start), .end = sample_at(r, note->start + note->length), .n = of->n };
  const gint64 length = MAX(s.end - s.start, 0);
  s.attack = MIN((gint64)(attack * RC_SOUND_RATE), length / 3);
  s.release = MIN((gint64)(release * RC_SOUND_RATE), length / 3);
  for (guint i = 0; i < of->n; ++i) {
    s.reeds[i] = make_reed(r, of, i, note->pitch, of->level * note->level / 127);
  }
  g_array_append_val(r->sounding, s);
}

static void
add_reed(Reed *reed, float *out, guint n)
{
  const float *table = reed->table;
  const float level = reed->level;
  const float between = 1.0F / (float)(1U << REST_BITS);
  guint32 phase = reed->phase;
  for (guint i = 0; i < n; ++i, phase += reed->step) {
    const guint32 entry = phase >> REST_BITS;
    const float rest = (float)(gint32)(phase & ((1U << REST_BITS) - 1)) * between;
    out[i] += level * (table[entry] + rest * (table[entry + 1] - table[entry]));
  }
  reed->phase = phase;
}

// A soft step: half a turn of a cosine.
static float
fade(gint64 at, gint64 length)
{
  return at >= length ? 1 : (float)(0.5 - 0.5 * cos(G_PI * (double)at / (double)length));
}

// The part of a note that lies within `n` samples from `at` on.
static void
add_sounding(Sounding *s, gint64 at, float *samples, guint n)
{
  float out[RC_SOUND_BLOCK] = { 0 };
  const gint64 from = MAX(s->start - at, 0);
  const gint64 to = MIN(s->end - at, (gint64)n);
  if (to <= from) {
    return;
  }
  for (guint i = 0; i < s->n; ++i) {
    add_reed(&s->reeds[i], out, (guint)(to - from));
  }
  const gboolean shaped = at + from < s->start + s->attack || at + to > s->end - s->release;
  for (gint64 i = from; i < to; ++i) {
    const float shape = shaped ? fade(at + i - s->start, s->attack) * fade(s->end - at - i, s->release) : 1;
    samples[i] += shape * out[i - from];
  }
}

// ---------------------------------------------------------------------------------------------------------- rendering

RcRender *
rc_render_new(const RcScore *score)
{
  RcRender *r = g_new0(RcRender, 1);
  r->score = score;
  r->sounding = g_array_new(FALSE, FALSE, sizeof(Sounding));
  r->end = sample_at(r, score->length);
  return r;
}

void
rc_render_free(RcRender *r)
{
  if (r) {
    for (guint i = 0; i <= HARMONICS; ++i) {
      g_free(r->tables[i]);
    }
    g_array_unref(r->sounding);
    g_free(r);
  }
}

static void
start_notes(RcRender *r, gint64 until)
{
  for (; r->next < r->score->notes->len; ++r->next) {
    const RcScoreNote *note = &g_array_index(r->score->notes, RcScoreNote, r->next);
    if (sample_at(r, note->start) >= until) {
      break;
    }
    start_note(r, note);
  }
}

guint
rc_render_next(RcRender *r, float samples[RC_SOUND_BLOCK])
{
  const guint n = (guint)CLAMP(r->end - r->at, 0, RC_SOUND_BLOCK);
  memset(samples, 0, RC_SOUND_BLOCK * sizeof *samples);
  start_notes(r, r->at + n);
  for (guint i = r->sounding->len; i-- > 0;) {
    Sounding *s = &g_array_index(r->sounding, Sounding, i);
    add_sounding(s, r->at, samples, n);
    if (s->end <= r->at + n) {
      g_array_remove_index(r->sounding, i);
    }
  }
  r->at += n;
  return n;
}
