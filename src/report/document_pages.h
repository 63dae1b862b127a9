// Copyright 2026 the rowcall developers
// SPDX-License-Identifier: MIT

// The report people print, and its larger sections.

#ifndef ROWCALL_SRC_REPORT_DOCUMENT_PAGES_H
#define ROWCALL_SRC_REPORT_DOCUMENT_PAGES_H

#include "report/pages.h"
#include "report/sections.h"

typedef struct {
  const RcReport *report;
  const RcReportLook *look;
  RcPages pages;
  const RcLayout *layout; // the chosen one
  guint *sheet_pages;     // of each tune; NULL where there are no sheets
} RcDocument;

/// Begins a section, with its finding as title, @p notes below it (NULL for none) and @p key at the foot of its pages
/// (NULL for none): below the last one where neither has a key and more than a quarter of the page is left.
void rc_document_begin(RcDocument *d, const char *bookmark, const char *title, const char *notes, const char *key);

/// Has the section that begins next begin on a page of its own unless @p height is left for it.
void rc_document_reserve(RcDocument *d, double height);

/// Returns the box below what is drawn, as wide as the text.
RcBox rc_document_box(const RcDocument *d, double height);

// Each section is drawn by a function of its own.
#define RC_DECLARE_SECTION(name, usual, empty) void rc_section_##name(RcDocument *d);
RC_EACH_SECTION(RC_DECLARE_SECTION)

/// Returns whether the report has the section that @p draw draws.
gboolean rc_document_has(const RcDocument *d, void (*draw)(RcDocument *d));

#endif
