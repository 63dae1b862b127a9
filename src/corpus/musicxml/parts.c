// Copyright 2026 the rowcall developers
// SPDX-License-Identifier: MIT

#include "corpus/musicxml/parts.h"
#include "rowcall/error.h"

#include <string.h>

static void
free_part(gpointer data)
{
  MxPart *part = data;
  g_free(part->id);
  g_free(part);
}

void
mx_parts_start(MxParts *parts)
{
  *parts = (MxParts){ .all = g_ptr_array_new_with_free_func(free_part) };
}

void
mx_parts_clear(MxParts *parts)
{
  g_ptr_array_unref(parts->all);
}

static const char *
attribute(const char **attributes, const char *name)
{
  for (; *attributes; attributes += 2) {
    if (!strcmp(attributes[0], name)) {
      return attributes[1];
    }
  }
  return NULL;
}

static gboolean
select_part(MxParts *parts, const char *id, GError **error)
{
  id = id ? id : "";
  for (guint i = 0; i < parts->all->len; ++i) {
    parts->part = g_ptr_array_index(parts->all, i);
    if (!strcmp(parts->part->id, id)) {
      return TRUE;
    }
  }
  if (parts->all->len == RC_MAX_PARTS) {
    return rc_fail(error, RC_ERROR_LIMIT, (RcPlace){ 0 }, "more than %d parts", RC_MAX_PARTS);
  }
  parts->part = g_new0(MxPart, 1);
  parts->part->id = g_strdup(id);
  parts->part->index = parts->all->len;
  g_ptr_array_add(parts->all, parts->part);
  return TRUE;
}

static void
read_measure(MxParts *parts, const char **attributes)
{
  const char *number = attribute(attributes, "number");
  const char *width = attribute(attributes, "width");
  if (number && *number && strlen(number) < MX_LONGEST_NUMBER) {
    g_strlcpy(parts->number, number, sizeof parts->number);
  } else {
    g_snprintf(parts->number, sizeof parts->number, "%u", parts->index + 1);
  }
  parts->width = 0;
  if (width) {
    mx_read_number(width, &parts->width);
  }
}

static gboolean
open_outer(MxParts *parts, const char *name, const char **attributes, GError **error)
{
  parts->outer = !strcmp(name, parts->timewise ? "measure" : "part");
  if (parts->outer && parts->timewise) {
    read_measure(parts, attributes);
  } else if (parts->outer) {
    parts->index = 0;
    select_part(parts, attribute(attributes, "id"), error);
  }
  return FALSE;
}

static gboolean
open_inner(MxParts *parts, const char *name, const char **attributes, GError **error)
{
  if (!parts->outer || strcmp(name, parts->timewise ? "part" : "measure") != 0) {
    return FALSE;
  }
  if (parts->timewise) {
    return select_part(parts, attribute(attributes, "id"), error);
  }
  read_measure(parts, attributes);
  return TRUE;
}

gboolean
mx_parts_open(MxParts *parts, gboolean inner, const char *name, const char **attributes, GError **error)
{
  return inner ? open_inner(parts, name, attributes, error) : open_outer(parts, name, attributes, error);
}

void
mx_parts_close(MxParts *parts, gboolean inner, gboolean measured)
{
  if (inner) {
    parts->index += measured && !parts->timewise;
  } else {
    parts->index += parts->outer && parts->timewise;
    parts->outer = FALSE;
  }
}
