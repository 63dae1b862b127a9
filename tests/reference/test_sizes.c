// Copyright 2026 the rowcall developers
// SPDX-License-Identifier: MIT

// The layouts that ship with the program against the published sizes in sizes.tsv, which names a source for each row.

#undef NDEBUG

#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>

#include <cmocka.h>

#include "rowcall/keyboard.h"

#include "table.h"

enum { N_SIZES = 12, N_VARIANTS = 7, N_LAYOUTS = N_SIZES + N_VARIANTS };

static const char *
column_name(const RcLayout *layout, guint column)
{
  return rc_note_name(g_array_index(layout->columns, RcNote, column), RC_SIGNS_ASCII);
}

// The rows as the table writes them, without the variants after slashes.
static void
check_rows(Check *c, const RcLayout *layout, const char *published)
{
  char **names = g_strsplit(published, " ", 0);
  check_number(c, "number of rows", layout->rows->len, g_strv_length(names));
  for (guint i = 0; names[i] && i < layout->rows->len; ++i) {
    names[i][strcspn(names[i], "/")] = '\0';
    check_text(c, layout->name, g_ptr_array_index(layout->rows, i), names[i]);
  }
  g_strfreev(names);
}

static void
check_layout(Check *c, char **row)
{
  RcLayout *layout = shipped(row[1]);
  check_text(c, "name", layout->name, row[1]);
  check_number(c, row[1], rc_layout_count_buttons(layout), number_of(row[2]));
  check_number(c, row[1], layout->buttons->len, number_of(row[2]));
  check_number(c, row[1], layout->columns->len, number_of(row[3]));
  check_text(c, row[1], column_name(layout, 0), row[4]);
  check_text(c, row[1], column_name(layout, layout->columns->len - 1), row[5]);
  check_rows(c, layout, row[6]);
  rc_layout_free(layout);
}

// Outside sources: as named in the last column of sizes.tsv.
static void
test_layouts(void **state)
{
  (void)state;
  Check c = { "sizes", 0, 0 };
  GPtrArray *rows = table_read("sizes.tsv", "layout", 8, N_LAYOUTS);
  for (guint i = 0; i < rows->len; ++i) {
    check_layout(&c, g_ptr_array_index(rows, i));
  }
  g_ptr_array_unref(rows);
  check_finish(&c);
}

// The default set is the published sizes in their order; all variants of the table ship as well.
static void
test_names(void **state)
{
  (void)state;
  Check c = { "sizes by name", 0, 0 };
  const char *const *usual = rc_layout_usual_names();
  char **all = rc_layout_all_names();
  GPtrArray *rows = table_read("sizes.tsv", "layout", 8, N_LAYOUTS);
  assert_int_equal(g_strv_length((char **)usual), N_SIZES);
  for (guint i = 0; i < rows->len; ++i) {
    if (i < N_SIZES) {
      check_text(&c, "usual size", usual[i], cell(rows, i, 1));
    }
    check(&c, g_strv_contains((const char *const *)all, cell(rows, i, 1)), "%s is not listed", cell(rows, i, 1));
  }
  g_ptr_array_unref(rows);
  g_strfreev(all);
  check_finish(&c);
}

// ------------------------------------------------------------------------------------------------- rows note by note

static guint
row_index(const RcLayout *layout, const char *name)
{
  for (guint i = 0; i < layout->rows->len; ++i) {
    if (!strcmp(g_ptr_array_index(layout->rows, i), name)) {
      return i;
    }
  }
  fail_msg("%s has no row %s", layout->name, name);
  return 0;
}

// Calls for each name of a row of `names` or `slip` with what the button there really is called.
static void
each_name(const char *section, guint n_rows, Check *c, void (*each)(Check *, const char *found, const char *printed))
{
  GPtrArray *rows = table_read("sizes.tsv", section, 6, n_rows);
  for (guint i = 0; i < rows->len; ++i) {
    RcLayout *layout = shipped(cell(rows, i, 1));
    char **names = parts_of(cell(rows, i, 4), ",");
    const guint first = row_index(layout, cell(rows, i, 2)) * layout->columns->len + number_of(cell(rows, i, 3));
    for (guint n = 0; names[n]; ++n) {
      each(c, rc_note_name(rc_layout_button(layout, first + n)->sound.root, RC_SIGNS_ASCII), names[n]);
    }
    g_strfreev(names);
    rc_layout_free(layout);
  }
  g_ptr_array_unref(rows);
}

static void
check_printed(Check *c, const char *found, const char *printed)
{
  check_text(c, "note of the 120", found, printed);
}

static void
check_slip(Check *c, const char *found, const char *printed)
{
  check(c, rc_note_pc(note_of(found)) != rc_note_pc(note_of(printed)), "the printed %s is no slip", printed);
}

// Outside sources: "I bassi della fisarmonica" for the counterbasses of the 120, FAQ 090 for its lowest and highest
// four fundamentals; both in full in sizes.tsv, with the slip at the end of the first.
static void
test_note_names(void **state)
{
  (void)state;
  Check c = { "names of the 120", 0, 0 };
  each_name("names", 4, &c, check_printed);
  each_name("slip", 1, &c, check_slip);
  check_finish(&c);
}

// ------------------------------------------------------------------------------------------------- sizes in general

static guint
count_bass_rows(const RcLayout *layout)
{
  guint n = 0;
  for (guint row = 0; row < layout->rows->len; ++row) {
    n += rc_layout_button(layout, row * layout->columns->len)->sound.kind == RC_SOUND_BASS;
  }
  return n;
}

// Outside source: "Choisir un accordeon" - https://www.accordeonj.com/choisir-un-accordeon/ : boards have 5 or 6 rows,
// 2 or 3 of basses nearest the bellows, then 3 or 4 of chords. Smaller boards and those with a rare seventh row are
// left out.
static void
test_row_counts(void **state)
{
  (void)state;
  Check c = { "row counts", 0, 0 };
  GPtrArray *rows = table_read("sizes.tsv", "layout", 8, N_LAYOUTS);
  for (guint i = 0; i < rows->len; ++i) {
    RcLayout *layout = shipped(cell(rows, i, 1));
    if (layout->rows->len == 5 || layout->rows->len == 6) {
      const guint basses = count_bass_rows(layout);
      const guint chords = layout->rows->len - basses;
      check(&c, basses == 2 || basses == 3, "%s: %u bass rows", layout->name, basses);
      check(&c, chords == 3 || chords == 4, "%s: %u chord rows", layout->name, chords);
      for (guint row = 0; row < layout->rows->len; ++row) {
        const RcSoundKind kind = rc_layout_button(layout, row * layout->columns->len)->sound.kind;
        check(&c, (kind == RC_SOUND_BASS) == (row < basses), "%s: row %u", layout->name, row);
      }
    }
    rc_layout_free(layout);
  }
  g_ptr_array_unref(rows);
  check_finish(&c);
}

int
main(void)
{
  const struct CMUnitTest tests[] = {
    cmocka_unit_test(test_layouts),
    cmocka_unit_test(test_names),
    cmocka_unit_test(test_note_names),
    cmocka_unit_test(test_row_counts),
  };
  return cmocka_run_group_tests(tests, NULL, NULL);
}
