// Copyright 2026 the rowcall developers
// SPDX-License-Identifier: MIT

// An order in which to learn tunes on one keyboard.

#include "study/routes.h"
#include "base/order.h"

#include <string.h>

// The things that a grip needs with its fingers, whatever it stands for: its buttons, and its stretch where it is wide.
typedef struct {
  guint n; // 0: not known yet
  guint ids[RC_GRIP_PRESS + 1];
} ShapeNeeds;

// What was found so far.
typedef struct {
  RcLadder *ladder;
  GHashTable *ids;             // of RcThing * to its index and 1
  GArray *things;              // of RcThing
  GArray *shapes;              // of ShapeNeeds, by shape
  guint moves[RC_MAX_COLUMNS]; // by columns: the index of the thing, and 1
  GPtrArray *tunes;
  GPtrArray *needs; // of GArray of guint, beside the tunes
  GArray *needed;   // of guint, by thing: how many tunes there were when one needed it last
  GArray *here;     // of guint: what the tune at hand needs, room for all things
  guint n_here;
} Finding;

static int
compare_ids(gconstpointer a, gconstpointer b)
{
  const guint left = *(const guint *)a;
  const guint right = *(const guint *)b;
  return rc_order(left, right);
}

static gboolean
is_same_chord(const RcChord *one, const RcChord *other)
{
  return rc_note_pc(one->root) == rc_note_pc(other->root) && rc_note_pc(one->bass) == rc_note_pc(other->bass) &&
         one->degrees == other->degrees;
}

static gboolean
is_same_thing(gconstpointer a, gconstpointer b)
{
  const RcThing *one = a;
  const RcThing *other = b;
  return one->kind == other->kind && one->button == other->button && one->columns == other->columns &&
         is_same_chord(&one->chord, &other->chord) && rc_grip_equal(&one->grip, &other->grip);
}

static guint
hash_thing(gconstpointer data)
{
  const RcThing *thing = data;
  guint hash = (thing->kind * 31 + thing->button) * 31 + thing->columns;
  hash = (hash * 31 + thing->chord.degrees) * 31 + rc_note_pc(thing->chord.root);
  for (guint i = 0; i < rc_grip_count(&thing->grip); ++i) {
    hash = hash * 31 + rc_grip_button(&thing->grip, i);
  }
  return hash;
}

// The index of a thing, which may be new.
static guint
id_of(Finding *f, const RcThing *thing)
{
  guint id = GPOINTER_TO_UINT(g_hash_table_lookup(f->ids, thing));
  if (!id) {
    g_array_append_vals(f->things, thing, 1);
    id = f->things->len;
    g_array_set_size(f->needed, id);
    g_array_set_size(f->here, id);
    g_hash_table_insert(f->ids, g_memdup2(thing, sizeof *thing), GUINT_TO_POINTER(id));
  }
  return id - 1;
}

// Adds a thing to what the tune at hand needs, once.
static void
need(Finding *f, guint id)
{
  guint *needed = &g_array_index(f->needed, guint, id);
  if (*needed <= f->tunes->len) {
    *needed = f->tunes->len + 1;
    ++g_array_index(f->things, RcThing, id).tunes;
    g_array_index(f->here, guint, f->n_here++) = id;
  }
}

// The first entry of the instrument's button.
static guint
button_of(const RcLayout *layout, guint entry)
{
  return rc_layout_button(layout, entry)->bellows == RC_BELLOWS_PULL ? entry - 1 : entry;
}

// A wide grip is learned beside the chord it stands for, so that a stand-in that stretches counts twice.
static ShapeNeeds
find_shape(Finding *f, const RcWay *way)
{
  const RcFingers *fingers = &f->ladder->rolled->boards->settings.route.fingers;
  ShapeNeeds needs = { 0, { 0 } };
  for (guint i = 0; i < rc_grip_count(&way->grip); ++i) {
    const guint button = button_of(f->ladder->layout, rc_grip_button(&way->grip, i));
    needs.ids[needs.n++] = id_of(f, &(RcThing){ .kind = RC_THING_BUTTON, .button = button });
  }
  if (rc_grip_stretch(fingers, f->ladder->layout, &way->grip, &way->fingers) > 0) {
    const RcThing stretch = { .kind = RC_THING_STRETCH, .grip = way->grip };
    needs.ids[needs.n++] = id_of(f, &stretch);
  }
  return needs;
}

static void
need_grip(Finding *f, const RcChord *chord, const RcWay *way)
{
  if (way->shape >= f->shapes->len) {
    g_array_set_size(f->shapes, way->shape + 1);
  }
  ShapeNeeds *shape = &g_array_index(f->shapes, ShapeNeeds, way->shape);
  if (!shape->n) {
    *shape = find_shape(f, way);
  }
  for (guint i = 0; i < shape->n; ++i) {
    need(f, shape->ids[i]);
  }
  if (way->verdict != RC_NATIVE) {
    const RcThing stand_in = { .kind = RC_THING_STAND_IN, .chord = *chord, .grip = way->grip };
    need(f, id_of(f, &stand_in));
  }
}

static guint
column_of(const RcLayout *layout, const RcGrip *grip)
{
  return rc_layout_button(layout, grip->basses[0])->column;
}

static void
need_move(Finding *f, const RcGrip *from, const RcGrip *to)
{
  const int columns = ABS((int)column_of(f->ladder->layout, to) - (int)column_of(f->ladder->layout, from));
  guint *id = &f->moves[columns];
  if (columns && !*id) {
    *id = 1 + id_of(f, &(RcThing){ .kind = RC_THING_MOVE, .columns = (guint)columns });
  }
  if (columns) {
    need(f, *id - 1);
  }
}

// Whether all that is wanted is of an accepted grade.
static gboolean
plays(const RcRouter *r, RcVerdict accept)
{
  for (guint i = 0; i < r->wants->wants->len; ++i) {
    const RcWays *ways = g_array_index(r->answers, RcAnswered, i).ways;
    if (!ways || !ways->n) {
      return FALSE;
    }
  }
  for (guint i = 0; i < r->stops->len; ++i) {
    if ((RcVerdict)rc_stop_way(&g_array_index(r->stops, RcStop, i))->verdict > accept) {
      return FALSE;
    }
  }
  return TRUE;
}

// Whether a chord is held in a way in which it was held before. `seen`, by way of each choice, learns of this.
static gboolean
is_held_again(const RcRouter *r, const RcStop *stop, gboolean *seen)
{
  gboolean *here = &seen[g_array_index(r->choices, RcWayChoice, stop->choice).first + stop->chosen];
  const gboolean again = *here;
  *here = TRUE;
  return again;
}

// What the route of a tune that plays needs.
static GArray *
find_needs(Finding *f, const RcRouter *r)
{
  const RcWay *before = NULL;
  gboolean *seen = g_new0(gboolean, MAX(r->ranks->len, 1));
  for (guint i = 0; i < r->stops->len; ++i) {
    const RcStop *stop = &g_array_index(r->stops, RcStop, i);
    const RcWay *way = rc_stop_way(stop);
    if (!is_held_again(r, stop, seen)) {
      const guint symbol = rc_wants_step(r->wants, stop->step)->played.symbol;
      need_grip(f, &rc_tune_symbol(r->wants->tune, symbol)->chord, way);
    }
    if (before && before != way) {
      need_move(f, &before->grip, &way->grip);
    }
    before = way;
  }
  g_free(seen);
  GArray *needs = g_array_sized_new(FALSE, FALSE, sizeof(guint), f->n_here);
  g_array_append_vals(needs, f->here->data, f->n_here);
  f->n_here = 0;
  return needs;
}

static void
sort_tune(const RcTune *tune, const RcRouter *r, gpointer data)
{
  Finding *f = data;
  RcLadder *ladder = f->ladder;
  if (!r->wants->wants->len) {
    ladder->chordless[ladder->n_chordless++] = tune;
  } else if (plays(r, rc_roll_accept(ladder->rolled->roll))) {
    g_ptr_array_add(f->needs, find_needs(f, r));
    g_ptr_array_add(f->tunes, (gpointer)tune);
  } else {
    ladder->unplayable[ladder->n_unplayable++] = tune;
  }
}

// Buttons by column and row, then stand-ins in the order they come, then moves, short ones first.
static int
compare_things(gconstpointer a, gconstpointer b, gpointer layout)
{
  const RcThing *left = a;
  const RcThing *right = b;
  if (left->kind != right->kind) {
    return (int)left->kind - (int)right->kind;
  }
  if (left->kind == RC_THING_BUTTON) {
    const RcButton *one = rc_layout_button(layout, left->button);
    const RcButton *other = rc_layout_button(layout, right->button);
    return one->column != other->column ? (int)one->column - (int)other->column : (int)one->row - (int)other->row;
  }
  return (int)left->columns - (int)right->columns;
}

// ------------------------------------------------------------------------------------------------------ what is known

static void
append_place(GString *word, const RcLayout *layout, guint entry)
{
  const RcButton *button = rc_layout_button(layout, entry);
  g_string_append_printf(word, "%s%s:%s", word->len ? "+" : "", rc_button_row(layout, button),
                         rc_note_name(rc_button_column(layout, button), RC_SIGNS_ASCII));
}

char *
rc_thing_word(const RcLayout *layout, const RcThing *thing)
{
  GString *word = g_string_new(NULL);
  switch (thing->kind) {
  case RC_THING_BUTTON:
    append_place(word, layout, thing->button);
    break;
  case RC_THING_STAND_IN:
    g_string_free(word, TRUE);
    return rc_chord_name(&thing->chord, RC_SIGNS_ASCII);
  case RC_THING_STRETCH:
    for (guint i = 0; i < rc_grip_count(&thing->grip); ++i) {
      append_place(word, layout, rc_grip_button(&thing->grip, i));
    }
    break;
  default:
    g_string_printf(word, "%u", thing->columns);
  }
  return g_string_free(word, FALSE);
}

// Whether @p said means @p thing.
static gboolean
means(const char *said, const RcLayout *layout, const RcThing *thing)
{
  RcChord chord;
  gsize stopped;
  char *word = rc_thing_word(layout, thing);
  const gboolean same = g_str_equal(said, word);
  g_free(word);
  return same || (thing->kind == RC_THING_STAND_IN &&
                  rc_chord_parse(said, strlen(said), RC_NAMES_ENGLISH, &chord, &stopped) == RC_SYMBOL_CHORD &&
                  is_same_chord(&chord, &thing->chord));
}

static void
know(const Finding *f, guint id, gboolean *known)
{
  const RcThing *thing = &g_array_index(f->things, RcThing, id);
  known[id] = TRUE;
  for (guint i = 0; thing->kind == RC_THING_STAND_IN && i < f->things->len; ++i) {
    const RcThing *other = &g_array_index(f->things, RcThing, i);
    known[i] |= other->kind == RC_THING_STRETCH && rc_grip_equal(&other->grip, &thing->grip);
  }
}

// Marks the things that @p said means; returns whether there is one.
static gboolean
know_things(const Finding *f, const char *said, gboolean *known)
{
  gboolean found = FALSE;
  for (guint i = 0; i < f->things->len; ++i) {
    if (means(said, f->ladder->layout, &g_array_index(f->things, RcThing, i))) {
      know(f, i, known);
      found = TRUE;
    }
  }
  return found;
}

static gboolean
is_called(const RcTune *tune, const char *said)
{
  char *place = g_strdup_printf("%s:%u", tune->file, tune->line);
  char *title = g_utf8_casefold(tune->title, -1);
  char *wanted = g_utf8_casefold(said, -1);
  const gboolean same = g_str_equal(place, said) || g_str_equal(title, wanted);
  g_free(wanted);
  g_free(title);
  g_free(place);
  return same;
}

// Takes the tunes that @p said means out of those to be learned, and marks what they need; returns whether there is
// one.
static gboolean
know_tunes(const Finding *f, const char *said, gboolean *known, GPtrArray *tunes)
{
  const guint before = tunes->len;
  for (guint i = 0; i < f->tunes->len;) {
    if (!is_called(g_ptr_array_index(f->tunes, i), said)) {
      ++i;
      continue;
    }
    const GArray *needs = g_ptr_array_index(f->needs, i);
    for (guint j = 0; j < needs->len; ++j) {
      know(f, g_array_index(needs, guint, j), known);
    }
    g_ptr_array_add(tunes, g_ptr_array_remove_index(f->tunes, i));
    g_ptr_array_remove_index(f->needs, i);
  }
  return tunes->len > before;
}

// Marks all that the player knows already, by thing; a new array.
static gboolean *
find_known(const Finding *f, const char *const *things, const char *const *tunes)
{
  gboolean *known = g_new0(gboolean, MAX(f->things->len, 1));
  GPtrArray *known_tunes = g_ptr_array_new();
  GPtrArray *unneeded = g_ptr_array_new();
  for (; things && *things; ++things) {
    if (!know_things(f, *things, known)) {
      g_ptr_array_add(unneeded, g_strdup(*things));
    }
  }
  for (; tunes && *tunes; ++tunes) {
    if (!know_tunes(f, *tunes, known, known_tunes)) {
      g_ptr_array_add(unneeded, g_strdup(*tunes));
    }
  }
  g_ptr_array_add(unneeded, NULL);
  f->ladder->unneeded = (char **)g_ptr_array_free(unneeded, FALSE);
  f->ladder->n_known_tunes = known_tunes->len;
  f->ladder->known_tunes = (const RcTune **)g_ptr_array_free(known_tunes, FALSE);
  return known;
}

static void
keep_known(const Finding *f, const gboolean *known)
{
  RcLadder *ladder = f->ladder;
  GArray *things = g_array_new(FALSE, FALSE, sizeof(RcThing));
  for (guint i = 0; i < f->things->len; ++i) {
    if (known[i]) {
      g_array_append_vals(things, &g_array_index(f->things, RcThing, i), 1);
    }
  }
  g_array_sort_with_data(things, compare_things, (gpointer)ladder->layout);
  ladder->n_known = things->len;
  ladder->known = (RcThing *)(gpointer)g_array_free(things, FALSE);
}

// ------------------------------------------------------------------------------------------------------------ rungs

static void
end_rung(RcLadder *ladder, GArray *things, GPtrArray *tunes)
{
  RcRung *rung = &ladder->rungs[ladder->n - 1];
  g_array_sort_with_data(things, compare_things, (gpointer)ladder->layout);
  rung->n_things = things->len;
  rung->things = (RcThing *)(gpointer)g_array_free(things, FALSE);
  rung->n_tunes = tunes->len;
  rung->tunes = (const RcTune **)g_ptr_array_free(tunes, FALSE);
  ladder->largest = MAX(ladder->largest, rung->n_things);
  ladder->things += rung->n_things;
  for (guint i = 0; i < rung->n_things; ++i) {
    ++rung->kinds[rung->things[i].kind];
  }
}

static gboolean
is_known(const GArray *needs, const gboolean *known)
{
  for (guint i = 0; i < needs->len; ++i) {
    if (!known[g_array_index(needs, guint, i)]) {
      return FALSE;
    }
  }
  return TRUE;
}

// The things that are not known, which then are, in a new array of RcThing.
static GArray *
learn(const Finding *f, const GArray *needs, gboolean *known)
{
  GArray *things = g_array_new(FALSE, FALSE, sizeof(RcThing));
  GArray *new = g_array_new(FALSE, FALSE, sizeof(guint));
  for (guint i = 0; i < needs->len; ++i) {
    const guint id = g_array_index(needs, guint, i);
    if (!known[id]) {
      g_array_append_val(new, id);
    }
    known[id] = TRUE;
  }
  g_array_sort(new, compare_ids);
  for (guint i = 0; i < new->len; ++i) {
    g_array_append_vals(things, &g_array_index(f->things, RcThing, g_array_index(new, guint, i)), 1);
  }
  g_array_unref(new);
  return things;
}

// Orders the tunes that are left where @p known is known, which grows.
static void
make_rungs(const Finding *f, gboolean *known)
{
  RcLadder *ladder = f->ladder;
  guint *order = rc_learning_order((GArray *const *)f->needs->pdata, f->needs->len, f->things->len, known);
  GArray *things = NULL;
  GPtrArray *tunes = NULL;
  ladder->rungs = g_new0(RcRung, MAX(f->tunes->len, 1));
  for (guint i = 0; i < f->tunes->len; ++i) {
    const GArray *needs = g_ptr_array_index(f->needs, order[i]);
    if (!tunes || !is_known(needs, known)) {
      if (tunes) {
        end_rung(ladder, things, tunes);
      }
      things = learn(f, needs, known);
      tunes = g_ptr_array_new();
      ++ladder->n;
    }
    g_ptr_array_add(tunes, g_ptr_array_index(f->tunes, order[i]));
  }
  if (tunes) {
    end_rung(ladder, things, tunes);
  }
  g_free(order);
}

// On the first of the `n` keyboards.
static RcLadder *
make_ladder(const RcRolled *rolled, const guint *boards, guint n, RcUse *const *uses, const char *const *things,
            const char *const *tunes)
{
  RcLadder *ladder = g_new0(RcLadder, 1);
  Finding f = { .ladder = ladder,
                .ids = g_hash_table_new_full(hash_thing, is_same_thing, g_free, NULL),
                .things = g_array_new(FALSE, TRUE, sizeof(RcThing)),
                .shapes = g_array_new(FALSE, TRUE, sizeof(ShapeNeeds)),
                .tunes = g_ptr_array_new(),
                .needs = g_ptr_array_new_with_free_func((GDestroyNotify)g_array_unref),
                .needed = g_array_new(FALSE, TRUE, sizeof(guint)),
                .here = g_array_new(FALSE, FALSE, sizeof(guint)) };
  ladder->rolled = rolled;
  ladder->layout = rolled->boards->layouts[boards[0]];
  ladder->unplayable = g_new(const RcTune *, MAX(rolled->n_tunes, 1));
  ladder->chordless = g_new(const RcTune *, MAX(rolled->n_tunes, 1));
  rc_rolled_routes(rolled, boards, n, uses, sort_tune, &f);
  gboolean *known = find_known(&f, things, tunes);
  keep_known(&f, known);
  make_rungs(&f, known);
  g_free(known);
  g_hash_table_unref(f.ids);
  g_array_unref(f.things);
  g_array_unref(f.shapes);
  g_array_unref(f.needed);
  g_array_unref(f.here);
  g_ptr_array_unref(f.tunes);
  g_ptr_array_unref(f.needs);
  return ladder;
}

RcLadder *
rc_ladder_new(const RcRolled *rolled, guint board, const char *const *things, const char *const *tunes)
{
  return make_ladder(rolled, &board, 1, NULL, things, tunes);
}

RcLadder *
rc_ladder_with_uses(const RcRolled *rolled, const guint *boards, guint n, RcUse *const *uses)
{
  return make_ladder(rolled, boards, n, uses, NULL, NULL);
}

// A sort that keeps the order of equal ones.
static int
by_tunes(gconstpointer a, gconstpointer b, gpointer data G_GNUC_UNUSED)
{
  const RcThing *left = *(const RcThing *const *)a;
  const RcThing *right = *(const RcThing *const *)b;
  return (left->tunes < right->tunes) - (left->tunes > right->tunes);
}

GPtrArray *
rc_ladder_stand_ins(const RcLadder *ladder)
{
  GPtrArray *all = g_ptr_array_new();
  for (guint i = 0; i < ladder->n; ++i) {
    const RcRung *rung = &ladder->rungs[i];
    for (guint j = 0; j < rung->n_things; ++j) {
      if (rung->things[j].kind == RC_THING_STAND_IN) {
        g_ptr_array_add(all, &rung->things[j]);
      }
    }
  }
  if (all->len) {
    g_qsort_with_data(all->pdata, (int)all->len, sizeof(gpointer), by_tunes, NULL);
  }
  return all;
}

void
rc_ladder_free(RcLadder *ladder)
{
  if (ladder) {
    for (guint i = 0; i < ladder->n; ++i) {
      g_free(ladder->rungs[i].things);
      g_free(ladder->rungs[i].tunes);
    }
    g_free(ladder->rungs);
    g_free(ladder->unplayable);
    g_free(ladder->chordless);
    g_free(ladder->known);
    g_free(ladder->known_tunes);
    g_strfreev(ladder->unneeded);
    g_free(ladder);
  }
}
