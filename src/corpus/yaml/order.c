// Copyright 2026 the rowcall developers
// SPDX-License-Identifier: MIT

#include "corpus/yaml/reader.h"

#include <string.h>

static gboolean
play_part(RcTune *tune, const RcPart *part)
{
  const guint before = tune->played->len;
  if (before + part->count > RC_MAX_PLAYED_BARS) {
    return FALSE;
  }
  g_array_set_size(tune->played, before + part->count);
  guint *played = &g_array_index(tune->played, guint, before);
  const RcPart bars = *part;
  for (guint i = 0; i < bars.count; ++i) {
    played[i] = bars.first + i;
  }
  return TRUE;
}

static const RcPart *
find_part(const RcTune *tune, const char *label, gsize length)
{
  for (guint i = 0; i < tune->parts->len; ++i) {
    const RcPart *part = &g_array_index(tune->parts, RcPart, i);
    if (!strncmp(part->label, label, length) && !part->label[length]) {
      return part;
    }
  }
  return NULL;
}

static void
note_length(YmReader *r, const RcTune *tune)
{
  ym_document_note(&r->document, RC_ERROR_LIMIT, (RcPlace){ tune->file, tune->line, 0 }, "`%s` plays more than %d bars",
                   tune->title, RC_MAX_PLAYED_BARS);
}

static gboolean
divides_order(char c)
{
  return c == ' ' || c == ',' || c == '\n';
}

static const char *
skip_dividers(const char *at)
{
  while (divides_order(*at)) {
    ++at;
  }
  return at;
}

static gsize
label_length(const char *label)
{
  gsize length = 0;
  while (label[length] && !divides_order(label[length])) {
    ++length;
  }
  return length;
}

// The parts that the order leaves out, with the place of the first.
static void
remark_unplayed(const YmReader *r, RcTune *tune, const gboolean *named)
{
  guint first = 0;
  while (first < tune->parts->len && named[first]) {
    ++first;
  }
  if (first == tune->parts->len) {
    return;
  }
  const RcPlace place = g_array_index(r->document.parts, YmPart, first).label.written.start;
  GString *names = g_string_new(NULL);
  for (guint i = first; i < tune->parts->len; ++i) {
    if (!named[i]) {
      g_string_append_printf(names, "%s`%s`", names->len ? ", " : "", g_array_index(tune->parts, RcPart, i).label);
    }
  }
  rc_tune_remark(tune, RC_REMARK_UNPLAYED, place.line, place.column,
                 "written, but never played, since the order does not name it: %s", names->str);
  g_string_free(names, TRUE);
}

static void
note_unknown_part(YmReader *r, RcPlace place, const char *label, gsize length)
{
  enum { SHOWN = 40 };
  ym_document_note(&r->document, RC_ERROR_VALUE, place, "the order names part `%.*s`, which `parts` does not hold",
                   (int)MIN(length, SHOWN), label);
}

static void
play_in_order(YmReader *r, RcTune *tune)
{
  const YmText *order = &r->document.texts[YM_ORDER];
  const char *text = ym_text(&r->document, order);
  RcCursor cursor = rc_cursor_start(text, &order->written, &r->stream);
  gboolean *named = g_new0(gboolean, tune->parts->len); // by part
  for (const char *at = skip_dividers(text); *at; at = skip_dividers(at)) {
    const gsize length = label_length(at);
    const RcPart *part = find_part(tune, at, length);
    if (!part) {
      note_unknown_part(r, rc_cursor_place(&cursor, (gsize)(at - text)), at, length);
    } else if (!play_part(tune, part)) {
      note_length(r, tune);
      break;
    } else {
      named[part - &g_array_index(tune->parts, RcPart, 0)] = TRUE;
    }
    at += length;
  }
  if (!*skip_dividers(text)) {
    ym_document_note_text(&r->document, YM_ORDER, "names of parts, such as A A B B");
  }
  remark_unplayed(r, tune, named);
  g_free(named);
}

void
ym_set_order(YmReader *r, RcTune *tune)
{
  if (r->document.texts[YM_ORDER].given) {
    play_in_order(r, tune);
    return;
  }
  for (guint i = 0; i < tune->parts->len; ++i) {
    if (!play_part(tune, &g_array_index(tune->parts, RcPart, i))) {
      note_length(r, tune);
      return;
    }
  }
}
