// Copyright 2026 the rowcall developers
// SPDX-License-Identifier: MIT

#include "bars.h"

#include "symbols.h"

struct RcBarReader {
  RcSymbols *symbols;
  RcTune *tune;
  GArray *words; // of Word: the words of the bar being read
};

typedef struct {
  gsize start;
  gsize length;
} Word;

typedef struct {
  RcBarReader *reader;
  const char *text;
  gsize length;
  gsize at;
  RcLocate locate;
  gpointer data;
  guint first_bar; // of this text
  gsize bar_line;  // where the last bar line stands
} BarText;

RcBarReader *
rc_bar_reader_new(void)
{
  RcBarReader *reader = g_new0(RcBarReader, 1);
  reader->symbols = rc_symbols_new();
  reader->words = g_array_new(FALSE, FALSE, sizeof(Word));
  return reader;
}

void
rc_bar_reader_free(RcBarReader *reader)
{
  if (reader) {
    rc_symbols_free(reader->symbols);
    g_array_unref(reader->words);
    g_free(reader);
  }
}

void
rc_bar_reader_start(RcBarReader *reader, RcTune *tune, RcNames names)
{
  reader->tune = tune;
  rc_symbols_start(reader->symbols, tune, names);
}

// ----------------------------------------------------------------------------------------------------------- bars

static gboolean
fail_at(const BarText *bars, gsize offset, const char *message, GError **error)
{
  const guint bar = bars->reader->tune->bars->len - bars->first_bar + 1;
  return rc_fail(error, RC_ERROR_SYNTAX, bars->locate(bars->data, offset), "bar %u %s", bar, message);
}

static gboolean
is_word(const BarText *bars, const Word *word, char what)
{
  return word->length == 1 && bars->text[word->start] == what;
}

static void
append_event(const BarText *bars, const Word *word, guint symbol, RcTicks length)
{
  const RcPlace place = bars->locate(bars->data, word->start);
  const RcEvent event = { symbol, 0, place.line, place.column, length, 0 };
  g_array_append_val(bars->reader->tune->events, event);
}

static void
append_bar(RcTune *tune, guint first)
{
  const RcBar bar = { first, tune->events->len - first };
  g_array_append_val(tune->bars, bar);
}

// "%": the bar before once more.
static gboolean
repeat_bar(const BarText *bars, const Word *word, GError **error)
{
  RcTune *tune = bars->reader->tune;
  if (tune->bars->len == bars->first_bar) {
    return fail_at(bars, word->start, "repeats a bar with `%`, but there is none before it in this part", error);
  }
  const RcBar before = g_array_index(tune->bars, RcBar, tune->bars->len - 1);
  const guint first = tune->events->len;
  for (guint i = 0; i < before.count; ++i) {
    const RcEvent event = g_array_index(tune->events, RcEvent, before.first + i);
    append_event(bars, word, event.symbol, event.length);
  }
  append_bar(tune, first);
  return TRUE;
}

// A "." at the start of a bar holds the chord of the bar before.
static gboolean
held_symbol(const BarText *bars, const Word *word, guint *symbol, GError **error)
{
  const RcTune *tune = bars->reader->tune;
  if (tune->bars->len == bars->first_bar) {
    return fail_at(bars, word->start, "begins with `.`, but there is no chord before it to hold", error);
  }
  *symbol = g_array_index(tune->events, RcEvent, tune->events->len - 1).symbol;
  return TRUE;
}

static gboolean
check_limits(const BarText *bars, gsize offset, GError **error)
{
  const RcTune *tune = bars->reader->tune;
  const guint events = tune->events->len + bars->reader->words->len;
  if (events > RC_MAX_EVENTS || tune->bars->len > RC_MAX_BARS || tune->symbols->len > RC_MAX_SYMBOLS) {
    return rc_fail(error, RC_ERROR_LIMIT, bars->locate(bars->data, offset),
                   "the tune is longer than %d chords or %d bars, or has more than %d different chords", RC_MAX_EVENTS,
                   RC_MAX_BARS, RC_MAX_SYMBOLS);
  }
  return TRUE;
}

static gboolean
share_bar(const BarText *bars, GError **error)
{
  RcTune *tune = bars->reader->tune;
  const Word *words = &g_array_index(bars->reader->words, Word, 0);
  const guint n = bars->reader->words->len;
  const RcTicks bar = rc_meter_bar(rc_tune_setting(tune, 0)->meter);
  const guint first = tune->events->len;
  for (guint i = 0; i < n; ++i) {
    const RcTicks share = bar * (i + 1) / n - bar * i / n; // sums to the bar exactly
    guint symbol = 0;
    if (is_word(bars, &words[i], '%')) {
      return fail_at(bars, words[i].start, "has `%` beside other chords; `%` alone repeats the bar before", error);
    }
    if (is_word(bars, &words[i], ':')) {
      return fail_at(bars, words[i].start,
                     "has a repeat mark; repeats are written as the order of parts, `order: A A B B`", error);
    }
    if (!is_word(bars, &words[i], '.')) {
      symbol = rc_symbols_index(bars->reader->symbols, bars->text + words[i].start, words[i].length);
      if (symbol >= RC_MAX_SYMBOLS) {
        return check_limits(bars, words[i].start, error);
      }
    } else if (i) {
      g_array_index(tune->events, RcEvent, tune->events->len - 1).length += share;
      continue;
    } else if (!held_symbol(bars, &words[i], &symbol, error)) {
      return FALSE;
    }
    append_event(bars, &words[i], symbol, share);
  }
  append_bar(tune, first);
  return TRUE;
}

static gboolean
finish_bar(const BarText *bars, GError **error)
{
  const GArray *words = bars->reader->words;
  const Word *first = &g_array_index(words, Word, 0);
  const gsize last = g_array_index(words, Word, words->len - 1).start;
  const gboolean good =
    words->len == 1 && is_word(bars, first, '%') ? repeat_bar(bars, first, error) : share_bar(bars, error);
  g_array_set_size(bars->reader->words, 0);
  return good && check_limits(bars, last, error);
}

static gsize
skip_spaces(const BarText *bars, gsize at)
{
  while (at < bars->length && (bars->text[at] == ' ' || bars->text[at] == '\n' || bars->text[at] == '\t')) {
    ++at;
  }
  return at;
}

static gsize
word_end(const BarText *bars, gsize at)
{
  for (; at < bars->length; ++at) {
    const char c = bars->text[at];
    if (c == ' ' || c == '|' || c == '\n' || c == '\t') {
      break;
    }
  }
  return at;
}

// A line of text may end with a bar line and the next begin with one. Where places are not known, the same one is told
// for both.
static gboolean
is_line_break(const BarText *bars, gsize line_before, gsize line)
{
  const RcPlace before = bars->locate(bars->data, line_before);
  const RcPlace now = bars->locate(bars->data, line);
  return now.line > before.line || now.column == before.column;
}

// At a bar line: ends the bar before it; the first line of a text ends nothing, and "||" is one line.
static gboolean
pass_bar_line(BarText *bars, gboolean first, GError **error)
{
  const gsize line_before = bars->bar_line;
  const gsize line = bars->at;
  bars->bar_line = line;
  while (bars->at < bars->length && bars->text[bars->at] == '|') {
    ++bars->at;
  }
  if (bars->reader->words->len) {
    return finish_bar(bars, error);
  }
  return first || is_line_break(bars, line_before, line) ||
         fail_at(bars, line, "is empty; write a chord, `%` to repeat the bar before or N.C. for silence", error);
}

gboolean
rc_bar_reader_read(RcBarReader *reader, const char *text, gsize length, RcLocate locate, gpointer data, GError **error)
{
  BarText bars = { reader, text, length, 0, locate, data, reader->tune->bars->len, 0 };
  g_array_set_size(reader->words, 0);
  gboolean first = TRUE;
  for (bars.at = skip_spaces(&bars, 0); bars.at < length; bars.at = skip_spaces(&bars, bars.at)) {
    if (text[bars.at] == '|') {
      if (!pass_bar_line(&bars, first, error)) {
        return FALSE;
      }
      first = FALSE;
      continue;
    }
    const gsize end = word_end(&bars, bars.at);
    const Word word = { bars.at, end - bars.at };
    g_array_append_val(reader->words, word);
    if (reader->words->len > RC_MAX_EVENTS && !check_limits(&bars, word.start, error)) {
      return FALSE;
    }
    bars.at = end;
    first = FALSE;
  }
  if (reader->words->len && !finish_bar(&bars, error)) {
    return FALSE;
  }
  return reader->tune->bars->len > bars.first_bar || fail_at(&bars, 0, "is missing: a part holds at least one", error);
}
