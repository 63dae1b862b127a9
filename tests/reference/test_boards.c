// Copyright 2026 the rowcall developers
// SPDX-License-Identifier: MIT

// Boards other than the usual sizes, against all rows of boards.tsv, which names a source for each; and what must hold
// of mirrored boards and of dead buttons.

#undef NDEBUG

#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>

#include <cmocka.h>

#include "rowcall/rowcall.h"

#include "table.h"

enum { N_PAIRS = 25, N_MIDI = 4, N_MOVED = 3, N_BOTH = 2, N_ROWS = 4, N_BUTTONS = 5, PUSH = 0, PULL = 1 };

static const RcBellows directions[] = { [PUSH] = RC_BELLOWS_PUSH, [PULL] = RC_BELLOWS_PULL };

// What the button in a row, `nth` along the board from 1, sounds in a direction.
static const RcSound *
sound_at(const RcLayout *layout, const char *row, guint nth, guint direction)
{
  guint place = 0;
  const RcSound *sound = NULL;
  for (guint i = 0; i < layout->buttons->len; i += rc_layout_entries_at(layout, i)) {
    if (!strcmp(rc_button_row(layout, rc_layout_button(layout, i)), row) && ++place == nth) {
      sound = &rc_layout_button(layout, i + (rc_layout_entries_at(layout, i) == 2 ? direction : 0))->sound;
    }
  }
  assert_non_null(sound);
  return sound;
}

// ------------------------------------------------------------------------------------------------------------- pairs

static void
check_pair(Check *c, const RcLayout *layout, guint nth, guint direction, const char *bass, const char *chord)
{
  const RcSound *low = sound_at(layout, "bass", nth, direction);
  const RcSound *high = sound_at(layout, "chord", nth, direction);
  char *what = g_strdup_printf("%s, pair %u, %s", layout->name, nth, rc_bellows_name(directions[direction]));
  check_text(c, what, rc_note_name(low->root, RC_SIGNS_ASCII), bass);
  check_tones(c, what, low->tones, tones_of(bass));
  check_tones(c, what, high->tones, chord_tones_of(chord));
  check(c, high->kind == (g_str_has_suffix(chord, "m") ? RC_SOUND_MINOR : RC_SOUND_MAJOR), "%s: kind of %s", what,
        chord);
  g_free(what);
}

// Outside sources: those named in section `pair`.
static void
test_pairs(void **state)
{
  (void)state;
  Check c = { "pairs of push-and-pull boards", 0, 0 };
  GPtrArray *rows = table_read("boards.tsv", "pair", 8, N_PAIRS);
  for (guint i = 0; i < rows->len; ++i) {
    RcLayout *layout = shipped(cell(rows, i, 1));
    const guint nth = number_of(cell(rows, i, 2));
    check_pair(&c, layout, nth, PUSH, cell(rows, i, 3), cell(rows, i, 4));
    check_pair(&c, layout, nth, PULL, cell(rows, i, 5), cell(rows, i, 6));
    rc_layout_free(layout);
  }
  g_ptr_array_unref(rows);
  check_finish(&c);
}

// Outside source: the numbers of the notes in section `midi`.
static void
test_midi(void **state)
{
  (void)state;
  Check c = { "numbered notes", 0, 0 };
  GPtrArray *rows = table_read("boards.tsv", "midi", 8, N_MIDI);
  for (guint i = 0; i < rows->len; ++i) {
    RcLayout *layout = shipped(cell(rows, i, 1));
    const guint nth = number_of(cell(rows, i, 2));
    for (guint direction = PUSH; direction <= PULL; ++direction) {
      const RcPcSet chord = sound_at(layout, "chord", nth, direction)->tones;
      const RcPcSet bass = sound_at(layout, "bass", nth, direction)->tones;
      check_tones(&c, layout->name, chord, tones_of(cell(rows, i, 3 + 2 * direction)));
      check_tones(&c, layout->name, bass, tones_of(cell(rows, i, 4 + 2 * direction)));
    }
    rc_layout_free(layout);
  }
  g_ptr_array_unref(rows);
  check_finish(&c);
}

static void
check_moved(Check *c, const RcLayout *moved, const RcLayout *layout, int fifths)
{
  check_number(c, moved->name, moved->buttons->len, layout->buttons->len);
  for (guint i = 0; i < MIN(moved->buttons->len, layout->buttons->len); ++i) {
    const RcButton *a = rc_layout_button(layout, i);
    const RcButton *b = rc_layout_button(moved, i);
    check(c, b->sound.root == a->sound.root + fifths, "%s: root of entry %u", moved->name, i);
    check(c, b->sound.kind == a->sound.kind && b->bellows == a->bellows, "%s: kind of entry %u", moved->name, i);
    check_tones(c, moved->name, b->sound.tones, rc_pcs_transpose(a->sound.tones, 7 * fifths));
  }
}

// Outside sources: those named in section `moved`, the same board made in other keys.
static void
test_transposed_boards(void **state)
{
  (void)state;
  Check c = { "transposed boards", 0, 0 };
  GPtrArray *rows = table_read("boards.tsv", "moved", 5, N_MOVED);
  for (guint i = 0; i < rows->len; ++i) {
    RcLayout *moved = shipped(cell(rows, i, 1));
    RcLayout *layout = shipped(cell(rows, i, 2));
    check_moved(&c, moved, layout, (int)g_ascii_strtoll(cell(rows, i, 3), NULL, 10));
    rc_layout_free(moved);
    rc_layout_free(layout);
  }
  g_ptr_array_unref(rows);
  check_finish(&c);
}

// Whether a chord sounds on some button in a direction.
static gboolean
has_chord(const RcLayout *layout, const char *chord, guint direction)
{
  gboolean found = FALSE;
  for (guint nth = 1; nth <= layout->columns->len; ++nth) {
    found |= sound_at(layout, "chord", nth, direction)->tones == chord_tones_of(chord);
  }
  return found;
}

static guint
all_basses(const RcLayout *layout)
{
  guint tones = 0;
  for (guint nth = 1; nth <= layout->columns->len; ++nth) {
    tones |= sound_at(layout, "bass", nth, PUSH)->tones | (guint)sound_at(layout, "bass", nth, PULL)->tones;
  }
  return tones;
}

static gboolean
is_among(char **chords, RcPcSet tones)
{
  for (guint i = 0; chords[i]; ++i) {
    if (chord_tones_of(chords[i]) == tones) {
      return TRUE;
    }
  }
  return FALSE;
}

// Outside sources: those named in sections `has` and `both`: other pages on the same board.
static void
test_what_a_board_has(void **state)
{
  (void)state;
  Check c = { "what a board has", 0, 0 };
  GPtrArray *has = table_read("boards.tsv", "has", 5, 1);
  GPtrArray *both = table_read("boards.tsv", "both", 5, N_BOTH);
  RcLayout *layout = shipped(cell(has, 0, 1));
  char **chords = g_strsplit(cell(has, 0, 3), " ", 0);
  check_tones(&c, "basses", (RcPcSet)all_basses(layout), tones_of(cell(has, 0, 2)));
  for (guint i = 0; chords[i]; ++i) {
    check(&c, has_chord(layout, chords[i], PUSH) || has_chord(layout, chords[i], PULL), "no %s", chords[i]);
  }
  for (guint nth = 1; nth <= layout->columns->len; ++nth) {
    check(&c, is_among(chords, sound_at(layout, "chord", nth, PUSH)->tones), "pair %u has another chord", nth);
    check(&c, is_among(chords, sound_at(layout, "chord", nth, PULL)->tones), "pair %u has another chord", nth);
  }
  for (guint i = 0; i < both->len; ++i) {
    check(&c, has_chord(layout, cell(both, i, 3), PUSH) && has_chord(layout, cell(both, i, 3), PULL), "%s both ways",
          cell(both, i, 3));
  }
  g_strfreev(chords);
  rc_layout_free(layout);
  g_ptr_array_unref(has);
  g_ptr_array_unref(both);
  check_finish(&c);
}

// Outside source: section `cross`, a chord of two buttons that the board has no button for. It is grade A there, on
// push, and the best answer to the chord.
static void
test_cross_chord(void **state)
{
  (void)state;
  Check c = { "cross chord", 0, 0 };
  GPtrArray *rows = table_read("boards.tsv", "cross", 8, 1);
  RcLayout *layout = shipped(cell(rows, 0, 1));
  RcCatalogue *catalogue = rc_catalogue_new(layout, (RcHand){ RC_GRIP_REACH, RC_GRIP_PRESS });
  const RcRequest request = { .chord = chord_of(cell(rows, 0, 5)) };
  const RcAnswer answer = rc_catalogue_best(catalogue, rc_taste(), &request);
  char *words = rc_grip_describe(layout, &answer.grip, RC_SIGNS_ASCII);
  char *expected = g_strdup_printf("%s bass + %s major, on %s", cell(rows, 0, 3), cell(rows, 0, 4), cell(rows, 0, 2));
  check_text(&c, "best grip", words, expected);
  check_tones(&c, "tones", rc_grip_tones(layout, &answer.grip), tones_of(cell(rows, 0, 6)));
  check_tones(&c, "chord", chord_tones_of(cell(rows, 0, 5)), tones_of(cell(rows, 0, 6)));
  check_text(&c, "grade", rc_verdict_name(answer.verdict), "A");
  check_text(&c, "direction", rc_bellows_name(rc_grip_bellows(layout, &answer.grip)), cell(rows, 0, 2));
  g_free(expected);
  g_free(words);
  rc_catalogue_free(catalogue);
  rc_layout_free(layout);
  g_ptr_array_unref(rows);
  check_finish(&c);
}

// ---------------------------------------------------------------------------------------------------- single buttons

// Outside sources: sections `bare` and `tones`.
static void
test_bare_chords_and_tones(void **state)
{
  (void)state;
  Check c = { "bare chords and tones", 0, 0 };
  GPtrArray *bare = table_read("boards.tsv", "bare", 4, 2);
  GPtrArray *tones = table_read("boards.tsv", "tones", 4, 2);
  for (guint i = 0; i < bare->len; ++i) {
    char *text =
      g_strdup_printf("name: b\ntitle: b\ncolumns: [C]\nrows: [bass, chord]\nspacing: {column: 18, row: 15}\n"
                      "buttons: {bass C: C, chord C: %s}\n",
                      cell(bare, i, 1));
    RcLayout *layout = rc_layout_parse(text, strlen(text), "b.yaml", NULL);
    const RcSound *sound = sound_at(layout, "chord", 1, PUSH);
    check_tones(&c, cell(bare, i, 1), sound->tones, tones_of(cell(bare, i, 2)));
    check(&c, sound->kind == RC_SOUND_OTHER, "%s is neither major nor minor", cell(bare, i, 1));
    check(&c, !rc_layout_has_bellows(layout), "a board without directions");
    rc_layout_free(layout);
    g_free(text);
  }
  for (guint i = 0; i < tones->len; ++i) {
    check_tones(&c, cell(tones, i, 1), chord_tones_of(cell(tones, i, 1)), tones_of(cell(tones, i, 2)));
  }
  g_ptr_array_unref(bare);
  g_ptr_array_unref(tones);
  check_finish(&c);
}

static const RcButton *
button_of(const RcLayout *layout, const char *row, RcNote column)
{
  for (guint i = 0; i < layout->buttons->len; ++i) {
    const RcButton *button = rc_layout_button(layout, i);
    if (!strcmp(rc_button_row(layout, button), row) && rc_button_column(layout, button) == column) {
      return button;
    }
  }
  fail_msg("%s has no %s %s", layout->name, row, rc_note_name(column, RC_SIGNS_ASCII));
  return NULL;
}

// Outside sources: sections `rows` and `button`.
static void
test_larger_boards(void **state)
{
  (void)state;
  Check c = { "larger boards", 0, 0 };
  GPtrArray *rows = table_read("boards.tsv", "rows", 6, N_ROWS);
  GPtrArray *buttons = table_read("boards.tsv", "button", 6, N_BUTTONS);
  for (guint i = 0; i < rows->len; ++i) {
    RcLayout *layout = shipped(cell(rows, i, 1));
    g_ptr_array_add(layout->rows, NULL);
    char *names = g_strjoinv(" ", (char **)layout->rows->pdata);
    check_number(&c, layout->name, rc_layout_count_buttons(layout), number_of(cell(rows, i, 2)));
    check_number(&c, layout->name, layout->columns->len, number_of(cell(rows, i, 3)));
    check_text(&c, layout->name, names, cell(rows, i, 4));
    g_free(names);
    rc_layout_free(layout);
  }
  for (guint i = 0; i < buttons->len; ++i) {
    RcLayout *layout = shipped(cell(buttons, i, 1));
    const RcButton *button = button_of(layout, cell(buttons, i, 2), note_of(cell(buttons, i, 3)));
    check_tones(&c, layout->name, button->sound.tones, tones_of(cell(buttons, i, 4)));
    rc_layout_free(layout);
  }
  g_ptr_array_unref(rows);
  g_ptr_array_unref(buttons);
  check_finish(&c);
}

// Outside source: FAQ 045 (m45): a seventh without its root is the diminished triad a major third above it; in every
// column of every board that has them.
static void
test_rootless_seventh_is_a_diminished_triad(void **state)
{
  (void)state;
  static const char *const boards[] = { "40-rootless-7", "60-rootless-7", "80-rootless-7", "100-rootless-7",
                                        "120-3x3" };
  Check c = { "rootless sevenths", 0, 0 };
  for (guint b = 0; b < G_N_ELEMENTS(boards); ++b) {
    RcLayout *layout = shipped(boards[b]);
    for (guint i = 0; i < layout->columns->len; ++i) {
      const RcNote column = g_array_index(layout->columns, RcNote, i);
      const RcNote third = rc_note_near(0, (rc_note_pc(column) + 4U) % 12U);
      const RcChord triad = { third, third, RC_CHORD_DIMINISHED };
      check_tones(&c, boards[b], button_of(layout, "seventh", column)->sound.tones, rc_chord_tones(&triad));
    }
    rc_layout_free(layout);
  }
  check_finish(&c);
}

// Outside sources: Wikipedia (wp) and discussion 11861 (dak): G diminished is in the C column, and so on.
static void
test_shifted_diminished_row(void **state)
{
  (void)state;
  Check c = { "shifted row", 0, 0 };
  RcLayout *shifted = shipped("120-shifted");
  RcLayout *usual = shipped("120");
  for (guint i = 0; i + 1 < shifted->columns->len; ++i) {
    const RcNote column = g_array_index(shifted->columns, RcNote, i);
    const RcSound *here = &button_of(shifted, "diminished", column)->sound;
    const RcSound *there = &button_of(usual, "diminished", (RcNote)(column + 1))->sound;
    check_tones(&c, "diminished", here->tones, there->tones);
    check(&c, here->root == column + 1, "root in the column %s", rc_note_name(column, RC_SIGNS_ASCII));
  }
  rc_layout_free(usual);
  rc_layout_free(shifted);
  check_finish(&c);
}

// --------------------------------------------------------------------------------------------- mirrored boards, dead
// buttons

typedef void (*TuneFunc)(const RcTune *tune, gpointer data);

// Gives all tunes of the demo books to `each`.
static void
each_tune(TuneFunc each, gpointer data)
{
  char *folder = g_build_filename(g_getenv("ROWCALL_TEST_DATA"), "..", "corpus", NULL);
  const char *const paths[] = { folder, NULL };
  RcCorpus *corpus = rc_corpus_new(paths, (RcCorpusOptions){ 0 });
  RcTune *tune = rc_tune_new();
  GError *error = NULL;
  for (RcReadResult result; (result = rc_corpus_next(corpus, tune, &error)) != RC_READ_END; g_clear_error(&error)) {
    if (result == RC_READ_TUNE) {
      each(tune, data);
    }
  }
  rc_tune_free(tune);
  rc_corpus_free(corpus);
  g_free(folder);
}

typedef struct {
  Check check;
  RcRoute *routes[2];
} Mirror;

static void
check_mirrored_tune(const RcTune *tune, gpointer data)
{
  Mirror *m = data;
  rc_route_plan(m->routes[0], tune);
  rc_route_plan(m->routes[1], tune);
  check(&m->check, m->routes[0]->travel == m->routes[1]->travel, "%s: travel", tune->title);
  check_number(&m->check, tune->title, m->routes[0]->wide, m->routes[1]->wide);
  for (guint i = 0; i < m->routes[0]->steps->len; ++i) {
    const RcStep *a = &g_array_index(m->routes[0]->steps, RcStep, i);
    const RcStep *b = &g_array_index(m->routes[1]->steps, RcStep, i);
    check(&m->check, a->verdict == b->verdict && a->held == b->held && a->way == b->way, "%s: step %u", tune->title, i);
  }
}

// A board of 48 as it is and mirrored: the same roll, the same travel, tune by tune and chord by chord.
static void
test_mirrored_board_is_as_good(void **state)
{
  (void)state;
  static const char board[] =
    "name: m\ntitle: m\ncolumns: Eb..E\nrows: [counterbass, fundamental, major, minor, seventh, "
    "diminished]\nspacing: {column: 16, row: 12.5, slant: 8}\nmirrored: true\n";
  RcRouteSettings settings = rc_route_settings();
  settings.taste.prefer = RC_PREFER_EASE;
  RcLayout *layouts[] = { shipped("48-8x6"), rc_layout_parse(board, strlen(board), "m.yaml", NULL) };
  assert_true(!layouts[0]->mirrored && layouts[1]->mirrored);
  RcPlanner *planners[] = { rc_planner_new(layouts[0], &settings), rc_planner_new(layouts[1], &settings) };
  Mirror mirror = { { "mirrored board", 0, 0 }, { rc_route_new(planners[0]), rc_route_new(planners[1]) } };
  each_tune(check_mirrored_tune, &mirror);
  for (guint i = 0; i < G_N_ELEMENTS(layouts); ++i) {
    rc_route_free(mirror.routes[i]);
    rc_planner_free(planners[i]);
    rc_layout_free(layouts[i]);
  }
  check_finish(&mirror.check);
}

static void
add_tune(const RcTune *tune, gpointer roll)
{
  rc_roll_add(roll, tune);
}

// A layout, and one for each of its buttons that lacks this one.
static GPtrArray *
with_each_dead(const char *name, guint step)
{
  GPtrArray *layouts = g_ptr_array_new_with_free_func((GDestroyNotify)rc_layout_free);
  RcLayout *whole = shipped(name);
  for (guint i = 0; i < whole->buttons->len; i += step) {
    const RcButton *button = rc_layout_button(whole, i);
    RcLayout *less = shipped(name);
    char *text = g_strdup_printf("%s:%s%s%s", rc_button_row(whole, button),
                                 rc_note_name(rc_button_column(whole, button), RC_SIGNS_ASCII),
                                 button->bellows ? ":" : "", button->bellows ? rc_bellows_name(button->bellows) : "");
    assert_true(rc_layout_silence(less, text, NULL));
    g_ptr_array_add(layouts, less);
    g_free(text);
  }
  g_ptr_array_add(layouts, whole);
  return layouts;
}

// Everything that is at least so good on the board with a dead button is so on the whole board.
static void
check_dead(Check *c, const char *name, guint step)
{
  GPtrArray *layouts = with_each_dead(name, step);
  GPtrArray *catalogues = g_ptr_array_new_with_free_func((GDestroyNotify)rc_catalogue_free);
  for (guint i = 0; i < layouts->len; ++i) {
    const RcHand hand = { RC_GRIP_REACH, RC_GRIP_PRESS };
    g_ptr_array_add(catalogues, rc_catalogue_new(g_ptr_array_index(layouts, i), hand));
  }
  RcPanel *panel = rc_panel_new((RcCatalogue *const *)catalogues->pdata, catalogues->len, rc_taste());
  RcRoll *roll = rc_roll_new(panel, rc_roll_settings());
  each_tune(add_tune, roll);
  const RcCounts whole = rc_roll_counts(roll, layouts->len - 1);
  for (guint i = 0; i + 1 < layouts->len; ++i) {
    const RcCounts less = rc_roll_counts(roll, i);
    const char *what = rc_roll_layout(roll, i)->title;
    for (guint v = RC_NATIVE; v <= RC_BORROWED; ++v) {
      const RcTicks carried = rc_counts_carried(&less, (RcVerdict)v);
      check(c, carried <= rc_counts_carried(&whole, (RcVerdict)v), "%s: more at %s", what,
            rc_verdict_name((RcVerdict)v));
    }
    check(c, less.native <= whole.native && less.playable <= whole.playable, "%s: more tunes", what);
  }
  rc_roll_free(roll);
  rc_panel_free(panel);
  g_ptr_array_unref(catalogues);
  g_ptr_array_unref(layouts);
}

static void
test_a_dead_button_never_raises_coverage(void **state)
{
  (void)state;
  Check c = { "dead buttons", 0, 0 };
  check_dead(&c, "push-pull-8-gc", 1);
  check_dead(&c, "push-pull-8-csd", 1);
  check_dead(&c, "12", 1);
  check_dead(&c, "48-8x6", 3);
  check_dead(&c, "120-3x3", 11);
  check_finish(&c);
}

int
main(void)
{
  const struct CMUnitTest tests[] = {
    cmocka_unit_test(test_pairs),
    cmocka_unit_test(test_midi),
    cmocka_unit_test(test_transposed_boards),
    cmocka_unit_test(test_what_a_board_has),
    cmocka_unit_test(test_cross_chord),
    cmocka_unit_test(test_bare_chords_and_tones),
    cmocka_unit_test(test_larger_boards),
    cmocka_unit_test(test_rootless_seventh_is_a_diminished_triad),
    cmocka_unit_test(test_shifted_diminished_row),
    cmocka_unit_test(test_mirrored_board_is_as_good),
    cmocka_unit_test(test_a_dead_button_never_raises_coverage),
  };
  return cmocka_run_group_tests(tests, NULL, NULL);
}
