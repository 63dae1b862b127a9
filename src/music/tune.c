// Copyright 2026 the rowcall developers
// SPDX-License-Identifier: MIT

#include "rowcall/music.h"

enum { TEXT_BLOCK = 4 << 10, TEXT_KEPT = 64 << 10 }; // cleared now and then, not for each tune

RcTune *
rc_tune_new(void)
{
  RcTune *tune = g_new0(RcTune, 1);
  tune->settings = g_array_new(FALSE, FALSE, sizeof(RcSetting));
  tune->symbols = g_array_new(FALSE, FALSE, sizeof(RcSymbol));
  tune->events = g_array_new(FALSE, FALSE, sizeof(RcEvent));
  tune->bars = g_array_new(FALSE, FALSE, sizeof(RcBar));
  tune->parts = g_array_new(FALSE, FALSE, sizeof(RcPart));
  tune->played = g_array_new(FALSE, FALSE, sizeof(guint));
  tune->texts = g_string_chunk_new(TEXT_BLOCK);
  rc_tune_clear(tune);
  return tune;
}

void
rc_tune_clear(RcTune *tune)
{
  g_array_set_size(tune->symbols, 0);
  g_array_set_size(tune->events, 0);
  g_array_set_size(tune->bars, 0);
  g_array_set_size(tune->parts, 0);
  g_array_set_size(tune->played, 0);
  if (tune->text_bytes > TEXT_KEPT) {
    g_string_chunk_clear(tune->texts);
    tune->text_bytes = 0;
  }
  tune->file = NULL;
  tune->line = 0;
  tune->title = "";
  tune->rhythm = NULL;
  tune->remarks = 0;
  const RcSetting start = { { RC_MODE_NONE, 0 }, 0, { 4, 4 }, { RC_TEMPO_NONE, 0 } };
  g_array_set_size(tune->settings, 0);
  g_array_append_val(tune->settings, start);
}

void
rc_tune_free(RcTune *tune)
{
  if (tune) {
    g_array_unref(tune->settings);
    g_array_unref(tune->symbols);
    g_array_unref(tune->events);
    g_array_unref(tune->bars);
    g_array_unref(tune->parts);
    g_array_unref(tune->played);
    g_string_chunk_free(tune->texts);
    g_free(tune);
  }
}

const char *
rc_tune_text(RcTune *tune, const char *text, gsize length)
{
  tune->text_bytes += length + 1;
  return g_string_chunk_insert_len(tune->texts, text, (gssize)length);
}

const RcSetting *
rc_tune_setting(const RcTune *tune, guint index)
{
  return &g_array_index(tune->settings, RcSetting, index);
}

RcWalk
rc_walk_start(const RcTune *tune)
{
  return (RcWalk){ tune, 0, 0 };
}

static inline const RcBar *
played_bar(const RcTune *tune, guint index)
{
  return &g_array_index(tune->bars, RcBar, g_array_index(tune->played, guint, index));
}

// Moves to the next event that is left and sets its index; FALSE at the end.
static inline gboolean
seek_event(RcWalk *walk, guint *event)
{
  for (; walk->bar < walk->tune->played->len; ++walk->bar, walk->event = 0) {
    const RcBar *bar = played_bar(walk->tune, walk->bar);
    if (walk->event < bar->count) {
      *event = bar->first + walk->event;
      return TRUE;
    }
  }
  return FALSE;
}

gboolean
rc_walk_next(RcWalk *walk, RcPlayed *played)
{
  const RcTune *tune = walk->tune;
  if (!seek_event(walk, &played->event)) {
    return FALSE;
  }
  const RcSymbol *symbols = &g_array_index(tune->symbols, RcSymbol, 0);
  const RcEvent *first = &g_array_index(tune->events, RcEvent, played->event);
  played->symbol = first->symbol;
  played->setting = first->setting;
  played->length = first->length;
  played->melody = first->melody;
  ++walk->event;
  guint next = 0;
  while (seek_event(walk, &next)) {
    const RcEvent *event = &g_array_index(tune->events, RcEvent, next);
    if (event->symbol != first->symbol && symbols[event->symbol].kind != RC_SYMBOL_HELD &&
        symbols[event->symbol].same != symbols[first->symbol].same) {
      break;
    }
    played->length += event->length;
    played->melody |= event->melody;
    ++walk->event;
  }
  return TRUE;
}
