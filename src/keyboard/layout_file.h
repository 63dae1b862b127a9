// Copyright 2026 the rowcall developers
// SPDX-License-Identifier: MIT

// Layouts that stand within a larger YAML file.

#ifndef ROWCALL_SRC_KEYBOARD_LAYOUT_FILE_H
#define ROWCALL_SRC_KEYBOARD_LAYOUT_FILE_H

#include "rowcall/keyboard.h"

#include "base/yaml_tree.h"

/// Makes a layout from the mapping @p map of @p tree, which holds what a layout file does. @p name is
/// its name where it states none. Returns NULL with @p error set.
RcLayout *rc_layout_read(RcYamlTree *tree, const yaml_node_t *map, const char *name, GError **error);

/// As rc_layout_parse(), but goes on after each problem and adds all to @p problems, of GError *. Returns what could
/// be made out, NULL where that is too little.
RcLayout *rc_layout_parse_all(const char *text, gsize length, const char *file, GPtrArray *problems);

/// Silences the buttons of @p layout that @p list names; NULL names none.
gboolean rc_layout_read_dead(RcLayout *layout, RcYamlTree *tree, const yaml_node_t *list, GError **error);

#endif
