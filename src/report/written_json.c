// Copyright 2026 the rowcall developers
// SPDX-License-Identifier: MIT

#include "report/written_json.h"

#include "report/format.h"
#include "report/json_text.h"
#include "report/need_text.h"
#include "report/song_lines.h"

static void
add_parts(GString *json, const RcTune *tune)
{
  rc_json_begin_array(json, "parts");
  for (guint i = 0; i < tune->parts->len; ++i) {
    const RcPart *part = &g_array_index(tune->parts, RcPart, i);
    rc_json_begin_object(json, NULL);
    rc_json_text(json, "label", part->label);
    rc_json_number(json, "first", part->first + 1);
    rc_json_number(json, "bars", part->count);
    rc_json_end_object(json);
  }
  rc_json_end_array(json);
}

static void
add_event(GString *json, const RcTune *tune, const RcChart *chart, guint index)
{
  const RcEvent *event = &g_array_index(tune->events, RcEvent, index);
  rc_json_begin_object(json, NULL);
  rc_json_text(json, "chord", rc_tune_symbol(tune, event->symbol)->text);
  rc_json_quarters(json, "quarters", event->length);
  rc_json_decimal(json, "seconds", chart->seconds[index]);
  if (chart->ways[index] == RC_NO_WAY) {
    rc_json_null(json, "way");
  } else {
    rc_json_number(json, "way", chart->ways[index]);
    rc_json_text(json, "worst", rc_verdict_name(chart->verdicts[index]));
  }
  rc_json_end_object(json);
}

static void
add_bars(GString *json, const RcTune *tune, const RcChart *chart)
{
  rc_json_begin_array(json, "written");
  for (guint i = 0; i < tune->bars->len; ++i) {
    const RcBar *bar = &g_array_index(tune->bars, RcBar, i);
    rc_json_begin_array(json, NULL);
    for (guint j = 0; j < bar->count; ++j) {
      add_event(json, tune, chart, bar->first + j);
    }
    rc_json_end_array(json);
  }
  rc_json_end_array(json);
}

// The words of a line, each with the index within its bar of the chord over its beginning, or null.
static void
add_words(GString *json, const RcTune *tune, const RcLine *line)
{
  GArray *stretches = rc_line_stretches(tune, line);
  rc_json_begin_array(json, "words");
  for (guint i = 0; i < stretches->len; ++i) {
    const RcStretch *stretch = &g_array_index(stretches, RcStretch, i);
    char *words = g_strndup(stretch->words, stretch->length);
    rc_json_begin_object(json, NULL);
    rc_json_text(json, "text", words);
    if (stretch->event == RC_NO_CHORD) {
      rc_json_null(json, "chord");
    } else {
      rc_json_number(json, "chord", stretch->event - g_array_index(tune->bars, RcBar, line->bar).first);
    }
    rc_json_end_object(json);
    g_free(words);
  }
  rc_json_end_array(json);
  g_array_unref(stretches);
}

static void
add_lines(GString *json, const RcTune *tune)
{
  rc_json_begin_array(json, "lines");
  for (guint i = 0; i < tune->lines->len; ++i) {
    const RcLine *line = &g_array_index(tune->lines, RcLine, i);
    rc_json_begin_object(json, NULL);
    rc_json_text(json, "label", line->label);
    rc_json_number(json, "bar", line->bar + 1);
    rc_json_boolean(json, "sung", line->sung);
    add_words(json, tune, line);
    rc_json_end_object(json);
  }
  rc_json_end_array(json);
}

void
rc_json_written(GString *json, const RcTune *tune, const RcChart *chart)
{
  char *order = rc_order_text(tune);
  rc_json_text(json, "order", order);
  g_free(order);
  add_parts(json, tune);
  add_bars(json, tune, chart);
  add_lines(json, tune);
  rc_json_begin_array(json, "played");
  for (guint i = 0; i < tune->played->len; ++i) {
    rc_json_number(json, NULL, g_array_index(tune->played, guint, i) + 1);
  }
  rc_json_end_array(json);
}
