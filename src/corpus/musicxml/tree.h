// Copyright 2026 the rowcall developers
// SPDX-License-Identifier: MIT

// The tree of what is directly in a measure, as it is built from a parser's elements and texts. Errors have no place.

#ifndef ROWCALL_SRC_CORPUS_MUSICXML_TREE_H
#define ROWCALL_SRC_CORPUS_MUSICXML_TREE_H

#include "corpus/musicxml/element.h"

/// An element with all that counts in it.
typedef struct {
  MxNode nodes[MX_MAX_NODES];
  guint n;
  char bytes[MX_MAX_BYTES]; ///< texts and attributes
  gsize length;
  char *text; ///< where the text that is read begins; NULL: none is
} MxTree;

/// Empties @p tree.
void mx_tree_clear(MxTree *tree);

/// Begins an element within those that are open, the last of the tree; NULL with an error where there is no room.
MxNode *mx_tree_open(MxTree *tree, MxName name, const char **attributes, GError **error);

/// Ends an element: gives it its text and value. FALSE with an error where the value makes no sense.
gboolean mx_tree_close(MxTree *tree, MxNode *node, GError **error);

/// Begins a text. FALSE with an error where there is no room.
gboolean mx_tree_begin_text(MxTree *tree, GError **error);

/// Adds to the text. FALSE with an error where it gets too long.
gboolean mx_tree_add_text(MxTree *tree, const char *text, gsize length, GError **error);

/// Ends the text and returns it, without the blanks around it; it lasts until the tree is cleared.
const char *mx_tree_end_text(MxTree *tree);

#endif
