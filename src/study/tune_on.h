// Copyright 2026 the rowcall developers
// SPDX-License-Identifier: MIT

// A tune on a keyboard.

#ifndef ROWCALL_SRC_STUDY_TUNE_ON_H
#define ROWCALL_SRC_STUDY_TUNE_ON_H

#include "rowcall/study.h"

/// Returns how @p tune, which has @p counts on keyboard @p index of @p boards, fares and what it lacks there. Its lacks
/// are to be freed with g_free().
RcTuneOn rc_tune_on(const RcBoards *boards, guint index, const RcTune *tune, const RcCounts *counts);

#endif
