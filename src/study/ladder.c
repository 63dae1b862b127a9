// Copyright 2026 the rowcall developers
// SPDX-License-Identifier: MIT

// An order in which to learn tunes on one keyboard.

#include "rowcall/study.h"

// What was found so far.
typedef struct {
  RcLadder *ladder;
  GHashTable *ids; // of char *, a thing's name, to its index and 1
  GArray *things;  // of RcThing
  GPtrArray *tunes;
  GPtrArray *needs; // of GArray of guint, beside the tunes
} Finding;

static int
compare_ids(gconstpointer a, gconstpointer b)
{
  const guint left = *(const guint *)a;
  const guint right = *(const guint *)b;
  return (left > right) - (left < right);
}

// Adds a thing to the needs of a tune, once; takes `name`, equal for equal things.
static void
need(Finding *f, GArray *needs, const RcThing *thing, char *name)
{
  guint id = GPOINTER_TO_UINT(g_hash_table_lookup(f->ids, name));
  if (id) {
    g_free(name);
  } else {
    g_array_append_vals(f->things, thing, 1);
    id = f->things->len;
    g_hash_table_insert(f->ids, name, GUINT_TO_POINTER(id));
  }
  --id;
  for (guint i = 0; i < needs->len; ++i) {
    if (g_array_index(needs, guint, i) == id) {
      return;
    }
  }
  g_array_append_val(needs, id);
}

// The first entry of the instrument's button.
static guint
button_of(const RcLayout *layout, guint entry)
{
  return rc_layout_button(layout, entry)->bellows == RC_BELLOWS_PULL ? entry - 1 : entry;
}

static void
need_buttons(Finding *f, GArray *needs, const RcGrip *grip)
{
  for (guint i = 0; i < rc_grip_count(grip); ++i) {
    const guint button = button_of(f->ladder->layout, rc_grip_button(grip, i));
    const RcThing thing = { .kind = RC_THING_BUTTON, .button = button };
    need(f, needs, &thing, g_strdup_printf("button %u", button));
  }
}

// Appends the buttons of a grip to a thing's name.
static void
append_buttons(GString *name, const RcGrip *grip)
{
  for (guint i = 0; i < rc_grip_count(grip); ++i) {
    g_string_append_printf(name, " %u", rc_grip_button(grip, i));
  }
}

// A wide grip is learned beside the chord it stands for, so that a stand-in that stretches counts twice.
static void
need_stretch(Finding *f, GArray *needs, const RcStep *step)
{
  const RcFingers *fingers = &f->ladder->rolled->boards->settings.route.fingers;
  if (rc_grip_stretch(fingers, f->ladder->layout, &step->grip, &step->fingers) > 0) {
    const RcThing thing = { .kind = RC_THING_STRETCH, .grip = step->grip };
    GString *name = g_string_new("stretch");
    append_buttons(name, &step->grip);
    need(f, needs, &thing, g_string_free(name, FALSE));
  }
}

static void
need_stand_in(Finding *f, GArray *needs, const RcChord *chord, const RcStep *step)
{
  const RcThing thing = { .kind = RC_THING_STAND_IN, .chord = *chord, .grip = step->grip };
  GString *name = g_string_new(NULL);
  g_string_append_printf(name, "chord %u %u %u:", rc_note_pc(chord->root), rc_note_pc(chord->bass), chord->degrees);
  append_buttons(name, &step->grip);
  need(f, needs, &thing, g_string_free(name, FALSE));
}

static guint
column_of(const RcLayout *layout, const RcGrip *grip)
{
  return rc_layout_button(layout, grip->basses[0])->column;
}

static void
need_move(Finding *f, GArray *needs, const RcGrip *from, const RcGrip *to)
{
  const int columns = ABS((int)column_of(f->ladder->layout, to) - (int)column_of(f->ladder->layout, from));
  const RcThing thing = { .kind = RC_THING_MOVE, .columns = (guint)columns };
  if (columns) {
    need(f, needs, &thing, g_strdup_printf("move %d", columns));
  }
}

// What the route of a tune needs; NULL where it does not play. Sets `chords` to whether it has any.
static void
count_tune(const Finding *f, const GArray *needs)
{
  for (guint i = 0; i < needs->len; ++i) {
    ++g_array_index(f->things, RcThing, g_array_index(needs, guint, i)).tunes;
  }
}

static GArray *
find_needs(Finding *f, const RcRoute *route, const RcTune *tune, gboolean *chords)
{
  const RcVerdict accept = f->ladder->rolled->boards->settings.route.taste.accept;
  GArray *needs = g_array_new(FALSE, FALSE, sizeof(guint));
  const RcGrip *before = NULL;
  gboolean plays = TRUE;
  *chords = FALSE;
  for (guint i = 0; i < route->steps->len; ++i) {
    const RcStep *step = &g_array_index(route->steps, RcStep, i);
    const RcSymbol *symbol = rc_tune_symbol(tune, step->played.symbol);
    if (symbol->kind != RC_SYMBOL_CHORD && symbol->kind != RC_SYMBOL_UNREAD) {
      continue;
    }
    *chords = TRUE;
    plays &= step->verdict <= accept;
    if (!plays || !step->held) {
      continue;
    }
    need_buttons(f, needs, &step->grip);
    if (step->verdict != RC_NATIVE) {
      need_stand_in(f, needs, &symbol->chord, step);
    }
    need_stretch(f, needs, step);
    if (before) {
      need_move(f, needs, before, &step->grip);
    }
    before = &step->grip;
  }
  if (!plays || !*chords) {
    g_clear_pointer(&needs, g_array_unref);
  }
  return needs;
}

static void
find_all(Finding *f)
{
  RcLadder *ladder = f->ladder;
  const RcRolled *rolled = ladder->rolled;
  RcPlanner *planner = rc_planner_new(ladder->layout, &rolled->boards->settings.route);
  RcRoute *route = rc_route_new(planner);
  for (guint i = 0; i < rolled->n_tunes; ++i) {
    gboolean chords;
    const RcTune *tune = rolled->tunes[i];
    rc_route_plan(route, tune);
    GArray *needs = find_needs(f, route, tune, &chords);
    if (needs) {
      count_tune(f, needs);
      g_ptr_array_add(f->tunes, (gpointer)tune);
      g_ptr_array_add(f->needs, needs);
    } else if (chords) {
      ladder->unplayable[ladder->n_unplayable++] = tune;
    } else {
      ladder->chordless[ladder->n_chordless++] = tune;
    }
  }
  rc_route_free(route);
  rc_planner_free(planner);
}

// ------------------------------------------------------------------------------------------------------------ rungs

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

// The things that are not known, which then are, in a new array of RcThing.
static GArray *
learn(const Finding *f, GArray *needs, gboolean *known)
{
  GArray *things = g_array_new(FALSE, FALSE, sizeof(RcThing));
  g_array_sort(needs, compare_ids);
  for (guint i = 0; i < needs->len; ++i) {
    const guint id = g_array_index(needs, guint, i);
    if (!known[id]) {
      g_array_append_vals(things, &g_array_index(f->things, RcThing, id), 1);
    }
    known[id] = TRUE;
  }
  return things;
}

static void
make_rungs(const Finding *f)
{
  RcLadder *ladder = f->ladder;
  gboolean *known = g_new0(gboolean, MAX(f->things->len, 1));
  guint *order = rc_learning_order((GArray *const *)f->needs->pdata, f->needs->len, f->things->len);
  GArray *things = NULL;
  GPtrArray *tunes = NULL;
  ladder->rungs = g_new0(RcRung, MAX(f->tunes->len, 1));
  for (guint i = 0; i < f->tunes->len; ++i) {
    GArray *more = learn(f, g_ptr_array_index(f->needs, order[i]), known);
    if (more->len || !tunes) {
      if (tunes) {
        end_rung(ladder, things, tunes);
      }
      things = more;
      tunes = g_ptr_array_new();
      ++ladder->n;
    } else {
      g_array_unref(more);
    }
    g_ptr_array_add(tunes, g_ptr_array_index(f->tunes, order[i]));
  }
  if (tunes) {
    end_rung(ladder, things, tunes);
  }
  g_free(order);
  g_free(known);
}

RcLadder *
rc_ladder_new(const RcRolled *rolled)
{
  RcLadder *ladder = g_new0(RcLadder, 1);
  Finding f = { ladder, g_hash_table_new_full(g_str_hash, g_str_equal, g_free, NULL),
                g_array_new(FALSE, TRUE, sizeof(RcThing)), g_ptr_array_new(),
                g_ptr_array_new_with_free_func((GDestroyNotify)g_array_unref) };
  ladder->rolled = rolled;
  ladder->layout = rolled->boards->layouts[0];
  ladder->unplayable = g_new(const RcTune *, MAX(rolled->n_tunes, 1));
  ladder->chordless = g_new(const RcTune *, MAX(rolled->n_tunes, 1));
  find_all(&f);
  make_rungs(&f);
  g_hash_table_unref(f.ids);
  g_array_unref(f.things);
  g_ptr_array_unref(f.tunes);
  g_ptr_array_unref(f.needs);
  return ladder;
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
    g_free(ladder);
  }
}
