// Copyright 2026 the rowcall developers
// SPDX-License-Identifier: MIT

// The grading rules. See "How a stand-in is graded" in RULES.md.

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

// ------------------------------------------------------------------------------------------------------- the chord

static RcPcSet
tones_above(const RcChord *chord, RcDegrees degrees)
{
  return rc_degrees_tones(degrees, rc_note_pc(chord->root));
}

#define SEVENTH_OR_SUSPENDED (RC_SEVENTHS | RC_SUSPENDED)
#define NINTHS (RC_BIT(FLAT_9) | RC_BIT(9) | RC_BIT(SHARP_9))

// An eleven that is written as the number of the chord has some ninth below it; an added one may not.
static gboolean
is_dominant_11(RcDegrees degrees)
{
  const RcDegrees all = RC_BIT(3) | RC_BIT(FLAT_7) | RC_BIT(11);
  return (degrees & all) == all && (degrees & NINTHS) && !(degrees & RC_BIT(13));
}

// The tones a player is asked for: 11 and 13 write the seventh and no tension below, though the symbol's degrees have
// them all; and a dominant 11 has its eleventh in place of the third.
static RcDegrees
written_degrees(RcDegrees degrees)
{
  RcDegrees unwritten = 0;
  if ((degrees & SEVENTH_OR_SUSPENDED) && (degrees & RC_BIT(13)) && (degrees & (RC_BIT(11) | RC_BIT(SHARP_11)))) {
    unwritten = RC_BIT(9) | RC_BIT(11);
  } else if ((degrees & SEVENTH_OR_SUSPENDED) && (degrees & RC_BIT(11)) && (degrees & NINTHS)) {
    unwritten = RC_BIT(9);
  }
  return degrees & ~(unwritten | (is_dominant_11(degrees) ? RC_BIT(3) : 0));
}

RcPcSet
rc_wanted_tones(const RcChord *chord)
{
  return tones_above(chord, written_degrees(chord->degrees)) | (RcPcSet)(1U << rc_note_pc(chord->bass));
}

static RcDegrees
implied_degrees(RcDegrees degrees)
{
  const RcDegrees written = written_degrees(degrees);
  const gboolean seventh = (degrees & SEVENTH_OR_SUSPENDED) != 0;
  const gboolean eleven = (written & RC_BIT(11)) && (degrees & NINTHS);
  const gboolean altered = (degrees & NINTHS & ~RC_BIT(9)) != 0;
  const gboolean diminished = (degrees & RC_CHORD_DIMINISHED) == RC_CHORD_DIMINISHED;
  RcDegrees implied = is_dominant_11(degrees) ? RC_BIT(3) : 0;
  implied |= seventh && (eleven || (written & RC_BIT(13))) && !altered ? RC_BIT(9) : 0;
  implied |= seventh && (written & RC_BIT(13)) && (degrees & RC_BIT(FLAT_3)) ? RC_BIT(11) : 0;
  implied |= diminished && !(degrees & (RC_SEVENTHS | RC_BIT(6))) ? RC_BIT(DOUBLE_FLAT_7) : 0;
  return implied & ~written;
}

static RcDegrees
third_degrees(RcDegrees degrees)
{
  const RcDegrees written = written_degrees(degrees);
  return is_dominant_11(degrees) ? RC_BIT(11) : (written & RC_SUSPENDED) ? written & RC_SUSPENDED : written & RC_THIRDS;
}

// --------------------------------------------------------------------------------------------------- usual tensions

typedef enum {
  PLAIN_FAMILY,
  MAJOR_FAMILY,     // a minor seventh where the chord leads home
  DOMINANT_FAMILY,  // lowered tensions where it does
  SUS_2_FAMILY,     // the key's third
  SUS_4_FAMILY,     // the same, but only for E
  THIRDLESS_FAMILY, // the key's third where it is known
} FamilyKind;

// Chords by what must and what must not be in them, the tensions players add without asking, and what E takes besides.
typedef struct {
  FamilyKind kind;
  RcDegrees must;
  RcDegrees must_not;
  RcDegrees usual;
  RcDegrees borrowed;
  RcDegrees by_key; // what the key may make usual, or E take
} Family;

#define SIXTH_OR_SEVENTH (RC_BIT(6) | RC_SEVENTHS)

// The first that fits is taken. Tensions never matter, nor does a fifth that no family names.
static const Family families[] = {
  { .kind = SUS_4_FAMILY,
    .must = RC_BIT(SUS_4),
    .usual = RC_BIT(FLAT_7) | RC_BIT(9) | RC_BIT(13),
    .by_key = RC_THIRDS },
  { .kind = SUS_2_FAMILY, .must = RC_BIT(SUS_2), .usual = RC_BIT(13), .by_key = RC_THIRDS },
  // half-diminished
  { .kind = PLAIN_FAMILY,
    .must = RC_CHORD_DIMINISHED | RC_BIT(FLAT_7),
    .must_not = RC_BIT(3),
    .usual = RC_BIT(11) | RC_BIT(FLAT_13) },
  // diminished seventh, then triad
  { .kind = PLAIN_FAMILY,
    .must = RC_CHORD_DIMINISHED_7,
    .must_not = RC_BIT(3) | RC_BIT(7),
    .usual = RC_BIT(11) | RC_BIT(FLAT_13),
    .borrowed = RC_BIT(9) },
  { .kind = PLAIN_FAMILY,
    .must = RC_CHORD_DIMINISHED,
    .must_not = RC_BIT(3) | SIXTH_OR_SEVENTH,
    .usual = RC_BIT(FLAT_7) | RC_BIT(11) | RC_BIT(FLAT_13),
    .borrowed = RC_BIT(9) },
  { .kind = DOMINANT_FAMILY,
    .must = RC_BIT(3) | RC_BIT(FLAT_7),
    .must_not = RC_BIT(FLAT_3),
    .usual = RC_BIT(9) | RC_BIT(13),
    .borrowed = RC_BIT(FLAT_9) | RC_BIT(SHARP_11) | RC_BIT(FLAT_13),
    .by_key = RC_BIT(SHARP_9) },
  // major seventh
  { .kind = PLAIN_FAMILY, .must = RC_BIT(3) | RC_BIT(7), .must_not = RC_BIT(FLAT_3), .usual = RC_BIT(9) | RC_BIT(13) },
  // minor with major seventh, minor seventh
  { .kind = PLAIN_FAMILY, .must = RC_BIT(FLAT_3) | RC_BIT(7), .must_not = RC_BIT(3), .usual = RC_BIT(9) },
  { .kind = PLAIN_FAMILY,
    .must = RC_BIT(FLAT_3) | RC_BIT(FLAT_7),
    .must_not = RC_BIT(3),
    .usual = RC_BIT(9) | RC_BIT(11) },
  // sixths
  { .kind = PLAIN_FAMILY, .must = RC_BIT(3) | RC_BIT(6), .must_not = RC_BIT(FLAT_3) | RC_SEVENTHS, .usual = RC_BIT(9) },
  { .kind = PLAIN_FAMILY,
    .must = RC_BIT(FLAT_3) | RC_BIT(6),
    .must_not = RC_BIT(3) | RC_SEVENTHS,
    .usual = RC_BIT(9) | RC_BIT(11) },
  // augmented, and a major triad with a lowered fifth
  { .kind = PLAIN_FAMILY,
    .must = RC_BIT(3) | RC_BIT(SHARP_5),
    .must_not = RC_BIT(FLAT_3) | RC_BIT(5) | SIXTH_OR_SEVENTH,
    .usual = RC_BIT(FLAT_7) | RC_BIT(9) | RC_BIT(7) },
  { .kind = PLAIN_FAMILY,
    .must = RC_BIT(3) | RC_BIT(FLAT_5),
    .must_not = RC_BIT(FLAT_3) | RC_BIT(5) | SIXTH_OR_SEVENTH,
    .usual = RC_BIT(FLAT_7) | RC_BIT(9) | RC_BIT(7) },
  { .kind = MAJOR_FAMILY,
    .must = RC_BIT(3),
    .must_not = RC_BIT(FLAT_3) | SIXTH_OR_SEVENTH,
    .usual = RC_BIT(6) | RC_BIT(9) | RC_BIT(7),
    .by_key = RC_BIT(FLAT_7) | RC_BIT(FLAT_9) },
  { .kind = PLAIN_FAMILY,
    .must = RC_BIT(FLAT_3),
    .must_not = RC_BIT(3) | SIXTH_OR_SEVENTH,
    .usual = RC_BIT(FLAT_7) | RC_BIT(9) | RC_BIT(11) },
  { .kind = THIRDLESS_FAMILY, .must_not = RC_THIRDS | SIXTH_OR_SEVENTH, .by_key = RC_THIRDS },
};

static const Family *
family_of(RcDegrees degrees)
{
  static const Family none = { .kind = PLAIN_FAMILY };
  for (guint i = 0; i < G_N_ELEMENTS(families); ++i) {
    if ((degrees & families[i].must) == families[i].must && !(degrees & families[i].must_not)) {
      return &families[i];
    }
  }
  return &none;
}

// What is asked for closes its degree: a chord with a lowered ninth is not given a natural one.
static const struct {
  RcDegrees asked;
  RcDegrees closed;
} closing[] = {
  { RC_BIT(FLAT_9) | RC_BIT(SHARP_9), RC_BIT(9) },
  { RC_BIT(9), RC_BIT(FLAT_9) },
  { RC_BIT(SHARP_5) | RC_BIT(FLAT_13), RC_BIT(13) | RC_BIT(6) },
  { RC_BIT(13), RC_BIT(FLAT_13) },
  { RC_BIT(6), RC_BIT(FLAT_7) | RC_BIT(7) },
};

static RcDegrees
closed_degrees(RcDegrees degrees)
{
  const RcDegrees asked = written_degrees(degrees) | implied_degrees(degrees);
  RcDegrees closed = family_of(degrees)->kind == MAJOR_FAMILY && asked & RC_BIT(9) ? RC_BIT(7) : 0;
  for (guint i = 0; i < G_N_ELEMENTS(closing); ++i) {
    closed |= (asked & closing[i].asked) ? closing[i].closed : 0;
  }
  return closed;
}

// Where a dominant on the chord's root leads: to a minor triad of the key a fifth below.
static gboolean
leads_home(const RcChord *chord, const RcScale *key)
{
  return rc_pcs_has(key->minors, (rc_note_pc(chord->root) + 5) % 12);
}

static RcDegrees
thirds_of_key(const RcChord *chord, const RcScale *key)
{
  return ((key->tones & tones_above(chord, RC_BIT(3))) ? RC_BIT(3) : 0) |
         ((key->tones & tones_above(chord, RC_BIT(FLAT_3))) ? RC_BIT(FLAT_3) : 0);
}

// Degrees that are allowed; `fit` are those of `with_seventh` that the key takes though it lacks them.
typedef struct {
  RcDegrees always;
  RcDegrees with_seventh;
  RcDegrees fit;
} Usual;

static Usual
usual_degrees(const RcChord *chord, const RcScale *key)
{
  const Family *family = family_of(chord->degrees);
  const gboolean home = leads_home(chord, key);
  const gboolean by_thirds = family->kind == SUS_2_FAMILY || family->kind == THIRDLESS_FAMILY;
  Usual usual = { .always = family->usual };
  if (family->kind == DOMINANT_FAMILY && key->tones) {
    usual.with_seventh = RC_BIT(FLAT_9) | RC_BIT(FLAT_13);
  } else if (family->kind == MAJOR_FAMILY && home) {
    usual.always |= RC_BIT(FLAT_7);
    usual.with_seventh = RC_BIT(FLAT_9);
  } else if (family->kind == MAJOR_FAMILY && key->fifth & tones_above(chord, RC_BIT(1))) {
    usual.always |= RC_BIT(FLAT_7);
  } else if (by_thirds && key->tones) {
    usual.always |= thirds_of_key(chord, key);
  } else if (family->kind == SUS_2_FAMILY) {
    usual.always |= RC_BIT(3);
  }
  usual.fit = home ? usual.with_seventh : 0;
  return usual;
}

static RcAllowed
available_tones(const RcChord *chord, const RcScale *key)
{
  const Usual usual = usual_degrees(chord, key);
  const RcDegrees open = ~closed_degrees(chord->degrees);
  const RcPcSet inside = key->tones ? key->tones : 0xFFF;
  return (RcAllowed){ .always = tones_above(chord, usual.always & open) & inside,
                      .with_seventh = (tones_above(chord, usual.with_seventh & open) & inside) |
                                      tones_above(chord, usual.fit & open) };
}

// What is usual, though the key lacks it, and what only E takes.
static RcAllowed
tolerated_tones(const RcChord *chord, const RcScale *key)
{
  const Family *family = family_of(chord->degrees);
  const Usual usual = usual_degrees(chord, key);
  const RcDegrees open = ~closed_degrees(chord->degrees);
  RcDegrees always = usual.always | family->borrowed;
  if (family->kind == SUS_4_FAMILY || family->kind == SUS_2_FAMILY) {
    always |= key->tones ? thirds_of_key(chord, key) : RC_BIT(3);
  }
  return (RcAllowed){ tones_above(chord, always & open), tones_above(chord, usual.with_seventh & open),
                      family->kind == DOMINANT_FAMILY ? tones_above(chord, RC_BIT(SHARP_9) & open) : 0 };
}

guint
rc_wanted_key_code(const RcChord *chord, const RcScale *key)
{
  const Family *family = family_of(chord->degrees);
  const gboolean leads = family->kind == MAJOR_FAMILY || family->kind == DOMINANT_FAMILY;
  const guint home = leads && leads_home(chord, key);
  const guint fifth = family->kind == MAJOR_FAMILY && (key->fifth & tones_above(chord, RC_BIT(1)));
  const RcPcSet asked =
    tones_above(chord, family->usual | family->borrowed | family->by_key) & (RcPcSet)~rc_wanted_tones(chord);
  return (guint)(key->tones & asked) << 3U | home << 2U | fifth << 1U | (key->tones ? 1U : 0U);
}

// ------------------------------------------------------------------------------------------------------- the rules

static void
set_fifths(RcWanted *w, const RcChord *chord)
{
  const RcDegrees degrees = chord->degrees;
  const gboolean diminished =
    (degrees & RC_CHORD_DIMINISHED) == RC_CHORD_DIMINISHED && !(degrees & (RC_BIT(6) | RC_BIT(FLAT_7) | RC_BIT(7)));
  if (degrees & (SIXTH_OR_SEVENTH | RC_SUSPENDED)) {
    w->excused = tones_above(chord, degrees & RC_BIT(5));
  }
  if (diminished) {
    w->bare_fifth = tones_above(chord, RC_BIT(FLAT_5));
  }
  if (degrees & RC_BIT(3)) {
    w->altered_fifth = tones_above(chord, degrees & RC_ALTERED_FIFTHS);
  }
  w->double_flat = tones_above(chord, RC_BIT(DOUBLE_FLAT_7));
  w->perfect = tones_above(chord, RC_BIT(5));
}

static RcPcSet
all_allowed(const RcAllowed *allowed)
{
  return allowed->always | allowed->with_seventh | allowed->with_third;
}

RcWanted
rc_wanted_new(const RcRequest *request)
{
  const RcChord *chord = &request->chord;
  const RcDegrees written = written_degrees(chord->degrees);
  RcDegrees droppable = written & (RC_BIT(5) | SIXTH_OR_SEVENTH | RC_TENSIONS);
  if (written & RC_SUSPENDED) {
    droppable &= ~RC_BIT(5); // F and C are no Csus4
  }
  RcWanted w = { .bass = (RcPcSet)(1U << rc_note_pc(chord->bass)), .melody = request->melody, .brisk = request->brisk };
  w.root = tones_above(chord, RC_BIT(1));
  w.tones = tones_above(chord, written) | w.bass;
  w.implied = tones_above(chord, implied_degrees(chord->degrees)) & (RcPcSet)~w.tones;
  w.third = tones_above(chord, third_degrees(chord->degrees));
  w.droppable = tones_above(chord, droppable) & (RcPcSet)~w.third;
  set_fifths(&w, chord);
  w.seventh = tones_above(chord, RC_BIT(FLAT_7));
  w.major_third = tones_above(chord, RC_BIT(3));
  w.available = available_tones(chord, &request->key);
  w.tolerated = tolerated_tones(chord, &request->key);
  w.permitted = w.tones | w.implied | all_allowed(&w.available) | all_allowed(&w.tolerated);
  if (request->key.tones) {
    w.outside = (RcPcSet)(0xFFF & ~request->key.tones);
  }
  return w;
}

static RcPcSet
allowed_with(const RcWanted *w, const RcAllowed *allowed, RcPcSet sounded)
{
  return allowed->always | ((sounded & w->seventh) ? allowed->with_seventh : 0) |
         ((sounded & w->major_third) ? allowed->with_third : 0);
}

// The tones that a leaner grip may lack where `sounded` sounds.
static RcPcSet
droppable_with(const RcWanted *w, RcPcSet sounded)
{
  return w->droppable | ((sounded & w->double_flat) ? w->bare_fifth : 0) |
         ((sounded & w->perfect) ? 0 : w->altered_fifth);
}

// A to C over the bass `bass`, which sounds as a bass; impossible where it is none of them.
static RcVerdict
grade_over(const RcWanted *w, RcPcSet bass, const RcSounding *s, const RcGrading *g)
{
  const gboolean fits = !(g->foreign & ~allowed_with(w, &w->available, s->tones));
  if (!(s->basses & bass) || !fits) {
    return RC_IMPOSSIBLE;
  }
  if (!g->missing) {
    return g->foreign ? RC_RICHER : RC_SAME;
  }
  const gboolean core = (s->tones & w->root) && !(w->third & ~s->tones);
  return core && !(g->missing & ~droppable_with(w, s->tones)) ? RC_LEANER : RC_IMPOSSIBLE;
}

// Root and bass, and neither a third nor a foreign tone.
static gboolean
is_bare(const RcWanted *w, const RcSounding *s, const RcGrading *g)
{
  const RcPcSet third = (RcPcSet)(w->third & ~s->tones);
  return !((w->root | w->bass) & ~s->basses) && third && !g->foreign && (w->brisk || !(third & ~w->melody));
}

static gboolean
is_borrowed(const RcWanted *w, const RcSounding *s, const RcGrading *g)
{
  enum { MOST_BUTTONS = 2, FEWEST_TONES = 2 };
  const guint kept = rc_pcs_count(g->kept);
  return s->n_basses + s->n_chords <= MOST_BUTTONS && kept >= FEWEST_TONES && (g->kept & (w->root | w->third)) &&
         kept > rc_pcs_count(g->foreign) && !(g->foreign & ~allowed_with(w, &w->tolerated, s->tones));
}

static RcVerdict
verdict_of(const RcWanted *w, const RcSounding *s, const RcGrading *g)
{
  enum { MOST_BUTTONS = 2 };
  if (s->n_basses + s->n_chords > MOST_BUTTONS && rc_pcs_count(g->foreign) > 1) {
    return RC_IMPOSSIBLE;
  }
  const RcVerdict right = grade_over(w, w->bass, s, g);
  if (right != RC_IMPOSSIBLE) {
    return right;
  }
  const gboolean given_up = !(s->basses & w->bass) && (s->tones & w->bass);
  if (given_up && grade_over(w, w->root, s, g) != RC_IMPOSSIBLE) {
    return RC_LEANER;
  }
  return is_bare(w, s, g) ? RC_BARE : is_borrowed(w, s, g) ? RC_BORROWED : RC_IMPOSSIBLE;
}

RcGrading
rc_wanted_grade(const RcWanted *w, const RcSounding *s)
{
  const RcPcSet silent = (RcPcSet)(w->tones & ~s->tones & ~(s->n_chords ? w->excused : 0));
  RcGrading g = { .kept = s->tones & w->tones, .foreign = (RcPcSet)(s->tones & ~(w->tones | w->implied)) };
  g.helped = (RcPcSet)(silent & w->melody & ~(w->bass | w->third)); // the bass is the left hand's
  g.missing = (RcPcSet)(silent & ~g.helped);
  g.verdict = verdict_of(w, s, &g);
  if (g.verdict == RC_BARE) {
    g.helped |= silent & w->third & w->melody;
    g.missing = (RcPcSet)(silent & ~g.helped);
  }
  return g;
}

RcGrading
rc_grade(const RcRequest *request, const RcSounding *sounding)
{
  const RcWanted wanted = rc_wanted_new(request);
  return rc_wanted_grade(&wanted, sounding);
}
