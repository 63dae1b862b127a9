// Copyright 2026 the rowcall developers
// SPDX-License-Identifier: MIT

#include "coverage/catalogue.h"

#include <string.h>

// A grip in the chain of those that sound alike.
typedef struct {
  RcGrip grip;
  guint before; // 1 + place in `grips` of the one walked before it, 0 for the first
} Link;

struct RcCatalogue {
  const RcLayout *layout;
  RcSounds *sounds; // in the order the grips are walked
  GArray *latest;   // of guint, by sound: 1 + place in `grips` of the last that was walked
  GArray *grips;    // of Link
};

RcTaste
rc_taste(void)
{
  return (RcTaste){ RC_PREFER_PLAIN, RC_BARE };
}

// -------------------------------------------------------------------------------------------------------- making

RcSounding
rc_grip_sounding(const RcLayout *layout, const RcGrip *grip)
{
  return (RcSounding){ rc_grip_tones(layout, grip), rc_grip_basses(layout, grip), grip->n_basses, grip->n_chords };
}

static RcHeard
hear_grip(const RcLayout *layout, const RcGrip *grip)
{
  RcHeard heard = { .sounding = rc_grip_sounding(layout, grip) };
  if (grip->n_basses == 1 && grip->n_chords == 1) {
    const RcSound *chord = &rc_layout_button(layout, grip->chords[0])->sound;
    heard.kind = (guint8)chord->kind;
    heard.root = (guint8)rc_note_pc(chord->root);
  }
  return heard;
}

static void
add_grip(const RcGrip *grip, gpointer data)
{
  RcCatalogue *c = data;
  const RcHeard heard = hear_grip(c->layout, grip);
  const guint sound = rc_sounds_add(c->sounds, 0, &heard, grip);
  if (sound == c->latest->len) {
    g_array_set_size(c->latest, sound + 1);
  }
  guint *latest = &g_array_index(c->latest, guint, sound);
  const Link link = { *grip, *latest };
  g_array_append_val(c->grips, link);
  *latest = c->grips->len;
}

RcCatalogue *
rc_catalogue_new(const RcLayout *layout, RcHand hand)
{
  RcCatalogue *c = g_new0(RcCatalogue, 1);
  c->layout = layout;
  c->sounds = rc_sounds_new(&layout, 1);
  c->latest = g_array_new(FALSE, TRUE, sizeof(guint));
  c->grips = g_array_new(FALSE, FALSE, sizeof(Link));
  rc_layout_each_grip(layout, hand, add_grip, c);
  rc_sounds_close(c->sounds);
  return c;
}

void
rc_catalogue_free(RcCatalogue *c)
{
  if (c) {
    rc_sounds_free(c->sounds);
    g_array_unref(c->latest);
    g_array_unref(c->grips);
    g_free(c);
  }
}

const RcLayout *
rc_catalogue_layout(const RcCatalogue *catalogue)
{
  return catalogue->layout;
}

const RcSounds *
rc_catalogue_sounds(const RcCatalogue *catalogue)
{
  return catalogue->sounds;
}

// --------------------------------------------------------------------------------------------------------- asking

RcAnswer
rc_catalogue_best(const RcCatalogue *catalogue, RcTaste taste, const RcRequest *request)
{
  RcAnswer best;
  rc_sounds_best(catalogue->sounds, taste, request, &best);
  return best;
}

typedef struct {
  const RcCatalogue *catalogue;
  RcWayFunc each;
  gpointer data;
} Listing;

// Calls for all grips of a sound.
static void
list_grips(guint sound, const RcAnswer *answer, gpointer data)
{
  const Listing *listing = data;
  RcAnswer way = *answer;
  for (guint at = g_array_index(listing->catalogue->latest, guint, sound); at;) {
    const Link *link = &g_array_index(listing->catalogue->grips, Link, at - 1);
    way.grip = link->grip;
    listing->each(&way, listing->data);
    at = link->before;
  }
}

void
rc_catalogue_each(const RcCatalogue *catalogue, RcTaste taste, const RcRequest *request, RcWayFunc each, gpointer data)
{
  Listing listing = { catalogue, each, data };
  rc_sounds_each(catalogue->sounds, taste, request, list_grips, &listing);
}

typedef struct {
  const RcLayout *layout;
  const RcChord *chord;
  GArray *answers;
} Ranking;

static void
rank_way(const RcAnswer *way, gpointer data)
{
  const Ranking *ranking = data;
  RcAnswer answer = *way;
  answer.likeness = rc_grip_likeness(ranking->layout, ranking->chord, &way->grip);
  g_array_append_val(ranking->answers, answer);
}

static int
compare_ranked(gconstpointer a, gconstpointer b, gpointer layout)
{
  return rc_answer_compare(layout, a, b);
}

GArray *
rc_catalogue_rank(const RcCatalogue *catalogue, RcTaste taste, const RcRequest *request)
{
  Ranking ranking = { catalogue->layout, &request->chord, g_array_new(FALSE, FALSE, sizeof(RcAnswer)) };
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
