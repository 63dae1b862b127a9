// Copyright 2026 the rowcall developers
// SPDX-License-Identifier: MIT

// Parts of a tune and copies of it: the bar that a chord is in, some bars alone, other keys, what outlives the reader.

#undef NDEBUG

#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>

#include <cmocka.h>

#include "rowcall/corpus.h"

#include "scratch.h"

#include <string.h>

// Bars 2, 4 and 7 begin without a chord: what sounds before goes on. (ABC: L:1/4, so that a bar is four.)
static const char text[] = "X:1\nT:Mill Race\nR:polka\nM:4/4\nL:1/4\nK:C\n"
                           "\"C\"CEGE|CEGE|\"G\"G2 \"C\"C2|C4|\"F\"F4|\"Dm\"D2 \"G7\"G2|G2 \"C\"C2|\"C\"C4|]\n";

static RcTune *
read_tune_with(const char *abc, RcCorpusOptions options)
{
  const char *const paths[] = { path, NULL };
  RcTune *tune = rc_tune_new();
  assert_true(g_file_set_contents(path, abc, -1, NULL));
  RcCorpus *corpus = rc_corpus_new(paths, options);
  assert_int_equal(rc_corpus_next(corpus, tune, NULL), RC_READ_TUNE);
  RcTune *copy = rc_tune_copy(tune);
  rc_tune_free(tune);
  rc_corpus_free(corpus);
  return copy;
}

static RcTune *
read_tune(const char *abc)
{
  return read_tune_with(abc, (RcCorpusOptions){ 0 });
}

// The chords as played, each with its quarter notes.
static void
assert_played(const RcTune *tune, const char *expected)
{
  RcPlayed played;
  GString *found = g_string_new(NULL);
  for (RcWalk walk = rc_walk_start(tune); rc_walk_next(&walk, &played);) {
    g_string_append_printf(found, "%s%s:%d", found->len ? " " : "", rc_tune_symbol(tune, played.symbol)->text,
                           (int)(played.length / RC_QUARTER));
  }
  assert_string_equal(found->str, expected);
  g_string_free(found, TRUE);
}

typedef struct {
  guint first, count; // bars, from 0
  const char *played;
} Stretch;

static const Stretch stretches[] = {
  { 0, 8, "C:8 G:2 C:6 F:4 Dm:2 G7:4 C:6" },
  { 1, 1, "C:4" },
  { 3, 2, "C:4 F:4" },
  { 6, 1, "G7:2 C:2" },
  { 4, 1, "F:4" },
  { 7, 1, "C:4" },
  { 2, 0, "" },
};

static void
some_bars_alone_sound_as_within_the_tune(void **state)
{
  (void)state;
  RcTune *tune = read_tune(text);
  for (guint i = 0; i < G_N_ELEMENTS(stretches); ++i) {
    RcTune *stretch = rc_tune_stretch(tune, stretches[i].first, stretches[i].count);
    assert_played(stretch, stretches[i].played);
    assert_string_equal(stretch->title, "Mill Race");
    assert_string_equal(stretch->file, path);
    assert_string_equal(stretch->rhythm, "polka");
    assert_int_equal(stretch->line, tune->line);
    assert_true(rc_tune_usual_tempo(stretch, (RcMeter){ 4, 4 }).quarters ==
                rc_tune_usual_tempo(tune, (RcMeter){ 4, 4 }).quarters);
    rc_tune_free(stretch);
  }
  assert_played(tune, stretches[0].played); // which is as it was
  rc_tune_free(tune);
}

static void
each_chord_is_in_its_bar(void **state)
{
  (void)state;
  RcTune *tune = read_tune(text);
  assert_int_equal(tune->bars->len, 8);
  for (guint bar = 0; bar < tune->bars->len; ++bar) {
    const RcBar *b = &g_array_index(tune->bars, RcBar, bar);
    assert_true(b->count > 0);
    for (guint event = b->first; event < b->first + b->count; ++event) {
      assert_int_equal(rc_tune_bar_of(tune, event), bar);
    }
  }
  rc_tune_free(tune);
}

static void
assert_bar_name(const RcTune *tune, guint bar, const char *expected)
{
  char *name = rc_tune_bar_name(tune, bar);
  assert_string_equal(name, expected);
  g_free(name);
}

// A pickup has no number of its own, at the start of another part neither.
static void
a_pickup_is_named_by_the_bar_it_leads_to(void **state)
{
  (void)state;
  static const char *const names[] = { "the pickup to bar 1", "bar 1", "bar 2", "the pickup to bar 3", "bar 3" };
  RcTune *tune =
    read_tune("X:1\nT:Mill Race\nM:4/4\nL:1/4\nK:C\nP:A\n\"G\"G|\"C\"C4|\"F\"F3|]\nP:B\n\"G\"G|\"C\"C3|]\n");
  assert_int_equal(tune->bars->len, G_N_ELEMENTS(names));
  for (guint i = 0; i < G_N_ELEMENTS(names); ++i) {
    assert_bar_name(tune, i, names[i]);
  }
  rc_tune_free(tune);
}

// A score may number its measures otherwise than they come.
static void
a_copy_borrows_nothing(void **state)
{
  (void)state;
  static const char *const numbers[] = { "0", "1", "12a" };
  RcTune *tune = read_tune(text);
  for (guint i = 0; i < G_N_ELEMENTS(numbers); ++i) {
    const char *number = rc_tune_text(tune, numbers[i], strlen(numbers[i]));
    g_array_append_val(tune->numbers, number);
  }
  rc_tune_remark(tune, RC_REMARK_JUMPS, 7, 3, "%s is not followed", "a sign");
  rc_tune_remark(tune, RC_REMARK_PARTS, 0, 0, "at the tune");
  RcTune *copy = rc_tune_copy(tune);
  const guint line = tune->line;
  rc_tune_free(tune);
  assert_bar_name(copy, 0, "measure 0");
  assert_bar_name(copy, 2, "measure 12a");
  assert_bar_name(copy, 3, "bar 4"); // no number is written there
  assert_int_equal(copy->remarks->len, 2);
  const RcRemark *remarks = &g_array_index(copy->remarks, RcRemark, 0);
  assert_string_equal(remarks[0].text, "a sign is not followed");
  assert_true(remarks[0].kind == RC_REMARK_JUMPS && remarks[0].line == 7 && remarks[0].column == 3);
  assert_string_equal(remarks[1].text, "at the tune");
  assert_int_equal(remarks[1].line, line);
  assert_string_equal(copy->title, "Mill Race");
  assert_string_equal(copy->file, path);
  assert_string_equal(copy->rhythm, "polka");
  assert_played(copy, stretches[0].played);
  rc_tune_free(copy);
}

// A tune that is emptied for the next one keeps nothing of the last.
static void
an_emptied_tune_is_a_new_one(void **state)
{
  (void)state;
  RcTune *tune = read_tune(text);
  rc_tune_remark(tune, RC_REMARK_JUMPS, 7, 3, "a sign is not followed");
  tune->unmeasured = TRUE;
  rc_tune_clear(tune);
  assert_played(tune, "");
  assert_string_equal(tune->title, "");
  assert_null(tune->file);
  assert_null(tune->rhythm);
  assert_null(tune->dance);
  assert_false(tune->unmeasured);
  assert_int_equal(tune->remarks->len, 0);
  assert_int_equal(tune->settings->len, 1);
  assert_int_equal(rc_tune_setting(tune, 0)->meter.beats, 4);
  assert_int_equal(rc_tune_setting(tune, 0)->meter.unit, 4);
  rc_tune_free(tune);
}

static void
one_chord_is_a_tune_of_some_bars(void **state)
{
  (void)state;
  RcTune *tune = rc_tune_new_symbol("F#m7", RC_NAMES_ENGLISH, (RcMeter){ 3, 4 }, (RcTempo){ RC_TEMPO_GIVEN, 90 }, 3);
  assert_played(tune, "F#m7:9"); // three bars of three
  assert_string_equal(tune->title, "F#m7");
  assert_true(rc_tune_setting(tune, 0)->tempo.quarters == 90);
  rc_tune_free(tune);
  tune = rc_tune_new_symbol("F#q", RC_NAMES_ENGLISH, (RcMeter){ 4, 4 }, (RcTempo){ RC_TEMPO_GIVEN, 90 }, 1);
  assert_int_equal(rc_tune_symbol(tune, 0)->kind, RC_SYMBOL_UNREAD);
  assert_int_equal(rc_tune_symbol(tune, 0)->stopped_at, 2);
  rc_tune_free(tune);
}

// What sounds in the one sounds `up` semitones higher in the other.
static void
assert_higher(const RcTune *tune, const RcTune *moved, guint up)
{
  guint sounding = 0;
  for (guint i = 0; i < tune->events->len; ++i) {
    for (guint pc = 0; pc < 12; ++pc) {
      const gboolean sounds = rc_pcs_has(g_array_index(tune->events, RcEvent, i).melody, pc);
      assert_int_equal(rc_pcs_has(g_array_index(moved->events, RcEvent, i).melody, (pc + up) % 12), sounds);
      sounding += sounds ? 1 : 0;
    }
  }
  assert_true(sounding > 0);
  for (guint i = 0; i < tune->notes->len; ++i) {
    const guint written = g_array_index(tune->notes, RcTuneNote, i).pitch;
    assert_int_equal(g_array_index(moved->notes, RcTuneNote, i).pitch, written + up);
  }
}

static void
a_moved_tune_sounds_higher_in_another_key(void **state)
{
  (void)state;
  RcTune *tune = read_tune_with(text, (RcCorpusOptions){ .melody_notes = TRUE });
  RcTune *moved = rc_tune_moved(tune, 2);
  assert_played(moved, "D:8 A:2 D:6 G:4 Em:2 A7:4 D:6");
  assert_true(tune->notes->len > 0);
  assert_higher(tune, moved, 2);
  char *key = rc_key_name(rc_tune_setting(moved, 0)->key, RC_SIGNS_ASCII);
  assert_string_equal(key, "D major");
  assert_int_equal(rc_tune_setting(moved, 0)->tones, rc_key_tones(rc_tune_setting(moved, 0)->key));
  assert_played(tune, stretches[0].played); // which is as it was
  g_free(key);
  rc_tune_free(moved);
  rc_tune_free(tune);
}

// Where no key says how: the fewest signs.
static void
a_tune_without_a_key_is_moved_the_shortest_way(void **state)
{
  (void)state;
  static const struct {
    int semitones;
    const char *played;
  } moves[] = { { 1, "Db:4 Ab:4" }, { -1, "B:4 F#:4" }, { 6, "F#:4 C#:4" }, { 7, "G:4 D:4" }, { -12, "C:4 G:4" } };
  RcTune *tune = read_tune("X:1\nT:Mill Race\nM:4/4\nL:1/4\nK:none\n\"C\"z4|\"G\"z4|]\n");
  for (guint i = 0; i < G_N_ELEMENTS(moves); ++i) {
    g_array_index(tune->settings, RcSetting, 0).key = (RcKey){ RC_MODE_NONE, 0 }; // readers may assume one
    RcTune *moved = rc_tune_moved(tune, moves[i].semitones);
    assert_played(moved, moves[i].played);
    rc_tune_free(moved);
  }
  rc_tune_free(tune);
}

static int
make_file(void **state)
{
  (void)state;
  return make_scratch("mill.abc");
}

int
main(void)
{
  const struct CMUnitTest tests[] = {
    cmocka_unit_test(some_bars_alone_sound_as_within_the_tune),
    cmocka_unit_test(each_chord_is_in_its_bar),
    cmocka_unit_test(a_pickup_is_named_by_the_bar_it_leads_to),
    cmocka_unit_test(a_copy_borrows_nothing),
    cmocka_unit_test(an_emptied_tune_is_a_new_one),
    cmocka_unit_test(one_chord_is_a_tune_of_some_bars),
    cmocka_unit_test(a_moved_tune_sounds_higher_in_another_key),
    cmocka_unit_test(a_tune_without_a_key_is_moved_the_shortest_way),
  };
  return cmocka_run_group_tests(tests, make_file, remove_scratch);
}
