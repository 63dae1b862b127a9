// Copyright 2026 the rowcall developers
// SPDX-License-Identifier: MIT

// What each button sounds and where it sits, against the published facts in buttons.tsv and the rows of the published
// sizes in sizes.tsv. Both name a source for each row.

#undef NDEBUG

#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>

#include <cmocka.h>

#include "rowcall/keyboard.h"

#include "table.h"

enum { N_ROW_KINDS = 13, N_LAYOUTS = 19, WIDEST = 20 };

// ------------------------------------------------------------------------------------------------------- the layouts

static RcLayout *
layout_of(const char *columns, const char *row)
{
  char *text = g_strdup_printf("name: small\ntitle: one row\ncolumns: %s\nrows:\n  - %s\n"
                               "spacing: {column: 16, row: 12.5, slant: 8}\n",
                               columns, row);
  GError *error = NULL;
  RcLayout *layout = rc_layout_parse(text, strlen(text), "small.yaml", &error);
  if (!layout) {
    fail_msg("%s", error->message);
  }
  g_free(text);
  return layout;
}

static const RcButton *
find_button(const RcLayout *layout, const char *row, RcNote column)
{
  for (guint i = 0; i < layout->buttons->len; ++i) {
    const RcButton *button = rc_layout_button(layout, i);
    if (rc_button_column(layout, button) == column && !strcmp(rc_button_row(layout, button), row)) {
      return button;
    }
  }
  return NULL;
}

static gboolean
has_row(const RcLayout *layout, const char *row)
{
  return find_button(layout, row, g_array_index(layout->columns, RcNote, 0)) != NULL;
}

// The published facts of the kind of row that a table calls `kind`.
static char **
row_facts(const GPtrArray *kinds, const char *kind)
{
  for (guint i = 0; i < kinds->len; ++i) {
    if (!strcmp(cell(kinds, i, 1), kind)) {
      return g_ptr_array_index(kinds, i);
    }
  }
  fail_msg("buttons.tsv has no row %s", kind);
  return NULL;
}

// What the button of a kind of row sounds in one column.
static RcPcSet
tones_in_column(const GPtrArray *kinds, const char *kind, const char *column)
{
  RcLayout *layout = layout_of("Bbb..A#", row_facts(kinds, kind)[2]);
  RcPcSet tones = 0;
  for (guint i = 0; i < layout->buttons->len; ++i) {
    const RcButton *button = rc_layout_button(layout, i);
    tones |= rc_button_column(layout, button) == note_of(column) ? button->sound.tones : 0;
  }
  rc_layout_free(layout);
  assert_int_not_equal(tones, 0);
  return tones;
}

// ------------------------------------------------------------------------------------------------------ kinds of rows

static const char *const sound_names[] = {
  [RC_SOUND_DEAD] = "dead",           [RC_SOUND_BASS] = "bass",       [RC_SOUND_MAJOR] = "major",
  [RC_SOUND_MINOR] = "minor",         [RC_SOUND_SEVENTH] = "seventh", [RC_SOUND_DIMINISHED] = "diminished",
  [RC_SOUND_AUGMENTED] = "augmented", [RC_SOUND_OTHER] = "other",
};

static void
check_button(Check *c, const RcLayout *layout, const RcButton *button, char **facts)
{
  const guint above = rc_note_pc(rc_button_column(layout, button));
  char *what = g_strdup_printf("%s, %s of %s", layout->name, facts[1],
                               rc_note_name(rc_button_column(layout, button), RC_SIGNS_ASCII));
  check_tones(c, what, button->sound.tones, rc_pcs_transpose(tones_of(facts[4]), (int)above));
  check_text(c, what, sound_names[button->sound.kind], facts[3]);
  g_free(what);
}

static void
check_row(Check *c, const RcLayout *layout, guint row, char **facts)
{
  for (guint column = 0; column < layout->columns->len; ++column) {
    check_button(c, layout, rc_layout_button(layout, row * layout->columns->len + column), facts);
  }
}

// Outside sources: those named in section `row` of buttons.tsv. Each kind of row on a board of its own, 20 columns
// wide.
static void
test_kinds_of_rows(void **state)
{
  (void)state;
  Check c = { "kinds of rows", 0, 0 };
  GPtrArray *kinds = table_read("buttons.tsv", "row", 8, N_ROW_KINDS);
  for (guint i = 0; i < kinds->len; ++i) {
    RcLayout *layout = layout_of("Bbb..A#", cell(kinds, i, 2));
    check_number(&c, cell(kinds, i, 1), layout->columns->len, WIDEST);
    check_row(&c, layout, 0, g_ptr_array_index(kinds, i));
    rc_layout_free(layout);
  }
  g_ptr_array_unref(kinds);
  check_finish(&c);
}

// The same sources and sizes.tsv: each row of each layout that ships.
static void
test_shipped_rows(void **state)
{
  (void)state;
  Check c = { "rows of the layouts", 0, 0 };
  GPtrArray *kinds = table_read("buttons.tsv", "row", 8, N_ROW_KINDS);
  GPtrArray *sizes = table_read("sizes.tsv", "layout", 8, N_LAYOUTS);
  for (guint i = 0; i < sizes->len; ++i) {
    RcLayout *layout = shipped(cell(sizes, i, 1));
    char **names = g_strsplit(cell(sizes, i, 6), " ", 0);
    for (guint row = 0; names[row]; ++row) {
      check_row(&c, layout, row, row_facts(kinds, names[row]));
    }
    g_strfreev(names);
    rc_layout_free(layout);
  }
  g_ptr_array_unref(sizes);
  g_ptr_array_unref(kinds);
  check_finish(&c);
}

// The same sources: which tone of its full chord a button leaves out.
static void
test_omitted_tones(void **state)
{
  (void)state;
  Check c = { "omitted tones", 0, 0 };
  GPtrArray *kinds = table_read("buttons.tsv", "row", 8, N_ROW_KINDS);
  for (guint i = 0; i < kinds->len; ++i) {
    char **facts = g_ptr_array_index(kinds, i);
    if (!strcmp(facts[5], "-")) {
      assert_string_equal(facts[6], "-");
    } else {
      char *symbol = g_strconcat("C", facts[5], NULL);
      const guint left_out = chord_tones_of(symbol) & ~(guint)tones_in_column(kinds, facts[1], "C");
      check_tones(&c, facts[1], (RcPcSet)left_out, tones_of(facts[6]));
      g_free(symbol);
    }
  }
  g_ptr_array_unref(kinds);
  check_finish(&c);
}

// ---------------------------------------------------------------------------------------------------- single buttons

// Outside sources: those named in section `tones` of buttons.tsv, spelled tones of single buttons.
static void
test_spelled_tones(void **state)
{
  (void)state;
  Check c = { "spelled tones", 0, 0 };
  GPtrArray *kinds = table_read("buttons.tsv", "row", 8, N_ROW_KINDS);
  GPtrArray *rows = table_read("buttons.tsv", "tones", 5, 10);
  for (guint i = 0; i < rows->len; ++i) {
    const RcPcSet found = tones_in_column(kinds, cell(rows, i, 1), cell(rows, i, 2));
    check_tones(&c, cell(rows, i, 1), found, tones_of(cell(rows, i, 3)));
  }
  g_ptr_array_unref(rows);
  g_ptr_array_unref(kinds);
  check_finish(&c);
}

static RcPcSet
other_button(const GPtrArray *kinds, const char *text)
{
  char **words = g_strsplit(text, " ", 2);
  const RcPcSet tones = tones_in_column(kinds, words[0], words[1]);
  g_strfreev(words);
  return tones;
}

static gboolean
relation_holds(const GPtrArray *kinds, RcPcSet tones, const char *relation, const char *other)
{
  if (!strcmp(relation, "pulls")) {
    return (other_button(kinds, other) & ~tones) == 0;
  }
  const RcChord chord = chord_of(other);
  const RcPcSet wanted = rc_chord_tones(&chord);
  if (!strcmp(relation, "equals")) {
    return tones == wanted;
  }
  if (!strcmp(relation, "within")) {
    return (tones & ~wanted) == 0;
  }
  assert_string_equal(relation, "lacks-root");
  return tones == (wanted & ~(1U << rc_note_pc(chord.root)));
}

// Outside sources: those named in section `relation` of buttons.tsv, what buttons are said to serve as.
static void
test_relations(void **state)
{
  (void)state;
  Check c = { "relations of buttons", 0, 0 };
  GPtrArray *kinds = table_read("buttons.tsv", "row", 8, N_ROW_KINDS);
  GPtrArray *rows = table_read("buttons.tsv", "relation", 6, 6);
  for (guint i = 0; i < rows->len; ++i) {
    char **row = g_ptr_array_index(rows, i);
    const RcPcSet tones = tones_in_column(kinds, row[1], row[2]);
    check(&c, relation_holds(kinds, tones, row[3], row[4]), "%s of %s: not %s %s", row[1], row[2], row[3], row[4]);
  }
  g_ptr_array_unref(rows);
  g_ptr_array_unref(kinds);
  check_finish(&c);
}

// ----------------------------------------------------------------------------------------------------------- systems

static void
check_system(Check *c, const GPtrArray *kinds, const RcLayout *layout, char **names)
{
  check_number(c, layout->name, layout->rows->len, g_strv_length(names));
  for (guint row = 0; names[row] && row < layout->rows->len; ++row) {
    const char *found = g_ptr_array_index(layout->rows, row);
    const gsize length = strcspn(names[row], "/");
    check(c, strlen(found) == length && !strncmp(found, names[row], length), "%s: row %s, expected %s", layout->name,
          found, names[row]);
    check_row(c, layout, row, row_facts(kinds, names[row]));
  }
}

// Outside sources: those named in section `system` of buttons.tsv.
static void
test_systems(void **state)
{
  (void)state;
  Check c = { "systems", 0, 0 };
  GPtrArray *kinds = table_read("buttons.tsv", "row", 8, N_ROW_KINDS);
  GPtrArray *rows = table_read("buttons.tsv", "system", 5, 2);
  for (guint i = 0; i < rows->len; ++i) {
    char **layouts = g_strsplit(cell(rows, i, 2), ",", 0);
    char **names = g_strsplit(cell(rows, i, 3), " ", 0);
    for (guint n = 0; layouts[n]; ++n) {
      RcLayout *layout = shipped(layouts[n]);
      check_system(&c, kinds, layout, names);
      rc_layout_free(layout);
    }
    g_strfreev(names);
    g_strfreev(layouts);
  }
  g_ptr_array_unref(rows);
  g_ptr_array_unref(kinds);
  check_finish(&c);
}

// Outside sources: those named in section `beside` of buttons.tsv, the buttons of one column of a shifted board.
static void
test_shifted_board(void **state)
{
  (void)state;
  Check c = { "shifted board", 0, 0 };
  GPtrArray *rows = table_read("buttons.tsv", "beside", 6, 5);
  for (guint i = 0; i < rows->len; ++i) {
    RcLayout *layout = shipped(cell(rows, i, 1));
    const RcButton *button = find_button(layout, cell(rows, i, 2), note_of(cell(rows, i, 3)));
    assert_non_null(button);
    check_text(&c, cell(rows, i, 2), rc_note_name(button->sound.root, RC_SIGNS_ASCII), cell(rows, i, 4));
    rc_layout_free(layout);
  }
  g_ptr_array_unref(rows);
  check_finish(&c);
}

// Outside source: the German Wikipedia's Stradella-Bass (mirror https://de.zxc.wiki/wiki/Stradella-Bass): on some older
// boards the order of columns is mirrored. A layout says so by its list of columns; each button keeps its sound.
static void
test_mirrored_board(void **state)
{
  (void)state;
  Check c = { "mirrored board", 0, 0 };
  RcLayout *mirrored = layout_of("[E, A, D, G, C, F, Bb, Eb]", "major");
  RcLayout *usual = layout_of("Eb..E", "major");
  for (guint i = 0; i < 8; ++i) {
    const RcButton *a = rc_layout_button(mirrored, i);
    const RcButton *b = rc_layout_button(usual, 7 - i);
    check_tones(&c, "mirrored", a->sound.tones, b->sound.tones);
    check(&c, a->x == i * 16.0 && b->x == (7 - i) * 16.0, "button %u sits at %g mm", i, a->x);
  }
  rc_layout_free(usual);
  rc_layout_free(mirrored);
  check_finish(&c);
}

// ---------------------------------------------------------------------------------------------------------- geometry

static void
each_layout(Check *c, void (*each)(Check *, const RcLayout *))
{
  char **names = rc_layout_all_names();
  for (guint i = 0; names[i]; ++i) {
    RcLayout *layout = shipped(names[i]);
    if (has_row(layout, "fundamental")) { // the sources speak of boards in fifths
      each(c, layout);
    }
    rc_layout_free(layout);
  }
  g_strfreev(names);
}

// x grows towards the chin, y away from the bellows.
static void
check_counterbass(Check *c, const RcLayout *layout)
{
  for (guint i = 1; has_row(layout, "counterbass") && i < layout->columns->len; ++i) {
    const RcNote column = g_array_index(layout->columns, RcNote, i);
    const RcButton *counterbass = find_button(layout, "counterbass", column);
    const RcButton *own = find_button(layout, "fundamental", column);
    const RcButton *flatter = find_button(layout, "fundamental", (RcNote)(column - 1));
    check(c, flatter->x < counterbass->x && counterbass->x < own->x, "%s: the counterbass of %s sits at %g mm",
          layout->name, rc_note_name(column, RC_SIGNS_ASCII), counterbass->x);
    check(c, counterbass->y < own->y, "%s: the counterbass is not nearer the bellows", layout->name);
  }
}

// Outside source: English Wikibooks, Accordion/Left hand/Lesson 3 -
// https://en.wikibooks.org/wiki/Accordion/Left_hand/Lesson_3 : the counterbass of a column lies diagonally below its
// fundamental; that of C between the C and F buttons.
static void
test_counterbass_place(void **state)
{
  (void)state;
  Check c = { "places of counterbasses", 0, 0 };
  each_layout(&c, check_counterbass);
  check_finish(&c);
}

static void
check_slant(Check *c, const RcLayout *layout)
{
  for (guint i = layout->columns->len; i < layout->buttons->len; ++i) {
    const RcButton *button = rc_layout_button(layout, i);
    const RcButton *inner = rc_layout_button(layout, i - layout->columns->len);
    const RcButton *sharper = button->column + 1 < layout->columns->len ? rc_layout_button(layout, i + 1) : NULL;
    check(c, button->x > inner->x && button->y > inner->y, "%s: row %u is not shifted up and away", layout->name,
          button->row);
    check(c, !sharper || (sharper->x > button->x && sharper->y == button->y), "%s: column %u is not further up",
          layout->name, button->column);
  }
}

// Outside sources: How to Play Accordion Bass Chords -
// https://www.howcast.com/videos/500884-how-to-play-bass-chords-accordion-lessons and Le clavier gauche: les basses
// standards - https://www.souffledelaccordeon.com/le-clavier-gauche-de-laccordeon-les-basses-standards/ : the chord
// rows run diagonally up (towards the chin, where the sharper columns are) and away from the bellows.
static void
test_slant_of_rows(void **state)
{
  (void)state;
  Check c = { "slant of rows", 0, 0 };
  each_layout(&c, check_slant);
  check_finish(&c);
}

static void
check_marked(Check *c, const RcLayout *layout)
{
  GPtrArray *rows = table_read("buttons.tsv", "marked", 4, 3);
  const RcButton *middle = find_button(layout, "fundamental", note_of("C"));
  for (guint i = 0; i < rows->len; ++i) {
    const RcButton *marked = find_button(layout, "fundamental", note_of(cell(rows, i, 1)));
    const int away = atoi(cell(rows, i, 2));
    if (marked) {
      check(c, (int)marked->column - (int)middle->column == away, "%s: %s is not %d columns from C", layout->name,
            cell(rows, i, 1), away);
      check_text(c, layout->name, rc_note_name(marked->sound.root, RC_SIGNS_ASCII), cell(rows, i, 1));
    }
  }
  g_ptr_array_unref(rows);
}

// Outside sources: those named in section `marked` of buttons.tsv.
static void
test_marked_buttons(void **state)
{
  (void)state;
  Check c = { "marked buttons", 0, 0 };
  each_layout(&c, check_marked);
  check_finish(&c);
}

static void
check_repeats(Check *c, const RcLayout *layout)
{
  for (guint i = 0; i < layout->buttons->len; ++i) {
    const RcButton *button = rc_layout_button(layout, i);
    if (button->column + 12 < layout->columns->len) {
      check_tones(c, layout->name, rc_layout_button(layout, i + 12)->sound.tones, button->sound.tones);
    }
  }
}

// Outside sources: The bass side - http://accordionpage.com/Inside_bass.html and others: there are 12 different notes,
// so what lies 12 columns further sounds the same.
static void
test_repeated_columns(void **state)
{
  (void)state;
  Check c = { "repeated columns", 0, 0 };
  each_layout(&c, check_repeats);
  check_finish(&c);
}

int
main(void)
{
  const struct CMUnitTest tests[] = {
    cmocka_unit_test(test_kinds_of_rows),     cmocka_unit_test(test_shipped_rows),
    cmocka_unit_test(test_omitted_tones),     cmocka_unit_test(test_spelled_tones),
    cmocka_unit_test(test_relations),         cmocka_unit_test(test_systems),
    cmocka_unit_test(test_shifted_board),     cmocka_unit_test(test_mirrored_board),
    cmocka_unit_test(test_counterbass_place), cmocka_unit_test(test_slant_of_rows),
    cmocka_unit_test(test_marked_buttons),    cmocka_unit_test(test_repeated_columns),
  };
  return cmocka_run_group_tests(tests, NULL, NULL);
}
