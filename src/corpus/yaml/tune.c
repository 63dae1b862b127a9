// Copyright 2026 the rowcall developers
// SPDX-License-Identifier: MIT

#include "corpus/yaml/reader.h"

#include "base/yaml_tree.h"

#include <string.h>

// A text that is given.
static const char *
given(const YmReader *r, YmKey key)
{
  const YmText *text = &r->document.texts[key];
  return text->given ? ym_text(&r->document, text) : NULL;
}

// Says that the tune lacks something, unless there is a mistake that may be why.
static void
note_lack(YmReader *r, const char *message)
{
  if (!r->document.mistakes.found) {
    ym_document_note(&r->document, RC_ERROR_VALUE, (RcPlace){ r->stream.name, r->document.line, 0 }, "%s", message);
  }
}

// Checks that a text that is a line has no line end, which an escape may stand for.
static gboolean
check_line(YmReader *r, const YmText *text, const char *what)
{
  const gboolean may_hold = text->written.quote == '"' || text->written.start.line != text->written.end_line;
  const char *at = text->given && may_hold ? rc_yaml_line_end(ym_text(&r->document, text)) : NULL;
  GError *mistake = NULL;
  if (at) {
    rc_yaml_fail_line_end(text->written.start, what, at, &mistake);
  }
  return ym_document_keep(&r->document, mistake);
}

// Bars may be on several lines, but escapes for a line end are a mistake.
static gboolean
check_bars(YmReader *r, const YmText *bars)
{
  return bars->written.start.line != bars->written.end_line || check_line(r, bars, "a row of bars");
}

static void
set_title(YmReader *r, RcTune *tune)
{
  const YmText *title = &r->document.texts[YM_TITLE];
  const YmText *rhythm = &r->document.texts[YM_RHYTHM];
  if (!title->given || !title->written.length) {
    note_lack(r, "a tune needs a line `title: ...`; the tune was left out");
  } else if (check_line(r, title, "title")) {
    tune->title = rc_tune_text(tune, ym_text(&r->document, title), title->written.length);
  }
  if (check_line(r, rhythm, "rhythm") && rhythm->written.length) {
    tune->rhythm = rc_tune_text(tune, ym_text(&r->document, rhythm), rhythm->written.length);
  }
}

// What "d" alone means, D major or minor, only its writer knows.
static gboolean
read_small_key(YmReader *r, RcTune *tune, const char *text, RcKey *key)
{
  char *capital = g_strdup(text);
  *capital = g_ascii_toupper(*capital);
  const gboolean good = rc_key_parse(capital, RC_NAMES_ENGLISH, key, NULL);
  if (good) {
    const RcPlace place = r->document.texts[YM_KEY].written.start;
    rc_tune_remark(tune, RC_REMARK_SMALL_KEY, place.line, place.column,
                   "the key `%s` is read as %s major; for a minor key write `%sm`", text, capital, capital);
  }
  g_free(capital);
  return good;
}

static gboolean
read_key(YmReader *r, RcTune *tune, const char *text, RcNames names, RcKey *key)
{
  return rc_key_parse(text, names, key, NULL) || (g_ascii_islower(*text) && read_small_key(r, tune, text, key));
}

static void
set_key_and_time(YmReader *r, RcTune *tune, RcNames names)
{
  const char *key = given(r, YM_KEY);
  const char *meter = given(r, YM_METER);
  const char *tempo = given(r, YM_TEMPO);
  RcSetting *start = &g_array_index(tune->settings, RcSetting, 0);
  if (key && !read_key(r, tune, key, names, &start->key)) {
    ym_document_note_text(&r->document, YM_KEY, "a tonic and a mode, such as D, Bm, E dorian");
  }
  if (meter && !rc_meter_parse(meter, &start->meter)) {
    ym_document_note_text(&r->document, YM_METER, "beats and note value, such as 3/4 or 6/8");
  }
  if (tempo && !rc_tempo_parse(tempo, start->meter, &start->tempo)) {
    ym_document_note_text(&r->document, YM_TEMPO,
                          "beats a minute such as 138 or 1/4=138, 5 to 1000 quarter notes a minute");
  }
  start->tones = rc_key_tones(start->key);
}

static RcNames
find_names(YmReader *r)
{
  const char *text = given(r, YM_NAMES);
  if (!text) {
    return r->options.names;
  }
  const gboolean german = !strcmp(text, "german");
  if (!german && strcmp(text, "english") != 0) {
    ym_document_note_text(&r->document, YM_NAMES, "english or german (H is B natural)");
  }
  return german ? RC_NAMES_GERMAN : RC_NAMES_ENGLISH;
}

// FALSE where a limit is reached.
static gboolean
set_part(YmReader *r, RcTune *tune, const YmPart *text)
{
  const gboolean named = check_line(r, &text->label, "a part's name");
  if (!check_bars(r, &text->bars)) {
    return TRUE;
  }
  RcPart part = { "", tune->bars->len, 0 };
  RcCursor cursor = rc_cursor_start(ym_text(&r->document, &text->bars), &text->bars.written, &r->stream);
  if (!rc_bar_reader_read(r->bars, &cursor, &r->document.mistakes)) {
    return FALSE;
  }
  part.label = named ? rc_tune_text(tune, ym_text(&r->document, &text->label), text->label.written.length) : "";
  part.count = tune->bars->len - part.first;
  g_array_append_val(tune->parts, part);
  return TRUE;
}

static void
set_parts(YmReader *r, RcTune *tune, RcNames names)
{
  const GArray *parts = r->document.parts;
  rc_bar_reader_start(r->bars, tune, names);
  for (guint i = 0; i < parts->len; ++i) {
    if (!set_part(r, tune, &g_array_index(parts, YmPart, i))) {
      return;
    }
  }
  if (!parts->len) {
    note_lack(r, "a tune needs `parts:` with lines such as A: \"| D | Bm |\"");
  }
}

// The order is judged where nothing else is wrong.
gboolean
ym_make_tune(YmReader *r, RcTune *tune)
{
  set_title(r, tune);
  const RcNames names = find_names(r);
  set_key_and_time(r, tune, names);
  set_parts(r, tune, names);
  if (!r->document.mistakes.found) {
    ym_set_order(r, tune);
  }
  return !r->document.mistakes.found;
}
