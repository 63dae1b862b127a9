// Copyright 2026 the rowcall developers
// SPDX-License-Identifier: MIT

// Where everything is on a practice sheet, worked out before anything is drawn.

#ifndef ROWCALL_SRC_REPORT_SHEET_PLAN_H
#define ROWCALL_SRC_REPORT_SHEET_PLAN_H

#include "report/card_pages.h"
#include "rowcall/draw.h"
#include "rowcall/study.h"

enum {
  RC_SHEET_SMALLEST = 11, ///< points of a chord
  RC_SHEET_FEW_BARS = 24, ///< up to these there are four bars a line, beyond eight
  RC_SHEET_DENSEST = 24   ///< chords of a bar that are written out
};

/// What an item of a sheet is.
typedef enum {
  RC_SHEET_TITLE,  ///< of the tune
  RC_SHEET_TEXT,   ///< a paragraph
  RC_SHEET_CHORD,  ///< of the chart
  RC_SHEET_BADGE,  ///< the number of a stand-in, in a circle
  RC_SHEET_SIGN,   ///< of a chord without a number: no grip, not read, push, pull
  RC_SHEET_PART,   ///< the name of a part, in a box
  RC_SHEET_NUMBER, ///< of the first bar of a line
  RC_SHEET_RULE,   ///< a bar line
  RC_SHEET_SUNG,   ///< words of a song
  RC_SHEET_BOARD,  ///< the whole keyboard
  RC_SHEET_CARD    ///< a stand-in
} RcSheetKind;

/// One thing to be drawn. Lengths are points from the top left corner of the text area.
typedef struct {
  RcSheetKind kind;
  guint page; ///< of the sheet, from 0
  guint line; ///< what is read in one go has the same
  guint
    above; ///< lines of the chart above it, which spread where there is room; #RC_SHEET_BOTTOM: at the page's bottom
  RcBox box;
  RcFace face;
  RcTextStyle style; ///< of a paragraph
  const char *text;  ///< owned by the plan
  guint index;       ///< of a card, or of the event of a chord
} RcSheetItem;

#define RC_SHEET_BOTTOM G_MAXUINT

/// A tune to be planned.
typedef struct {
  const RcLayout *layout;
  const RcTune *tune;
  const RcChart *chart;
  double width;  ///< of the text area
  double height; ///< of the text area
} RcSheet;

/// A planned sheet.
typedef struct {
  const RcSheet *sheet;
  RcStandIns *stand_ins;
  GArray *items; ///< of RcSheetItem, as they are read
  GArray *cards; ///< of RcGripCard, by stand-in; those in a row where an item is one of them
  GArray *marks; ///< of RcFingerMark, on the whole keyboard
  guint pages;
  GStringChunk *texts;
} RcSheetPlan;

/// Plans @p sheet, which must outlive the result: the chart, the whole keyboard and the cards on one page where they
/// go. Stops after #RC_MAX_PAGES. Free with rc_sheet_plan_free().
RcSheetPlan *rc_sheet_plan_new(const RcSheet *sheet);

void rc_sheet_plan_free(RcSheetPlan *plan);

#endif
