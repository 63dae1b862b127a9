// Copyright 2026 the rowcall developers
// SPDX-License-Identifier: MIT

// What a MusicXML score leaves to the reader: how far an ending reaches, which measure a sign is at, and when chords
// begin that are written at one place.

#include "corpus/musicxml/score.h"

// ---------------------------------------------------------------------------------------------------------- endings

enum { FIRST_ENDING = 1 << 1 };

// Whether an ending whose bracket stops at a measure without a repeat reaches on: the first of a repeat to the next
// backward repeat, others only to one that a further ending follows; or to the next ending.
static gboolean
reaches_on(const GArray *marks, guint measure, guint64 endings)
{
  for (guint next = measure + 1; next < marks->len; ++next) {
    const RcBarMarks *m = &g_array_index(marks, RcBarMarks, next);
    if (m->opens) {
      return FALSE;
    }
    if (m->endings) {
      return !(m->endings & FIRST_ENDING);
    }
    if (m->closes) {
      const guint64 after = next + 1 < marks->len ? (m + 1)->endings : 0;
      return (endings & FIRST_ENDING) || (after && !(after & FIRST_ENDING));
    }
    if (m->breaks) {
      return FALSE;
    }
  }
  return FALSE;
}

static void
settle_endings(MxScore *score)
{
  guint64 endings = 0; // of the bracket that is open
  for (guint i = 0; i < score->measures->len; ++i) {
    RcBarMarks *m = &g_array_index(score->marks, RcBarMarks, i);
    if (m->endings) {
      endings = m->endings;
    }
    if (g_array_index(score->measures, MxMeasureAt, i).stops) {
      m->breaks |= m->closes || !endings || !reaches_on(score->marks, i, endings);
    }
  }
}

// ------------------------------------------------------------------------------------------------------------ signs

// What is printed of a jump beside it, "al Coda", but far from any D.C. or D.S. is where to leave.
static void
settle_words(GArray *marks, gboolean *leaves)
{
  for (guint i = 0; i < marks->len; ++i) {
    RcBarMarks *m = &g_array_index(marks, RcBarMarks, i);
    if (!(m->jumps & (RC_JUMP_DA_CAPO | RC_JUMP_DAL_SEGNO)) && (m->jumps & (RC_JUMP_AL_CODA | RC_JUMP_AL_FINE))) {
      m->jumps |= (m->jumps & RC_JUMP_AL_CODA) ? RC_JUMP_TO_CODA : 0U;
      m->jumps &= ~(guint)(RC_JUMP_AL_CODA | RC_JUMP_AL_FINE);
    }
    *leaves |= (m->jumps & RC_JUMP_TO_CODA) != 0;
  }
}

static gboolean
coda_follows(const GArray *signs, guint i)
{
  const MxSignAt *sign = &g_array_index(signs, MxSignAt, i);
  for (guint j = 0; j < signs->len; ++j) {
    const MxSignAt *other = &g_array_index(signs, MxSignAt, j);
    if ((other->signs & RC_JUMP_CODA) && other->measure > sign->measure) {
      return TRUE;
    }
  }
  return FALSE;
}

// A sign after the last note is at the bar line, so the next measure's. One among the notes is its own measure's, but
// for the first of two codas, where players leave after this measure.
static guint
measure_of(const MxScore *score, guint i, gboolean leaves)
{
  const MxSignAt *sign = &g_array_index(score->signs, MxSignAt, i);
  const RcTicks length = g_array_index(score->measures, MxMeasureAt, sign->measure).length;
  const gboolean ends = sign->pos == MX_MEASURE_END || (sign->pos > 0 && sign->pos >= length);
  const gboolean is_leave = sign->pos > 0 && (sign->signs & RC_JUMP_CODA) && !leaves && coda_follows(score->signs, i);
  return sign->measure + (ends || is_leave);
}

void
mx_settle_marks(MxScore *score)
{
  gboolean leaves = FALSE; // it is written where to
  settle_endings(score);
  settle_words(score->marks, &leaves);
  for (guint i = 0; i < score->signs->len; ++i) {
    const guint measure = measure_of(score, i, leaves);
    if (measure < score->marks->len) {
      g_array_index(score->marks, RcBarMarks, measure).jumps |= g_array_index(score->signs, MxSignAt, i).signs;
    }
  }
  rc_link_marks(score->marks);
}

// ----------------------------------------------------------------------------------------------------------- chords

// Whether all are drawn one to the right of the other.
static gboolean
is_drawn(const MxChordAt *chords, guint n)
{
  for (guint i = 0; i < n; ++i) {
    const gboolean first = !i && !chords[i].drawn.drawn && chords[i].drawn.x == 0;
    if (!chords[i].drawn.drawn && !first) {
      return FALSE;
    }
    if (i && chords[i].drawn.x <= chords[i - 1].drawn.x) {
      return FALSE;
    }
  }
  return TRUE;
}

// The beat that a chord is drawn at, of so many: at least one after the chord before, and one for each that follows.
static guint
drawn_beat(const MxChordAt *chords, guint i, guint n, guint beats, guint before, double right)
{
  const double left = chords[0].drawn.x;
  const double share = (chords[i].drawn.x - left) / (right - left);
  const guint beat = (guint)(CLAMP(share, 0, 1) * beats + 0.5);
  return CLAMP(beat, before + 1, beats - (n - i));
}

// Three or more chords by where they are drawn, up to the measure's right end or as far after the last as they are
// apart; of two that would say nothing.
static gboolean
share_by_drawing(MxChordAt *chords, guint n, RcTicks start, RcTicks length, RcTicks beat, double width)
{
  const guint beats = beat > 0 && length % beat == 0 ? (guint)MIN(length / beat, G_MAXINT16) : 0;
  if (beats < n || !is_drawn(chords, n)) {
    return FALSE;
  }
  const double last = chords[n - 1].drawn.x;
  const double apart = (last - chords[0].drawn.x) / (n - 1);
  const double right = width > last ? width : last + apart;
  guint before = 0;
  for (guint i = 1; i < n; ++i) {
    before = drawn_beat(chords, i, n, beats, before, right);
    chords[i].at.pos = start + beat * before;
  }
  return TRUE;
}

static void
share_equally(MxChordAt *chords, guint n, RcTicks start, RcTicks length)
{
  for (guint i = 1; i < n; ++i) {
    chords[i].at.pos = start + length * i / n;
  }
}

gboolean
mx_share_time(MxChordAt *chords, guint n, RcTicks length, RcTicks beat, double width)
{
  gboolean shared = FALSE;
  for (guint i = 0; i < n;) {
    const RcTicks start = chords[i].at.pos;
    guint next = i + 1;
    while (next < n && chords[next].at.pos == start) {
      ++next;
    }
    const RcTicks end = next < n ? chords[next].at.pos : length;
    const guint here = next - i;
    if (here > 1 && end > start) {
      const double right = next == n ? width : 0;
      if (!share_by_drawing(&chords[i], here, start, end - start, beat, right)) {
        share_equally(&chords[i], here, start, end - start);
      }
      shared = TRUE;
    }
    i = next;
  }
  return shared;
}
