// Copyright 2026 the rowcall developers
// SPDX-License-Identifier: MIT

// What the fuzz targets of the readers share: any bytes as one format give tunes and problems until the end, every tune
// is whole in itself, and every text is UTF-8.

#ifndef ROWCALL_TESTS_FUZZ_TUNES_H
#define ROWCALL_TESTS_FUZZ_TUNES_H

#include "rowcall/study.h"

#include <stdint.h>
#include <sys/mman.h>
#include <unistd.h>

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size);

static void
check_texts(const RcTune *tune)
{
  g_assert_true(g_utf8_validate(tune->title, -1, NULL));
  g_assert_true(!tune->rhythm || g_utf8_validate(tune->rhythm, -1, NULL));
  for (guint i = 0; i < tune->symbols->len; ++i) {
    g_assert_true(g_utf8_validate(g_array_index(tune->symbols, RcSymbol, i).text, -1, NULL));
  }
  for (guint i = 0; i < tune->parts->len; ++i) {
    g_assert_true(g_utf8_validate(g_array_index(tune->parts, RcPart, i).label, -1, NULL));
  }
  for (guint i = 0; i < tune->remarks->len; ++i) {
    g_assert_true(g_utf8_validate(g_array_index(tune->remarks, RcRemark, i).text, -1, NULL));
  }
}

// The chords over a line of words come in the order of its letters.
static void
check_over(const RcTune *tune, const RcBar *bar)
{
  g_assert_cmpuint(bar->count, >, 0);
  for (guint i = 1; i < bar->count; ++i) {
    const RcEvent *event = &g_array_index(tune->events, RcEvent, bar->first + i);
    g_assert_cmpuint(event->over, >=, (event - 1)->over);
  }
}

// Lines are in the order of their bars, each sung one with a bar of its own; there are none where no words are wanted.
static void
check_lines(const RcTune *tune, gboolean wanted)
{
  guint next = 0;
  g_assert_true(wanted || !tune->lines->len);
  for (guint i = 0; i < tune->lines->len; ++i) {
    const RcLine *line = &g_array_index(tune->lines, RcLine, i);
    g_assert_true(g_utf8_validate(line->text, -1, NULL));
    g_assert_true(!line->label || g_utf8_validate(line->label, -1, NULL));
    g_assert_cmpuint(line->bar, >=, next);
    g_assert_cmpuint(line->bar, <=, tune->bars->len);
    next = line->bar + (line->sung ? 1 : 0);
    if (line->sung) {
      g_assert_cmpuint(line->bar, <, tune->bars->len);
      check_over(tune, &g_array_index(tune->bars, RcBar, line->bar));
    }
  }
}

// Bars hold all events one after another, each of some length and with a symbol, a setting and a place.
static void
check_written(const RcTune *tune)
{
  guint next = 0;
  for (guint i = 0; i < tune->bars->len; ++i) {
    const RcBar *bar = &g_array_index(tune->bars, RcBar, i);
    g_assert_cmpuint(bar->first, ==, next);
    g_assert_cmpuint(bar->count, >, 0);
    next += bar->count;
  }
  g_assert_cmpuint(next, ==, tune->events->len);
  for (guint i = 0; i < tune->events->len; ++i) {
    const RcEvent *event = &g_array_index(tune->events, RcEvent, i);
    g_assert_cmpint(event->length, >=, tune->unmeasured ? 0 : 1);
    g_assert_cmpuint(event->symbol, <, tune->symbols->len);
    g_assert_cmpuint(event->setting, <, tune->settings->len);
    g_assert_cmpuint(event->line, >=, tune->line);
    g_assert_cmpuint(event->column, >, 0);
  }
}

static void
check_played(const RcTune *tune)
{
  RcPlayed played;
  RcTicks walked = 0;
  RcTicks written = 0;
  for (RcWalk walk = rc_walk_start(tune); rc_walk_next(&walk, &played);) {
    walked += played.length;
  }
  for (guint i = 0; i < tune->played->len; ++i) {
    const guint index = g_array_index(tune->played, guint, i);
    g_assert_cmpuint(index, <, tune->bars->len);
    const RcBar *bar = &g_array_index(tune->bars, RcBar, index);
    for (guint e = 0; e < bar->count; ++e) {
      written += g_array_index(tune->events, RcEvent, bar->first + e).length;
    }
  }
  g_assert_cmpint(walked, ==, written);
}

static void
check_notes(const RcTune *tune)
{
  guint bar = 0;
  for (guint i = 0; i < tune->notes->len; ++i) {
    const RcTuneNote *note = &g_array_index(tune->notes, RcTuneNote, i);
    g_assert_cmpuint(note->bar, >=, bar);
    g_assert_cmpuint(note->pitch, <=, 127);
    g_assert_cmpint(note->start, >=, 0);
    g_assert_cmpint(note->length, >=, 0);
    bar = note->bar;
  }
}

// Each doubt is of a chord of the tune, at a place of it.
static void
check_doubts(const RcTune *tune)
{
  GArray *doubts = rc_tune_doubts(tune);
  for (guint i = 0; i < doubts->len; ++i) {
    const RcDoubt *doubt = &g_array_index(doubts, RcDoubt, i);
    g_assert_cmpuint(doubt->bar, <, tune->bars->len);
    g_assert_cmpuint(doubt->symbol, <, tune->symbols->len);
    g_assert_cmpint(g_array_index(tune->symbols, RcSymbol, doubt->symbol).kind, ==, RC_SYMBOL_CHORD);
    g_assert_true(doubt->kind == RC_DOUBT_CHORD || doubt->key.mode != RC_MODE_NONE);
  }
  g_array_unref(doubts);
}

// Whether a line ends otherwise than with a line feed: libyaml counts such lines, and which of two faults comes first
// then depends on how far it has read ahead.
static gboolean
has_odd_ends(const uint8_t *data, size_t size)
{
  for (size_t i = 0; i < size; ++i) {
    const uint8_t next = i + 1 < size ? data[i + 1] : 0;
    if ((data[i] == '\r' && next != '\n') || (data[i] == 0xC2 && next == 0x85) || (data[i] == 0xE2 && next == 0x80)) {
      return TRUE;
    }
  }
  return FALSE;
}

// What comes next of a text that is read whole comes next, too, where it is read in pieces.
static void
check_same(RcReadResult result, const RcTune *tune, const GError *error, RcCorpus *pieces)
{
  static RcTune *other = NULL;
  GError *others = NULL;
  other = other ? other : rc_tune_new();
  g_assert_cmpint(rc_corpus_next(pieces, other, &others), ==, result);
  g_assert_cmpstr(error ? error->message : NULL, ==, others ? others->message : NULL);
  g_clear_error(&others);
  if (result == RC_READ_TUNE) {
    g_assert_cmpstr(other->title, ==, tune->title);
    g_assert_cmpuint(other->line, ==, tune->line);
    g_assert_cmpuint(other->remarks->len, ==, tune->remarks->len);
    g_assert_cmpuint(other->events->len, ==, tune->events->len);
    for (guint i = 0; i < tune->events->len; ++i) {
      const RcEvent *event = &g_array_index(tune->events, RcEvent, i);
      const RcEvent *same = &g_array_index(other->events, RcEvent, i);
      g_assert_cmpuint(same->line, ==, event->line);
      g_assert_cmpuint(same->column, ==, event->column);
      g_assert_cmpint(same->length, ==, event->length);
    }
  }
}

// Reads the bytes as a file of this format, NULL being the one that they tell; twice, whole and in pieces.
static int
read_tunes(const uint8_t *data, size_t size, const char *format)
{
  static RcTune *tune = NULL;
  tune = tune ? tune : rc_tune_new();
  const int file = memfd_create("tunes", 0);
  g_assert_cmpint(write(file, data, size), ==, (ssize_t)size);
  char *path = g_strdup_printf("/proc/self/fd/%d", file);
  const char *const paths[] = { path, NULL };
  RcCorpusOptions options = { .from = format ? rc_format_find(format) : NULL,
                              .melody_notes = size % 2,
                              .words = size / 2 % 2,
                              .piece_bytes = size + 1 };
  RcCorpus *corpus = rc_corpus_new(paths, options);
  options.piece_bytes = has_odd_ends(data, size) ? size + 1 : 1 + size % 97;
  RcCorpus *pieces = rc_corpus_new(paths, options);
  GError *error = NULL;
  for (RcReadResult result; (result = rc_corpus_next(corpus, tune, &error)) != RC_READ_END;) {
    check_same(result, tune, error, pieces);
    if (result == RC_READ_TUNE) {
      check_texts(tune);
      check_lines(tune, options.words);
      check_written(tune);
      check_played(tune);
      check_notes(tune);
      check_doubts(tune);
    } else {
      g_assert_nonnull(error);
      g_assert_true(g_utf8_validate(error->message, -1, NULL));
      g_clear_error(&error);
    }
  }
  check_same(RC_READ_END, NULL, NULL, pieces);
  rc_corpus_free(pieces);
  rc_corpus_free(corpus);
  g_free(path);
  close(file);
  return 0;
}

#endif
