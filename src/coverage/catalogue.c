// Copyright 2026 the rowcall developers
// SPDX-License-Identifier: MIT

#include "rowcall/coverage.h"

#include "wanted.h"

#include <string.h>

enum { PITCH_CLASSES = 12, SETS = 1 << PITCH_CLASSES, N_KINDS = RC_SOUND_OTHER };

// Many grips sound alike; of those only the handiest can be the best answer, unless another of them is native.
typedef struct {
  RcPcSet tones;
  RcGrip grip; // the first by rc_grip_compare()
} Sound;

struct RcCatalogue {
  const RcLayout *layout;
  RcHand hand;
  GArray *by_bass[PITCH_CLASSES];           // of Sound, in the order the grips are walked
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
  return rc_note_pc(rc_layout_button(layout, grip->bass)->sound.root);
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
    const Sound sound = { tones, *grip };
    g_array_append_val(c->by_bass[bass], sound);
    *index = c->by_bass[bass]->len;
  } else {
    Sound *sound = &g_array_index(c->by_bass[bass], Sound, *index - 1);
    if (rc_grip_compare(c->layout, grip, &sound->grip) < 0) {
      sound->grip = *grip;
    }
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
  c->hand = hand;
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

typedef struct {
  const RcCatalogue *catalogue;
  const RcRequest *request;
  RcWanted wanted;
  GArray *answers;
} Ranking;

static void
rank_grip(const RcGrip *grip, gpointer data)
{
  Ranking *ranking = data;
  const RcLayout *layout = ranking->catalogue->layout;
  const RcGrading grading = rc_wanted_grade(&ranking->wanted, rc_grip_tones(layout, grip), bass_pc(layout, grip));
  const RcVerdict verdict = is_native(layout, grip, ranking->request) ? RC_NATIVE : grading.verdict;
  if (verdict != RC_IMPOSSIBLE) {
    const RcAnswer answer = make_answer(ranking->catalogue, &ranking->wanted, grip, grading, verdict);
    g_array_append_val(ranking->answers, answer);
  }
}

static int
compare_ranked(gconstpointer a, gconstpointer b, gpointer layout)
{
  return compare_answers(layout, a, b);
}

GArray *
rc_catalogue_rank(const RcCatalogue *catalogue, const RcRequest *request)
{
  Ranking ranking = { catalogue, request, rc_wanted_new(request), g_array_new(FALSE, FALSE, sizeof(RcAnswer)) };
  rc_layout_each_grip(catalogue->layout, catalogue->hand, rank_grip, &ranking);
  g_array_sort_with_data(ranking.answers, compare_ranked, (gpointer)catalogue->layout);
  return ranking.answers;
}
