// Copyright 2026 the rowcall developers
// SPDX-License-Identifier: MIT

// How the plan of a sheet grows downwards, and what its chart and its words share.

#ifndef ROWCALL_SRC_REPORT_SHEET_FLOW_H
#define ROWCALL_SRC_REPORT_SHEET_FLOW_H

#include "report/sheet_plan.h"

/// How much air there is.
typedef enum {
  RC_SHEET_ROOMY,
  RC_SHEET_TIGHT, ///< less, to spare a page
  RC_SHEET_CLOSE  ///< and cards as narrow as their keyboards, marks beside chords wherever they have room there
} RcSheetAir;

/// How a sheet is set.
typedef struct {
  guint across;    // bars a line
  gboolean beside; // marks are beside their chords, not below them
  RcSheetAir air;
  guint columns; // of words
  guint listed;  // stand-ins in lines, without a card
  double chords; // points of a chord that has room
  double words;  // points of words under chords
} RcSheetSetting;

/// A symbol as it is drawn.
typedef struct {
  const char *text; // NULL where it was not yet asked for
  double width;     // in points of one point
} RcSheetSymbol;

/// A word of a song, or a part of one, with the chord over its beginning.
typedef struct {
  guint event; // of the chord, or RC_NO_CHORD
  const char *words;
  double width; // in points of one point
  gboolean cut; // the next one goes on with the same word
} RcSheetStretch;

/// A plan in the making.
typedef struct {
  RcSheetPlan *plan;
  RcSheetSetting setting;
  double label_width; // left of the bars
  double indent;      // left of the words; 0 where labels are above them
  double right;       // edge of what is flowed
  gboolean endless;   // no page ends
  double y;
  guint page;
  guint line;
  guint above;
  RcSheetSymbol *symbols; // by symbol of the tune
  GArray *breaks;         // of RcSheetBreak
  GPtrArray *sung;        // by line of words: GArray of RcSheetStretch
  guint *ranks;           // by stand-in: see rc_sheet_card_ranks()
} RcSheetFlow;

enum { RC_SHEET_MOST_MARKS = 6 };

/// What is told of a chord beside its name.
typedef struct {
  RcSheetKind kind;
  char text[12];
  double width;
} RcSheetMark;

/// Returns whether the plan has more pages than may be.
gboolean rc_sheet_is_full(const RcSheetFlow *flow);

/// Goes on a new page where less than @p height is left.
void rc_sheet_need(RcSheetFlow *flow, double height);

/// Adds an item to the line in the making and returns it, valid until the next.
RcSheetItem *rc_sheet_add(RcSheetFlow *flow, RcSheetKind kind, RcBox box, RcFace face, const char *text);

/// Adds text over the whole width.
void rc_sheet_add_paragraph(RcSheetFlow *flow, RcSheetKind kind, RcTextStyle style, const char *text);

/// Adds the title, what is to be known before playing, and whether the tune plays.
void rc_sheet_add_heading(RcSheetFlow *flow);

/// Adds what is said below the chart.
void rc_sheet_add_notes(RcSheetFlow *flow);

/// Adds the whole keyboard and the stand-ins.
void rc_sheet_add_bottom(RcSheetFlow *flow);

/// Returns the symbol of an event as it is drawn.
const RcSheetSymbol *rc_sheet_symbol(RcSheetFlow *flow, guint event);

/// Sets @p marks to what is told of an event and returns their number.
guint rc_sheet_marks(const RcSheetFlow *flow, guint event, RcSheetMark marks[RC_SHEET_MOST_MARKS]);

/// Returns how wide @p n marks are side by side.
double rc_sheet_marks_width(const RcSheetMark *marks, guint n);

/// Adds the marks of an event at @p x, the middle of their line at @p y.
void rc_sheet_add_marks(RcSheetFlow *flow, guint event, double x, double y);

/// Adds the name of a part, at most as wide as the labels, in the line that begins at the place reached.
void rc_sheet_add_label(RcSheetFlow *flow, const char *label);

/// Chooses how the chart of the tune is set, apart from the pages it takes. Lines hold at most @p most bars.
RcSheetSetting rc_sheet_choose_setting(RcSheetFlow *flow, guint most);

/// Returns whether each chord by itself has room in its bar.
gboolean rc_sheet_has_room_for_each(RcSheetFlow *flow, RcSheetSetting setting);

/// Adds a stretch of bars.
void rc_sheet_add_bars(RcSheetFlow *flow, const RcPart *part);

/// Returns the words of the tune, measured, for `sung`.
GPtrArray *rc_sheet_measure_song(const RcSheetFlow *flow);

/// Where the words may go on in the next column.
typedef struct {
  guint item; // the first below
  guint above;
  double y;
  gboolean verse; // one begins there
} RcSheetBreak;

/// Adds the words of the tune with their chords, and the bars between.
void rc_sheet_add_song(RcSheetFlow *flow);

/// The same in two columns, on one page. Returns FALSE where they are too high for it, or a word is too wide for them.
gboolean rc_sheet_add_song_in_columns(RcSheetFlow *flow);

#endif
