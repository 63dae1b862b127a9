// Copyright 2026 the rowcall developers
// SPDX-License-Identifier: MIT

// A text read and rolled on the 8, shared by the tests of the readers. To be included after cmocka.h.

#ifndef ROWCALL_TESTS_ROLLED_H
#define ROWCALL_TESTS_ROLLED_H

#include "rowcall/corpus.h"
#include "rowcall/coverage.h"

#include "scratch.h"

typedef struct {
  RcLayout *layout;
  RcCatalogue *catalogue;
  RcPanel *panel;
  RcRoll *roll;
} Rolled;

// Rolls the first tune of `text`.
static Rolled
roll_text(const char *text)
{
  Rolled r;
  const char *const paths[] = { path, NULL };
  assert_true(g_file_set_contents(path, text, -1, NULL));
  RcCorpus *corpus = rc_corpus_new(paths, (RcCorpusOptions){ 0 });
  RcTune *tune = rc_tune_new();
  r.layout = rc_layout_find("8", NULL);
  assert_non_null(r.layout);
  r.catalogue = rc_catalogue_new(r.layout, (RcHand){ RC_GRIP_REACH, RC_GRIP_PRESS });
  r.panel = rc_panel_new(&r.catalogue, 1, rc_taste());
  r.roll = rc_roll_new(r.panel, rc_roll_settings());
  assert_int_equal(rc_corpus_next(corpus, tune, NULL), RC_READ_TUNE);
  rc_roll_add(r.roll, tune);
  rc_tune_free(tune);
  rc_corpus_free(corpus);
  return r;
}

static void
clear_rolled(Rolled *r)
{
  rc_roll_free(r->roll);
  rc_panel_free(r->panel);
  rc_catalogue_free(r->catalogue);
  rc_layout_free(r->layout);
}

#endif
