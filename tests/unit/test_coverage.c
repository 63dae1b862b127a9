// Copyright 2026 the rowcall developers
// SPDX-License-Identifier: MIT

// What rolls and routes take from within coverage: the chords that explain what the next size buys, held against every
// choice of three; tables, held against plain ones; numbers of requests; the best ways, held against all.

#undef NDEBUG

#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>

#include <cmocka.h>

#include "coverage/catalogue.h"
#include "coverage/gains.h"
#include "coverage/panel.h"
#include "coverage/request_code.h"
#include "coverage/set_counts.h"
#include "coverage/sounds.h"

#include <string.h>

enum { N_CHORDS = 12, N_KEYBOARDS = 3, CASES = 2000 / THINNED, SEED = 20261126 };

static guint64 random_state = SEED;

// A whole number from 0 to n - 1: a linear congruential generator with the constants of Knuth's MMIX.
static guint
draw(guint n)
{
  random_state = random_state * G_GUINT64_CONSTANT(6364136223846793005) + G_GUINT64_CONSTANT(1442695040888963407);
  return (guint)((random_state >> 33U) % n);
}

static const guint keyboards[N_KEYBOARDS] = { 0, 1, 63 };

// Tunes by the set of chords that a keyboard lacks in them, one to three of twelve.
typedef struct {
  guint64 tunes[N_KEYBOARDS][1 << N_CHORDS];
} Lacking;

// Major chords, each spelled in one of two ways: B or C flat.
static RcChord
chord_at(guint index)
{
  const RcNote root = rc_note_near(draw(2) ? 6 : -6, index);
  return (RcChord){ root, root, RC_CHORD_MAJOR };
}

// Of few chords, so that many tunes lack the same.
static void
add_tunes(RcGains *gains, Lacking *lacking, guint n_chords)
{
  const guint keyboard = draw(N_KEYBOARDS);
  RcGainKind kind = { .keyboard = keyboards[keyboard], .tunes = 1 + draw(4) };
  guint set = 0;
  for (guint n = 1 + draw(RC_GAIN_CHORDS); n; --n) {
    const guint index = draw(n_chords);
    const RcChord chord = chord_at(index);
    if (!(set & 1U << index)) {
      kind.chords[kind.n++] = rc_gains_chord(gains, &chord);
    }
    set |= 1U << index;
  }
  rc_gains_add(gains, kind);
  lacking->tunes[keyboard][set] += kind.tunes;
}

static guint
count_sets(const Lacking *lacking)
{
  guint n = 0;
  for (guint keyboard = 0; keyboard < N_KEYBOARDS; ++keyboard) {
    for (guint set = 0; set < 1U << N_CHORDS; ++set) {
      n += lacking->tunes[keyboard][set] ? 1 : 0;
    }
  }
  return n;
}

static guint64
explained_by(const guint64 *tunes, guint chords)
{
  guint64 sum = 0;
  for (guint set = 0; set < 1U << N_CHORDS; ++set) {
    sum += set & ~chords ? 0 : tunes[set];
  }
  return sum;
}

// The most tunes that `n` chords of the first `n_chords` explain.
static guint64
explained_at_best(const guint64 *tunes, guint n_chords, guint n)
{
  guint64 best = 0;
  for (guint chords = 0; chords < 1U << n_chords; ++chords) {
    const guint64 sum = rc_count_bits(chords) == n ? explained_by(tunes, chords) : 0;
    best = MAX(best, sum);
  }
  return best;
}

static guint64
tunes_lacking(const guint64 *tunes, guint chord)
{
  guint64 sum = 0;
  for (guint set = 0; set < 1U << N_CHORDS; ++set) {
    sum += set >> chord & 1U ? tunes[set] : 0;
  }
  return sum;
}

// Whether more tunes lack a chord than another, or as many and it was met before.
static gboolean
comes_first(RcGains *gains, const guint64 *tunes, const RcChord *chord, const RcChord *other)
{
  const guint64 one = tunes_lacking(tunes, rc_note_pc(chord->root));
  const guint64 two = tunes_lacking(tunes, rc_note_pc(other->root));
  return one > two || (one == two && rc_gains_chord(gains, chord) < rc_gains_chord(gains, other));
}

// `more` tunes lack more than three chords.
static void
check_explained(RcGains *gains, const Lacking *lacking, guint keyboard, guint n_chords, guint64 more)
{
  const guint64 *tunes = lacking->tunes[keyboard];
  RcGain gain = { .tunes = explained_by(tunes, ~0U) + more };
  rc_gains_explain(gains, keyboards[keyboard], &gain);
  guint n = 0; // chords that would do
  guint64 best = 0;
  for (guint tried = 1; tried <= 3 && best * 2 < gain.tunes; ++tried) {
    const guint64 explained = explained_at_best(tunes, n_chords, tried);
    n = explained > best ? tried : n;
    best = MAX(best, explained);
  }
  guint chords = 0;
  for (guint i = 0; i < gain.n_chords; ++i) {
    const guint index = rc_note_pc(gain.chords[i].root);
    assert_true(!i || comes_first(gains, tunes, &gain.chords[i - 1], &gain.chords[i]));
    chords |= 1U << index;
  }
  assert_int_equal(gain.n_chords, n);
  assert_int_equal(rc_count_bits(chords), n);
  assert_int_equal(gain.explained, best);
  assert_int_equal(explained_by(tunes, chords), best);
}

static void
fewest_chords_explain_half_of_the_tunes(void **state)
{
  (void)state;
  Lacking *lacking = g_new(Lacking, 1);
  for (guint i = 0; i < CASES / 40; ++i) {
    const guint n_chords = 1 + draw(8);
    RcGains gains[2]; // the second of another input, which meets the chords in another order
    memset(lacking, 0, sizeof *lacking);
    rc_gains_init(&gains[0]);
    rc_gains_init(&gains[1]);
    for (guint n = draw(30); n; --n) {
      add_tunes(&gains[draw(2)], lacking, n_chords);
    }
    rc_gains_merge(&gains[0], &gains[1]);
    assert_int_equal(gains[0].kinds->len, count_sets(lacking)); // in whatever order chords were met
    for (guint keyboard = 0; keyboard < N_KEYBOARDS; ++keyboard) {
      check_explained(&gains[0], lacking, keyboard, n_chords, draw(3) ? 0 : draw(40));
    }
    rc_gains_clear(&gains[0]);
    rc_gains_clear(&gains[1]);
  }
  g_free(lacking);
}

// Adds a tune that lacks nothing but the chord of this kind.
static void
add_single(RcGains *gains, RcDegrees degrees, guint times)
{
  for (; times; --times) {
    const RcChord chord = { 0, 0, degrees };
    rc_gains_add(gains, (RcGainKind){ .n = 1, .chords = { rc_gains_chord(gains, &chord) }, .tunes = 1 });
  }
}

// Thirteen chords that two tunes lack each, and twenty that one does. The first three explain six of 46, and three
// rarer ones would explain fewer.
static void
rare_chords_explain_little(void **state)
{
  (void)state;
  RcGains gains;
  RcGain gain = { .tunes = 13 * 2 + 20 };
  rc_gains_init(&gains);
  for (RcDegrees degrees = 1; degrees <= 20; ++degrees) { // any degrees make a chord of their own
    add_single(&gains, degrees, 1);
  }
  for (RcDegrees degrees = 101; degrees <= 113; ++degrees) {
    add_single(&gains, degrees, 2);
  }
  rc_gains_explain(&gains, 0, &gain);
  assert_int_equal(gain.explained, 6);
  assert_int_equal(gain.n_chords, 3);
  for (guint i = 0; i < gain.n_chords; ++i) {
    assert_int_equal(gain.chords[i].degrees, 101 + i);
  }
  rc_gains_clear(&gains);
}

// C sharp and D flat are one chord, spelled as it came first; with another bass or other tones it is another.
static void
chords_that_sound_the_same_are_one(void **state)
{
  (void)state;
  enum { D_FLAT = -5, A_FLAT = -4, C_SHARP = 7 };
  const RcChord flat = { D_FLAT, D_FLAT, RC_CHORD_MAJOR };
  const RcChord sharp = { C_SHARP, C_SHARP, RC_CHORD_MAJOR };
  const RcChord minor = { D_FLAT, D_FLAT, RC_CHORD_MINOR };
  const RcChord over_fifth = { D_FLAT, A_FLAT, RC_CHORD_MAJOR };
  const RcChord fourth = { A_FLAT, A_FLAT, RC_CHORD_MAJOR };
  RcGains gains;
  rc_gains_init(&gains);
  assert_int_equal(rc_gains_chord(&gains, &flat), 0);
  assert_int_equal(rc_gains_chord(&gains, &sharp), 0);
  assert_int_equal(rc_gains_chord(&gains, &minor), 1);
  assert_int_equal(rc_gains_chord(&gains, &over_fifth), 2);
  assert_int_equal(rc_gains_chord(&gains, &fourth), 3);
  rc_gains_add(&gains, (RcGainKind){ .n = 1, .chords = { rc_gains_chord(&gains, &sharp) }, .tunes = 2 });
  RcGain gain = { .tunes = 2 };
  rc_gains_explain(&gains, 0, &gain);
  assert_int_equal(gain.n_chords, 1);
  assert_int_equal(gain.chords[0].root, D_FLAT);
  rc_gains_clear(&gains);
}

// Of as many tunes as the set is large.
static void
sets_are_counted_keyboard_by_keyboard(void **state)
{
  (void)state;
  enum { WORDS = 3, KEYBOARDS = WORDS * 64 };
  guint64 plain[KEYBOARDS] = { 0 };
  RcSetCounts counts[2];
  rc_set_counts_init(&counts[0], WORDS);
  rc_set_counts_init(&counts[1], WORDS);
  for (guint i = 0; i < 300; ++i) {
    guint64 set[WORDS] = { 0 };
    for (guint n = draw(KEYBOARDS); n; --n) {
      const guint keyboard = draw(KEYBOARDS);
      plain[keyboard] += set[keyboard / 64] >> keyboard % 64 & 1U ? 0 : 1;
      set[keyboard / 64] |= G_GUINT64_CONSTANT(1) << keyboard % 64;
    }
    rc_set_counts_add(&counts[draw(2)], set);
  }
  rc_set_counts_merge(&counts[0], &counts[1]);
  for (guint i = 0; i < KEYBOARDS; ++i) {
    assert_int_equal(rc_set_counts_get(&counts[0], i), plain[i]);
  }
  rc_set_counts_clear(&counts[0]);
  rc_set_counts_clear(&counts[1]);
}

// Codes as they come, near each other or far apart, 0 and the largest among them.
static guint64
draw_code(void)
{
  const guint64 code = draw(3) ? draw(3000) : (guint64)draw(1U << 31U) << 33U | draw(4);
  return draw(2) ? code : ~code;
}

static void
numbers_are_found_as_they_were_added(void **state)
{
  (void)state;
  RcCodeMap map;
  GHashTable *plain = g_hash_table_new_full(g_int64_hash, g_int64_equal, g_free, NULL);
  rc_code_map_init(&map);
  for (guint i = 0; i < 4000; ++i) {
    const guint64 code = draw_code();
    gpointer expected = NULL;
    guint value = 0;
    if (g_hash_table_lookup_extended(plain, &code, NULL, &expected)) {
      assert_true(rc_code_map_find(&map, code, &value));
      assert_int_equal(value, GPOINTER_TO_UINT(expected));
    } else {
      assert_false(rc_code_map_find(&map, code, &value));
      rc_code_map_add(&map, code, i);
      g_hash_table_insert(plain, g_memdup2(&code, sizeof code), GUINT_TO_POINTER(i));
    }
  }
  assert_true(g_hash_table_size(plain) > 2000);
  g_hash_table_unref(plain);
  rc_code_map_clear(&map);
}

// -------------------------------------------------------------------------------------------------- request codes

static const char *const symbols[] = { "C",    "Cm",    "C7",   "C/G",   "Eb/G",  "Am/G",  "G",     "Gb/G",   "F#/G",
                                       "Cdim", "Cdim7", "Cm7",  "Cm7b5", "C9",    "C11",   "C13",   "C6",     "Cm6",
                                       "C5",   "C5/G",  "Caug", "C7#9",  "Csus4", "Csus2", "Cmaj7", "D7sus4", "C7b5" };

static RcRequest
draw_request(void)
{
  RcRequest request = { .brisk = draw(2) == 1 };
  const char *text = symbols[draw(G_N_ELEMENTS(symbols))];
  const RcKey key = { draw(5) ? RC_MODE_MAJOR + (RcMode)draw(7) : RC_MODE_NONE, (RcNote)((int)draw(12) - 5) };
  assert_int_equal(rc_chord_parse(text, strlen(text), RC_NAMES_ENGLISH, &request.chord, NULL), RC_SYMBOL_CHORD);
  request.key = rc_key_scale(key, rc_key_tones(key));
  request.melody = draw(2) ? 0 : (RcPcSet)(1U << draw(12) | 2U << draw(11));
  return request;
}

static guint64
number_of(const RcRequest *request)
{
  return rc_request_code_at(rc_request_code(request), request->melody, request->brisk);
}

static RcSounding
draw_sounding(void)
{
  const RcPcSet bass = (RcPcSet)(1U << draw(12));
  const guint triad = 1U | 1U << (3 + draw(2)) | 1U << (draw(3) ? 7 : 10);
  const RcPcSet chord = rc_pcs_transpose((RcPcSet)triad, (int)draw(12));
  return draw(8) ? (RcSounding){ bass | chord, bass, 1, 1 } : (RcSounding){ bass, bass, 1, 0 };
}

static gboolean
is_graded_alike(const RcRequest *a, const RcRequest *b, const RcSounding *sounding)
{
  const RcGrading one = rc_grade(a, sounding);
  const RcGrading other = rc_grade(b, sounding);
  return one.verdict == other.verdict && one.kept == other.kept && one.missing == other.missing &&
         one.foreign == other.foreign && one.helped == other.helped;
}

// A roll answers one request of a number for all.
static void
requests_of_one_number_are_graded_alike(void **state)
{
  (void)state;
  GHashTable *firsts = g_hash_table_new_full(g_int64_hash, g_int64_equal, g_free, g_free);
  guint twice = 0;
  for (guint i = 0; i < 10 * CASES; ++i) {
    const RcRequest request = draw_request();
    const guint64 number = number_of(&request);
    const RcRequest *first = g_hash_table_lookup(firsts, &number);
    if (!first) {
      g_hash_table_insert(firsts, g_memdup2(&number, sizeof number), g_memdup2(&request, sizeof request));
      continue;
    }
    ++twice;
    for (guint n = 0; n < 12; ++n) {
      const RcSounding sounding = draw_sounding();
      assert_true(is_graded_alike(first, &request, &sounding));
    }
  }
  assert_true(twice > CASES / 2);
  g_hash_table_unref(firsts);
}

// So that threads and rolls may keep what they were told.
static void
a_panel_answers_each_request_once(void **state)
{
  (void)state;
  RcLayout *layout = rc_layout_find("24", NULL);
  RcCatalogue *catalogue = rc_catalogue_new(layout, (RcHand){ RC_GRIP_REACH, RC_GRIP_PRESS });
  RcPanel *panel = rc_panel_new(&catalogue, 1, rc_taste());
  for (guint i = 0; i < CASES / 10; ++i) {
    const RcRequest request = draw_request();
    const RcAsked *asked = rc_panel_ask(panel, rc_panel_code(panel, &request), &request);
    assert_int_equal(asked->verdicts[0], rc_catalogue_best(catalogue, rc_taste(), &request).verdict);
    assert_ptr_equal(rc_panel_ask(panel, rc_panel_code(panel, &request), &request), asked);
  }
  rc_panel_free(panel);
  rc_catalogue_free(catalogue);
  rc_layout_free(layout);
}

typedef struct {
  const RcLayout *layout;
  RcSounds *sounds;
  GHashTable *known; // of words for what is heard to 1 + index of its sound
} Heard;

// What is heard of a grip, and of a bass with one chord button also what kind of chord, on which root.
static void
add_heard(const RcGrip *grip, gpointer data)
{
  const Heard *heard = data;
  const RcSounding s = rc_grip_sounding(heard->layout, grip);
  const RcSound *chord =
    s.n_basses == 1 && s.n_chords == 1 ? &rc_layout_button(heard->layout, grip->chords[0])->sound : NULL;
  char *words = g_strdup_printf("%x over %x by %u and %u, %d on %u", (guint)s.tones, (guint)s.basses, s.n_basses,
                                s.n_chords, chord ? (int)chord->kind : 0, chord ? rc_note_pc(chord->root) : 0);
  gconstpointer known = g_hash_table_lookup(heard->known, words);
  const guint expected = known ? GPOINTER_TO_UINT(known) - 1 : g_hash_table_size(heard->known);
  assert_int_equal(rc_sounds_add(heard->sounds, 0, grip), expected);
  g_hash_table_insert(heard->known, words, GUINT_TO_POINTER(1 + expected));
}

static void
grips_that_sound_alike_are_one_sound(void **state)
{
  (void)state;
  static const char *const names[] = { "8", "24", "48-8x6", "60-rootless-7", "push-pull-8-gc" };
  for (guint i = 0; i < G_N_ELEMENTS(names); ++i) {
    RcLayout *layout = rc_layout_find(names[i], NULL);
    const RcLayout *const layouts[] = { layout };
    Heard heard = { layout, rc_sounds_new(layouts, 1), g_hash_table_new_full(g_str_hash, g_str_equal, g_free, NULL) };
    rc_layout_each_grip(layout, (RcHand){ 3, RC_GRIP_PRESS }, add_heard, &heard);
    rc_sounds_close(heard.sounds);
    rc_sounds_free(heard.sounds);
    g_hash_table_unref(heard.known);
    rc_layout_free(layout);
  }
}

static void
add_way(const RcAnswer *way, gpointer data)
{
  g_array_append_val((GArray *)data, *way);
}

// Those of the lowest rank among all ways, in the same order.
static void
check_best_ways(const GArray *all, const GArray *best)
{
  guint32 lowest = G_MAXUINT32;
  for (guint i = 0; i < all->len; ++i) {
    const guint32 rank = g_array_index(all, RcAnswer, i).rank;
    lowest = MIN(lowest, rank);
  }
  guint n = 0;
  for (guint i = 0; i < all->len; ++i) {
    const RcAnswer *way = &g_array_index(all, RcAnswer, i);
    if (way->rank == lowest) {
      assert_true(n < best->len);
      assert_true(rc_grip_equal(&g_array_index(best, RcAnswer, n).grip, &way->grip));
      assert_int_equal(g_array_index(best, RcAnswer, n).rank, lowest);
      ++n;
    }
  }
  assert_int_equal(best->len, n);
}

static void
ways_of_the_best_rank_are_told_alone(void **state)
{
  (void)state;
  static const char *const names[] = { "8", "24", "48-8x6", "72", "push-pull-8-gc" };
  GArray *all = g_array_new(FALSE, FALSE, sizeof(RcAnswer));
  GArray *best = g_array_new(FALSE, FALSE, sizeof(RcAnswer));
  for (guint i = 0; i < G_N_ELEMENTS(names); ++i) {
    RcLayout *layout = rc_layout_find(names[i], NULL);
    RcCatalogue *catalogue = rc_catalogue_new(layout, (RcHand){ RC_GRIP_REACH, RC_GRIP_PRESS });
    for (guint n = 0; n < CASES / 10; ++n) {
      const RcRequest request = draw_request();
      const RcTaste taste = { draw(2) ? RC_PREFER_PLAIN : RC_PREFER_SOUND, RC_SAME + (RcVerdict)draw(5) };
      g_array_set_size(all, 0);
      g_array_set_size(best, 0);
      rc_catalogue_each(catalogue, taste, &request, add_way, all);
      rc_catalogue_each_best(catalogue, taste, &request, add_way, best);
      check_best_ways(all, best);
    }
    rc_catalogue_free(catalogue);
    rc_layout_free(layout);
  }
  g_array_unref(all);
  g_array_unref(best);
}

// Those tones of a melody are heeded by which some grip would be graded otherwise.
static void
only_tones_that_matter_are_heeded(void **state)
{
  (void)state;
  for (guint i = 0; i < CASES / 20; ++i) {
    RcRequest request = draw_request();
    request.melody = 0;
    RcPcSet matters = 0;
    for (guint n = 0; n < 100; ++n) {
      const RcSounding sounding = draw_sounding();
      RcRequest helped = request;
      const guint pc = draw(12);
      helped.melody = (RcPcSet)(1U << pc);
      matters |= is_graded_alike(&request, &helped, &sounding) ? 0 : helped.melody;
    }
    assert_int_equal(matters & ~rc_request_code(&request).melody, 0);
  }
}

// What is looked up is what is worked out, also where many chords in many keys were asked for.
static void
known_codes_are_those_worked_out(void **state)
{
  (void)state;
  RcKnownCodes known;
  rc_known_codes_init(&known);
  for (guint i = 0; i < CASES; ++i) {
    const RcRequest request = draw_request();
    const RcRequestCode found = rc_known_code(&known, &request);
    const RcRequestCode expected = rc_request_code(&request);
    assert_true(found.base == expected.base && found.melody == expected.melody);
    const guint n = known.codes->len;
    rc_known_code(&known, &request);
    assert_int_equal(known.codes->len, n); // each once
  }
  rc_known_codes_clear(&known);
}

// The same chord in two keys is one request where no tone that players add to it is in only one of them: to A minor
// seventh a B and a D, which C and G both have, and F has not.
static void
keys_that_agree_make_one_request(void **state)
{
  (void)state;
  static const struct {
    const char *symbol;
    RcMode mode[2];
    int tonic[2];
    gboolean one;
  } cases[] = {
    { "Am7", { RC_MODE_MAJOR, RC_MODE_MAJOR }, { 0, 1 }, TRUE },   // C, G
    { "Am7", { RC_MODE_MAJOR, RC_MODE_MAJOR }, { 0, -1 }, FALSE }, // C, F
    { "Am7", { RC_MODE_MAJOR, RC_MODE_NONE }, { 0, 0 }, FALSE },
    { "C", { RC_MODE_MAJOR, RC_MODE_MAJOR }, { 0, 1 }, TRUE },   // neither makes it a dominant
    { "C", { RC_MODE_MAJOR, RC_MODE_MAJOR }, { 0, -1 }, FALSE }, // the fifth degree of F
    { "A", { RC_MODE_MAJOR, RC_MODE_MINOR }, { 0, 3 }, FALSE },  // C and A minor: the raised sixth and seventh
  };
  for (guint i = 0; i < G_N_ELEMENTS(cases); ++i) {
    guint64 numbers[2];
    for (guint j = 0; j < 2; ++j) {
      const RcKey key = { cases[i].mode[j], (RcNote)cases[i].tonic[j] };
      RcRequest request = { .brisk = FALSE };
      rc_chord_parse(cases[i].symbol, strlen(cases[i].symbol), RC_NAMES_ENGLISH, &request.chord, NULL);
      request.key = rc_key_scale(key, rc_key_tones(key));
      numbers[j] = number_of(&request);
    }
    assert_int_equal(numbers[0] == numbers[1], cases[i].one);
  }
}

int
main(void)
{
  const struct CMUnitTest tests[] = {
    cmocka_unit_test(fewest_chords_explain_half_of_the_tunes),
    cmocka_unit_test(rare_chords_explain_little),
    cmocka_unit_test(chords_that_sound_the_same_are_one),
    cmocka_unit_test(sets_are_counted_keyboard_by_keyboard),
    cmocka_unit_test(numbers_are_found_as_they_were_added),
    cmocka_unit_test(requests_of_one_number_are_graded_alike),
    cmocka_unit_test(only_tones_that_matter_are_heeded),
    cmocka_unit_test(a_panel_answers_each_request_once),
    cmocka_unit_test(grips_that_sound_alike_are_one_sound),
    cmocka_unit_test(ways_of_the_best_rank_are_told_alone),
    cmocka_unit_test(known_codes_are_those_worked_out),
    cmocka_unit_test(keys_that_agree_make_one_request),
  };
  return cmocka_run_group_tests(tests, NULL, NULL);
}
