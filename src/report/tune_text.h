// Copyright 2026 the rowcall developers
// SPDX-License-Identifier: MIT

// A tune bar by bar in words, in the parts that its report is made of.

#ifndef ROWCALL_SRC_REPORT_TUNE_TEXT_H
#define ROWCALL_SRC_REPORT_TUNE_TEXT_H

#include "rowcall/report.h"

/// Returns what is below a chord of this verdict: its grade, `x` or `?`; nothing where it is native.
const char *rc_verdict_mark(RcVerdict verdict);

/// Appends a stretch of bars, a few a line, with the marks of their chords below them.
void rc_append_bars(GString *out, const RcTune *tune, const RcChart *chart, const RcPart *part);

/// Appends the words of a song with chords and marks above them, and the bars between.
void rc_append_song(GString *out, const RcTune *tune, const RcChart *chart);

/// Appends the tune as JSON, for programs.
void rc_append_tune_json(GString *json, const RcLayout *layout, const RcTune *tune, const RcChart *chart);

#endif
