// Copyright 2026 the rowcall developers
// SPDX-License-Identifier: MIT

#include "coverage/catalogue.h"

#include "coverage/sounds.h"

#include <string.h>

// A grip in the chain of those that sound alike.
typedef struct {
  RcGrip grip;
  guint before; // 1 + place in `links` of the one walked before it, 0 for the first
} Link;

// All grips of a catalogue.
typedef struct {
  RcSounds *sounds; // in the order the grips are walked
  GArray *latest;   // of guint, by sound: 1 + place in `links` of the last that was walked
  GArray *links;    // of Link
} Grips;

struct RcCatalogue {
  const RcLayout *layout;
  RcHand hand;
  Grips *grips; // found when the first answer needs them, since whoever asks a panel needs none
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

static void
add_grip(const RcGrip *grip, gpointer data)
{
  Grips *grips = data;
  const guint sound = rc_sounds_add(grips->sounds, 0, grip);
  if (sound == grips->latest->len) {
    g_array_set_size(grips->latest, sound + 1);
  }
  guint *latest = &g_array_index(grips->latest, guint, sound);
  const Link link = { *grip, *latest };
  g_array_append_val(grips->links, link);
  *latest = grips->links->len;
}

static Grips *
find_grips(const RcLayout *layout, RcHand hand)
{
  Grips *grips = g_new0(Grips, 1);
  grips->sounds = rc_sounds_new(&layout, 1);
  grips->latest = g_array_new(FALSE, TRUE, sizeof(guint));
  grips->links = g_array_new(FALSE, FALSE, sizeof(Link));
  rc_layout_each_grip(layout, hand, add_grip, grips);
  rc_sounds_close(grips->sounds);
  return grips;
}

RcCatalogue *
rc_catalogue_new(const RcLayout *layout, RcHand hand)
{
  RcCatalogue *c = g_new0(RcCatalogue, 1);
  c->layout = layout;
  c->hand = hand;
  return c;
}

void
rc_catalogue_free(RcCatalogue *c)
{
  if (c && c->grips) {
    rc_sounds_free(c->grips->sounds);
    g_array_unref(c->grips->latest);
    g_array_unref(c->grips->links);
    g_free(c->grips);
  }
  g_free(c);
}

const RcLayout *
rc_catalogue_layout(const RcCatalogue *catalogue)
{
  return catalogue->layout;
}

RcHand
rc_catalogue_hand(const RcCatalogue *catalogue)
{
  return catalogue->hand;
}

// Finds them once, whichever thread asks first.
static const Grips *
grips_of(const RcCatalogue *catalogue)
{
  Grips **grips = &((RcCatalogue *)catalogue)->grips;
  if (g_once_init_enter(grips)) {
    g_once_init_leave(grips, find_grips(catalogue->layout, catalogue->hand));
  }
  return *grips;
}

// --------------------------------------------------------------------------------------------------------- asking

RcAnswer
rc_catalogue_best(const RcCatalogue *catalogue, RcTaste taste, const RcRequest *request)
{
  RcAnswer best;
  rc_sounds_best(grips_of(catalogue)->sounds, taste, request, &best);
  return best;
}

typedef struct {
  const Grips *grips;
  RcWayFunc each;
  gpointer data;
} Listing;

// Calls for all grips of a sound.
static void
list_grips(guint sound, const RcAnswer *answer, gpointer data)
{
  const Listing *listing = data;
  RcAnswer way = *answer;
  for (guint at = g_array_index(listing->grips->latest, guint, sound); at;) {
    const Link *link = &g_array_index(listing->grips->links, Link, at - 1);
    way.grip = link->grip;
    listing->each(&way, listing->data);
    at = link->before;
  }
}

void
rc_catalogue_each(const RcCatalogue *catalogue, RcTaste taste, const RcRequest *request, RcWayFunc each, gpointer data)
{
  const Grips *grips = grips_of(catalogue);
  Listing listing = { grips, each, data };
  rc_sounds_each(grips->sounds, taste, request, list_grips, &listing);
}

void
rc_catalogue_each_best(const RcCatalogue *catalogue, RcTaste taste, const RcRequest *request, RcWayFunc each,
                       gpointer data)
{
  const Grips *grips = grips_of(catalogue);
  Listing listing = { grips, each, data };
  rc_sounds_each_best(grips->sounds, taste, request, list_grips, &listing);
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
