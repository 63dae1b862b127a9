// Copyright 2026 the rowcall developers
// SPDX-License-Identifier: MIT

// The order of learning: of small sets held against all their orders, and of tunes that are made up.

#undef NDEBUG

#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>

#include <cmocka.h>

#include "rowcall/study.h"

#include "scratch.h"

#include <stdio.h>

// ---------------------------------------------------------------------------- sets: numbers, with a bit for each thing

enum { MOST_SETS = 5 };

// What an order costs a learner.
typedef struct {
  guint largest; // the most new things at once
  guint known;   // the things known after each set, summed
} Cost;

static guint
count(guint set)
{
  guint n = 0;
  for (; set; set &= set - 1) {
    ++n;
  }
  return n;
}

static Cost
cost_of(const guint *sets, const guint *order, guint n)
{
  Cost cost = { 0, 0 };
  guint known = 0;
  for (guint i = 0; i < n; ++i) {
    cost.largest = MAX(cost.largest, count(sets[order[i]] & ~known));
    known |= sets[order[i]];
    cost.known += count(known);
  }
  return cost;
}

// The least of each over all orders that begin with the first `at` of `order`.
static void
find_least(const guint *sets, guint *order, guint at, guint n, Cost *least)
{
  if (at == n) {
    const Cost cost = cost_of(sets, order, n);
    least->largest = MIN(least->largest, cost.largest);
    least->known = MIN(least->known, cost.known);
  }
  for (guint i = at; i < n; ++i) {
    const guint swapped = order[i];
    order[i] = order[at];
    order[at] = swapped;
    find_least(sets, order, at + 1, n, least);
    order[at] = order[i];
    order[i] = swapped;
  }
}

static guint *
order_of(const guint *sets, guint n, guint n_things)
{
  GArray *needs[MOST_SETS] = { NULL };
  for (guint i = 0; i < n; ++i) {
    needs[i] = g_array_new(FALSE, FALSE, sizeof(guint));
    for (guint thing = 0; thing < n_things; ++thing) {
      if (sets[i] & 1U << thing) {
        g_array_append_val(needs[i], thing);
      }
    }
  }
  guint *order = rc_learning_order(needs, n, n_things, NULL);
  for (guint i = 0; i < n; ++i) {
    g_array_unref(needs[i]);
  }
  return order;
}

// Over all cases.
typedef struct {
  guint cases;
  guint least;  // cases whose order has the least sum of things known
  double worst; // of the others how many times the least, at most
} Found;

static void
check_case(const guint *sets, guint n, guint n_things, Found *found)
{
  guint any[MOST_SETS] = { 0, 1, 2, 3, 4 };
  Cost least = { G_MAXUINT, G_MAXUINT };
  guint *order = order_of(sets, n, n_things);
  const Cost cost = cost_of(sets, order, n);
  find_least(sets, any, 0, n, &least);
  assert_int_equal(cost.largest, least.largest);
  ++found->cases;
  found->least += cost.known == least.known;
  found->worst = MAX(found->worst, (double)cost.known / least.known);
  g_free(order);
}

// All ways to have `n` sets, the same ones in any order once, from `first` on.
static void
check_cases(guint *sets, guint at, guint n, guint n_things, Found *found)
{
  if (at == n) {
    check_case(sets, n, n_things, found);
    return;
  }
  for (guint set = at ? sets[at - 1] : 1; set < 1U << n_things; ++set) {
    sets[at] = set;
    check_cases(sets, at + 1, n, n_things, found);
  }
}

static void
no_order_has_a_smaller_largest_step(void **state)
{
  (void)state;
  static const struct {
    guint n;
    guint things;
    guint cases;   // (2^things - 1 + n - 1 over n)
    guint percent; // of them, at least, in which no order knows less
    double worst;  // how many times as much is known in the others, at most
  } sizes[] = { { 2, 4, 120, 100, 1 },     { 3, 4, 680, 99, 1.12 },  { 4, 4, 3060, 97, 1.17 },
                { 5, 4, 11628, 92, 1.21 }, { 3, 5, 5456, 98, 1.12 }, { 4, 5, 46376, 96, 1.24 } };
  for (guint i = 0; i < G_N_ELEMENTS(sizes); ++i) {
    guint sets[MOST_SETS + 1]; // one more than any case has, which some compilers believe to be used
    Found found = { 0, 0, 1 };
    check_cases(sets, 0, sizes[i].n, sizes[i].things, &found);
    printf("%u sets of %u things: %u of %u orders know as little as can be, the worst %.3f times as much\n", sizes[i].n,
           sizes[i].things, found.least, found.cases, found.worst);
    assert_int_equal(found.cases, sizes[i].cases);
    assert_true(found.least * 100 >= found.cases * sizes[i].percent && found.worst <= sizes[i].worst);
  }
}

// ------------------------------------------------------------------------------------------------------------ tunes

static int
make_folder(void **state)
{
  (void)state;
  return make_scratch("tunes.yaml");
}

typedef struct {
  RcBoards *boards;
  RcRolled *rolled;
  RcLadder *ladder;
} Learned;

static Learned
learn_knowing(const RcSettings *settings, const char *on, const char *text, const char *const *things,
              const char *const *tunes)
{
  const char *const paths[] = { path, NULL };
  const RcRepertoire repertoire = { paths, NULL, 0, 0 };
  assert_true(g_file_set_contents(path, text, -1, NULL));
  Learned learned = { .boards = rc_boards_find(&(RcBoardName){ on, NULL }, 1, settings, NULL) };
  learned.rolled = rc_repertoire_roll(&repertoire, learned.boards, TRUE, NULL);
  learned.ladder = rc_ladder_new(learned.rolled, 0, things, tunes);
  return learned;
}

static Learned
learn_with(const RcSettings *settings, const char *on, const char *text)
{
  return learn_knowing(settings, on, text, NULL, NULL);
}

static Learned
learn(const char *on, const char *text)
{
  return learn_with(NULL, on, text);
}

static void
clear(Learned *learned)
{
  rc_ladder_free(learned->ladder);
  rc_rolled_free(learned->rolled);
  rc_boards_free(learned->boards);
}

static void
assert_rung(const RcRung *rung, guint buttons, guint stand_ins, guint moves, const char *titles)
{
  GString *found = g_string_new(NULL);
  for (guint i = 0; i < rung->n_tunes; ++i) {
    g_string_append_printf(found, "%s%s", i ? " " : "", rung->tunes[i]->title);
  }
  assert_string_equal(found->str, titles);
  assert_int_equal(rung->kinds[RC_THING_BUTTON], buttons);
  assert_int_equal(rung->kinds[RC_THING_STAND_IN], stand_ins);
  assert_int_equal(rung->kinds[RC_THING_MOVE], moves);
  assert_int_equal(rung->n_things, buttons + stand_ins + moves);
  g_string_free(found, TRUE);
}

// The things of all steps in their order: their words, and how many tunes need each.
static void
assert_things(const RcLadder *ladder, const char *const *words, const guint *needed_by)
{
  guint n = 0;
  for (guint i = 0; i < ladder->n; ++i) {
    for (guint j = 0; j < ladder->rungs[i].n_things; ++j, ++n) {
      const RcThing *thing = &ladder->rungs[i].things[j];
      char *word = rc_thing_word(ladder->layout, thing);
      assert_string_equal(word, words[n]);
      assert_int_equal(thing->tunes, needed_by[n]);
      g_free(word);
    }
  }
  assert_int_equal(n, ladder->things);
}

// The 48-8x6 has no B column: Bm is the counterbass of G with D major, and from there to G the hand stays in its
// column. Teal and Weir each lack three things after Sluice, but what Weir lacks Lock lacks as well, so Weir comes
// first.
static void
tunes_come_as_the_rule_says(void **state)
{
  (void)state;
  Learned l = learn("48-8x6", "title: Teal\nkey: G\nparts: {A: G | Bm | G}\n---\n"
                              "title: Weir\nkey: G\nparts: {A: G | D7 | G}\n---\n"
                              "title: Sluice\nkey: G\nparts: {A: G | G}\n---\n"
                              "title: Lock\nkey: G\nparts: {A: D7 | G}\n---\n"
                              "title: Mill\nkey: G\nparts: {A: G | Xq | G}\n---\n"
                              "title: Rest\nkey: G\nparts: {A: N.C.}\n");
  assert_int_equal(l.ladder->n, 3);
  assert_rung(&l.ladder->rungs[0], 2, 0, 0, "Sluice");    // bass and major of G
  assert_rung(&l.ladder->rungs[1], 2, 0, 1, "Weir Lock"); // bass and seventh of D, one column on
  assert_rung(&l.ladder->rungs[2], 2, 1, 0, "Teal");      // counterbass of G, D major, and how they make Bm
  assert_int_equal(l.ladder->rungs[1].things[2].columns, 1);
  static const guint needed_by[] = { 4, 4, 2, 2, 2, 1, 1, 1 }; // Xq keeps Mill out
  static const char *const words[] = { "fundamental:G", "major:G", "fundamental:D", "seventh:D", "1", "counterbass:G",
                                       "major:D",       "Bm" };
  assert_things(l.ladder, words, needed_by);
  assert_int_equal(l.ladder->things, 8);
  assert_int_equal(l.ladder->largest, 3);
  assert_int_equal(l.ladder->n_unplayable, 1);
  assert_string_equal(l.ladder->unplayable[0]->title, "Mill");
  assert_int_equal(l.ladder->n_chordless, 1);
  clear(&l);
}

// Each of three tunes needs a bass and a chord of its own: they are learned as they are listed.
static void
of_equal_tunes_the_first_is_learned_first(void **state)
{
  (void)state;
  static const char *const titles[] = { "Weir", "Lock", "Teal" };
  Learned l = learn("48-8x6", "title: Weir\nparts: {A: D}\n---\ntitle: Lock\nparts: {A: G}\n---\n"
                              "title: Teal\nparts: {A: C}\n");
  assert_int_equal(l.ladder->n, G_N_ELEMENTS(titles));
  for (guint i = 0; i < G_N_ELEMENTS(titles); ++i) {
    assert_rung(&l.ladder->rungs[i], 2, 0, 0, titles[i]);
  }
  clear(&l);
}

static const char four_tunes[] = "title: Teal\nkey: G\nparts: {A: G | Bm | G}\n---\n"
                                 "title: Weir\nkey: G\nparts: {A: G | D7 | G}\n---\n"
                                 "title: Sluice\nkey: G\nparts: {A: G | G}\n---\n"
                                 "title: Lock\nkey: G\nparts: {A: D7 | G}\n";

// Teal brings G, its counterbass and D major: then Sluice needs nothing, and Weir three things, as before.
static void
who_knows_a_tune_knows_what_it_needs(void **state)
{
  (void)state;
  static const char *const tunes[] = { "Millrace", "TEAL", NULL };
  Learned l = learn_knowing(NULL, "48-8x6", four_tunes, NULL, tunes);
  assert_int_equal(l.ladder->n, 2);
  assert_rung(&l.ladder->rungs[0], 0, 0, 0, "Sluice");
  assert_rung(&l.ladder->rungs[1], 2, 0, 1, "Weir Lock");
  assert_int_equal(l.ladder->n_known_tunes, 1);
  assert_string_equal(l.ladder->known_tunes[0]->title, "Teal");
  static const char *const known[] = { "counterbass:G", "fundamental:G", "major:G", "major:D", "Bm" };
  assert_int_equal(l.ladder->n_known, G_N_ELEMENTS(known));
  for (guint i = 0; i < G_N_ELEMENTS(known); ++i) {
    char *word = rc_thing_word(l.ladder->layout, &l.ladder->known[i]);
    assert_string_equal(word, known[i]);
    g_free(word);
  }
  assert_string_equal(l.ladder->unneeded[0], "Millrace");
  assert_null(l.ladder->unneeded[1]);
  clear(&l);
}

// As FILE:LINE, where titles do not tell; all tunes of a title are known by it.
static void
a_tune_is_known_by_its_place_or_title(void **state)
{
  (void)state;
  static const char text[] = "title: Teal\nkey: G\nparts: {A: G | C}\n---\n"
                             "title: teal\nkey: G\nparts: {A: D | G}\n---\n"
                             "title: Weir\nkey: G\nparts: {A: G | D | C}\n";
  char *second = g_strdup_printf("%s:5", path);
  const char *const places[] = { second, NULL };
  Learned l = learn_knowing(NULL, "24", text, NULL, places);
  assert_int_equal(l.ladder->n_known_tunes, 1);
  assert_string_equal(l.ladder->known_tunes[0]->title, "teal");
  assert_null(l.ladder->unneeded[0]);
  clear(&l);
  static const char *const titles[] = { "Teal", NULL };
  l = learn_knowing(NULL, "24", text, NULL, titles);
  assert_int_equal(l.ladder->n_known_tunes, 2);
  assert_int_equal(l.ladder->n, 1);
  assert_rung(&l.ladder->rungs[0], 0, 0, 1, "Weir"); // from D to C, two columns
  assert_int_equal(l.ladder->rungs[0].things[0].columns, 2);
  clear(&l);
  g_free(second);
}

// Silence between two chords is no chord to move to; the hand still has its way from G to D, and from there to C.
static void
silence_is_nothing_to_learn(void **state)
{
  (void)state;
  Learned l = learn("24", "title: Weir\nkey: G\nparts: {A: G | N.C. | D | N.C. | C}\n");
  assert_rung(&l.ladder->rungs[0], 6, 0, 2, "Weir");
  static const char *const words[] = {
    "fundamental:C", "major:C", "fundamental:G", "major:G", "fundamental:D", "major:D", "1", "2"
  };
  static const guint needed_by[] = { 1, 1, 1, 1, 1, 1, 1, 1 };
  assert_things(l.ladder, words, needed_by);
  clear(&l);
}

// D minor on an 8, where it lasts, is F major over D; where it lasts half a second the D alone will do. Each is
// learned.
static void
one_chord_may_have_two_stand_ins(void **state)
{
  (void)state;
  RcSettings settings = rc_settings();
  assert_true(rc_settings_set(&settings, "accept", "E", NULL));
  Learned l = learn_with(&settings, "8",
                         "title: Weir\nkey: D\nmeter: 4/4\ntempo: 60\n"
                         "parts: {A: Dm | D D D D D D Dm D | Dm | D D D D D D Dm D}\n");
  assert_int_equal(l.ladder->n, 1);
  assert_rung(&l.ladder->rungs[0], 3, 2, 0, "Weir"); // D bass, D major, F major
  assert_int_equal(l.ladder->largest, 5);
  clear(&l);
}

static void
what_is_known_is_not_new(void **state)
{
  (void)state;
  static const char *const things[] = { "fundamental:G", "1", "A##m", "minor:B", NULL }; // A##m is Bm
  Learned l = learn_knowing(NULL, "48-8x6", four_tunes, things, NULL);
  assert_rung(&l.ladder->rungs[0], 1, 0, 0, "Sluice");
  assert_rung(&l.ladder->rungs[1], 2, 0, 0, "Weir Lock");
  assert_rung(&l.ladder->rungs[2], 2, 0, 0, "Teal");
  assert_int_equal(l.ladder->n_known, 3);
  assert_string_equal(l.ladder->unneeded[0], "minor:B");
  clear(&l);
}

// A seventh that only Mill needs, which does not play, is nothing that the others need.
static void
what_only_an_unplayable_tune_needs_is_unneeded(void **state)
{
  (void)state;
  static const char *const things[] = { "seventh:D", NULL };
  Learned l = learn_knowing(NULL, "48-8x6",
                            "title: Sluice\nkey: G\nparts: {A: G | G}\n---\n"
                            "title: Mill\nkey: G\nparts: {A: D7 | Xq}\n",
                            things, NULL);
  assert_rung(&l.ladder->rungs[0], 2, 0, 0, "Sluice");
  assert_int_equal(l.ladder->n_known, 0);
  assert_string_equal(l.ladder->unneeded[0], "seventh:D");
  assert_int_equal(l.ladder->n_unplayable, 1);
  clear(&l);
}

// Each thing is known by its own word, and nothing is left to learn where all of them are.
static void
things_are_known_by_their_words(void **state)
{
  (void)state;
  GPtrArray *words = g_ptr_array_new_with_free_func(g_free);
  Learned l = learn("48-8x6", four_tunes);
  for (guint i = 0; i < l.ladder->n; ++i) {
    for (guint j = 0; j < l.ladder->rungs[i].n_things; ++j) {
      g_ptr_array_add(words, rc_thing_word(l.ladder->layout, &l.ladder->rungs[i].things[j]));
    }
  }
  g_ptr_array_add(words, NULL);
  clear(&l);
  l = learn_knowing(NULL, "48-8x6", four_tunes, (const char *const *)words->pdata, NULL);
  assert_int_equal(l.ladder->n, 1);
  assert_rung(&l.ladder->rungs[0], 0, 0, 0, "Teal Weir Sluice Lock");
  assert_int_equal(l.ladder->n_known, words->len - 1);
  clear(&l);
  g_ptr_array_unref(words);
}

// A small hand has to stretch for F augmented, F bass with A major four columns on: one thing more to learn, once.
static void
a_stretch_is_learned_once(void **state)
{
  (void)state;
  RcSettings settings = rc_settings();
  assert_true(rc_settings_set(&settings, "spans", "40,32,40,56,56,80", NULL));
  Learned l = learn_with(&settings, "48-8x6", "title: Teal\nkey: G\nparts: {A: F | Faug | F | Faug | F}\n");
  assert_int_equal(l.ladder->n, 1);
  assert_int_equal(l.ladder->rungs[0].kinds[RC_THING_STAND_IN], 1);
  assert_int_equal(l.ladder->rungs[0].kinds[RC_THING_STRETCH], 1);
  clear(&l);
  static const char *const known[] = { "Faug", NULL }; // and so the stretch
  l = learn_knowing(&settings, "48-8x6", "title: Teal\nkey: G\nparts: {A: F | Faug | F | Faug | F}\n", known, NULL);
  assert_int_equal(l.ladder->rungs[0].kinds[RC_THING_STAND_IN], 0);
  assert_int_equal(l.ladder->rungs[0].kinds[RC_THING_STRETCH], 0);
  clear(&l);
}

// However little a grip stretches a hand: what is told as wide is learned as a stretch, and nothing else is.
static void
every_stretch_is_learned(void **state)
{
  (void)state;
  guint few = 0; // hands that it stretches by less than a millimetre
  for (guint tenths = 410; tenths < 500; tenths += 3) {
    RcSettings settings = rc_settings();
    char *spans = g_strdup_printf("%u.%u,%u.%u,%u.%u,%u.%u,%u.%u,%u.%u", tenths / 10, tenths % 10, tenths / 10,
                                  tenths % 10, tenths / 10, tenths % 10, tenths / 10, tenths % 10, tenths / 10,
                                  tenths % 10, tenths / 10, tenths % 10);
    assert_true(rc_settings_set(&settings, "spans", spans, NULL));
    Learned l = learn_with(&settings, "48-8x6", "title: Teal\nkey: G\nparts: {A: G | Bm | G}\n");
    RcWideTally *tally = rc_wide_tally_new(l.boards->layouts, 1, &settings);
    guint n = 0;
    rc_wide_tally_add(tally, l.rolled->tunes[0]);
    RcWideGrip *grips = rc_wide_tally_grips(tally, 0, &n);
    assert_int_equal(l.ladder->n, 1);
    assert_int_equal(l.ladder->rungs[0].kinds[RC_THING_STRETCH], n);
    RcFingering ways[RC_FINGERINGS];
    for (guint i = 0; i < n && rc_fingers_ways(&settings.route.fingers, l.ladder->layout, &grips[i].grip, ways); ++i) {
      few += rc_grip_stretch(&settings.route.fingers, l.ladder->layout, &grips[i].grip, &ways[0]) < 1 ? 1 : 0;
    }
    g_free(grips);
    rc_wide_tally_free(tally);
    clear(&l);
    g_free(spans);
  }
  assert_true(few > 0);
}

// Stand-ins are named in the order in which the tunes first ask for them, whichever tune is learned first.
static void
stand_ins_come_in_their_order(void **state)
{
  (void)state;
  Learned l =
    learn("48-8x6", "title: Weir\nkey: F\nmeter: 4/4\ntempo: 60\nparts: {A: F | C9 | C13 | C7#5 | D | A7}\n---\n"
                    "title: Teal\nkey: F\nmeter: 4/4\ntempo: 60\nparts: {A: F | C13 | C9 | C7#5 | F}\n");
  static const char *const words[] = { "C9", "C13", "Caug7" };
  const RcRung *rung = &l.ladder->rungs[0];
  guint n = 0;
  assert_string_equal(rung->tunes[0]->title, "Teal");
  for (guint i = 0; i < rung->n_things; ++i) {
    if (rung->things[i].kind == RC_THING_STAND_IN) {
      char *word = rc_thing_word(l.ladder->layout, &rung->things[i]);
      assert_in_range(n, 0, G_N_ELEMENTS(words) - 1);
      assert_string_equal(word, words[n]);
      ++n;
      g_free(word);
    }
  }
  assert_int_equal(n, G_N_ELEMENTS(words));
  GPtrArray *all = rc_ladder_stand_ins(l.ladder); // each is needed by both tunes
  assert_int_equal(all->len, G_N_ELEMENTS(words));
  for (guint i = 0; i < all->len; ++i) {
    char *word = rc_thing_word(l.ladder->layout, all->pdata[i]);
    assert_string_equal(word, words[i]);
    g_free(word);
  }
  g_ptr_array_unref(all);
  clear(&l);
}

// C9 and C13 are both the C seventh over C, and two things to know; F sharp minor and G flat minor are
// one.
static void
each_chord_has_its_own_stand_in(void **state)
{
  (void)state;
  Learned l = learn("48-8x6", "title: Teal\nkey: F\nmeter: 4/4\ntempo: 60\nparts: {A: F | C9 | C13 | F}\n");
  assert_rung(&l.ladder->rungs[0], 4, 2, 1, "Teal");
  clear(&l);
  l = learn("48-8x6", "title: Teal\nkey: D\nmeter: 4/4\ntempo: 60\nparts: {A: D | F#m | D | Gbm | D}\n");
  assert_int_equal(l.ladder->rungs[0].kinds[RC_THING_STAND_IN], 1);
  clear(&l);
}

// G9 is G seventh over G, which is leaner: who accepts just that learns the tune.
static void
a_tune_of_the_accepted_grade_is_learned(void **state)
{
  (void)state;
  RcSettings settings = rc_settings();
  assert_true(rc_settings_set(&settings, "accept", "C", NULL));
  Learned l = learn_with(&settings, "48-8x6", "title: Teal\nkey: C\nparts: {A: C | G9 | C}\n");
  assert_int_equal(l.ladder->n, 1);
  assert_int_equal(l.ladder->n_unplayable, 0);
  assert_int_equal(l.ladder->rungs[0].kinds[RC_THING_STAND_IN], 1);
  clear(&l);
}

// Buttons of one place are one button, whichever way the bellows go.
static void
push_and_pull_are_one_button(void **state)
{
  (void)state;
  Learned l = learn("push-pull-8-gc", "title: Weir\nkey: G\nparts: {A: G | D | G}\n");
  guint places = 0;
  assert_int_equal(l.ladder->n, 1);
  const RcRung *rung = &l.ladder->rungs[0];
  for (guint i = 0; i < rung->kinds[RC_THING_BUTTON]; ++i) {
    const RcButton *button = rc_layout_button(l.ladder->layout, rung->things[i].button);
    assert_int_not_equal(button->bellows, RC_BELLOWS_PULL);
    ++places;
  }
  assert_in_range(places, 2, 4);
  clear(&l);
}

static void
no_tunes_make_no_steps(void **state)
{
  (void)state;
  Learned l = learn("8", "title: Rest\nparts: {A: N.C.}\n");
  assert_int_equal(l.ladder->n, 0);
  clear(&l);
  rc_ladder_free(NULL);
}

#define IN_FOLDER(test) cmocka_unit_test_setup_teardown(test, make_folder, remove_scratch)

int
main(void)
{
  const struct CMUnitTest tests[] = {
    cmocka_unit_test(no_order_has_a_smaller_largest_step),
    IN_FOLDER(tunes_come_as_the_rule_says),
    IN_FOLDER(of_equal_tunes_the_first_is_learned_first),
    IN_FOLDER(who_knows_a_tune_knows_what_it_needs),
    IN_FOLDER(a_tune_is_known_by_its_place_or_title),
    IN_FOLDER(silence_is_nothing_to_learn),
    IN_FOLDER(one_chord_may_have_two_stand_ins),
    IN_FOLDER(what_is_known_is_not_new),
    IN_FOLDER(what_only_an_unplayable_tune_needs_is_unneeded),
    IN_FOLDER(things_are_known_by_their_words),
    IN_FOLDER(a_stretch_is_learned_once),
    IN_FOLDER(every_stretch_is_learned),
    IN_FOLDER(stand_ins_come_in_their_order),
    IN_FOLDER(each_chord_has_its_own_stand_in),
    IN_FOLDER(a_tune_of_the_accepted_grade_is_learned),
    IN_FOLDER(push_and_pull_are_one_button),
    IN_FOLDER(no_tunes_make_no_steps),
  };
  return cmocka_run_group_tests(tests, NULL, NULL);
}
