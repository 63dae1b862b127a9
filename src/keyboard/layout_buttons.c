// Copyright 2026 the rowcall developers
// SPDX-License-Identifier: MIT

#include "keyboard/layout_file.h"
#include "keyboard/layout_parts.h"
#include "keyboard/retune.h"

static const char *const bellows_keys[] = { "push", "pull", NULL };

static gboolean
read_sound(RcLayoutReader *r, const yaml_node_t *node, RcSpot spot, GError **error)
{
  RcSound sound = { RC_SOUND_DEAD, 0, 0 };
  if (!rc_yaml_text(node) || !rc_sound_parse(rc_yaml_text(node), &sound)) {
    return rc_fail(error, RC_ERROR_VALUE, rc_layout_place(r, node),
                   "found the sound `%s`; expected a note (`B`), a chord (`B minor`) or tones (`B 1 5`)",
                   rc_layout_shown(node));
  }
  rc_retune(r->layout, spot, sound);
  return TRUE;
}

// `{push: E, pull: A}`; what is left out stays as it is.
static gboolean
read_both_sounds(RcLayoutReader *r, const yaml_node_t *map, RcSpot spot, GError **error)
{
  const yaml_node_t *push = rc_yaml_get(r->tree, map, "push");
  const yaml_node_t *pull = rc_yaml_get(r->tree, map, "pull");
  if (!rc_yaml_check_keys(r->tree, map, bellows_keys, error)) {
    return FALSE;
  }
  if ((!push && !pull) || spot.bellows != RC_BELLOWS_BOTH) {
    return rc_fail(error, RC_ERROR_VALUE, rc_layout_place(r, map),
                   "expected what the button sounds, or once for each direction such as `{push: E, pull: A}`");
  }
  return (!push || read_sound(r, push, (RcSpot){ spot.index, RC_BELLOWS_PUSH }, error)) &&
         (!pull || read_sound(r, pull, (RcSpot){ spot.index, RC_BELLOWS_PULL }, error));
}

static gboolean
read_button_sound(RcLayoutReader *r, const yaml_node_t *key, const yaml_node_t *value, GError **error)
{
  RcSpot spot;
  if (!rc_spot_find(r->layout, rc_yaml_text(key), rc_layout_place(r, key), &spot, error)) {
    return FALSE;
  }
  return value->type == YAML_MAPPING_NODE ? read_both_sounds(r, value, spot, error) : read_sound(r, value, spot, error);
}

gboolean
rc_layout_read_buttons(RcLayoutReader *r, const char *key, GError **error)
{
  const yaml_node_t *map = rc_yaml_get(r->tree, r->root, key);
  if (!map || map->type != YAML_MAPPING_NODE) {
    return !map || rc_fail(error, RC_ERROR_VALUE, rc_layout_place(r, map),
                           "`%s` is a list of lines such as `minor E: E major`", key);
  }
  if (!rc_yaml_check_once(r->tree, map, error)) {
    return FALSE;
  }
  const yaml_node_pair_t *pair = map->data.mapping.pairs.start;
  for (; pair < map->data.mapping.pairs.top; ++pair) {
    GError *problem = NULL;
    read_button_sound(r, rc_yaml_node(r->tree, pair->key), rc_yaml_node(r->tree, pair->value), &problem);
    if (!rc_layout_go_on(r->problems, problem, error)) {
      return FALSE;
    }
  }
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
    rc_silence(layout, rc_yaml_text(node), rc_yaml_place(tree, node), &problem);
    if (!rc_layout_go_on(problems, problem, error)) {
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

gboolean
rc_layout_read_silent(RcLayoutReader *r, GError **error)
{
  return read_dead(r->layout, r->tree, rc_yaml_get(r->tree, r->root, "dead"), r->problems, error);
}
