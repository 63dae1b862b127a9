// Copyright 2026 the rowcall developers
// SPDX-License-Identifier: MIT

// What the coverage chart shows, in words.

#ifndef ROWCALL_SRC_REPORT_COVERAGE_TEXT_H
#define ROWCALL_SRC_REPORT_COVERAGE_TEXT_H

#include "rowcall/study.h"

/// Returns "93 % of the playing time at grade D or better, and plays 27 of 51 tunes" of the counts of one keyboard; a
/// new string.
char *rc_carried_text(const RcComparison *comparison, const RcCounts *counts);

/// Returns the finding in a sentence without its full stop: which keyboard carries the tunes; a new string.
char *rc_coverage_finding(const RcComparison *comparison);

/// Returns what the chart rests on; a new string.
char *rc_coverage_notes(const RcComparison *comparison);

#endif
