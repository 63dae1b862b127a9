// Copyright 2026 the rowcall developers
// SPDX-License-Identifier: MIT

// The grading rules. See "How a stand-in is graded" in README.md.

#include "coverage/wanted.h"

#include <string.h>

static const char *const verdict_names[] = { "native", "A", "B", "C", "D", "E", "impossible", "unread" };
static const char *const verdict_words[] = { "native", "same",     "richer",     "leaner",
                                             "bare",   "borrowed", "impossible", "unread" };

const char *
rc_verdict_name(RcVerdict verdict)
{
  return verdict_names[verdict];
}

const char *
rc_verdict_word(RcVerdict verdict)
{
  return verdict_words[verdict];
}

gboolean
rc_grade_parse(const char *text, RcVerdict *grade)
{
  for (guint i = RC_SAME; i <= RC_BORROWED; ++i) {
    if (!g_ascii_strcasecmp(text, verdict_names[i]) || !g_ascii_strcasecmp(text, verdict_words[i])) {
      *grade = (RcVerdict)i;
      return TRUE;
    }
  }
  return FALSE;
}

// --------------------------------------------------------------------------------------------------- usual tensions

// Families of chords, by what must and what must not be in them, and the tensions players add without asking.
typedef struct {
  RcDegrees must;
  RcDegrees must_not;
  RcDegrees tensions;
  RcDegrees if_in_key; // only where the tune's key is known and has them
} Family;

#define HALF_DIMINISHED_7 (RC_CHORD_DIMINISHED | RC_BIT(FLAT_7))

static const Family families[] = {
  // major
  { RC_BIT(3), RC_BIT(FLAT_3) | RC_SUSPENDED | RC_ALTERED_FIFTHS | RC_SEVENTHS, RC_BIT(6) | RC_BIT(7) | RC_BIT(9), 0 },
  // minor
  { RC_BIT(FLAT_3), RC_BIT(3) | RC_SUSPENDED | RC_ALTERED_FIFTHS | RC_SEVENTHS, RC_BIT(FLAT_7) | RC_BIT(9) | RC_BIT(11),
    0 },
  // dominant
  { RC_BIT(3) | RC_BIT(FLAT_7), RC_BIT(FLAT_3) | RC_SUSPENDED | RC_ALTERED_FIFTHS | RC_BIT(7), RC_BIT(9) | RC_BIT(13),
    RC_BIT(FLAT_9) },
  // major seventh
  { RC_BIT(3) | RC_BIT(7), RC_BIT(FLAT_3) | RC_SUSPENDED | RC_ALTERED_FIFTHS | RC_BIT(FLAT_7), RC_BIT(9) | RC_BIT(13),
    0 },
  // minor seventh
  { RC_BIT(FLAT_3) | RC_BIT(FLAT_7), RC_BIT(3) | RC_SUSPENDED | RC_ALTERED_FIFTHS | RC_BIT(7), RC_BIT(9) | RC_BIT(11),
    0 },
  // half-diminished
  { HALF_DIMINISHED_7, RC_BIT(3) | RC_SUSPENDED | RC_BIT(5) | RC_BIT(SHARP_5) | RC_BIT(7), RC_BIT(11),
    RC_BIT(FLAT_13) },
};

// A suspended chord may resolve: the third that the key has, else the major third.
static RcPcSet
resolution(const RcRequest *request, guint root)
{
  const RcPcSet thirds = rc_degrees_tones(RC_THIRDS, root);
  return (request->key & thirds) ? request->key & thirds : rc_degrees_tones(RC_BIT(3), root);
}

static RcPcSet
usual_tensions(const RcRequest *request, guint root)
{
  const RcDegrees degrees = request->chord.degrees;
  if (degrees & RC_SUSPENDED) {
    return (degrees & (RC_THIRDS | RC_ALTERED_FIFTHS)) ? 0 : resolution(request, root);
  }
  for (guint i = 0; i < G_N_ELEMENTS(families); ++i) {
    if ((degrees & families[i].must) == families[i].must && !(degrees & families[i].must_not)) {
      const RcDegrees asked = request->key ? families[i].if_in_key : 0;
      return rc_degrees_tones(families[i].tensions | asked, root);
    }
  }
  return 0;
}

static RcPcSet
available_tones(const RcRequest *request, guint root)
{
  const RcPcSet usual = usual_tensions(request, root);
  return request->key ? usual & request->key : usual;
}

// ------------------------------------------------------------------------------------------------------- the rules

RcWanted
rc_wanted_new(const RcRequest *request)
{
  const RcChord *chord = &request->chord;
  const guint root = rc_note_pc(chord->root);
  const RcDegrees sixths_and_sevenths = chord->degrees & (RC_BIT(6) | RC_SEVENTHS);
  RcWanted w = { 0 };
  w.bass = rc_note_pc(chord->bass);
  w.root = rc_degrees_tones(RC_BIT(1), root);
  w.tones = rc_chord_tones(chord);
  w.third = rc_degrees_tones(chord->degrees & (RC_THIRDS | RC_SUSPENDED), root);
  const RcPcSet essential =
    (RcPcSet)(rc_degrees_tones(chord->degrees & (RC_BIT(1) | RC_ALTERED_FIFTHS), root) | w.third);
  const RcPcSet seventh = rc_degrees_tones(sixths_and_sevenths, root);
  const RcPcSet droppable = rc_degrees_tones(chord->degrees & (RC_BIT(5) | RC_TENSIONS), root);
  w.lean = (RcPcSet)((droppable | seventh) & ~essential);
  w.excused = sixths_and_sevenths ? rc_degrees_tones(chord->degrees & RC_BIT(5), root) : 0;
  w.available = available_tones(request, root);
  w.melody = (RcPcSet)(request->melody & ~(1U << w.bass)); // the bass is the left hand's
  w.brisk = request->brisk;
  return w;
}

RcGrading
rc_wanted_grade(const RcWanted *w, RcPcSet sounded, guint bass)
{
  RcGrading g = { RC_IMPOSSIBLE, 0, 0, 0, 0 };
  g.kept = sounded & w->tones;
  g.missing = (RcPcSet)(w->tones & ~sounded & ~w->excused & ~w->melody);
  g.foreign = (RcPcSet)(sounded & ~w->tones);
  g.helped = (RcPcSet)(w->tones & ~sounded & ~w->excused & w->melody);
  const gboolean bass_right = bass == w->bass;
  const gboolean root_right = (sounded & w->root) != 0;
  const gboolean third_sounds = (w->third & ~sounded) == 0;
  const gboolean fits = (g.foreign & ~w->available) == 0;
  if (bass_right && third_sounds && !g.missing && !g.foreign) {
    g.verdict = RC_SAME;
  } else if (bass_right && third_sounds && !g.missing && fits) {
    g.verdict = RC_RICHER;
  } else if (bass_right && root_right && third_sounds && !(g.missing & ~w->lean) && !g.foreign) {
    g.verdict = RC_LEANER;
  } else if (bass_right && root_right && !third_sounds && !g.foreign &&
             (w->brisk || !(w->third & ~sounded & ~w->melody))) {
    g.verdict = RC_BARE;
  } else if (fits && rc_pcs_count(g.kept) >= 2) {
    g.verdict = RC_BORROWED;
  }
  return g;
}

RcGrading
rc_grade(const RcRequest *request, RcPcSet sounded, guint bass)
{
  const RcWanted wanted = rc_wanted_new(request);
  return rc_wanted_grade(&wanted, sounded, bass);
}
