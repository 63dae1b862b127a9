// Copyright 2026 the rowcall developers
// SPDX-License-Identifier: MIT

// The report people print, and its larger sections.

#ifndef ROWCALL_SRC_REPORT_DOCUMENT_PAGES_H
#define ROWCALL_SRC_REPORT_DOCUMENT_PAGES_H

#include "report/pages.h"

typedef struct {
  const RcReport *report;
  const RcReportLook *look;
  RcPages pages;
  const RcLayout *layout; // the chosen one
} RcDocument;

/// Begins a section on a page of its own, with its finding as title, @p notes below it (NULL for none) and @p key at
/// the foot of its pages.
void rc_document_begin(RcDocument *d, const char *bookmark, const char *title, const char *notes, const char *key);

/// Returns the box below what is drawn, as wide as the text.
RcBox rc_document_box(const RcDocument *d, double height);

void rc_document_coverage(RcDocument *d);
void rc_document_chords(RcDocument *d);
void rc_document_index(RcDocument *d);
void rc_document_rules(RcDocument *d);

#endif
