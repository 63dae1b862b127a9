// Copyright 2026 the rowcall developers
// SPDX-License-Identifier: MIT

// How a program uses the library: example LAYOUT TUNES... prints, for each tune, how many of its chords are native and
// how many have a stand-in. Built and run with the tests; the commands in src/cli do more of the same.

#include "rowcall/rowcall.h"

#include <stdio.h>

static void
print_tune(RcPanel *panel, const RcTune *tune)
{
  RcCounts counts;
  const RcRollSettings settings = rc_roll_settings();
  rc_panel_counts(panel, &settings, tune, &counts);
  guint64 standing = 0;
  for (guint grade = RC_SAME; grade <= RC_BARE; ++grade) {
    standing += counts.chords[grade];
  }
  printf("%s: %" G_GUINT64_FORMAT " chords, %" G_GUINT64_FORMAT " native, %" G_GUINT64_FORMAT " with a stand-in\n",
         tune->title, rc_counts_chords(&counts), counts.chords[RC_NATIVE], standing);
}

int
main(int argc, char **argv)
{
  GError *error = NULL;
  RcLayout *layout = argc > 2 ? rc_layout_find(argv[1], &error) : NULL;
  if (!layout) {
    fprintf(stderr, "%s\n", error ? error->message : "usage: example LAYOUT TUNES...");
    g_clear_error(&error);
    return 2;
  }
  RcCatalogue *catalogue = rc_catalogue_new(layout, (RcHand){ RC_GRIP_REACH, RC_GRIP_PRESS });
  RcPanel *panel = rc_panel_new(&catalogue, 1, RC_BARE);
  RcCorpus *corpus = rc_corpus_new((const char *const *)argv + 2, (RcCorpusOptions){ 0 });
  RcTune *tune = rc_tune_new();
  for (RcReadResult result; (result = rc_corpus_next(corpus, tune, &error)) != RC_READ_END; g_clear_error(&error)) {
    if (result == RC_READ_TUNE) {
      print_tune(panel, tune);
    } else {
      fprintf(stderr, "%s\n", error->message);
    }
  }
  rc_tune_free(tune);
  rc_corpus_free(corpus);
  rc_panel_free(panel);
  rc_catalogue_free(catalogue);
  rc_layout_free(layout);
  return 0;
}
