// Copyright 2026 the rowcall developers
// SPDX-License-Identifier: MIT

// Labels of parts as singers write them, in plain text or in comments.

#include "corpus/chordpro/chordpro.h"

#include <string.h>

enum { MOST_TIMES = 8, LONGEST = 40 };

// Longer ones before what they begin with.
static const char *const names[] = { "prechorus",   "pre-chorus", "chorus",     "verse", "intro",
                                     "bridge",      "outro",      "refrain",    "solo",  "instrumental",
                                     "interlude",   "ending",     "coda",       "tag",   "middle",
                                     "breakdown",   "break",      "turnaround", "vamp",  "strophe",
                                     "introduction" };

// The number of bytes of the name that a text begins with, if it is a whole word; 0 where it is none.
static gsize
name_at(const char *text)
{
  for (guint i = 0; i < G_N_ELEMENTS(names); ++i) {
    const gsize n = strlen(names[i]);
    if (!g_ascii_strncasecmp(text, names[i], n) && !g_ascii_isalpha(text[n])) {
      return n;
    }
  }
  return 0;
}

// What is after "Repeat" in "Repeat chorus".
static const char *
skip_repeat(const char *text)
{
  static const char repeat[] = "repeat ";
  const char *rest = text + strlen(repeat);
  return !g_ascii_strncasecmp(text, repeat, strlen(repeat)) && name_at(rest) ? rest : text;
}

// The number of bytes of "x2", "(x2)", "2x" at a place; 0 where there is none.
static gsize
times_at(const char *text, guint *times)
{
  const char *at = text + (*text == '(');
  const gboolean before = *at == 'x' || *at == 'X' || !strncmp(at, "\u00D7", 2);
  at += before ? (*at == 'x' || *at == 'X' ? 1 : 2) : 0;
  const guint n = g_ascii_isdigit(*at) ? (guint)(*at - '0') : 0;
  at += n > 0;
  const gboolean after = !before && n && (*at == 'x' || *at == 'X');
  at += after;
  at += *text == '(' && *at == ')';
  if (n < 2 || n > MOST_TIMES || !(before || after) || g_ascii_isalnum(*at)) {
    return 0;
  }
  *times = n;
  return (gsize)(at - text);
}

// The last word of a line where it is "x2"; NULL where it is not.
static const char *
times_at_end(const char *line, guint *times)
{
  const char *end = line + strlen(line);
  while (end > line && cp_is_blank(end[-1])) {
    --end;
  }
  const char *word = end;
  while (word > line && !cp_is_blank(word[-1])) {
    --word;
  }
  const gsize n = word > line ? times_at(word, times) : 0;
  return n && word + n == end ? word : NULL;
}

guint
cp_times(const char *line)
{
  guint times = 1;
  return times_at_end(line, &times) ? times : 1;
}

// Whether only numbers, "x2" and brackets follow a name.
static gboolean
is_counted_only(const char *text, const char *end)
{
  guint times = 0;
  while (text < end) {
    const gsize n = times_at(text, &times);
    if (!n && !strchr(" .#()", *text) && !g_ascii_isdigit(*text)) {
      return FALSE;
    }
    text += MAX(n, 1);
  }
  return TRUE;
}

static CpLabel
make_label(const char *text, const char *end)
{
  CpLabel label = { .text = g_strstrip(g_strndup(text, (gsize)(end - text))), .times = 1 };
  const char *counted = times_at_end(label.text, &label.times);
  label.times = counted ? label.times : 1;
  label.name = counted ? (gsize)(counted - label.text) : strlen(label.text);
  while (label.name && label.text[label.name - 1] == ' ') {
    --label.name;
  }
  return label;
}

// "[Chorus]", "(Chorus 2x)" and what is after it.
static const char *
take_bracketed(const char *line, CpLabel *label)
{
  const char *close = strchr(line, *line == '[' ? ']' : ')');
  const char *name = skip_repeat(line + 1);
  if (!close || close - line > LONGEST || !name_at(name)) {
    return line;
  }
  *label = make_label(name, close);
  return close + 1 + (close[1] == ':');
}

static const char *
take_label(const char *line, CpLabel *label)
{
  *label = (CpLabel){ .times = 1 };
  if (*line == '[' || *line == '(') {
    return take_bracketed(line, label);
  }
  line = skip_repeat(line);
  const gsize n = name_at(line);
  if (!n) {
    return line;
  }
  const char *colon = strchr(line, ':');
  const char *end = colon ? colon : line + strlen(line);
  if (end - line > LONGEST || !is_counted_only(line + n, end)) {
    return line;
  }
  *label = make_label(line, end);
  return colon ? colon + 1 : end;
}

const char *
cp_take_label(const char *line, CpLabel *label)
{
  const char *rest = take_label(line, label);
  if (!label->text) {
    return rest;
  }
  const char *word = rest + strspn(rest, " \t\r");
  guint times = 0;
  const gsize n = times_at(word, &times); // "Chorus: (x2)"
  if (n && !word[n + strspn(word + n, " \t\r")]) {
    label->times = times;
    word += strlen(word);
  }
  return *word ? rest : word;
}

gsize
cp_list_label(const char *line)
{
  static const char *const lists[] = { "chords:", "chords used:", "akkorde:",        "scale:",
                                       "notes:",  "tuning",       "standard tuning", "stimmung" };
  const gsize blanks = strspn(line, " \t");
  for (guint i = 0; i < G_N_ELEMENTS(lists); ++i) {
    const gsize n = blanks + strlen(lists[i]);
    if (!g_ascii_strncasecmp(line + blanks, lists[i], n - blanks) &&
        (line[n - 1] == ':' || !g_ascii_isalpha(line[n]))) {
      return n + (line[n] == ':');
    }
  }
  return 0;
}

CpLabel
cp_comment_label(const char *text)
{
  text = skip_repeat(text);
  const gsize length = strcspn(text, ":");
  return name_at(text) && length <= LONGEST ? make_label(text, text + length) : (CpLabel){ .times = 1 };
}
