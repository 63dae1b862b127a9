// Copyright 2026 the rowcall developers
// SPDX-License-Identifier: MIT

// The best route, held against a search through every combination of grips and fingers, which knows nothing of how
// routes are planned; and what must hold of any route.

#undef NDEBUG

#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>

#include <cmocka.h>

#include "rowcall/corpus.h"
#include "rowcall/route.h"

#include <math.h>
#include <string.h>

enum { CASES = 600 / THINNED, SEED = 20261125, MOST_CHORDS = 6, MOST_COMBINATIONS = 100000, TEMPO = 120 };

static const double tolerance = 0.002; // mm; the library sums whole sixths of a micrometre

// ---------------------------------------------------------------------------------------------------- pseudo-random

static guint64 random_state = SEED;

// A whole number from 0 to n - 1: a linear congruential generator with the constants of Knuth's MMIX.
static guint
draw(guint n)
{
  random_state = random_state * G_GUINT64_CONSTANT(6364136223846793005) + G_GUINT64_CONSTANT(1442695040888963407);
  return (guint)((random_state >> 33U) % n);
}

// ------------------------------------------------------------------------------------------------- boards and tunes

static const char *const row_sets[] = {
  "fundamental, major",
  "fundamental, major, minor",
  "counterbass, fundamental, major, minor",
  "fundamental, major, minor, seventh",
  "counterbass, fundamental, major, minor, seventh, diminished",
};

// A board of `columns` columns from `first` on the line of fifths, with or without dead buttons.
static RcLayout *
make_board(const char *rows, int first, guint columns, const char *dead)
{
  GError *error = NULL;
  GString *text = g_string_new("name: t\ntitle: t\nsource: [none]\n");
  g_string_append_printf(text, "columns: %s..%s\nrows: [%s]\nspacing: {column: 16, row: 12.5, slant: 8}\n%s",
                         rc_note_name((RcNote)first, RC_SIGNS_ASCII),
                         rc_note_name((RcNote)(first + (int)columns - 1), RC_SIGNS_ASCII), rows, dead);
  RcLayout *layout = rc_layout_parse(text->str, text->len, "t.yaml", &error);
  if (error) {
    fail_msg("%s in %s", error->message, text->str);
  }
  g_string_free(text, TRUE);
  return layout;
}

// A board of two rows from Bb to B#, whose first three columns sound like the last; one of each pair is dead, or none.
// So a chord may lie beside others at either end.
static RcLayout *
make_wide_board(void)
{
  static const char *const ends[][2] = { { "Bb", "A#" }, { "F", "E#" }, { "C", "B#" } };
  enum { FIRST = -2, COLUMNS = 15 };
  GString *dead = g_string_new(NULL);
  for (guint i = 0; i < G_N_ELEMENTS(ends); ++i) {
    const char *column = ends[i][draw(2)];
    if (draw(2)) {
      g_string_append_printf(dead, "%sfundamental %s, major %s", dead->len ? ", " : "dead: [", column, column);
    }
  }
  g_string_append(dead, dead->len ? "]\n" : "");
  RcLayout *layout = make_board("fundamental, major", FIRST, COLUMNS, dead->str);
  g_string_free(dead, TRUE);
  return layout;
}

static const RcDegrees kinds[] = { RC_CHORD_MAJOR,
                                   RC_CHORD_MAJOR,
                                   RC_CHORD_MINOR,
                                   RC_CHORD_DOMINANT,
                                   RC_CHORD_MINOR | RC_BIT(FLAT_7),
                                   RC_CHORD_MAJOR | RC_BIT(7),
                                   RC_CHORD_DIMINISHED };

static gboolean
is_same_chord(const RcChord *a, const RcChord *b)
{
  return a->root == b->root && a->degrees == b->degrees;
}

// A tune of one bar whose chords last one to four quarter notes; a key of C major moved by `up` fifths.
static RcTune *
make_tune(const RcChord *chords, const guint *quarters, guint n, int up)
{
  RcTune *tune = rc_tune_new();
  const RcKey key = { RC_MODE_MAJOR, (RcNote)up };
  const RcSetting setting = { key, rc_key_tones(key), { 4, 4 }, { RC_TEMPO_STATED, TEMPO }, FALSE, FALSE };
  const RcBar bar = { 0, n };
  const RcPart part = { "", 0, 1 };
  const guint first = 0;
  tune->title = "t";
  g_array_set_size(tune->settings, 0);
  g_array_append_val(tune->settings, setting);
  g_array_append_val(tune->bars, bar);
  g_array_append_val(tune->parts, part);
  g_array_append_val(tune->played, first);
  for (guint i = 0; i < n; ++i) {
    RcChord chord = chords[i];
    chord.root = rc_note_up(chord.root, up);
    chord.bass = rc_note_up(chord.bass, up);
    guint same = 0;
    while (!is_same_chord(&chords[same], &chords[i])) {
      ++same;
    }
    const RcSymbol symbol = { .text = "x", .kind = RC_SYMBOL_CHORD, .chord = chord, .same = same };
    const RcEvent event = { .symbol = i, .length = quarters[i] * RC_QUARTER };
    g_array_append_val(tune->symbols, symbol);
    g_array_append_val(tune->events, event);
  }
  return tune;
}

// Two to six chords, none twice in a row, of which about every second comes again.
static guint
draw_chords(RcChord chords[MOST_CHORDS], guint quarters[MOST_CHORDS])
{
  const guint n = 2 + draw(MOST_CHORDS - 1);
  for (guint i = 0; i < n; ++i) {
    do {
      const RcNote root = (RcNote)((int)draw(8) - 2);
      const RcChord other = { root, root, kinds[draw(G_N_ELEMENTS(kinds))] };
      chords[i] = i > 1 && draw(2) ? chords[draw(i - 1)] : other;
    } while (i && is_same_chord(&chords[i], &chords[i - 1]));
    quarters[i] = 1 + draw(4);
  }
  return n;
}

// Major chords of Bb, F and C, none twice in a row, as many as may be.
static guint
draw_end_chords(RcChord chords[MOST_CHORDS], guint quarters[MOST_CHORDS])
{
  RcNote root = -2;
  for (guint i = 0; i < MOST_CHORDS; ++i) {
    root = (RcNote)((root + 3 + (int)draw(2)) % 3 - 2);
    chords[i] = (RcChord){ root, root, RC_CHORD_MAJOR };
    quarters[i] = 1 + draw(4);
  }
  return MOST_CHORDS;
}

static RcRouteSettings
make_settings(RcPrefer prefer)
{
  RcRouteSettings settings = rc_route_settings();
  settings.hand.reach = 2 + draw(3);
  settings.taste.prefer = prefer;
  settings.taste.accept = (RcVerdict)(RC_SAME + draw(5));
  settings.fingers.school = draw(2) ? RC_SCHOOL_4_3 : RC_SCHOOL_3_2;
  return settings;
}

// ------------------------------------------------------------------------------------------------ every combination

enum { NO_RANK = 1 << 24 }; // worse than any

// What a route costs, added up anew.
typedef struct {
  gint64 refused;  // by time: ranks of what a route takes only where there is nothing better
  gint64 unlike;   // what these lack in likeness
  gint64 apart;    // their buttons, then columns
  gint64 hasty;    // turns of the bellows too soon after the one before
  gint64 verdicts; // by time
  gint64 wrong;    // tones by time
  gint64 wide;     // grips
  gint64 turns;    // of the bellows
  double travel;   // mm
  double unusual;  // mm that are charged for chords held now one way and now another
} Cost;

typedef struct {
  RcGrip grip;
  RcFingering fingers;
  RcVerdict verdict;
  guint32 rank;
  guint likeness;
  guint wrong;
  guint apart; // see apart_of()
  gboolean wide;
  RcBellows bellows;
  double x;
  double y;
  double spread;
} Way;

typedef struct {
  const RcLayout *layout;
  RcRouteSettings settings;
  gboolean push_and_pull; // buttons differ on push and on pull
} World;

static gboolean
is_steady(const World *world)
{
  return world->push_and_pull && world->settings.turns_apart > 0;
}

// Whether a route may take a grip of this verdict in place of a better one: ease where no tone is left out and there
// are at most two buttons, else steady bellows where it is accepted.
static gboolean
is_free(const World *world, RcVerdict verdict, const RcGrip *grip)
{
  const RcTaste taste = world->settings.taste;
  const gboolean easy = verdict <= RC_RICHER && rc_grip_count(grip) <= 2;
  return verdict <= taste.accept && (taste.prefer == RC_PREFER_EASE ? easy : is_steady(world));
}

static guint
apart_of(const World *world, const RcGrip *grip)
{
  return 100 * rc_grip_count(grip) + rc_grip_reach(world->layout, grip);
}

static guint
wrong_tones(const RcAnswer *answer)
{
  return rc_pcs_count(answer->grading.foreign) + rc_pcs_count(answer->grading.missing);
}

// Whether all buttons of one grip are among those of another.
static gboolean
is_part(const RcGrip *small, const RcGrip *large)
{
  guint n = 0;
  for (guint i = 0; i < rc_grip_count(small); ++i) {
    for (guint j = 0; j < rc_grip_count(large); ++j) {
      n += rc_grip_button(small, i) == rc_grip_button(large, j);
    }
  }
  return n == rc_grip_count(small);
}

// Whether one of `answers` sounds as well as `answer` with fewer of its buttons.
static gboolean
is_excessive(const World *world, const GArray *answers, const RcAnswer *answer)
{
  for (guint i = 0; i < answers->len; ++i) {
    const RcAnswer *other = &g_array_index(answers, RcAnswer, i);
    if (rc_grip_count(&other->grip) < rc_grip_count(&answer->grip) && is_part(&other->grip, &answer->grip) &&
        (is_free(world, other->verdict, &other->grip) || other->rank <= answer->rank) &&
        other->verdict <= answer->verdict && wrong_tones(other) <= wrong_tones(answer)) {
      return TRUE;
    }
  }
  return FALSE;
}

// Adds a way for each direction of the bellows in which all its buttons sound, where there are directions at all.
static void
add_directions(const World *world, const RcGrip *grip, Way way, GArray *ways)
{
  static const RcBellows directions[] = { RC_BELLOWS_PUSH, RC_BELLOWS_PULL };
  if (!world->push_and_pull) {
    g_array_append_val(ways, way);
    return;
  }
  for (guint i = 0; i < G_N_ELEMENTS(directions); ++i) {
    gboolean sounds = TRUE;
    for (guint b = 0; b < rc_grip_count(grip); ++b) {
      const RcBellows of = rc_layout_button(world->layout, rc_grip_button(grip, b))->bellows;
      sounds = sounds && (of == RC_BELLOWS_BOTH || of == directions[i]);
    }
    way.bellows = directions[i];
    if (sounds) {
      g_array_append_val(ways, way);
    }
  }
}

// Whether two fingers are further apart than is comfortable.
static gboolean
is_wide(const World *world, const RcGrip *grip, const RcFingering *fingering)
{
  static const guint8 pairs[] = { 23, 34, 45, 24, 35, 25 };
  const double *comfort = world->settings.fingers.comfort;
  for (guint i = 0; i < rc_grip_count(grip); ++i) {
    for (guint j = 0; j < i; ++j) {
      const RcButton *a = rc_layout_button(world->layout, rc_grip_button(grip, i));
      const RcButton *b = rc_layout_button(world->layout, rc_grip_button(grip, j));
      const guint with_a = rc_grip_finger(grip, fingering, i);
      const guint with_b = rc_grip_finger(grip, fingering, j);
      const guint pair = 10 * MIN(with_a, with_b) + MAX(with_a, with_b);
      const guint place = (guint)((const guint8 *)memchr(pairs, (int)pair, sizeof pairs) - pairs);
      if (hypot(a->x - b->x, a->y - b->y) > comfort[place]) {
        return TRUE;
      }
    }
  }
  return FALSE;
}

// Adds the ways to hold one ranked answer.
static void
add_ways(const World *world, const GArray *answers, const RcAnswer *answer, GArray *ways)
{
  RcFingering fingerings[RC_FINGERINGS];
  const RcGrip *grip = &answer->grip;
  if (is_excessive(world, answers, answer)) {
    return;
  }
  const guint n = rc_fingers_ways(&world->settings.fingers, world->layout, grip, fingerings);
  for (guint i = 0; i < n; ++i) {
    Way way = { .grip = *grip, .fingers = fingerings[i], .verdict = answer->verdict, .rank = answer->rank };
    way.likeness = answer->likeness;
    way.wrong = wrong_tones(answer);
    way.apart = apart_of(world, grip);
    way.wide = is_wide(world, grip, &fingerings[i]);
    way.spread = rc_grip_spread(world->layout, grip, &fingerings[i]);
    for (guint b = 0; b < rc_grip_count(grip); ++b) {
      const RcButton *button = rc_layout_button(world->layout, rc_grip_button(grip, b));
      const guint finger = rc_grip_finger(grip, &fingerings[i], b);
      way.x += (button->x + 16.0 * finger) / rc_grip_count(grip);
      way.y += button->y / rc_grip_count(grip);
    }
    add_directions(world, grip, way, ways);
  }
}

static GArray *
all_ways(const World *world, const RcCatalogue *catalogue, const RcTune *tune, guint event)
{
  const RcEvent *e = &g_array_index(tune->events, RcEvent, event);
  const RcPlayed played = { .event = event, .symbol = e->symbol, .setting = 0, .length = e->length };
  const RcRequest request = rc_roll_request(&world->settings.roll, tune, &played);
  GArray *answers = rc_catalogue_rank(catalogue, world->settings.taste, &request);
  GArray *ways = g_array_new(FALSE, FALSE, sizeof(Way));
  for (guint i = 0; i < answers->len; ++i) {
    add_ways(world, answers, &g_array_index(answers, RcAnswer, i), ways);
  }
  g_array_unref(answers);
  return ways;
}

// The first event with the chord of an event.
static guint
same_of(const RcTune *tune, guint event)
{
  return g_array_index(tune->symbols, RcSymbol, event).same;
}

static int
compare_whole(gint64 a, gint64 b)
{
  return (a > b) - (a < b);
}

static char *
cost_text(const Cost *cost)
{
  return g_strdup_printf("refused %ld hasty %ld verdicts %ld wrong %ld wide %ld turns %ld travel %.3f unusual %.0f",
                         (long)cost->refused, (long)cost->hasty, (long)cost->verdicts, (long)cost->wrong,
                         (long)cost->wide, (long)cost->turns, cost->travel, cost->unusual);
}

static int
compare_costs(RcPrefer prefer, const Cost *a, const Cost *b)
{
  const int refused = compare_whole(a->refused, b->refused);
  const int unlike = compare_whole(a->unlike, b->unlike);
  const int hasty = compare_whole(a->hasty, b->hasty);
  const int verdicts = compare_whole(a->verdicts, b->verdicts);
  const int wrong = compare_whole(a->wrong, b->wrong);
  const int apart = compare_whole(a->apart, b->apart);
  const int wide = compare_whole(a->wide, b->wide);
  const double further = a->travel + a->unusual - b->travel - b->unusual;
  const int travel = fabs(further) < tolerance ? 0 : further < 0 ? -1 : 1;
  const int turns = compare_whole(a->turns, b->turns);
  const int sound_first[] = { refused, unlike, apart, hasty, verdicts, wrong, wide, turns, travel };
  const int ease_first[] = { refused, unlike, apart, hasty, wide, turns, travel, verdicts, wrong };
  const int *order = prefer == RC_PREFER_EASE ? ease_first : sound_first;
  for (guint i = 0; i < G_N_ELEMENTS(sound_first); ++i) {
    if (order[i]) {
      return order[i];
    }
  }
  return 0;
}

typedef struct {
  const World *world;
  const RcTune *tune;
  GArray *ways[MOST_CHORDS];     // of Way
  const Way *taken[MOST_CHORDS]; // NULL where there is none
  guint n;
  Cost best;
  gboolean found;
} Search;

// The hand on its way: what it held last, now, and when the bellows turned last.
typedef struct {
  const Way *before;
  double now;    // seconds
  double turned; // far back where they have not
} Place;

static Cost
add_way(const Search *s, Cost cost, guint at, const Way *way, const Place *place)
{
  const Way *before = place->before;
  const RcTicks length = g_array_index(s->tune->events, RcEvent, at).length;
  const RcVerdict verdict = way ? way->verdict : RC_IMPOSSIBLE;
  const gboolean refused = !way || !is_free(s->world, verdict, &way->grip);
  const gboolean turns = way && before && way->bellows != before->bellows;
  cost.refused += refused ? (gint64)(way ? way->rank : NO_RANK) * length : 0;
  cost.unlike -= refused && way ? way->likeness : 0;
  cost.apart += refused && way ? way->apart : 0;
  cost.verdicts += (gint64)verdict * length;
  cost.wrong += (gint64)(way ? way->wrong : 0) * length;
  cost.wide += way && way->wide;
  cost.turns += turns;
  cost.hasty += turns && place->now - place->turned < s->world->settings.turns_apart - 1e-4;
  cost.travel += (way ? 2 * way->spread : 0) + (way && before ? hypot(way->x - before->x, way->y - before->y) : 0);
  return cost;
}

static int
compare_counts(const void *a, const void *b)
{
  return *(const int *)b - *(const int *)a;
}

// What is charged for ways other than a chord's usual one: 32 mm each time in the second most frequent way, else 64.
// Where bellows are steady nothing is.
static double
unusual_mm(const World *world, const RcTune *tune, const Way *const taken[MOST_CHORDS])
{
  double sum = 0;
  for (guint chord = 0; chord < tune->events->len && !is_steady(world); ++chord) {
    int times[MOST_CHORDS] = { 0 }; // by the first event that is held so
    for (guint i = 0; i < tune->events->len; ++i) {
      guint first = 0;
      while (!(taken[first] && taken[i] && same_of(tune, first) == chord &&
               rc_grip_equal(&taken[first]->grip, &taken[i]->grip) &&
               !memcmp(&taken[first]->fingers, &taken[i]->fingers, sizeof taken[i]->fingers)) &&
             first < i) {
        ++first;
      }
      times[first] += taken[i] && same_of(tune, i) == chord;
    }
    qsort(times, MOST_CHORDS, sizeof *times, compare_counts);
    for (guint i = 1; i < MOST_CHORDS; ++i) {
      sum += (i == 1 ? 32 : 64) * times[i];
    }
  }
  return sum;
}

static void
search(Search *s, guint at, Cost cost, Place place)
{
  if (at == s->n) {
    cost.unusual = unusual_mm(s->world, s->tune, s->taken);
    if (!s->found || compare_costs(s->world->settings.taste.prefer, &cost, &s->best) < 0) {
      s->best = cost;
      s->found = TRUE;
    }
    return;
  }
  const GArray *ways = s->ways[at];
  const RcTicks length = g_array_index(s->tune->events, RcEvent, at).length;
  const double next = place.now + (double)(length / RC_QUARTER) * 60 / TEMPO;
  for (guint i = 0; i < ways->len; ++i) {
    const Way *way = &g_array_index(ways, Way, i);
    const gboolean turns = place.before && place.before->bellows != way->bellows;
    s->taken[at] = way;
    search(s, at + 1, add_way(s, cost, at, way, &place), (Place){ way, next, turns ? place.now : place.turned });
  }
  if (!ways->len) {
    search(s, at + 1, add_way(s, cost, at, NULL, &place), (Place){ place.before, next, place.turned });
  }
}

// FALSE where there are too many combinations to try them all.
static gboolean
try_all(const World *world, const RcTune *tune, Cost *best)
{
  Search s = { .world = world, .tune = tune, .n = tune->events->len };
  RcCatalogue *catalogue = rc_catalogue_new(world->layout, world->settings.hand);
  double combinations = 1;
  for (guint i = 0; i < s.n; ++i) {
    s.ways[i] = all_ways(world, catalogue, tune, i);
    combinations *= MAX(s.ways[i]->len, 1);
  }
  if (combinations <= MOST_COMBINATIONS) {
    search(&s, 0, (Cost){ 0 }, (Place){ NULL, 0, -1000 });
    *best = s.best;
  }
  for (guint i = 0; i < s.n; ++i) {
    g_array_unref(s.ways[i]);
  }
  rc_catalogue_free(catalogue);
  return combinations <= MOST_COMBINATIONS;
}

// ------------------------------------------------------------------------------------------------- the planned route

// A step goes in the direction in which its buttons sound.
static void
check_direction(const World *world, const RcStep *step)
{
  const RcBellows of = rc_grip_bellows(world->layout, &step->grip);
  assert_true(of != (RC_BELLOWS_PUSH | RC_BELLOWS_PULL));
  assert_true(world->push_and_pull ? step->bellows == RC_BELLOWS_PUSH || step->bellows == RC_BELLOWS_PULL
                                   : step->bellows == RC_BELLOWS_BOTH);
  assert_true(of == RC_BELLOWS_BOTH || of == step->bellows);
}

static guint
likeness_of(const World *world, const RcTune *tune, const RcStep *step)
{
  return rc_grip_likeness(world->layout, &g_array_index(tune->symbols, RcSymbol, step->played.symbol).chord,
                          &step->grip);
}

static Cost
planned(const World *world, const RcTune *tune)
{
  Cost cost = { 0 };
  const RcStep *before = NULL;
  Way held[MOST_CHORDS];
  const Way *taken[MOST_CHORDS] = { NULL };
  double now = 0;
  double turned = -1000;
  RcPlanner *planner = rc_planner_new(world->layout, &world->settings);
  RcRoute *route = rc_route_new(planner);
  rc_route_plan(route, tune);
  for (guint i = 0; i < route->steps->len; ++i) {
    const RcStep *step = &g_array_index(route->steps, RcStep, i);
    const RcTicks length = step->played.length;
    const guint wrong = step->held ? rc_pcs_count(step->grading.foreign) + rc_pcs_count(step->grading.missing) : 0;
    const guint apart = step->held ? apart_of(world, &step->grip) : 0;
    const gboolean refused = !step->held || !is_free(world, step->verdict, &step->grip);
    cost.refused += refused ? (gint64)(step->held ? step->rank : NO_RANK) * length : 0;
    cost.unlike -= refused && step->held ? likeness_of(world, tune, step) : 0;
    cost.apart += refused ? apart : 0;
    cost.verdicts += (gint64)step->verdict * length;
    cost.wrong += (gint64)wrong * length;
    cost.wide += step->held && is_wide(world, &step->grip, &step->fingers);
    cost.travel += step->way + 2 * step->spread;
    if (step->held) {
      held[i] = (Way){ .grip = step->grip, .fingers = step->fingers };
      taken[i] = &held[i];
      check_direction(world, step);
      const gboolean turns = before && before->bellows != step->bellows;
      const gboolean hasty = turns && now - turned < world->settings.turns_apart - 1e-4;
      assert_true(hasty ? fabs(step->hasty - (now - turned)) < 1e-6 : step->hasty == 0);
      cost.turns += turns;
      cost.hasty += hasty;
      turned = turns ? now : turned;
      before = step;
    }
    now += (double)(length / RC_QUARTER) * 60 / TEMPO;
  }
  cost.unusual = unusual_mm(world, tune, taken);
  assert_int_equal(cost.turns, route->reversals);
  assert_int_equal(cost.hasty, route->hasty);
  assert_true(fabs(cost.travel - route->travel) < tolerance);
  assert_int_equal(cost.wide, route->wide);
  rc_route_free(route);
  rc_planner_free(planner);
  return cost;
}

// ------------------------------------------------------------------------------------------------------------ tests

static void
route_is_the_best_of_all(void **state)
{
  (void)state;
  guint tried = 0;
  guint each[1 + RC_PREFER_EASE] = { 0 };
  guint unusual = 0;
  for (guint i = 0; tried < CASES; ++i) {
    RcChord chords[MOST_CHORDS];
    guint quarters[MOST_CHORDS];
    const RcPrefer prefer = (RcPrefer)(i % (1 + RC_PREFER_EASE));
    const gboolean wide = draw(3) == 0;
    RcLayout *layout =
      wide ? make_wide_board() : make_board(row_sets[draw(G_N_ELEMENTS(row_sets))], (int)draw(4) - 3, 2 + draw(6), "");
    const World world = { layout, make_settings(prefer), FALSE };
    const guint n = wide ? draw_end_chords(chords, quarters) : draw_chords(chords, quarters);
    RcTune *tune = make_tune(chords, quarters, n, 0);
    Cost best;
    if (try_all(&world, tune, &best)) {
      const Cost cost = planned(&world, tune);
      if (compare_costs(prefer, &cost, &best) != 0) {
        fail_msg("case %u: %s, the best %s", i, cost_text(&cost), cost_text(&best));
      }
      ++tried;
      ++each[prefer];
      unusual += best.unusual > 0;
    }
    rc_tune_free(tune);
    rc_layout_free(layout);
  }
  for (guint i = 0; i < G_N_ELEMENTS(each); ++i) {
    assert_true(each[i] >= CASES / 6);
  }
  assert_true(unusual > CASES / 100);
  print_message("%u plain routes, %u by sound and %u by ease, %u with a chord in several ways, equal the best of all "
                "combinations\n",
                each[RC_PREFER_PLAIN], each[RC_PREFER_SOUND], each[RC_PREFER_EASE], unusual);
}

// Along the route each chord sounds as the best answer to it, and where ease decides no chord that may be native, A or
// B is held with a tone missing, but for what the button of its own leaves out.
static void
check_demo_tune(const RcCatalogue *catalogue, RcPlanner *planner, const RcTune *tune)
{
  const RcRouteSettings *settings = rc_planner_settings(planner);
  RcRoute *route = rc_route_new(planner);
  rc_route_plan(route, tune);
  for (guint i = 0; i < route->steps->len; ++i) {
    const RcStep *step = &g_array_index(route->steps, RcStep, i);
    if (g_array_index(tune->symbols, RcSymbol, step->played.symbol).kind == RC_SYMBOL_CHORD) {
      const RcRequest request = rc_roll_request(&settings->roll, tune, &step->played);
      const RcAnswer best = rc_catalogue_best(catalogue, settings->taste, &request);
      const gboolean easy = settings->taste.prefer == RC_PREFER_EASE && best.verdict <= RC_RICHER;
      const gboolean whole = step->verdict == RC_NATIVE || (step->verdict <= RC_RICHER && !step->grading.missing);
      const gboolean same = step->verdict == best.verdict && step->grading.foreign == best.grading.foreign &&
                            step->grading.missing == best.grading.missing;
      if (!(easy ? whole : same)) {
        fail_msg("%s, %s: held as %s, the best is %s", tune->title,
                 g_array_index(tune->symbols, RcSymbol, step->played.symbol).text, rc_verdict_name(step->verdict),
                 rc_verdict_name(best.verdict));
      }
    }
  }
  rc_route_free(route);
}

static void
demo_routes_sound_as_the_best_answers_and_ease_mutes_none(void **state)
{
  (void)state;
  static const char *const names[] = { "12", "24", "48-8x6", "120" };
  char *folder = g_build_filename(g_getenv("ROWCALL_TEST_DATA"), "..", "corpus", NULL);
  const char *const paths[] = { folder, NULL };
  for (guint i = 0; i < G_N_ELEMENTS(names) * (1 + RC_PREFER_EASE); ++i) {
    GError *error = NULL;
    RcLayout *layout = rc_layout_find(names[i % G_N_ELEMENTS(names)], NULL);
    RcRouteSettings settings = rc_route_settings();
    settings.taste.prefer = (RcPrefer)(i / G_N_ELEMENTS(names));
    RcCatalogue *catalogue = rc_catalogue_new(layout, settings.hand);
    RcPlanner *planner = rc_planner_new(layout, &settings);
    RcCorpus *corpus = rc_corpus_new(paths, (RcCorpusOptions){ 0 });
    RcTune *tune = rc_tune_new();
    guint tunes = 0;
    for (RcReadResult read; (read = rc_corpus_next(corpus, tune, &error)) != RC_READ_END; g_clear_error(&error)) {
      if (read == RC_READ_TUNE) {
        check_demo_tune(catalogue, planner, tune);
        ++tunes;
      }
    }
    assert_true(tunes > 40);
    rc_tune_free(tune);
    rc_corpus_free(corpus);
    rc_planner_free(planner);
    rc_catalogue_free(catalogue);
    rc_layout_free(layout);
  }
  g_free(folder);
}

// Plans brisk major chords on a board from Bb to B#, and returns for each the column of its bass, from 0, and its
// finger.
static char *
basses_held(const char *rows, const char *dead, const RcNote *roots, guint n)
{
  RcChord chords[MOST_CHORDS];
  guint quarters[MOST_CHORDS];
  RcLayout *layout = make_board(rows, -2, 15, dead);
  RcRouteSettings settings = rc_route_settings();
  settings.hand.press = strchr(rows, ',') ? 2 : 1; // one bass
  for (guint i = 0; i < n; ++i) {
    chords[i] = (RcChord){ roots[i], roots[i], RC_CHORD_MAJOR };
    quarters[i] = 1;
  }
  RcTune *tune = make_tune(chords, quarters, n, 0);
  RcPlanner *planner = rc_planner_new(layout, &settings);
  RcRoute *route = rc_route_new(planner);
  rc_route_plan(route, tune);
  GString *held = g_string_new(NULL);
  for (guint i = 0; i < route->steps->len; ++i) {
    const RcStep *step = &g_array_index(route->steps, RcStep, i);
    const guint column = rc_layout_button(layout, step->grip.basses[0])->column;
    g_string_append_printf(held, "%s%u:%u", i ? " " : "", column, step->fingers.basses[0]);
  }
  rc_route_free(route);
  rc_planner_free(planner);
  rc_tune_free(tune);
  rc_layout_free(layout);
  return g_string_free(held, FALSE);
}

// C is in column 2 and, as B#, in column 14. Where F is in column 1 only and A# for Bb in column 12 only, C is played
// beside each: one column from F and two from A#, where the other C is 13 and 10 away.
static void
a_chord_far_off_is_held_another_way(void **state)
{
  (void)state;
  char *held = basses_held("fundamental, major", "dead: [fundamental Bb, major Bb, fundamental E#, major E#]\n",
                           (const RcNote[]){ -1, 0, -1, -2, 0, -2 }, 6);
  assert_string_equal(held, "1:4 2:4 1:4 12:4 14:4 12:4");
  g_free(held);
}

// Basses alone, F C F A C. With 5 on F the hand has 4 on C; A is a column out of reach of 2, so the hand moves up, and
// has 5 on C there. But to go back for it with 4 is one column, which is not clearly worse.
static void
a_chord_nearby_is_held_the_same_way(void **state)
{
  (void)state;
  char *held =
    basses_held("fundamental", "dead: [fundamental B#, fundamental E#]\n", (const RcNote[]){ -1, 0, -1, 3, 0 }, 5);
  assert_string_equal(held, "1:5 2:4 1:5 5:2 2:4");
  g_free(held);
}

// A board of three to five pairs of a bass and a chord button, most of which differ on push and on pull.
static RcLayout *
make_push_and_pull(void)
{
  static const char *const columns[] = { "F", "C", "G", "D", "A" };
  static const char *const sounds[] = { "major", "minor", "major", "seventh" };
  const guint n = 3 + draw(3);
  GError *error = NULL;
  GString *text = g_string_new("name: t\ntitle: t\nspacing: {column: 16, row: 12.5, slant: 8}\n"
                               "rows: [bass, chord]\ncolumns: [");
  GString *buttons = g_string_new(NULL);
  for (guint i = 0; i < n; ++i) {
    const RcNote push = (RcNote)((int)draw(7) - 2);
    const RcNote pull = (RcNote)((int)draw(7) - 2);
    g_string_append_printf(text, "%s%s", i ? ", " : "", columns[i]);
    g_string_append_printf(buttons, "  bass %s: {push: %s, pull: %s}\n", columns[i], rc_note_name(push, RC_SIGNS_ASCII),
                           rc_note_name(pull, RC_SIGNS_ASCII));
    g_string_append_printf(buttons, "  chord %s: {push: %s %s, ", columns[i], rc_note_name(push, RC_SIGNS_ASCII),
                           sounds[draw(G_N_ELEMENTS(sounds))]);
    g_string_append_printf(buttons, "pull: %s %s}\n", rc_note_name(pull, RC_SIGNS_ASCII),
                           sounds[draw(G_N_ELEMENTS(sounds))]);
  }
  g_string_append_printf(text, "]\nbuttons:\n%s", buttons->str);
  RcLayout *layout = rc_layout_parse(text->str, text->len, "t.yaml", &error);
  if (error) {
    fail_msg("%s in %s", error->message, text->str);
  }
  g_string_free(text, TRUE);
  g_string_free(buttons, TRUE);
  return layout;
}

typedef struct {
  guint tried;
  gint64 turns;
  gint64 hasty;
} Turned;

// Tries routes on boards whose buttons differ on push and on pull, with and without a time between turns.
static Turned
try_push_and_pull(gboolean apart)
{
  guint tried = 0;
  gint64 turns = 0;
  gint64 hasty = 0;
  for (guint i = 0; tried < CASES; ++i) {
    RcChord chords[MOST_CHORDS];
    guint quarters[MOST_CHORDS];
    const RcPrefer prefer = (RcPrefer)(i % (1 + RC_PREFER_EASE));
    RcLayout *layout = make_push_and_pull();
    World world = { layout, make_settings(prefer), rc_layout_has_bellows(layout) };
    RcTune *tune = make_tune(chords, quarters, draw_chords(chords, quarters), 0);
    world.settings.turns_apart = apart ? draw(9) * 0.5 : 0;
    Cost best;
    if (try_all(&world, tune, &best)) {
      const Cost cost = planned(&world, tune);
      if (compare_costs(prefer, &cost, &best) != 0) {
        fail_msg("case %u: %s, the best %s", i, cost_text(&cost), cost_text(&best));
      }
      turns += best.turns;
      hasty += best.hasty;
      ++tried;
    }
    rc_tune_free(tune);
    rc_layout_free(layout);
  }
  return (Turned){ tried, turns, hasty };
}

static void
route_on_push_and_pull_is_the_best_of_all(void **state)
{
  (void)state;
  const Turned all = try_push_and_pull(FALSE);
  assert_true(all.turns > CASES / 4);
  print_message("%u routes with push and pull, %d reversals, equal the best of all combinations\n", all.tried,
                (int)all.turns);
}

static void
route_with_steady_bellows_is_the_best_of_all(void **state)
{
  (void)state;
  const Turned all = try_push_and_pull(TRUE);
  assert_true(all.turns > CASES / 6 && all.hasty > CASES / 60);
  print_message(
    "%u routes with steady bellows, %d reversals, %d of them too soon, equal the best of all combinations\n", all.tried,
    (int)all.turns, (int)all.hasty);
}

static void
another_button_never_makes_the_route_worse(void **state)
{
  (void)state;
  static const char *const dead[] = { "dead: [major C]\n", "dead: [major G, fundamental D]\n",
                                      "dead: [fundamental C]\n" };
  for (guint i = 0; i < CASES / 3; ++i) {
    RcChord chords[MOST_CHORDS];
    guint quarters[MOST_CHORDS];
    const RcPrefer prefer = (RcPrefer)(i % (1 + RC_PREFER_EASE));
    const char *rows = row_sets[draw(G_N_ELEMENTS(row_sets))];
    RcLayout *whole = make_board(rows, -2, 6, "");
    RcLayout *less = make_board(rows, -2, 6, dead[draw(G_N_ELEMENTS(dead))]);
    World world = { whole, make_settings(prefer), FALSE };
    RcTune *tune = make_tune(chords, quarters, draw_chords(chords, quarters), 0);
    const Cost with = planned(&world, tune);
    world.layout = less;
    const Cost without = planned(&world, tune);
    assert_true(compare_costs(prefer, &with, &without) <= 0);
    rc_tune_free(tune);
    rc_layout_free(whole);
    rc_layout_free(less);
  }
}

static void
transposing_tune_and_board_changes_nothing(void **state)
{
  (void)state;
  for (guint i = 0; i < CASES / 6; ++i) {
    RcChord chords[MOST_CHORDS];
    guint quarters[MOST_CHORDS];
    const RcPrefer prefer = (RcPrefer)(i % (1 + RC_PREFER_EASE));
    const char *rows = row_sets[draw(G_N_ELEMENTS(row_sets))];
    const int up = (int)draw(7) - 3;
    RcLayout *here = make_board(rows, -2, 6, "");
    RcLayout *there = make_board(rows, -2 + up, 6, "");
    World world = { here, make_settings(prefer), FALSE };
    const guint n = draw_chords(chords, quarters);
    RcTune *tune = make_tune(chords, quarters, n, 0);
    RcTune *moved = make_tune(chords, quarters, n, up);
    const Cost a = planned(&world, tune);
    world.layout = there;
    const Cost b = planned(&world, moved);
    assert_true(a.travel == b.travel && a.verdicts == b.verdicts && a.wrong == b.wrong && a.wide == b.wide);
    rc_tune_free(tune);
    rc_tune_free(moved);
    rc_layout_free(here);
    rc_layout_free(there);
  }
}

int
main(void)
{
  const struct CMUnitTest tests[] = {
    cmocka_unit_test(route_is_the_best_of_all),
    cmocka_unit_test(demo_routes_sound_as_the_best_answers_and_ease_mutes_none),
    cmocka_unit_test(a_chord_far_off_is_held_another_way),
    cmocka_unit_test(a_chord_nearby_is_held_the_same_way),
    cmocka_unit_test(route_on_push_and_pull_is_the_best_of_all),
    cmocka_unit_test(route_with_steady_bellows_is_the_best_of_all),
    cmocka_unit_test(another_button_never_makes_the_route_worse),
    cmocka_unit_test(transposing_tune_and_board_changes_nothing),
  };
  return cmocka_run_group_tests(tests, NULL, NULL);
}
