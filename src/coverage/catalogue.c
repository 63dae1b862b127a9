// Copyright 2026 the rowcall developers
// SPDX-License-Identifier: MIT

#include "rowcall/coverage.h"

#include "coverage/wanted.h"

#include <string.h>

enum { PITCH_CLASSES = 12, SETS = 1 << PITCH_CLASSES, N_KINDS = RC_SOUND_OTHER };

// Many grips sound alike; of those only the handiest can be the best answer, unless another of them is native.
typedef struct {
  RcPcSet tones;
  RcGrip grip;  // the first by rc_grip_compare()
  guint latest; // 1 + place in `grips` of the last that was walked
} Sound;

// A grip in the chain of those that sound alike.
typedef struct {
  RcGrip grip;
  guint before; // 1 + place in `grips` of the one walked before it, 0 for the first
} Link;

struct RcCatalogue {
  const RcLayout *layout;
  GArray *by_bass[PITCH_CLASSES];           // of Sound, in the order the grips are walked
  GArray *grips;                            // of Link
  GArray *by_chord[N_KINDS][PITCH_CLASSES]; // of RcGrip: a bass and one chord button, by its kind and root
};

// -------------------------------------------------------------------------------------------------------- making

typedef struct {
  RcCatalogue *catalogue;
  guint32 *index; // by bass and tones: 1 + place in by_bass
} Maker;

static guint
bass_pc(const RcLayout *layout, const RcGrip *grip)
{
  return rc_note_pc(rc_layout_button(layout, grip->basses[0])->sound.root);
}

static void
add_grip(const RcGrip *grip, gpointer data)
{
  const Maker *maker = data;
  RcCatalogue *c = maker->catalogue;
  const guint bass = bass_pc(c->layout, grip);
  const RcPcSet tones = rc_grip_tones(c->layout, grip);
  guint32 *index = &maker->index[bass * SETS + tones];
  if (!*index) {
    const Sound sound = { tones, *grip, 0 };
    g_array_append_val(c->by_bass[bass], sound);
    *index = c->by_bass[bass]->len;
  }
  Sound *sound = &g_array_index(c->by_bass[bass], Sound, *index - 1);
  const Link link = { *grip, sound->latest };
  g_array_append_val(c->grips, link);
  sound->latest = c->grips->len;
  if (rc_grip_compare(c->layout, grip, &sound->grip) < 0) {
    sound->grip = *grip;
  }
  const RcSound *chord = grip->n_chords == 1 ? &rc_layout_button(c->layout, grip->chords[0])->sound : NULL;
  if (chord && chord->kind != RC_SOUND_OTHER) {
    g_array_append_val(c->by_chord[chord->kind][rc_note_pc(chord->root)], *grip);
  }
}

RcCatalogue *
rc_catalogue_new(const RcLayout *layout, RcHand hand)
{
  RcCatalogue *c = g_new0(RcCatalogue, 1);
  c->layout = layout;
  c->grips = g_array_new(FALSE, FALSE, sizeof(Link));
  for (guint pc = 0; pc < PITCH_CLASSES; ++pc) {
    c->by_bass[pc] = g_array_new(FALSE, FALSE, sizeof(Sound));
    for (guint kind = 0; kind < N_KINDS; ++kind) {
      c->by_chord[kind][pc] = g_array_new(FALSE, FALSE, sizeof(RcGrip));
    }
  }
  const Maker maker = { c, g_new0(guint32, PITCH_CLASSES * SETS) };
  rc_layout_each_grip(layout, hand, add_grip, (gpointer)&maker);
  g_free(maker.index);
  return c;
}

void
rc_catalogue_free(RcCatalogue *c)
{
  if (c) {
    for (guint pc = 0; pc < PITCH_CLASSES; ++pc) {
      g_array_unref(c->by_bass[pc]);
      for (guint kind = 0; kind < N_KINDS; ++kind) {
        g_array_unref(c->by_chord[kind][pc]);
      }
    }
    g_array_unref(c->grips);
    g_free(c);
  }
}

const RcLayout *
rc_catalogue_layout(const RcCatalogue *catalogue)
{
  return catalogue->layout;
}

// --------------------------------------------------------------------------------------------------------- asking

static RcSoundKind
native_kind(RcDegrees degrees)
{
  switch (degrees) {
  case RC_CHORD_MAJOR:
    return RC_SOUND_MAJOR;
  case RC_CHORD_MINOR:
    return RC_SOUND_MINOR;
  case RC_CHORD_DOMINANT:
    return RC_SOUND_SEVENTH;
  case RC_CHORD_DIMINISHED:
  case RC_CHORD_DIMINISHED_7:
    return RC_SOUND_DIMINISHED;
  case RC_CHORD_AUGMENTED:
    return RC_SOUND_AUGMENTED;
  default:
    return RC_SOUND_OTHER;
  }
}

static gboolean
is_native(const RcLayout *layout, const RcGrip *grip, const RcRequest *request)
{
  if (grip->n_chords != 1 || bass_pc(layout, grip) != rc_note_pc(request->chord.bass)) {
    return FALSE;
  }
  const RcSound *sound = &rc_layout_button(layout, grip->chords[0])->sound;
  const RcSoundKind kind = native_kind(request->chord.degrees);
  return kind != RC_SOUND_OTHER && sound->kind == kind && rc_note_pc(sound->root) == rc_note_pc(request->chord.root);
}

static RcAnswer
make_answer(const RcCatalogue *c, const RcWanted *wanted, const RcGrip *grip, RcGrading grading, RcVerdict verdict)
{
  const RcPcSet tones = (RcPcSet)(grading.kept | grading.foreign);
  return (RcAnswer){ verdict, *grip, grading,
                     rc_likeness(wanted->tones, wanted->bass, tones, bass_pc(c->layout, grip)) };
}

// Orders by verdict, foreign and missing tones: what is known before likeness is worked out.
static int
compare_gradings(RcVerdict a_verdict, const RcGrading *a, RcVerdict b_verdict, const RcGrading *b)
{
  if (a_verdict != b_verdict) {
    return (int)a_verdict - (int)b_verdict;
  }
  const int foreign = (int)rc_pcs_count(a->foreign) - (int)rc_pcs_count(b->foreign);
  return foreign ? foreign : (int)rc_pcs_count(a->missing) - (int)rc_pcs_count(b->missing);
}

static int
compare_answers(const RcLayout *layout, const RcAnswer *a, const RcAnswer *b)
{
  const int grading = compare_gradings(a->verdict, &a->grading, b->verdict, &b->grading);
  if (grading) {
    return grading;
  }
  return a->likeness != b->likeness ? (int)b->likeness - (int)a->likeness : rc_grip_compare(layout, &a->grip, &b->grip);
}

static void
consider(const RcCatalogue *c, const RcWanted *wanted, const RcGrip *grip, RcGrading grading, RcVerdict verdict,
         RcAnswer *best)
{
  if (verdict == RC_IMPOSSIBLE) {
    return;
  }
  const int order = compare_gradings(verdict, &grading, best->verdict, &best->grading);
  if (order > 0) {
    return;
  }
  const RcAnswer answer = make_answer(c, wanted, grip, grading, verdict);
  if (order < 0 || compare_answers(c->layout, &answer, best) < 0) {
    *best = answer;
  }
}

static void
consider_native(const RcCatalogue *c, const RcRequest *request, const RcWanted *wanted, RcAnswer *best)
{
  const GArray *grips = c->by_chord[native_kind(request->chord.degrees)][rc_note_pc(request->chord.root)];
  for (guint i = 0; i < grips->len; ++i) {
    const RcGrip *grip = &g_array_index(grips, RcGrip, i);
    if (is_native(c->layout, grip, request)) {
      const RcGrading grading = rc_wanted_grade(wanted, rc_grip_tones(c->layout, grip), wanted->bass);
      consider(c, wanted, grip, grading, RC_NATIVE, best);
    }
  }
}

static void
consider_sounds(const RcCatalogue *c, const RcWanted *wanted, guint bass, RcAnswer *best)
{
  const GArray *sounds = c->by_bass[bass];
  for (guint i = 0; i < sounds->len; ++i) {
    const Sound *sound = &g_array_index(sounds, Sound, i);
    if (sound->tones & ~(wanted->tones | wanted->available)) {
      continue; // a foreign tone that is not usual fits no grade
    }
    const RcGrading grading = rc_wanted_grade(wanted, sound->tones, bass);
    consider(c, wanted, &sound->grip, grading, grading.verdict, best);
  }
}

RcAnswer
rc_catalogue_best(const RcCatalogue *c, const RcRequest *request)
{
  const RcWanted wanted = rc_wanted_new(request);
  RcAnswer best = { .verdict = RC_IMPOSSIBLE };
  if (native_kind(request->chord.degrees) != RC_SOUND_OTHER) {
    consider_native(c, request, &wanted, &best);
  }
  if (best.verdict > RC_NATIVE) {
    consider_sounds(c, &wanted, wanted.bass, &best);
  }
  if (best.verdict > RC_BARE) { // only a borrowed chord may have another bass
    for (guint bass = 0; bass < PITCH_CLASSES; ++bass) {
      consider_sounds(c, &wanted, bass, &best);
    }
  }
  return best;
}

// ------------------------------------------------------------------------------------------------------- all answers

typedef struct {
  const RcCatalogue *catalogue;
  const RcRequest *request;
  const RcWanted *wanted;
  RcVerdict worst;
  RcWayFunc each;
  gpointer data;
} Listing;

static void
list_natives(const Listing *l)
{
  const RcLayout *layout = l->catalogue->layout;
  const RcSoundKind kind = native_kind(l->request->chord.degrees);
  const GArray *grips =
    kind == RC_SOUND_OTHER ? NULL : l->catalogue->by_chord[kind][rc_note_pc(l->request->chord.root)];
  for (guint i = 0; grips && i < grips->len; ++i) {
    const RcGrip *grip = &g_array_index(grips, RcGrip, i);
    if (is_native(layout, grip, l->request)) {
      l->each(grip, RC_NATIVE, rc_wanted_grade(l->wanted, rc_grip_tones(layout, grip), l->wanted->bass), l->data);
    }
  }
}

static void
list_sounds(const Listing *l, guint bass)
{
  const RcCatalogue *c = l->catalogue;
  for (guint i = 0; i < c->by_bass[bass]->len; ++i) {
    const Sound *sound = &g_array_index(c->by_bass[bass], Sound, i);
    if (sound->tones & ~(l->wanted->tones | l->wanted->available)) {
      continue; // a foreign tone that is not usual fits no grade
    }
    const RcGrading grading = rc_wanted_grade(l->wanted, sound->tones, bass);
    if (grading.verdict > l->worst) {
      continue;
    }
    for (guint at = sound->latest; at; at = g_array_index(c->grips, Link, at - 1).before) {
      const RcGrip *grip = &g_array_index(c->grips, Link, at - 1).grip;
      if (!is_native(c->layout, grip, l->request)) {
        l->each(grip, grading.verdict, grading, l->data);
      }
    }
  }
}

void
rc_catalogue_each(const RcCatalogue *catalogue, const RcRequest *request, RcVerdict worst, RcWayFunc each,
                  gpointer data)
{
  const RcWanted wanted = rc_wanted_new(request);
  const Listing listing = { catalogue, request, &wanted, MIN(worst, RC_BORROWED), each, data };
  list_natives(&listing);
  if (worst < RC_BORROWED) { // only a borrowed chord may have another bass
    list_sounds(&listing, wanted.bass);
    return;
  }
  for (guint bass = 0; bass < PITCH_CLASSES; ++bass) {
    list_sounds(&listing, bass);
  }
}

typedef struct {
  const RcCatalogue *catalogue;
  RcWanted wanted;
  GArray *answers;
} Ranking;

static void
rank_way(const RcGrip *grip, RcVerdict verdict, RcGrading grading, gpointer data)
{
  const Ranking *ranking = data;
  const RcAnswer answer = make_answer(ranking->catalogue, &ranking->wanted, grip, grading, verdict);
  g_array_append_val(ranking->answers, answer);
}

static int
compare_ranked(gconstpointer a, gconstpointer b, gpointer layout)
{
  return compare_answers(layout, a, b);
}

GArray *
rc_catalogue_rank(const RcCatalogue *catalogue, const RcRequest *request)
{
  Ranking ranking = { catalogue, rc_wanted_new(request), g_array_new(FALSE, FALSE, sizeof(RcAnswer)) };
  rc_catalogue_each(catalogue, request, RC_BORROWED, rank_way, &ranking);
  g_array_sort_with_data(ranking.answers, compare_ranked, (gpointer)catalogue->layout);
  return ranking.answers;
}

guint
rc_grip_likeness(const RcLayout *layout, const RcChord *chord, const RcGrip *grip)
{
  return rc_likeness(rc_chord_tones(chord), rc_note_pc(chord->bass), rc_grip_tones(layout, grip),
                     bass_pc(layout, grip));
}
