// Copyright 2026 the rowcall developers
// SPDX-License-Identifier: MIT

#include "format.h"

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

static char *
column_range(const RcLayout *layout)
{
  return g_strdup_printf("%s..%s", column_name(layout, 0), column_name(layout, layout->columns->len - 1));
}

// ---------------------------------------------------------------------------------------------------- many layouts

static void
append_list(GString *out, RcLayout *const *layouts, guint n)
{
  g_string_append(out, "layout          buttons columns   description\n");
  for (guint i = 0; i < n; ++i) {
    char *range = column_range(layouts[i]);
    rc_append_padded(out, layouts[i]->name, 15);
    g_string_append_printf(out, " %7u %-9s ", rc_layout_count_buttons(layouts[i]), range);
    rc_append_wrapped(out, layouts[i]->title, 34);
    g_free(range);
  }
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

static void
add_layout(JsonBuilder *json, const RcLayout *layout, gboolean buttons)
{
  json_builder_begin_object(json);
  rc_json_text(json, "layout", layout->name);
  rc_json_text(json, "title", layout->title);
  rc_json_number(json, "buttons", rc_layout_count_buttons(layout));
  json_builder_set_member_name(json, "columns");
  json_builder_begin_array(json);
  for (guint i = 0; i < layout->columns->len; ++i) {
    json_builder_add_string_value(json, column_name(layout, i));
  }
  json_builder_end_array(json);
  json_builder_set_member_name(json, "rows");
  json_builder_begin_array(json);
  for (guint i = 0; i < layout->rows->len; ++i) {
    json_builder_add_string_value(json, g_ptr_array_index(layout->rows, i));
  }
  json_builder_end_array(json);
  json_builder_set_member_name(json, "sounds");
  json_builder_begin_array(json);
  for (guint i = 0; buttons && i < layout->buttons->len; ++i) {
    const RcButton *button = rc_layout_button(layout, i);
    char *label = rc_button_label(button, RC_SIGNS_ASCII);
    const RcChord chord = { button->sound.root, button->sound.root, 0 };
    json_builder_begin_object(json);
    rc_json_text(json, "row", rc_button_row(layout, button));
    rc_json_text(json, "column", rc_note_name(rc_button_column(layout, button), RC_SIGNS_ASCII));
    rc_json_text(json, "name", label);
    rc_json_tones(json, "tones", &chord, (RcKey){ RC_MODE_NONE, 0 }, button->sound.tones);
    json_builder_end_object(json);
    g_free(label);
  }
  json_builder_end_array(json);
  json_builder_end_object(json);
}

void
rc_report_layouts(GString *out, RcFormat format, RcLayout *const *layouts, guint n)
{
  if (format == RC_FORMAT_TABLE) {
    append_list(out, layouts, n);
  } else if (format == RC_FORMAT_CSV) {
    append_list_csv(out, layouts, n);
  } else {
    JsonBuilder *json = json_builder_new();
    json_builder_begin_array(json);
    for (guint i = 0; i < n; ++i) {
      add_layout(json, layouts[i], FALSE);
    }
    json_builder_end_array(json);
    rc_json_finish(out, json);
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

// One line a column, the chin on top as on the instrument.
static void
append_board(GString *out, const RcLayout *layout)
{
  const guint width = MIN((RC_COLUMNS - 6) / layout->rows->len - 1, 11);
  g_string_append(out, "\ncolumn ");
  for (guint row = 0; row < layout->rows->len; ++row) {
    rc_append_padded(out, g_ptr_array_index(layout->rows, row), width);
    g_string_append_c(out, ' ');
  }
  end_line(out);
  for (guint column = layout->columns->len; column-- > 0;) {
    rc_append_padded(out, column_name(layout, column), 6);
    for (guint i = 0; i < layout->buttons->len; ++i) {
      const RcButton *button = rc_layout_button(layout, i);
      if (button->column == column) {
        char *label = rc_button_label(button, RC_SIGNS_ASCII);
        g_string_append_printf(out, " %-*s", (int)width, *label ? label : "-");
        g_free(label);
      }
    }
    end_line(out);
  }
}

static void
append_one(GString *out, const RcLayout *layout)
{
  char *range = column_range(layout);
  char *rows = row_names(layout, ", ");
  char *text =
    g_strdup_printf("%u buttons; columns %s, the sharp end towards the chin; rows from the bellows outwards: %s.",
                    rc_layout_count_buttons(layout), range, rows);
  g_string_append_printf(out, "%s: %s\n", layout->name, layout->title);
  rc_append_wrapped(out, text, 0);
  append_board(out, layout);
  for (guint i = 0; i < layout->sources->len; ++i) {
    g_string_append(out, i ? "        " : "\nSource: ");
    rc_append_wrapped(out, g_ptr_array_index(layout->sources, i), 8);
  }
  g_free(text);
  g_free(range);
  g_free(rows);
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
rc_report_layout(GString *out, RcFormat format, const RcLayout *layout)
{
  if (format == RC_FORMAT_TABLE) {
    append_one(out, layout);
  } else if (format == RC_FORMAT_CSV) {
    append_one_csv(out, layout);
  } else {
    JsonBuilder *json = json_builder_new();
    add_layout(json, layout, TRUE);
    rc_json_finish(out, json);
  }
}
