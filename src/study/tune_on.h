// Copyright 2026 the rowcall developers
// SPDX-License-Identifier: MIT

// A tune on a keyboard.

#ifndef ROWCALL_SRC_STUDY_TUNE_ON_H
#define ROWCALL_SRC_STUDY_TUNE_ON_H

#include "rowcall/study.h"

/// Returns how tune @p number of @p rolled, which keeps its tunes, fares on keyboard @p index, where it has @p counts,
/// and what it lacks there. Its lacks are to be freed with g_free().
RcTuneOn rc_tune_on(const RcRolled *rolled, guint index, guint number, const RcCounts *counts);

#endif
