// Copyright 2026 the rowcall developers
// SPDX-License-Identifier: MIT

// Any bytes as a file of tunes, YAML or ABC as its first line tells: tunes and problems until the end, and the counts
// of every tune add up.

#define _GNU_SOURCE

#include "rowcall/corpus.h"
#include "rowcall/coverage.h"

#include <stdint.h>
#include <sys/mman.h>
#include <unistd.h>

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size);

static void
check_tune(const RcTune *tune)
{
  RcPlayed played;
  RcTicks walked = 0;
  RcTicks written = 0;
  for (RcWalk walk = rc_walk_start(tune); rc_walk_next(&walk, &played);) {
    walked += played.length;
  }
  for (guint i = 0; i < tune->played->len; ++i) {
    const RcBar *bar = &g_array_index(tune->bars, RcBar, g_array_index(tune->played, guint, i));
    for (guint e = 0; e < bar->count; ++e) {
      written += g_array_index(tune->events, RcEvent, bar->first + e).length;
    }
  }
  g_assert_cmpint(walked, ==, written);
}

int
LLVMFuzzerTestOneInput(const uint8_t *data, size_t size)
{
  static RcTune *tune = NULL;
  tune = tune ? tune : rc_tune_new();
  const int file = memfd_create("tunes", 0);
  g_assert_cmpint(write(file, data, size), ==, (ssize_t)size);
  char *path = g_strdup_printf("/proc/self/fd/%d", file);
  const char *const paths[] = { path, NULL };
  RcCorpus *corpus = rc_corpus_new(paths, (RcCorpusOptions){ 0 });
  GError *error = NULL;
  for (RcReadResult result; (result = rc_corpus_next(corpus, tune, &error)) != RC_READ_END;) {
    if (result == RC_READ_TUNE) {
      check_tune(tune);
    } else {
      g_assert_nonnull(error);
      g_clear_error(&error);
    }
  }
  rc_corpus_free(corpus);
  g_free(path);
  close(file);
  return 0;
}
