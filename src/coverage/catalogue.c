// Copyright 2026 the rowcall developers
// SPDX-License-Identifier: MIT

#include "rowcall/coverage.h"

#include "coverage/code_map.h"
#include "coverage/wanted.h"

#include <string.h>

enum { PITCH_CLASSES = 12, FEW_BUTTONS = 2 };

// Many grips sound alike; of those only the handiest can be the best answer. A bass with one chord button also differs
// from others by that button, which may be the chord's own.
typedef struct {
  RcSounding sounding;
  guint8 kind;  // RcSoundKind of the chord button, where the grip is a bass and a chord button, else RC_SOUND_DEAD
  guint8 root;  // its pitch class
  RcGrip grip;  // the first by rc_grip_compare()
  guint latest; // 1 + place in `grips` of the last that was walked
} Sound;

// A grip in the chain of those that sound alike.
typedef struct {
  RcGrip grip;
  guint before; // 1 + place in `grips` of the one walked before it, 0 for the first
} Link;

// What is looked at first of a sound.
typedef struct {
  RcPcSet tones;
  RcPcSet basses;
  guint sound;
} Place;

struct RcCatalogue {
  const RcLayout *layout;
  GArray *sounds;               // of Sound, in the order the grips are walked
  GArray *grips;                // of Link
  GArray *small[PITCH_CLASSES]; // of Place, by each of its basses: sounds of one or two buttons
  GArray *large[PITCH_CLASSES]; // and of three
};

RcTaste
rc_taste(void)
{
  return (RcTaste){ RC_PREFER_PLAIN, RC_BARE };
}

// -------------------------------------------------------------------------------------------------------- making

typedef struct {
  RcCatalogue *catalogue;
  RcCodeMap numbers; // of what tells sounds apart, to indices of `sounds`
} Maker;

RcSounding
rc_grip_sounding(const RcLayout *layout, const RcGrip *grip)
{
  return (RcSounding){ rc_grip_tones(layout, grip), rc_grip_basses(layout, grip), grip->n_basses, grip->n_chords };
}

static Sound
sound_of(const RcLayout *layout, const RcGrip *grip)
{
  Sound sound = { .sounding = rc_grip_sounding(layout, grip), .grip = *grip };
  if (grip->n_basses == 1 && grip->n_chords == 1) {
    const RcSound *chord = &rc_layout_button(layout, grip->chords[0])->sound;
    sound.kind = (guint8)chord->kind;
    sound.root = (guint8)rc_note_pc(chord->root);
  }
  return sound;
}

static guint64
number_of(const Sound *sound)
{
  guint64 number = sound->sounding.tones;
  number = number << PITCH_CLASSES | sound->sounding.basses;
  number = number << 2U | sound->sounding.n_basses;
  number = number << 2U | sound->sounding.n_chords;
  number = number << 4U | sound->kind;
  return number << 4U | sound->root;
}

static gboolean
is_large(const RcSounding *sounding)
{
  return sounding->n_basses + sounding->n_chords > FEW_BUTTONS;
}

static guint
add_sound(RcCatalogue *c, const Sound *sound)
{
  const Place place = { sound->sounding.tones, sound->sounding.basses, c->sounds->len };
  for (guint pc = 0; pc < PITCH_CLASSES; ++pc) {
    if (rc_pcs_has(place.basses, pc)) {
      g_array_append_val(is_large(&sound->sounding) ? c->large[pc] : c->small[pc], place);
    }
  }
  g_array_append_val(c->sounds, *sound);
  return place.sound;
}

static void
add_grip(const RcGrip *grip, gpointer data)
{
  Maker *maker = data;
  RcCatalogue *c = maker->catalogue;
  const Sound heard = sound_of(c->layout, grip);
  guint index = 0;
  if (!rc_code_map_find(&maker->numbers, number_of(&heard), &index)) {
    index = add_sound(c, &heard);
    rc_code_map_add(&maker->numbers, number_of(&heard), index);
  }
  Sound *sound = &g_array_index(c->sounds, Sound, index);
  const Link link = { *grip, sound->latest };
  g_array_append_val(c->grips, link);
  sound->latest = c->grips->len;
  if (rc_grip_compare(c->layout, grip, &sound->grip) < 0) {
    sound->grip = *grip;
  }
}

RcCatalogue *
rc_catalogue_new(const RcLayout *layout, RcHand hand)
{
  RcCatalogue *c = g_new0(RcCatalogue, 1);
  c->layout = layout;
  c->sounds = g_array_new(FALSE, FALSE, sizeof(Sound));
  c->grips = g_array_new(FALSE, FALSE, sizeof(Link));
  for (guint pc = 0; pc < PITCH_CLASSES; ++pc) {
    c->small[pc] = g_array_new(FALSE, FALSE, sizeof(Place));
    c->large[pc] = g_array_new(FALSE, FALSE, sizeof(Place));
  }
  Maker maker = { .catalogue = c };
  rc_code_map_init(&maker.numbers);
  rc_layout_each_grip(layout, hand, add_grip, &maker);
  rc_code_map_clear(&maker.numbers);
  return c;
}

void
rc_catalogue_free(RcCatalogue *c)
{
  if (c) {
    for (guint pc = 0; pc < PITCH_CLASSES; ++pc) {
      g_array_unref(c->small[pc]);
      g_array_unref(c->large[pc]);
    }
    g_array_unref(c->sounds);
    g_array_unref(c->grips);
    g_free(c);
  }
}

const RcLayout *
rc_catalogue_layout(const RcCatalogue *catalogue)
{
  return catalogue->layout;
}

// ------------------------------------------------------------------------------------------------------ the order

typedef struct {
  const RcCatalogue *catalogue;
  RcTaste taste;
  RcWanted wanted;
  RcSoundKind own; // the kind of button that is the chord itself; RC_SOUND_DEAD where there is none
  guint root;
} Query;

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
    return RC_SOUND_DEAD;
  }
}

static Query
make_query(const RcCatalogue *catalogue, RcTaste taste, const RcRequest *request)
{
  return (Query){ catalogue, taste, rc_wanted_new(request), native_kind(request->chord.degrees),
                  rc_note_pc(request->chord.root) };
}

static gboolean
is_native(const Query *q, const Sound *sound)
{
  return sound->kind != RC_SOUND_DEAD && sound->kind == q->own && sound->root == q->root &&
         sound->sounding.basses == q->wanted.bass;
}

static gboolean
is_plain(const Query *q, RcVerdict verdict, const RcSounding *sounding)
{
  return q->taste.prefer != RC_PREFER_SOUND && verdict <= RC_LEANER && verdict <= q->taste.accept &&
         !is_large(sounding);
}

// What tells two leaner, or two borrowed grips apart.
static guint
simplicity(const Query *q, const Sound *sound, RcVerdict verdict)
{
  const gboolean usual =
    sound->kind == RC_SOUND_MAJOR || sound->kind == RC_SOUND_MINOR || sound->kind == RC_SOUND_SEVENTH;
  if (verdict == RC_LEANER) {
    return !(usual && sound->root == q->root);
  }
  const gboolean named = sound->kind != RC_SOUND_DEAD && sound->kind != RC_SOUND_OTHER;
  const gboolean over_root = named && rc_pcs_has(sound->sounding.basses, sound->root);
  return verdict == RC_BORROWED && !over_root;
}

static guint
makeshift(const Query *q, const RcSounding *sounding, const RcGrading *g)
{
  const RcWanted *w = &q->wanted;
  const guint rootless = !(sounding->basses & w->root);
  const guint thirdless = (w->third & ~sounding->tones) != 0;
  return rootless << 5U | thirdless << 4U | rc_pcs_count(g->foreign & w->outside);
}

enum { AFTER_PLAIN_BITS = 21 };

gboolean
rc_rank_is_plain(guint32 rank)
{
  return !(rank >> AFTER_PLAIN_BITS);
}

// Taste as one number: the criteria in their order, each in bits of its own.
static guint32
rank_of(const Query *q, const Sound *sound, RcVerdict verdict, const RcGrading *g)
{
  const RcSounding *sounding = &sound->sounding;
  guint32 rank = !is_plain(q, verdict, sounding);
  rank = rank << 3U | verdict;
  rank = rank << 1U | ((sounding->basses & q->wanted.bass) ? 0U : 1U);
  rank = rank << 6U | (verdict == RC_BORROWED ? makeshift(q, sounding, g) : 0);
  rank = rank << 4U | rc_pcs_count(g->foreign);
  rank = rank << 4U | rc_pcs_count(g->missing | g->helped);
  rank = rank << 2U | sounding->n_basses;
  return rank << 1U | simplicity(q, sound, verdict);
}

static guint
likeness_to(const RcWanted *wanted, const RcSounding *sounding)
{
  return rc_likeness(wanted->tones, wanted->bass, sounding->tones, sounding->basses);
}

static int
compare_answers(const RcLayout *layout, const RcAnswer *a, const RcAnswer *b)
{
  if (a->rank != b->rank) {
    return a->rank < b->rank ? -1 : 1;
  }
  return a->likeness != b->likeness ? (int)b->likeness - (int)a->likeness : rc_grip_compare(layout, &a->grip, &b->grip);
}

// --------------------------------------------------------------------------------------------------------- the best

// The answer of the handiest grip, its likeness left out.
static RcAnswer
answer_with(const Query *q, const Sound *sound)
{
  const RcGrading grading = rc_wanted_grade(&q->wanted, &sound->sounding);
  const RcVerdict verdict = is_native(q, sound) ? RC_NATIVE : grading.verdict;
  return (RcAnswer){ verdict, sound->grip, grading, 0,
                     verdict == RC_IMPOSSIBLE ? G_MAXUINT32 : rank_of(q, sound, verdict, &grading) };
}

static void
consider_places(const Query *q, const GArray *places, RcAnswer *best)
{
  for (guint i = 0; i < places->len; ++i) {
    const Place *place = &g_array_index(places, Place, i);
    if (place->tones & ~q->wanted.permitted) {
      continue; // such a tone fits no grade
    }
    const Sound *sound = &g_array_index(q->catalogue->sounds, Sound, place->sound);
    RcAnswer answer = answer_with(q, sound);
    if (answer.verdict == RC_IMPOSSIBLE || answer.rank > best->rank) {
      continue;
    }
    answer.likeness = likeness_to(&q->wanted, &sound->sounding);
    if (compare_answers(q->catalogue->layout, &answer, best) < 0) {
      *best = answer;
    }
  }
}

static void
consider_over(const Query *q, GArray *const by_bass[PITCH_CLASSES], RcPcSet basses, RcAnswer *best)
{
  for (guint pc = 0; pc < PITCH_CLASSES; ++pc) {
    if (rc_pcs_has(basses, pc)) {
      consider_places(q, by_bass[pc], best);
    }
  }
}

// A to D have the wanted bass or, an inversion given up, the root in the bass. Only E may have another, and no three
// buttons; where two buttons are plain enough, three are not looked at.
RcAnswer
rc_catalogue_best(const RcCatalogue *c, RcTaste taste, const RcRequest *request)
{
  const Query q = make_query(c, taste, request);
  const RcPcSet near = q.wanted.bass | q.wanted.root;
  RcAnswer best = { .verdict = RC_IMPOSSIBLE, .rank = G_MAXUINT32 };
  consider_over(&q, c->small, near, &best);
  const gboolean plain = taste.prefer != RC_PREFER_SOUND && best.verdict <= MIN(RC_LEANER, taste.accept);
  if (!plain && best.verdict != RC_NATIVE) {
    consider_over(&q, c->large, near, &best);
  }
  if (best.verdict > RC_BARE) {
    consider_over(&q, c->small, (RcPcSet)~near, &best);
  }
  return best;
}

// ------------------------------------------------------------------------------------------------------- all answers

// Calls for all grips of the sounds at `places` but those that have one of the basses `told`.
static void
list_places(const Query *q, const GArray *places, RcPcSet told, RcWayFunc each, gpointer data)
{
  const RcCatalogue *c = q->catalogue;
  for (guint i = 0; i < places->len; ++i) {
    const Place *place = &g_array_index(places, Place, i);
    const Sound *sound = &g_array_index(c->sounds, Sound, place->sound);
    if ((place->tones & ~q->wanted.permitted) || (place->basses & told)) {
      continue;
    }
    RcAnswer way = answer_with(q, sound);
    for (guint at = sound->latest; at && way.verdict != RC_IMPOSSIBLE;) {
      const Link *link = &g_array_index(c->grips, Link, at - 1);
      way.grip = link->grip;
      each(&way, data);
      at = link->before;
    }
  }
}

void
rc_catalogue_each(const RcCatalogue *catalogue, RcTaste taste, const RcRequest *request, RcWayFunc each, gpointer data)
{
  const Query q = make_query(catalogue, taste, request);
  RcPcSet told = 0;
  for (guint pc = 0; pc < PITCH_CLASSES; ++pc) {
    list_places(&q, catalogue->small[pc], told, each, data);
    if (rc_pcs_has(q.wanted.bass | q.wanted.root, pc)) {
      list_places(&q, catalogue->large[pc], told & (q.wanted.bass | q.wanted.root), each, data);
    }
    told |= (RcPcSet)(1U << pc);
  }
}

typedef struct {
  const Query *query;
  GArray *answers;
} Ranking;

static void
rank_way(const RcAnswer *way, gpointer data)
{
  const Ranking *ranking = data;
  const RcCatalogue *c = ranking->query->catalogue;
  const RcSounding sounding = rc_grip_sounding(c->layout, &way->grip);
  RcAnswer answer = *way;
  answer.likeness = likeness_to(&ranking->query->wanted, &sounding);
  g_array_append_val(ranking->answers, answer);
}

static int
compare_ranked(gconstpointer a, gconstpointer b, gpointer layout)
{
  return compare_answers(layout, a, b);
}

GArray *
rc_catalogue_rank(const RcCatalogue *catalogue, RcTaste taste, const RcRequest *request)
{
  const Query query = make_query(catalogue, taste, request);
  Ranking ranking = { &query, g_array_new(FALSE, FALSE, sizeof(RcAnswer)) };
  rc_catalogue_each(catalogue, taste, request, rank_way, &ranking);
  g_array_sort_with_data(ranking.answers, compare_ranked, (gpointer)catalogue->layout);
  return ranking.answers;
}

guint
rc_grip_likeness(const RcLayout *layout, const RcChord *chord, const RcGrip *grip)
{
  const RcSounding sounding = rc_grip_sounding(layout, grip);
  return rc_likeness(rc_wanted_tones(chord), (RcPcSet)(1U << rc_note_pc(chord->bass)), sounding.tones, sounding.basses);
}
