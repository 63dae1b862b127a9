// Copyright 2026 the rowcall developers
// SPDX-License-Identifier: MIT

// The sections of the report by their names.

#include "report/sections.h"

#include <string.h>

typedef struct {
  const char *name;
  gboolean usual; // in the report that asks for no sections
} Section;

#define SECTION(name, usual, empty) { #name, usual },
static const Section sections[] = { RC_EACH_SECTION(SECTION) };
#undef SECTION

G_STATIC_ASSERT(G_N_ELEMENTS(sections) <= 32); // they make a set of bits

const char *
rc_section_name(guint index, gboolean *usual)
{
  const Section *section = index < G_N_ELEMENTS(sections) ? &sections[index] : NULL;
  *usual = section && section->usual;
  return section ? section->name : NULL;
}

// The sections that `word` names, 0 where it names none.
static guint
sections_named(const char *word)
{
  guint named = 0;
  for (guint i = 0; i < G_N_ELEMENTS(sections); ++i) {
    named |= !strcmp(word, sections[i].name) || !strcmp(word, "all") ? 1U << i : 0;
  }
  return named;
}

guint
rc_sections_usual(void)
{
  guint usual = 0;
  for (guint i = 0; i < G_N_ELEMENTS(sections); ++i) {
    usual |= sections[i].usual ? 1U << i : 0;
  }
  return usual;
}

gboolean
rc_sections_parse(const char *text, guint *set, char **unknown)
{
  char **words = g_strsplit(text, ",", -1);
  *set = 0;
  *unknown = NULL;
  for (char **word = words; *word && !*unknown; ++word) {
    const guint named = sections_named(*word);
    *set |= named;
    *unknown = named ? NULL : g_strdup(*word);
  }
  g_strfreev(words);
  return !*unknown;
}
