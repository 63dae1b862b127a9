// Copyright 2026 the rowcall developers
// SPDX-License-Identifier: MIT

// The index of a report's tunes.

#ifndef ROWCALL_SRC_STUDY_TUNE_INDEX_H
#define ROWCALL_SRC_STUDY_TUNE_INDEX_H

#include "rowcall/study.h"

/// Makes the index of the tunes kept in @p rolled, which looks closely at keyboard @p chosen. Free with
/// rc_tune_index_free().
RcTuneIndex *rc_tune_index_new(const RcRolled *rolled, guint chosen);

/// Frees @p index; NULL is allowed.
void rc_tune_index_free(RcTuneIndex *index);

#endif
