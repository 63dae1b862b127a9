// Copyright 2026 the rowcall developers
// SPDX-License-Identifier: MIT

// Published combinations of buttons, all rows of combinations.tsv, which names a source for each: their tones, what
// they lack, whether a hand can hold them, and how they are graded. The verdicts were worked out by hand from the
// rules.
//
// A grip has one bass button, or two or three that are neighbours in one row. Where the page names none, a bass button
// that sounds the chord's bass is pressed as well, since the bass sounds on the beat before. Where it names basses that
// are no neighbours, that is no grip: the table below lists them, and their tones are graded all the same.

#undef NDEBUG

#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>

#include <cmocka.h>

#include "rowcall/coverage.h"
#include "rowcall/keyboard.h"

#include "table.h"

enum { N_GRIPS = 79, SHIFTS = 6 };

enum {
  CELL_ID = 1,
  CELL_WANTED,
  CELL_INTERVALS,
  CELL_BOARD,
  CELL_BASS,
  CELL_CHORDS,
  CELL_TONES,
  CELL_PRINTED,
  CELL_MISSING,
  CELL_EXTRA,
  CELL_COUNTED,
  CELL_VERDICT,
  CELL_SOURCE,
  N_CELLS
};

// Grips that need more than the usual reach of four columns, by hand: the columns between the outermost buttons.
static const struct {
  guint id;
  guint reach;
} wide_grips[] = {
  { 29, 7 }, // the counterbass in the C# column, the diminished chord in the C column
  { 35, 6 }, // C and Gb
  { 36, 6 }, // A and Eb
  { 37, 6 }, // F# and C
  { 39, 5 }, // C and B
  { 76, 6 }, // Db and G
};

// Rows with bass buttons that are no neighbours in one row.
static const guint scattered_basses[] = { 40, 43 };

static const char *const boards_2_4[] = { "120", "96", "72", "48-8x6" };
static const char *const boards_3[] = { "120-3x3", "80-rootless-7", "60-rootless-7", "40-rootless-7" };

// ------------------------------------------------------------------------------------------------- finding buttons

static gboolean
in_row(const RcLayout *layout, const RcButton *button, const char *row)
{
  return !strcmp(rc_button_row(layout, button), row);
}

// The buttons that "ROW NOTE", moved `shift` columns towards the chin, can mean, indices as guint: the one in that row
// and column; with the row `any`, all basses that sound the note.
static GArray *
buttons_named(const RcLayout *layout, const char *text, int shift)
{
  GArray *found = g_array_new(FALSE, FALSE, sizeof(guint));
  char **words = g_strsplit(text, " ", 2);
  const RcNote note = (RcNote)(note_of(words[1]) + shift);
  const gboolean any = !strcmp(words[0], "any");
  for (guint i = 0; i < layout->buttons->len; ++i) {
    const RcButton *button = rc_layout_button(layout, i);
    const gboolean sounds = button->sound.kind == RC_SOUND_BASS && rc_note_pc(button->sound.root) == rc_note_pc(note);
    if (any ? sounds : in_row(layout, button, words[0]) && rc_button_column(layout, button) == note) {
      g_array_append_val(found, i);
    }
  }
  g_strfreev(words);
  return found;
}

// What is pressed on one board.
typedef struct {
  const RcLayout *layout;
  RcChord wanted;
  gboolean found; // the board has all the buttons
  RcGrip grip;    // with the nearest bass, where there is a choice
} Pressed;

static gboolean
add_chord_button(Pressed *p, const char *text, int shift)
{
  GArray *found = buttons_named(p->layout, text, shift);
  const gboolean there = found->len == 1 && p->grip.n_chords < RC_GRIP_CHORDS;
  if (there) {
    const guint16 index = (guint16)g_array_index(found, guint, 0);
    const guint at = p->grip.n_chords++;
    p->grip.chords[at] = index;
    if (at && p->grip.chords[at - 1] > index) {
      p->grip.chords[at] = p->grip.chords[at - 1];
      p->grip.chords[at - 1] = index;
    }
  }
  g_array_unref(found);
  return there;
}

static gboolean
add_nearest_bass(Pressed *p, const char *text, int shift)
{
  GArray *found = buttons_named(p->layout, text, shift);
  RcGrip best = p->grip;
  for (guint i = 0; i < found->len; ++i) {
    RcGrip grip = p->grip;
    grip.basses[0] = (guint16)g_array_index(found, guint, i);
    if (!i || rc_grip_compare(p->layout, &grip, &best) < 0) {
      best = grip;
    }
  }
  p->grip = best;
  const gboolean there = found->len > 0;
  g_array_unref(found);
  return there;
}

// Basses that the page names one by one, whatever their order there.
static gboolean
add_basses(Pressed *p, const char *cell_text, int shift)
{
  gboolean there = TRUE;
  char **texts = parts_of(cell_text, ",");
  p->grip.n_basses = 0;
  for (guint i = 0; texts[i]; ++i) {
    GArray *found = buttons_named(p->layout, texts[i], shift);
    there = there && found->len == 1;
    guint at = p->grip.n_basses++;
    const guint16 index = there ? (guint16)g_array_index(found, guint, 0) : 0;
    for (; at && p->grip.basses[at - 1] > index; --at) {
      p->grip.basses[at] = p->grip.basses[at - 1];
    }
    p->grip.basses[at] = index;
    g_array_unref(found);
  }
  g_strfreev(texts);
  return there;
}

static RcChord
chord_moved(const char *symbol, int shift)
{
  RcChord chord = chord_of(symbol);
  chord.root = rc_note_up(chord.root, shift);
  chord.bass = rc_note_up(chord.bass, shift);
  return chord;
}

static Pressed
press(const RcLayout *layout, char **row, int shift)
{
  Pressed p = { layout, chord_moved(row[CELL_WANTED], shift), TRUE, { .n_basses = 1 } };
  char **chords = parts_of(row[CELL_CHORDS], ",");
  for (guint i = 0; chords[i]; ++i) {
    p.found = p.found && add_chord_button(&p, chords[i], shift);
  }
  g_strfreev(chords);
  if (strchr(row[CELL_BASS], ',')) {
    p.found = p.found && add_basses(&p, row[CELL_BASS], shift);
  } else if (strcmp(row[CELL_BASS], "-") != 0) {
    p.found = p.found && add_nearest_bass(&p, row[CELL_BASS], shift);
  } else {
    char *bass = g_strdup_printf("any %s", rc_note_name(p.wanted.bass, RC_SIGNS_ASCII));
    p.found = p.found && add_nearest_bass(&p, bass, 0);
    g_free(bass);
  }
  return p;
}

static gboolean
has_scattered_basses(char **row)
{
  const guint id = number_of(row[CELL_ID]);
  for (guint i = 0; i < G_N_ELEMENTS(scattered_basses); ++i) {
    if (scattered_basses[i] == id) {
      return TRUE;
    }
  }
  return FALSE;
}

// ----------------------------------------------------------------------------------------------------------- grading

// A semitone list of the table above the root of the wanted chord.
static RcPcSet
above_root(const RcChord *wanted, const char *semitones)
{
  return rc_pcs_transpose(tones_of(semitones), (int)rc_note_pc(wanted->root));
}

static RcRequest
request_for(RcChord wanted)
{
  return (RcRequest){ .chord = wanted };
}

static void
check_grading(Check *c, const RcChord *wanted, RcGrading grading, char **row)
{
  check_tones(c, row[CELL_WANTED], grading.missing, above_root(wanted, row[CELL_COUNTED]));
  check_tones(c, row[CELL_WANTED], grading.foreign, above_root(wanted, row[CELL_EXTRA]));
}

typedef struct {
  const RcGrip *grip;
  guint met;
} Search;

static void
meet_grip(const RcGrip *grip, gpointer data)
{
  Search *search = data;
  search->met += rc_grip_equal(grip, search->grip) ? 1 : 0;
}

static guint
count_meetings(const RcLayout *layout, const RcGrip *grip, RcHand hand)
{
  Search search = { grip, 0 };
  rc_layout_each_grip(layout, hand, meet_grip, &search);
  return search.met;
}

// The verdict of a grip in the ranked list of all that a hand of just enough reach can hold.
static RcAnswer
ranked_answer(const Pressed *p)
{
  const RcHand hand = { rc_grip_reach(p->layout, &p->grip), rc_grip_count(&p->grip) };
  RcCatalogue *catalogue = rc_catalogue_new(p->layout, hand);
  const RcRequest request = request_for(p->wanted);
  GArray *answers = rc_catalogue_rank(catalogue, rc_taste(), &request);
  RcAnswer answer = { .verdict = RC_IMPOSSIBLE };
  for (guint i = 0; i < answers->len; ++i) {
    const RcAnswer *ranked = &g_array_index(answers, RcAnswer, i);
    Search search = { &p->grip, 0 };
    meet_grip(&ranked->grip, &search);
    answer = search.met ? *ranked : answer;
  }
  g_array_unref(answers);
  rc_catalogue_free(catalogue);
  return answer;
}

// ------------------------------------------------------------------------------------------------ rows with one bass

static void
check_row_on_board(Check *c, const Pressed *p, char **row)
{
  const RcHand enough = { rc_grip_reach(p->layout, &p->grip), rc_grip_count(&p->grip) };
  check_number(c, row[CELL_ID], count_meetings(p->layout, &p->grip, enough), 1);
  if (enough.reach) {
    const RcHand smaller = { enough.reach - 1, enough.press };
    check_number(c, row[CELL_ID], count_meetings(p->layout, &p->grip, smaller), 0);
  }
  const RcHand fewer = { enough.reach, enough.press - 1 };
  check_number(c, row[CELL_ID], count_meetings(p->layout, &p->grip, fewer), 0);
  const RcAnswer answer = ranked_answer(p);
  check_text(c, row[CELL_ID], rc_verdict_name(answer.verdict), row[CELL_VERDICT]);
  check_grading(c, &p->wanted, answer.grading, row);
}

static void
check_on_boards(Check *c, char **row, const char *const *names, guint n_names)
{
  for (guint i = 0; i < n_names; ++i) {
    RcLayout *layout = shipped(names[i]);
    const Pressed p = press(layout, row, 0);
    check(c, i || p.found, "%s: the %s lacks its buttons", row[CELL_ID], names[i]);
    if (p.found) {
      check_row_on_board(c, &p, row);
    }
    rc_layout_free(layout);
  }
}

static gboolean
is_2_4(char **row)
{
  const gboolean four = !strcmp(row[CELL_BOARD], "2+4");
  assert_true(four || !strcmp(row[CELL_BOARD], "3"));
  return four;
}

static void
each_row(Check *c, gboolean scattered, void (*each)(Check *, char **row))
{
  GPtrArray *rows = table_read("combinations.tsv", "grip", N_CELLS, N_GRIPS);
  for (guint i = 0; i < rows->len; ++i) {
    char **row = g_ptr_array_index(rows, i);
    assert_int_equal(number_of(row[CELL_ID]), i + 1);
    if (has_scattered_basses(row) == scattered) {
      each(c, row);
    }
  }
  g_ptr_array_unref(rows);
}

static void
check_verdict(Check *c, char **row)
{
  if (is_2_4(row)) {
    check_on_boards(c, row, boards_2_4, G_N_ELEMENTS(boards_2_4));
  } else {
    check_on_boards(c, row, boards_3, G_N_ELEMENTS(boards_3));
  }
}

// Outside sources: as named in combinations.tsv. Every row that is a grip, on the board of its system and on
// smaller ones that have the buttons: the walk through all grips meets it with the reach and the buttons it needs
// and not with less, and the ranked list has it with the verdict, missing and foreign tones of the table.
static void
test_verdicts(void **state)
{
  (void)state;
  Check c = { "verdicts", 0, 0 };
  each_row(&c, FALSE, check_verdict);
  check_finish(&c);
}

static guint
wide_reach(guint id)
{
  for (guint i = 0; i < G_N_ELEMENTS(wide_grips); ++i) {
    if (wide_grips[i].id == id) {
      return wide_grips[i].reach;
    }
  }
  return 0;
}

static void
check_reach(Check *c, char **row)
{
  RcLayout *layout = shipped(is_2_4(row) ? boards_2_4[0] : boards_3[0]);
  const Pressed p = press(layout, row, 0);
  assert_true(p.found);
  const guint reach = rc_grip_reach(layout, &p.grip);
  check_number(c, row[CELL_ID], reach > RC_GRIP_REACH ? reach : 0, wide_reach(number_of(row[CELL_ID])));
  rc_layout_free(layout);
}

// By hand from the columns that combinations.tsv names.
static void
test_reach(void **state)
{
  (void)state;
  Check c = { "reach", 0, 0 };
  each_row(&c, FALSE, check_reach);
  check_finish(&c);
}

// Whether a verdict holds is a matter of intervals: the same shape some columns up or down is judged alike.
static void
check_moved(Check *c, char **row)
{
  RcLayout *layout = shipped(is_2_4(row) ? boards_2_4[0] : boards_3[0]);
  for (int shift = -SHIFTS; shift <= SHIFTS; ++shift) {
    const Pressed p = press(layout, row, shift);
    if (!p.found) {
      continue;
    }
    const RcRequest request = request_for(p.wanted);
    const RcSounding sounding = rc_grip_sounding(layout, &p.grip);
    const RcGrading grading = rc_grade(&request, &sounding);
    const gboolean native = !strcmp(row[CELL_VERDICT], "native");
    const RcVerdict verdict = native ? ranked_answer(&p).verdict : grading.verdict;
    check_text(c, row[CELL_ID], rc_verdict_name(verdict), row[CELL_VERDICT]);
    check_grading(c, &p.wanted, grading, row);
  }
  rc_layout_free(layout);
}

static void
test_moved_along_the_board(void **state)
{
  (void)state;
  Check c = { "moved along the board", 0, 0 };
  each_row(&c, FALSE, check_moved);
  check_finish(&c);
}

// ------------------------------------------------------------------------------------------------------ all the rows

static guint
tones_of_buttons(const RcLayout *layout, const char *cell_text)
{
  guint tones = 0;
  char **texts = parts_of(cell_text, ",");
  for (guint i = 0; texts[i]; ++i) {
    GArray *found = buttons_named(layout, texts[i], 0);
    assert_int_not_equal(found->len, 0);
    tones |= rc_layout_button(layout, g_array_index(found, guint, 0))->sound.tones;
    g_array_unref(found);
  }
  g_strfreev(texts);
  return tones;
}

static RcPcSet
named_tones(const RcLayout *layout, char **row)
{
  return (RcPcSet)(tones_of_buttons(layout, row[CELL_BASS]) | tones_of_buttons(layout, row[CELL_CHORDS]));
}

static void
check_sounds(Check *c, char **row)
{
  RcLayout *layout = shipped(is_2_4(row) ? boards_2_4[0] : boards_3[0]);
  const RcChord wanted = chord_of(row[CELL_WANTED]);
  const guint chord = above_root(&wanted, row[CELL_INTERVALS]);
  const guint tones = named_tones(layout, row);
  check_tones(c, row[CELL_ID], rc_chord_tones(&wanted), (RcPcSet)chord);
  check_tones(c, row[CELL_ID], (RcPcSet)tones, tones_of(row[CELL_TONES]));
  check_tones(c, row[CELL_ID], (RcPcSet)(chord & ~tones), above_root(&wanted, row[CELL_MISSING]));
  check_tones(c, row[CELL_ID], (RcPcSet)(tones & ~chord), above_root(&wanted, row[CELL_EXTRA]));
  if (strcmp(row[CELL_PRINTED], "-") != 0) {
    check_tones(c, row[CELL_ID], (RcPcSet)tones, tones_of(row[CELL_PRINTED]));
  }
  rc_layout_free(layout);
}

// Outside sources: as named in combinations.tsv. The wanted chord as the symbol is read, the tones of the buttons that
// are named, what is missing and what is more.
static void
test_sounds(void **state)
{
  (void)state;
  Check c = { "sounds of buttons", 0, 0 };
  each_row(&c, FALSE, check_sounds);
  each_row(&c, TRUE, check_sounds);
  check_finish(&c);
}

// ------------------------------------------------------------------------------------------- rows that are no grips

static void
check_scattered(Check *c, char **row)
{
  RcLayout *layout = shipped(boards_2_4[0]);
  const Pressed p = press(layout, row, 0);
  assert_true(p.found);
  const RcHand any = { RC_MAX_COLUMNS, RC_GRIP_PRESS };
  check_number(c, row[CELL_ID], count_meetings(layout, &p.grip, any), 0);
  const RcRequest request = request_for(p.wanted);
  const RcSounding sounding = rc_grip_sounding(layout, &p.grip);
  const RcGrading grading = rc_grade(&request, &sounding);
  check_text(c, row[CELL_ID], rc_verdict_name(grading.verdict), row[CELL_VERDICT]);
  check_grading(c, &p.wanted, grading, row);
  rc_layout_free(layout);
}

// Outside sources: as named in combinations.tsv.
static void
test_scattered_basses(void **state)
{
  (void)state;
  Check c = { "scattered basses", 0, 0 };
  each_row(&c, TRUE, check_scattered);
  check_finish(&c);
}

// ------------------------------------------------------------------------------------------- other names and slips

static char **
grip_row(const GPtrArray *grips, const char *id)
{
  char **row = g_ptr_array_index(grips, number_of(id) - 1);
  assert_string_equal(row[CELL_ID], id);
  return row;
}

// Outside sources: as named beside the grip in combinations.tsv. Names that the page itself prints, and what a grip
// would be called for what it sounds.
static void
test_other_names(void **state)
{
  (void)state;
  Check c = { "other names", 0, 0 };
  GPtrArray *grips = table_read("combinations.tsv", "grip", N_CELLS, N_GRIPS);
  GPtrArray *rows = table_read("combinations.tsv", "also", 5, 20);
  for (guint i = 0; i < rows->len; ++i) {
    char **row = grip_row(grips, cell(rows, i, 1));
    RcLayout *layout = shipped(is_2_4(row) ? boards_2_4[0] : boards_3[0]);
    Pressed p = press(layout, row, 0);
    assert_true(p.found);
    p.wanted = chord_of(cell(rows, i, 2));
    check_text(&c, cell(rows, i, 2), rc_verdict_name(ranked_answer(&p).verdict), cell(rows, i, 3));
    rc_layout_free(layout);
  }
  g_ptr_array_unref(rows);
  g_ptr_array_unref(grips);
  check_finish(&c);
}

// Three rows are printed wrong. 43 and 47 keep their printed buttons in the table, with what those sound; 43 is mended
// here, and then it is a grip. 40 has the right buttons and one wrong tone.
static void
test_slips(void **state)
{
  (void)state;
  Check c = { "slips", 0, 0 };
  RcLayout *layout = shipped(boards_2_4[0]);
  GPtrArray *grips = table_read("combinations.tsv", "grip", N_CELLS, N_GRIPS);
  GPtrArray *mended = table_read("combinations.tsv", "mended", 5, 1);
  GPtrArray *slips = table_read("combinations.tsv", "slip", 3, 1);
  Pressed p = press(layout, grip_row(grips, cell(mended, 0, 1)), 0);
  p.found = add_basses(&p, cell(mended, 0, 2), 0);
  assert_true(p.found);
  check_text(&c, "mended", rc_verdict_name(ranked_answer(&p).verdict), cell(mended, 0, 3));
  const RcPcSet sounded = named_tones(layout, grip_row(grips, cell(slips, 0, 1)));
  check(&c, sounded != tones_of(cell(slips, 0, 2)), "row %s is printed right", cell(slips, 0, 1));
  g_ptr_array_unref(slips);
  g_ptr_array_unref(mended);
  g_ptr_array_unref(grips);
  rc_layout_free(layout);
  check_finish(&c);
}

int
main(void)
{
  const struct CMUnitTest tests[] = {
    cmocka_unit_test(test_verdicts),
    cmocka_unit_test(test_reach),
    cmocka_unit_test(test_moved_along_the_board),
    cmocka_unit_test(test_sounds),
    cmocka_unit_test(test_scattered_basses),
    cmocka_unit_test(test_other_names),
    cmocka_unit_test(test_slips),
  };
  return cmocka_run_group_tests(tests, NULL, NULL);
}
