// Copyright 2026 the rowcall developers
// SPDX-License-Identifier: MIT

// How a program uses the library: example LAYOUT TUNES... says of each tune how many of its chords have a button of
// their own and how many a stand-in, and then what to press for each chord of all the tunes that has no button. Built
// and run with the tests; the commands in src/cli do more of the same. The exit status is theirs: 0 all was read, 1
// some tunes were not, 2 wrong use.

#include "rowcall/rowcall.h"

#include <stdio.h>

static void
print_tune(RcPanel *panel, const RcRollSettings *settings, const RcTune *tune)
{
  RcCounts counts; // one, since the panel has one keyboard
  rc_panel_counts(panel, settings, tune, &counts);
  guint64 standing = 0;
  for (guint grade = RC_SAME; grade <= RC_BARE; ++grade) {
    standing += counts.chords[grade];
  }
  printf("%s: %" G_GUINT64_FORMAT " chords, %" G_GUINT64_FORMAT " native, %" G_GUINT64_FORMAT " with a stand-in\n",
         tune->title, rc_counts_chords(&counts), counts.chords[RC_NATIVE], standing);
}

// Reads one tune after the other into the same memory. Returns how many things could not be read.
static guint
add_tunes(RcCorpus *corpus, RcPanel *panel, RcRoll *roll)
{
  const RcRollSettings settings = rc_roll_get_settings(roll);
  RcTune *tune = rc_tune_new();
  GError *error = NULL;
  guint problems = 0;
  for (RcReadResult result; (result = rc_corpus_next(corpus, tune, &error)) != RC_READ_END;) {
    if (result == RC_READ_TUNE) {
      print_tune(panel, &settings, tune);
      rc_roll_add(roll, tune);
    } else {
      fprintf(stderr, "%s\n", error->message);
      g_clear_error(&error);
      ++problems;
    }
  }
  rc_tune_free(tune);
  return problems;
}

static void
print_stand_in(const RcLayout *layout, const RcChord *chord, const RcAnswer *answer)
{
  char *name = rc_chord_name(chord, RC_SIGNS_ASCII);
  char *grip = rc_grip_describe(layout, &answer->grip, RC_SIGNS_ASCII);
  printf("%-8s %s, likeness %.1f: %s\n", name, rc_verdict_name(answer->verdict),
         rc_likeness_hundredths(answer->likeness) / 100.0, grip);
  g_free(grip);
  g_free(name);
}

// A roll holds each request once, however often the tunes make it. A request is a chord in its surroundings: the same
// chord in another key, or where it is short, is another one and may have another answer.
static void
print_stand_ins(const RcRoll *roll)
{
  for (guint i = 0; i < rc_roll_n_entries(roll); ++i) {
    const RcAnswer answer = rc_roll_answer(roll, i, 0);
    if (answer.verdict >= RC_SAME && answer.verdict <= RC_BORROWED) {
      const RcRollEntry entry = rc_roll_entry(roll, i);
      print_stand_in(rc_roll_layout(roll, 0), &entry.request.chord, &answer);
    }
  }
}

// What is made last is freed first, since it borrows from what was made before it.
static int
print_answer(const RcLayout *layout, const char *const *paths)
{
  RcCatalogue *catalogue = rc_catalogue_new(layout, (RcHand){ RC_GRIP_REACH, RC_GRIP_PRESS });
  RcPanel *panel = rc_panel_new(&catalogue, 1, rc_taste());
  RcRoll *roll = rc_roll_new(panel, rc_roll_settings());
  RcCorpus *corpus = rc_corpus_new(paths, (RcCorpusOptions){ 0 });
  const guint problems = add_tunes(corpus, panel, roll);
  print_stand_ins(roll);
  rc_corpus_free(corpus);
  rc_roll_free(roll);
  rc_panel_free(panel);
  rc_catalogue_free(catalogue);
  return problems ? 1 : 0;
}

int
main(int argc, char **argv)
{
  if (argc < 3) {
    fprintf(stderr, "usage: example LAYOUT TUNES...\n");
    return 2;
  }
  GError *error = NULL;
  RcLayout *layout = rc_layout_find(argv[1], &error);
  if (!layout) {
    fprintf(stderr, "%s\n", error->message);
    g_error_free(error);
    return 2;
  }
  const int status = print_answer(layout, (const char *const *)argv + 2);
  rc_layout_free(layout);
  return status;
}
