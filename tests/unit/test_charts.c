// Copyright 2026 the rowcall developers
// SPDX-License-Identifier: MIT

// What a chart says of one tune, and what the use of buttons says of many, added up again step by step over the routes
// of tunes drawn by chance.

#undef NDEBUG

#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>

#include <cmocka.h>

#include "rowcall/route.h"

#include "drawn_tune.h"

#include <math.h>

enum { TUNES = 600 / THINNED, USES = 60 / THINNED, TUNES_OF_A_USE = 8, SEED = 20261126 };

// ------------------------------------------------------------------------------------------------- a tune as planned

typedef struct {
  RcLayout *layout;
  RcRouteSettings settings;
  RcPlanner *planner;
  RcPlanner *by_sound; // where ease or steady bellows are compared with it
} World;

typedef struct {
  const World *world;
  RcTune *tune;
  GArray *heard; // of Heard
  RcRoute *route;
  RcRoute *sound; // NULL where it is not compared
  RcChart *chart;
} Charted;

static RcRouteSettings
draw_route_settings(GRand *random)
{
  RcRouteSettings settings = rc_route_settings();
  settings.taste.prefer = (RcPrefer)draw(random, 1 + RC_PREFER_EASE);
  settings.taste.accept = (RcVerdict)(RC_SAME + draw(random, 5));
  settings.turns_apart = draw(random, 3) ? 5 : 0;
  settings.roll.no_melody = !draw(random, 4);
  settings.roll.brisk = 0.5 + draw(random, 4);
  settings.roll.pace = draw(random, 2) ? 1 : 0.5;
  settings.roll.untimed = draw(random, 2) ? RC_UNTIMED_ASSUME : RC_UNTIMED_LEAVE;
  for (guint i = 0; i < RC_N_SPANS && settings.roll.pace < 1; ++i) {
    settings.fingers.comfort[i] = 14.5; // a stiff hand: bass and chord of a column are some 0.3 mm further apart
  }
  return settings;
}

// Three columns are just 60 mm, and Bb, F and C lie at both ends.
static RcLayout *
make_long_board(void)
{
  static const char text[] = "name: t\ntitle: t\ncolumns: Bb..B#\nrows: [fundamental, major]\n"
                             "spacing: {column: 20, row: 14, slant: 0}\n";
  RcLayout *layout = rc_layout_parse(text, strlen(text), "t.yaml", NULL);
  assert_non_null(layout);
  return layout;
}

static World
make_world(GRand *random)
{
  static const char *const names[] = { "8", "32", "48-8x6", "120", "push-pull-8-ad", "push-pull-8-gc" };
  const guint name = draw(random, 1 + G_N_ELEMENTS(names));
  World w = { .layout = name ? rc_layout_find(names[name - 1], NULL) : make_long_board() };
  w.settings = draw_route_settings(random);
  w.planner = rc_planner_new(w.layout, &w.settings);
  RcRouteSettings sound = w.settings;
  sound.taste.prefer = RC_PREFER_SOUND;
  sound.turns_apart = 0;
  w.by_sound = draw(random, 2) ? rc_planner_new(w.layout, &sound) : NULL;
  return w;
}

static void
clear_world(World *w)
{
  rc_planner_free(w->planner);
  rc_planner_free(w->by_sound);
  rc_layout_free(w->layout);
}

// Its route planned another tune before.
static Charted
chart_drawn(const World *w, GRand *random)
{
  RcTune *before = draw_tune(random);
  Charted c = { .world = w, .tune = draw_tune(random), .route = rc_route_new(w->planner) };
  c.heard = hear(c.tune);
  rc_route_plan(c.route, before);
  rc_route_plan(c.route, c.tune);
  rc_tune_free(before);
  if (w->by_sound) {
    c.sound = rc_route_new(w->by_sound);
    rc_route_plan(c.sound, c.tune);
  }
  c.chart = rc_chart_new(w->planner, c.route, c.sound, c.tune);
  return c;
}

static void
clear_charted(Charted *c)
{
  rc_chart_free(c->chart);
  rc_route_free(c->route);
  rc_route_free(c->sound);
  g_array_unref(c->heard);
  rc_tune_free(c->tune);
}

static const RcStep *
step_at(const RcRoute *route, guint index)
{
  return &g_array_index(route->steps, RcStep, index);
}

static const RcNeed *
need_at(const RcChart *chart, guint index)
{
  return &g_array_index(chart->needs, RcNeed, index);
}

// The written bar of the event with which a step begins.
static guint
bar_of(const Charted *c, guint step)
{
  const guint event = g_array_index(heard_at(c->heard, step)->events, guint, 0);
  guint bar = 0;
  while (event >= g_array_index(c->tune->bars, RcBar, bar).first + g_array_index(c->tune->bars, RcBar, bar).count) {
    ++bar;
  }
  return bar;
}

static guint
same_of(const Charted *c, guint step)
{
  return rc_tune_symbol(c->tune, heard_at(c->heard, step)->symbol)->same;
}

// ---------------------------------------------------------------------------------------------------------- the route

// The first of all answers that fingers can hold, best first, has the rank of what a route holds where neither ease nor
// steady bellows are preferred.
static void
check_best(const Charted *c, const RcStep *step, const RcCatalogue *catalogue)
{
  RcFingering ways[RC_FINGERINGS];
  const RcRouteSettings *settings = &c->world->settings;
  const RcRequest request = rc_roll_request(&settings->roll, c->tune, &step->played);
  GArray *answers = rc_catalogue_rank(catalogue, settings->taste, &request);
  const RcAnswer *best = NULL;
  for (guint i = 0; i < answers->len && !best; ++i) {
    const RcAnswer *answer = &g_array_index(answers, RcAnswer, i);
    best = rc_fingers_ways(&settings->fingers, c->world->layout, &answer->grip, ways) ? answer : NULL;
  }
  assert_int_equal(step->held, best != NULL);
  assert_int_equal(step->verdict, best ? best->verdict : RC_IMPOSSIBLE);
  assert_int_equal(step->rank, best ? best->rank : 0);
  g_array_unref(answers);
}

static void
check_steps(const Charted *c)
{
  const RcRouteSettings *settings = &c->world->settings;
  const gboolean steady = rc_layout_has_bellows(c->world->layout) && settings->turns_apart > 0;
  RcCatalogue *catalogue = rc_catalogue_new(c->world->layout, settings->hand);
  assert_int_equal(c->route->steps->len, c->heard->len);
  for (guint i = 0; i < c->heard->len; ++i) {
    const Heard *heard = heard_at(c->heard, i);
    const RcStep *step = step_at(c->route, i);
    const RcSymbolKind kind = rc_tune_symbol(c->tune, heard->symbol)->kind;
    assert_int_equal(step->played.event, g_array_index(heard->events, guint, 0));
    assert_true(step->played.length == heard->length && step->played.melody == heard->melody);
    if (kind != RC_SYMBOL_CHORD) {
      assert_false(step->held);
      assert_int_equal(step->verdict, kind == RC_SYMBOL_UNREAD ? RC_UNREAD : RC_NATIVE);
    } else if (settings->taste.prefer != RC_PREFER_EASE && !steady) {
      check_best(c, step, catalogue);
    }
  }
  rc_catalogue_free(catalogue);
}

// Each turn of the bellows that comes too soon after the one before says how soon. A chord without a length or a tempo
// is long enough.
static void
check_turns(const Charted *c)
{
  const World *w = c->world;
  const RcStep *before = NULL;
  guint turns = 0;
  guint hasty = 0;
  double now = 0;
  double turned = -1e9;
  for (guint i = 0; i < c->heard->len; ++i) {
    const Heard *heard = heard_at(c->heard, i);
    const RcStep *step = step_at(c->route, i);
    const RcTempo tempo = rc_roll_tempo(&w->settings.roll, c->tune, heard->setting);
    const gboolean timed = heard->length && tempo.source != RC_TEMPO_NONE;
    if (step->held) {
      const gboolean turns_here = before && step->bellows != before->bellows;
      const gboolean too_soon = turns_here && now - turned < w->settings.turns_apart - 0.001;
      assert_true(fabs(step->hasty - (too_soon ? now - turned : 0)) < 1e-6);
      turns += turns_here ? 1 : 0;
      hasty += too_soon ? 1 : 0;
      turned = turns_here ? now : turned;
      before = step;
    }
    now += timed ? (double)heard->length / (double)RC_QUARTER * 60 / tempo.quarters : 1e5;
  }
  assert_int_equal(c->route->reversals, turns);
  assert_int_equal(c->route->hasty, hasty);
}

// ----------------------------------------------------------------------------------------------------- what is needed

// Whether two steps are the same chord played in the same way: what is not held is alike by its verdict.
static gboolean
is_same_need(const Charted *c, guint one, guint other)
{
  const RcStep *a = step_at(c->route, one);
  const RcStep *b = step_at(c->route, other);
  return same_of(c, one) == same_of(c, other) && a->verdict == b->verdict &&
         (!a->held || (rc_grip_equal(&a->grip, &b->grip) && !memcmp(&a->fingers, &b->fingers, sizeof a->fingers) &&
                       a->grading.helped == b->grading.helped));
}

// By step the number of its need, counted in the order in which they first come; returns how many there are.
static guint
number_needs(const Charted *c, guint *numbers)
{
  guint n = 0;
  for (guint i = 0; i < c->heard->len; ++i) {
    numbers[i] = RC_NO_WAY;
    for (guint j = 0; is_wanted(c->tune, heard_at(c->heard, i)) && numbers[i] == RC_NO_WAY; ++j) {
      numbers[i] = j == i ? n++ : numbers[j] != RC_NO_WAY && is_same_need(c, i, j) ? numbers[j] : RC_NO_WAY;
    }
  }
  return n;
}

static void
check_sounds(const Charted *c, const RcNeed *need, guint first)
{
  const RcStep *step = step_at(c->route, first);
  const RcStep *other = c->sound ? step_at(c->sound, first) : NULL;
  const gboolean better = step->held && other && other->held && other->verdict < step->verdict;
  assert_int_equal(need->sounds.verdict, better ? other->verdict : RC_IMPOSSIBLE);
  assert_true(!better || rc_grip_equal(&need->sounds.grip, &other->grip));
}

static void
check_answer(const Charted *c, const RcNeed *need, guint first)
{
  const World *w = c->world;
  const RcStep *step = step_at(c->route, first);
  const RcChord *chord = &rc_tune_symbol(c->tune, heard_at(c->heard, first)->symbol)->chord;
  assert_int_equal(need->symbol, heard_at(c->heard, first)->symbol);
  assert_int_equal(need->answer.verdict, step->verdict);
  check_sounds(c, need, first);
  if (!step->held) {
    assert_false(need->wide);
    return;
  }
  assert_true(rc_grip_equal(&need->answer.grip, &step->grip));
  assert_memory_equal(&need->fingers, &step->fingers, sizeof step->fingers);
  assert_int_equal(need->answer.likeness, rc_grip_likeness(w->layout, chord, &step->grip));
  assert_int_equal(need->answer.grading.missing, step->grading.missing);
  assert_int_equal(need->wide, rc_grip_stretch(&w->settings.fingers, w->layout, &step->grip, &step->fingers) > 0);
  const RcSecondBass second =
    rc_second_bass(&w->settings.fingers, w->layout, w->settings.hand.reach, chord, &step->grip, &step->fingers);
  assert_int_equal(need->second.found, second.found);
  assert_true(!second.found || (need->second.button == second.button && need->second.finger == second.finger));
}

// Its bars, each once, are all in which it begins, in their order.
static void
check_bars(const Charted *c, const RcNeed *need, const guint *numbers, guint number)
{
  guint n = 0;
  for (guint bar = 0; bar < c->tune->bars->len; ++bar) {
    gboolean begins = FALSE;
    for (guint i = 0; i < c->heard->len; ++i) {
      begins |= numbers[i] == number && bar_of(c, i) == bar;
    }
    if (begins) {
      assert_true(n < need->n_bars);
      assert_int_equal(need->bars[n++], bar);
    }
  }
  assert_int_equal(need->n_bars, n);
}

static void
check_need(const Charted *c, const guint *numbers, guint number)
{
  const RcNeed *need = need_at(c->chart, number);
  guint64 times = 0;
  guint64 pushed = 0;
  guint64 pulled = 0;
  RcTicks ticks = 0;
  for (guint i = 0; i < c->heard->len; ++i) {
    if (numbers[i] == number) {
      if (!times) {
        check_answer(c, need, i);
      }
      ++times;
      ticks += heard_at(c->heard, i)->length;
      pushed += step_at(c->route, i)->held && step_at(c->route, i)->bellows == RC_BELLOWS_PUSH;
      pulled += step_at(c->route, i)->held && step_at(c->route, i)->bellows == RC_BELLOWS_PULL;
    }
  }
  assert_true(need->times == times && need->ticks == ticks);
  assert_true(need->pushed == pushed && need->pulled == pulled);
  check_bars(c, need, numbers, number);
}

// ------------------------------------------------------------------------------------------------------- each event

static double
seconds_of(const Charted *c, RcTicks length, guint setting)
{
  const RcTempo tempo = rc_roll_tempo(&c->world->settings.roll, c->tune, setting);
  return tempo.source == RC_TEMPO_NONE ? 0 : (double)length / (double)RC_QUARTER * 60 / tempo.quarters;
}

static gboolean
lasts_over(const Heard *heard, guint event)
{
  gboolean lasts = FALSE;
  for (guint i = 0; i < heard->events->len; ++i) {
    lasts |= g_array_index(heard->events, guint, i) == event;
  }
  return lasts;
}

// The ways in which an event is played besides the first: each once, in their order.
static void
check_other_ways(const Charted *c, const guint *numbers, guint event, guint *at)
{
  for (guint number = 0; number < c->chart->needs->len; ++number) {
    gboolean played = FALSE;
    for (guint i = 0; i < c->heard->len; ++i) {
      played |= numbers[i] == number && lasts_over(heard_at(c->heard, i), event);
    }
    if (played && number != c->chart->ways[event]) {
      assert_true(*at < c->chart->other_ways->len);
      const RcEventWay *way = &g_array_index(c->chart->other_ways, RcEventWay, (*at)++);
      assert_int_equal(way->event, event);
      assert_int_equal(way->need, number);
    }
  }
}

static void
check_events(const Charted *c, const guint *numbers)
{
  guint others = 0;
  for (guint event = 0; event < c->tune->events->len; ++event) {
    const RcEvent *e = &g_array_index(c->tune->events, RcEvent, event);
    RcVerdict worst = RC_NATIVE;
    guint bellows = 0;
    guint first = RC_NO_WAY;
    for (guint i = 0; i < c->heard->len; ++i) {
      if (is_wanted(c->tune, heard_at(c->heard, i)) && lasts_over(heard_at(c->heard, i), event)) {
        worst = MAX(worst, step_at(c->route, i)->verdict);
        bellows |= step_at(c->route, i)->bellows;
        first = first == RC_NO_WAY ? numbers[i] : first;
      }
    }
    assert_int_equal(c->chart->verdicts[event], worst);
    assert_int_equal(c->chart->bellows[event], bellows);
    assert_int_equal(c->chart->ways[event], first);
    assert_true(fabs(c->chart->seconds[event] - seconds_of(c, e->length, e->setting)) < 1e-9);
    check_other_ways(c, numbers, event, &others);
  }
  assert_int_equal(c->chart->other_ways->len, others);
}

// ------------------------------------------------------------------------------------------------------- hard spots

static gboolean
is_same_spot(const RcHardSpot *a, const RcHardSpot *b)
{
  return a->kind == b->kind && a->bar == b->bar && a->from == b->from && a->to == b->to;
}

// Adds a spot to those before: to the same, the longest way and the shortest time of which count, or after those of
// its bar and the bars before.
static void
add_spot(GArray *spots, RcHardSpot spot)
{
  guint place = 0;
  for (guint i = 0; i < spots->len; ++i) {
    RcHardSpot *known = &g_array_index(spots, RcHardSpot, i);
    if (is_same_spot(known, &spot)) {
      ++known->times;
      known->mm = fmax(known->mm, spot.mm);
      known->seconds = fmin(known->seconds, spot.seconds);
      return;
    }
    place = known->bar <= spot.bar ? i + 1 : place;
  }
  g_array_insert_val(spots, place, spot);
}

// A wide grip, a turn of the bellows too soon, and a way of more than 60 mm right after a brisk chord.
static void
add_spots(const Charted *c, guint i, GArray *spots)
{
  const World *w = c->world;
  const RcStep *step = step_at(c->route, i);
  const RcStep *before = i && step_at(c->route, i - 1)->held ? step_at(c->route, i - 1) : NULL;
  const guint symbol = heard_at(c->heard, i)->symbol;
  if (rc_grip_stretch(&w->settings.fingers, w->layout, &step->grip, &step->fingers) > 0) {
    const double span = rc_grip_span(w->layout, &step->grip);
    add_spot(spots, (RcHardSpot){ RC_HARD_WIDE, bar_of(c, i), symbol, symbol, span, 0, 1 });
  }
  if (step->hasty > 0) {
    add_spot(spots, (RcHardSpot){ RC_HARD_TURN, bar_of(c, i), symbol, symbol, 0, step->hasty, 1 });
  }
  if (before && step->way > 60) {
    const Heard *from = heard_at(c->heard, i - 1);
    const double seconds = seconds_of(c, from->length, from->setting);
    if (seconds > 0 && seconds < w->settings.roll.brisk - 1e-6) {
      add_spot(spots, (RcHardSpot){ RC_HARD_LEAP, bar_of(c, i), from->symbol, symbol, step->way, seconds, 1 });
    }
  }
}

static void
check_hard(const Charted *c, guint found[3])
{
  GArray *spots = g_array_new(FALSE, FALSE, sizeof(RcHardSpot));
  for (guint i = 0; i < c->heard->len; ++i) {
    if (step_at(c->route, i)->held) {
      add_spots(c, i, spots);
    }
  }
  assert_int_equal(c->chart->hard->len, spots->len);
  for (guint i = 0; i < spots->len; ++i) {
    const RcHardSpot *spot = &g_array_index(c->chart->hard, RcHardSpot, i);
    const RcHardSpot *expected = &g_array_index(spots, RcHardSpot, i);
    assert_true(is_same_spot(spot, expected));
    assert_int_equal(spot->times, expected->times);
    assert_true(fabs(spot->mm - expected->mm) < 1e-6 && fabs(spot->seconds - expected->seconds) < 1e-6);
    ++found[spot->kind];
  }
  g_array_unref(spots);
}

// ------------------------------------------------------------------------------------------------- counts of a tune

// The counts of a tune on these steps, by the words of RcCounts.
static RcCounts
count_steps(const Charted *c)
{
  RcCounts counts = { 0 };
  RcVerdict worst = RC_NATIVE;
  guint lacking = 0;
  for (guint i = 0; i < c->heard->len; ++i) {
    const RcVerdict verdict = step_at(c->route, i)->verdict;
    if (is_wanted(c->tune, heard_at(c->heard, i))) {
      ++counts.chords[verdict];
      counts.ticks[verdict] += heard_at(c->heard, i)->length;
      counts.tunes = 1;
      worst = MAX(worst, verdict);
      gboolean again = FALSE;
      for (guint j = 0; j < i; ++j) {
        const RcVerdict before = step_at(c->route, j)->verdict;
        again |= is_wanted(c->tune, heard_at(c->heard, j)) && before > c->world->settings.taste.accept &&
                 same_of(c, j) == same_of(c, i);
      }
      lacking += verdict > c->world->settings.taste.accept && verdict != RC_UNREAD && !again;
    }
  }
  counts.native = counts.tunes && worst == RC_NATIVE;
  counts.playable = counts.tunes && worst <= c->world->settings.taste.accept;
  counts.one_short = lacking == 1 && worst != RC_UNREAD;
  return counts;
}

static void
assert_counts(const RcCounts *found, const RcCounts *expected)
{
  for (guint i = 0; i < RC_N_VERDICTS; ++i) {
    assert_true(found->chords[i] == expected->chords[i] && found->ticks[i] == expected->ticks[i]);
  }
  assert_int_equal(found->tunes, expected->tunes);
  assert_int_equal(found->native, expected->native);
  assert_int_equal(found->playable, expected->playable);
  assert_int_equal(found->one_short, expected->one_short);
}

static void
check_whole(const Charted *c)
{
  const RcChart *chart = c->chart;
  const RcCounts counts = count_steps(c);
  double longest = 0;
  gboolean melody = FALSE;
  for (guint i = 0; i < c->heard->len; ++i) {
    longest = fmax(longest, step_at(c->route, i)->way);
    melody |= heard_at(c->heard, i)->melody != 0;
  }
  assert_counts(&chart->counts, &counts);
  assert_int_equal(chart->accept, c->world->settings.taste.accept);
  const RcTempo tempo = rc_roll_tempo(&c->world->settings.roll, c->tune, 0);
  assert_int_equal(chart->tempo.source, tempo.source);
  assert_true(fabs(chart->tempo.quarters - tempo.quarters) < 1e-9);
  assert_int_equal(chart->melody, melody);
  assert_true(fabs(chart->longest - longest) < 1e-9);
  assert_true(fabs(chart->travel - c->route->travel) < 1e-9);
  assert_true(fabs(chart->sounds - (c->sound ? c->sound : c->route)->travel) < 1e-9);
  assert_int_equal(chart->reversals, c->route->reversals);
  assert_int_equal(chart->hasty, c->route->hasty);
  assert_int_equal(chart->freely, (c->sound ? c->sound : c->route)->reversals);
}

static void
a_chart_says_what_its_route_does(void **state)
{
  (void)state;
  guint others = 0;
  guint better = 0;
  guint found[3] = { 0 };
  GRand *random = g_rand_new_with_seed(SEED);
  for (guint i = 0; i < TUNES; ++i) {
    World w = make_world(random);
    Charted c = chart_drawn(&w, random);
    guint *numbers = g_new(guint, c.heard->len + 1);
    check_steps(&c);
    check_turns(&c);
    assert_int_equal(c.chart->needs->len, number_needs(&c, numbers));
    for (guint need = 0; need < c.chart->needs->len; ++need) {
      check_need(&c, numbers, need);
      better += need_at(c.chart, need)->sounds.verdict != RC_IMPOSSIBLE;
    }
    check_events(&c, numbers);
    check_hard(&c, found);
    check_whole(&c);
    others += c.chart->other_ways->len;
    g_free(numbers);
    clear_charted(&c);
    clear_world(&w);
  }
  g_rand_free(random);
  print_message("%u charts; %u leaps, %u wide grips, %u turns too soon, %u other ways, %u that would sound better\n",
                TUNES, found[RC_HARD_LEAP], found[RC_HARD_WIDE], found[RC_HARD_TURN], others, better);
  for (guint kind = 0; kind < G_N_ELEMENTS(found); ++kind) {
    assert_true(found[kind] > 0);
  }
  assert_true(others > 0 && better > 0);
}

// --------------------------------------------------------------------------------------------------- use of buttons

// What is added to a use, tune by tune.
typedef struct {
  Charted tunes[TUNES_OF_A_USE];
  guint n;
} Book;

static RcTicks
held_for(const Heard *heard)
{
  return heard->length ? heard->length : 1;
}

// The rows and columns of a grip.
typedef struct {
  guint rows;
  guint64 columns;
  guint first;
  guint last;
} Area;

static Area
area_of(const RcLayout *layout, const RcGrip *grip)
{
  Area area = { 0, 0, G_MAXUINT, 0 };
  for (guint i = 0; i < rc_grip_count(grip); ++i) {
    const RcButton *button = rc_layout_button(layout, rc_grip_button(grip, i));
    area.rows |= 1U << button->row;
    area.columns |= G_GUINT64_CONSTANT(1) << button->column;
    area.first = MIN(area.first, button->column);
    area.last = MAX(area.last, button->column);
  }
  return area;
}

static gboolean
presses(const RcStep *step, guint button)
{
  gboolean found = FALSE;
  for (guint i = 0; step->held && i < rc_grip_count(&step->grip); ++i) {
    found |= rc_grip_button(&step->grip, i) == button;
  }
  return found;
}

static void
check_button(const Book *book, const RcUse *use, guint button)
{
  guint64 times = 0;
  RcTicks held = 0;
  RcTicks made_up = 0;
  for (guint t = 0; t < book->n; ++t) {
    const Charted *c = &book->tunes[t];
    for (guint i = 0; i < c->heard->len; ++i) {
      if (presses(step_at(c->route, i), button)) {
        ++times;
        held += held_for(heard_at(c->heard, i));
        made_up += held_for(heard_at(c->heard, i)) - heard_at(c->heard, i)->length;
      }
    }
  }
  assert_true(use->presses[button] == times && use->buttons[button] == held && use->made_up[button] == made_up);
}

// How long grips are held that lie in some rows and columns.
typedef struct {
  guint rows;        // within which they lie; 0: in any
  guint first, last; // columns within which they lie
  int column;        // in which they have a button; -1: in any
} Where;

static RcTicks
count_held(const Book *book, const RcLayout *layout, Where where)
{
  RcTicks held = 0;
  for (guint t = 0; t < book->n; ++t) {
    const Charted *c = &book->tunes[t];
    for (guint i = 0; i < c->heard->len; ++i) {
      const RcStep *step = step_at(c->route, i);
      if (step->held) {
        const Area area = area_of(layout, &step->grip);
        const gboolean there = (!where.rows || !(area.rows & ~where.rows)) && where.first <= area.first &&
                               area.last <= where.last && (where.column < 0 || area.columns >> where.column & 1);
        held += there ? held_for(heard_at(c->heard, i)) : 0;
      }
    }
  }
  return held;
}

// The fewest rows, of these those of most time, of these those nearest to the bellows.
static void
check_rows(const Book *book, const RcUse *use, double share)
{
  const guint n = use->layout->rows->len;
  const guint last = use->layout->columns->len;
  guint best = 0;
  RcTicks most = 0;
  RcTicks ticks = 99;
  for (guint set = 1; set < 1U << n && use->played; ++set) {
    const RcTicks held = count_held(book, use->layout, (Where){ set, 0, last, -1 });
    const guint bits = rc_count_bits(set);
    if ((double)held >= share * (double)use->played &&
        (!best || bits < rc_count_bits(best) || (bits == rc_count_bits(best) && held > most))) {
      best = set;
      most = held;
    }
  }
  assert_int_equal(rc_use_rows(use, share, &ticks), best);
  assert_true(ticks == most);
}

// The fewest columns in a row, of these those of most time, of these the flattest.
static void
check_columns(const Book *book, const RcUse *use, double share)
{
  const guint n = use->layout->columns->len;
  guint first = 99;
  guint last = 99;
  RcTicks most = 0;
  guint best[2] = { 99, 99 };
  for (guint from = 0; from < n && use->played; ++from) {
    for (guint to = from; to < n; ++to) {
      const RcTicks held = count_held(book, use->layout, (Where){ 0, from, to, -1 });
      const guint width = best[1] - best[0];
      if ((double)held >= share * (double)use->played &&
          (best[0] == 99 || to - from < width || (to - from == width && held > most))) {
        best[0] = from;
        best[1] = to;
        most = held;
      }
    }
  }
  assert_true(rc_use_columns(use, share, &first, &last) == most);
  assert_int_equal(first, best[0]);
  assert_int_equal(last, best[1]);
}

static void
check_places(const Book *book, const RcUse *use)
{
  static const double shares[] = { 0.3, 0.5, 0.9, 1 };
  const guint n = use->layout->columns->len;
  for (guint column = 0; column < n; ++column) {
    assert_true(use->in_columns[column] == count_held(book, use->layout, (Where){ 0, 0, n, (int)column }));
  }
  for (guint i = 0; i < G_N_ELEMENTS(shares); ++i) {
    check_rows(book, use, shares[i]);
    check_columns(book, use, shares[i]);
  }
}

static void
check_counts(const Book *book, const RcUse *use)
{
  RcCounts sum = { 0 };
  RcTicks silent = 0;
  guint64 reversals = 0;
  double travel = 0;
  for (guint t = 0; t < book->n; ++t) {
    const Charted *c = &book->tunes[t];
    const RcCounts counts = count_steps(c);
    for (guint i = 0; i < RC_N_VERDICTS; ++i) {
      sum.chords[i] += counts.chords[i];
      sum.ticks[i] += counts.ticks[i];
    }
    sum.tunes += counts.tunes;
    sum.native += counts.native;
    sum.playable += counts.playable;
    sum.one_short += counts.one_short;
    reversals += c->route->reversals;
    travel += c->route->travel;
    for (guint i = 0; i < c->heard->len; ++i) {
      const gboolean lost = is_wanted(c->tune, heard_at(c->heard, i)) && !step_at(c->route, i)->held;
      silent += lost ? held_for(heard_at(c->heard, i)) : 0;
    }
  }
  assert_counts(&use->counts, &sum);
  assert_true(use->silent == silent && use->reversals == reversals);
  assert_true(use->played == count_held(book, use->layout, (Where){ 0, 0, use->layout->columns->len, -1 }));
  assert_true(fabs(use->travel - travel) < 1e-6);
}

// What each tune presses of each button, tune after tune; one that presses none has no title.
static void
check_tunes(const Book *book, const RcUse *use)
{
  guint titles = 0;
  guint at = 0;
  for (guint t = 0; t < book->n; ++t) {
    const Charted *c = &book->tunes[t];
    const guint before = at;
    for (guint button = 0; button < use->layout->buttons->len; ++button) {
      guint64 times = 0;
      RcTicks ticks = 0;
      for (guint i = 0; i < c->heard->len; ++i) {
        const gboolean pressed = presses(step_at(c->route, i), button);
        times += pressed ? 1 : 0;
        ticks += pressed ? held_for(heard_at(c->heard, i)) : 0;
      }
      if (times) {
        assert_true(at < use->by_tune->len);
        const RcTunePress *press = &g_array_index(use->by_tune, RcTunePress, at++);
        assert_int_equal(press->tune, titles);
        assert_int_equal(press->button, button);
        assert_true(press->presses == times && press->ticks == ticks);
      }
    }
    if (at > before) {
      assert_true(titles < use->titles->len);
      assert_string_equal(g_ptr_array_index(use->titles, titles++), c->tune->title);
    }
  }
  assert_int_equal(use->by_tune->len, at);
  assert_int_equal(use->titles->len, titles);
}

static void
check_use(const Book *book, const RcUse *use)
{
  for (guint button = 0; button < use->layout->buttons->len; ++button) {
    check_button(book, use, button);
  }
  check_places(book, use);
  check_counts(book, use);
}

// Tunes are added to one use, or to two that are put together; known tune by tune where both keep them.
static void
a_use_is_the_sum_of_its_routes(void **state)
{
  (void)state;
  GRand *random = g_rand_new_with_seed(SEED + 1);
  for (guint i = 0; i < USES; ++i) {
    Book book = { .n = draw(random, 1 + TUNES_OF_A_USE) };
    World w = make_world(random);
    RcUse *uses[2] = { rc_use_new(w.layout), rc_use_new(w.layout) };
    const guint first = draw(random, 1 + book.n);
    for (guint use = 0; use < 2; ++use) {
      if (i % 4 == 3 || i % 4 == use) {
        rc_use_keep_tunes(uses[use]);
      }
    }
    for (guint t = 0; t < book.n; ++t) {
      book.tunes[t] = chart_drawn(&w, random);
      rc_use_add(uses[t < first ? 0 : 1], book.tunes[t].route, book.tunes[t].tune, w.settings.taste.accept);
    }
    rc_use_merge(uses[0], uses[1]);
    check_use(&book, uses[0]);
    if (i % 4 == 3) {
      check_tunes(&book, uses[0]);
    }
    for (guint t = 0; t < book.n; ++t) {
      clear_charted(&book.tunes[t]);
    }
    rc_use_free(uses[0]);
    rc_use_free(uses[1]);
    clear_world(&w);
  }
  g_rand_free(random);
}

// Each may be NULL.
static void
nothing_may_be_freed(void **state)
{
  (void)state;
  rc_use_free(NULL);
  rc_chart_free(NULL);
  rc_route_free(NULL);
  rc_planner_free(NULL);
}

int
main(void)
{
  const struct CMUnitTest tests[] = {
    cmocka_unit_test(a_chart_says_what_its_route_does),
    cmocka_unit_test(a_use_is_the_sum_of_its_routes),
    cmocka_unit_test(nothing_may_be_freed),
  };
  return cmocka_run_group_tests(tests, NULL, NULL);
}
