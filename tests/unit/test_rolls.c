// Copyright 2026 the rowcall developers
// SPDX-License-Identifier: MIT

// Rolls counted a second time, over random tunes that change key, meter and tempo, hold chords, spell them in two ways,
// repeat bars and carry melodies. What one chord is worth on one keyboard is asked of the catalogue, chord after chord
// as a tune is played; all that a roll adds to that is counted here by the words of coverage.h: what is heard by a walk
// of its own, sums by loops, what the next size buys by looking at every choice of three chords.

#undef NDEBUG

#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>

#include <cmocka.h>

#include "rowcall/coverage.h"

#include <math.h>
#include <string.h>

enum {
  WORLDS = 60 / THINNED,
  MOST_TUNES = 40,
  MOST_EVENTS = 24,
  MOST_BOARDS = 140, // three words of a set
  N_PALETTE = 9,     // different chords of a world
  MOST_HEARD = 200,
  SEED = 20261126
};

static guint64 random_state = SEED;

// A whole number from 0 to n - 1: a linear congruential generator with the constants of Knuth's MMIX.
static guint
draw(guint n)
{
  random_state = random_state * G_GUINT64_CONSTANT(6364136223846793005) + G_GUINT64_CONSTANT(1442695040888963407);
  return (guint)((random_state >> 33U) % n);
}

// ------------------------------------------------------------------------------------------------------- keyboards

enum { N_HANDS = 3, N_USUAL = 12, N_POOL = N_HANDS * N_USUAL };

static const RcHand hands[N_HANDS] = { { 4, 3 }, { 2, 2 }, { 1, 1 } };

static RcLayout *layouts[N_USUAL];
static RcCatalogue *pool[N_POOL]; // each layout in each hand

static int
make_pool(void **state)
{
  (void)state;
  for (guint i = 0; i < N_USUAL; ++i) {
    layouts[i] = rc_layout_find(rc_layout_usual_names()[i], NULL);
    for (guint hand = 0; hand < N_HANDS; ++hand) {
      pool[i * N_HANDS + hand] = rc_catalogue_new(layouts[i], hands[hand]);
    }
  }
  assert_null(rc_layout_usual_names()[N_USUAL]);
  return 0;
}

static int
free_pool(void **state)
{
  (void)state;
  for (guint i = 0; i < N_POOL; ++i) {
    rc_catalogue_free(pool[i]);
  }
  for (guint i = 0; i < N_USUAL; ++i) {
    rc_layout_free(layouts[i]);
  }
  return 0;
}

// Whether a usual size has all buttons of another and more: the same rows and columns, and others.
static gboolean
is_within(const RcLayout *small, const RcLayout *large)
{
  for (guint i = 0; i < small->rows->len; ++i) {
    if (rc_layout_find_row(large, g_ptr_array_index(small->rows, i)) < 0) {
      return FALSE;
    }
  }
  for (guint i = 0; i < small->columns->len; ++i) {
    if (rc_layout_find_column(large, g_array_index(small->columns, RcNote, i)) < 0) {
      return FALSE;
    }
  }
  return small->rows->len * small->columns->len < large->rows->len * large->columns->len;
}

// ----------------------------------------------------------------------------------------------------------- tunes

static const char *const chords[] = { "C",   "Eb",    "D#",  "A",   "Bm",   "F#m",  "Gbm",  "E7",   "Fb7",   "Abm",
                                      "G#m", "B7",    "Db",  "C#",  "Gdim", "D/F#", "Am/G", "Em7",  "Cmaj7", "F#m7",
                                      "F5",  "Gsus4", "Bb9", "A#9", "Am7",  "E/G#", "E/Ab", "C7b9", "Faug" };
static const char *const others[] = { "N.C.", "Xq", "Zork" };

// The beat that tempo marks count, in quarter notes.
static const struct {
  RcMeter meter;
  double beat;
} meters[] = { { { 4, 4 }, 1 }, { { 3, 4 }, 1 }, { { 6, 8 }, 1.5 }, { { 2, 2 }, 2 } };
static const double tempi[] = { 6, 30, 60, 90, 120, 240, 700 };
static const double extremes[] = { 3, 1200 }; // ABC may state them
static const RcTicks lengths[] = { RC_QUARTER / 2, RC_QUARTER, RC_QUARTER, 2 * RC_QUARTER, 3 * RC_QUARTER };

static gboolean
sounds_the_same(const RcChord *a, const RcChord *b)
{
  return rc_note_pc(a->root) == rc_note_pc(b->root) && rc_note_pc(a->bass) == rc_note_pc(b->bass) &&
         a->degrees == b->degrees;
}

static void
add_symbol(RcTune *tune, const char *text)
{
  RcSymbol symbol = { .text = text, .same = tune->symbols->len };
  symbol.kind = *text ? rc_chord_parse(text, strlen(text), RC_NAMES_ENGLISH, &symbol.chord, NULL) : RC_SYMBOL_HELD;
  for (guint i = 0; i < tune->symbols->len && symbol.kind == RC_SYMBOL_CHORD; ++i) {
    const RcSymbol *before = rc_tune_symbol(tune, i);
    if (before->kind == RC_SYMBOL_CHORD && sounds_the_same(&before->chord, &symbol.chord)) {
      symbol.same = before->same;
      break;
    }
  }
  g_array_append_val(tune->symbols, symbol);
}

static void
add_settings(RcTune *tune, guint n)
{
  g_array_set_size(tune->settings, 0);
  for (guint i = 0; i < n; ++i) {
    RcSetting setting = { .meter = meters[draw(G_N_ELEMENTS(meters))].meter, .key_assumed = draw(3) == 0 };
    if (draw(3)) {
      setting.key = (RcKey){ draw(2) ? RC_MODE_MAJOR : RC_MODE_MINOR, (RcNote)((int)draw(7) - 2) };
      setting.tones = rc_key_tones(setting.key);
    }
    if (draw(2)) {
      setting.tempo = (RcTempo){ RC_TEMPO_STATED, draw(8) ? tempi[draw(G_N_ELEMENTS(tempi))] : extremes[draw(2)] };
    }
    g_array_append_val(tune->settings, setting);
  }
}

// Bars of one to three events, with settings in their order.
static void
add_bars(RcTune *tune, gboolean melody)
{
  const guint n = 1 + draw(MOST_EVENTS);
  for (guint i = 0; i < n; ++i) {
    RcEvent event = { .symbol = draw(tune->symbols->len), .setting = i * tune->settings->len / n };
    event.length = tune->unmeasured ? 0 : lengths[draw(G_N_ELEMENTS(lengths))];
    event.melody = melody && draw(2) ? (RcPcSet)(1U << draw(12) | 2U << draw(11)) : 0;
    g_array_append_val(tune->events, event);
  }
  for (guint first = 0; first < n;) {
    const guint wanted = 1 + draw(3);
    const RcBar bar = { first, MIN(wanted, n - first) };
    g_array_append_val(tune->bars, bar);
    first += bar.count;
  }
}

// Stretches of bars, some of them more than once.
static void
play_bars(RcTune *tune)
{
  for (guint stretches = 1 + draw(4); stretches; --stretches) {
    const guint first = draw(tune->bars->len);
    const guint end = first + 1 + draw(tune->bars->len - first);
    for (guint times = 1 + draw(2); times; --times) {
      for (guint bar = first; bar < end; ++bar) {
        g_array_append_val(tune->played, bar);
      }
    }
  }
}

// Of `n` chords of the palette. One in eight holds nothing but silence.
static RcTune *
draw_tune(const char *const palette[N_PALETTE])
{
  RcTune *tune = rc_tune_new();
  tune->title = "t";
  tune->rhythm = draw(3) ? NULL : "waltz";
  tune->unmeasured = draw(8) == 0;
  add_settings(tune, 1 + draw(3));
  if (draw(8)) {
    for (guint i = 1 + draw(4); i; --i) {
      add_symbol(tune, palette[draw(N_PALETTE)]);
    }
  }
  if (!tune->symbols->len || draw(4) == 0) {
    add_symbol(tune, others[tune->symbols->len ? draw(G_N_ELEMENTS(others)) : 0]);
  }
  if (draw(2)) {
    add_symbol(tune, "");
  }
  add_bars(tune, draw(3) == 0);
  play_bars(tune);
  return tune;
}

// -------------------------------------------------------------------------------------------------------- the walk

typedef struct {
  const RcSymbol *symbol;
  RcPlayed played;
} Heard;

typedef struct {
  guint n;
  Heard heard[MOST_HEARD];
} Walk;

// What is held, or asks for the same again, goes on.
static void
hear(Walk *walk, const RcTune *tune, guint index)
{
  const RcEvent *event = &g_array_index(tune->events, RcEvent, index);
  const RcSymbol *symbol = rc_tune_symbol(tune, event->symbol);
  Heard *last = walk->n ? &walk->heard[walk->n - 1] : NULL;
  if (last && (symbol->kind == RC_SYMBOL_HELD || symbol->same == last->symbol->same)) {
    last->played.length += event->length;
    last->played.melody |= event->melody;
    return;
  }
  assert_true(walk->n < MOST_HEARD);
  walk->heard[walk->n++] = (Heard){ symbol, { index, event->symbol, event->setting, event->length, event->melody } };
}

static Walk
walk_through(const RcTune *tune)
{
  Walk walk = { .n = 0 };
  for (guint i = 0; i < tune->played->len; ++i) {
    const RcBar *bar = &g_array_index(tune->bars, RcBar, g_array_index(tune->played, guint, i));
    for (guint j = 0; j < bar->count; ++j) {
      hear(&walk, tune, bar->first + j);
    }
  }
  return walk;
}

// ------------------------------------------------------------------------------------------------------ the answers

typedef struct {
  guint n_boards;
  guint boards[MOST_BOARDS]; // indices of the pool
  RcTaste taste;
  RcRollSettings settings;
  GHashTable *answered; // of a request's words to guint8 * by index of the pool, 1 + verdict
  const char *palette[N_PALETTE];
  guint n_tunes;
  RcTune *tunes[MOST_TUNES];
} World;

static RcVerdict
verdict_on(const World *w, guint board, const RcRequest *request)
{
  char *words = g_strdup_printf("%d %d %x %x %x %x %x %d", request->chord.root, request->chord.bass,
                                request->chord.degrees, (guint)request->key.tones, (guint)request->key.minors,
                                (guint)request->key.fifth, (guint)request->melody, request->brisk);
  guint8 *verdicts = g_hash_table_lookup(w->answered, words);
  if (!verdicts) {
    verdicts = g_new0(guint8, N_POOL);
    g_hash_table_insert(w->answered, g_strdup(words), verdicts);
  }
  g_free(words);
  const guint at = w->boards[board];
  if (!verdicts[at]) {
    verdicts[at] = (guint8)(1 + rc_catalogue_best(pool[at], w->taste, request).verdict);
  }
  return (RcVerdict)(verdicts[at] - 1);
}

// The tempo from a setting on. One at its own pace is taken as it is.
static RcTempo
tempo_at(const RcRollSettings *settings, const RcTune *tune, guint setting)
{
  const RcSetting *here = rc_tune_setting(tune, setting);
  RcTempo tempo = here->tempo;
  double times = settings->pace;
  if (settings->given.source == RC_TEMPO_GIVEN) {
    tempo = settings->given;
    times = 1;
    for (guint i = 0; i < G_N_ELEMENTS(meters) && settings->in_beats; ++i) {
      times =
        meters[i].meter.beats == here->meter.beats && meters[i].meter.unit == here->meter.unit ? meters[i].beat : times;
    }
  } else if (tempo.source == RC_TEMPO_NONE && settings->untimed == RC_UNTIMED_ASSUME) {
    tempo = rc_tempo_assume(tune->rhythm, here->meter);
  }
  if (tempo.source != RC_TEMPO_NONE && llround(100 * times) != 100) {
    tempo.quarters = CLAMP(tempo.quarters * times, RC_MIN_QUARTERS, RC_MAX_QUARTERS);
  }
  return tempo;
}

static RcRequest
request_of(const World *w, const RcTune *tune, const Heard *heard)
{
  const RcSetting *here = rc_tune_setting(tune, heard->played.setting);
  const double quarters = tempo_at(&w->settings, tune, heard->played.setting).quarters;
  const RcTicks length = heard->played.length;
  RcRequest request = { heard->symbol->chord, rc_key_scale(here->key, here->tones), heard->played.melody, FALSE };
  request.melody = w->settings.no_melody ? 0 : request.melody;
  request.brisk = length > 0 && (double)length * 60 < w->settings.brisk * quarters * (double)RC_QUARTER;
  return request;
}

// ----------------------------------------------------------------------------------------------------- the recount

// What a tune is on one keyboard.
typedef struct {
  RcCounts counts;
  guint n_lacking; // different chords
  RcChord lacking[N_PALETTE];
} Told;

static void
lack(Told *told, const RcChord *chord)
{
  for (guint i = 0; i < told->n_lacking; ++i) {
    if (sounds_the_same(&told->lacking[i], chord)) {
      return;
    }
  }
  told->lacking[told->n_lacking++] = *chord;
}

static Told
tell(const World *w, const RcTune *tune, const Walk *walk, guint board)
{
  Told told = { .n_lacking = 0 };
  guint64 not_native = 0;
  guint64 not_accepted = 0;
  guint64 not_alone = 0;
  for (guint i = 0; i < walk->n; ++i) {
    const Heard *heard = &walk->heard[i];
    RcVerdict verdict = RC_UNREAD;
    RcVerdict alone = RC_UNREAD;
    if (heard->symbol->kind == RC_SYMBOL_CHORD) {
      RcRequest request = request_of(w, tune, heard);
      verdict = verdict_on(w, board, &request);
      request.melody = 0;
      alone = verdict_on(w, board, &request);
    } else if (heard->symbol->kind != RC_SYMBOL_UNREAD) {
      continue;
    }
    ++told.counts.chords[verdict];
    told.counts.ticks[verdict] += heard->played.length;
    told.counts.tunes = 1;
    not_native += verdict != RC_NATIVE;
    not_accepted += verdict > w->taste.accept;
    not_alone += alone > w->taste.accept;
    if (verdict > w->taste.accept && verdict != RC_UNREAD) {
      lack(&told, &heard->symbol->chord);
    }
  }
  told.counts.native = told.counts.tunes && !not_native;
  told.counts.playable = told.counts.tunes && !not_accepted;
  told.counts.playable_alone = told.counts.tunes && !not_alone;
  told.counts.one_short = told.n_lacking == 1 && !told.counts.chords[RC_UNREAD];
  return told;
}

static void
assert_counts(const RcCounts *found, const RcCounts *expected)
{
  for (guint v = 0; v < RC_N_VERDICTS; ++v) {
    assert_int_equal(found->chords[v], expected->chords[v]);
    assert_true(found->ticks[v] == expected->ticks[v]);
  }
  assert_int_equal(found->tunes, expected->tunes);
  assert_int_equal(found->native, expected->native);
  assert_int_equal(found->playable, expected->playable);
  assert_int_equal(found->playable_alone, expected->playable_alone);
  assert_int_equal(found->one_short, expected->one_short);
}

static void
add_counts(RcCounts *sum, const RcCounts *more)
{
  for (guint v = 0; v < RC_N_VERDICTS; ++v) {
    sum->chords[v] += more->chords[v];
    sum->ticks[v] += more->ticks[v];
  }
  sum->tunes += more->tunes;
  sum->native += more->native;
  sum->playable += more->playable;
  sum->playable_alone += more->playable_alone;
  sum->one_short += more->one_short;
}

static void
check_tempi(const World *w, const RcTune *tune)
{
  for (guint i = 0; i < tune->settings->len; ++i) {
    const RcTempo expected = tempo_at(&w->settings, tune, i);
    const RcTempo found = rc_roll_tempo(&w->settings, tune, i);
    assert_int_equal(found.source, expected.source);
    assert_true(fabs(found.quarters - expected.quarters) < 1e-9);
  }
}

static void
check_timing(const World *w, const RcRoll *roll)
{
  RcTiming t = { .tunes = w->n_tunes };
  for (guint i = 0; i < w->n_tunes; ++i) {
    const RcTune *tune = w->tunes[i];
    const RcSetting *start = rc_tune_setting(tune, 0);
    const Walk walk = walk_through(tune);
    const RcTempoSource source = tempo_at(&w->settings, tune, 0).source;
    gboolean melody = FALSE;
    gboolean has_chords = FALSE;
    for (guint j = 0; j < walk.n; ++j) {
      melody = melody || walk.heard[j].played.melody;
      has_chords =
        has_chords || walk.heard[j].symbol->kind == RC_SYMBOL_CHORD || walk.heard[j].symbol->kind == RC_SYMBOL_UNREAD;
    }
    check_tempi(w, tune);
    t.unmeasured += tune->unmeasured ? 1 : 0;
    t.assumed += !tune->unmeasured && (source == RC_TEMPO_RHYTHM || source == RC_TEMPO_METER) ? 1 : 0;
    t.untimed += !tune->unmeasured && source == RC_TEMPO_NONE ? 1 : 0;
    t.chordless += has_chords ? 0 : 1;
    t.melodies += melody ? 1 : 0;
    t.keys_assumed += has_chords && start->key_assumed ? 1 : 0;
    t.unkeyed += has_chords && start->key.mode == RC_MODE_NONE ? 1 : 0;
  }
  const RcTiming found = rc_roll_timing(roll);
  assert_int_equal(found.tunes, t.tunes);
  assert_int_equal(found.assumed, t.assumed);
  assert_int_equal(found.untimed, t.untimed);
  assert_int_equal(found.unmeasured, t.unmeasured);
  assert_int_equal(found.chordless, t.chordless);
  assert_int_equal(found.melodies, t.melodies);
  assert_int_equal(found.keys_assumed, t.keys_assumed);
  assert_int_equal(found.unkeyed, t.unkeyed);
}

// ---------------------------------------------------------------------------------------------------- the next size

// The chords of a keyboard that tunes lack which the next one plays, those of tunes that lack more than three apart.
typedef struct {
  guint n_chords;
  RcChord chords[N_PALETTE];
  guint64 tunes[1 << N_PALETTE]; // by the set of them that they lack
  guint64 lacked[N_PALETTE];     // tunes that lack a chord and two others at most
} Gained;

static guint
place_of(Gained *gained, const RcChord *chord)
{
  for (guint i = 0; i < gained->n_chords; ++i) {
    if (sounds_the_same(&gained->chords[i], chord)) {
      return i;
    }
  }
  gained->chords[gained->n_chords] = *chord;
  return gained->n_chords++;
}

static void
add_gained(Gained *gained, const Told *here, const Told *there)
{
  if (!there->counts.playable || here->counts.playable) {
    return;
  }
  guint set = 0;
  for (guint i = 0; i < here->n_lacking; ++i) {
    const guint at = place_of(gained, &here->lacking[i]);
    set |= 1U << at;
    gained->lacked[at] += here->n_lacking <= 3 ? 1 : 0;
  }
  ++gained->tunes[set];
}

// The tunes that lack no other chords than these.
static guint64
explained_by(const Gained *gained, guint set)
{
  guint64 tunes = 0;
  for (guint i = 0; i < 1U << gained->n_chords; ++i) {
    tunes += i & ~set ? 0 : gained->tunes[i];
  }
  return tunes;
}

// The most tunes that some `n` chords or fewer explain.
static guint64
explained_at_best(const Gained *gained, guint n)
{
  guint64 best = 0;
  for (guint set = 0; set < 1U << gained->n_chords; ++set) {
    const guint64 tunes = rc_count_bits(set) <= n ? explained_by(gained, set) : 0;
    best = MAX(best, tunes);
  }
  return best;
}

// A chord is spelled as it first was in the whole book.
static const RcChord *
first_spelled(const World *w, const RcChord *chord)
{
  for (guint i = 0; i < w->n_tunes; ++i) {
    const Walk walk = walk_through(w->tunes[i]);
    for (guint j = 0; j < walk.n; ++j) {
      const RcSymbol *symbol = walk.heard[j].symbol;
      if (symbol->kind == RC_SYMBOL_CHORD && sounds_the_same(&symbol->chord, chord)) {
        return &rc_tune_symbol(w->tunes[i], walk.heard[j].played.symbol)->chord;
      }
    }
  }
  fail_msg("a chord that no tune has");
  return NULL;
}

// The fewest chords that explain half of the tunes or, where no three do, most of them.
static void
check_chords(const World *w, const Gained *gained, const RcGain *gain)
{
  guint n = 1;
  Gained known = *gained;
  while (n < 3 && explained_at_best(gained, n) * 2 < gain->tunes) {
    ++n;
  }
  const guint64 explained = gain->tunes ? explained_at_best(gained, n) : 0;
  guint set = 0;
  for (guint i = 0; i < gain->n_chords; ++i) {
    const guint at = place_of(&known, &gain->chords[i]);
    assert_true(known.n_chords == gained->n_chords && !(set & 1U << at));
    assert_true(!i || gained->lacked[place_of(&known, &gain->chords[i - 1])] >= gained->lacked[at]);
    assert_int_equal(gain->chords[i].root, first_spelled(w, &gain->chords[i])->root);
    assert_int_equal(gain->chords[i].bass, first_spelled(w, &gain->chords[i])->bass);
    set |= 1U << at;
  }
  assert_int_equal(gain->explained, explained);
  assert_int_equal(explained_by(gained, set), explained);
  assert_true(!gain->n_chords || explained_at_best(gained, gain->n_chords - 1) < explained);
}

static int
next_of(const World *w, guint board)
{
  enum { LOOKED_AT = 64 };
  for (guint i = board + 1; i < w->n_boards; ++i) {
    if (is_within(layouts[w->boards[board] / N_HANDS], layouts[w->boards[i] / N_HANDS])) {
      return board < LOOKED_AT && i < LOOKED_AT ? (int)i : -1;
    }
  }
  return -1;
}

// The time of chords that are accepted; where nothing has a length, the chords.
static RcTicks
carried(const RcCounts *counts, RcVerdict accept)
{
  RcTicks ticks = 0;
  RcTicks n = 0;
  RcTicks all = 0;
  for (guint v = 0; v < RC_N_VERDICTS; ++v) {
    all += counts->ticks[v];
    ticks += v <= accept ? counts->ticks[v] : 0;
    n += v <= accept ? (RcTicks)counts->chords[v] : 0;
  }
  return all ? ticks : n;
}

// --------------------------------------------------------------------------------------------------------- the worlds

static void
draw_settings(World *w)
{
  static const double paces[] = { 1, 0.5, 2 };
  static const double seconds[] = { 0.5, 1, 1.5 };
  w->taste = (RcTaste){ draw(3) ? RC_PREFER_PLAIN : RC_PREFER_SOUND, RC_SAME + (RcVerdict)draw(5) };
  w->settings = rc_roll_settings();
  w->settings.brisk = seconds[draw(3)];
  w->settings.pace = paces[draw(3)];
  w->settings.untimed = draw(2) ? RC_UNTIMED_ASSUME : RC_UNTIMED_LEAVE;
  w->settings.no_melody = draw(4) == 0;
  if (draw(4) == 0) {
    w->settings.given = (RcTempo){ RC_TEMPO_GIVEN, tempi[draw(G_N_ELEMENTS(tempi))] };
    w->settings.in_beats = draw(2) == 1;
  }
}

// For one hand, in each third world the usual sizes, in each third some in any order, and in each third more than 64.
static void
draw_boards(World *w, guint number)
{
  w->n_boards = number % 3 == 0 ? N_USUAL : number % 3 == 1 ? draw(6) : 64 + draw(MOST_BOARDS - 64);
  for (guint i = 0, hand = draw(N_HANDS); i < w->n_boards; ++i) {
    w->boards[i] = (number % 3 == 0 ? i : draw(N_USUAL)) * N_HANDS + hand;
  }
}

static void
draw_world(World *w, guint number)
{
  *w = (World){ .answered = g_hash_table_new_full(g_str_hash, g_str_equal, g_free, g_free) };
  draw_settings(w);
  draw_boards(w, number);
  for (guint i = 0; i < N_PALETTE; ++i) {
    w->palette[i] = chords[draw(G_N_ELEMENTS(chords))];
  }
  w->n_tunes = number % 3 == 2 ? draw(8) : draw(MOST_TUNES);
  for (guint i = 0; i < w->n_tunes; ++i) {
    w->tunes[i] = draw_tune(w->palette);
  }
}

static void
clear_world(World *w)
{
  for (guint i = 0; i < w->n_tunes; ++i) {
    rc_tune_free(w->tunes[i]);
  }
  g_hash_table_unref(w->answered);
}

static RcPanel *
make_panel(const World *w)
{
  RcCatalogue *catalogues[MOST_BOARDS];
  for (guint i = 0; i < w->n_boards; ++i) {
    catalogues[i] = pool[w->boards[i]];
  }
  return rc_panel_new(catalogues, w->n_boards, w->taste);
}

// What each of `n_boards` keyboards makes of each tune.
static Told *
tell_all(const World *w)
{
  Told *told = g_new(Told, MAX(1, w->n_tunes * w->n_boards));
  for (guint i = 0; i < w->n_tunes; ++i) {
    const Walk walk = walk_through(w->tunes[i]);
    for (guint board = 0; board < w->n_boards; ++board) {
      told[i * w->n_boards + board] = tell(w, w->tunes[i], &walk, board);
    }
  }
  return told;
}

static RcCounts
sum_of(const World *w, const Told *told, guint board)
{
  RcCounts sum = { .tunes = 0 };
  for (guint i = 0; i < w->n_tunes; ++i) {
    add_counts(&sum, &told[i * w->n_boards + board].counts);
  }
  return sum;
}

static void
check_gain(const World *w, const Told *told, const RcRoll *roll, guint board)
{
  const RcGain gain = rc_roll_gain(roll, board);
  assert_int_equal(gain.next, next_of(w, board));
  if (gain.next < 0) {
    assert_true(!gain.n_chords && !gain.tunes && !gain.ticks && !gain.explained);
    return;
  }
  const RcCounts here = sum_of(w, told, board);
  const RcCounts there = sum_of(w, told, (guint)gain.next);
  Gained *gained = g_new0(Gained, 1);
  for (guint i = 0; i < w->n_tunes; ++i) {
    add_gained(gained, &told[i * w->n_boards + board], &told[i * w->n_boards + (guint)gain.next]);
  }
  assert_true(gain.tunes == there.playable - here.playable);
  assert_true(gain.ticks == carried(&there, w->taste.accept) - carried(&here, w->taste.accept));
  check_chords(w, gained, &gain);
  g_free(gained);
}

static void
check_roll(const World *w, const Told *told, const RcRoll *roll)
{
  assert_int_equal(rc_roll_n_layouts(roll), w->n_boards);
  assert_int_equal(rc_roll_accept(roll), w->taste.accept);
  for (guint board = 0; board < w->n_boards; ++board) {
    const RcCounts found = rc_roll_counts(roll, board);
    const RcCounts expected = sum_of(w, told, board);
    assert_ptr_equal(rc_roll_layout(roll, board), layouts[w->boards[board] / N_HANDS]);
    assert_counts(&found, &expected);
    check_gain(w, told, roll, board);
  }
  check_timing(w, roll);
}

// An entry is what sounds the same and is answered alike: all chords that sound so are counted in one of them.
static void
check_entries(const World *w, const RcRoll *roll)
{
  guint64 chords_heard = 0;
  guint64 chords_entered = 0;
  for (guint i = 0; i < w->n_tunes; ++i) {
    const Walk walk = walk_through(w->tunes[i]);
    for (guint j = 0; j < walk.n; ++j) {
      chords_heard += walk.heard[j].symbol->kind == RC_SYMBOL_CHORD;
    }
  }
  for (guint i = 0; i < rc_roll_n_entries(roll); ++i) {
    const RcRollEntry entry = rc_roll_entry(roll, i);
    chords_entered += entry.chords;
    assert_true(entry.chords > 0);
    for (guint board = 0; board < w->n_boards; ++board) {
      const RcAnswer answer = rc_roll_answer(roll, i, board);
      assert_int_equal(answer.verdict, verdict_on(w, board, &entry.request));
    }
    for (guint j = 0; j < i; ++j) {
      const RcRequest other = rc_roll_entry(roll, j).request;
      assert_false(sounds_the_same(&other.chord, &entry.request.chord) && other.melody == entry.request.melody &&
                   other.brisk == entry.request.brisk && other.key.tones == entry.request.key.tones &&
                   other.key.minors == entry.request.key.minors && other.key.fifth == entry.request.key.fifth);
    }
  }
  assert_int_equal(chords_entered, chords_heard);
}

static void
assert_same_entries(const RcRoll *one, const RcRoll *other)
{
  assert_int_equal(rc_roll_n_entries(one), rc_roll_n_entries(other));
  for (guint i = 0; i < rc_roll_n_entries(one); ++i) {
    const RcRollEntry left = rc_roll_entry(one, i);
    const RcRollEntry right = rc_roll_entry(other, i);
    assert_true(left.chords == right.chords && left.ticks == right.ticks);
    assert_true(left.request.melody == right.request.melody && left.request.brisk == right.request.brisk);
    assert_int_equal(left.request.chord.root, right.request.chord.root);
    assert_int_equal(left.request.chord.bass, right.request.chord.bass);
    assert_int_equal(left.request.chord.degrees, right.request.chord.degrees);
  }
}

// Adds the tunes to one to four rolls, which are merged in their order.
static RcRoll *
roll_in_parts(const World *w, RcPanel *panel)
{
  RcRoll *whole = rc_roll_new(panel, w->settings);
  for (guint part = 0, first = 0, n = 1 + draw(4); part < n; ++part) {
    RcRoll *roll = rc_roll_new(panel, w->settings);
    rc_roll_keep_tunes(roll);
    const guint end = part + 1 < n ? first + draw(w->n_tunes - first + 1) : w->n_tunes;
    for (; first < end; ++first) {
      rc_roll_add(roll, w->tunes[first]);
    }
    rc_roll_merge(whole, roll);
    rc_roll_free(roll);
  }
  return whole;
}

// The tunes that a roll kept, one by one.
static void
check_kept(const World *w, const Told *told, const RcRoll *roll)
{
  RcFares *fares = g_new(RcFares, w->n_boards);
  for (guint i = 0; i < w->n_tunes; ++i) {
    rc_roll_tune_fares(roll, i, fares);
    for (guint board = 0; board < w->n_boards; ++board) {
      RcCounts expected = told[i * w->n_boards + board].counts;
      expected.playable_alone = expected.playable;
      const RcCounts found = rc_roll_tune_counts(roll, i, board);
      assert_counts(&found, &expected);
      assert_int_equal(fares[board], rc_counts_fares(&expected, w->taste.accept));
    }
  }
  g_free(fares);
}

// The same tunes on other keyboards.
static void
check_again(const World *w, const RcRoll *roll)
{
  World *other = g_memdup2(w, sizeof *w);
  draw_boards(other, draw(3));
  Told *told = tell_all(other);
  RcPanel *panel = make_panel(other);
  RcRoll *again = rc_roll_again(roll, panel);
  check_roll(other, told, again);
  check_entries(other, again);
  rc_roll_free(again);
  rc_panel_free(panel);
  g_free(told);
  g_free(other);
}

static void
rolls_count_what_is_heard(void **state)
{
  (void)state;
  World *w = g_new(World, 1);
  for (guint number = 0; number < WORLDS; ++number) {
    draw_world(w, number);
    Told *told = tell_all(w);
    RcPanel *panel = make_panel(w);
    RcRoll *roll = rc_roll_new(panel, w->settings);
    rc_roll_keep_tunes(roll);
    for (guint i = 0; i < w->n_tunes; ++i) {
      rc_roll_add(roll, w->tunes[i]);
    }
    check_roll(w, told, roll);
    check_entries(w, roll);
    check_kept(w, told, roll);
    check_again(w, roll);
    RcRoll *merged = roll_in_parts(w, panel);
    check_roll(w, told, merged);
    check_kept(w, told, merged);
    check_again(w, merged);
    assert_same_entries(merged, roll);
    rc_roll_free(merged);
    rc_roll_free(roll);
    rc_panel_free(panel);
    g_free(told);
    clear_world(w);
  }
  g_free(w);
}

// A tune alone, which no roll is asked about.
static void
single_tunes_are_counted_alike(void **state)
{
  (void)state;
  World *w = g_new(World, 1);
  for (guint number = 0; number < WORLDS; ++number) {
    draw_world(w, number);
    Told *told = tell_all(w);
    RcPanel *panel = make_panel(w);
    RcCounts *counts = g_new0(RcCounts, w->n_boards + 1); // the last is nobody's
    for (guint i = 0; i < w->n_tunes; ++i) {
      rc_panel_counts(panel, &w->settings, w->tunes[i], counts);
      for (guint board = 0; board < w->n_boards; ++board) {
        RcCounts expected = told[i * w->n_boards + board].counts;
        expected.playable_alone = expected.playable;
        assert_counts(&counts[board], &expected);
      }
      assert_counts(&counts[w->n_boards], &(RcCounts){ .tunes = 0 });
    }
    g_free(counts);
    rc_panel_free(panel);
    g_free(told);
    clear_world(w);
  }
  g_free(w);
}

static void
give_melody(const World *w, RcPcSet melody)
{
  for (guint i = 0; i < w->n_tunes; ++i) {
    for (guint j = 0; j < w->tunes[i]->events->len; ++j) {
      g_array_index(w->tunes[i]->events, RcEvent, j).melody = melody;
    }
  }
}

static RcRoll *
roll_world(const World *w, RcPanel *panel)
{
  RcRoll *roll = rc_roll_new(panel, w->settings);
  for (guint i = 0; i < w->n_tunes; ++i) {
    rc_roll_add(roll, w->tunes[i]);
  }
  return roll;
}

// Not even one of all twelve tones.
static void
a_melody_that_is_not_to_help_changes_nothing(void **state)
{
  (void)state;
  World *w = g_new(World, 1);
  for (guint number = 0; number < 12; ++number) {
    draw_world(w, number);
    w->settings.no_melody = TRUE;
    RcPanel *panel = make_panel(w);
    give_melody(w, 0);
    RcRoll *without = roll_world(w, panel);
    give_melody(w, 0xFFF);
    RcRoll *with = roll_world(w, panel);
    assert_same_entries(with, without);
    for (guint board = 0; board < w->n_boards; ++board) {
      const RcCounts found = rc_roll_counts(with, board);
      const RcCounts expected = rc_roll_counts(without, board);
      assert_counts(&found, &expected);
    }
    assert_int_equal(rc_roll_timing(without).melodies, 0);
    assert_int_equal(rc_roll_timing(with).melodies, w->n_tunes);
    rc_roll_free(with);
    rc_roll_free(without);
    rc_panel_free(panel);
    clear_world(w);
  }
  g_free(w);
}

// A quarter note at 60 lasts a second, and one and a half at 90.
static void
brisk_is_what_lasts_less(void **state)
{
  (void)state;
  static const struct {
    double quarters, seconds;
    RcTicks below;
  } cases[] = { { 60, 1, RC_QUARTER },       { 120, 1, 2 * RC_QUARTER }, { 90, 1, RC_QUARTER * 3 / 2 },
                { 60, 0.5, RC_QUARTER / 2 }, { 40, 1.5, RC_QUARTER },    { 0, 1, 0 } };
  for (guint i = 0; i < G_N_ELEMENTS(cases); ++i) {
    RcTune *tune = rc_tune_new_symbol("C", RC_NAMES_ENGLISH, (RcMeter){ 4, 4 }, (RcTempo){ 0 }, 1);
    RcRollSettings settings = rc_roll_settings();
    settings.brisk = cases[i].seconds;
    settings.untimed = RC_UNTIMED_LEAVE;
    if (cases[i].below) {
      g_array_index(tune->settings, RcSetting, 0).tempo = (RcTempo){ RC_TEMPO_STATED, cases[i].quarters };
    }
    RcPlayed played = { .length = MAX(cases[i].below, 1) };
    assert_false(rc_roll_request(&settings, tune, &played).brisk);
    played.length = MAX(cases[i].below - 1, 1);
    assert_int_equal(rc_roll_request(&settings, tune, &played).brisk, cases[i].below > 0);
    rc_tune_free(tune);
  }
}

// ---------------------------------------------------------------------------------------------------------- counts

// Two native chords of 3 ticks in all, four of grade C of 50, one impossible of 700 and two texts of 9000.
static const RcCounts mixed = {
  .chords = { [RC_NATIVE] = 2, [RC_LEANER] = 4, [RC_IMPOSSIBLE] = 1, [RC_UNREAD] = 2 },
  .ticks = { [RC_NATIVE] = 3, [RC_LEANER] = 50, [RC_IMPOSSIBLE] = 700, [RC_UNREAD] = 9000 },
  .tunes = 4
};

static void
counts_add_up(void **state)
{
  (void)state;
  assert_int_equal(rc_counts_chords(&mixed), 2 + 4 + 1 + 2);
  assert_int_equal(rc_counts_ticks(&mixed), 9753);
  assert_int_equal(rc_counts_whole(&mixed), 9753);
  assert_int_equal(rc_counts_read(&mixed), 753);
  assert_int_equal(rc_counts_carried(&mixed, RC_RICHER), 3);
  assert_int_equal(rc_counts_carried(&mixed, RC_LEANER), 53);
  assert_int_equal(rc_counts_carried(&mixed, RC_BORROWED), 53);
  assert_int_equal(rc_counts_worst(&mixed), RC_UNREAD);
  assert_true(rc_counts_measured(&mixed));
}

// Then each chord is as long as another.
static void
chords_without_lengths_are_counted(void **state)
{
  (void)state;
  RcCounts counts = mixed;
  memset(counts.ticks, 0, sizeof counts.ticks);
  assert_false(rc_counts_measured(&counts));
  assert_int_equal(rc_counts_ticks(&counts), 0);
  assert_int_equal(rc_counts_whole(&counts), 9);
  assert_int_equal(rc_counts_read(&counts), 7);
  assert_int_equal(rc_counts_carried(&counts, RC_LEANER), 6);
  counts.ticks[RC_SAME] = 1; // of which one has a length after all
  assert_true(rc_counts_measured(&counts));
  assert_int_equal(rc_counts_whole(&counts), 1);
}

static void
the_worst_chord_is_found(void **state)
{
  (void)state;
  RcCounts counts = { .tunes = 0 };
  assert_int_equal(rc_counts_worst(&counts), RC_NATIVE);
  for (guint v = 0; v < RC_N_VERDICTS; ++v) {
    counts.chords[v] = 1;
    assert_int_equal(rc_counts_worst(&counts), v);
  }
}

// Two different chords are as good as many; the same one again is one.
static void
different_chords_that_are_lacking_are_told_apart(void **state)
{
  (void)state;
  static const guint same[] = { 5, 5, 3, 5, 8 };
  static const guint n[] = { 1, 1, 2, 2, 2 };
  RcLacking lacking = { 0 };
  for (guint i = 0; i < G_N_ELEMENTS(same); ++i) {
    rc_lacking_note(&lacking, same[i]);
    assert_int_equal(lacking.n, n[i]);
    assert_int_equal(lacking.first, 5);
  }
  lacking = (RcLacking){ 0 };
  rc_lacking_note(&lacking, 0); // the first symbol of a tune
  rc_lacking_note(&lacking, 0);
  assert_int_equal(lacking.n, 1);
}

// Where D is accepted: nothing; native; native and D; one E; two different E; an unread text alone, with a native
// chord, and with one E.
static void
tunes_fare_as_their_chords(void **state)
{
  (void)state;
  static const struct {
    guint native, bare, borrowed, impossible, unread;
    guint lacking;
    gboolean is_tune, is_native, is_playable, is_one_short;
    RcFares fares;
  } cases[] = {
    { 0, 0, 0, 0, 0, 0, FALSE, FALSE, FALSE, FALSE, RC_FARES_UNREAD },
    { 3, 0, 0, 0, 0, 0, TRUE, TRUE, TRUE, FALSE, RC_FARES_PLAYS },
    { 3, 1, 0, 0, 0, 0, TRUE, FALSE, TRUE, FALSE, RC_FARES_PLAYS },
    { 3, 0, 2, 0, 0, 1, TRUE, FALSE, FALSE, TRUE, RC_FARES_ONE_SHORT },
    { 3, 0, 2, 0, 0, 2, TRUE, FALSE, FALSE, FALSE, RC_FARES_NOT },
    { 0, 0, 0, 2, 0, 2, TRUE, FALSE, FALSE, FALSE, RC_FARES_NOT },
    { 0, 0, 0, 0, 1, 0, TRUE, FALSE, FALSE, FALSE, RC_FARES_UNREAD },
    { 3, 0, 0, 0, 1, 0, TRUE, FALSE, FALSE, FALSE, RC_FARES_UNREAD },
    { 3, 0, 1, 0, 1, 1, TRUE, FALSE, FALSE, FALSE, RC_FARES_NOT },
    { 3, 0, 0, 1, 1, 1, TRUE, FALSE, FALSE, FALSE, RC_FARES_NOT },
  };
  for (guint i = 0; i < G_N_ELEMENTS(cases); ++i) {
    RcCounts counts = { .chords = { [RC_NATIVE] = cases[i].native,
                                    [RC_BARE] = cases[i].bare,
                                    [RC_BORROWED] = cases[i].borrowed,
                                    [RC_IMPOSSIBLE] = cases[i].impossible,
                                    [RC_UNREAD] = cases[i].unread } };
    rc_counts_judge_tune(&counts, RC_BARE, cases[i].lacking);
    assert_int_equal(counts.tunes, cases[i].is_tune);
    assert_int_equal(counts.native, cases[i].is_native);
    assert_int_equal(counts.playable, cases[i].is_playable);
    assert_int_equal(counts.playable_alone, cases[i].is_playable);
    assert_int_equal(counts.one_short, cases[i].is_one_short);
    assert_int_equal(rc_counts_fares(&counts, RC_BARE), cases[i].fares);
  }
}

static void
nothing_may_be_freed(void **state)
{
  (void)state;
  rc_roll_free(NULL);
  rc_panel_free(NULL);
  rc_sweep_free(NULL);
  rc_catalogue_free(NULL);
}

int
main(void)
{
  const struct CMUnitTest tests[] = {
    cmocka_unit_test(rolls_count_what_is_heard),
    cmocka_unit_test(single_tunes_are_counted_alike),
    cmocka_unit_test(a_melody_that_is_not_to_help_changes_nothing),
    cmocka_unit_test(brisk_is_what_lasts_less),
    cmocka_unit_test(nothing_may_be_freed),
    cmocka_unit_test(counts_add_up),
    cmocka_unit_test(chords_without_lengths_are_counted),
    cmocka_unit_test(the_worst_chord_is_found),
    cmocka_unit_test(different_chords_that_are_lacking_are_told_apart),
    cmocka_unit_test(tunes_fare_as_their_chords),
  };
  return cmocka_run_group_tests(tests, make_pool, free_pool);
}
