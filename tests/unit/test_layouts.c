// Copyright 2026 the rowcall developers
// SPDX-License-Identifier: MIT

// Layouts and grips: the boards that ship are those of the trade, a board of one's own is read as it is written, a
// mistake in it is named with its place, and a hand holds what a hand can hold.

#undef NDEBUG

#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>

#include <cmocka.h>

#include "rowcall/error.h"
#include "rowcall/keyboard.h"
#include "rowcall/route.h"

#include <glib/gstdio.h>
#include <locale.h>
#include <math.h>
#include <stdlib.h>
#include <string.h>

static RcLayout *
find_layout(const char *name)
{
  GError *error = NULL;
  RcLayout *layout = rc_layout_find(name, &error);
  if (!layout) {
    fail_msg("layout %s: %s", name, error->message);
  }
  return layout;
}

static RcLayout *
parse_layout(const char *text)
{
  GError *error = NULL;
  RcLayout *layout = rc_layout_parse(text, strlen(text), "tiny.yaml", &error);
  if (!layout) {
    fail_msg("%s", error->message);
  }
  return layout;
}

static const char *
column_name(const RcLayout *layout, guint index)
{
  return rc_note_name(g_array_index(layout->columns, RcNote, index), RC_SIGNS_ASCII);
}

// The button of a row in a column.
static guint
button_index(const RcLayout *layout, const char *row, const char *column)
{
  for (guint i = 0; i < layout->buttons->len; ++i) {
    const RcButton *button = rc_layout_button(layout, i);
    const char *name = rc_note_name(rc_button_column(layout, button), RC_SIGNS_ASCII);
    if (!strcmp(rc_button_row(layout, button), row) && !strcmp(name, column)) {
      return i;
    }
  }
  fail_msg("%s has no button %s %s", layout->name, row, column);
  return 0;
}

static const RcButton *
button_at(const RcLayout *layout, const char *row, const char *column)
{
  return rc_layout_button(layout, button_index(layout, row, column));
}

static RcPcSet
pitch_classes(const char *numbers)
{
  char **words = g_strsplit(numbers, " ", 0);
  guint set = 0;
  for (guint i = 0; words[i]; ++i) {
    guint64 pc = 0;
    assert_true(g_ascii_string_to_unsigned(words[i], 10, 0, 11, &pc, NULL));
    set |= 1U << pc;
  }
  g_strfreev(words);
  return (RcPcSet)set;
}

// A small board to build others from.
#define HEAD                                                                                                           \
  "name: tiny\n"                                                                                                       \
  "title: a board to try things on\n"              // lines 1 and 2
#define COLUMNS "columns: F..C\n"                  // line 3
#define ROWS "rows: [fundamental, major]\n"        // line 4
#define SPACING "spacing: {column: 16, row: 12}\n" // line 5
#define BOARD HEAD COLUMNS ROWS SPACING

// ------------------------------------------------------------------------------------------------ the shipped boards

typedef struct {
  const char *name;
  guint buttons;
  guint columns;
  const char *first;
  const char *last;
  const char *rows; // from the bellows outwards
} Size;

#define FIVE_ROWS "counterbass fundamental major minor seventh"

// Outside sources: 8 to 72 after the table of Wikipedia's "Stradella bass system", 80 and 96 after the Squeezebox
// Wiki's "Stradella", 120 after both; the variants after the pages that their files name.
static const Size sizes[] = {
  { "8", 8, 4, "F", "D", "fundamental major" },
  { "12", 12, 6, "Bb", "A", "fundamental major" },
  { "24", 24, 8, "Eb", "E", "fundamental major minor" },
  { "32", 32, 8, "Eb", "E", "fundamental major minor seventh" },
  { "40", 40, 8, "Eb", "E", FIVE_ROWS },
  { "48-8x6", 48, 8, "Eb", "E", FIVE_ROWS " diminished" },
  { "48-12x4", 48, 12, "Db", "F#", "counterbass fundamental major minor" },
  { "60", 60, 12, "Db", "F#", FIVE_ROWS },
  { "72", 72, 12, "Db", "F#", FIVE_ROWS " diminished" },
  { "80", 80, 16, "Cb", "G#", FIVE_ROWS },
  { "96", 96, 16, "Cb", "G#", FIVE_ROWS " diminished" },
  { "120", 120, 20, "Bbb", "A#", FIVE_ROWS " diminished" },
  { "40-rootless-7", 40, 8, "Eb", "E", FIVE_ROWS },
  { "60-rootless-7", 60, 12, "Db", "F#", FIVE_ROWS },
  { "80-rootless-7", 80, 16, "Cb", "G#", FIVE_ROWS },
  { "120-3x3", 120, 20, "Bbb", "A#", "minor-third " FIVE_ROWS },
  { "120-shifted", 120, 20, "Bbb", "A#", FIVE_ROWS " diminished" },
  { "140-minor-third", 140, 20, "Bbb", "A#", "minor-third " FIVE_ROWS " diminished" },
  { "140-augmented", 140, 20, "Bbb", "A#", FIVE_ROWS " diminished augmented" },
};

static void
assert_rows(const RcLayout *layout, const char *expected)
{
  GString *rows = g_string_new(NULL);
  for (guint i = 0; i < layout->rows->len; ++i) {
    g_string_append_printf(rows, "%s%s", i ? " " : "", (const char *)g_ptr_array_index(layout->rows, i));
  }
  assert_string_equal(rows->str, expected);
  g_string_free(rows, TRUE);
}

static void
test_the_sizes_of_the_trade(void **state)
{
  (void)state;
  for (guint i = 0; i < G_N_ELEMENTS(sizes); ++i) {
    RcLayout *layout = find_layout(sizes[i].name);
    assert_string_equal(layout->name, sizes[i].name);
    assert_int_equal(rc_layout_count_buttons(layout), sizes[i].buttons);
    assert_int_equal(layout->columns->len, sizes[i].columns);
    assert_string_equal(column_name(layout, 0), sizes[i].first);
    assert_string_equal(column_name(layout, layout->columns->len - 1), sizes[i].last);
    assert_rows(layout, sizes[i].rows);
    rc_layout_free(layout);
  }
}

static void
test_the_usual_names_come_smallest_first(void **state)
{
  (void)state;
  static const char *const usual[] = {
    "8", "12", "24", "32", "40", "48-8x6", "48-12x4", "60", "72", "80", "96", "120"
  };
  const char *const *names = rc_layout_usual_names();
  for (guint i = 0; i < G_N_ELEMENTS(usual); ++i) {
    assert_string_equal(names[i], usual[i]);
  }
  assert_null(names[G_N_ELEMENTS(usual)]);
}

static void
test_all_names_are_the_usual_ones_then_the_variants_by_size(void **state)
{
  (void)state;
  char **names = rc_layout_all_names();
  const guint usual = g_strv_length((char **)rc_layout_usual_names());
  assert_true(g_strv_length(names) >= G_N_ELEMENTS(sizes));
  for (guint i = 0; i < usual; ++i) {
    assert_string_equal(names[i], rc_layout_usual_names()[i]);
  }
  for (guint i = usual + 1; names[i]; ++i) {
    const int words = !g_ascii_isdigit(*names[i - 1]) - !g_ascii_isdigit(*names[i]); // come after numbers
    const int smaller = words ? words : atoi(names[i - 1]) - atoi(names[i]);
    assert_true(smaller < 0 || (!smaller && strcmp(names[i - 1], names[i]) < 0));
  }
  for (guint i = 0; i < G_N_ELEMENTS(sizes); ++i) {
    assert_true(g_strv_contains((const char *const *)names, sizes[i].name));
  }
  g_strfreev(names);
}

// What holds for every board that ships, those added later among them.
static void
assert_sound_board(const RcLayout *layout)
{
  const char *size = layout->name + strcspn(layout->name, "0123456789"); // of this many buttons, by its name
  const gboolean fifths = size == layout->name;
  guint places = 0;
  for (guint i = 0; i < layout->buttons->len; i += rc_layout_entries_at(layout, i), ++places) {
    const RcButton *button = rc_layout_button(layout, i);
    assert_int_equal(button->row * layout->columns->len + button->column, places); // by row, then by column
    assert_int_equal(rc_layout_entry(layout, button->row, button->column), i);
  }
  assert_int_equal(rc_layout_count_buttons(layout), atoi(size));
  assert_int_equal(places, layout->rows->len * layout->columns->len);
  assert_int_equal(rc_layout_has_bellows(layout), g_str_has_prefix(layout->name, "push-pull-"));
  assert_true(layout->title[0] && layout->sources->len > 0);
  for (guint i = 1; fifths && i < layout->columns->len; ++i) { // from column to column
    assert_int_equal(g_array_index(layout->columns, RcNote, i) - g_array_index(layout->columns, RcNote, i - 1), 1);
  }
  for (guint i = 0; i < layout->buttons->len; ++i) {
    const RcButton *button = rc_layout_button(layout, i);
    assert_true(button->sound.tones != 0 && button->sound.kind != RC_SOUND_OTHER);
  }
}

static void
test_every_shipped_board_is_sound(void **state)
{
  (void)state;
  char **names = rc_layout_all_names();
  for (guint i = 0; names[i]; ++i) {
    RcLayout *layout = find_layout(names[i]);
    assert_sound_board(layout);
    rc_layout_free(layout);
  }
  g_strfreev(names);
}

typedef struct {
  const char *layout;
  const char *row; // of the C column
  RcSoundKind kind;
  const char *tones;
} ColumnSound;

// Outside sources: English Wikibooks, "Accordion/Left hand" (counterbass, fundamental); R. Stradling, "Notes on the
// Stradella bass" (major, minor, seventh, diminished); mon-accordeon.com, FAQ 045 (the seventh without its root);
// Wikipedia, "Stradella bass system" (the shifted row: G diminished beside C). Minor-third and augmented: common
// practice.
static const ColumnSound column_sounds[] = {
  { "120", "counterbass", RC_SOUND_BASS, "4" },
  { "120", "fundamental", RC_SOUND_BASS, "0" },
  { "120", "major", RC_SOUND_MAJOR, "0 4 7" },
  { "120", "minor", RC_SOUND_MINOR, "0 3 7" },
  { "120", "seventh", RC_SOUND_SEVENTH, "0 4 10" },
  { "120", "diminished", RC_SOUND_DIMINISHED, "0 3 9" },
  { "60-rootless-7", "seventh", RC_SOUND_SEVENTH, "4 7 10" },
  { "120-3x3", "seventh", RC_SOUND_SEVENTH, "4 7 10" },
  { "120-3x3", "minor-third", RC_SOUND_BASS, "3" },
  { "120-shifted", "diminished", RC_SOUND_DIMINISHED, "7 10 4" },
  { "140-augmented", "augmented", RC_SOUND_AUGMENTED, "0 4 8" },
};

static void
test_what_the_buttons_of_the_c_column_sound(void **state)
{
  (void)state;
  for (guint i = 0; i < G_N_ELEMENTS(column_sounds); ++i) {
    RcLayout *layout = find_layout(column_sounds[i].layout);
    const RcSound sound = button_at(layout, column_sounds[i].row, "C")->sound;
    assert_int_equal(sound.kind, column_sounds[i].kind);
    assert_int_equal(sound.tones, pitch_classes(column_sounds[i].tones));
    rc_layout_free(layout);
  }
}

// Each counterbass is the third of its column. Outside source: fisacromatica.net, "I bassi della fisarmonica", names
// the first 18; the last two follow by the rule.
static void
test_the_counterbasses_of_the_full_board(void **state)
{
  (void)state;
  static const char *const names[] = { "Db", "Ab", "Eb", "Bb", "F",  "C",  "G",  "D",  "A",   "E",
                                       "B",  "F#", "C#", "G#", "D#", "A#", "E#", "B#", "F##", "C##" };
  RcLayout *layout = find_layout("120");
  for (guint i = 0; i < G_N_ELEMENTS(names); ++i) {
    const RcButton *button = button_at(layout, "counterbass", column_name(layout, i));
    assert_string_equal(rc_note_name(button->sound.root, RC_SIGNS_ASCII), names[i]);
  }
  rc_layout_free(layout);
}

static void
assert_words(const RcLayout *layout, const char *row, const char *column, const char *words, const char *label)
{
  const RcButton *button = button_at(layout, row, column);
  char *found_words = rc_button_describe(layout, button, RC_SIGNS_ASCII);
  char *found_label = rc_button_label(button, RC_SIGNS_ASCII);
  assert_string_equal(found_words, words);
  assert_string_equal(found_label, label);
  g_free(found_label);
  g_free(found_words);
}

static void
test_buttons_are_called_what_a_player_calls_them(void **state)
{
  (void)state;
  RcLayout *full = find_layout("120");
  assert_words(full, "counterbass", "G", "B bass (counterbass of G)", "B");
  assert_words(full, "fundamental", "Bb", "Bb bass", "Bb");
  assert_words(full, "major", "D", "D major", "DM");
  assert_words(full, "minor", "A", "A minor", "Am");
  assert_words(full, "seventh", "C", "C seventh", "C7");
  assert_words(full, "diminished", "F#", "F# diminished", "F#dim");
  rc_layout_free(full);
  RcLayout *shifted = find_layout("120-shifted");
  assert_words(shifted, "diminished", "C", "G diminished (in the C column)", "Gdim");
  rc_layout_free(shifted);
  RcLayout *own = parse_layout(HEAD "columns: [G]\nrows: [counterbass, minor]\n" SPACING
                                    "retuned: {counterbass G: G}\ndead: [minor G]\n");
  assert_words(own, "counterbass", "G", "G bass (counterbass of G)", "G"); // not to be taken for the fundamental
  assert_words(own, "minor", "G", "G dead", "");
  rc_layout_free(own);
}

// --------------------------------------------------------------------------------------------- boards of one's own

// Every button on a line: its row and column, what a player calls it, the pitch classes it sounds.
static char *
board_in_words(const RcLayout *layout)
{
  GString *words = g_string_new(NULL);
  for (guint i = 0; i < layout->buttons->len; ++i) {
    const RcButton *button = rc_layout_button(layout, i);
    char *name = rc_button_describe(layout, button, RC_SIGNS_ASCII);
    g_string_append_printf(words, "%s %s: %s", rc_button_row(layout, button), column_name(layout, button->column),
                           name);
    for (guint pc = 0; pc < 12; ++pc) {
      if (button->sound.tones >> pc & 1U) {
        g_string_append_printf(words, " %u", pc);
      }
    }
    g_string_append_c(words, '\n');
    g_free(name);
  }
  return g_string_free(words, FALSE);
}

typedef struct {
  const char *text;
  const char *board;
  guint buttons; // that sound
} GoodBoard;

#define BASS_ROW                                                                                                       \
  "fundamental F: F bass 5\n"                                                                                          \
  "fundamental C: C bass 0\n"

static const GoodBoard good_boards[] = {
  { BOARD, BASS_ROW "major F: F major 0 5 9\nmajor C: C major 0 4 7\n", 4 },
  // Columns one by one, in any order, with the real signs.
  { HEAD "columns: [D, E♭]\nrows: [minor]\n" SPACING, "minor D: D minor 2 5 9\nminor Eb: Eb minor 3 6 10\n", 2 },
  // Dead buttons keep their place and are not counted.
  { BOARD "dead: [major F, fundamental C]\n",
    "fundamental F: F bass 5\nfundamental C: C dead\nmajor F: F dead\nmajor C: C major 0 4 7\n", 2 },
  // A button that sounds something else: another chord, a bass, bare tones.
  { BOARD "retuned: {major F: D minor}\n",
    BASS_ROW "major F: D minor (in the F column) 2 5 9\nmajor C: C major 0 4 7\n", 4 },
  { BOARD "retuned:\n  major F: A\n  major C: C 1 5\n",
    BASS_ROW "major F: A bass (major of F) 9\nmajor C: C chord 0 7\n", 4 },
  { BOARD "retuned: {major F: F minor}\ndead: [major F]\n", BASS_ROW "major F: F dead\nmajor C: C major 0 4 7\n", 3 },
  // Tones that make one of the usual chords are that chord.
  { BOARD "retuned: {major F: F 1 b3 5, major C: C 1 3 b7}\n",
    BASS_ROW "major F: F minor 0 5 8\nmajor C: C seventh 0 4 10\n", 4 },
  { BOARD "retuned: {major F: F 1 3 5, major C: C 1}\n", BASS_ROW "major F: F major 0 5 9\nmajor C: C bass 0\n", 4 },
  // A row that leaves out a tone, a row with all four, and a shifted row: one column sharper, C beside F.
  { HEAD "columns: [F]\nrows:\n  - {row: seventh, sounds: 3 5 b7}\n  - {row: diminished, sounds: 1 b3 b5 bb7}\n"
         "  - {row: minor, shift: 1}\n" SPACING,
    "seventh F: F seventh 0 3 9\ndiminished F: F diminished 2 5 8 11\nminor F: C minor (in the F column) 0 3 7\n", 3 },
  { HEAD "columns: [F]\nrows: [{row: major, shift: -2}]\n" SPACING, "major F: Eb major (in the F column) 3 7 10\n", 1 },
  // Bass rows away from the fundamentals.
  { HEAD "columns: [G]\nrows: [minor-third, counterbass, augmented]\n" SPACING,
    "minor-third G: Bb bass (minor-third of G) 10\ncounterbass G: B bass (counterbass of G) 11\n"
    "augmented G: G augmented 3 7 11\n",
    3 },
  // A list of buttons: what is not listed is dead.
  { BOARD "buttons: {fundamental C: G, major F: F seventh}\n",
    "fundamental F: F dead\nfundamental C: G bass (fundamental of C) 7\nmajor F: F seventh 3 5 9\nmajor C: C dead\n",
    2 },
};

// Tones above F, and what a button that sounds them is called: a chord keeps its name while the tones are left that
// make it one, its root and third, the third and seventh of a seventh, the third and a diminished fifth or seventh.
static const char *const kinds_of_tones[][2] = {
  { "1", "F bass" },
  { "5", "F chord" },
  { "1 5", "F chord" },
  { "1 3", "F major" },
  { "1 3 5", "F major" },
  { "3 5", "F chord" },
  { "1 b3", "F minor" },
  { "1 b3 5", "F minor" },
  { "b3 5", "F chord" },
  { "3 b7", "F seventh" },
  { "1 3 5 b7", "F seventh" },
  { "1 5 b7", "F chord" },
  { "1 b7", "F chord" },
  { "1 b3 b7", "F chord" },
  { "1 3 6", "F chord" },
  { "1 3 5 6", "F chord" },
  { "1 3 5 7", "F chord" },
  { "1 3 b7 9", "F chord" },
  { "1 b3 b5", "F diminished" },
  { "b3 b5", "F diminished" },
  { "1 b3 bb7", "F diminished" },
  { "1 b3 b5 b7", "F chord" },
  { "b5 bb7", "F chord" },
  { "1 b5 bb7", "F chord" },
  { "1 b3 b5 bb7", "F diminished" },
  { "1 3 #5", "F augmented" },
  { "3 #5", "F chord" },
  { "1 #5", "F chord" },
  { "1 3 #5 b7", "F chord" },
};

static void
test_tones_that_make_a_chord(void **state)
{
  (void)state;
  for (guint i = 0; i < G_N_ELEMENTS(kinds_of_tones); ++i) {
    char *text = g_strdup_printf(BOARD "retuned: {major F: \"F %s\"}\n", kinds_of_tones[i][0]);
    RcLayout *layout = parse_layout(text);
    char *name = rc_button_describe(layout, button_at(layout, "major", "F"), RC_SIGNS_ASCII);
    if (strcmp(name, kinds_of_tones[i][1]) != 0) {
      fail_msg("%s: %s", kinds_of_tones[i][0], name);
    }
    g_free(name);
    rc_layout_free(layout);
    g_free(text);
  }
}

static void
test_boards_of_ones_own(void **state)
{
  (void)state;
  for (guint i = 0; i < G_N_ELEMENTS(good_boards); ++i) {
    RcLayout *layout = parse_layout(good_boards[i].text);
    char *board = board_in_words(layout);
    assert_string_equal(board, good_boards[i].board);
    assert_int_equal(rc_layout_count_buttons(layout), good_boards[i].buttons);
    g_free(board);
    rc_layout_free(layout);
  }
}

// The widest shifts are six columns either way: F sharp and G flat in the C column, which are one note.
static void
test_what_is_allowed_to_its_ends(void **state)
{
  (void)state;
  RcLayout *shifted = parse_layout(HEAD "columns: [C]\nrows:\n  - {row: major, shift: 6}\n"
                                        "  - {row: minor, shift: -6}\n" SPACING);
  assert_words(shifted, "major", "C", "F# major (in the C column)", "F#M");
  assert_words(shifted, "minor", "C", "Gb minor (in the C column)", "Gbm");
  rc_layout_free(shifted);
  rc_layout_free(parse_layout(HEAD COLUMNS ROWS "spacing: {column: 5, row: 5, slant: 0}\n"));
  rc_layout_free(parse_layout(HEAD COLUMNS ROWS "spacing: {column: 100, row: 100, slant: 100}\n"));
}

// In semitones above C.
static void
assert_reeds(const char *reeds, guint first_bass, guint first_chord)
{
  char *text = g_strconcat(BOARD, reeds, NULL);
  RcLayout *layout = parse_layout(text);
  assert_int_equal(layout->first_bass, first_bass);
  assert_int_equal(layout->first_chord, first_chord);
  rc_layout_free(layout);
  g_free(text);
}

static void
test_the_lowest_notes_of_the_reeds(void **state)
{
  (void)state;
  assert_reeds("", 4, 7); // E and G
  assert_reeds("reeds: {bass: C, chord: F#}\n", 0, 6);
  assert_reeds("reeds: {bass: Bb}\n", 10, 7);
  assert_reeds("reeds: {chord: A}\n", 4, 9);
}

static void
assert_columns(const char *text, const char *expected)
{
  GString *columns = g_string_new(NULL);
  RcLayout *layout = parse_layout(text);
  for (guint i = 0; i < layout->columns->len; ++i) {
    g_string_append_printf(columns, "%s%s", i ? " " : "", column_name(layout, rc_layout_column_at(layout, i)));
  }
  assert_string_equal(columns->str, expected);
  g_string_free(columns, TRUE);
  rc_layout_free(layout);
}

static void
test_columns_from_the_knee_to_the_chin(void **state)
{
  (void)state;
  assert_columns(HEAD "columns: F..G\n" ROWS SPACING, "F C G");
  assert_columns(HEAD "columns: F..G\n" ROWS SPACING "mirrored: true\n", "G C F");
}

// An instrument built a whole tone lower, as one for B flat: each button, and the octaves in which its reeds lie.
static void
test_a_board_that_sounds_higher_or_lower(void **state)
{
  (void)state;
  RcLayout *layout = parse_layout(BOARD "source: a page\nreeds: {bass: E, chord: G}\n");
  layout->file = g_strdup("boards/tiny.yaml"); // as rc_layout_find() notes it
  for (int octave = -12; octave <= 12; octave += 12) {
    RcLayout *lower = rc_layout_moved(layout, octave - 2);
    RcLayout *back = rc_layout_moved(lower, 2);
    assert_words(lower, "fundamental", "F", "Eb bass (fundamental of F)", "Eb");
    assert_words(lower, "major", "C", "Bb major (in the C column)", "BbM");
    assert_int_equal(button_at(lower, "major", "C")->sound.tones, pitch_classes("10 2 5"));
    assert_int_equal(lower->first_bass, 2);  // D, a tone below E
    assert_int_equal(lower->first_chord, 5); // F, a tone below G
    assert_string_equal(lower->name, "tiny");
    assert_string_equal(lower->title, layout->title);
    assert_string_equal(lower->file, "boards/tiny.yaml");
    assert_string_equal(g_ptr_array_index(lower->sources, 0), "a page");
    assert_words(back, "major", "C", "C major", "CM");
    assert_int_equal(back->first_bass, layout->first_bass);
    assert_int_equal(back->first_chord, layout->first_chord);
    rc_layout_free(back);
    rc_layout_free(lower);
  }
  rc_layout_free(layout);
}

static void
test_what_a_board_says_of_itself(void **state)
{
  (void)state;
  RcLayout *layout = parse_layout(BOARD "source: [a page, another page]\n");
  assert_string_equal(layout->name, "tiny");
  assert_string_equal(layout->title, "a board to try things on");
  assert_int_equal(layout->sources->len, 2);
  assert_string_equal(g_ptr_array_index(layout->sources, 1), "another page");
  rc_layout_free(layout);
  layout = parse_layout(BOARD "source: a page\n");
  assert_int_equal(layout->sources->len, 1);
  rc_layout_free(layout);
  layout = parse_layout("\xef\xbb\xbf" BOARD); // a byte order mark says nothing
  assert_string_equal(layout->name, "tiny");
  rc_layout_free(layout);
}

static void
assert_at(const RcLayout *layout, const char *row, const char *column, double x, double y)
{
  const RcButton *button = button_at(layout, row, column);
  assert_true(fabs(button->x - x) < 1e-9 && fabs(button->y - y) < 1e-9);
}

// Columns 16 mm apart, rows 12.5 mm, each further row 8 mm nearer to the chin.
static void
assert_slanted_board(void)
{
  RcLayout *layout =
    parse_layout(HEAD "columns: F..G\nrows: [fundamental, major, minor]\nspacing: {column: 16, row: 12.5, slant: 8}\n");
  assert_at(layout, "fundamental", "F", 0, 0);
  assert_at(layout, "fundamental", "C", 16, 0);
  assert_at(layout, "major", "F", 8, 12.5);
  assert_at(layout, "minor", "G", 48, 25); // 2 columns of 16, 2 rows of 8
  rc_layout_free(layout);
}

static void
test_where_the_buttons_lie(void **state)
{
  (void)state;
  assert_slanted_board();
  RcLayout *straight = parse_layout(BOARD);
  assert_at(straight, "major", "C", 16, 12);
  rc_layout_free(straight);
}

static void
test_where_the_buttons_lie_in_every_country(void **state)
{
  (void)state;
  static const char *const names[] = { "de_DE.UTF-8", "fr_FR.UTF-8", "it_IT.UTF-8", "es_ES.UTF-8", "pl_PL.UTF-8" };
  gboolean comma = FALSE;
  for (guint i = 0; i < G_N_ELEMENTS(names) && !comma; ++i) {
    comma = setlocale(LC_ALL, names[i]) && !strcmp(localeconv()->decimal_point, ",");
  }
  if (!comma) {
    skip();
  }
  assert_slanted_board();
}

static int
restore_locale(void **state)
{
  (void)state;
  return setlocale(LC_ALL, "C") ? 0 : -1;
}

// --------------------------------------------------------------------------------------------------------- mistakes

typedef struct {
  const char *text;
  const char *message; // after "tiny.yaml:"
} BadBoard;

#define NEEDS_ROWS "a layout needs `rows:`, a list such as [fundamental, major], from the bellows outwards"
#define NEEDS_COLUMNS "a layout needs a line `columns: Eb..E` (or a list of notes)"
#define NEEDS_SPACING "`spacing` names column and row in mm, as {column: 16, row: 12.5, slant: 8}; or leave it out"
#define WRONG_ENDS "; expected the flattest and the sharpest, such as `Eb..E`"
#define WRONG_NOTE " is no note; write columns as `Eb..E` or [D, G, C]"
#define ONCE_FOR_EACH "expected what the button sounds, or once for each direction such as `{push: E, pull: A}`"
#define NO_MINOR_ROW ", but no row `minor`; the rows here are fundamental, major"
#define WRONG_BUTTON "; expected a row and a column of this layout, such as `fundamental F`"
#define OR_CHORD ", or a chord that has a button of its own here"
#define WRONG_SOUND "; expected a note (`B`), a chord (`B minor`) or tones (`B 1 5`)"
#define SPACES "; indent with spaces, no tabulators, and put a text that begins with such a character in quotes"
#define CHECK_YAML "; check indentation, quotes and colons there"

// Lines and columns are counted by hand from 1, columns in characters.
static const BadBoard bad_boards[] = {
  { "", "1:1: a layout is a list of `key: value` lines; found nothing" },
  { "# only a remark\n", "1:1: a layout is a list of `key: value` lines; found nothing" },
  { "- F\n- C\n", "1:1: a layout is a list of `key: value` lines; found something else" },
  { "\n\n  twelve basses\n", "3:3: a layout is a list of `key: value` lines; found something else" },

  // name and title, which may be left out, but not be empty
  { "name:\ntitle: x\n" COLUMNS ROWS SPACING,
    "1:6: found no text for `name`; write one, or leave the line out" }, // after the colon
  { "name: [tiny]\ntitle: x\n" COLUMNS ROWS SPACING,
    "1:7: found no text for `name`; write one, or leave the line out" },
  { "name: tiny\ntitle: ''\n" COLUMNS ROWS SPACING,
    "2:8: found no text for `title`; write one, or leave the line out" },
  { BOARD "source: {page: 5}\n", "6:9: `source` is a text or a list of texts" },

  // keys
  { BOARD "colour: red\n", "6:1: unknown key `colour`; expected one of: name, title, source, columns, rows, spacing, "
                           "reeds, dead, retuned, buttons, mirrored" },
  { HEAD "colums: F..C\n" ROWS SPACING, "3:1: unknown key `colums`; did you mean `columns`?" },
  { BOARD "[a, b]: c\n", "6:1: unknown key `(a list)`; expected one of: name, title, source, columns, rows, spacing, "
                         "reeds, dead, retuned, buttons, mirrored" },
  { BOARD "rows: [major]\n", "6:1: the key `rows` is given twice; keep one" },

  // columns
  { HEAD ROWS SPACING, "1:1: " NEEDS_COLUMNS },
  { HEAD "columns: {F: C}\n" ROWS SPACING, "3:10: " NEEDS_COLUMNS },
  { HEAD "columns: F..X\n" ROWS SPACING, "3:10: found columns `F..X`" WRONG_ENDS },
  { HEAD "columns: C..F\n" ROWS SPACING, "3:10: found columns `C..F`" WRONG_ENDS }, // C is the sharper one
  { HEAD "columns: F\n" ROWS SPACING, "3:10: found columns `F`" WRONG_ENDS },
  { HEAD "columns: F..C..G\n" ROWS SPACING, "3:10: found columns `F..C..G`" WRONG_ENDS },
  { HEAD "columns: F...C\n" ROWS SPACING, "3:10: found columns `F...C`" WRONG_ENDS },
  { HEAD "columns: []\n" ROWS SPACING, "3:10: a layout has at least one column" },
  { HEAD "columns: [F, H, C]\n" ROWS SPACING, "3:14: `H`" WRONG_NOTE }, // columns: [ is 10, F at 11, H at 14
  { HEAD "columns: [E♭, H]\n" ROWS SPACING, "3:15: `H`" WRONG_NOTE },   // E11 ♭12 ,13 H15
  { HEAD "columns: [F, [C]]\n" ROWS SPACING, "3:14: `(a list)`" WRONG_NOTE },
  { HEAD "columns: [F, C, F]\n" ROWS SPACING, "3:17: the column `F` is listed twice" },

  // rows
  { HEAD COLUMNS SPACING, "1:1: " NEEDS_ROWS },
  { HEAD COLUMNS "rows: fundamental\n" SPACING, "4:7: " NEEDS_ROWS },
  { HEAD COLUMNS "rows: []\n" SPACING, "4:7: " NEEDS_ROWS },
  { HEAD COLUMNS "rows: [fundamental, majr]\n" SPACING, "4:21: found row `majr`; did you mean `major`?" }, // 8 + 11 + 2
  { HEAD COLUMNS "rows:\n  - fundamental\n  - zither\n" SPACING,
    "6:5: found row `zither`; expected a row name such as fundamental or minor" },
  { HEAD COLUMNS "rows: [[major]]\n" SPACING,
    "4:8: found row `(a list)`; expected a row name such as fundamental or minor" },
  { HEAD COLUMNS "rows: [fundamental, fundamental]\n" SPACING, "4:21: the row `fundamental` is listed twice" },
  // in `  - {row: seventh, sounds: ...}` the brace is at 5, row at 6, sounds (or shift, or tune) at 20
  { HEAD COLUMNS "rows:\n  - major\n  - {row: seventh, sounds: 1 3 x}\n" SPACING,
    "6:28: found `1 3 x`; expected the tones of a button above its root, such as `1 3 b7`" },
  { HEAD COLUMNS "rows:\n  - major\n  - {row: seventh, shift: 7}\n" SPACING,
    "6:27: found shift `7`; expected the columns from -6 to 6 by which the row sounds sharper" },
  { HEAD COLUMNS "rows:\n  - major\n  - {row: seventh, shift: 1.5}\n" SPACING,
    "6:27: found shift `1.5`; expected the columns from -6 to 6 by which the row sounds sharper" },
  { HEAD COLUMNS "rows:\n  - major\n  - {row: seventh, shift: -7}\n" SPACING,
    "6:27: found shift `-7`; expected the columns from -6 to 6 by which the row sounds sharper" },
  { HEAD COLUMNS "rows:\n  - major\n  - {row: seventh, shift: ''}\n" SPACING,
    "6:27: found shift ``; expected the columns from -6 to 6 by which the row sounds sharper" },
  { HEAD COLUMNS "rows:\n  - major\n  - {row: seventh, shift: [1]}\n" SPACING,
    "6:27: found shift ``; expected the columns from -6 to 6 by which the row sounds sharper" },
  { HEAD COLUMNS "rows:\n  - major\n  - {row: seventh, tune: 1}\n" SPACING,
    "6:20: unknown key `tune`; expected one of: row, sounds, shift" },
  { HEAD COLUMNS "rows:\n  - major\n  - {row: seventh, row: minor}\n" SPACING,
    "6:20: the key `row` is given twice; keep one" },

  // spacing
  { HEAD COLUMNS ROWS "spacing: 16\n", "5:10: " NEEDS_SPACING },
  { HEAD COLUMNS ROWS "spacing: {row: 12}\n", "5:10: " NEEDS_SPACING },
  { HEAD COLUMNS ROWS "spacing: {column: 16}\n", "5:10: " NEEDS_SPACING },
  { HEAD COLUMNS ROWS "spacing: {colum: 16, row: 12}\n", "5:11: unknown key `colum`; did you mean `column`?" },
  { HEAD COLUMNS ROWS "spacing: {column: 3, row: 12}\n", "5:19: found column `3`; expected 5 to 100 mm" },
  { HEAD COLUMNS ROWS "spacing: {column: wide, row: 12}\n", "5:19: found column `wide`; expected 5 to 100 mm" },
  { HEAD COLUMNS ROWS "spacing: {column: 16, row: 101}\n", "5:28: found row `101`; expected 5 to 100 mm" },
  { HEAD COLUMNS ROWS "spacing: {column: 16, row: 12mm}\n", "5:28: found row `12mm`; expected 5 to 100 mm" },
  { HEAD COLUMNS ROWS "spacing: {column: 16, row: 12, slant: -1}\n", "5:39: found slant `-1`; expected 0 to 100 mm" },

  // reeds
  { BOARD "reeds: E\n", "6:8: `reeds` names the lowest note of the basses and of the chords, as {bass: E, chord: G}" },
  { BOARD "reeds: {base: E}\n", "6:9: unknown key `base`; did you mean `bass`?" },
  { BOARD "reeds: {bass: low}\n", "6:15: found bass `low`; expected a note such as E" },
  { BOARD "reeds: {bass: C, chord: [G]}\n", "6:25: found chord `(a list)`; expected a note such as E" },

  // single buttons
  { BOARD "dead: major F\n", "6:7: `dead` is a list such as [minor E, seventh E]" },
  { BOARD "dead: [minor F]\n", "6:8: found button `minor F`" NO_MINOR_ROW }, // no such row
  { BOARD "dead: [major F, major D]\n",
    "6:17: found button `major D`, but no column `D`; the columns here are F, C" }, // no such column
  { BOARD "dead: [major]\n", "6:8: found button `major`" WRONG_BUTTON OR_CHORD },
  { BOARD "dead: [[major, F]]\n", "6:8: found button `(a list)`" WRONG_BUTTON },
  { BOARD "retuned: [major F]\n", "6:10: `retuned` is a list of lines such as `minor E: E major`" },
  { BOARD "retuned: {minor F: F}\n", "6:11: found button `minor F`" NO_MINOR_ROW },
  { BOARD "retuned: {major F: X}\n", "6:20: found the sound `X`" WRONG_SOUND },
  { BOARD "retuned: {major F: F tiny}\n", "6:20: found the sound `F tiny`" WRONG_SOUND },
  { BOARD "retuned: {major F: F 1 8}\n", "6:20: found the sound `F 1 8`" WRONG_SOUND },
  { BOARD "retuned: {major F: F counterbass}\n", "6:20: found the sound `F counterbass`" WRONG_SOUND },
  { BOARD "retuned: {major F: [F, C]}\n", "6:20: found the sound `(a list)`" WRONG_SOUND },
  { BOARD "retuned:\n  major F: F minor\n  major F: F\n", "8:3: the key `major F` is given twice; keep one" },
  { BOARD "buttons: {major G: G}\n", "6:11: found button `major G`, but no column `G`; the columns here are F, C" },

  // push and pull, counted from the sixth line on
  { BOARD "retuned: {major F: {push: F, pul: C}}\n", "6:30: unknown key `pul`; did you mean `pull`?" },
  { BOARD "retuned: {major F: {push: F, push: C}}\n", "6:30: the key `push` is given twice; keep one" },
  { BOARD "retuned: {major F: {}}\n", "6:20: " ONCE_FOR_EACH },
  { BOARD "retuned: {major F push: {pull: C}}\n", "6:25: " ONCE_FOR_EACH },
  { BOARD "retuned: {major F: {push: X}}\n", "6:27: found the sound `X`" WRONG_SOUND },
  { BOARD "retuned: {major F: {pull: [F]}}\n", "6:27: found the sound `(a list)`" WRONG_SOUND },
  { BOARD "retuned: {major F: F bass}\n", "6:20: found the sound `F bass`" WRONG_SOUND },
  { BOARD "dead: [major F up]\n",
    "6:8: found button `major F up`, but no direction `up`; a button may be followed by push or pull" },
  { BOARD "mirrored: yes\n", "6:11: found mirrored `yes`; expected true or false" },
  { BOARD "mirrored: [true]\n", "6:11: found mirrored `(a list)`; expected true or false" },

  // more than one document
  { BOARD "---\nname: more\n",
    "6:1: a second document begins here; a file of this kind holds one, so remove the line `---`" },
  { BOARD "---\n\ttab\n", "7:1: broken YAML: found character that cannot start any token while scanning for the next "
                          "token" SPACES },

  // broken YAML
  { "name: tiny\ntitle: \"a board\n", "3:1: broken YAML: found unexpected end of stream while scanning a quoted scalar "
                                      "that begins at line 2, column 8; close the quotes" },
  { HEAD "columns: [F, C\n" ROWS SPACING,
    "4:5: broken YAML: did not find expected ',' or ']' while parsing a flow sequence that begins at line 3, "
    "column 10" CHECK_YAML }, // what comes after C is `C rows`, then a colon
  { HEAD COLUMNS "rows:\n\t- fundamental\n", "5:1: broken YAML: found character that cannot start any token while "
                                             "scanning for the next token" SPACES },

  // bytes that are no text
  { "name: tiny\ntitle: caf\xe9\n", "2:11: byte 0xE9 is not UTF-8 text; save the file as UTF-8" },
  { "name: tiny\ntitle: B♭ caf\xe9\n", "2:14: byte 0xE9 is not UTF-8 text; save the file as UTF-8" }, // B8 ♭9 c11
  { "name: \"tiny\\0\"\ntitle: x\n" COLUMNS ROWS SPACING,
    "1:7: the control character U+0000 is not allowed in a text; remove it" },
  { "name: tiny\ntitle: x\n" COLUMNS "rows: [fundamental, \"ma\\0jor\"]\n" SPACING,
    "4:21: the control character U+0000 is not allowed in a text; remove it" },
  { "name: \"ti\\nny\"\ntitle: x\n" COLUMNS ROWS SPACING, "1:7: name holds a line end (U+000A); write it on one line" },
  { "name: tiny\ntitle: |\n  x\n  y\n" COLUMNS ROWS SPACING,
    "2:8: title holds a line end (U+000A); write it on one line" },
  { "name: tiny\ntitle: a\x07 board\n", "2:9: the control character U+0007 is not allowed in a text; remove it" },
};

// What reading says of a text that holds no layout; a new string, NULL when it is read as one.
static char *
refusal(const char *text)
{
  GError *error = NULL;
  RcLayout *layout = rc_layout_parse(text, strlen(text), "tiny.yaml", &error);
  char *message = error ? g_strdup(error->message) : NULL;
  assert_true((layout != NULL) != (error != NULL));
  assert_true(!error || error->domain == RC_ERROR);
  rc_layout_free(layout);
  g_clear_error(&error);
  layout = rc_layout_parse(text, strlen(text), "tiny.yaml", NULL); // nobody need ask why
  assert_true((layout != NULL) == (message == NULL));
  rc_layout_free(layout);
  return message;
}

static gboolean
is_refused(const BadBoard *bad)
{
  char *expected = g_strconcat("tiny.yaml:", bad->message, NULL);
  char *found = refusal(bad->text);
  const gboolean same = !g_strcmp0(found, expected);
  if (!same) {
    print_error("found    %s\nexpected %s\n", found ? found : "a layout", expected);
  }
  g_free(found);
  g_free(expected);
  return same;
}

static void
test_mistakes_are_named_with_their_place(void **state)
{
  (void)state;
  guint wrong = 0;
  for (guint i = 0; i < G_N_ELEMENTS(bad_boards); ++i) {
    wrong += !is_refused(&bad_boards[i]);
  }
  assert_int_equal(wrong, 0);
}

// The lists within the layout itself, which is the first of 64. `x: [` has its bracket in column 4.
static void
test_lists_nested_too_deep(void **state)
{
  (void)state;
  for (guint n = 63; n <= 64; ++n) {
    char *open = g_strnfill(n, '[');
    char *close = g_strnfill(n, ']');
    char *text = g_strconcat(HEAD "x: ", open, close, "\n", NULL);
    char *found = refusal(text);
    assert_true(g_str_has_prefix(found, n == 63 ? "tiny.yaml:3:1: unknown key `x`"
                                                : "tiny.yaml:3:67: more than 64 nested lists"));
    g_free(found);
    g_free(text);
    g_free(close);
    g_free(open);
  }
}

// Cut anywhere, a layout is read or refused with a message, and does no harm.
static void
test_a_layout_cut_off_anywhere(void **state)
{
  (void)state;
  static const char whole[] =
    BOARD "source: [a, b]\nretuned: {major F: F 1 5}\nbuttons: {major C: C minor}\ndead: []\n";
  for (gsize length = 1; length < sizeof whole; ++length) {
    GError *error = NULL;
    char *cut = g_memdup2(whole, length);
    RcLayout *layout = rc_layout_parse(cut, length, "tiny.yaml", &error);
    assert_true((layout != NULL) != (error != NULL));
    assert_true(!error || g_str_has_prefix(error->message, "tiny.yaml:"));
    rc_layout_free(layout);
    g_clear_error(&error);
    g_free(cut);
  }
  rc_layout_free(NULL);
}

// ----------------------------------------------------------------------------------------------------- what is taken

static void
test_only_columns_and_rows_are_needed(void **state)
{
  (void)state;
  RcLayout *layout = rc_layout_parse(COLUMNS ROWS, strlen(COLUMNS ROWS), "attic/my.old.yaml", NULL);
  assert_non_null(layout);
  assert_string_equal(layout->name, "my.old");
  assert_string_equal(layout->title, "2 columns by 2 rows");
  assert_int_equal(layout->taken, RC_TAKEN_NAME | RC_TAKEN_TITLE | RC_TAKEN_SPACING);
  assert_float_equal(layout->column_mm, 16, 0); // as the layouts that ship
  assert_float_equal(layout->row_mm, 12.5, 0);
  assert_float_equal(layout->slant_mm, 8, 0);
  assert_false(layout->mirrored);
  rc_layout_free(layout);
  layout = rc_layout_parse(COLUMNS ROWS, strlen(COLUMNS ROWS), "attic/.yaml", NULL);
  assert_string_equal(layout->name, ".yaml"); // never empty
  rc_layout_free(layout);
}

// ------------------------------------------------------------------------------------------------------------ finding

static void
assert_not_found(const char *name, const char *expected)
{
  GError *error = NULL;
  assert_null(rc_layout_find(name, &error));
  char *message =
    g_strdup_printf("no layout is called `%s`; %s a file of your own is named by its path", name, expected);
  assert_true(g_error_matches(error, RC_ERROR, RC_ERROR_UNKNOWN));
  assert_string_equal(error->message, message);
  g_free(message);
  g_error_free(error);
}

static void
test_a_mistyped_name_proposes_the_nearest(void **state)
{
  (void)state;
  assert_not_found("48", "did you mean `48-8x6` or `48-12x4`?"); // each is a 48
  assert_not_found("push-pull-8",
                   "did you mean `push-pull-8-ad`, `push-pull-8-bc`, `push-pull-8-bc2`, `push-pull-8-bc3`, "
                   "`push-pull-8-cf`, `push-pull-8-csd`, `push-pull-8-dg`, `push-pull-8-dg2` or "
                   "`push-pull-8-gc`?");
  assert_not_found("48-8x5", "did you mean `48-8x6`?");
  assert_not_found("48-12X4 ", "did you mean `48-12x4`?");
  assert_not_found("21",
                   "did you mean `12`?"); // swapped letters are one slip, as is one letter to 24, which comes later
  assert_not_found("120-shiftd", "did you mean `120-shifted`?");
  assert_not_found("60-rootles-7", "did you mean `60-rootless-7`?");
  assert_not_found("140-augmentend", "did you mean `140-augmented`?");
  const char *names =
    "expected 8, 12, 24, 32, 40, 48-8x6, 48-12x4, 60, 72, 80, 96, 120 or another of `rowcall layouts`;";
  assert_not_found("the small one", names);
  assert_not_found("a name so long that it can be nobody's slip of the finger", names);
}

static int
make_folder(void **state)
{
  char *folder = g_dir_make_tmp("rowcall-layouts-XXXXXX", NULL);
  *state = folder;
  return folder && !g_chdir(folder) ? 0 : -1;
}

static int
remove_folder(void **state)
{
  const int gone = g_remove("own.yaml") | g_chdir("/") | g_rmdir(*state);
  g_free(*state);
  return gone;
}

static void
test_a_file_of_ones_own(void **state)
{
  (void)state;
  assert_true(g_file_set_contents("own.yaml", BOARD, -1, NULL));
  RcLayout *by_ending = find_layout("own.yaml");
  RcLayout *by_slash = find_layout("./own.yaml");
  assert_string_equal(by_ending->name, "tiny");
  assert_string_equal(by_slash->name, "tiny");
  rc_layout_free(by_slash);
  rc_layout_free(by_ending);
}

static void
assert_unreadable(const char *name, RcErrorCode code, const char *beginning)
{
  GError *error = NULL;
  assert_null(rc_layout_find(name, &error));
  assert_true(g_error_matches(error, RC_ERROR, (int)code));
  if (!g_str_has_prefix(error->message, beginning)) {
    fail_msg("found `%s`, expected `%s...`", error->message, beginning);
  }
  g_error_free(error);
}

static void
test_files_that_hold_no_layout(void **state)
{
  (void)state;
  assert_unreadable("missing.yaml", RC_ERROR_IO, "missing.yaml: cannot be read: ");
  assert_unreadable("./nowhere/x", RC_ERROR_IO, "./nowhere/x: cannot be read: ");
  assert_true(g_file_set_contents("own.yaml", HEAD "columns: C..F\n", -1, NULL));
  assert_unreadable("own.yaml", RC_ERROR_VALUE, "own.yaml:3:10: found columns `C..F`");
  char *remark = g_strnfill((1 << 20) + 1, '#');
  assert_true(g_file_set_contents("own.yaml", remark, -1, NULL));
  assert_unreadable("own.yaml", RC_ERROR_LIMIT, "own.yaml: is larger than a layout file may be (1048576 bytes)");
  g_free(remark);
}

// ------------------------------------------------------------------------------------------------------------- grips

static void
collect(const RcGrip *grip, gpointer data)
{
  g_array_append_vals(data, grip, 1);
}

static GArray *
grips_of(const RcLayout *layout, guint reach, guint press)
{
  GArray *grips = g_array_new(FALSE, FALSE, sizeof(RcGrip));
  rc_layout_each_grip(layout, (RcHand){ reach, press }, collect, grips);
  return grips;
}

static guint
count_grips(const RcLayout *layout, guint reach, guint press)
{
  GArray *grips = grips_of(layout, reach, press);
  const guint count = grips->len;
  g_array_unref(grips);
  return count;
}

// F and C, a bass and a major chord each. A bass alone, with one of two chords, with both: 1 + 2 + 1 for each of 2
// basses. Both basses, neighbours and a fifth apart: alone and with one of two chords.
static void
test_grips_of_two_columns(void **state)
{
  (void)state;
  RcLayout *layout = parse_layout(BOARD);
  assert_int_equal(count_grips(layout, 4, 3), 2 * (1 + 2 + 1) + (1 + 2));
  assert_int_equal(count_grips(layout, 1, 3), 2 * (1 + 2 + 1) + (1 + 2));
  assert_int_equal(count_grips(layout, 4, 2), 2 * (1 + 2) + 1);
  assert_int_equal(count_grips(layout, 4, 1), 2);
  assert_int_equal(count_grips(layout, 0, 3), 2 * (1 + 1)); // only the chord of its own column
  rc_layout_free(layout);
  layout =
    parse_layout(HEAD COLUMNS "rows: [major, fundamental]\n" SPACING); // nor does it matter which row comes first
  assert_int_equal(count_grips(layout, 4, 3), 2 * (1 + 2 + 1) + (1 + 2));
  rc_layout_free(layout);
}

// F, C, G within one column: F and G reach two columns, so 2 chords and 1 pair; C reaches three, so 3 chords and the 2
// pairs that lie together. F and C have the two chords of their columns, so have C and G; all three basses lie two
// apart, and then nothing is left to press.
static void
test_grips_of_three_columns_within_reach(void **state)
{
  (void)state;
  RcLayout *layout = parse_layout(HEAD "columns: F..G\n" ROWS SPACING);
  assert_int_equal(count_grips(layout, 1, 3), (1 + 2 + 1) + (1 + 3 + 2) + (1 + 2 + 1) + 2 * (1 + 2));
  assert_int_equal(count_grips(layout, 2, 3), 3 * (1 + 3 + 3) + 2 * (1 + 3) + 1);
  rc_layout_free(layout);
}

// Of two basses and two chords one of each is left.
static void
test_dead_buttons_are_in_no_grip(void **state)
{
  (void)state;
  RcLayout *layout = parse_layout(BOARD "dead: [fundamental F, major C]\n");
  GArray *grips = grips_of(layout, 4, 3);
  assert_int_equal(grips->len, 1 + 1);
  const RcGrip *last = &g_array_index(grips, RcGrip, 1);
  assert_int_equal(last->basses[0], button_index(layout, "fundamental", "C"));
  assert_int_equal(last->n_chords, 1);
  assert_int_equal(last->chords[0], button_index(layout, "major", "F"));
  g_array_unref(grips);
  rc_layout_free(layout);
}

// A chord button that was retuned to a single note is a bass like any other, one that sounds odd tones a chord.
static void
test_a_retuned_button_is_what_it_sounds(void **state)
{
  (void)state;
  RcLayout *bass = parse_layout(BOARD "retuned: {major C: G}\n");   // basses F, C, G; one chord
  assert_int_equal(count_grips(bass, 4, 3), 3 * (1 + 1) + (1 + 1)); // F and C are neighbours in one row
  rc_layout_free(bass);
  RcLayout *fifth = parse_layout(BOARD "retuned: {major C: G 1 5}\n");
  assert_int_equal(count_grips(fifth, 4, 3), 2 * (1 + 2 + 1) + (1 + 2));
  rc_layout_free(fifth);
}

static void
assert_grip(const RcLayout *layout, const RcGrip *grip, const char *words, const char *tones, guint reach)
{
  char *found = rc_grip_describe(layout, grip, RC_SIGNS_ASCII);
  assert_string_equal(found, words);
  assert_int_equal(rc_grip_tones(layout, grip), pitch_classes(tones));
  assert_int_equal(rc_grip_reach(layout, grip), reach);
  g_free(found);
}

static void
test_grips_in_words_and_tones(void **state)
{
  (void)state;
  RcLayout *layout = find_layout("48-8x6");
  const guint16 b = (guint16)button_index(layout, "counterbass", "G");
  const guint16 c = (guint16)button_index(layout, "fundamental", "C");
  const guint16 d_major = (guint16)button_index(layout, "major", "D");
  const guint16 e_minor = (guint16)button_index(layout, "minor", "E");
  assert_grip(layout, &(RcGrip){ { b }, { 0 }, 1, 0 }, "B bass (counterbass of G)", "11", 0);
  assert_grip(layout, &(RcGrip){ { b }, { d_major }, 1, 1 }, "B bass (counterbass of G) + D major", "11 2 6 9", 1);
  assert_grip(layout, &(RcGrip){ { c }, { e_minor }, 1, 1 }, "C bass + E minor", "0 4 7 11", 4); // C G D A E
  assert_grip(layout, &(RcGrip){ { c }, { d_major, e_minor }, 1, 2 }, "C bass + D major + E minor", "0 2 6 9 4 7 11",
              4);
  rc_layout_free(layout);
}

static const RcLayout *comparing; // for qsort

static int
compare_grips(const void *a, const void *b)
{
  return rc_grip_compare(comparing, a, b);
}

// Six columns, a bass and a major chord each, reach 4, so that only the first and the last column are too far apart: 6
// basses alone; 36 - 2 with a chord; with two chords all 15 pairs less the one of both ends for each of the 4 inner
// basses, and for each of the 2 outer ones the 10 pairs of its five columns. 5 pairs of neighbouring basses, the 3
// inner ones with 6 chords and the 2 outer ones with 5; 4 times three in a row.
static GArray *
grips_of_the_12(const RcLayout *layout)
{
  GArray *grips = grips_of(layout, RC_GRIP_REACH, RC_GRIP_PRESS);
  assert_int_equal(grips->len, 6 + (36 - 2) + (4 * 14 + 2 * 10) + (5 + 3 * 6 + 2 * 5) + 4);
  return grips;
}

// Sorted, each grip is less than all after it: no two are equal, and less is never in a circle.
static void
test_grips_stand_in_one_strict_order(void **state)
{
  (void)state;
  RcLayout *layout = find_layout("12");
  GArray *grips = grips_of_the_12(layout);
  comparing = layout;
  qsort(grips->data, grips->len, sizeof(RcGrip), compare_grips);
  for (guint i = 0; i < grips->len; ++i) {
    const RcGrip *low = &g_array_index(grips, RcGrip, i);
    assert_int_equal(rc_grip_compare(layout, low, low), 0);
    for (guint j = i + 1; j < grips->len; ++j) {
      const RcGrip *high = &g_array_index(grips, RcGrip, j);
      assert_true(rc_grip_compare(layout, low, high) < 0 && rc_grip_compare(layout, high, low) > 0);
    }
  }
  g_array_unref(grips);
  rc_layout_free(layout);
}

// The handier grip comes first: fewer buttons, then a smaller reach, then nearer to C, then the lower bass, then the
// lower chords.
static void
test_the_handier_grip_comes_first(void **state)
{
  (void)state;
  RcLayout *layout = find_layout("24");
  const guint16 c = (guint16)button_index(layout, "fundamental", "C");
  const guint16 g = (guint16)button_index(layout, "fundamental", "G");
  const guint16 c_major = (guint16)button_index(layout, "major", "C");
  const guint16 g_major = (guint16)button_index(layout, "major", "G");
  const guint16 c_minor = (guint16)button_index(layout, "minor", "C");
  const RcGrip rising[] = {
    { { c }, { 0 }, 1, 0 },
    { { g }, { 0 }, 1, 0 },
    { { c }, { c_major }, 1, 1 }, // all in one column
    { { c }, { c_minor }, 1, 1 }, // so is this, a row further out
    { { g }, { g_major }, 1, 1 },
    { { c }, { g_major }, 1, 1 }, // a column further
    { { g }, { c_major }, 1, 1 },
    { { c }, { c_major, c_minor }, 1, 2 }, // three buttons, though in one column
    { { c }, { c_major, g_major }, 1, 2 },
  };
  for (guint i = 1; i < G_N_ELEMENTS(rising); ++i) {
    assert_true(rc_grip_compare(layout, &rising[i - 1], &rising[i]) < 0);
  }
  assert_int_equal(rc_grip_compare(layout, &(RcGrip){ { c }, { c_major, g_major }, 1, 1 }, &rising[2]),
                   0); // G not pressed
  rc_layout_free(layout);
}

// On the full board A is also far off as Bbb, nine columns flat of C where A is three sharp of it.
static void
test_the_same_notes_are_played_near_c(void **state)
{
  (void)state;
  RcLayout *layout = find_layout("120");
  const guint16 a = (guint16)button_index(layout, "fundamental", "A");
  const guint16 a_major = (guint16)button_index(layout, "major", "A");
  const guint16 far_a = (guint16)button_index(layout, "fundamental", "Bbb");
  const guint16 far_a_major = (guint16)button_index(layout, "major", "Bbb");
  const guint16 f = (guint16)button_index(layout, "fundamental", "F");
  const guint16 c = (guint16)button_index(layout, "fundamental", "C");
  assert_true(rc_grip_compare(layout, &(RcGrip){ { a }, { 0 }, 1, 0 }, &(RcGrip){ { far_a }, { 0 }, 1, 0 }) < 0);
  assert_true(
    rc_grip_compare(layout, &(RcGrip){ { a }, { a_major }, 1, 1 }, &(RcGrip){ { far_a }, { far_a_major }, 1, 1 }) < 0);
  assert_true(rc_grip_compare(layout, &(RcGrip){ { c }, { 0 }, 1, 0 }, &(RcGrip){ { f }, { 0 }, 1, 0 }) < 0);
  rc_layout_free(layout);
}

static void
test_equal_grips_press_the_same_buttons(void **state)
{
  (void)state;
  const RcGrip grip = { { 1 }, { 7, 9 }, 1, 2 };
  assert_true(rc_grip_equal(&grip, &(RcGrip){ { 1 }, { 7, 9 }, 1, 2 }));
  assert_false(rc_grip_equal(&grip, &(RcGrip){ { 2 }, { 7, 9 }, 1, 2 }));
  assert_false(rc_grip_equal(&grip, &(RcGrip){ { 1 }, { 7, 8 }, 1, 2 }));
  assert_false(rc_grip_equal(&grip, &(RcGrip){ { 1 }, { 7, 9 }, 1, 1 }));
  assert_true(
    rc_grip_equal(&(RcGrip){ { 1 }, { 7, 9 }, 1, 1 }, &(RcGrip){ { 1 }, { 7, 0 }, 1, 1 })); // the second is not pressed
}

static void
test_grips_are_given_once_and_in_a_fixed_order(void **state)
{
  (void)state;
  RcLayout *layout = find_layout("12");
  GArray *grips = grips_of_the_12(layout);
  GArray *again = grips_of_the_12(layout);
  for (guint i = 0; i < grips->len; ++i) {
    const RcGrip *grip = &g_array_index(grips, RcGrip, i);
    assert_int_equal(rc_grip_compare(layout, grip, &g_array_index(again, RcGrip, i)), 0);
    assert_true(rc_grip_reach(layout, grip) <= RC_GRIP_REACH);
    assert_true(grip->n_chords < 2 || grip->chords[0] < grip->chords[1]);
  }
  g_array_unref(again);
  g_array_unref(grips);
  rc_layout_free(layout);
}

// ---------------------------------------------------------------------------------------------------- push and pull

#define PUSH_AND_PULL                                                                                                  \
  HEAD "columns: [E, F]\nrows: [bass, chord]\n" SPACING                                                                \
       "buttons:\n  bass E: {push: E, pull: A}\n  chord E: {push: E major, pull: A minor}\n"                           \
       "  bass F: F\n  chord F: {push: F major, pull: F major}\n"

static RcLayout *
parse_board(const char *text)
{
  GError *error = NULL;
  RcLayout *layout = rc_layout_parse(text, strlen(text), "tiny.yaml", &error);
  if (!layout) {
    fail_msg("%s", error->message);
  }
  return layout;
}

static void
assert_entry(const RcLayout *layout, guint index, RcBellows bellows, const char *label)
{
  const RcButton *button = rc_layout_button(layout, index);
  char *found = rc_button_label(button, RC_SIGNS_ASCII);
  assert_int_equal(button->bellows, bellows);
  assert_string_equal(found, label);
  g_free(found);
}

static void
test_a_button_may_differ_on_push_and_pull(void **state)
{
  (void)state;
  RcLayout *layout = parse_board(PUSH_AND_PULL);
  assert_int_equal(layout->buttons->len, 6); // of F one each, since it sounds the same both ways
  assert_int_equal(rc_layout_count_buttons(layout), 4);
  assert_true(rc_layout_has_bellows(layout));
  assert_entry(layout, 0, RC_BELLOWS_PUSH, "E on push");
  assert_entry(layout, 1, RC_BELLOWS_PULL, "A on pull");
  assert_entry(layout, 2, RC_BELLOWS_BOTH, "F");
  assert_entry(layout, 3, RC_BELLOWS_PUSH, "EM on push");
  assert_entry(layout, 4, RC_BELLOWS_PULL, "Am on pull");
  assert_entry(layout, 5, RC_BELLOWS_BOTH, "FM");
  for (guint i = 0; i < 4; i += 3) { // at one place
    const RcButton *push = rc_layout_button(layout, i);
    const RcButton *pull = rc_layout_button(layout, i + 1);
    assert_int_equal(rc_layout_entries_at(layout, i), 2);
    assert_int_equal(rc_layout_entries_at(layout, i + 1), 1);
    assert_true(push->row == pull->row && push->column == pull->column && push->x == pull->x && push->y == pull->y);
  }
  rc_layout_free(layout);
}

typedef struct {
  const RcLayout *layout;
  guint counts[4]; // by the set of directions
} Directions;

static void
note_direction(const RcGrip *grip, gpointer data)
{
  Directions *directions = data;
  ++directions->counts[rc_grip_bellows(directions->layout, grip)];
}

// By hand: basses E on push, A on pull, F on both; chords E and A minor likewise, F on both. On push E alone, with E, F
// or both: 4. On pull the same with A: 4. F alone and with F: 2 in both; with E, and with E and F: 2 on push;
// likewise 2.
static void
test_a_grip_never_mixes_push_and_pull(void **state)
{
  (void)state;
  Directions directions = { parse_board(PUSH_AND_PULL), { 0 } };
  rc_layout_each_grip(directions.layout, (RcHand){ 4, 3 }, note_direction, &directions);
  assert_int_equal(directions.counts[RC_BELLOWS_BOTH], 2);
  assert_int_equal(directions.counts[RC_BELLOWS_PUSH], 6);
  assert_int_equal(directions.counts[RC_BELLOWS_PULL], 6);
  assert_int_equal(directions.counts[RC_BELLOWS_PUSH | RC_BELLOWS_PULL], 0);
  rc_layout_free((RcLayout *)directions.layout);
}

// The fifth of A minor is E, which this board has on push only; a second bass is never on the other direction.
static void
test_the_second_bass_is_on_the_same_direction(void **state)
{
  (void)state;
  const RcFingers fingers = rc_fingers();
  const RcFingering fingering = { { 4 }, { 3 } };
  const RcChord a_minor = { 3, 3, RC_CHORD_MINOR };
  RcLayout *layout = parse_board(PUSH_AND_PULL);
  const RcGrip pull = { { 1 }, { 4, 0 }, 1, 1 };
  assert_false(rc_second_bass(&fingers, layout, 4, &a_minor, &pull, &fingering).found);
  rc_layout_free(layout);
}

static void
test_one_direction_may_be_dead(void **state)
{
  (void)state;
  RcLayout *layout = parse_board(PUSH_AND_PULL "dead: [bass E pull, bass F push, chord E]\n");
  assert_int_equal(rc_layout_count_buttons(layout), 3);
  assert_entry(layout, 0, RC_BELLOWS_PUSH, "E on push");
  assert_entry(layout, 1, RC_BELLOWS_PULL, "");
  assert_entry(layout, 2, RC_BELLOWS_PUSH, "");
  assert_entry(layout, 3, RC_BELLOWS_PULL, "F on pull");
  assert_entry(layout, 4, RC_BELLOWS_BOTH, ""); // both directions dead are one button again
  rc_layout_free(layout);
}

static void
assert_retuned(const RcLayout *layout, const char *row, const char *column, const char *expected)
{
  char *text = rc_button_retuned(layout, button_at(layout, row, column));
  if (expected) {
    assert_non_null(text);
    assert_string_equal(text, expected);
  } else {
    assert_null(text);
  }
  g_free(text);
}

// Written again as a layout file has it, and only where the row does not say it already.
static void
test_what_a_button_sounds_otherwise_can_be_written(void **state)
{
  (void)state;
  RcLayout *layout =
    parse_layout(HEAD "columns: F..G\nrows: [counterbass, fundamental, major, {row: seventh, sounds: 3 5 b7}, {row: "
                      "diminished, shift: 1}]\n"
                      "retuned: {counterbass C: Eb, major G: G minor, major F: F major}\ndead: [major C]\n");
  assert_retuned(layout, "counterbass", "F", NULL);
  assert_retuned(layout, "counterbass", "C", "Eb");
  assert_retuned(layout, "major", "G", "G 1 b3 5");
  assert_retuned(layout, "major", "F", NULL);
  assert_retuned(layout, "major", "C", NULL); // dead
  assert_retuned(layout, "seventh", "C", "C 3 5 b7");
  assert_retuned(layout, "diminished", "F", "C 1 b3 bb7");
  rc_layout_free(layout);
}

static void
test_dead_buttons_for_a_trial(void **state)
{
  (void)state;
  GError *error = NULL;
  RcLayout *layout = find_layout("48-8x6");
  assert_true(rc_layout_silence(layout, "minor:B, seventh:E", &error) == FALSE);
  assert_string_equal(error->message,
                      "48-8x6: found button `minor B`, but no column `B`; the columns here are Eb, Bb, F, "
                      "C, G, D, A, E");
  g_clear_error(&error);
  assert_true(rc_layout_silence(layout, "minor:E, seventh:Bb", NULL));
  assert_int_equal(rc_layout_count_buttons(layout), 46);
  assert_string_equal(layout->name, "48-8x6-less-2");
  assert_true(g_str_has_suffix(layout->title, ", without minor E, seventh Bb"));
  rc_layout_free(layout);
}

// A list of dead buttons, and what the title says of them, or why none is silenced.
typedef struct {
  const char *layout;
  const char *list;
  const char *without;
  const char *problem;
} Dead;

#define EXPECTED_BUTTON "; expected a row and a column of this layout, such as `counterbass Eb`" OR_CHORD
#define ROWS_OF_48 "counterbass, fundamental, major, minor, seventh, diminished"

// By what every player calls a chord. On the 120-shifted the diminished row sounds a fifth above its column; on a
// melodeon for G and C the chord button of E is E major on push and A minor on pull.
static const Dead dead_by_chord[] = {
  { "48-8x6", "A7", "seventh A", NULL },
  { "48-8x6", "Em, G7", "minor E, seventh G", NULL },
  { "48-8x6", "Adim", "diminished A", NULL },
  { "48-8x6", "Adim7", "diminished A", NULL },
  { "48-8x6", "A7, seventh:A", "seventh A", NULL }, // one button twice is one
  { "48-8x6", "seventh:A, A7", "seventh A", NULL },
  { "120-shifted", "Adim", "diminished D", NULL },
  { "120", "F#7, Gb7", "seventh F#, seventh Gb", NULL }, // two buttons that sound alike, as they are spelled
  { "120", "E#7", "seventh F", NULL },
  { "push-pull-8-gc", "Am", "chord E pull", NULL },
  { "48-8x6", "A", NULL,
    "found button `A`, which is 3 buttons here; write `counterbass F`, `fundamental A` or `major A`" },
  { "push-pull-8-gc", "D", NULL, "found button `D`, which is 2 buttons here; write `bass G pull` or `chord G pull`" },
  { "48-8x6", "F#7", NULL, "found button `F#7`" EXPECTED_BUTTON },
  { "48-8x6", "C7/E", NULL, "found button `C7/E`" EXPECTED_BUTTON },
  { "48-8x6", "Amaj7", NULL, "found button `Amaj7`" EXPECTED_BUTTON },
  { "48-8x6", "A7:E", NULL, "found button `A7 E`, but no row `A7`; the rows here are " ROWS_OF_48 },
};

static void
check_dead(const Dead *dead)
{
  GError *error = NULL;
  RcLayout *layout = find_layout(dead->layout);
  const guint before = rc_layout_count_buttons(layout);
  assert_int_equal(rc_layout_silence(layout, dead->list, &error), dead->without != NULL);
  if (error) {
    assert_string_equal(error->message + strlen(dead->layout) + 2, dead->problem); // after its name and a colon
    assert_int_equal(rc_layout_count_buttons(layout), before);
    g_error_free(error);
  } else {
    const char *without = strstr(layout->title, ", without ");
    assert_non_null(without);
    assert_string_equal(without + strlen(", without "), dead->without);
  }
  rc_layout_free(layout);
}

static void
test_a_chord_names_its_button(void **state)
{
  (void)state;
  for (guint i = 0; i < G_N_ELEMENTS(dead_by_chord); ++i) {
    check_dead(&dead_by_chord[i]);
  }
}

static void
test_a_chord_names_a_dead_button_of_a_file(void **state)
{
  (void)state;
  static const char text[] = "columns: F..C\nrows: [fundamental, major, seventh]\ndead: [C7, seventh F]\n";
  RcLayout *layout = rc_layout_parse(text, strlen(text), "own.yaml", NULL);
  assert_non_null(layout);
  assert_int_equal(rc_layout_count_buttons(layout), 4);
  rc_layout_free(layout);
}

// ------------------------------------------------------------------------------------------------------ all mistakes

static void
test_all_mistakes_are_gathered(void **state)
{
  (void)state;
  static const char text[] = "name: tiny\ntitel: a board\ncolumns: [F, X, C]\nrows: [fundamental, majr, major]\n"
                             "spacing: {column: 16, row: 2}\ndead: [major X, major C]\nretuned: {major F: X}\n";
  static const char *const places[] = { "2:1: ", "3:14: ", "4:21: ", "5:28: ", "7:20: ", "6:8: " };
  const char *path = "own.yaml";
  GPtrArray *problems = g_ptr_array_new_with_free_func((GDestroyNotify)g_error_free);
  assert_true(g_file_set_contents(path, text, -1, NULL));
  RcLayout *layout = rc_layout_check(path, problems);
  assert_non_null(layout); // what could be made out: F and C by two rows, one of the four buttons dead
  assert_int_equal(rc_layout_count_buttons(layout), 3);
  assert_at(layout, "major", "C", 16, 12.5); // the rows are as far apart as they usually are
  assert_int_equal(problems->len, G_N_ELEMENTS(places));
  for (guint i = 0; i < problems->len; ++i) {
    const GError *problem = g_ptr_array_index(problems, i);
    char *start = g_strconcat(path, ":", places[i], NULL);
    assert_true(g_str_has_prefix(problem->message, start));
    g_free(start);
  }
  rc_layout_free(layout);
  assert_true(g_file_set_contents(path, HEAD COLUMNS ROWS "spacing: {column: 2, row: 12}\n", -1, NULL));
  layout = rc_layout_check(path, problems);
  assert_non_null(layout);
  assert_at(layout, "fundamental", "C", 16, 0); // so are the columns
  rc_layout_free(layout);
  g_ptr_array_set_size(problems, 0);
  assert_null(rc_layout_check("no-such-board", problems));
  assert_int_equal(problems->len, 1);
  g_ptr_array_unref(problems);
}

static void
test_a_button_that_is_not_there_changes_no_other(void **state)
{
  (void)state;
  static const char *const lines[] = { "retuned: {fundamental: G}\n", "dead: [[fundamental, F]]\n" };
  for (guint i = 0; i < G_N_ELEMENTS(lines); ++i) {
    GPtrArray *problems = g_ptr_array_new_with_free_func((GDestroyNotify)g_error_free);
    char *text = g_strconcat(BOARD, lines[i], NULL);
    assert_true(g_file_set_contents("own.yaml", text, -1, NULL));
    RcLayout *layout = rc_layout_check("own.yaml", problems);
    assert_int_equal(problems->len, 1);
    assert_words(layout, "fundamental", "F", "F bass", "F"); // the first of all
    assert_int_equal(rc_layout_count_buttons(layout), 4);
    rc_layout_free(layout);
    g_free(text);
    g_ptr_array_unref(problems);
  }
}

// Without rows, or columns, there are no buttons to speak of.
static void
test_a_board_without_rows_or_columns(void **state)
{
  (void)state;
  static const char *const texts[] = { COLUMNS "buttons: {major F: F, major X: C}\n",
                                       ROWS "buttons: {major F: F, major X: C}\n" };
  static const char *const messages[] = { "own.yaml:1:1: " NEEDS_ROWS, "own.yaml:1:1: " NEEDS_COLUMNS };
  for (guint i = 0; i < G_N_ELEMENTS(texts); ++i) {
    GPtrArray *problems = g_ptr_array_new_with_free_func((GDestroyNotify)g_error_free);
    assert_true(g_file_set_contents("own.yaml", texts[i], -1, NULL));
    assert_null(rc_layout_check("own.yaml", problems));
    assert_int_equal(problems->len, 1);
    assert_string_equal(((const GError *)g_ptr_array_index(problems, 0))->message, messages[i]);
    g_ptr_array_unref(problems);
  }
}

int
main(void)
{
  const struct CMUnitTest tests[] = {
    cmocka_unit_test(test_the_sizes_of_the_trade),
    cmocka_unit_test(test_the_usual_names_come_smallest_first),
    cmocka_unit_test(test_all_names_are_the_usual_ones_then_the_variants_by_size),
    cmocka_unit_test(test_every_shipped_board_is_sound),
    cmocka_unit_test(test_what_the_buttons_of_the_c_column_sound),
    cmocka_unit_test(test_the_counterbasses_of_the_full_board),
    cmocka_unit_test(test_buttons_are_called_what_a_player_calls_them),
    cmocka_unit_test(test_tones_that_make_a_chord),
    cmocka_unit_test(test_boards_of_ones_own),
    cmocka_unit_test(test_what_is_allowed_to_its_ends),
    cmocka_unit_test(test_the_lowest_notes_of_the_reeds),
    cmocka_unit_test(test_columns_from_the_knee_to_the_chin),
    cmocka_unit_test(test_a_board_that_sounds_higher_or_lower),
    cmocka_unit_test(test_what_a_board_says_of_itself),
    cmocka_unit_test(test_where_the_buttons_lie),
    cmocka_unit_test_teardown(test_where_the_buttons_lie_in_every_country, restore_locale),
    cmocka_unit_test(test_mistakes_are_named_with_their_place),
    cmocka_unit_test(test_lists_nested_too_deep),
    cmocka_unit_test(test_a_layout_cut_off_anywhere),
    cmocka_unit_test(test_only_columns_and_rows_are_needed),
    cmocka_unit_test(test_a_mistyped_name_proposes_the_nearest),
    cmocka_unit_test_setup_teardown(test_a_file_of_ones_own, make_folder, remove_folder),
    cmocka_unit_test_setup_teardown(test_files_that_hold_no_layout, make_folder, remove_folder),
    cmocka_unit_test(test_grips_of_two_columns),
    cmocka_unit_test(test_grips_of_three_columns_within_reach),
    cmocka_unit_test(test_dead_buttons_are_in_no_grip),
    cmocka_unit_test(test_a_retuned_button_is_what_it_sounds),
    cmocka_unit_test(test_grips_in_words_and_tones),
    cmocka_unit_test(test_grips_stand_in_one_strict_order),
    cmocka_unit_test(test_the_handier_grip_comes_first),
    cmocka_unit_test(test_the_same_notes_are_played_near_c),
    cmocka_unit_test(test_equal_grips_press_the_same_buttons),
    cmocka_unit_test(test_grips_are_given_once_and_in_a_fixed_order),
    cmocka_unit_test(test_a_button_may_differ_on_push_and_pull),
    cmocka_unit_test(test_a_grip_never_mixes_push_and_pull),
    cmocka_unit_test(test_the_second_bass_is_on_the_same_direction),
    cmocka_unit_test(test_one_direction_may_be_dead),
    cmocka_unit_test(test_what_a_button_sounds_otherwise_can_be_written),
    cmocka_unit_test(test_dead_buttons_for_a_trial),
    cmocka_unit_test(test_a_chord_names_its_button),
    cmocka_unit_test(test_a_chord_names_a_dead_button_of_a_file),
    cmocka_unit_test_setup_teardown(test_all_mistakes_are_gathered, make_folder, remove_folder),
    cmocka_unit_test_setup_teardown(test_a_button_that_is_not_there_changes_no_other, make_folder, remove_folder),
    cmocka_unit_test_setup_teardown(test_a_board_without_rows_or_columns, make_folder, remove_folder),
  };
  return cmocka_run_group_tests(tests, NULL, NULL);
}
