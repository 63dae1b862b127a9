// Copyright 2026 the rowcall developers
// SPDX-License-Identifier: MIT

#include "coverage/sounds.h"

#include "coverage/code_map.h"
#include "coverage/wanted.h"
#include "keyboard/row_kind.h"

enum { PITCH_CLASSES = 12, FEW_BUTTONS = 2 };

// What is asked of a button for each grip it is in. Every command that grades adds grips by the ten thousand first.
typedef struct {
  RcPcSet tones;
  guint16 column;
  guint16 away; // half columns from between C and G
} Key;

// A keyboard that has a sound.
typedef struct {
  guint sound;
  guint keyboard;
  RcGrip grip; // the handiest: first by rc_grip_compare()
} Owner;

// What is heard of a grip. A bass with one chord button also differs from others by that button, which may be the
// chord's own.
typedef struct {
  RcSounding sounding;
  guint8 kind; // RcSoundKind of the chord button, where the grip is a bass and a chord button, else RC_SOUND_DEAD
  guint8 root; // its pitch class
} Heard;

typedef struct {
  Heard heard;
  guint latest;      // 1 + place in `owners` of the last one added; until it is closed
  guint order;       // of that one's grip; see hear_grip()
  guint first;       // place in `owners` of the first, once it is closed
  guint n_owners;    // which follow one another then
  guint64 keyboards; // that have it; see set_of()
} Sound;

// What is looked at first of a sound.
typedef struct {
  guint64 keyboards; // see set_of()
  RcPcSet tones;
  RcPcSet basses;
  guint sound;
} Place;

struct RcSounds {
  const RcLayout **layouts;
  guint n;                      // keyboards
  guint keyboard;               // 1 + the one that grips are added of; 0: none yet
  GArray *keys;                 // of Key: its buttons
  GArray *sounds;               // of Sound
  GArray *owners;               // of Owner, by sound once it is closed
  GArray *small[PITCH_CLASSES]; // of Place, by each of its basses, once it is closed: sounds of one or two buttons
  GArray *large[PITCH_CLASSES]; // and of three
  RcCodeMap numbers;            // of what tells sounds apart, to indices of `sounds`; until it is closed
};

// -------------------------------------------------------------------------------------------------------- making

RcSounds *
rc_sounds_new(const RcLayout *const *layouts, guint n)
{
  RcSounds *s = g_new0(RcSounds, 1);
  s->n = n;
  s->layouts = g_new(const RcLayout *, MAX(n, 1));
  for (guint i = 0; i < n; ++i) {
    s->layouts[i] = layouts[i];
  }
  s->keys = g_array_new(FALSE, FALSE, sizeof(Key));
  s->sounds = g_array_new(FALSE, FALSE, sizeof(Sound));
  s->owners = g_array_new(FALSE, FALSE, sizeof(Owner));
  for (guint pc = 0; pc < PITCH_CLASSES; ++pc) {
    s->small[pc] = g_array_new(FALSE, FALSE, sizeof(Place));
    s->large[pc] = g_array_new(FALSE, FALSE, sizeof(Place));
  }
  rc_code_map_init(&s->numbers);
  return s;
}

void
rc_sounds_free(RcSounds *s)
{
  if (s) {
    rc_code_map_clear(&s->numbers);
    for (guint pc = 0; pc < PITCH_CLASSES; ++pc) {
      g_array_unref(s->small[pc]);
      g_array_unref(s->large[pc]);
    }
    g_array_unref(s->owners);
    g_array_unref(s->sounds);
    g_array_unref(s->keys);
    g_free(s->layouts);
    g_free(s);
  }
}

static void
learn_keys(RcSounds *s, guint keyboard)
{
  const RcLayout *layout = s->layouts[keyboard];
  s->keyboard = keyboard + 1;
  g_array_set_size(s->keys, layout->buttons->len);
  for (guint i = 0; i < layout->buttons->len; ++i) {
    const RcButton *button = rc_layout_button(layout, i);
    const int away = ABS(2 * rc_button_column(layout, button) - 1);
    g_array_index(s->keys, Key, i) = (Key){ button->sound.tones, (guint16)button->column, (guint16)away };
  }
}

// Sets what is heard of a grip and returns what rc_grip_compare() looks at first, as one number: how many buttons,
// their reach, and how far they are from C.
static guint
hear_grip(const RcSounds *s, const RcGrip *grip, Heard *heard)
{
  guint basses = 0;
  guint tones = 0;
  guint low = G_MAXUINT;
  guint high = 0;
  guint away = 0;
  for (guint i = 0; i < rc_grip_count(grip); ++i) {
    const Key *key = &g_array_index(s->keys, Key, rc_grip_button(grip, i));
    tones |= key->tones;
    basses = i < grip->n_basses ? tones : basses;
    low = MIN(low, key->column);
    high = MAX(high, key->column);
    away += key->away;
  }
  *heard = (Heard){ .sounding = { (RcPcSet)tones, (RcPcSet)basses, grip->n_basses, grip->n_chords } };
  if (grip->n_basses == 1 && grip->n_chords == 1) {
    const RcSound *chord = &rc_layout_button(s->layouts[s->keyboard - 1], grip->chords[0])->sound;
    heard->kind = (guint8)chord->kind;
    heard->root = (guint8)rc_note_pc(chord->root);
  }
  return rc_grip_count(grip) << 24U | (high - low) << 16U | away;
}

// Of its basses each sounds another tone, so that their number goes without saying.
static guint64
number_of(const Heard *heard)
{
  guint64 number = heard->sounding.tones;
  number = number << PITCH_CLASSES | heard->sounding.basses;
  number = number << 2U | heard->sounding.n_chords;
  number = number << 4U | heard->kind;
  return number << 4U | heard->root;
}

static gboolean
is_large(const RcSounding *sounding)
{
  return sounding->n_basses + sounding->n_chords > FEW_BUTTONS;
}

// A keyboard as a set of keyboards. Of more than 64 several share a bit, so that a set may seem to hold more than it
// does.
static guint64
set_of(guint keyboard)
{
  enum { BITS = 64 };
  return G_GUINT64_CONSTANT(1) << (keyboard % BITS);
}

static guint
find_sound(RcSounds *s, const Heard *heard)
{
  guint index = 0;
  if (!rc_code_map_find(&s->numbers, number_of(heard), &index)) {
    const Sound sound = { .heard = *heard };
    index = s->sounds->len;
    rc_code_map_add(&s->numbers, number_of(heard), index);
    g_array_append_val(s->sounds, sound);
  }
  return index;
}

static Owner *
latest_owner(const RcSounds *s, const Sound *sound)
{
  return &g_array_index(s->owners, Owner, sound->latest - 1);
}

static void
add_owner(RcSounds *s, Sound *sound, const Owner *owner)
{
  g_array_append_vals(s->owners, owner, 1);
  sound->latest = s->owners->len;
  ++sound->n_owners;
  sound->keyboards |= set_of(owner->keyboard);
}

guint
rc_sounds_add(RcSounds *s, guint keyboard, const RcGrip *grip)
{
  if (s->keyboard != keyboard + 1) {
    learn_keys(s, keyboard);
  }
  Heard heard;
  const guint order = hear_grip(s, grip, &heard);
  const guint index = find_sound(s, &heard);
  Sound *sound = &g_array_index(s->sounds, Sound, index);
  if (!sound->latest || latest_owner(s, sound)->keyboard != keyboard) {
    const Owner owner = { index, keyboard, *grip };
    add_owner(s, sound, &owner);
    sound->order = order;
  } else if (order < sound->order || (order == sound->order &&
                                      rc_grip_compare(s->layouts[keyboard], grip, &latest_owner(s, sound)->grip) < 0)) {
    latest_owner(s, sound)->grip = *grip;
    sound->order = order;
  }
  return index;
}

static void
add_grip(const RcGrip *grip, gpointer data)
{
  RcSounds *s = data;
  rc_sounds_add(s, s->keyboard - 1, grip);
}

void
rc_sounds_add_all(RcSounds *s, guint keyboard, RcHand hand)
{
  learn_keys(s, keyboard);
  rc_layout_each_grip(s->layouts[keyboard], hand, add_grip, s);
}

static void
place_sound(RcSounds *s, guint index)
{
  const Sound *sound = &g_array_index(s->sounds, Sound, index);
  const RcSounding *sounding = &sound->heard.sounding;
  const Place place = { sound->keyboards, sounding->tones, sounding->basses, index };
  for (guint pc = 0; pc < PITCH_CLASSES; ++pc) {
    if (rc_pcs_has(place.basses, pc)) {
      g_array_append_val(is_large(sounding) ? s->large[pc] : s->small[pc], place);
    }
  }
}

// Puts the owners of each sound side by side, since most sounds are looked at for most requests.
static void
sort_owners(RcSounds *s)
{
  GArray *sorted = g_array_sized_new(FALSE, FALSE, sizeof(Owner), s->owners->len);
  guint next = 0;
  g_array_set_size(sorted, s->owners->len);
  for (guint i = 0; i < s->sounds->len; ++i) {
    Sound *sound = &g_array_index(s->sounds, Sound, i);
    sound->first = next;
    next += sound->n_owners;
    sound->n_owners = 0;
  }
  for (guint i = 0; i < s->owners->len; ++i) {
    const Owner *owner = &g_array_index(s->owners, Owner, i);
    Sound *sound = &g_array_index(s->sounds, Sound, owner->sound);
    g_array_index(sorted, Owner, sound->first + sound->n_owners++) = *owner;
  }
  g_array_unref(s->owners);
  s->owners = sorted;
}

void
rc_sounds_close(RcSounds *s)
{
  sort_owners(s);
  for (guint i = 0; i < s->sounds->len; ++i) {
    place_sound(s, i);
  }
  rc_code_map_clear(&s->numbers);
  s->numbers = (RcCodeMap){ 0 };
}

// ------------------------------------------------------------------------------------------------------ the order

typedef struct {
  const RcSounds *sounds;
  RcTaste taste;
  RcWanted wanted;
  RcSoundKind own; // the kind of button that is the chord itself; RC_SOUND_DEAD where there is none
  guint root;
  gboolean by_rank; // of answers of one rank any will do
} Query;

static Query
make_query(const RcSounds *sounds, RcTaste taste, const RcRequest *request)
{
  return (Query){
    sounds, taste, rc_wanted_new(request), rc_native_kind(request->chord.degrees), rc_note_pc(request->chord.root),
    FALSE
  };
}

static gboolean
is_native(const Query *q, const Heard *heard)
{
  return heard->kind != RC_SOUND_DEAD && heard->kind == q->own && heard->root == q->root &&
         heard->sounding.basses == q->wanted.bass;
}

static gboolean
is_plain(const Query *q, RcVerdict verdict, const RcSounding *sounding)
{
  return q->taste.prefer != RC_PREFER_SOUND && verdict <= RC_LEANER && verdict <= q->taste.accept &&
         !is_large(sounding);
}

// What tells two leaner, or two borrowed grips apart.
static guint
simplicity(const Query *q, const Heard *heard, RcVerdict verdict)
{
  const gboolean usual =
    heard->kind == RC_SOUND_MAJOR || heard->kind == RC_SOUND_MINOR || heard->kind == RC_SOUND_SEVENTH;
  if (verdict == RC_LEANER) {
    return !(usual && heard->root == q->root);
  }
  const gboolean named = heard->kind != RC_SOUND_DEAD && heard->kind != RC_SOUND_OTHER;
  const gboolean over_root = named && rc_pcs_has(heard->sounding.basses, heard->root);
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
rank_of(const Query *q, const Heard *heard, RcVerdict verdict, const RcGrading *g)
{
  const RcSounding *sounding = &heard->sounding;
  guint32 rank = !is_plain(q, verdict, sounding);
  rank = rank << 3U | verdict;
  rank = rank << 1U | ((sounding->basses & q->wanted.bass) ? 0U : 1U);
  rank = rank << 6U | (verdict == RC_BORROWED ? makeshift(q, sounding, g) : 0);
  rank = rank << 4U | rc_pcs_count(g->foreign);
  rank = rank << 4U | rc_pcs_count(g->missing | g->helped);
  rank = rank << 2U | sounding->n_basses;
  return rank << 1U | simplicity(q, heard, verdict);
}

static guint
likeness_to(const RcWanted *wanted, const RcSounding *sounding)
{
  return rc_likeness(wanted->tones, wanted->bass, sounding->tones, sounding->basses);
}

int
rc_answer_compare(const RcLayout *layout, const RcAnswer *a, const RcAnswer *b)
{
  if (a->rank != b->rank) {
    return a->rank < b->rank ? -1 : 1;
  }
  return a->likeness != b->likeness ? (int)b->likeness - (int)a->likeness : rc_grip_compare(layout, &a->grip, &b->grip);
}

// --------------------------------------------------------------------------------------------------------- the best

// Neither grip nor likeness is set.
static RcAnswer
answer_with(const Query *q, const Heard *heard)
{
  const RcGrading grading = rc_wanted_grade(&q->wanted, &heard->sounding);
  const RcVerdict verdict = is_native(q, heard) ? RC_NATIVE : grading.verdict;
  return (RcAnswer){ .verdict = verdict,
                     .grading = grading,
                     .rank = verdict == RC_IMPOSSIBLE ? G_MAXUINT32 : rank_of(q, heard, verdict, &grading) };
}

// Takes the sound as the answer of each keyboard that has it and nothing better.
static void
offer(const Query *q, const Sound *sound, RcAnswer *answers)
{
  RcAnswer answer = answer_with(q, &sound->heard);
  gboolean likened = FALSE;
  for (guint i = 0; i < sound->n_owners && answer.verdict != RC_IMPOSSIBLE; ++i) {
    const Owner *owner = &g_array_index(q->sounds->owners, Owner, sound->first + i);
    RcAnswer *best = &answers[owner->keyboard];
    if (answer.rank > best->rank || (q->by_rank && answer.rank == best->rank)) {
      continue;
    }
    answer.likeness = likened || q->by_rank ? answer.likeness : likeness_to(&q->wanted, &sound->heard.sounding);
    answer.grip = owner->grip;
    likened = TRUE;
    if (rc_answer_compare(q->sounds->layouts[owner->keyboard], &answer, best) < 0) {
      *best = answer;
    }
  }
}

// Offers the sounds at `places` to keyboards among which are `asking`.
static void
offer_places(const Query *q, const GArray *places, guint64 asking, RcAnswer *answers)
{
  for (guint i = 0; i < places->len; ++i) {
    const Place *place = &g_array_index(places, Place, i);
    if (place->keyboards & asking && !(place->tones & ~q->wanted.permitted)) { // another tone fits no grade
      offer(q, &g_array_index(q->sounds->sounds, Sound, place->sound), answers);
    }
  }
}

static void
offer_over(const Query *q, GArray *const by_bass[PITCH_CLASSES], RcPcSet basses, guint64 asking, RcAnswer *answers)
{
  for (guint pc = 0; pc < PITCH_CLASSES && asking; ++pc) {
    if (rc_pcs_has(basses, pc)) {
      offer_places(q, by_bass[pc], asking, answers);
    }
  }
}

// The keyboards whose answer is worse than `verdict`.
static guint64
worse_than(RcVerdict verdict, const RcAnswer *answers, guint n)
{
  guint64 keyboards = 0;
  for (guint i = 0; i < n; ++i) {
    keyboards |= answers[i].verdict > verdict ? set_of(i) : 0;
  }
  return keyboards;
}

// A to D have the wanted bass or, an inversion given up, the root in the bass. Only E may have another, and no three
// buttons; where two buttons are plain enough, three are not looked at. `answers` are of the first `n` keyboards, which
// are all.
static void
find_best(const Query *q, guint n, RcAnswer *answers)
{
  const RcSounds *s = q->sounds;
  const RcPcSet near = q->wanted.bass | q->wanted.root;
  const RcVerdict enough = q->taste.prefer == RC_PREFER_SOUND ? RC_NATIVE : MIN(RC_LEANER, q->taste.accept);
  for (guint i = 0; i < n; ++i) {
    answers[i] = (RcAnswer){ .verdict = RC_IMPOSSIBLE, .rank = G_MAXUINT32 };
  }
  offer_over(q, s->small, near, ~G_GUINT64_CONSTANT(0), answers);
  offer_over(q, s->large, near, worse_than(enough, answers, n), answers);
  offer_over(q, s->small, (RcPcSet)~near, worse_than(RC_BARE, answers, n), answers);
}

void
rc_sounds_best(const RcSounds *s, RcTaste taste, const RcRequest *request, RcAnswer *answers)
{
  const Query q = make_query(s, taste, request);
  find_best(&q, s->n, answers);
}

// ------------------------------------------------------------------------------------------------------------- all

// Who is to be called, and for ranks up to which.
typedef struct {
  RcHeardFunc each;
  gpointer data;
  guint32 worst;
} Listing;

// Calls for the sounds at `places` but those that have one of the basses `told`.
static void
list_places(const Query *q, const GArray *places, RcPcSet told, const Listing *listing)
{
  for (guint i = 0; i < places->len; ++i) {
    const Place *place = &g_array_index(places, Place, i);
    if ((place->tones & ~q->wanted.permitted) || (place->basses & told)) {
      continue;
    }
    const RcAnswer answer = answer_with(q, &g_array_index(q->sounds->sounds, Sound, place->sound).heard);
    if (answer.verdict != RC_IMPOSSIBLE && answer.rank <= listing->worst) {
      listing->each(place->sound, &answer, listing->data);
    }
  }
}

// Calls once for each sound of one or two buttons over the basses `small` and of three over `large`.
static void
list_sounds(const Query *q, RcPcSet small, RcPcSet large, const Listing *listing)
{
  RcPcSet told = 0;
  for (guint pc = 0; pc < PITCH_CLASSES; ++pc) {
    if (rc_pcs_has(small, pc)) {
      list_places(q, q->sounds->small[pc], told & small, listing);
    }
    if (rc_pcs_has(large, pc)) {
      list_places(q, q->sounds->large[pc], told & large, listing);
    }
    told |= (RcPcSet)(1U << pc);
  }
}

enum { ALL_BASSES = (1 << PITCH_CLASSES) - 1 };

void
rc_sounds_each(const RcSounds *s, RcTaste taste, const RcRequest *request, RcHeardFunc each, gpointer data)
{
  const Query q = make_query(s, taste, request);
  const Listing listing = { each, data, G_MAXUINT32 };
  list_sounds(&q, ALL_BASSES, q.wanted.bass | q.wanted.root, &listing);
}

// As rc_sounds_best() looks for them.
void
rc_sounds_each_best(const RcSounds *s, RcTaste taste, const RcRequest *request, RcHeardFunc each, gpointer data)
{
  Query q = make_query(s, taste, request);
  RcAnswer best;
  q.by_rank = TRUE;
  find_best(&q, 1, &best);
  const Listing listing = { each, data, best.rank };
  const RcPcSet near = q.wanted.bass | q.wanted.root;
  list_sounds(&q, best.verdict > RC_BARE ? ALL_BASSES : near, rc_rank_is_plain(best.rank) ? 0 : near, &listing);
}
