// Copyright 2026 the rowcall developers
// SPDX-License-Identifier: MIT

// Reading a layout: the whole of a file, or a part of a larger one.

#include "keyboard/layout_file.h"

#include "keyboard/row_kind.h"

#include <string.h>

typedef struct {
  RcYamlTree *tree;
  const yaml_node_t *root;
  const char *name; // where the layout states none
  RcLayout *layout;
  GArray *row_sounds;  // of RowSound, beside layout->rows
  GPtrArray *problems; // of GError *: where all are gathered; NULL to stop at the first
} LayoutReader;

typedef struct {
  const RcRowKind *kind;
  RcDegrees degrees;
  int shift;
} RowSound;

static const char *const layout_keys[] = { "name",  "title", "source",  "columns", "rows",     "spacing",
                                           "reeds", "dead",  "retuned", "buttons", "mirrored", NULL };
static const char *const row_keys[] = { "row", "sounds", "shift", NULL };
static const char *const bellows_keys[] = { "push", "pull", NULL };
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

// Whether to go on after `problem`, NULL for none: it is gathered, or ends the reading. Takes it over.
static gboolean
go_on(GPtrArray *problems, GError *problem, GError **error)
{
  if (problem && problems) {
    g_ptr_array_add(problems, problem);
  } else if (problem) {
    g_propagate_error(error, problem);
    return FALSE;
  }
  return TRUE;
}

static gboolean
check_layout_keys(LayoutReader *r, GError **error)
{
  const yaml_node_pair_t *pair = r->root->data.mapping.pairs.start;
  for (; pair < r->root->data.mapping.pairs.top; ++pair) {
    GError *problem = NULL;
    const yaml_node_t *key = rc_yaml_node(r->tree, pair->key);
    const char *text = rc_yaml_text(key);
    if (!text || !g_strv_contains(layout_keys, text)) {
      rc_yaml_fail_key(place_of(r, key), text ? text : "(a list)", layout_keys, &problem);
    }
    if (!go_on(r->problems, problem, error)) {
      return FALSE;
    }
  }
  return rc_yaml_check_once(r->tree, r->root, error);
}

// ------------------------------------------------------------------------------------------------- name and source

// Reads the line `key`, which may be left out but not be empty; @p text is NULL where it is left out.
static gboolean
read_line(LayoutReader *r, const char *key, char **text, GError **error)
{
  const yaml_node_t *node = rc_yaml_get(r->tree, r->root, key);
  const char *found = rc_yaml_text(node);
  if (!node) {
    return TRUE;
  }
  const RcPlace place = place_of(r, node);
  if (!found || !*found) {
    return rc_fail(error, RC_ERROR_VALUE, place, "found no text for `%s`; write one, or leave the line out", key);
  }
  *text = g_strchomp(g_strdup(found)); // a block has a line end at its end
  const char *line_end = rc_yaml_line_end(*text);
  return !line_end || rc_yaml_fail_line_end(place, key, line_end, error);
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
      return rc_fail(error, RC_ERROR_VALUE, place_of(r, node), "the column `%s` is listed twice", text);
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
    GError *problem = NULL;
    const yaml_node_t *column = rc_yaml_node(r->tree, *item);
    add_column(r, column, rc_yaml_text(column), &problem);
    if (!go_on(r->problems, problem, error)) {
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
  rc_fail(error, RC_ERROR_UNKNOWN, place_of(r, node), "found row `%s`; %s%s%s", name ? name : "(a list)",
          nearest ? "did you mean `" : "expected a row name such as fundamental or minor", nearest ? nearest : "",
          nearest ? "`?" : "");
  return FALSE;
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
      return rc_fail(error, RC_ERROR_VALUE, place_of(r, node), "the row `%s` is listed twice", sound.kind->name);
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
    GError *problem = NULL;
    add_row(r, rc_yaml_node(r->tree, *item), &problem);
    if (!go_on(r->problems, problem, error)) {
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
    return rc_fail(error, RC_ERROR_VALUE, place_of(r, map),
                   "`spacing` names column and row in mm, as {column: 16, row: 12.5, slant: 8}; or leave it out");
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
place_button(const RcLayout *layout, RcButton *button)
{
  button->x = button->column * layout->column_mm + button->row * layout->slant_mm;
  button->y = button->row * layout->row_mm;
}

static void
make_buttons(LayoutReader *r, gboolean sounding)
{
  RcLayout *layout = r->layout;
  for (guint row = 0; row < layout->rows->len; ++row) {
    const RowSound *sound = &g_array_index(r->row_sounds, RowSound, row);
    for (guint column = 0; column < layout->columns->len; ++column) {
      const RcNote root =
        rc_note_up(g_array_index(layout->columns, RcNote, column), sound->kind->fifths + sound->shift);
      RcButton button = {
        .row = row, .column = column, .sound = { RC_SOUND_DEAD, root, 0 }, .bellows = RC_BELLOWS_BOTH
      };
      place_button(layout, &button);
      if (sounding && sound->degrees) {
        button.sound = rc_sound_make(sound->kind->kind, root, sound->degrees);
      }
      g_array_append_val(layout->buttons, button);
    }
  }
}

static gboolean
sounds_same(const RcSound *a, const RcSound *b)
{
  return a->kind == b->kind && a->tones == b->tones && (a->root == b->root || a->kind == RC_SOUND_DEAD);
}

// Has the button at `index` sound so in the directions of `bellows`, and makes one entry or two of it.
static void
set_sound(RcLayout *layout, guint index, RcBellows bellows, RcSound sound)
{
  const guint n = rc_layout_entries_at(layout, index);
  RcButton push = *rc_layout_button(layout, index);
  RcButton pull = *rc_layout_button(layout, index + n - 1);
  push.sound = bellows == RC_BELLOWS_PULL ? push.sound : sound;
  pull.sound = bellows == RC_BELLOWS_PUSH ? pull.sound : sound;
  const gboolean same = sounds_same(&push.sound, &pull.sound);
  push.bellows = same ? RC_BELLOWS_BOTH : RC_BELLOWS_PUSH;
  pull.bellows = RC_BELLOWS_PULL;
  g_array_remove_range(layout->buttons, index, n);
  g_array_insert_val(layout->buttons, index, push);
  if (!same) {
    g_array_insert_val(layout->buttons, index + 1, pull);
  }
}

static RcSound
silence_of(const RcLayout *layout, guint index)
{
  return (RcSound){ RC_SOUND_DEAD, rc_layout_button(layout, index)->sound.root, 0 };
}

// A button that a text names.
typedef struct {
  guint index;
  RcBellows bellows; // the directions meant
} Spot;

static char *
column_names(const RcLayout *layout)
{
  GString *names = g_string_new(NULL);
  for (guint i = 0; i < layout->columns->len; ++i) {
    const RcNote column = g_array_index(layout->columns, RcNote, i);
    g_string_append_printf(names, "%s%s", i ? ", " : "", rc_note_name(column, RC_SIGNS_ASCII));
  }
  return g_string_free(names, FALSE);
}

static gboolean
find_row(const RcLayout *layout, const char *text, const char *name, RcPlace place, guint *row, GError **error)
{
  for (*row = 0; *row < layout->rows->len; ++*row) {
    if (!strcmp(g_ptr_array_index(layout->rows, *row), name)) {
      return TRUE;
    }
  }
  GPtrArray *names = g_ptr_array_new();
  for (guint i = 0; i < layout->rows->len; ++i) {
    g_ptr_array_add(names, g_ptr_array_index(layout->rows, i));
  }
  g_ptr_array_add(names, NULL);
  char *all = g_strjoinv(", ", (char **)names->pdata);
  rc_fail(error, RC_ERROR_UNKNOWN, place, "found button `%s`, but no row `%s`; the rows here are %s", text, name, all);
  g_free(all);
  g_ptr_array_unref(names);
  return FALSE;
}

static gboolean
find_column(const RcLayout *layout, const char *text, const char *name, RcPlace place, guint *column, GError **error)
{
  RcNote note = 0;
  for (*column = 0; parse_note(name, &note) && *column < layout->columns->len; ++*column) {
    if (g_array_index(layout->columns, RcNote, *column) == note) {
      return TRUE;
    }
  }
  char *all = column_names(layout);
  rc_fail(error, RC_ERROR_UNKNOWN, place, "found button `%s`, but no column `%s`; the columns here are %s", text, name,
          all);
  g_free(all);
  return FALSE;
}

static gboolean
find_direction(const char *text, const char *name, RcPlace place, RcBellows *bellows, GError **error)
{
  *bellows = !name                   ? RC_BELLOWS_BOTH
             : !strcmp(name, "push") ? RC_BELLOWS_PUSH
             : !strcmp(name, "pull") ? RC_BELLOWS_PULL
                                     : RC_BELLOWS_PUSH | RC_BELLOWS_PULL;
  return rc_bellows_agree(*bellows, RC_BELLOWS_PUSH) || rc_bellows_agree(*bellows, RC_BELLOWS_PULL) ||
         rc_fail(error, RC_ERROR_UNKNOWN, place,
                 "found button `%s`, but no direction `%s`; a button may be followed by push or pull", text, name);
}

// "minor B": the button in the minor row of the B column; "bass E pull": what another sounds on pull.
static gboolean
find_button(const RcLayout *layout, const char *text, RcPlace place, Spot *spot, GError **error)
{
  guint row = 0;
  guint column = 0;
  char **words = g_strsplit(text ? text : "", " ", 3);
  gboolean good = FALSE;
  if (!words[0] || !words[1]) {
    rc_fail(error, RC_ERROR_UNKNOWN, place,
            "found button `%s`; expected a row and a column of this layout, such as `%s %s`", text ? text : "(a list)",
            (const char *)g_ptr_array_index(layout->rows, 0),
            rc_note_name(g_array_index(layout->columns, RcNote, 0), RC_SIGNS_ASCII));
  } else {
    good = find_row(layout, text, words[0], place, &row, error) &&
           find_column(layout, text, words[1], place, &column, error) &&
           find_direction(text, words[2], place, &spot->bellows, error);
  }
  spot->index = good ? rc_layout_entry(layout, row, column) : 0;
  g_strfreev(words);
  return good;
}

static const char *
text_or_list(const yaml_node_t *node)
{
  return rc_yaml_text(node) ? rc_yaml_text(node) : "(a list)";
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
  if (good && kind && (kind->kind >= RC_SOUND_MAJOR || !words[1])) {
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
read_sound(LayoutReader *r, const yaml_node_t *node, Spot spot, GError **error)
{
  RcSound sound = { RC_SOUND_DEAD, 0, 0 };
  if (!rc_yaml_text(node) || !parse_sound(rc_yaml_text(node), &sound)) {
    return rc_fail(error, RC_ERROR_VALUE, place_of(r, node),
                   "found the sound `%s`; expected a note (`B`), a chord (`B minor`) or tones (`B 1 5`)",
                   text_or_list(node));
  }
  set_sound(r->layout, spot.index, spot.bellows, sound);
  return TRUE;
}

// `{push: E, pull: A}`; what is left out stays as it is.
static gboolean
read_both_sounds(LayoutReader *r, const yaml_node_t *map, Spot spot, GError **error)
{
  const yaml_node_t *push = rc_yaml_get(r->tree, map, "push");
  const yaml_node_t *pull = rc_yaml_get(r->tree, map, "pull");
  if (!rc_yaml_check_keys(r->tree, map, bellows_keys, error)) {
    return FALSE;
  }
  if ((!push && !pull) || spot.bellows != RC_BELLOWS_BOTH) {
    return rc_fail(error, RC_ERROR_VALUE, place_of(r, map),
                   "expected what the button sounds, or once for each direction such as `{push: E, pull: A}`");
  }
  return (!push || read_sound(r, push, (Spot){ spot.index, RC_BELLOWS_PUSH }, error)) &&
         (!pull || read_sound(r, pull, (Spot){ spot.index, RC_BELLOWS_PULL }, error));
}

static gboolean
read_button_sound(LayoutReader *r, const yaml_node_t *key, const yaml_node_t *value, GError **error)
{
  Spot spot;
  if (!find_button(r->layout, rc_yaml_text(key), place_of(r, key), &spot, error)) {
    return FALSE;
  }
  return value->type == YAML_MAPPING_NODE ? read_both_sounds(r, value, spot, error) : read_sound(r, value, spot, error);
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
    GError *problem = NULL;
    read_button_sound(r, rc_yaml_node(r->tree, pair->key), rc_yaml_node(r->tree, pair->value), &problem);
    if (!go_on(r->problems, problem, error)) {
      return FALSE;
    }
  }
  return TRUE;
}

static gboolean
silence(RcLayout *layout, const char *text, RcPlace place, GError **error)
{
  Spot spot;
  if (!find_button(layout, text, place, &spot, error)) {
    return FALSE;
  }
  set_sound(layout, spot.index, spot.bellows, silence_of(layout, spot.index));
  return TRUE;
}

static gboolean
read_dead(RcLayout *layout, RcYamlTree *tree, const yaml_node_t *list, GPtrArray *problems, GError **error)
{
  if (!list || list->type != YAML_SEQUENCE_NODE) {
    return !list ||
           rc_fail(error, RC_ERROR_VALUE, rc_yaml_place(tree, list), "`dead` is a list such as [minor E, seventh E]");
  }
  const yaml_node_item_t *item = list->data.sequence.items.start;
  for (; item < list->data.sequence.items.top; ++item) {
    GError *problem = NULL;
    const yaml_node_t *node = rc_yaml_node(tree, *item);
    silence(layout, rc_yaml_text(node), rc_yaml_place(tree, node), &problem);
    if (!go_on(problems, problem, error)) {
      return FALSE;
    }
  }
  return TRUE;
}

gboolean
rc_layout_read_dead(RcLayout *layout, RcYamlTree *tree, const yaml_node_t *list, GError **error)
{
  return read_dead(layout, tree, list, NULL, error);
}

static void
say_without(RcLayout *layout, GPtrArray *buttons)
{
  g_ptr_array_add(buttons, NULL);
  char *all = g_strjoinv(", ", (char **)buttons->pdata);
  char *name = g_strdup_printf("%s-less-%u", layout->name, buttons->len - 1);
  char *title = g_strdup_printf("%s, without %s", layout->title, all);
  g_free(layout->name);
  g_free(layout->title);
  g_free(all);
  layout->name = name;
  layout->title = title;
}

gboolean
rc_layout_silence(RcLayout *layout, const char *list, GError **error)
{
  char **words = g_strsplit(*list ? list : " ", ",", -1); // an empty list names one button, which is not there
  GPtrArray *buttons = g_ptr_array_new();
  gboolean good = TRUE;
  for (guint i = 0; words[i] && good; ++i) {
    char *text = g_strdelimit(g_strstrip(words[i]), ":", ' ');
    good = silence(layout, text, (RcPlace){ layout->name, 0, 0 }, error);
    if (!g_ptr_array_find_with_equal_func(buttons, text, g_str_equal, NULL)) { // the same one twice is one
      g_ptr_array_add(buttons, text);
    }
  }
  if (good) {
    say_without(layout, buttons);
  }
  g_ptr_array_unref(buttons);
  g_strfreev(words);
  return good;
}

// ------------------------------------------------------------------------------------------------------ the whole

static gboolean
read_mirrored(LayoutReader *r, GError **error)
{
  const yaml_node_t *node = rc_yaml_get(r->tree, r->root, "mirrored");
  const char *text = node ? text_or_list(node) : "false";
  r->layout->mirrored = !strcmp(text, "true");
  return r->layout->mirrored || !strcmp(text, "false") ||
         rc_fail(error, RC_ERROR_VALUE, place_of(r, node), "found mirrored `%s`; expected true or false", text);
}

static gboolean
read_name(LayoutReader *r, GError **error)
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
read_title(LayoutReader *r, GError **error)
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
read_sounds(LayoutReader *r, GError **error)
{
  if (r->layout->columns->len && r->layout->rows->len) {
    make_buttons(r, !rc_yaml_get(r->tree, r->root, "buttons"));
    return read_button_sounds(r, "buttons", error);
  }
  return FALSE;
}

static gboolean
read_exceptions(LayoutReader *r, GError **error)
{
  return !r->layout->buttons->len ||
         (read_button_sounds(r, "retuned", error) &&
          read_dead(r->layout, r->tree, rc_yaml_get(r->tree, r->root, "dead"), r->problems, error));
}

static gboolean
read_layout(LayoutReader *r, GError **error)
{
  typedef gboolean (*Part)(LayoutReader *, GError **);
  static const Part parts[] = { check_layout_keys, read_name,   read_sources,   read_columns,
                                read_rows,         read_title,  read_spacing,   read_mirrored,
                                read_reeds,        read_sounds, read_exceptions };
  for (guint i = 0; i < G_N_ELEMENTS(parts); ++i) {
    GError *problem = NULL;
    parts[i](r, &problem);
    if (!go_on(r->problems, problem, error)) {
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
    place_button(layout, &g_array_index(layout->buttons, RcButton, i));
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
  LayoutReader r = { tree, map, name, layout, g_array_new(FALSE, FALSE, sizeof(RowSound)), problems };
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
