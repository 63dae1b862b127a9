// Copyright 2026 the rowcall developers
// SPDX-License-Identifier: MIT

// What a planner gives a route to choose from, found again by looking at every grip that answers a request; what a tune
// wants of it, chord after chord; and what a route chooses, by trying all combinations.

#undef NDEBUG

#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>

#include <cmocka.h>

#include "route/router.h"

#include "drawn_tune.h"

#include <math.h>
#include <stdlib.h>

enum { WORLDS = 1000 / THINNED, REQUESTS = 20, TUNES = 400 / THINNED, ROUTES = 450 / THINNED, SEED = 20261126 };

// ------------------------------------------------------------------------------------------------------------- boards

// What a bass and its chord button sound on push and on pull.
typedef struct {
  const char *roots[2];
  const char *sounds[2];
} Pair;

static Pair
draw_pair(GRand *random)
{
  static const char *const sounds[] = { "major", "minor", "seventh" };
  Pair pair;
  for (guint i = 0; i < 2; ++i) {
    pair.roots[i] = rc_note_name((RcNote)((int)draw(random, 4) - 1), RC_SIGNS_ASCII); // F to D
    pair.sounds[i] = sounds[draw(random, G_N_ELEMENTS(sounds))];
  }
  return pair;
}

// Appends the buttons of a column, which in the first sound the same on push and on pull.
static void
append_buttons(GString *text, const char *bass, const char *chord, guint column, Pair pair)
{
  static const char *const columns[] = { "F", "C", "G", "D", "A" };
  const guint pull = column ? 1 : 0;
  g_string_append_printf(text, "  %s %s: {push: %s, pull: %s}\n", bass, columns[column], pair.roots[0],
                         pair.roots[pull]);
  g_string_append_printf(text, "  %s %s: {push: %s %s, pull: %s %s}\n", chord, columns[column], pair.roots[0],
                         pair.sounds[0], pair.roots[pull], pair.sounds[pull]);
}

// Three to five columns of basses and chords, or two rows of each, one above the other or aslant.
static RcLayout *
push_and_pull(GRand *random)
{
  const guint n = 3 + draw(random, 3);
  const gboolean large = draw(random, 2) != 0;
  GString *text = g_string_new("name: t\ntitle: t\n");
  g_string_append_printf(text, "spacing: {column: 16, row: 12.5, slant: %s}\nrows: [bass, chord%s]\n",
                         draw(random, 2) ? "8" : "0", large ? ", fundamental, major" : "");
  g_string_append_printf(text, "columns: [F, C, G%s%s]\nbuttons:\n", n > 3 ? ", D" : "", n > 4 ? ", A" : "");
  for (guint i = 0; i < n; ++i) {
    const Pair pair = draw_pair(random);
    append_buttons(text, "bass", "chord", i, pair);
    if (large) { // the outer rows often sound the same
      append_buttons(text, "fundamental", "major", i, draw(random, 2) ? pair : draw_pair(random));
    }
  }
  RcLayout *layout = rc_layout_parse(text->str, text->len, "t.yaml", NULL);
  assert_non_null(layout);
  g_string_free(text, TRUE);
  return layout;
}

// The board that a text describes, which is freed.
static RcLayout *
take_board(char *text)
{
  RcLayout *layout = rc_layout_parse(text, strlen(text), "t.yaml", NULL);
  assert_non_null(layout);
  g_free(text);
  return layout;
}

// A board of all kinds of rows; a long one, on which chords lie twice, has two.
static RcLayout *
one_board(GRand *random)
{
  static const char *const boards[][2] = {
    { "F..A", "counterbass, fundamental, major, minor" },
    { "Bb..D", "counterbass, fundamental, major, minor, seventh, diminished" },
    { "C..E", "fundamental, major, minor, seventh" },
    { "Gb..B", "fundamental, major" },
    { "Bb..B#", "fundamental, major" },
  };
  const guint board = draw(random, G_N_ELEMENTS(boards));
  char *text = g_strdup_printf("name: t\ntitle: t\ncolumns: %s\nrows: [%s]\nspacing: {column: 16, row: 12.5, slant: 8}",
                               boards[board][0], boards[board][1]);
  return take_board(text);
}

static RcRouteSettings
draw_route_settings(GRand *random)
{
  RcRouteSettings settings = rc_route_settings();
  settings.hand = (RcHand){ 1 + draw(random, 4), 1 + draw(random, 3) };
  settings.taste.prefer = (RcPrefer)draw(random, 1 + RC_PREFER_EASE);
  settings.taste.accept = (RcVerdict)(RC_SAME + draw(random, 5));
  settings.fingers.school = draw(random, 2) ? RC_SCHOOL_4_3 : RC_SCHOOL_3_2;
  settings.turns_apart = draw(random, 2) ? 0 : 0.5 + draw(random, 3);
  settings.roll.no_melody = !draw(random, 4);
  settings.roll.brisk = 0.5 + draw(random, 4);
  const guint hand = draw(random, 4);
  assert_true(hand || rc_spans_parse("40,30,45,50,60,70", &settings.fingers));
  for (guint i = 0; i < RC_N_SPANS && hand == 1; ++i) {
    settings.fingers.comfort[i] = 14.5; // stiff: bass and chord of a column are some 0.3 mm further apart
  }
  return settings;
}

// ----------------------------------------------------------------------------------------------- what may be chosen

typedef struct {
  const RcLayout *layout;
  RcRouteSettings settings;
  RcCatalogue *catalogue;
  RcPlanner *planner;
  GHashTable *shapes; // of each shape in words to its number plus 1
  guint asked[3];     // where ways were free to be chosen, where they were not, and where there were none
  guint several;
} World;

// A grip with its fingers in one direction of the bellows, among which a route may choose.
typedef struct {
  RcAnswer answer;
  RcFingering fingers;
  RcBellows bellows;
} Held;

static gboolean
is_steady(const World *w)
{
  return rc_layout_has_bellows(w->layout) && w->settings.turns_apart > 0;
}

// With ease what is native, A or B with one or two buttons, with steady bellows all that is accepted.
static gboolean
is_free(const World *w, const RcAnswer *answer)
{
  const RcTaste taste = w->settings.taste;
  const gboolean easy = answer->verdict <= RC_RICHER && rc_grip_count(&answer->grip) <= 2;
  return answer->verdict <= taste.accept && (taste.prefer == RC_PREFER_EASE ? easy : is_steady(w));
}

static guint
wrong_of(const RcAnswer *answer)
{
  guint wrong = 0;
  for (guint pc = 0; pc < 12; ++pc) {
    wrong += rc_pcs_has(answer->grading.foreign, pc) ? 1 : 0;
    wrong += rc_pcs_has(answer->grading.missing, pc) || rc_pcs_has(answer->grading.helped, pc) ? 1 : 0;
  }
  return wrong;
}

static gboolean
holds_button(const RcGrip *grip, guint button)
{
  gboolean holds = FALSE;
  for (guint i = 0; i < rc_grip_count(grip); ++i) {
    holds |= rc_grip_button(grip, i) == button;
  }
  return holds;
}

// Whether `less` is `more` without a button that does it no good.
static gboolean
does_as_well(const RcAnswer *less, const RcAnswer *more)
{
  gboolean part = rc_grip_count(&less->grip) < rc_grip_count(&more->grip);
  for (guint i = 0; i < rc_grip_count(&less->grip); ++i) {
    part = part && holds_button(&more->grip, rc_grip_button(&less->grip, i));
  }
  return part && less->verdict <= more->verdict && wrong_of(less) <= wrong_of(more);
}

// Takes out what `keep` does not keep beside the others.
static void
sift(const World *w, GArray *answers, gboolean (*keep)(const World *w, const GArray *all, const RcAnswer *one))
{
  GArray *kept = g_array_new(FALSE, FALSE, sizeof(RcAnswer));
  for (guint i = 0; i < answers->len; ++i) {
    const RcAnswer *one = &g_array_index(answers, RcAnswer, i);
    if (keep(w, answers, one)) {
      g_array_append_vals(kept, one, 1);
    }
  }
  g_array_set_size(answers, 0);
  if (kept->len) {
    g_array_append_vals(answers, kept->data, kept->len);
  }
  g_array_unref(kept);
}

static gboolean
fingers_can(const World *w, const GArray *all, const RcAnswer *one)
{
  (void)all;
  RcFingering ways[RC_FINGERINGS];
  return rc_fingers_ways(&w->settings.fingers, w->layout, &one->grip, ways) > 0;
}

static gboolean
is_free_beside(const World *w, const GArray *all, const RcAnswer *one)
{
  (void)all;
  return is_free(w, one);
}

static gboolean
is_of_best_rank(const World *w, const GArray *all, const RcAnswer *one)
{
  (void)w;
  gboolean best = TRUE;
  for (guint i = 0; i < all->len; ++i) {
    best &= one->rank <= g_array_index(all, RcAnswer, i).rank;
  }
  return best;
}

static gboolean
has_no_idle_button(const World *w, const GArray *all, const RcAnswer *one)
{
  (void)w;
  gboolean idle = FALSE;
  for (guint i = 0; i < all->len; ++i) {
    idle |= does_as_well(&g_array_index(all, RcAnswer, i), one);
  }
  return !idle;
}

static gboolean
is_likest(const World *w, const GArray *all, const RcAnswer *one)
{
  (void)w;
  gboolean likest = TRUE;
  for (guint i = 0; i < all->len; ++i) {
    likest &= one->likeness >= g_array_index(all, RcAnswer, i).likeness;
  }
  return likest;
}

// Of the fewest buttons, and of these of the smallest reach.
static gboolean
is_closest(const World *w, const GArray *all, const RcAnswer *one)
{
  gboolean closest = TRUE;
  for (guint i = 0; i < all->len; ++i) {
    const RcGrip *other = &g_array_index(all, RcAnswer, i).grip;
    const guint more = rc_grip_count(&one->grip) - rc_grip_count(other);
    closest &= rc_grip_count(&one->grip) <= rc_grip_count(other);
    closest &= more != 0 || rc_grip_reach(w->layout, &one->grip) <= rc_grip_reach(w->layout, other);
  }
  return closest;
}

// What answers `request` among which a route may choose, as planner.h says; a new array.
static GArray *
expect_answers(World *w, const RcRequest *request)
{
  GArray *answers = rc_catalogue_rank(w->catalogue, w->settings.taste, request);
  sift(w, answers, fingers_can);
  gboolean free_to_choose = FALSE;
  for (guint i = 0; i < answers->len; ++i) {
    free_to_choose |= is_free(w, &g_array_index(answers, RcAnswer, i));
  }
  ++w->asked[!answers->len ? 2 : free_to_choose ? 0 : 1];
  sift(w, answers, free_to_choose ? is_free_beside : is_of_best_rank);
  sift(w, answers, has_no_idle_button);
  if (!free_to_choose) {
    sift(w, answers, is_likest);
    sift(w, answers, is_closest);
  }
  return answers;
}

// The handier grip; the bass finger nearest to the school's, then the lower one; push before pull; then lower fingers
// button by button.
static int
compare_held(gconstpointer a, gconstpointer b, gpointer data)
{
  const World *w = data;
  const Held *left = a;
  const Held *right = b;
  const int school = w->settings.fingers.school == RC_SCHOOL_4_3 ? 4 : 3;
  const int order[] = { rc_grip_compare(w->layout, &left->answer.grip, &right->answer.grip),
                        abs(left->fingers.basses[0] - school) - abs(right->fingers.basses[0] - school),
                        left->fingers.basses[0] - right->fingers.basses[0],
                        left->bellows == right->bellows    ? 0
                        : left->bellows == RC_BELLOWS_PUSH ? -1
                                                           : 1,
                        memcmp(&left->fingers, &right->fingers, sizeof left->fingers) };
  for (guint i = 0; i < G_N_ELEMENTS(order); ++i) {
    if (order[i]) {
      return order[i];
    }
  }
  return 0;
}

static void
append_held(const World *w, GArray *all, const RcAnswer *answer)
{
  RcFingering fingers[RC_FINGERINGS];
  const guint n = rc_fingers_ways(&w->settings.fingers, w->layout, &answer->grip, fingers);
  const RcBellows sounds = rc_grip_bellows(w->layout, &answer->grip);
  for (guint i = 0; i < n; ++i) {
    Held held = { *answer, fingers[i], sounds };
    if (rc_layout_has_bellows(w->layout) && sounds == RC_BELLOWS_BOTH) {
      held.bellows = RC_BELLOWS_PUSH;
      g_array_append_val(all, held);
      held.bellows = RC_BELLOWS_PULL;
    }
    g_array_append_val(all, held);
  }
}

// Where the hand is along the board and across, in thousandths of a millimetre: each finger rests a column from the
// next, the lower one nearer to the chin.
static void
find_hand(const World *w, const Held *held, double *x, double *y)
{
  const RcGrip *grip = &held->answer.grip;
  *x = 0;
  *y = 0;
  for (guint i = 0; i < rc_grip_count(grip); ++i) {
    const RcButton *button = rc_layout_button(w->layout, rc_grip_button(grip, i));
    const guint finger = i < grip->n_basses ? held->fingers.basses[i] : held->fingers.chords[i - grip->n_basses];
    *x += 1000 * (button->x + finger * w->layout->column_mm) / rc_grip_count(grip);
    *y += 1000 * button->y / rc_grip_count(grip);
  }
}

// Two ways are of one shape where the same fingers are on the same buttons.
static void
check_shape(const World *w, const RcWay *way)
{
  GString *words = g_string_new(NULL);
  for (guint i = 0; i < rc_grip_count(&way->grip); ++i) {
    g_string_append_printf(words, "%u/%u ", rc_grip_button(&way->grip, i),
                           rc_grip_finger(&way->grip, &way->fingers, i));
  }
  const guint known = GPOINTER_TO_UINT(g_hash_table_lookup(w->shapes, words->str));
  if (known) {
    assert_int_equal(way->shape + 1, known);
  } else {
    assert_int_equal(way->shape, g_hash_table_size(w->shapes));
    g_hash_table_insert(w->shapes, g_strdup(words->str), GUINT_TO_POINTER(way->shape + 1));
  }
  g_string_free(words, TRUE);
}

static void
check_way(const World *w, const RcWay *way, const Held *held)
{
  const RcAnswer *answer = &held->answer;
  assert_true(rc_grip_equal(&way->grip, &answer->grip));
  assert_memory_equal(&way->fingers, &held->fingers, sizeof held->fingers);
  assert_int_equal(way->bellows, held->bellows);
  assert_int_equal(way->verdict, answer->verdict);
  assert_int_equal(way->rank, answer->rank);
  assert_int_equal(way->wrong, wrong_of(answer));
  assert_int_equal(way->grading.foreign, answer->grading.foreign);
  assert_int_equal(way->grading.missing, answer->grading.missing);
  assert_int_equal(way->grading.helped, answer->grading.helped);
  assert_int_equal(way->grading.kept, answer->grading.kept);
  assert_int_equal(way->wide, rc_grip_stretch(&w->settings.fingers, w->layout, &way->grip, &way->fingers) > 0);
  const double spread = rc_grip_spread(w->layout, &way->grip, &way->fingers); // out and back
  assert_true(fabs((double)way->spread / RC_UNITS_A_MM - 2 * spread) < 0.001);
  check_shape(w, way);
}

static void
check_ways(World *w, const RcRequest *request)
{
  GArray *answers = expect_answers(w, request);
  GArray *all = g_array_new(FALSE, FALSE, sizeof(Held));
  for (guint i = 0; i < answers->len; ++i) {
    append_held(w, all, &g_array_index(answers, RcAnswer, i));
  }
  g_array_sort_with_data(all, compare_held, w);
  const RcWays *ways = rc_planner_ask(w->planner, request);
  assert_int_equal(ways->n, all->len);
  double first_x = 0;
  double first_y = 0;
  for (guint i = 0; i < ways->n; ++i) {
    double x = 0;
    double y = 0;
    const Held *held = &g_array_index(all, Held, i);
    check_way(w, &ways->ways[i], held);
    find_hand(w, held, i ? &x : &first_x, i ? &y : &first_y);
    assert_true(!i || fabs((ways->ways[i].x - ways->ways[0].x) / (double)RC_SIXTHS - (x - first_x)) < 1);
    assert_true(!i || fabs((ways->ways[i].y - ways->ways[0].y) / (double)RC_SIXTHS - (y - first_y)) < 1);
  }
  w->several += ways->n > 1;
  assert_ptr_equal(rc_planner_ask(w->planner, request), ways); // and stay
  g_array_unref(all);
  g_array_unref(answers);
}

static RcRequest
draw_request(GRand *random)
{
  static const char *const roots[] = { "C", "G", "F", "D", "A", "Bb", "E" };
  static const char *const kinds[] = { "",     "",  "m", "m",  "7",    "m7",   "maj7", "6",  "dim",
                                       "sus4", "5", "9", "m6", "m7b5", "add9", "aug",  "/G", "/E" };
  RcRequest request = { .brisk = !draw(random, 3) };
  char *text = g_strconcat(roots[draw(random, G_N_ELEMENTS(roots))], kinds[draw(random, G_N_ELEMENTS(kinds))], NULL);
  assert_int_equal(rc_chord_parse(text, (guint)strlen(text), RC_NAMES_ENGLISH, &request.chord, NULL), RC_SYMBOL_CHORD);
  g_free(text);
  const RcKey key = { draw(random, 2) ? RC_MODE_MAJOR : RC_MODE_MINOR, (RcNote)((int)draw(random, 5) - 1) };
  request.key = draw(random, 3) ? rc_key_scale(key, rc_key_tones(key)) : (RcScale){ 0 };
  request.melody = draw(random, 2) ? (RcPcSet)(1U << draw(random, 12) | 2U << draw(random, 11)) : 0;
  return request;
}

static World
make_world(RcLayout *layout, RcRouteSettings settings)
{
  World w = { .layout = layout, .settings = settings };
  w.catalogue = rc_catalogue_new(layout, w.settings.hand);
  w.planner = rc_planner_new(layout, &w.settings);
  w.shapes = g_hash_table_new_full(g_str_hash, g_str_equal, g_free, NULL);
  return w;
}

static void
clear_world(World *w)
{
  rc_planner_free(w->planner);
  rc_catalogue_free(w->catalogue);
  g_hash_table_unref(w->shapes);
}

static void
a_route_may_choose_among_the_best_or_all_that_is_free(void **state)
{
  (void)state;
  guint asked[3] = { 0 };
  guint several = 0;
  GRand *random = g_rand_new_with_seed(SEED);
  for (guint i = 0; i < WORLDS; ++i) {
    RcLayout *layout = draw(random, 3) ? one_board(random) : push_and_pull(random);
    World w = make_world(layout, draw_route_settings(random));
    assert_int_equal(rc_planner_is_steady(w.planner), is_steady(&w));
    assert_ptr_equal(rc_planner_layout(w.planner), layout);
    for (guint j = 0; j < REQUESTS; ++j) {
      const RcRequest request = draw_request(random);
      check_ways(&w, &request);
    }
    for (guint j = 0; j < G_N_ELEMENTS(asked); ++j) {
      asked[j] += w.asked[j];
    }
    several += w.several;
    clear_world(&w);
    rc_layout_free(layout);
  }
  g_rand_free(random);
  print_message("%u requests with ways free to be chosen, %u with the best ones, %u with none; %u with several ways\n",
                asked[0], asked[1], asked[2], several);
  assert_true(asked[0] > WORLDS && asked[1] > 3 * WORLDS && asked[2] > WORLDS && several > 3 * WORLDS);
}

// --------------------------------------------------------------------------------------------------- what is wanted

static void
check_want(const RcWants *wants, const RcRollSettings *settings, const RcTune *tune, guint step, const Heard *heard)
{
  const RcWantStep *wanted = rc_wants_step(wants, step);
  const RcPlayed played = { g_array_index(heard->events, guint, 0), heard->symbol, heard->setting, heard->length,
                            heard->melody };
  assert_int_equal(wanted->played.event, played.event);
  assert_int_equal(wanted->played.symbol, played.symbol);
  assert_int_equal(wanted->played.setting, played.setting);
  assert_true(wanted->played.length == played.length && wanted->played.melody == played.melody);
  if (!is_wanted(tune, heard)) {
    assert_int_equal(wanted->want, RC_NO_WANT);
    return;
  }
  const RcWant *want = rc_wants_at(wants, wanted->want);
  const RcSymbol *symbol = rc_tune_symbol(tune, heard->symbol);
  const RcRequest request = rc_roll_request(settings, tune, &played);
  assert_int_equal(want->unread, symbol->kind == RC_SYMBOL_UNREAD);
  assert_int_equal(want->same, symbol->same);
  assert_int_equal(want->request.brisk, request.brisk);
  assert_int_equal(want->request.melody, request.melody);
  assert_int_equal(want->request.key.tones, request.key.tones);
  assert_int_equal(want->request.key.minors, request.key.minors);
  assert_int_equal(want->request.key.fifth, request.key.fifth);
  assert_int_equal(want->request.chord.degrees, symbol->chord.degrees);
  assert_int_equal(want->request.chord.bass, symbol->chord.bass);
}

// How often each want comes, and for how long.
static void
check_sums(const RcWants *wants, const GArray *heard)
{
  for (guint i = 0; i < wants->wants->len; ++i) {
    RcWant sum = { 0 };
    for (guint j = 0; j < heard->len; ++j) {
      if (rc_wants_step(wants, j)->want == i) {
        const RcTicks length = heard_at(heard, j)->length;
        ++sum.times;
        sum.ticks += length;
        sum.held += length ? length : 1;
      }
    }
    const RcWant *want = rc_wants_at(wants, i);
    assert_true(want->times == sum.times && want->ticks == sum.ticks && want->held == sum.held && sum.times > 0);
  }
}

static void
each_chord_is_wanted_as_it_is_heard(void **state)
{
  (void)state;
  RcWants wants;
  guint again = 0;
  GRand *random = g_rand_new_with_seed(SEED + 1);
  rc_wants_init(&wants);
  for (guint i = 0; i < TUNES; ++i) {
    const RcRollSettings settings = draw_route_settings(random).roll;
    RcTune *tune = draw_tune(random);
    GArray *heard = hear(tune);
    rc_wants_find(&wants, &settings, tune);
    assert_int_equal(wants.steps->len, heard->len);
    for (guint j = 0; j < heard->len; ++j) {
      check_want(&wants, &settings, tune, j, heard_at(heard, j));
    }
    check_sums(&wants, heard);
    again += heard->len > wants.wants->len;
    g_array_unref(heard);
    rc_tune_free(tune);
  }
  rc_wants_clear(&wants);
  g_rand_free(random);
  assert_true(again > TUNES / 4);
}

// --------------------------------------------------------------------------------------------------- what is chosen

enum { MOST_CHORDS = 13, MOST_COMBINATIONS = 30000 };

// What a route costs, in the whole numbers of planner.h.
typedef struct {
  guint hasty; // turns of the bellows that come too soon
  guint wide;
  guint turns;
  gint64 travel; // and what is charged for a chord in several ways
  gint64 verdicts;
  gint64 wrong;
} Cost;

typedef struct {
  const World *world;
  const RcTune *tune; // of one bar, each event of which is a chord of its own
  guint n;            // chords
  const RcWays *ways[MOST_CHORDS];
  guint chosen[MOST_CHORDS];
  guint best[MOST_CHORDS];
  Cost cost;
} Routing;

// A row of basses, which any finger may play, or two rows; several buttons sound the same, and a hand moves more or
// less far for what is charged for a second way.
static RcLayout *
repetitive_board(GRand *random)
{
  static const char *const columns[] = { "Bb..B#", "Gb..B", "F..B", "F..A", "F..B" };
  static const guint widths[] = { 8, 16, 20, 33, 45 };
  char *text = g_strdup_printf("name: t\ntitle: t\ncolumns: %s\nrows: [fundamental%s]\n"
                               "spacing: {column: %u, row: 13, slant: 5}",
                               columns[draw(random, G_N_ELEMENTS(columns))], draw(random, 3) ? "" : ", major",
                               widths[draw(random, G_N_ELEMENTS(widths))]);
  return take_board(text);
}

// C at both ends and in the middle; G beside it at the flat end only, F at the sharp one, D in the middle; Bb at one
// end and in the middle.
static RcLayout *
threefold_board(GRand *random)
{
  static const guint widths[] = { 5, 6, 9, 16 };
  char *text = g_strdup_printf("name: t\ntitle: t\ncolumns: Dbb..B#\nrows: [fundamental, major]\n"
                               "spacing: {column: %u, row: 13, slant: 5}\ndead: [fundamental G, major G, "
                               "fundamental F, major F, fundamental Ebb, major Ebb]\n",
                               widths[draw(random, G_N_ELEMENTS(widths))]);
  return take_board(text);
}

// Chords may be held in several ways where ease is preferred, in one key more than in another.
static RcLayout *
easy_board(GRand *random)
{
  char *text = g_strdup_printf("name: t\ntitle: t\ncolumns: %s\nrows: [fundamental, major%s]\n"
                               "spacing: {column: %s, row: 13, slant: 5}\n",
                               draw(random, 2) ? "F..A" : "Eb..E", draw(random, 2) ? ", minor" : ", minor, seventh",
                               draw(random, 2) ? "16" : "25");
  return take_board(text);
}

static void
append_chord(RcTune *tune, const char *root)
{
  const guint i = tune->symbols->len;
  RcSymbol symbol = { .text = root, .kind = RC_SYMBOL_CHORD };
  rc_chord_parse(root, (guint)strlen(root), RC_NAMES_ENGLISH, &symbol.chord, NULL);
  while (symbol.same < i && !asks_for_same(rc_tune_symbol(tune, symbol.same), &symbol)) {
    ++symbol.same;
  }
  g_array_append_val(tune->symbols, symbol);
}

static void
append_keys(RcTune *tune)
{
  static const RcNote tonics[] = { 0, 3, -4 };
  g_array_set_size(tune->settings, 0);
  for (guint i = 0; i < G_N_ELEMENTS(tonics); ++i) {
    const RcKey key = { RC_MODE_MAJOR, tonics[i] };
    const RcSetting setting = { key, rc_key_tones(key), { 4, 4 }, { RC_TEMPO_STATED, 60 }, FALSE, FALSE };
    g_array_append_val(tune->settings, setting);
  }
}

// Another chord, unless it is the one before.
static void
append_event(RcTune *tune, RcEvent event)
{
  const RcEvent *last = tune->events->len ? &g_array_index(tune->events, RcEvent, tune->events->len - 1) : NULL;
  if (!last || rc_tune_symbol(tune, last->symbol)->same != rc_tune_symbol(tune, event.symbol)->same) {
    g_array_append_val(tune->events, event);
  }
}

// What is played on a board, in three keys.
typedef enum { PUSH_AND_PULL, TWO_ROWS, BASSES, THREEFOLD, EASY, N_BOARDS } Board;

// What is played on each: a few roots, of which F and B are far apart; from so many chords to so many.
static const struct {
  const char *roots[6];
  guint n_roots;
  guint least;
  guint most;
} plays[N_BOARDS] = {
  [PUSH_AND_PULL] = { { "F", "C", "G", "D" }, 4, 3, 8 },
  [TWO_ROWS] = { { "F", "D", "B", "G" }, 4, 2, 7 },
  [BASSES] = { { "F", "D", "B", "G" }, 4, 6, 7 },
  [EASY] = { { "C", "G", "Em", "Dm7" }, 4, 3, 7 },
  [THREEFOLD] = { { "C", "G", "C", "D", "Bb", "F" }, 6, MOST_CHORDS - 3, MOST_CHORDS },
};

// Any root; on a threefold board C or Bb beside one of the others for a while.
static guint
draw_symbol(GRand *random, Board board, guint i)
{
  const guint any = draw(random, plays[board].n_roots);
  return board != THREEFOLD ? any : i % 2 ? any / 2 * 2 : draw(random, 3) ? 1 + 2 * (i / 4 % 3) : any / 2 * 2 + 1;
}

// Events of these, none twice in a row. A few have no length, unless basses alone play them.
static void
append_events(RcTune *tune, GRand *random, Board board)
{
  const guint n = plays[board].least + draw(random, 1 + plays[board].most - plays[board].least);
  for (guint i = 0; i < 4 * n && tune->events->len < n; ++i) {
    const gboolean measured = board == BASSES || draw(random, 12);
    append_event(tune, (RcEvent){ .symbol = draw_symbol(random, board, i),
                                  .setting = draw(random, 3),
                                  .length = (measured ? 1 + draw(random, 4) : 0) * RC_QUARTER });
  }
}

// One bar of them.
static RcTune *
repetitive_tune(GRand *random, Board board)
{
  RcTune *tune = rc_tune_new();
  tune->title = "Weir";
  append_keys(tune);
  for (guint i = 0; i < plays[board].n_roots; ++i) {
    append_chord(tune, plays[board].roots[i]);
  }
  append_events(tune, random, board);
  const RcBar bar = { 0, tune->events->len };
  const RcPart part = { "", 0, 1 };
  const guint first = 0;
  g_array_append_val(tune->bars, bar);
  g_array_append_val(tune->parts, part);
  g_array_append_val(tune->played, first);
  return tune;
}

static const RcEvent *
event_at(const Routing *r, guint index)
{
  return &g_array_index(r->tune->events, RcEvent, index);
}

static guint
chord_at(const Routing *r, guint index)
{
  return rc_tune_symbol(r->tune, event_at(r, index)->symbol)->same;
}

static const RcWay *
way_at(const Routing *r, const guint *chosen, guint index)
{
  return &r->ways[index]->ways[chosen[index]];
}

static int
compare_times(const void *a, const void *b)
{
  return *(const int *)b - *(const int *)a;
}

// 32 mm each time that a chord is held in the second most frequent of its ways, 64 in rarer ones.
static gint64
charge(const Routing *r, const guint *chosen)
{
  gint64 mm = 0;
  for (guint chord = 0; chord < r->tune->symbols->len; ++chord) {
    int times[MOST_CHORDS] = { 0 }; // by the first that is held in the same way
    for (guint i = 0; i < r->n; ++i) {
      guint first = 0;
      while (chord_at(r, first) != chord || way_at(r, chosen, first)->shape != way_at(r, chosen, i)->shape) {
        if (++first > i) {
          break;
        }
      }
      times[MIN(first, i)] += chord_at(r, i) == chord;
    }
    qsort(times, MOST_CHORDS, sizeof *times, compare_times);
    for (guint i = 1; i < MOST_CHORDS; ++i) {
      mm += (gint64)(i == 1 ? 32 : 64) * times[i];
    }
  }
  return mm * RC_UNITS_A_MM;
}

static Cost
cost_of(const Routing *r, const guint *chosen)
{
  Cost cost = { 0 };
  double now = 0;
  double turned = -1e9;
  for (guint i = 0; i < r->n; ++i) {
    const RcWay *way = way_at(r, chosen, i);
    const RcTicks length = event_at(r, i)->length;
    if (i) {
      const RcWay *before = way_at(r, chosen, i - 1);
      const gboolean turns = way->bellows != before->bellows;
      cost.travel += (gint64)floor(hypot((double)way->x - before->x, (double)way->y - before->y) + 0.5);
      cost.turns += turns ? 1 : 0;
      cost.hasty += turns && is_steady(r->world) && now - turned < r->world->settings.turns_apart - 0.01;
      turned = turns ? now : turned;
    }
    cost.wide += way->wide;
    cost.travel += way->spread;
    cost.verdicts += way->verdict * (length ? length : 1);
    cost.wrong += way->wrong * (length ? length : 1);
    now += length ? (double)length / (double)RC_QUARTER : 1e6; // a quarter note is a second
  }
  cost.travel += is_steady(r->world) ? 0 : charge(r, chosen);
  return cost;
}

static int
order_of(gint64 a, gint64 b)
{
  return a < b ? -1 : a > b ? 1 : 0;
}

static int
compare_costs(const World *w, const Cost *a, const Cost *b)
{
  const gboolean sound_first = is_steady(w) && w->settings.taste.prefer != RC_PREFER_EASE;
  const int verdicts = order_of(a->verdicts, b->verdicts);
  const int wrong = order_of(a->wrong, b->wrong);
  const int order[] = { order_of(a->hasty, b->hasty),
                        sound_first ? verdicts : 0,
                        sound_first ? wrong : 0,
                        order_of(a->wide, b->wide),
                        order_of(a->turns, b->turns),
                        order_of(a->travel, b->travel),
                        verdicts,
                        wrong };
  for (guint i = 0; i < G_N_ELEMENTS(order); ++i) {
    if (order[i]) {
      return order[i];
    }
  }
  return 0;
}

// Of equal routes that with the handier grips at its end, which come first among the ways.
static int
compare_ends(const Routing *r)
{
  for (guint i = r->n; i-- > 0;) {
    if (r->chosen[i] != r->best[i]) {
      return r->chosen[i] < r->best[i] ? -1 : 1;
    }
  }
  return 0;
}

static void
try_all(Routing *r, guint at, gboolean *found)
{
  if (at == r->n) {
    const Cost cost = cost_of(r, r->chosen);
    const int order = *found ? compare_costs(r->world, &cost, &r->cost) : -1;
    if (order < 0 || (order == 0 && compare_ends(r) < 0)) {
      r->cost = cost;
      memcpy(r->best, r->chosen, sizeof r->best);
      *found = TRUE;
    }
    return;
  }
  for (r->chosen[at] = 0; r->chosen[at] < r->ways[at]->n; ++r->chosen[at]) {
    try_all(r, at + 1, found);
  }
}

// Asks for the ways of each chord. FALSE where one has none, or there are too many combinations.
static gboolean
ask_all(Routing *r)
{
  guint combinations = 1;
  for (guint i = 0; i < r->n && combinations <= MOST_COMBINATIONS; ++i) {
    const RcEvent *event = event_at(r, i);
    const RcPlayed played = { i, event->symbol, event->setting, event->length, 0 };
    const RcRequest request = rc_roll_request(&r->world->settings.roll, r->tune, &played);
    r->ways[i] = rc_planner_ask(r->world->planner, &request);
    combinations = r->ways[i]->n ? combinations * r->ways[i]->n : G_MAXUINT;
  }
  return combinations <= MOST_COMBINATIONS;
}

static guint
find_way(const RcWays *ways, const RcStep *step)
{
  for (guint i = 0; i < ways->n; ++i) {
    const RcWay *way = &ways->ways[i];
    if (rc_grip_equal(&way->grip, &step->grip) && way->bellows == step->bellows &&
        !memcmp(&way->fingers, &step->fingers, sizeof step->fingers)) {
      return i;
    }
  }
  fail_msg("a step is held as no planner has it");
  return 0;
}

static gboolean
has_chord_twice(const Routing *r)
{
  gboolean twice = FALSE;
  for (guint i = 0; i < r->n; ++i) {
    for (guint j = 0; j < i; ++j) {
      twice |= chord_at(r, i) == chord_at(r, j);
    }
  }
  return twice;
}

// A step says of its way what the planner does, and how far the hand moves for it.
static void
check_step(const RcStep *step, const RcWay *way, const RcWay *before)
{
  assert_true(step->held);
  assert_int_equal(step->verdict, way->verdict);
  assert_int_equal(step->rank, way->rank);
  assert_int_equal(step->grading.kept, way->grading.kept);
  assert_int_equal(step->grading.missing, way->grading.missing);
  assert_int_equal(step->grading.foreign, way->grading.foreign);
  assert_int_equal(step->grading.helped, way->grading.helped);
  assert_true(fabs(step->spread - (double)way->spread / 2 / RC_UNITS_A_MM) < 1e-9);
  const double moved = before ? hypot((double)way->x - before->x, (double)way->y - before->y) : 0;
  assert_true(fabs(step->way - moved / RC_UNITS_A_MM) < 0.001);
}

// Whether the route costs what the best of all does. Where bellows are steady it has the same end, and where no chord
// comes twice it is just that.
static void
check_route(Routing *r)
{
  guint chosen[MOST_CHORDS] = { 0 };
  RcRoute *route = rc_route_new(r->world->planner);
  rc_route_plan(route, r->tune);
  rc_route_plan(route, r->tune); // what was planned before leaves nothing behind
  assert_int_equal(route->steps->len, r->n);
  for (guint i = 0; i < r->n; ++i) {
    const RcStep *step = &g_array_index(route->steps, RcStep, i);
    chosen[i] = find_way(r->ways[i], step);
    check_step(step, way_at(r, chosen, i), i ? way_at(r, chosen, i - 1) : NULL);
  }
  const Cost cost = cost_of(r, chosen);
  assert_int_equal(compare_costs(r->world, &cost, &r->cost), 0);
  assert_int_equal(route->wide, cost.wide);
  assert_int_equal(route->reversals, cost.turns);
  assert_int_equal(route->hasty, cost.hasty);
  const gint64 charged = is_steady(r->world) ? 0 : charge(r, chosen);
  assert_true(fabs(route->travel - (double)(cost.travel - charged) / RC_UNITS_A_MM) < 1e-6);
  if (is_steady(r->world)) {
    assert_int_equal(chosen[r->n - 1], r->best[r->n - 1]);
  } else if (!has_chord_twice(r)) {
    assert_memory_equal(chosen, r->best, r->n * sizeof *chosen);
  }
  rc_route_free(route);
}

static void
a_route_takes_the_best_of_all_ways(void **state)
{
  (void)state;
  guint tried = 0;
  guint charged = 0;
  guint exact = 0;
  guint hasty = 0;
  GRand *random = g_rand_new_with_seed(SEED + 2);
  while (tried < ROUTES) {
    const Board board = (Board)(tried % N_BOARDS);
    RcLayout *layout = board == PUSH_AND_PULL ? push_and_pull(random)
                       : board == THREEFOLD   ? threefold_board(random)
                       : board == EASY        ? easy_board(random)
                                              : repetitive_board(random);
    RcRouteSettings settings = draw_route_settings(random);
    settings.turns_apart = draw(random, 3) ? 3 + draw(random, 30) : 0;
    settings.hand.press = board == BASSES ? 1 : settings.hand.press; // a bass alone, by any finger
    settings.roll.brisk = board == BASSES ? 100 : 2.5;
    settings.taste.prefer = board == EASY ? RC_PREFER_EASE : settings.taste.prefer;
    World w = make_world(layout, settings);
    RcTune *tune = repetitive_tune(random, board);
    Routing r = { .world = &w, .tune = tune, .n = tune->events->len };
    if (ask_all(&r)) {
      gboolean found = FALSE;
      try_all(&r, 0, &found);
      check_route(&r);
      ++tried;
      charged += !is_steady(&w) && charge(&r, r.best) > 0;
      exact += !is_steady(&w) && !has_chord_twice(&r);
      hasty += r.cost.hasty > 0;
    }
    rc_tune_free(tune);
    clear_world(&w);
    rc_layout_free(layout);
  }
  g_rand_free(random);
  print_message("%u routes, %u with a chord in several ways, %u with turns too soon, %u the first of equals\n", tried,
                charged, hasty, exact);
  assert_true(50 * charged > ROUTES && 50 * exact > ROUTES && (THINNED > 1 || 100 * hasty > ROUTES));
}

// --------------------------------------------------------------------------------------------------- what is used

static void
assert_ticks(const RcTicks *a, const RcTicks *b, guint n)
{
  for (guint i = 0; i < n; ++i) {
    assert_true(a[i] == b[i]);
  }
}

static void
assert_uses(const RcUse *a, const RcUse *b)
{
  const guint n = a->layout->buttons->len;
  const guint columns = a->layout->columns->len;
  for (guint i = 0; i < n; ++i) {
    assert_true(a->presses[i] == b->presses[i]);
  }
  for (guint i = 0; i < RC_N_VERDICTS; ++i) {
    assert_true(a->counts.chords[i] == b->counts.chords[i] && a->counts.ticks[i] == b->counts.ticks[i]);
  }
  assert_ticks(a->buttons, b->buttons, n);
  assert_ticks(a->made_up, b->made_up, n);
  assert_ticks(a->in_columns, b->in_columns, columns);
  assert_ticks(a->by_rows, b->by_rows, 1U << a->layout->rows->len);
  assert_ticks(a->by_columns, b->by_columns, columns * columns);
  assert_true(a->played == b->played && a->silent == b->silent && a->reversals == b->reversals);
  assert_true(a->counts.tunes == b->counts.tunes && a->counts.playable == b->counts.playable);
}

// Ways that are added up before the use is told of them are used as much as ways told one by one.
static void
sums_of_ways_are_the_same_use(void **state)
{
  (void)state;
  GRand *random = g_rand_new_with_seed(SEED + 3);
  for (guint i = 0; i < ROUTES / 10; ++i) {
    RcLayout *layout = i % 2 ? one_board(random) : push_and_pull(random);
    World w = make_world(layout, draw_route_settings(random));
    RcRoute *route = rc_route_new(w.planner);
    RcUse *told = rc_use_new(layout);
    RcUse *summed = rc_use_new(layout);
    RcUseSums sums;
    rc_use_sums_init(&sums, summed);
    for (guint j = 0; j < 5; ++j) {
      RcTune *tune = draw_tune(random);
      rc_route_plan(route, tune);
      rc_use_add(told, route, tune, RC_BARE);
      rc_use_sums_add(&sums, route, RC_BARE);
      rc_tune_free(tune);
    }
    rc_use_sums_end(&sums);
    assert_uses(summed, told);
    rc_use_free(summed);
    rc_use_free(told);
    rc_route_free(route);
    clear_world(&w);
    rc_layout_free(layout);
  }
  g_rand_free(random);
}

int
main(void)
{
  const struct CMUnitTest tests[] = {
    cmocka_unit_test(a_route_may_choose_among_the_best_or_all_that_is_free),
    cmocka_unit_test(each_chord_is_wanted_as_it_is_heard),
    cmocka_unit_test(a_route_takes_the_best_of_all_ways),
    cmocka_unit_test(sums_of_ways_are_the_same_use),
  };
  return cmocka_run_group_tests(tests, NULL, NULL);
}
