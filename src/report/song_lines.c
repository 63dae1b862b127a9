// Copyright 2026 the rowcall developers
// SPDX-License-Identifier: MIT

#include "report/song_lines.h"

#include <string.h>

static const RcLine *
line_at(const RcTune *tune, guint index)
{
  return &g_array_index(tune->lines, RcLine, index);
}

// Goes on by so many letters, at most to the end.
static const char *
skip_letters(const char *at, guint letters)
{
  for (; *at && letters; --letters) {
    at = g_utf8_next_char(at);
  }
  return at;
}

// Scripts of wide letters write words without blanks, and need no dash where one goes on.
static gboolean
goes_on(const char *before, const char *after)
{
  const gboolean apart = strchr(" -", *before) || !*after || *after == ' ';
  return !apart && !g_unichar_iswide(g_utf8_get_char(before)) && !g_unichar_iswide(g_utf8_get_char(after));
}

static void
add_stretch(GArray *stretches, guint event, const char *words, const char *end)
{
  const gboolean within = end > words && goes_on(g_utf8_prev_char(end), end);
  const RcStretch stretch = { event, words, (gsize)(end - words), within };
  g_array_append_val(stretches, stretch);
}

// Adds what is sung from one chord to the next, word by word.
static void
add_stretches(GArray *stretches, guint event, const char *words, const char *end)
{
  if (words == end && event != RC_NO_CHORD) {
    add_stretch(stretches, event, words, end);
  }
  for (const char *at = words; at < end; event = RC_NO_CHORD) {
    const char *word = at;
    while (at < end && *at != ' ') {
      ++at;
    }
    while (at < end && *at == ' ') {
      ++at;
    }
    add_stretch(stretches, event, word, at);
  }
}

GArray *
rc_line_stretches(const RcTune *tune, const RcLine *line)
{
  GArray *stretches = g_array_new(FALSE, FALSE, sizeof(RcStretch));
  const RcBar none = { 0, 0 };
  const RcBar *bar = line->sung ? &g_array_index(tune->bars, RcBar, line->bar) : &none;
  const char *at = line->text;
  guint column = 0;
  guint event = RC_NO_CHORD;
  for (guint i = 0; i < bar->count; ++i) {
    const guint over = g_array_index(tune->events, RcEvent, bar->first + i).over;
    const char *end = skip_letters(at, over - column);
    add_stretches(stretches, event, at, end);
    at = end;
    column = over;
    event = bar->first + i;
  }
  add_stretches(stretches, event, at, at + strlen(at));
  return stretches;
}

static const char *
label_of(const RcTune *tune, guint bar)
{
  for (guint i = 0; i < tune->parts->len; ++i) {
    const RcPart *part = &g_array_index(tune->parts, RcPart, i);
    if (part->first == bar) {
      return part->label;
    }
  }
  return "";
}

RcPart
rc_bars_before_line(const RcTune *tune, guint index)
{
  guint first = 0;
  if (index) {
    const RcLine *before = line_at(tune, index - 1);
    first = before->bar + (before->sung ? 1 : 0);
  }
  const guint end = index < tune->lines->len ? line_at(tune, index)->bar : tune->bars->len;
  return (RcPart){ label_of(tune, first), first, end > first ? end - first : 0 };
}

gboolean
rc_line_is_leftwards(const RcLine *line)
{
  const char *at = line->text;
  while (*at && !g_unichar_isalpha(g_utf8_get_char(at))) {
    at = g_utf8_next_char(at);
  }
  switch (g_unichar_get_script(g_utf8_get_char(at))) {
  case G_UNICODE_SCRIPT_ARABIC:
  case G_UNICODE_SCRIPT_HEBREW:
  case G_UNICODE_SCRIPT_NKO:
  case G_UNICODE_SCRIPT_SYRIAC:
  case G_UNICODE_SCRIPT_THAANA:
    return TRUE;
  default:
    return FALSE;
  }
}
