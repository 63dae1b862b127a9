// Copyright 2026 the rowcall developers
// SPDX-License-Identifier: MIT

// Boards with the use of their buttons, on pages.

#ifndef ROWCALL_SRC_REPORT_HEAT_BOARDS_H
#define ROWCALL_SRC_REPORT_HEAT_BOARDS_H

#include "report/pages.h"

/// Returns whether a board of @p layout needs pages of @p paper that lie on their long side.
gboolean rc_heat_is_wide(const RcLayout *layout, RcPaper paper);

/// Draws what shades and shares mean, once for all boards below it.
void rc_heat_draw_key(RcPages *pages, const RcCounts *counts);

/// Draws the board of @p use below @p heading, on the next page where it does not fit.
void rc_heat_draw_use(RcPages *pages, const char *heading, const RcUse *use);

/// Draws the difference of two uses likewise, with what its signs mean.
void rc_heat_draw_difference(RcPages *pages, const RcHeatPair *pair);

#endif
