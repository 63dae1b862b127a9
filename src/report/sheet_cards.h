// Copyright 2026 the rowcall developers
// SPDX-License-Identifier: MIT

// What is below the chart of a sheet: the stand-ins, on cards or in lines, and the marks on the whole keyboard.

#ifndef ROWCALL_SRC_REPORT_SHEET_CARDS_H
#define ROWCALL_SRC_REPORT_SHEET_CARDS_H

#include "report/sheet_plan.h"

/// Returns the cards of the stand-ins of @p plan: an array of RcGripCard, in the order of their numbers.
GArray *rc_sheet_cards(const RcSheetPlan *plan);

/// Returns what a line says of a stand-in that has no card, after the names of its chords: "as C7" where it is plain,
/// else "G counterbass 4, B♭M 2", as the buttons are called on the board, with what sounds otherwise than written. A
/// new string.
char *rc_sheet_stand_in_text(const RcSheet *sheet, const RcStandIn *stand_in);

/// Returns the marks of all buttons that the tune uses: an array of RcFingerMark.
GArray *rc_sheet_marks_on_board(const RcSheet *sheet);

/// Returns, by stand-in, after how many others it gives up its card to a line where there is no room for all: the plain
/// ones first, then those that are held least. To be freed with g_free().
guint *rc_sheet_card_ranks(const RcStandIns *stand_ins);

#endif
