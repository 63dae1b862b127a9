// Copyright 2026 the rowcall developers
// SPDX-License-Identifier: MIT

// What the use of a keyboard's buttons says, in words, for tables, heatmaps and the report.

#ifndef ROWCALL_SRC_REPORT_HEAT_TEXT_H
#define ROWCALL_SRC_REPORT_HEAT_TEXT_H

#include "rowcall/report.h"

/// Returns the finding in one sentence without its full stop; a new string.
char *rc_heat_finding(const RcUse *use);

/// Returns what else there is to say of @p use, before its drawing; a new string.
char *rc_heat_notes(const RcUse *use);

/// Writes what a table has in the cell of the button at @p entry into @p text.
typedef void (*RcHeatCell)(char text[8], gconstpointer data, guint entry);

/// Writes the percent of the playing time that the button at @p entry is held, on push and on pull; @p data is an
/// RcUse.
void rc_heat_percent_cell(char text[8], gconstpointer data, guint entry);

/// Appends a board, a row a line, with cells @p width characters wide, from the knee to the chin; wide boards in
/// several pieces.
void rc_heat_append_board(GString *out, const RcLayout *layout, guint width, RcHeatCell cell, gconstpointer data);

/// Appends a share of the playing time as percent with two decimals.
void rc_heat_add_percent(GString *json, const char *name, double share);

/// Appends @p use as an object; @p tunes names its tunes, NULL for nothing.
void rc_heat_add_json(GString *json, const char *name, const char *tunes, const RcUse *use, const RcHeat *heat);

/// Returns the finding of two uses beside each other, without its full stop; a new string, as are the following.
char *rc_heat_pair_finding(const RcHeatPair *pair);

/// Returns what is on a side, such as "A: reels.yaml, 10 tunes on 48-8x6".
char *rc_heat_side_text(const RcHeatBeside *beside, guint side);

/// Returns which rows and columns only one side touches, such as "Only A touches the seventh row."; empty where there
/// are none.
char *rc_heat_parts_text(const RcHeatPair *pair, RcSigns signs);

/// Returns the @p nth button that only this side presses, with @p most of its tunes at most, such as "F# minor,
/// 0.5 %: The Gander at the Sluice x4; and 3 more".
char *rc_heat_own_text(const RcHeatSide *side, guint nth, guint most, RcSigns signs);

/// Returns the names of the buttons @p from on that only this side presses; empty where there are none.
char *rc_heat_rest_text(const RcHeatSide *side, guint from, RcSigns signs);

/// Returns the @p nth button of those that differ most.
char *rc_heat_shift_text(const RcHeatPair *pair, guint nth, RcSigns signs);

#endif
