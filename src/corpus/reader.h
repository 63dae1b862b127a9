// Copyright 2026 the rowcall developers
// SPDX-License-Identifier: MIT

// What the readers share.

#ifndef ROWCALL_SRC_CORPUS_READER_H
#define ROWCALL_SRC_CORPUS_READER_H

#include "rowcall/corpus.h"
#include "corpus/source.h"

/// Adds to the message of @p error which tune is left out for it; @p title may be NULL or empty.
void rc_reader_left_out(GError **error, const char *title);

/// Returns what comes after the last tune: the end, or, once, the failure of @p source, reported for @p place. @p told
/// is whether that was said.
RcReadResult rc_reader_end(const RcSource *source, RcPlace place, gboolean *told, GError **error);

#endif
