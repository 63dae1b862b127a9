// Copyright 2026 the rowcall developers
// SPDX-License-Identifier: MIT

// The practice sheet of one tune as part of a document.

#ifndef ROWCALL_SRC_REPORT_SHEET_PAGES_H
#define ROWCALL_SRC_REPORT_SHEET_PAGES_H

#include "report/pages.h"

/// Draws the sheet of @p tune from a new page on, with a bookmark under @p bookmark, 0 for none. Sets the key at the
/// foot of the pages. @p place may be NULL; else the page is named so, and its title leads back to the place "index".
void rc_sheet_draw(RcPages *pages, const RcLayout *layout, const RcTune *tune, const RcChart *chart, const char *place);

#endif
