// Copyright 2026 the rowcall developers
// SPDX-License-Identifier: MIT

#include "corpus/musicxml/tree.h"
#include "rowcall/error.h"

#include <string.h>

static gboolean
fail_limit(GError **error, const char *what, guint limit)
{
  return rc_fail(error, RC_ERROR_LIMIT, (RcPlace){ 0 }, "more than %u %s", limit, what);
}

// Fails at a text, cut to what fits a message.
static gboolean
fail_found(GError **error, const char *text, const MxElement *element)
{
  enum { SHOWN = 40 };
  char *found = g_utf8_substring(text, 0, MIN(g_utf8_strlen(text, -1), SHOWN));
  char *expected = mx_element_expected(element);
  rc_fail(error, RC_ERROR_VALUE, (RcPlace){ 0 }, "found `%s`; expected %s", found, expected);
  g_free(expected);
  g_free(found);
  return FALSE;
}

void
mx_tree_clear(MxTree *tree)
{
  tree->n = 0;
  tree->length = 0;
}

// ------------------------------------------------------------------------------------------------------------- text

// Room for so many bytes and a zero byte after them, or NULL.
static char *
room(MxTree *tree, gsize length, GError **error)
{
  if (tree->length + length + 1 > MX_MAX_BYTES) {
    fail_limit(error, "bytes of text and attributes in an element", MX_MAX_BYTES);
    return NULL;
  }
  return tree->bytes + tree->length;
}

gboolean
mx_tree_begin_text(MxTree *tree, GError **error)
{
  tree->text = room(tree, 0, error);
  return tree->text != NULL;
}

gboolean
mx_tree_add_text(MxTree *tree, const char *text, gsize length, GError **error)
{
  char *at = room(tree, length, error);
  if (!at) {
    return FALSE;
  }
  if (at + length > tree->text + MX_MAX_TEXT) {
    return fail_limit(error, "bytes of text in an element", MX_MAX_TEXT);
  }
  memcpy(at, text, length);
  tree->length += length;
  return TRUE;
}

const char *
mx_tree_end_text(MxTree *tree)
{
  char *end = tree->bytes + tree->length;
  const char *start = tree->text;
  while (end > start && g_ascii_isspace(end[-1])) {
    --end;
  }
  while (start < end && g_ascii_isspace(*start)) {
    ++start;
  }
  *end = '\0';
  tree->length = (gsize)(end + 1 - tree->bytes);
  tree->text = NULL;
  return start;
}

// --------------------------------------------------------------------------------------------------------- elements

// Keeps a text; NULL where there is no room.
static const char *
copy_text(MxTree *tree, const char *text, GError **error)
{
  const gsize length = strlen(text);
  char *at = room(tree, length, error);
  if (at) {
    memcpy(at, text, length + 1);
    tree->length += length + 1;
  }
  return at;
}

// Keeps attributes as a node has them; NULL where there is no room.
static const char *
copy_attributes(MxTree *tree, const char **attributes, GError **error)
{
  if (!*attributes) {
    return "";
  }
  const char *start = copy_text(tree, *attributes, error);
  gboolean good = start != NULL;
  for (const char **at = attributes + 1; *at && good; ++at) {
    good = copy_text(tree, *at, error) != NULL;
  }
  return good && copy_text(tree, "", error) ? start : NULL;
}

MxNode *
mx_tree_open(MxTree *tree, MxName name, const char **attributes, GError **error)
{
  const MxElement *element = &mx_elements[name];
  if (tree->n == MX_MAX_NODES) {
    fail_limit(error, "elements in an element of a measure", MX_MAX_NODES);
    return NULL;
  }
  MxNode *node = &tree->nodes[tree->n++];
  *node = (MxNode){ .name = name, .text = "", .attributes = "" };
  if (element->attributes) {
    node->attributes = copy_attributes(tree, attributes, error);
  }
  const gboolean good = node->attributes && (element->content == MX_NOTHING || mx_tree_begin_text(tree, error));
  return good ? node : NULL;
}

gboolean
mx_tree_close(MxTree *tree, MxNode *node, GError **error)
{
  const MxElement *element = &mx_elements[node->name];
  node->span = (guint)(&tree->nodes[tree->n] - node);
  if (element->content != MX_NOTHING) {
    node->text = mx_tree_end_text(tree);
  }
  return element->content <= MX_TEXT || mx_element_value(element, node->text, &node->value) ||
         fail_found(error, node->text, element);
}
