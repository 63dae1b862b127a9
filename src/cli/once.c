// Copyright 2026 the rowcall developers
// SPDX-License-Identifier: MIT

// Options given twice. GLib takes the last and drops the first without a word.

#include "cli/cli.h"

#include <string.h>

static gboolean
takes_value(const GOptionEntry *entry)
{
  return entry->arg != G_OPTION_ARG_NONE && !(entry->flags & G_OPTION_FLAG_NO_ARG);
}

static gboolean
may_come_often(const GOptionEntry *entry)
{
  return entry->arg == G_OPTION_ARG_STRING_ARRAY || entry->arg == G_OPTION_ARG_FILENAME_ARRAY;
}

// The index of the entry that a long option names, up to its `=`; -1 where none does.
static int
find_long(const GArray *entries, const char *name)
{
  const gsize length = strcspn(name, "=");
  for (guint i = 0; i < entries->len; ++i) {
    const char *known = g_array_index(entries, GOptionEntry, i).long_name;
    if (strlen(known) == length && !strncmp(known, name, length)) {
      return (int)i;
    }
  }
  return -1;
}

static int
find_short(const GArray *entries, char letter)
{
  for (guint i = 0; i < entries->len; ++i) {
    if (g_array_index(entries, GOptionEntry, i).short_name == letter) {
      return (int)i;
    }
  }
  return -1;
}

// Counts the option at @p index; returns whether the next word is its value.
static gboolean
count(const GArray *entries, int index, gboolean has_value, guint *counts)
{
  if (index >= 0) {
    ++counts[index];
  }
  return index >= 0 && !has_value && takes_value(&g_array_index(entries, GOptionEntry, index));
}

static void
count_all(const GArray *entries, char **argv, guint *counts)
{
  for (char **word = argv + 1; *word && strcmp(*word, "--") != 0; ++word) {
    gboolean skips = FALSE;
    if (g_str_has_prefix(*word, "--")) {
      skips = count(entries, find_long(entries, *word + 2), strchr(*word, '=') != NULL, counts);
    } else if (**word == '-') {
      for (const char *letter = *word + 1; *letter; ++letter) {
        skips |= count(entries, find_short(entries, *letter), FALSE, counts);
      }
    }
    word += skips && word[1];
  }
}

gboolean
cli_given_once(const GArray *entries, char **argv)
{
  guint *counts = g_new0(guint, entries->len + 1);
  count_all(entries, argv, counts);
  gboolean good = TRUE;
  for (guint i = 0; i < entries->len && good; ++i) {
    const GOptionEntry *entry = &g_array_index(entries, GOptionEntry, i);
    good = counts[i] < 2 || may_come_often(entry);
    if (!good) {
      cli_complain("--%s is given twice; give it once%s", entry->long_name,
                   strcmp(entry->long_name, "on") ? ""
                                                  : ", or ask `rowcall compare`, which looks at several keyboards");
    }
  }
  g_free(counts);
  return good;
}
