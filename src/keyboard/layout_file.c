// Copyright 2026 the rowcall developers
// SPDX-License-Identifier: MIT

// Reading a layout: the whole of a file, or a part of a larger one.

#include "keyboard/layout_file.h"
#include "keyboard/layout_parts.h"
#include "keyboard/spot.h"

#include <string.h>

static const char *const layout_keys[] = { "name",  "title", "source",  "columns", "rows",     "spacing",
                                           "reeds", "dead",  "retuned", "buttons", "mirrored", NULL };
static const char *const spacing_keys[] = { "column", "row", "slant", NULL };
static const char *const reeds_keys[] = { "bass", "chord", NULL };

enum { USUAL_FIRST_BASS = 4, USUAL_FIRST_CHORD = 7 }; // E and G, of many boards; from memory

// What the spacing is taken to be where it may be left out; from memory, as in the layouts that ship.
static const double usual_column_mm = 16;
static const double usual_row_mm = 12.5;
static const double usual_slant_mm = 8;

RcPlace
rc_layout_place(const RcLayoutReader *r, const yaml_node_t *node)
{
  return rc_yaml_place(r->tree, node);
}

gboolean
rc_layout_go_on(GPtrArray *problems, GError *problem, GError **error)
{
  if (problem && problems) {
    g_ptr_array_add(problems, problem);
  } else if (problem) {
    g_propagate_error(error, problem);
    return FALSE;
  }
  return TRUE;
}

const char *
rc_layout_shown(const yaml_node_t *node)
{
  return rc_yaml_text(node) ? rc_yaml_text(node) : "(a list)";
}

static gboolean
check_layout_keys(RcLayoutReader *r, GError **error)
{
  const yaml_node_pair_t *pair = r->root->data.mapping.pairs.start;
  for (; pair < r->root->data.mapping.pairs.top; ++pair) {
    GError *problem = NULL;
    const yaml_node_t *key = rc_yaml_node(r->tree, pair->key);
    const char *text = rc_yaml_text(key);
    if (!text || !g_strv_contains(layout_keys, text)) {
      rc_yaml_fail_key(rc_layout_place(r, key), text ? text : "(a list)", layout_keys, &problem);
    }
    if (!rc_layout_go_on(r->problems, problem, error)) {
      return FALSE;
    }
  }
  return rc_yaml_check_once(r->tree, r->root, error);
}

// ------------------------------------------------------------------------------------------------- name and source

// Reads the line `key`, which may be left out but not be empty; @p text is NULL where it is left out.
static gboolean
read_line(RcLayoutReader *r, const char *key, char **text, GError **error)
{
  const yaml_node_t *node = rc_yaml_get(r->tree, r->root, key);
  const char *found = rc_yaml_text(node);
  if (!node) {
    return TRUE;
  }
  const RcPlace place = rc_layout_place(r, node);
  if (!found || !*found) {
    return rc_fail(error, RC_ERROR_VALUE, place, "found no text for `%s`; write one, or leave the line out", key);
  }
  *text = g_strchomp(g_strdup(found)); // a block has a line end at its end
  const char *line_end = rc_yaml_line_end(*text);
  return !line_end || rc_yaml_fail_line_end(place, key, line_end, error);
}

static gboolean
read_sources(RcLayoutReader *r, GError **error)
{
  const yaml_node_t *node = rc_yaml_get(r->tree, r->root, "source");
  if (rc_yaml_text(node)) {
    g_ptr_array_add(r->layout->sources, g_strdup(rc_yaml_text(node)));
    return TRUE;
  }
  if (!node || node->type != YAML_SEQUENCE_NODE) {
    return !node || rc_fail(error, RC_ERROR_VALUE, rc_layout_place(r, node), "`source` is a text or a list of texts");
  }
  const yaml_node_item_t *item = node->data.sequence.items.start;
  for (; item < node->data.sequence.items.top; ++item) {
    const char *text = rc_yaml_text(rc_yaml_node(r->tree, *item));
    g_ptr_array_add(r->layout->sources, g_strdup(text ? text : ""));
  }
  return TRUE;
}

// -------------------------------------------------------------------------------------------------------- spacing

static gboolean
read_distance(RcLayoutReader *r, const yaml_node_t *map, const char *key, double least, double *mm, GError **error)
{
  const yaml_node_t *node = rc_yaml_get(r->tree, map, key);
  const char *text = rc_yaml_text(node);
  char *end = NULL;
  if (!node) {
    return TRUE;
  }
  const double read = text ? g_ascii_strtod(text, &end) : 0;
  if (!text || end == text || *end || !(read >= least && read <= 100)) {
    return rc_fail(error, RC_ERROR_VALUE, rc_layout_place(r, node), "found %s `%s`; expected %g to 100 mm", key,
                   text ? text : "(a list)", least);
  }
  *mm = read;
  return TRUE;
}

static gboolean
read_spacing(RcLayoutReader *r, GError **error)
{
  const yaml_node_t *map = rc_yaml_get(r->tree, r->root, "spacing");
  RcLayout *layout = r->layout;
  const gboolean is_map = map && map->type == YAML_MAPPING_NODE;
  if (!map) {
    layout->taken |= RC_TAKEN_SPACING;
    layout->column_mm = usual_column_mm;
    layout->row_mm = usual_row_mm;
    layout->slant_mm = usual_slant_mm;
    return TRUE;
  }
  if (is_map && !rc_yaml_check_keys(r->tree, map, spacing_keys, error)) {
    return FALSE;
  }
  if (!is_map || !rc_yaml_get(r->tree, map, "column") || !rc_yaml_get(r->tree, map, "row")) {
    return rc_fail(error, RC_ERROR_VALUE, rc_layout_place(r, map),
                   "`spacing` names column and row in mm, as {column: 16, row: 12.5, slant: 8}; or leave it out");
  }
  return read_distance(r, map, "column", 5, &layout->column_mm, error) &&
         read_distance(r, map, "row", 5, &layout->row_mm, error) &&
         read_distance(r, map, "slant", 0, &layout->slant_mm, error);
}

// ---------------------------------------------------------------------------------------------------------- reeds

static gboolean
read_first_note(RcLayoutReader *r, const yaml_node_t *map, const char *key, guint *pc, GError **error)
{
  const yaml_node_t *node = rc_yaml_get(r->tree, map, key);
  const char *text = rc_yaml_text(node);
  RcNote note = 0;
  if (node && (!text || !rc_note_read(text, &note))) {
    return rc_fail(error, RC_ERROR_VALUE, rc_layout_place(r, node), "found %s `%s`; expected a note such as E", key,
                   text ? text : "(a list)");
  }
  *pc = node ? rc_note_pc(note) : *pc;
  return TRUE;
}

static gboolean
read_reeds(RcLayoutReader *r, GError **error)
{
  const yaml_node_t *map = rc_yaml_get(r->tree, r->root, "reeds");
  r->layout->first_bass = USUAL_FIRST_BASS;
  r->layout->first_chord = USUAL_FIRST_CHORD;
  if (!map || map->type != YAML_MAPPING_NODE) {
    return !map || rc_fail(error, RC_ERROR_VALUE, rc_layout_place(r, map),
                           "`reeds` names the lowest note of the basses and of the chords, as {bass: E, chord: G}");
  }
  return rc_yaml_check_keys(r->tree, map, reeds_keys, error) &&
         read_first_note(r, map, "bass", &r->layout->first_bass, error) &&
         read_first_note(r, map, "chord", &r->layout->first_chord, error);
}

// ------------------------------------------------------------------------------------------------------ the whole

static gboolean
read_mirrored(RcLayoutReader *r, GError **error)
{
  const yaml_node_t *node = rc_yaml_get(r->tree, r->root, "mirrored");
  const char *text = node ? rc_layout_shown(node) : "false";
  r->layout->mirrored = !strcmp(text, "true");
  return r->layout->mirrored || !strcmp(text, "false") ||
         rc_fail(error, RC_ERROR_VALUE, rc_layout_place(r, node), "found mirrored `%s`; expected true or false", text);
}

static gboolean
read_name(RcLayoutReader *r, GError **error)
{
  RcLayout *layout = r->layout;
  const gboolean good = read_line(r, "name", &layout->name, error);
  if (good && !layout->name) {
    layout->name = g_strdup(r->name);
    layout->taken |= RC_TAKEN_NAME;
  }
  return good;
}

// Follows the columns and rows, of which a title is made where there is none.
static gboolean
read_title(RcLayoutReader *r, GError **error)
{
  RcLayout *layout = r->layout;
  const gboolean good = read_line(r, "title", &layout->title, error);
  if (good && !layout->title) {
    layout->title =
      g_strdup_printf("%u column%s by %u row%s", layout->columns->len, layout->columns->len == 1 ? "" : "s",
                      layout->rows->len, layout->rows->len == 1 ? "" : "s");
    layout->taken |= RC_TAKEN_TITLE;
  }
  return good;
}

static gboolean
read_sounds(RcLayoutReader *r, GError **error)
{
  if (r->layout->columns->len && r->layout->rows->len) {
    rc_layout_make_buttons(r, !rc_yaml_get(r->tree, r->root, "buttons"));
    return rc_layout_read_buttons(r, "buttons", error);
  }
  return FALSE;
}

static gboolean
read_exceptions(RcLayoutReader *r, GError **error)
{
  return !r->layout->buttons->len || (rc_layout_read_buttons(r, "retuned", error) && rc_layout_read_silent(r, error));
}

static gboolean
read_layout(RcLayoutReader *r, GError **error)
{
  typedef gboolean (*Part)(RcLayoutReader *, GError **);
  static const Part parts[] = { check_layout_keys,   read_name,   read_sources,   rc_layout_read_columns,
                                rc_layout_read_rows, read_title,  read_spacing,   read_mirrored,
                                read_reeds,          read_sounds, read_exceptions };
  for (guint i = 0; i < G_N_ELEMENTS(parts); ++i) {
    GError *problem = NULL;
    parts[i](r, &problem);
    if (!rc_layout_go_on(r->problems, problem, error)) {
      return FALSE;
    }
  }
  return r->layout->buttons->len > 0;
}

// Fills in what was missing or wrong, so that the rest can be explained.
static void
complete(RcLayout *layout)
{
  layout->name = layout->name ? layout->name : g_strdup("nameless");
  layout->title = layout->title ? layout->title : g_strdup("without a title");
  layout->column_mm = layout->column_mm > 0 ? layout->column_mm : usual_column_mm;
  layout->row_mm = layout->row_mm > 0 ? layout->row_mm : usual_row_mm;
  for (guint i = 0; i < layout->buttons->len; ++i) {
    rc_layout_place_button(layout, &g_array_index(layout->buttons, RcButton, i));
  }
}

static RcLayout *
read_gathering(RcYamlTree *tree, const yaml_node_t *map, const char *name, GPtrArray *problems, GError **error)
{
  RcLayout *layout = g_new0(RcLayout, 1);
  layout->sources = g_ptr_array_new_with_free_func(g_free);
  layout->columns = g_array_new(FALSE, FALSE, sizeof(RcNote));
  layout->rows = g_ptr_array_new_with_free_func(g_free);
  layout->buttons = g_array_new(FALSE, FALSE, sizeof(RcButton));
  RcLayoutReader r = { tree, map, name, layout, g_array_new(FALSE, FALSE, sizeof(RcRowSound)), problems };
  if (!read_layout(&r, error)) {
    g_clear_pointer(&layout, rc_layout_free);
  }
  g_array_unref(r.row_sounds);
  return layout;
}

// The name of a layout file without its ending; a new string.
static char *
name_of_file(const char *file)
{
  char *name = g_path_get_basename(file);
  const char *ending = strrchr(name, '.');
  if (ending && ending > name) {
    name[ending - name] = '\0';
  }
  return name;
}

RcLayout *
rc_layout_read(RcYamlTree *tree, const yaml_node_t *map, const char *name, GError **error)
{
  return read_gathering(tree, map, name, NULL, error);
}

RcLayout *
rc_layout_parse_all(const char *text, gsize length, const char *file, GPtrArray *problems)
{
  RcYamlTree tree;
  GError *error = NULL;
  RcLayout *layout = NULL;
  if (rc_yaml_tree_load(&tree, text, length, file, &error)) {
    const yaml_node_t *root = rc_yaml_tree_root(&tree, "a layout", &error);
    char *name = name_of_file(file);
    layout = root ? read_gathering(&tree, root, name, problems, &error) : NULL;
    if (layout) {
      complete(layout);
    }
    g_free(name);
    rc_yaml_tree_clear(&tree);
  }
  if (error) {
    g_ptr_array_add(problems, error);
  }
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
    char *name = name_of_file(file);
    layout = rc_layout_read(&tree, root, name, error);
    g_free(name);
  }
  rc_yaml_tree_clear(&tree);
  return layout;
}
