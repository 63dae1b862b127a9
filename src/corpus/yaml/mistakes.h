// Copyright 2026 the rowcall developers
// SPDX-License-Identifier: MIT

// The mistakes of one tune, given out one by one.

#ifndef ROWCALL_SRC_CORPUS_YAML_MISTAKES_H
#define ROWCALL_SRC_CORPUS_YAML_MISTAKES_H

#include "rowcall/corpus.h"

typedef struct {
  GError *errors[RC_MAX_MISTAKES];
  guint found; // those beyond the limit are only counted
  guint given;
} RcMistakes;

/// Takes over one more.
void rc_mistakes_add(RcMistakes *mistakes, GError *error);

/// Returns the next one, to be freed, or NULL; the one after the limit says how many more there are, and each but the
/// first is #RC_ERROR_FURTHER. @p place is that of the tune.
GError *rc_mistakes_take(RcMistakes *mistakes, RcPlace place);

/// Frees those not given out, and begins anew.
void rc_mistakes_clear(RcMistakes *mistakes);

#endif
