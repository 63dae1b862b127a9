// Copyright 2026 the rowcall developers
// SPDX-License-Identifier: MIT

// Reading a layout: the whole of a file, or a part of a larger one.

#include "layout_file.h"

#include "row_kind.h"

#include <string.h>

typedef struct {
  RcYamlTree *tree;
  const yaml_node_t *root;
  const char *name; // where the layout states none; NULL where it must, and its spacing too
  RcLayout *layout;
  GArray *row_sounds; // of RowSound, beside layout->rows
} LayoutReader;

typedef struct {
  const RcRowKind *kind;
  RcDegrees degrees;
  int shift;
} RowSound;

static const char *const layout_keys[] = { "name",  "title", "source",  "columns", "rows", "spacing",
                                           "reeds", "dead",  "retuned", "buttons", NULL };
static const char *const row_keys[] = { "row", "sounds", "shift", NULL };
static const char *const spacing_keys[] = { "column", "row", "slant", NULL };
static const char *const reeds_keys[] = { "bass", "chord", NULL };

enum { USUAL_FIRST_BASS = 4, USUAL_FIRST_CHORD = 7 }; // E and G, of many boards; from memory

// What the spacing is taken to be where it may be left out; from memory, as in the layouts that ship.
static const double usual_column_mm = 16;
static const double usual_row_mm = 12.5;
static const double usual_slant_mm = 8;

static RcPlace
place_of(const LayoutReader *r, const yaml_node_t *node)
{
  return rc_yaml_place(r->tree, node);
}

// ------------------------------------------------------------------------------------------------- name and source

static gboolean
read_required_text(LayoutReader *r, const char *key, char **text, GError **error)
{
  const yaml_node_t *node = rc_yaml_get(r->tree, r->root, key);
  const char *found = node ? rc_yaml_text(node) : r->name;
  if (!found || !*found) {
    return rc_fail(error, RC_ERROR_VALUE, place_of(r, node ? node : r->root), "a layout needs a line `%s: ...`", key);
  }
  *text = g_strdup(found);
  return TRUE;
}

static gboolean
read_sources(LayoutReader *r, GError **error)
{
  const yaml_node_t *node = rc_yaml_get(r->tree, r->root, "source");
  if (rc_yaml_text(node)) {
    g_ptr_array_add(r->layout->sources, g_strdup(rc_yaml_text(node)));
    return TRUE;
  }
  if (!node || node->type != YAML_SEQUENCE_NODE) {
    return !node || rc_fail(error, RC_ERROR_VALUE, place_of(r, node), "`source` is a text or a list of texts");
  }
  const yaml_node_item_t *item = node->data.sequence.items.start;
  for (; item < node->data.sequence.items.top; ++item) {
    const char *text = rc_yaml_text(rc_yaml_node(r->tree, *item));
    g_ptr_array_add(r->layout->sources, g_strdup(text ? text : ""));
  }
  return TRUE;
}

// -------------------------------------------------------------------------------------------------------- columns

static gboolean
parse_note(const char *text, RcNote *note)
{
  const gsize length = strlen(text);
  return length && rc_note_parse(text, length, RC_NAMES_ENGLISH, note) == length;
}

static gboolean
add_column(LayoutReader *r, const yaml_node_t *node, const char *text, GError **error)
{
  RcNote note = 0;
  if (!text || !parse_note(text, &note)) {
    return rc_fail(error, RC_ERROR_VALUE, place_of(r, node), "`%s` is no note; write columns as `Eb..E` or [D, G, C]",
                   text ? text : "(a list)");
  }
  for (guint i = 0; i < r->layout->columns->len; ++i) {
    if (g_array_index(r->layout->columns, RcNote, i) == note) {
      return rc_fail(error, RC_ERROR_VALUE, place_of(r, node), "the column `%s` stands twice", text);
    }
  }
  if (r->layout->columns->len == RC_MAX_COLUMNS) {
    return rc_fail(error, RC_ERROR_LIMIT, place_of(r, node), "more than %d columns", RC_MAX_COLUMNS);
  }
  g_array_append_val(r->layout->columns, note);
  return TRUE;
}

static gboolean
read_column_range(LayoutReader *r, const yaml_node_t *node, const char *text, GError **error)
{
  RcNote first = 0;
  RcNote last = 0;
  char **ends = g_strsplit(text, "..", 2);
  const gboolean good =
    ends[0] && ends[1] && parse_note(ends[0], &first) && parse_note(ends[1], &last) && first <= last;
  g_strfreev(ends);
  if (!good) {
    return rc_fail(error, RC_ERROR_VALUE, place_of(r, node),
                   "found columns `%s`; expected the flattest and the sharpest, such as `Eb..E`", text);
  }
  for (RcNote note = first; note <= last; ++note) {
    g_array_append_val(r->layout->columns, note);
  }
  return TRUE;
}

static gboolean
read_columns(LayoutReader *r, GError **error)
{
  const yaml_node_t *node = rc_yaml_get(r->tree, r->root, "columns");
  if (!node || node->type == YAML_MAPPING_NODE) {
    return rc_fail(error, RC_ERROR_VALUE, place_of(r, node ? node : r->root),
                   "a layout needs a line `columns: Eb..E` (or a list of notes)");
  }
  if (node->type == YAML_SCALAR_NODE) {
    return read_column_range(r, node, rc_yaml_text(node), error);
  }
  const yaml_node_item_t *item = node->data.sequence.items.start;
  for (; item < node->data.sequence.items.top; ++item) {
    const yaml_node_t *column = rc_yaml_node(r->tree, *item);
    if (!add_column(r, column, rc_yaml_text(column), error)) {
      return FALSE;
    }
  }
  return r->layout->columns->len ||
         rc_fail(error, RC_ERROR_VALUE, place_of(r, node), "a layout has at least one column");
}

// ----------------------------------------------------------------------------------------------------------- rows

static gboolean
read_row_name(LayoutReader *r, const yaml_node_t *node, RowSound *sound, GError **error)
{
  const char *name = rc_yaml_text(node);
  sound->kind = name ? rc_row_kind(name) : NULL;
  if (sound->kind) {
    sound->degrees = sound->kind->degrees;
    return TRUE;
  }
  const char *nearest = name ? rc_nearest_name(name, rc_row_names) : NULL;
  return rc_fail(error, RC_ERROR_UNKNOWN, place_of(r, node), "found row `%s`; %s%s%s", name ? name : "(a list)",
                 nearest ? "did you mean `" : "expected a row name such as fundamental or minor",
                 nearest ? nearest : "", nearest ? "`?" : "");
}

static gboolean
read_row_shift(LayoutReader *r, const yaml_node_t *map, RowSound *sound, GError **error)
{
  const yaml_node_t *node = rc_yaml_get(r->tree, map, "shift");
  const char *text = rc_yaml_text(node);
  char *end = NULL;
  if (!node) {
    return TRUE;
  }
  const gint64 shift = text ? g_ascii_strtoll(text, &end, 10) : 0;
  if (!text || end == text || *end || shift < -6 || shift > 6) {
    return rc_fail(error, RC_ERROR_VALUE, place_of(r, node),
                   "found shift `%s`; expected the columns from -6 to 6 by which the row sounds sharper",
                   text ? text : "");
  }
  sound->shift = (int)shift;
  return TRUE;
}

static gboolean
read_row_map(LayoutReader *r, const yaml_node_t *map, RowSound *sound, GError **error)
{
  const yaml_node_t *name = rc_yaml_get(r->tree, map, "row");
  const yaml_node_t *sounds = rc_yaml_get(r->tree, map, "sounds");
  if (!rc_yaml_check_keys(r->tree, map, row_keys, error) || !read_row_name(r, name ? name : map, sound, error) ||
      !read_row_shift(r, map, sound, error)) {
    return FALSE;
  }
  const char *text = rc_yaml_text(sounds);
  if (sounds && (!text || !rc_degrees_parse(text, &sound->degrees, NULL))) {
    return rc_fail(error, RC_ERROR_VALUE, place_of(r, sounds),
                   "found `%s`; expected the tones of a button above its root, such as `1 3 b7`",
                   text ? text : "(a list)");
  }
  return TRUE;
}

static gboolean
add_row(LayoutReader *r, const yaml_node_t *node, GError **error)
{
  RowSound sound = { NULL, 0, 0 };
  const gboolean good =
    node->type == YAML_MAPPING_NODE ? read_row_map(r, node, &sound, error) : read_row_name(r, node, &sound, error);
  if (!good) {
    return FALSE;
  }
  for (guint i = 0; i < r->row_sounds->len; ++i) {
    if (g_array_index(r->row_sounds, RowSound, i).kind == sound.kind) {
      return rc_fail(error, RC_ERROR_VALUE, place_of(r, node), "the row `%s` stands twice", sound.kind->name);
    }
  }
  g_ptr_array_add(r->layout->rows, g_strdup(sound.kind->name));
  g_array_append_val(r->row_sounds, sound);
  return TRUE;
}

static gboolean
read_rows(LayoutReader *r, GError **error)
{
  const yaml_node_t *node = rc_yaml_get(r->tree, r->root, "rows");
  if (!node || node->type != YAML_SEQUENCE_NODE || node->data.sequence.items.start == node->data.sequence.items.top) {
    return rc_fail(error, RC_ERROR_VALUE, place_of(r, node ? node : r->root),
                   "a layout needs `rows:`, a list such as [fundamental, major], from the bellows outwards");
  }
  const yaml_node_item_t *item = node->data.sequence.items.start;
  for (; item < node->data.sequence.items.top; ++item) {
    if (!add_row(r, rc_yaml_node(r->tree, *item), error)) {
      return FALSE;
    }
  }
  return TRUE;
}

// -------------------------------------------------------------------------------------------------------- spacing

static gboolean
read_distance(LayoutReader *r, const yaml_node_t *map, const char *key, double least, double *mm, GError **error)
{
  const yaml_node_t *node = rc_yaml_get(r->tree, map, key);
  const char *text = rc_yaml_text(node);
  char *end = NULL;
  if (!node) {
    return TRUE;
  }
  const double read = text ? g_ascii_strtod(text, &end) : 0;
  if (!text || end == text || *end || !(read >= least && read <= 100)) {
    return rc_fail(error, RC_ERROR_VALUE, place_of(r, node), "found %s `%s`; expected %g to 100 mm", key,
                   text ? text : "(a list)", least);
  }
  *mm = read;
  return TRUE;
}

static gboolean
read_spacing(LayoutReader *r, GError **error)
{
  const yaml_node_t *map = rc_yaml_get(r->tree, r->root, "spacing");
  RcLayout *layout = r->layout;
  const gboolean is_map = map && map->type == YAML_MAPPING_NODE;
  if (!map && r->name) {
    layout->column_mm = usual_column_mm;
    layout->row_mm = usual_row_mm;
    layout->slant_mm = usual_slant_mm;
    return TRUE;
  }
  if (is_map && !rc_yaml_check_keys(r->tree, map, spacing_keys, error)) {
    return FALSE;
  }
  if (!is_map || !rc_yaml_get(r->tree, map, "column") || !rc_yaml_get(r->tree, map, "row")) {
    return rc_fail(error, RC_ERROR_VALUE, place_of(r, map ? map : r->root),
                   "a layout needs a line `spacing: {column: 16, row: 12.5, slant: 8}` in mm");
  }
  return read_distance(r, map, "column", 5, &layout->column_mm, error) &&
         read_distance(r, map, "row", 5, &layout->row_mm, error) &&
         read_distance(r, map, "slant", 0, &layout->slant_mm, error);
}

// ---------------------------------------------------------------------------------------------------------- reeds

static gboolean
read_first_note(LayoutReader *r, const yaml_node_t *map, const char *key, guint *pc, GError **error)
{
  const yaml_node_t *node = rc_yaml_get(r->tree, map, key);
  const char *text = rc_yaml_text(node);
  RcNote note = 0;
  if (node && (!text || !parse_note(text, &note))) {
    return rc_fail(error, RC_ERROR_VALUE, place_of(r, node), "found %s `%s`; expected a note such as E", key,
                   text ? text : "(a list)");
  }
  *pc = node ? rc_note_pc(note) : *pc;
  return TRUE;
}

static gboolean
read_reeds(LayoutReader *r, GError **error)
{
  const yaml_node_t *map = rc_yaml_get(r->tree, r->root, "reeds");
  r->layout->first_bass = USUAL_FIRST_BASS;
  r->layout->first_chord = USUAL_FIRST_CHORD;
  if (!map || map->type != YAML_MAPPING_NODE) {
    return !map || rc_fail(error, RC_ERROR_VALUE, place_of(r, map),
                           "`reeds` names the lowest note of the basses and of the chords, as {bass: E, chord: G}");
  }
  return rc_yaml_check_keys(r->tree, map, reeds_keys, error) &&
         read_first_note(r, map, "bass", &r->layout->first_bass, error) &&
         read_first_note(r, map, "chord", &r->layout->first_chord, error);
}

// -------------------------------------------------------------------------------------------------------- buttons

static void
make_buttons(LayoutReader *r, gboolean sounding)
{
  RcLayout *layout = r->layout;
  for (guint row = 0; row < layout->rows->len; ++row) {
    const RowSound *sound = &g_array_index(r->row_sounds, RowSound, row);
    for (guint column = 0; column < layout->columns->len; ++column) {
      const RcNote root =
        rc_note_up(g_array_index(layout->columns, RcNote, column), sound->kind->fifths + sound->shift);
      RcButton button = { row, column, { RC_SOUND_DEAD, root, 0 }, 0, 0 };
      button.x = column * layout->column_mm + row * layout->slant_mm;
      button.y = row * layout->row_mm;
      if (sounding) {
        button.sound = rc_sound_make(sound->kind->kind, root, sound->degrees);
      }
      g_array_append_val(layout->buttons, button);
    }
  }
}

static RcButton *
button_at(RcLayout *layout, const char *row, RcNote column)
{
  for (guint i = 0; i < layout->buttons->len; ++i) {
    RcButton *button = &g_array_index(layout->buttons, RcButton, i);
    if (rc_button_column(layout, button) == column && !strcmp(rc_button_row(layout, button), row)) {
      return button;
    }
  }
  return NULL;
}

// "minor B": the button in the minor row of the B column.
static RcButton *
find_button(const RcYamlTree *tree, RcLayout *layout, const yaml_node_t *node, GError **error)
{
  const char *text = rc_yaml_text(node);
  char **words = g_strsplit(text ? text : "", " ", 2);
  RcNote column = 0;
  RcButton *button = NULL;
  if (words[0] && words[1] && parse_note(words[1], &column)) {
    button = button_at(layout, words[0], column);
  }
  g_strfreev(words);
  if (!button) {
    rc_fail(error, RC_ERROR_UNKNOWN, rc_yaml_place(tree, node),
            "found button `%s`; expected a row and a column of this layout, such as `fundamental %s`",
            text ? text : "(a list)", rc_note_name(g_array_index(layout->columns, RcNote, 0), RC_SIGNS_ASCII));
  }
  return button;
}

// "B" a bass note, "B minor" a chord of a row's kind, "B 1 5" these tones above B.
static gboolean
parse_sound(const char *text, RcSound *sound)
{
  RcNote root = 0;
  RcDegrees degrees = 0;
  char **words = g_strsplit(text, " ", 2);
  gboolean good = words[0] && parse_note(words[0], &root);
  const RcRowKind *kind = good && words[1] ? rc_row_kind(words[1]) : rc_row_kind("fundamental");
  if (good && kind && (kind->kind != RC_SOUND_BASS || !words[1])) {
    *sound = rc_sound_make(kind->kind, root, kind->degrees);
  } else if (good && words[1] && rc_degrees_parse(words[1], &degrees, NULL)) {
    *sound = rc_sound_make(rc_sound_kind(degrees), root, degrees);
  } else {
    good = FALSE;
  }
  g_strfreev(words);
  return good;
}

static gboolean
read_button_sounds(LayoutReader *r, const char *key, GError **error)
{
  const yaml_node_t *map = rc_yaml_get(r->tree, r->root, key);
  if (!map || map->type != YAML_MAPPING_NODE) {
    return !map ||
           rc_fail(error, RC_ERROR_VALUE, place_of(r, map), "`%s` is a list of lines such as `minor E: E major`", key);
  }
  if (!rc_yaml_check_once(r->tree, map, error)) {
    return FALSE;
  }
  const yaml_node_pair_t *pair = map->data.mapping.pairs.start;
  for (; pair < map->data.mapping.pairs.top; ++pair) {
    const yaml_node_t *value = rc_yaml_node(r->tree, pair->value);
    RcButton *button = find_button(r->tree, r->layout, rc_yaml_node(r->tree, pair->key), error);
    if (!button) {
      return FALSE;
    }
    if (!rc_yaml_text(value) || !parse_sound(rc_yaml_text(value), &button->sound)) {
      return rc_fail(error, RC_ERROR_VALUE, place_of(r, value),
                     "found the sound `%s`; expected a note (`B`), a chord (`B minor`) or tones (`B 1 5`)",
                     rc_yaml_text(value) ? rc_yaml_text(value) : "(a list)");
    }
  }
  return TRUE;
}

gboolean
rc_layout_read_dead(RcLayout *layout, RcYamlTree *tree, const yaml_node_t *list, GError **error)
{
  if (!list || list->type != YAML_SEQUENCE_NODE) {
    return !list ||
           rc_fail(error, RC_ERROR_VALUE, rc_yaml_place(tree, list), "`dead` is a list such as [minor E, seventh E]");
  }
  const yaml_node_item_t *item = list->data.sequence.items.start;
  for (; item < list->data.sequence.items.top; ++item) {
    RcButton *button = find_button(tree, layout, rc_yaml_node(tree, *item), error);
    if (!button) {
      return FALSE;
    }
    button->sound.kind = RC_SOUND_DEAD;
    button->sound.tones = 0;
  }
  return TRUE;
}

static gboolean
read_layout(LayoutReader *r, GError **error)
{
  if (!rc_yaml_check_keys(r->tree, r->root, layout_keys, error) ||
      !read_required_text(r, "name", &r->layout->name, error) ||
      !read_required_text(r, "title", &r->layout->title, error) || !read_sources(r, error) || !read_columns(r, error) ||
      !read_rows(r, error) || !read_spacing(r, error) || !read_reeds(r, error)) {
    return FALSE;
  }
  make_buttons(r, !rc_yaml_get(r->tree, r->root, "buttons"));
  return read_button_sounds(r, "buttons", error) && read_button_sounds(r, "retuned", error) &&
         rc_layout_read_dead(r->layout, r->tree, rc_yaml_get(r->tree, r->root, "dead"), error);
}

RcLayout *
rc_layout_read(RcYamlTree *tree, const yaml_node_t *map, const char *name, GError **error)
{
  RcLayout *layout = g_new0(RcLayout, 1);
  layout->sources = g_ptr_array_new_with_free_func(g_free);
  layout->columns = g_array_new(FALSE, FALSE, sizeof(RcNote));
  layout->rows = g_ptr_array_new_with_free_func(g_free);
  layout->buttons = g_array_new(FALSE, FALSE, sizeof(RcButton));
  LayoutReader r = { tree, map, name, layout, g_array_new(FALSE, FALSE, sizeof(RowSound)) };
  if (!read_layout(&r, error)) {
    g_clear_pointer(&layout, rc_layout_free);
  }
  g_array_unref(r.row_sounds);
  return layout;
}

RcLayout *
rc_layout_parse(const char *text, gsize length, const char *file, GError **error)
{
  RcYamlTree tree;
  RcLayout *layout = NULL;
  if (!rc_yaml_tree_load(&tree, text, length, file, error)) {
    return NULL;
  }
  const yaml_node_t *root = rc_yaml_tree_root(&tree, "a layout", error);
  if (root) {
    layout = rc_layout_read(&tree, root, NULL, error);
  }
  rc_yaml_tree_clear(&tree);
  return layout;
}
