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

// Of a chord that goes on over a bar line, all that is sung to it.
static void
a_chord_has_the_melody_of_all_its_bars(void **state)
{
  (void)state;
  RcPlayed played;
  RcTune *tune = read_tune("X:1\nT:Mill Race\nM:4/4\nL:1/4\nK:C\n\"C\"C4|E4|\"G\"D4|]\n");
  RcWalk walk = rc_walk_start(tune);
  assert_true(rc_walk_next(&walk, &played));
  assert_int_equal(played.melody, 1U << 0 | 1U << 4);
  assert_true(rc_walk_next(&walk, &played));
  assert_int_equal(played.melody, 1U << 2);
  rc_tune_free(tune);
}

static void
assert_bar_name(const RcTune *tune, guint bar, const char *expected)
{
  char *name = rc_tune_bar_name(tune, bar);
  assert_string_equal(name, expected);
  g_free(name);
}

static void
assert_bar_names(const RcTune *tune, const char *const *names)
{
  for (guint i = 0; i < tune->bars->len; ++i) {
    assert_bar_name(tune, i, names[i]);
  }
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
  assert_bar_names(tune, names);
  rc_tune_free(tune);
}

// A short bar within a tune is one like others. Readers name a part of every tune, which another maker need not.
static void
only_the_first_bar_of_a_tune_without_parts_is_a_pickup(void **state)
{
  (void)state;
  static const struct {
    const char *abc;
    const char *names[3];
  } tunes[] = {
    { "X:1\nT:Mill Race\nM:4/4\nL:1/4\nK:C\n\"G\"G|\"C\"C4|\"F\"F3|]\n", { "the pickup to bar 1", "bar 1", "bar 2" } },
    { "X:1\nT:Mill Race\nM:4/4\nL:1/4\nK:C\n\"C\"C4|\"G\"G2|\"F\"F4|]\n", { "bar 1", "bar 2", "bar 3" } },
  };
  for (guint i = 0; i < G_N_ELEMENTS(tunes); ++i) {
    RcTune *tune = read_tune(tunes[i].abc);
    assert_int_equal(tune->bars->len, 3);
    assert_bar_names(tune, tunes[i].names);
    g_array_set_size(tune->parts, 0);
    assert_bar_names(tune, tunes[i].names);
    rc_tune_free(tune);
  }
}

// Chords over words have no lengths, so none of their lines is short.
static void
lines_of_words_are_all_numbered(void **state)
{
  (void)state;
  RcTune *tune = read_tune("X:1\nT:Mill Race\nM:4/4\nL:1/4\nK:C\nP:A\n\"C\"C4|\"G\"G4|]\nP:B\n\"F\"F4|]\n");
  tune->unmeasured = TRUE;
  for (guint i = 0; i < tune->events->len; ++i) {
    g_array_index(tune->events, RcEvent, i).length = 0;
  }
  assert_bar_name(tune, 0, "line 1");
  assert_bar_name(tune, 1, "line 2");
  assert_bar_name(tune, 2, "line 3");
  rc_tune_free(tune);
}

// A song in all that a reader may know of it: the words of its lines, one of which begins a part, and measures numbered
// otherwise than they come.
static RcTune *
read_song(void)
{
  static const char *const words[] = { "Down by the weir", "where the kettle sings" };
  static const char *const numbers[] = { "0", "1" };
  RcTune *tune = read_tune_with("%abc\n\nX:1\nT:The Weir Reel\nG:evening\nM:4/4\nL:1/4\nP:AA\nK:G\n"
                                "P:A\n\"G\"G4|\"D7\"D4|]\n",
                                (RcCorpusOptions){ .melody_notes = TRUE });
  for (guint i = 0; i < G_N_ELEMENTS(words); ++i) {
    const char *label = i ? NULL : rc_tune_text(tune, "Verse", 5);
    const RcLine line = { rc_tune_text(tune, words[i], strlen(words[i])), label, i, TRUE };
    const char *number = rc_tune_text(tune, numbers[i], 1);
    g_array_append_val(tune->lines, line);
    g_array_append_val(tune->numbers, number);
  }
  rc_tune_remark(tune, RC_REMARK_JUMPS, 7, 3, "a sign is not followed");
  return tune;
}

static void
assert_facts_of_song(const RcTune *tune)
{
  assert_string_equal(tune->title, "The Weir Reel");
  assert_string_equal(tune->group, "evening");
  assert_null(tune->rhythm);
  assert_int_equal(tune->line, 3);
  assert_int_equal(rc_tune_setting(tune, 0)->key.tonic, 1);                              // G is one fifth above C
  assert_int_equal(rc_tune_usual_tempo(tune, (RcMeter){ 4, 4 }).source, RC_TEMPO_TITLE); // it is called a reel
  assert_string_equal(tune->dance, "reel");
  assert_bar_name(tune, 1, "measure 1");
  assert_int_equal(tune->remarks->len, 1);
  assert_int_equal(tune->notes->len, 2);
  assert_int_equal(tune->parts->len, 1);
  assert_string_equal(g_array_index(tune->parts, RcPart, 0).label, "A");
  assert_int_equal(tune->lines->len, 2);
  const RcLine *lines = &g_array_index(tune->lines, RcLine, 0);
  assert_string_equal(lines[0].text, "Down by the weir");
  assert_string_equal(lines[0].label, "Verse");
  assert_string_equal(lines[1].text, "where the kettle sings");
  assert_null(lines[1].label);
  assert_true(lines[1].bar == 1 && lines[1].sung);
}

static void
a_copy_keeps_all_that_is_known(void **state)
{
  (void)state;
  RcTune *song = read_song();
  RcTune *copy = rc_tune_copy(song);
  rc_tune_free(song);
  assert_facts_of_song(copy);
  assert_false(copy->unmeasured);
  assert_played(copy, "G:4 D7:4 G:4 D7:4");
  copy->unmeasured = TRUE;
  RcTune *again = rc_tune_copy(copy);
  assert_true(again->unmeasured);
  rc_tune_free(again);
  rc_tune_free(copy);
}

static void
some_bars_alone_keep_all_that_is_known(void **state)
{
  (void)state;
  RcTune *song = read_song();
  song->unmeasured = TRUE;
  RcTune *stretch = rc_tune_stretch(song, 1, 1);
  assert_facts_of_song(stretch);
  assert_true(stretch->unmeasured);
  assert_played(stretch, "D7:4");
  rc_tune_free(stretch);
  rc_tune_free(song);
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
  RcTune *tune = read_song();
  const GArray *const all[] = { tune->symbols, tune->events, tune->bars,    tune->parts,  tune->notes,
                                tune->lines,   tune->played, tune->numbers, tune->remarks };
  tune->rhythm = "polka";
  tune->unmeasured = TRUE;
  const RcSetting later = *rc_tune_setting(tune, 0);
  g_array_append_val(tune->settings, later);
  rc_tune_clear(tune);
  for (guint i = 0; i < G_N_ELEMENTS(all); ++i) {
    assert_int_equal(all[i]->len, 0);
  }
  assert_played(tune, "");
  assert_string_equal(tune->title, "");
  assert_null(tune->file);
  assert_null(tune->rhythm);
  assert_null(tune->group);
  assert_null(tune->dance);
  assert_int_equal(tune->line, 0);
  assert_false(tune->unmeasured);
  assert_int_equal(tune->settings->len, 1);
  assert_int_equal(rc_tune_setting(tune, 0)->key.mode, RC_MODE_NONE);
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

// A singer's other key, its chords spelled in it: no player reads A sharp in E flat.
static void
a_moved_tune_is_spelled_in_its_new_key(void **state)
{
  (void)state;
  static const struct {
    const char *key, *chords;
    int semitones;
    const char *moved_key, *moved;
  } moves[] = {
    { "G", "\"G\"z4|\"C/E\"z4|\"D7\"z4", 2, "A major", "A:4 D/F#:4 E7:4" },
    { "G", "\"G\"z4|\"C/E\"z4|\"D7\"z4", -4, "Eb major", "Eb:4 Ab/C:4 Bb7:4" },
    { "Bb", "\"Bb\"z4|\"Eb\"z4|\"F7\"z4", -1, "A major", "A:4 D:4 E7:4" },
    { "D", "\"D\"z4|\"Bm\"z4|\"A7\"z4", -1, "Db major", "Db:4 Bbm:4 Ab7:4" },
    { "Am", "\"Am\"z4|\"Dm\"z4|\"E7\"z4", 3, "C minor", "Cm:4 Fm:4 G7:4" },
    { "Am", "\"Am\"z4|\"Dm\"z4|\"E7\"z4", 14, "B minor", "Bm:4 Em:4 F#7:4" },
    { "EDor", "\"Em\"z4|\"D\"z4|\"A/C#\"z4", 3, "G dorian", "Gm:4 F:4 C/E:4" },
    { "G", "\"G\"z4|\"N.C.\"z4|\"Fq\"z4", 2, "A major", "A:4 N.C.:4 Fq:4" }, // what is no chord stays
  };
  for (guint i = 0; i < G_N_ELEMENTS(moves); ++i) {
    char *abc = g_strdup_printf("X:1\nT:Mill Race\nM:4/4\nL:1/4\nK:%s\n%s|]\n", moves[i].key, moves[i].chords);
    RcTune *tune = read_tune(abc);
    RcTune *moved = rc_tune_moved(tune, moves[i].semitones);
    char *key = rc_key_name(rc_tune_setting(moved, 0)->key, RC_SIGNS_ASCII);
    assert_string_equal(key, moves[i].moved_key);
    assert_played(moved, moves[i].moved);
    g_free(key);
    rc_tune_free(moved);
    rc_tune_free(tune);
    g_free(abc);
  }
}

static void
a_moved_tune_changes_key_where_it_did(void **state)
{
  (void)state;
  RcTune *tune = read_tune("X:1\nT:Mill Race\nM:4/4\nL:1/4\nK:G\n\"G\"z4|[K:D]\"D\"z4|[K:Em]\"Em\"z4|]\n");
  RcTune *moved = rc_tune_moved(tune, -2);
  static const char *const keys[] = { "F major", "C major", "D minor" };
  assert_int_equal(moved->settings->len, G_N_ELEMENTS(keys));
  for (guint i = 0; i < G_N_ELEMENTS(keys); ++i) {
    const RcSetting *setting = rc_tune_setting(moved, i);
    char *key = rc_key_name(setting->key, RC_SIGNS_ASCII);
    assert_string_equal(key, keys[i]);
    assert_int_equal(setting->tones, rc_key_tones(setting->key));
    g_free(key);
  }
  assert_played(moved, "F:4 C:4 Dm:4");
  rc_tune_free(moved);
  rc_tune_free(tune);
}

// A melody stays within the notes that MIDI knows, 0 to 127.
static void
a_moved_melody_stays_within_all_notes(void **state)
{
  (void)state;
  RcTune *tune = read_tune_with(text, (RcCorpusOptions){ .melody_notes = TRUE });
  RcTune *high = rc_tune_moved(tune, 66); // from C, 60, to F sharp; the tune goes to G, 67
  RcTune *low = rc_tune_moved(tune, -62);
  for (guint i = 0; i < tune->notes->len; ++i) {
    const guint written = g_array_index(tune->notes, RcTuneNote, i).pitch;
    assert_in_range(written, 60, 67);
    assert_int_equal(g_array_index(high->notes, RcTuneNote, i).pitch, written > 61 ? 127 : written + 66);
    assert_int_equal(g_array_index(low->notes, RcTuneNote, i).pitch, written < 62 ? 0 : written - 62);
  }
  rc_tune_free(low);
  rc_tune_free(high);
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
    cmocka_unit_test(a_chord_has_the_melody_of_all_its_bars),
    cmocka_unit_test(a_pickup_is_named_by_the_bar_it_leads_to),
    cmocka_unit_test(only_the_first_bar_of_a_tune_without_parts_is_a_pickup),
    cmocka_unit_test(lines_of_words_are_all_numbered),
    cmocka_unit_test(a_copy_keeps_all_that_is_known),
    cmocka_unit_test(some_bars_alone_keep_all_that_is_known),
    cmocka_unit_test(a_copy_borrows_nothing),
    cmocka_unit_test(an_emptied_tune_is_a_new_one),
    cmocka_unit_test(one_chord_is_a_tune_of_some_bars),
    cmocka_unit_test(a_moved_tune_sounds_higher_in_another_key),
    cmocka_unit_test(a_moved_tune_is_spelled_in_its_new_key),
    cmocka_unit_test(a_moved_tune_changes_key_where_it_did),
    cmocka_unit_test(a_moved_melody_stays_within_all_notes),
    cmocka_unit_test(a_tune_without_a_key_is_moved_the_shortest_way),
  };
  return cmocka_run_group_tests(tests, make_file, remove_scratch);
}
