// Copyright 2026 the rowcall developers
// SPDX-License-Identifier: MIT

#include "rowcall/music.h"

#include "base/array.h"

#include <string.h>

enum { TEXT_BLOCK = 4 << 10, COPY_BLOCK = 64, TEXT_KEPT = 64 << 10 }; // cleared now and then, not for each tune

static RcTune *
new_tune(gsize text_block)
{
  RcTune *tune = g_new0(RcTune, 1);
  tune->settings = g_array_new(FALSE, FALSE, sizeof(RcSetting));
  tune->symbols = g_array_new(FALSE, FALSE, sizeof(RcSymbol));
  tune->events = g_array_new(FALSE, FALSE, sizeof(RcEvent));
  tune->bars = g_array_new(FALSE, FALSE, sizeof(RcBar));
  tune->parts = g_array_new(FALSE, FALSE, sizeof(RcPart));
  tune->notes = g_array_new(FALSE, FALSE, sizeof(RcTuneNote));
  tune->lines = g_array_new(FALSE, FALSE, sizeof(RcLine));
  tune->played = g_array_new(FALSE, FALSE, sizeof(guint));
  tune->numbers = g_array_new(FALSE, FALSE, sizeof(const char *));
  tune->remarks = g_array_new(FALSE, FALSE, sizeof(RcRemark));
  tune->texts = g_string_chunk_new(text_block);
  g_array_set_size(tune->settings, 1);
  rc_tune_clear(tune);
  return tune;
}

RcTune *
rc_tune_new(void)
{
  return new_tune(TEXT_BLOCK);
}

void
rc_tune_clear(RcTune *tune)
{
  rc_array_cut(tune->symbols, 0);
  rc_array_cut(tune->events, 0);
  rc_array_cut(tune->bars, 0);
  rc_array_cut(tune->parts, 0);
  rc_array_cut(tune->notes, 0);
  rc_array_cut(tune->lines, 0);
  rc_array_cut(tune->played, 0);
  if (tune->text_bytes > TEXT_KEPT) {
    g_string_chunk_clear(tune->texts);
    tune->text_bytes = 0;
  }
  tune->file = NULL;
  tune->line = 0;
  tune->title = "";
  tune->rhythm = NULL;
  tune->group = NULL;
  tune->dance = NULL;
  rc_array_cut(tune->numbers, 0);
  rc_array_cut(tune->remarks, 0);
  tune->unmeasured = FALSE;
  const RcSetting start = { .meter = { 4, 4 } };
  rc_array_cut(tune->settings, 1);
  g_array_index(tune->settings, RcSetting, 0) = start;
}

static const char *
copy_text(RcTune *into, const char *text)
{
  return text ? rc_tune_text(into, text, strlen(text)) : NULL;
}

static void
copy_items(GArray *into, const GArray *from)
{
  g_array_set_size(into, 0);
  if (from->len) {
    g_array_append_vals(into, from->data, from->len);
  }
}

RcTune *
rc_tune_copy(const RcTune *tune)
{
  RcTune *copy = new_tune(COPY_BLOCK); // many may be kept
  copy_items(copy->settings, tune->settings);
  copy_items(copy->symbols, tune->symbols);
  copy_items(copy->events, tune->events);
  copy_items(copy->bars, tune->bars);
  copy_items(copy->parts, tune->parts);
  copy_items(copy->notes, tune->notes);
  copy_items(copy->lines, tune->lines);
  copy_items(copy->played, tune->played);
  copy->file = copy_text(copy, tune->file);
  copy->line = tune->line;
  copy->title = copy_text(copy, tune->title);
  copy->rhythm = copy_text(copy, tune->rhythm);
  copy->group = copy_text(copy, tune->group);
  copy->dance = tune->dance;
  copy->dance_source = tune->dance_source;
  copy_items(copy->numbers, tune->numbers);
  copy_items(copy->remarks, tune->remarks);
  copy->unmeasured = tune->unmeasured;
  for (guint i = 0; i < copy->symbols->len; ++i) {
    RcSymbol *symbol = &g_array_index(copy->symbols, RcSymbol, i);
    symbol->text = copy_text(copy, symbol->text);
  }
  for (guint i = 0; i < copy->parts->len; ++i) {
    RcPart *part = &g_array_index(copy->parts, RcPart, i);
    part->label = copy_text(copy, part->label);
  }
  for (guint i = 0; i < copy->lines->len; ++i) {
    RcLine *line = &g_array_index(copy->lines, RcLine, i);
    line->text = copy_text(copy, line->text);
    line->label = copy_text(copy, line->label);
  }
  for (guint i = 0; i < copy->numbers->len; ++i) {
    const char **number = &g_array_index(copy->numbers, const char *, i);
    *number = copy_text(copy, *number);
  }
  for (guint i = 0; i < copy->remarks->len; ++i) {
    RcRemark *remark = &g_array_index(copy->remarks, RcRemark, i);
    remark->text = copy_text(copy, remark->text);
  }
  return copy;
}

// How far along the line of fifths the notes of a key go when it is moved; the shortest way where it is not known.
static int
fifths_of_move(RcKey key, int semitones)
{
  if (key.mode != RC_MODE_NONE) {
    return rc_key_major(rc_key_moved(key, semitones)) - rc_key_major(key);
  }
  const int fifths = (7 * (semitones % 12) + 84) % 12;
  return fifths > 6 ? fifths - 12 : fifths;
}

static void
move_symbols(RcTune *tune, int fifths)
{
  for (guint i = 0; i < tune->symbols->len; ++i) {
    RcSymbol *symbol = &g_array_index(tune->symbols, RcSymbol, i);
    if (symbol->kind == RC_SYMBOL_CHORD) {
      symbol->chord.root = rc_note_up(symbol->chord.root, fifths);
      symbol->chord.bass = rc_note_up(symbol->chord.bass, fifths);
      char *name = rc_chord_name(&symbol->chord, RC_SIGNS_ASCII);
      symbol->text = copy_text(tune, name);
      g_free(name);
    }
  }
}

static void
move_melody(RcTune *tune, int semitones)
{
  for (guint i = 0; i < tune->events->len; ++i) {
    RcEvent *event = &g_array_index(tune->events, RcEvent, i);
    event->melody = rc_pcs_transpose(event->melody, semitones);
  }
  for (guint i = 0; i < tune->notes->len; ++i) {
    RcTuneNote *note = &g_array_index(tune->notes, RcTuneNote, i);
    note->pitch = (guint8)CLAMP(note->pitch + semitones, 0, 127);
  }
}

RcTune *
rc_tune_moved(const RcTune *tune, int semitones)
{
  RcTune *moved = rc_tune_copy(tune);
  move_symbols(moved, fifths_of_move(rc_tune_setting(tune, 0)->key, semitones));
  move_melody(moved, semitones);
  for (guint i = 0; i < moved->settings->len; ++i) {
    RcSetting *setting = &g_array_index(moved->settings, RcSetting, i);
    setting->key = rc_key_moved(setting->key, semitones);
    setting->tones = rc_pcs_transpose(setting->tones, semitones);
  }
  return moved;
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
    g_array_unref(tune->notes);
    g_array_unref(tune->lines);
    g_array_unref(tune->played);
    g_array_unref(tune->numbers);
    g_array_unref(tune->remarks);
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

guint
rc_tune_bar_of(const RcTune *tune, guint event)
{
  guint first = 0;
  guint end = tune->bars->len;
  while (first + 1 < end) {
    const guint middle = first + (end - first) / 2;
    if (g_array_index(tune->bars, RcBar, middle).first <= event) {
      first = middle;
    } else {
      end = middle;
    }
  }
  return first;
}

gboolean
rc_tune_bar_is_line(const RcTune *tune, guint bar)
{
  const guint first = g_array_index(tune->bars, RcBar, bar).first;
  return tune->unmeasured && !g_array_index(tune->events, RcEvent, first).length;
}

// Whether it begins a part, or the tune.
static gboolean
begins_part(const RcTune *tune, guint bar)
{
  for (guint i = 0; i < tune->parts->len; ++i) {
    if (g_array_index(tune->parts, RcPart, i).first == bar) {
      return TRUE;
    }
  }
  return !bar;
}

static gboolean
is_short(const RcTune *tune, guint index)
{
  const RcBar *bar = &g_array_index(tune->bars, RcBar, index);
  RcTicks length = 0;
  for (guint i = 0; i < bar->count; ++i) {
    length += g_array_index(tune->events, RcEvent, bar->first + i).length;
  }
  if (!length) {
    return FALSE;
  }
  const RcEvent *first = &g_array_index(tune->events, RcEvent, bar->first);
  return length < rc_meter_bar(rc_tune_setting(tune, first->setting)->meter);
}

gboolean
rc_tune_bar_is_pickup(const RcTune *tune, guint bar)
{
  return begins_part(tune, bar) && is_short(tune, bar);
}

guint
rc_tune_bar_number(const RcTune *tune, guint bar)
{
  guint pickups = !tune->parts->len && is_short(tune, 0) ? 1 : 0;
  for (guint i = 0; i < tune->parts->len; ++i) {
    const guint first = g_array_index(tune->parts, RcPart, i).first;
    pickups += first <= bar && is_short(tune, first) ? 1 : 0;
  }
  return bar + 1 - pickups;
}

char *
rc_tune_bar_name(const RcTune *tune, guint bar)
{
  if (bar < tune->numbers->len) {
    return g_strdup_printf("measure %s", g_array_index(tune->numbers, const char *, bar));
  }
  if (rc_tune_bar_is_pickup(tune, bar)) {
    return g_strdup_printf("the pickup to bar %u", rc_tune_bar_number(tune, bar) + 1);
  }
  return g_strdup_printf("%s %u", rc_tune_bar_is_line(tune, bar) ? "line" : "bar", rc_tune_bar_number(tune, bar));
}

void
rc_tune_remark(RcTune *tune, RcRemarkKind kind, guint line, guint column, const char *format, ...)
{
  va_list arguments;
  va_start(arguments, format);
  char *text = g_strdup_vprintf(format, arguments);
  va_end(arguments);
  const RcRemark remark = { kind, line ? line : tune->line, column, rc_tune_text(tune, text, strlen(text)) };
  g_array_append_val(tune->remarks, remark);
  g_free(text);
}

RcTune *
rc_tune_new_symbol(const char *text, RcNames names, RcMeter meter, RcTempo tempo, guint bars)
{
  RcTune *tune = rc_tune_new();
  const gsize length = strlen(text);
  RcSetting *setting = &g_array_index(tune->settings, RcSetting, 0);
  setting->meter = meter;
  setting->tempo = tempo;
  tune->title = rc_tune_text(tune, text, length);
  RcSymbol symbol = { .text = tune->title };
  gsize stopped_at = 0;
  symbol.kind = rc_chord_parse(text, length, names, &symbol.chord, &stopped_at);
  symbol.stopped_at = (guint)stopped_at;
  g_array_append_val(tune->symbols, symbol);
  for (guint i = 0; i < bars; ++i) {
    const RcEvent event = { .length = rc_meter_bar(meter) };
    const RcBar bar = { i, 1 };
    g_array_append_val(tune->events, event);
    g_array_append_val(tune->bars, bar);
    g_array_append_val(tune->played, i);
  }
  return tune;
}

// The name of a tune's file, without its folders and the archive it is in.
static const char *
base_name(const char *file)
{
  const char *slash = strrchr(file, '/');
  const char *base = slash ? slash + 1 : file;
  const char *member = strrchr(base, '!');
  return member ? member + 1 : base;
}

void
rc_tune_find_dance(RcTune *tune)
{
  const RcMeter meter = rc_tune_setting(tune, 0)->meter;
  const struct {
    const char *text;
    RcTempoSource source;
  } places[] = { { tune->rhythm, RC_TEMPO_RHYTHM },
                 { tune->title, RC_TEMPO_TITLE },
                 { tune->group, RC_TEMPO_GROUP },
                 { tune->file ? base_name(tune->file) : NULL, RC_TEMPO_FILE } };
  tune->dance = NULL;
  if (rc_tempo_assume(tune->rhythm, meter).source == RC_TEMPO_RHYTHM) {
    return;
  }
  for (guint i = 0; i < G_N_ELEMENTS(places) && !tune->dance; ++i) {
    tune->dance = places[i].text ? rc_find_dance(places[i].text, meter) : NULL;
    tune->dance_source = places[i].source;
  }
}

RcTempo
rc_tune_usual_tempo(const RcTune *tune, RcMeter meter)
{
  RcTempo tempo = rc_tempo_assume(tune->dance ? tune->dance : tune->rhythm, meter);
  if (tune->dance) {
    tempo.source = tune->dance_source;
  }
  return tempo;
}

static gboolean
is_held(const RcTune *tune, guint event)
{
  const guint symbol = g_array_index(tune->events, RcEvent, event).symbol;
  return rc_tune_symbol(tune, symbol)->kind == RC_SYMBOL_HELD;
}

// Lets the first event of a stretch sound what sounds before it.
static void
take_up(RcTune *tune, guint event)
{
  guint before = event;
  while (before && is_held(tune, before)) {
    --before;
  }
  g_array_index(tune->events, RcEvent, event).symbol = g_array_index(tune->events, RcEvent, before).symbol;
}

RcTune *
rc_tune_stretch(const RcTune *tune, guint first, guint count)
{
  RcTune *stretch = rc_tune_new();
  stretch->file = tune->file;
  stretch->line = tune->line;
  stretch->title = tune->title;
  stretch->rhythm = tune->rhythm;
  stretch->group = tune->group;
  stretch->dance = tune->dance;
  stretch->dance_source = tune->dance_source;
  copy_items(stretch->numbers, tune->numbers);
  copy_items(stretch->remarks, tune->remarks);
  stretch->unmeasured = tune->unmeasured;
  copy_items(stretch->settings, tune->settings);
  copy_items(stretch->symbols, tune->symbols);
  copy_items(stretch->events, tune->events);
  copy_items(stretch->bars, tune->bars);
  copy_items(stretch->parts, tune->parts);
  copy_items(stretch->notes, tune->notes);
  copy_items(stretch->lines, tune->lines);
  for (guint i = first; i < first + count; ++i) {
    g_array_append_val(stretch->played, i);
  }
  if (count) {
    take_up(stretch, g_array_index(stretch->bars, RcBar, first).first);
  }
  return stretch;
}

const RcSetting *
rc_tune_setting(const RcTune *tune, guint index)
{
  return &g_array_index(tune->settings, RcSetting, index);
}

// Takes the bars that come next, up to one that is elsewhere.
static void
begin_run(RcWalk *walk)
{
  const RcBar *bars = &g_array_index(walk->tune->bars, RcBar, 0);
  const guint *played = &g_array_index(walk->tune->played, guint, 0);
  const guint n = walk->tune->played->len;
  guint at = walk->bar;
  guint end = bars[played[at]].first;
  walk->event = end;
  for (; at < n && bars[played[at]].first == end; ++at) {
    end += bars[played[at]].count;
  }
  walk->bar = at;
  walk->end = end;
}

// Goes on to the next run after the end of one; FALSE at the end of the tune.
static inline gboolean
seek_event(RcWalk *walk)
{
  while (walk->event == walk->end && walk->bar < walk->tune->played->len) {
    begin_run(walk);
  }
  return walk->event != walk->end;
}

RcWalk
rc_walk_start(const RcTune *tune)
{
  RcWalk walk = { tune, 0, 0, 0 };
  seek_event(&walk);
  return walk;
}

gboolean
rc_walk_event(RcWalk *walk, guint *event)
{
  if (walk->event == walk->end) {
    return FALSE;
  }
  *event = walk->event++;
  seek_event(walk);
  return TRUE;
}

gboolean
rc_walk_next(RcWalk *walk, RcPlayed *played)
{
  if (walk->event == walk->end) {
    return FALSE;
  }
  const RcSymbol *symbols = rc_tune_symbol(walk->tune, 0);
  const RcEvent *events = &g_array_index(walk->tune->events, RcEvent, 0);
  const RcEvent *first = &events[walk->event];
  const guint same = symbols[first->symbol].same;
  *played = (RcPlayed){ walk->event++, first->symbol, first->setting, first->length, first->melody };
  for (; seek_event(walk); ++walk->event) {
    const RcEvent *event = &events[walk->event];
    const RcSymbol *symbol = &symbols[event->symbol];
    if (symbol->same != same && symbol->kind != RC_SYMBOL_HELD) {
      break;
    }
    played->length += event->length;
    played->melody |= event->melody;
  }
  return TRUE;
}
