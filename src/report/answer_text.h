// Copyright 2026 the rowcall developers
// SPDX-License-Identifier: MIT

// The answer of the report in words.

#ifndef ROWCALL_SRC_REPORT_ANSWER_TEXT_H
#define ROWCALL_SRC_REPORT_ANSWER_TEXT_H

#include "rowcall/study.h"

/// Returns the headline without its full stop; a new string.
char *rc_answer_headline(const RcReport *report);

/// Returns what the repertoire needs, which sizes carry it, what is missing on the chosen one, and what to do: an array
/// of char *, each paragraph's heading before its text. Free with g_ptr_array_unref().
GPtrArray *rc_answer_paragraphs(const RcReport *report);

#endif
