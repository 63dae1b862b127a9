// Copyright 2026 the rowcall developers
// SPDX-License-Identifier: MIT

// What the reader of layout files is made of: layout_board.c reads columns and rows and makes the buttons of them,
// layout_buttons.c what single ones sound, layout_file.c everything else.

#ifndef ROWCALL_SRC_KEYBOARD_LAYOUT_PARTS_H
#define ROWCALL_SRC_KEYBOARD_LAYOUT_PARTS_H

#include "keyboard/row_kind.h"
#include "base/yaml_tree.h"

/// What a row sounds.
typedef struct {
  const RcRowKind *kind;
  RcDegrees degrees;
  int shift; ///< columns by which it sounds sharper
} RcRowSound;

typedef struct {
  RcYamlTree *tree;
  const yaml_node_t *root;
  const char *name; ///< where the layout states none
  RcLayout *layout;
  GArray *row_sounds;  ///< of RcRowSound, beside layout->rows
  GPtrArray *problems; ///< of GError *: where all are gathered; NULL to stop at the first
} RcLayoutReader;

/// Returns the place of a node in the file.
RcPlace rc_layout_place(const RcLayoutReader *reader, const yaml_node_t *node);

/// Returns whether to go on after @p problem, NULL for none: it is gathered, or ends the reading. Takes it over.
gboolean rc_layout_go_on(GPtrArray *problems, GError *problem, GError **error);

/// Returns the text of a node, or what messages show in its place.
const char *rc_layout_shown(const yaml_node_t *node);

/// Reads `columns`.
gboolean rc_layout_read_columns(RcLayoutReader *reader, GError **error);

/// Reads `rows`.
gboolean rc_layout_read_rows(RcLayoutReader *reader, GError **error);

/// Makes a button of each row in each column; dead ones where they are not @p sounding.
void rc_layout_make_buttons(RcLayoutReader *reader, gboolean sounding);

/// Sets where a button is, of its row and column.
void rc_layout_place_button(const RcLayout *layout, RcButton *button);

/// Reads the lines of the mapping @p key, each of a button and what it sounds.
gboolean rc_layout_read_buttons(RcLayoutReader *reader, const char *key, GError **error);

/// Reads `dead`.
gboolean rc_layout_read_silent(RcLayoutReader *reader, GError **error);

#endif
