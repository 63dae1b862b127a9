// Copyright 2026 the rowcall developers
// SPDX-License-Identifier: MIT

// The layouts that ship with the program: the files of layouts/, built in as a table.

#include "rowcall/error.h"
#include "rowcall/keyboard.h"

#include "base/load.h"
#include "keyboard/layout_file.h"
#include "keyboard/shipped.h"

#include <stdlib.h>
#include <string.h>

#define ENDING ".yaml"

static const char *const usual_names[] = { "8",  "12", "24", "32", "40",  "48-8x6", "48-12x4",
                                           "60", "72", "80", "96", "120", NULL };

const char *const *
rc_layout_usual_names(void)
{
  return usual_names;
}

static int
compare_names(gconstpointer a, gconstpointer b)
{
  const char *const *left = a;
  const char *const *right = b;
  const int words = !g_ascii_isdigit(**left) - !g_ascii_isdigit(**right); // after numbers
  const gint64 difference = words ? words : g_ascii_strtoll(*left, NULL, 10) - g_ascii_strtoll(*right, NULL, 10);
  return difference ? (int)difference : strcmp(*left, *right);
}

char **
rc_layout_all_names(void)
{
  GPtrArray *names = g_ptr_array_new();
  for (guint i = 0; usual_names[i]; ++i) {
    g_ptr_array_add(names, g_strdup(usual_names[i]));
  }
  const guint usual = names->len;
  for (const RcShippedLayout *layout = rc_shipped_layouts; layout->name; ++layout) {
    if (!g_strv_contains(usual_names, layout->name)) {
      g_ptr_array_add(names, g_strdup(layout->name));
    }
  }
  qsort(names->pdata + usual, names->len - usual, sizeof(gpointer), compare_names);
  g_ptr_array_add(names, NULL);
  return (char **)g_ptr_array_free(names, FALSE);
}

gboolean
rc_layout_is_file(const char *name)
{
  return strchr(name, '/') || g_str_has_suffix(name, ENDING);
}

// The layouts that @p name may mean: all that it begins, such as both 48s, else the nearest: " did you mean `A` or
// `B`?"
static char *
suggestion(const char *name, const char *const *names)
{
  GPtrArray *meant = g_ptr_array_new();
  char *start = g_strconcat(name, "-", NULL);
  for (guint i = 0; names[i]; ++i) {
    if (g_str_has_prefix(names[i], start)) {
      g_ptr_array_add(meant, (char *)names[i]);
    }
  }
  const char *nearest = meant->len ? NULL : rc_nearest_name(name, names);
  if (nearest) {
    g_ptr_array_add(meant, (char *)nearest);
  }
  GString *text = g_string_new(NULL);
  for (guint i = 0; i < meant->len; ++i) {
    g_string_append_printf(text, "%s`%s`%s",
                           !i                   ? " did you mean "
                           : i + 1 < meant->len ? ", "
                                                : " or ",
                           (const char *)meant->pdata[i], i + 1 < meant->len ? "" : "?");
  }
  g_ptr_array_unref(meant);
  g_free(start);
  return g_string_free(text, FALSE);
}

static gboolean
fail_unknown(const char *name, GError **error)
{
  char **names = rc_layout_all_names();
  char *meant = suggestion(name, (const char *const *)names);
  char *usual = g_strjoinv(", ", (char **)usual_names);
  char *expected = *meant ? g_strdup(meant) : g_strdup_printf(" expected %s or another of `rowcall layouts`;", usual);
  rc_fail(error, RC_ERROR_UNKNOWN, (RcPlace){ NULL, 0, 0 },
          "no layout is called `%s`;%s a file of your own is named by its path", name, expected);
  g_free(expected);
  g_free(usual);
  g_free(meant);
  g_strfreev(names);
  return FALSE;
}

// The text of the layout called `name`, which ships or is a file; free with g_free().
static char *
load_text(const char *name, gsize *length, GError **error)
{
  if (rc_layout_is_file(name)) {
    return rc_load_file(name, RC_MAX_LAYOUT_BYTES, "a layout file", length, error);
  }
  for (const RcShippedLayout *layout = rc_shipped_layouts; layout->name; ++layout) {
    if (!strcmp(layout->name, name)) {
      *length = layout->length;
      return g_strdup(layout->text);
    }
  }
  fail_unknown(name, error);
  return NULL;
}

// Has @p layout, which may be NULL, know the file it was read from.
static RcLayout *
note_file(RcLayout *layout, const char *name)
{
  if (layout && rc_layout_is_file(name)) {
    layout->file = g_strdup(name);
  }
  return layout;
}

RcLayout *
rc_layout_find(const char *name, GError **error)
{
  gsize length = 0;
  char *text = load_text(name, &length, error);
  RcLayout *layout = text ? rc_layout_parse(text, length, name, error) : NULL;
  g_free(text);
  return note_file(layout, name);
}

RcLayout *
rc_layout_check(const char *name, GPtrArray *problems)
{
  gsize length = 0;
  GError *error = NULL;
  char *text = load_text(name, &length, &error);
  RcLayout *layout = text ? rc_layout_parse_all(text, length, name, problems) : NULL;
  if (error) {
    g_ptr_array_add(problems, error);
  }
  g_free(text);
  return note_file(layout, name);
}
