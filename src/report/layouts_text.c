// Copyright 2026 the rowcall developers
// SPDX-License-Identifier: MIT

#include "report/layouts_text.h"

#include "report/format.h"

#include <string.h>

// How a row is named where there is little room.
typedef struct {
  const char *row;
  const char *head;
  char letter;
} ShortRow;

static const ShortRow short_rows[] = {
  { "counterbass", "counter", 'c' }, { "fundamental", "fundam.", 'f' }, { "minor-third", "min-3rd", 't' },
  { "major", "major", 'M' },         { "minor", "minor", 'm' },         { "seventh", "seventh", '7' },
  { "diminished", "dim", 'd' },      { "augmented", "aug", 'a' },       { "bass", "bass", 'b' },
  { "chord", "chord", 'x' },
};

static const ShortRow *
short_row(const char *row)
{
  guint i = 0;
  while (i + 1 < G_N_ELEMENTS(short_rows) && strcmp(short_rows[i].row, row) != 0) {
    ++i;
  }
  return &short_rows[i];
}

static char *
row_names(const RcLayout *layout, const char *between)
{
  GString *names = g_string_new(NULL);
  for (guint i = 0; i < layout->rows->len; ++i) {
    g_string_append_printf(names, "%s%s", i ? between : "", (const char *)g_ptr_array_index(layout->rows, i));
  }
  return g_string_free(names, FALSE);
}

static const char *
column_name(const RcLayout *layout, guint column)
{
  return rc_note_name(g_array_index(layout->columns, RcNote, column), RC_SIGNS_ASCII);
}

// Whether the columns follow each other by fifths.
static gboolean
is_regular(const RcLayout *layout)
{
  for (guint i = 1; i < layout->columns->len; ++i) {
    if (g_array_index(layout->columns, RcNote, i) != g_array_index(layout->columns, RcNote, i - 1) + 1) {
      return FALSE;
    }
  }
  return TRUE;
}

// "Eb..E", or all names where they do not follow each other by fifths.
static char *
column_range(const RcLayout *layout, const char *between)
{
  if (layout->columns->len > 1 && is_regular(layout)) {
    return g_strdup_printf("%s..%s", column_name(layout, 0), column_name(layout, layout->columns->len - 1));
  }
  GString *names = g_string_new(column_name(layout, 0));
  for (guint i = 1; i < layout->columns->len; ++i) {
    g_string_append_printf(names, "%s%s", between, column_name(layout, i));
  }
  return g_string_free(names, FALSE);
}

// ---------------------------------------------------------------------------------------------------- many layouts

static char *
row_letters(const RcLayout *layout)
{
  GString *letters = g_string_new(NULL);
  for (guint i = 0; i < layout->rows->len; ++i) {
    g_string_append_c(letters, short_row(g_ptr_array_index(layout->rows, i))->letter);
  }
  return g_string_free(letters, FALSE);
}

static void
append_letters(GString *out)
{
  GString *text = g_string_new("Rows from the bellows outwards: ");
  for (guint i = 0; i < G_N_ELEMENTS(short_rows); ++i) {
    g_string_append_printf(text, "%s%c=%s", i ? ", " : "", short_rows[i].letter, short_rows[i].row);
  }
  g_string_append_c(text, '.');
  g_string_append_c(out, '\n');
  rc_append_wrapped(out, text->str, 0);
  g_string_free(text, TRUE);
}

static void
append_list(GString *out, RcLayout *const *layouts, guint n)
{
  g_string_append(out, "layout          buttons columns   rows     description\n");
  for (guint i = 0; i < n; ++i) {
    char *range = column_range(layouts[i], " ");
    char *rows = row_letters(layouts[i]);
    rc_append_padded(out, layouts[i]->name, 15);
    g_string_append_printf(out, " %7u ", rc_layout_count_buttons(layouts[i]));
    rc_append_padded(out, range, 9);
    g_string_append_printf(out, " %-8s ", rows);
    rc_append_wrapped(out, layouts[i]->title, 43);
    g_free(range);
    g_free(rows);
  }
  append_letters(out);
}

static void
append_list_csv(GString *out, RcLayout *const *layouts, guint n)
{
  rc_append_csv(out, "layout", "buttons", "first column", "last column", "rows", "description", NULL);
  for (guint i = 0; i < n; ++i) {
    char *buttons = g_strdup_printf("%u", rc_layout_count_buttons(layouts[i]));
    char *rows = row_names(layouts[i], " ");
    rc_append_csv(out, layouts[i]->name, buttons, column_name(layouts[i], 0),
                  column_name(layouts[i], layouts[i]->columns->len - 1), rows, layouts[i]->title, NULL);
    g_free(buttons);
    g_free(rows);
  }
}

// The usual name of a pitch class, from Db to F#.
static const char *
pc_name(guint pc)
{
  RcNote note = -5;
  while (rc_note_pc(note) != pc) {
    ++note;
  }
  return rc_note_name(note, RC_SIGNS_ASCII);
}

static void
add_sound(GString *json, const RcLayout *layout, const RcButton *button)
{
  char *label = rc_sound_label(&button->sound, RC_SIGNS_ASCII);
  char *called = rc_button_name(layout, button, RC_SIGNS_UNICODE);
  char *retuned = rc_button_retuned(layout, button);
  const RcChord chord = { button->sound.root, button->sound.root, 0 };
  rc_json_begin_object(json, NULL);
  rc_json_text(json, "row", rc_button_row(layout, button));
  rc_json_text(json, "column", rc_note_name(rc_button_column(layout, button), RC_SIGNS_ASCII));
  rc_json_text(json, "name", label);
  rc_json_tones(json, "tones", &chord, (RcKey){ RC_MODE_NONE, 0 }, button->sound.tones);
  rc_json_bellows(json, button->bellows);
  rc_json_text(json, "called", called);
  rc_json_text(json, "retuned", retuned);
  rc_json_decimal(json, "x", button->x);
  rc_json_decimal(json, "y", button->y);
  rc_json_boolean(json, "felt", rc_button_marked(layout, button));
  rc_json_end_object(json);
  g_free(retuned);
  g_free(called);
  g_free(label);
}

// Begins an object, which the caller ends.
static void
begin_layout(GString *json, const RcLayout *layout)
{
  rc_json_begin_object(json, NULL);
  rc_json_text(json, "layout", layout->name);
  rc_json_text(json, "title", layout->title);
  rc_json_number(json, "buttons", rc_layout_count_buttons(layout));
  if (layout->mirrored) {
    rc_json_boolean(json, "mirrored", TRUE);
  }
  rc_json_begin_array(json, "columns");
  for (guint i = 0; i < layout->columns->len; ++i) {
    rc_json_text(json, NULL, column_name(layout, i));
  }
  rc_json_end_array(json);
  rc_json_begin_array(json, "rows");
  for (guint i = 0; i < layout->rows->len; ++i) {
    rc_json_text(json, NULL, g_ptr_array_index(layout->rows, i));
  }
  rc_json_end_array(json);
}

void
rc_report_layouts(GString *out, RcTextFormat format, RcLayout *const *layouts, guint n)
{
  if (format == RC_TEXT_TABLE) {
    append_list(out, layouts, n);
  } else if (format == RC_TEXT_CSV) {
    append_list_csv(out, layouts, n);
  } else {
    rc_json_begin_array(out, NULL);
    for (guint i = 0; i < n; ++i) {
      begin_layout(out, layouts[i]);
      rc_json_end_object(out);
    }
    rc_json_end_array(out);
    g_string_append_c(out, '\n');
  }
}

// ------------------------------------------------------------------------------------------------------ one layout

static void
end_line(GString *out)
{
  while (out->str[out->len - 1] == ' ') {
    g_string_truncate(out, out->len - 1);
  }
  g_string_append_c(out, '\n');
}

static void
append_heads(GString *out, const RcLayout *layout, guint width)
{
  gboolean fits = TRUE;
  for (guint row = 0; row < layout->rows->len; ++row) {
    fits &= strlen(g_ptr_array_index(layout->rows, row)) <= width;
  }
  g_string_append(out, "\ncolumn ");
  for (guint row = 0; row < layout->rows->len; ++row) {
    const char *name = g_ptr_array_index(layout->rows, row);
    rc_append_padded(out, fits ? name : short_row(name)->head, width);
    g_string_append_c(out, ' ');
  }
  end_line(out);
}

// "E", or "E/A" for a button that differs on push and on pull.
static char *
place_label(const RcLayout *layout, guint index)
{
  char *push = rc_sound_label(&rc_layout_button(layout, index)->sound, RC_SIGNS_ASCII);
  char *text = g_strdup(*push ? push : "-");
  if (rc_layout_entries_at(layout, index) == 2) {
    char *pull = rc_sound_label(&rc_layout_button(layout, index + 1)->sound, RC_SIGNS_ASCII);
    g_free(text);
    text = g_strdup_printf("%s/%s", *push ? push : "-", *pull ? pull : "-");
    g_free(pull);
  }
  g_free(push);
  return text;
}

// One line a column, the chin on top as on the instrument.
static void
append_board(GString *out, const RcLayout *layout)
{
  const guint width = MIN((RC_COLUMNS - 6) / layout->rows->len - 1, 11);
  append_heads(out, layout, width);
  for (guint nth = layout->columns->len; nth-- > 0;) {
    const guint column = rc_layout_column_at(layout, nth);
    rc_append_padded(out, column_name(layout, column), 6);
    for (guint row = 0; row < layout->rows->len; ++row) {
      char *label = place_label(layout, rc_layout_entry(layout, row, column));
      g_string_append_printf(out, " %-*s", (int)width, label);
      g_free(label);
    }
    end_line(out);
  }
}

// ------------------------------------------------------------------------------------------ what chord buttons sound

static RcPcSet
above_root(const RcSound *sound)
{
  return rc_pcs_transpose(sound->tones, -(int)rc_note_pc(sound->root));
}

static gboolean
sounds_alike(const RcSound *a, const RcSound *b)
{
  return a->kind == b->kind && above_root(a) == above_root(b);
}

// Whether no button of the same kind and tones lies nearer to the C column, or as near and before it.
static gboolean
is_example(const RcLayout *layout, guint index)
{
  const RcButton *button = rc_layout_button(layout, index);
  const int distance = ABS(rc_button_column(layout, button));
  for (guint i = 0; i < layout->buttons->len; ++i) {
    const RcButton *other = rc_layout_button(layout, i);
    const int nearer = ABS(rc_button_column(layout, other)) - distance;
    if (sounds_alike(&other->sound, &button->sound) && (nearer < 0 || (!nearer && i < index))) {
      return FALSE;
    }
  }
  return TRUE;
}

static void
append_sound(GString *text, const RcLayout *layout, const RcButton *button, RcSigns signs)
{
  const RcSound *sound = &button->sound;
  const RcChord chord = { sound->root, sound->root, 0 };
  char *name =
    sound->kind == RC_SOUND_OTHER ? rc_button_label(button, signs) : rc_button_describe(layout, button, signs);
  char *tones = rc_tones_text(&chord, (RcKey){ RC_MODE_NONE, 0 }, sound->tones, signs, " ");
  g_string_append_printf(text, "%s%s sounds %s", text->len ? "; " : "", name, tones);
  g_free(name);
  g_free(tones);
}

char *
rc_layout_sounds_text(const RcLayout *layout, RcSigns signs)
{
  GString *text = g_string_new(NULL);
  for (guint i = 0; i < layout->buttons->len; ++i) {
    const RcSound *sound = &rc_layout_button(layout, i)->sound;
    const gboolean differs =
      sound->kind == RC_SOUND_SEVENTH || sound->kind == RC_SOUND_DIMINISHED || sound->kind == RC_SOUND_OTHER;
    if (differs && is_example(layout, i)) {
      append_sound(text, layout, rc_layout_button(layout, i), signs);
    }
  }
  g_string_append(text, text->len ? "." : "");
  return g_string_free(text, FALSE);
}

static gboolean
has_dead(const RcLayout *layout)
{
  for (guint i = 0; i < layout->buttons->len; ++i) {
    if (rc_layout_button(layout, i)->sound.kind == RC_SOUND_DEAD) {
      return TRUE;
    }
  }
  return FALSE;
}

static void
append_one(GString *out, const RcLayout *layout)
{
  char *range = column_range(layout, ", ");
  char *rows = row_names(layout, ", ");
  char *sounds = rc_layout_sounds_text(layout, RC_SIGNS_ASCII);
  const guint buttons = rc_layout_count_buttons(layout);
  char *text = g_strdup_printf(
    "%u buttons; columns %s, the %s towards the %s; rows from the bellows outwards: %s.%s%s%s%s", buttons, range,
    is_regular(layout) ? "sharp end" : "last", layout->mirrored ? "knee" : "chin", rows, *sounds ? " " : "", sounds,
    rc_layout_has_bellows(layout) ? " Before a stroke on push, after it on pull." : "",
    has_dead(layout) ? " A dash: no sound, or no button there." : "");
  char *heading = g_strdup_printf("%s: %s", layout->name, layout->title);
  rc_append_wrapped(out, heading, 0);
  rc_append_wrapped(out, text, 0);
  append_board(out, layout);
  for (guint i = 0; i < layout->sources->len; ++i) {
    g_string_append(out, i ? "        " : "\nSource: ");
    rc_append_wrapped(out, g_ptr_array_index(layout->sources, i), 8);
  }
  g_free(heading);
  g_free(text);
  g_free(range);
  g_free(rows);
  g_free(sounds);
}

static void
append_one_csv(GString *out, const RcLayout *layout)
{
  rc_append_csv(out, "layout", "row", "column", "button", "tones", NULL);
  for (guint i = 0; i < layout->buttons->len; ++i) {
    const RcButton *button = rc_layout_button(layout, i);
    const RcChord chord = { button->sound.root, button->sound.root, 0 };
    char *label = rc_button_label(button, RC_SIGNS_ASCII);
    char *tones = rc_tones_text(&chord, (RcKey){ RC_MODE_NONE, 0 }, button->sound.tones, RC_SIGNS_ASCII, " ");
    rc_append_csv(out, layout->name, rc_button_row(layout, button),
                  rc_note_name(rc_button_column(layout, button), RC_SIGNS_ASCII), label, tones, NULL);
    g_free(label);
    g_free(tones);
  }
}

void
rc_report_layout(GString *out, RcTextFormat format, const RcLayout *layout)
{
  if (format == RC_TEXT_TABLE) {
    append_one(out, layout);
  } else if (format == RC_TEXT_CSV) {
    append_one_csv(out, layout);
  } else {
    begin_layout(out, layout);
    rc_json_decimal(out, "column_mm", layout->column_mm);
    rc_json_decimal(out, "row_mm", layout->row_mm);
    rc_json_decimal(out, "slant_mm", layout->slant_mm);
    rc_json_begin_object(out, "reeds");
    rc_json_text(out, "bass", pc_name(layout->first_bass));
    rc_json_text(out, "chord", pc_name(layout->first_chord));
    rc_json_end_object(out);
    rc_json_begin_array(out, "sounds");
    for (guint i = 0; i < layout->buttons->len; ++i) {
      add_sound(out, layout, rc_layout_button(layout, i));
    }
    rc_json_end_array(out);
    rc_json_end_object(out);
    g_string_append_c(out, '\n');
  }
}
