// Copyright 2026 the rowcall developers
// SPDX-License-Identifier: MIT

#include "keyboard/layout_parts.h"
#include "keyboard/spot.h"

#include <string.h>

static const char *const row_keys[] = { "row", "sounds", "shift", NULL };

static gboolean
add_column(RcLayoutReader *r, const yaml_node_t *node, const char *text, GError **error)
{
  RcNote note = 0;
  if (!text || !rc_note_read(text, &note)) {
    return rc_fail(error, RC_ERROR_VALUE, rc_layout_place(r, node),
                   "`%s` is no note; write columns as `Eb..E` or [D, G, C]", text ? text : "(a list)");
  }
  for (guint i = 0; i < r->layout->columns->len; ++i) {
    if (g_array_index(r->layout->columns, RcNote, i) == note) {
      return rc_fail(error, RC_ERROR_VALUE, rc_layout_place(r, node), "the column `%s` is listed twice", text);
    }
  }
  if (r->layout->columns->len == RC_MAX_COLUMNS) {
    return rc_fail(error, RC_ERROR_LIMIT, rc_layout_place(r, node), "more than %d columns", RC_MAX_COLUMNS);
  }
  g_array_append_val(r->layout->columns, note);
  return TRUE;
}

static gboolean
read_column_range(RcLayoutReader *r, const yaml_node_t *node, const char *text, GError **error)
{
  RcNote first = 0;
  RcNote last = 0;
  char **ends = g_strsplit(text, "..", 2);
  const gboolean good =
    ends[0] && ends[1] && rc_note_read(ends[0], &first) && rc_note_read(ends[1], &last) && first <= last;
  g_strfreev(ends);
  if (!good) {
    return rc_fail(error, RC_ERROR_VALUE, rc_layout_place(r, node),
                   "found columns `%s`; expected the flattest and the sharpest, such as `Eb..E`", text);
  }
  for (RcNote note = first; note <= last; ++note) {
    g_array_append_val(r->layout->columns, note);
  }
  return TRUE;
}

gboolean
rc_layout_read_columns(RcLayoutReader *r, GError **error)
{
  const yaml_node_t *node = rc_yaml_get(r->tree, r->root, "columns");
  if (!node || node->type == YAML_MAPPING_NODE) {
    return rc_fail(error, RC_ERROR_VALUE, rc_layout_place(r, node ? node : r->root),
                   "a layout needs a line `columns: Eb..E` (or a list of notes)");
  }
  if (node->type == YAML_SCALAR_NODE) {
    return read_column_range(r, node, rc_yaml_text(node), error);
  }
  const yaml_node_item_t *item = node->data.sequence.items.start;
  for (; item < node->data.sequence.items.top; ++item) {
    GError *problem = NULL;
    const yaml_node_t *column = rc_yaml_node(r->tree, *item);
    add_column(r, column, rc_yaml_text(column), &problem);
    if (!rc_layout_go_on(r->problems, problem, error)) {
      return FALSE;
    }
  }
  return r->layout->columns->len ||
         rc_fail(error, RC_ERROR_VALUE, rc_layout_place(r, node), "a layout has at least one column");
}

// ----------------------------------------------------------------------------------------------------------- rows

static gboolean
read_row_name(RcLayoutReader *r, const yaml_node_t *node, RcRowSound *sound, GError **error)
{
  const char *name = rc_yaml_text(node);
  sound->kind = name ? rc_row_kind(name) : NULL;
  if (sound->kind) {
    sound->degrees = sound->kind->degrees;
    return TRUE;
  }
  const char *nearest = name ? rc_nearest_name(name, rc_row_names) : NULL;
  rc_fail(error, RC_ERROR_UNKNOWN, rc_layout_place(r, node), "found row `%s`; %s%s%s", name ? name : "(a list)",
          nearest ? "did you mean `" : "expected a row name such as fundamental or minor", nearest ? nearest : "",
          nearest ? "`?" : "");
  return FALSE;
}

static gboolean
read_row_shift(RcLayoutReader *r, const yaml_node_t *map, RcRowSound *sound, GError **error)
{
  const yaml_node_t *node = rc_yaml_get(r->tree, map, "shift");
  const char *text = rc_yaml_text(node);
  char *end = NULL;
  if (!node) {
    return TRUE;
  }
  const gint64 shift = text ? g_ascii_strtoll(text, &end, 10) : 0;
  if (!text || end == text || *end || shift < -6 || shift > 6) {
    return rc_fail(error, RC_ERROR_VALUE, rc_layout_place(r, node),
                   "found shift `%s`; expected the columns from -6 to 6 by which the row sounds sharper",
                   text ? text : "");
  }
  sound->shift = (int)shift;
  return TRUE;
}

static gboolean
read_row_map(RcLayoutReader *r, const yaml_node_t *map, RcRowSound *sound, GError **error)
{
  const yaml_node_t *name = rc_yaml_get(r->tree, map, "row");
  const yaml_node_t *sounds = rc_yaml_get(r->tree, map, "sounds");
  if (!rc_yaml_check_keys(r->tree, map, row_keys, error) || !read_row_name(r, name ? name : map, sound, error) ||
      !read_row_shift(r, map, sound, error)) {
    return FALSE;
  }
  const char *text = rc_yaml_text(sounds);
  if (sounds && (!text || !rc_degrees_parse(text, &sound->degrees, NULL))) {
    return rc_fail(error, RC_ERROR_VALUE, rc_layout_place(r, sounds),
                   "found `%s`; expected the tones of a button above its root, such as `1 3 b7`",
                   text ? text : "(a list)");
  }
  return TRUE;
}

static gboolean
add_row(RcLayoutReader *r, const yaml_node_t *node, GError **error)
{
  RcRowSound sound = { NULL, 0, 0 };
  const gboolean good =
    node->type == YAML_MAPPING_NODE ? read_row_map(r, node, &sound, error) : read_row_name(r, node, &sound, error);
  if (!good) {
    return FALSE;
  }
  for (guint i = 0; i < r->row_sounds->len; ++i) {
    if (g_array_index(r->row_sounds, RcRowSound, i).kind == sound.kind) {
      return rc_fail(error, RC_ERROR_VALUE, rc_layout_place(r, node), "the row `%s` is listed twice", sound.kind->name);
    }
  }
  g_ptr_array_add(r->layout->rows, g_strdup(sound.kind->name));
  g_array_append_val(r->row_sounds, sound);
  return TRUE;
}

gboolean
rc_layout_read_rows(RcLayoutReader *r, GError **error)
{
  const yaml_node_t *node = rc_yaml_get(r->tree, r->root, "rows");
  if (!node || node->type != YAML_SEQUENCE_NODE || node->data.sequence.items.start == node->data.sequence.items.top) {
    return rc_fail(error, RC_ERROR_VALUE, rc_layout_place(r, node ? node : r->root),
                   "a layout needs `rows:`, a list such as [fundamental, major], from the bellows outwards");
  }
  const yaml_node_item_t *item = node->data.sequence.items.start;
  for (; item < node->data.sequence.items.top; ++item) {
    GError *problem = NULL;
    add_row(r, rc_yaml_node(r->tree, *item), &problem);
    if (!rc_layout_go_on(r->problems, problem, error)) {
      return FALSE;
    }
  }
  return TRUE;
}

// -------------------------------------------------------------------------------------------------------- buttons

void
rc_layout_place_button(const RcLayout *layout, RcButton *button)
{
  button->x = button->column * layout->column_mm + button->row * layout->slant_mm;
  button->y = button->row * layout->row_mm;
}

void
rc_layout_make_buttons(RcLayoutReader *r, gboolean sounding)
{
  RcLayout *layout = r->layout;
  for (guint row = 0; row < layout->rows->len; ++row) {
    const RcRowSound *sound = &g_array_index(r->row_sounds, RcRowSound, row);
    for (guint column = 0; column < layout->columns->len; ++column) {
      const RcNote root =
        rc_note_up(g_array_index(layout->columns, RcNote, column), sound->kind->fifths + sound->shift);
      RcButton button = {
        .row = row, .column = column, .sound = { RC_SOUND_DEAD, root, 0 }, .bellows = RC_BELLOWS_BOTH
      };
      rc_layout_place_button(layout, &button);
      if (sounding && sound->degrees) {
        button.sound = rc_sound_make(sound->kind->kind, root, sound->degrees);
      }
      g_array_append_val(layout->buttons, button);
    }
  }
}
