// Copyright 2026 the rowcall developers
// SPDX-License-Identifier: MIT

#include "corpus/abc/heading.h"

#include "rowcall/error.h"

#include <string.h>

gboolean
abc_is_field(AbcText line, char name)
{
  return abc_length(line) >= 2 && line.at[0] == name && line.at[1] == ':';
}

static gboolean
is_any_field(AbcText line)
{
  return abc_length(line) >= 2 && line.at[1] == ':';
}

static gboolean
is_directive(AbcText line)
{
  return abc_length(line) >= 2 && line.at[0] == '%' && line.at[1] == '%';
}

gboolean
abc_is_setting(AbcText line)
{
  return (line.at < line.end && *line.at == '%') ||
         (is_any_field(line) && (g_ascii_isalpha(*line.at) || *line.at == '+'));
}

// What follows a field's name or the signs of a directive.
static AbcText
value_of(AbcText line)
{
  return (AbcText){ line.at + 2, line.end };
}

// ------------------------------------------------------------------------------------------------- the head of a file

static void
keep_text(char **kept, AbcText value)
{
  g_free(*kept);
  *kept = abc_text_to_utf8(abc_trim(value));
}

AbcHead
abc_head_start(void)
{
  return (AbcHead){ .state = abc_state_start() };
}

AbcHead
abc_head_copy(const AbcHead *head)
{
  return (AbcHead){ head->state, g_strdup(head->rhythm), g_strdup(head->group) };
}

void
abc_head_clear(AbcHead *head)
{
  g_clear_pointer(&head->rhythm, g_free);
  g_clear_pointer(&head->group, g_free);
}

void
abc_read_head_line(AbcText line, AbcHead *head)
{
  if (is_directive(line)) {
    abc_read_directive(value_of(line), &head->state);
    return;
  }
  if (!is_any_field(line)) {
    return;
  }
  switch (*line.at) {
  case 'L':
    abc_read_length(value_of(line), &head->state);
    return;
  case 'M':
    abc_read_meter(value_of(line), &head->state);
    return;
  case 'Q':
    abc_read_tempo(value_of(line), &head->state);
    return;
  case 'I':
    abc_read_directive(value_of(line), &head->state);
    return;
  case 'U':
    abc_read_user_symbol(value_of(line), &head->state);
    return;
  case 'R':
    keep_text(&head->rhythm, value_of(line));
    return;
  case 'G':
    keep_text(&head->group, value_of(line));
    return;
  default:
    return;
  }
}

// ------------------------------------------------------------------------------------------------ the heading of a
// tune

static gboolean
fail_field(const AbcBlock *block, guint line, AbcText text, const char *expected, GError **error)
{
  enum { SHOWN = 40 }; // characters
  char *found = abc_text_to_utf8(abc_trim(text));
  *g_utf8_offset_to_pointer(found, MIN(g_utf8_strlen(found, -1), SHOWN)) = '\0';
  rc_fail(error, RC_ERROR_VALUE, (RcPlace){ block->file, line, 3 }, "found `%s`; expected %s", found, expected);
  g_free(found);
  return FALSE;
}

// A text, which a line "+:" may continue; section 3.3.
static void
set_text(AbcHeading *h, AbcText *text, AbcText value)
{
  *text = abc_trim(value);
  h->open = text;
}

static void
continue_text(AbcHeading *h, AbcText value)
{
  if (h->open) {
    h->open->end = abc_trim(value).end;
  }
}

// A field that is a text, or is read without saying so where it is none.
static void
read_text_field(char name, AbcText value, AbcHeading *h)
{
  switch (name) {
  case 'T':
    if (!h->title.at) {
      set_text(h, &h->title, value);
    }
    return;
  case 'R':
    set_text(h, &h->rhythm, value);
    return;
  case 'G':
    set_text(h, &h->group, value);
    return;
  case 'P':
    set_text(h, &h->order, value);
    return;
  case 'I':
    abc_read_directive(value, &h->state);
    return;
  case 'U':
    abc_read_user_symbol(value, &h->state);
    return;
  case 'Q':
    h->tempo = value; // old forms count units, which L: may still set
    return;
  default:
    return;
  }
}

static gboolean
read_field(const AbcBlock *block, char name, AbcText value, guint line, AbcHeading *h, GError **error)
{
  switch (name) {
  case 'L':
    return abc_read_length(value, &h->state) || fail_field(block, line, value, "a note length such as 1/8", error);
  case 'M':
    return abc_read_meter(value, &h->state) ||
           fail_field(block, line, value, "a meter such as 3/4, C, C| or none", error);
  case 'K':
    h->has_key = TRUE;
    h->key = value;
    h->good_key = abc_read_key(value, &h->state);
    return TRUE;
  default:
    read_text_field(name, value, h);
    return TRUE;
  }
}

static gboolean
read_line(const AbcBlock *block, AbcText line, AbcHeading *h, GError **error)
{
  const AbcText value = value_of(line);
  if (is_directive(line)) {
    abc_read_directive(value, &h->state);
  } else if (is_any_field(line) && *line.at == '+') {
    continue_text(h, value);
  } else if (is_any_field(line)) {
    h->open = NULL;
    return read_field(block, *line.at, value, h->body_line, h, error);
  }
  return TRUE;
}

gboolean
abc_read_heading(const AbcBlock *block, const AbcState *head, AbcHeading *h, GError **error)
{
  *h = (AbcHeading){ .state = *head, .body_line = block->line };
  const char *at = block->text.at;
  for (const guint *length = block->lengths; at < block->text.end && !h->has_key; ++length) {
    const char *end = at + *length;
    if (!read_line(block, (AbcText){ at, end[-1] == '\n' ? end - 1 : end }, h, error)) {
      return FALSE;
    }
    ++h->body_line;
    at = end;
  }
  h->body = (AbcText){ at, block->text.end };
  if (h->tempo.at) {
    abc_read_tempo(h->tempo, &h->state); // a tempo in words only is none
  }
  return h->has_key || rc_fail(error, RC_ERROR_SYNTAX, (RcPlace){ block->file, block->line, 0 },
                               "a tune needs a line `K:` with its key between its heading and its music");
}
