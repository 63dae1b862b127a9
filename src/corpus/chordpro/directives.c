// Copyright 2026 the rowcall developers
// SPDX-License-Identifier: MIT

#include "corpus/chordpro/directives.h"

#include <string.h>

typedef struct {
  const char *abbreviation;
  const char *name;
} Abbreviation;

static const Abbreviation sections[] = {
  { "soc", "start_of_chorus" }, { "eoc", "end_of_chorus" }, { "sov", "start_of_verse" }, { "eov", "end_of_verse" },
  { "sob", "start_of_bridge" }, { "eob", "end_of_bridge" }, { "sot", "start_of_tab" },   { "eot", "end_of_tab" },
  { "sog", "start_of_grid" },   { "eog", "end_of_grid" },
};

static const char *
section_name(const char *name)
{
  for (guint i = 0; i < G_N_ELEMENTS(sections); ++i) {
    if (!strcmp(sections[i].abbreviation, name)) {
      return sections[i].name;
    }
  }
  return name;
}

// What is after a beginning that a text may have; NULL where it has another.
static const char *
after(const char *text, const char *beginning)
{
  const gsize length = strlen(beginning);
  return strncmp(text, beginning, length) ? NULL : text + length;
}

// A comment that is a label, "Chorus" or "Intro x2"; others are for people.
static void
read_comment(CpForm *form, CpSong *song, const char *value)
{
  const CpLabel label = cp_comment_label(value);
  if (label.text) {
    cp_form_label(form, song, label);
  }
}

// What belongs to the form of a song, besides the beginnings and ends of sections.
typedef struct {
  const char *name;
  void (*follow)(CpForm *form, CpSong *song, const char *value);
} Directive;

static const Directive directives[] = {
  { "chorus", cp_form_recall_chorus },
  { "comment", read_comment },
  { "c", read_comment },
  { "comment_italic", read_comment },
  { "ci", read_comment },
  { "comment_box", read_comment },
  { "cb", read_comment },
  { "highlight", read_comment },
};

static const Directive *
find_form_directive(const char *name)
{
  for (guint i = 0; i < G_N_ELEMENTS(directives); ++i) {
    if (!strcmp(directives[i].name, name)) {
      return &directives[i];
    }
  }
  return NULL;
}

// Those that are for print only, and unknown ones, say nothing.
static void
follow_form(CpForm *form, CpSong *song, const char *name, const char *value)
{
  const char *started = after(name, "start_of_");
  const char *ended = after(name, "end_of_");
  const Directive *directive = started || ended ? NULL : find_form_directive(name);
  if (started) {
    cp_form_start_section(form, song, started, value);
  } else if (ended) {
    cp_form_end_section(form, song, ended);
  } else if (directive) {
    directive->follow(form, song, value);
  }
}

// A value that makes no sense costs itself only.
static void
follow_heading(CpHeading *heading, CpSong *song, const char *name, const char *value)
{
  GError *error = NULL;
  if (!cp_read_heading(heading, song, name, value, &error)) {
    rc_tune_remark(song->tune, RC_REMARK_VALUES, song->line, 0, "%s; it is passed over", error->message);
    g_error_free(error);
  }
}

static gboolean
begins_song(const char *name)
{
  return !strcmp(name, "new_song") || !strcmp(name, "ns");
}

static gboolean
is_directive(const char *text, gsize length)
{
  char *given = g_ascii_strdown(text, (gssize)length);
  const char *name = section_name(given);
  const gboolean known = after(name, "start_of_") || after(name, "end_of_") || find_form_directive(name) ||
                         cp_is_heading(name) || begins_song(name) || !strcmp(name, "meta");
  g_free(given);
  return known;
}

char *
cp_find_directive(char *at)
{
  for (; (at = strchr(at, '{')); ++at) {
    const gsize length = strcspn(at + 1, ":{} \t");
    const char *close = at + 1 + strcspn(at + 1, "{}");
    if (*close == '}' && is_directive(at + 1, length)) {
      return at;
    }
  }
  return NULL;
}

// "name: value" or "name value"
static void
split_directive(char *text, char **name, char **value)
{
  *name = g_strstrip(text);
  const gsize length = strcspn(*name, ": \t");
  char *rest = *name + length;
  *value = rest + (*rest ? 1 : 0);
  *rest = '\0';
  *value = g_strstrip(*value);
  if (**value == ':') {
    *value = g_strstrip(*value + 1);
  }
  for (char *at = *name; *at; ++at) {
    *at = g_ascii_tolower(*at);
  }
}

static void
remark_open_brace(CpSong *song, const char *open)
{
  if (cp_is_news(song, RC_REMARK_UNCLOSED)) {
    char *shown = cp_shown((CpText){ open, open + strlen(open) });
    rc_tune_remark(song->tune, RC_REMARK_UNCLOSED, song->line, cp_column(song, open),
                   "`%s` has no closing brace on its line: it is read as if it closed at the end", shown);
    g_free(shown);
  }
}

// The brace that closes the one at `open`; the line's end where none does.
static const char *
closing_brace(const char *open)
{
  guint depth = 0;
  for (const char *at = open; *at; ++at) {
    depth += *at == '{';
    depth -= *at == '}';
    if (!depth) {
      return at;
    }
  }
  return open + strlen(open);
}

const char *
cp_read_directive(CpForm *form, CpHeading *heading, CpSong *song, const char *open, gboolean *ends)
{
  const char *close = closing_brace(open);
  if (!*close) {
    remark_open_brace(song, open);
  }
  char *text = g_strndup(open + 1, (gsize)(close - open) - 1);
  char *name = NULL;
  char *value = NULL;
  split_directive(text, &name, &value);
  if (!strcmp(name, "meta") && *value) { // "{meta: name value}"
    split_directive(value, &name, &value);
  }
  *ends = begins_song(name);
  const char *given = section_name(name);
  if (!*ends && (form->environment != CP_IN_TAB || after(given, "end_of_"))) {
    if (cp_is_heading(given)) {
      follow_heading(heading, song, given, value);
    } else {
      follow_form(form, song, given, value);
    }
  }
  g_free(text);
  return close + (*close == '}');
}
