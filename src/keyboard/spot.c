// Copyright 2026 the rowcall developers
// SPDX-License-Identifier: MIT

#include "keyboard/spot.h"

#include <string.h>

gboolean
rc_note_read(const char *text, RcNote *note)
{
  const gsize length = strlen(text);
  return length && rc_note_parse(text, length, RC_NAMES_ENGLISH, note) == length;
}

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
  const int found = rc_layout_find_row(layout, name);
  if (found >= 0) {
    *row = (guint)found;
    return TRUE;
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
  const int found = rc_note_read(name, &note) ? rc_layout_find_column(layout, note) : -1;
  if (found >= 0) {
    *column = (guint)found;
    return TRUE;
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

gboolean
rc_spot_find(const RcLayout *layout, const char *text, RcPlace place, RcSpot *spot, GError **error)
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
