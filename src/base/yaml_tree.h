// Copyright 2026 the rowcall developers
// SPDX-License-Identifier: MIT

// A small YAML file as a tree whose every node knows its place, and what all our YAML readers say of bad YAML.

#ifndef ROWCALL_SRC_BASE_YAML_TREE_H
#define ROWCALL_SRC_BASE_YAML_TREE_H

#include "rowcall/error.h"

#include <yaml.h>

enum { RC_MAX_YAML_DEPTH = 64 }; // nested lists and mappings

typedef struct {
  const char *file; // borrowed
  yaml_document_t document;
} RcYamlTree;

/// Loads @p text, which holds one document. On failure nothing is to be freed.
gboolean rc_yaml_tree_load(RcYamlTree *tree, const char *text, gsize length, const char *file, GError **error);

void rc_yaml_tree_clear(RcYamlTree *tree);

/// Returns the root node, which is a mapping, or NULL with @p error set; @p what names the kind of file.
yaml_node_t *rc_yaml_tree_root(RcYamlTree *tree, const char *what, GError **error);

yaml_node_t *rc_yaml_node(RcYamlTree *tree, yaml_node_item_t item);

/// Returns the value of @p key in the mapping @p map, NULL where there is none.
yaml_node_t *rc_yaml_get(RcYamlTree *tree, const yaml_node_t *map, const char *key);

/// Returns the text of a scalar; NULL for other nodes.
const char *rc_yaml_text(const yaml_node_t *node);

RcPlace rc_yaml_place(const RcYamlTree *tree, const yaml_node_t *node);

/// Checks that no key is given twice in @p map.
gboolean rc_yaml_check_once(RcYamlTree *tree, const yaml_node_t *map, GError **error);

/// Checks that every key of @p map is among @p known, a NULL-terminated list, and is given once; names the first that
/// is or does not.
gboolean rc_yaml_check_keys(RcYamlTree *tree, const yaml_node_t *map, const char *const *known, GError **error);

/// Sets @p error for the control character @p code, which YAML does not allow, and returns FALSE.
gboolean rc_yaml_fail_control(RcPlace place, guint code, GError **error);

/// Checks that the text of @p event, where it is a scalar or another event, has no NUL, which an escape may stand for
/// and which would cut it short. @p lines_before is added to its line number.
gboolean rc_yaml_check_event(const yaml_event_t *event, const char *file, guint lines_before, GError **error);

/// Returns the first line end in @p text as YAML knows them (LF, CR, NEL, U+2028, U+2029), which escapes may stand for;
/// NULL where there is none.
const char *rc_yaml_line_end(const char *text);

/// Sets @p error for the line end @p at in a text that is a line, which @p what names, and returns FALSE.
gboolean rc_yaml_fail_line_end(RcPlace place, const char *what, const char *at, GError **error);

/// Starts @p parser. Without memory for it the program ends, as GLib's do: libyaml would go on with a parser that
/// yields nothing without an end.
void rc_yaml_start(yaml_parser_t *parser);

/// Sets @p error from a failed @p parser and returns FALSE. @p lines_before is added to its line numbers.
gboolean rc_yaml_fail(const yaml_parser_t *parser, const char *file, guint lines_before, GError **error);

/// Sets @p error for a key that is not known and returns FALSE.
gboolean rc_yaml_fail_key(RcPlace place, const char *key, const char *const *known, GError **error);

#endif
