// Copyright 2026 the rowcall developers
// SPDX-License-Identifier: MIT

/// @file report.h
/// Answers as tables, CSV, JSON and pictures. Text is appended to a GString, pictures come as bytes; nothing is written
/// to a file here. Tables are for terminals of 80 columns; CSV follows RFC 4180; JSON is described in README.md.

#ifndef ROWCALL_REPORT_H
#define ROWCALL_REPORT_H

#include "rowcall/coverage.h"
#include "rowcall/route.h"
#include "rowcall/sound.h"

G_BEGIN_DECLS

/// The text formats.
typedef enum { RC_FORMAT_TABLE, RC_FORMAT_CSV, RC_FORMAT_JSON } RcFormat;

/// The picture formats.
typedef enum { RC_PICTURE_PDF, RC_PICTURE_SVG, RC_PICTURE_PNG } RcPicture;

/// What shares are counted by.
typedef enum {
  RC_SHARE_TIME, ///< playing time in quarter notes
  RC_SHARE_CHORDS
} RcShare;

/// What was read.
typedef struct {
  guint64 tunes;    ///< tunes read
  guint64 files;    ///< files opened
  guint64 problems; ///< tunes and files left out
} RcIntake;

// -------------------------------------------------------------------------------------------------------- compare

/// Appends the roll of a repertoire on several layouts. @p share is for the table; the others hold both.
void rc_report_compare(GString *out, RcFormat format, const RcRoll *roll, const RcIntake *intake, RcShare share);

/// Returns the index of the first layout that carries at least @p share (0 to 1) of the playing time at the accepted
/// grade, or -1.
int rc_report_smallest(const RcRoll *roll, double share);

// --------------------------------------------------------------------------------------------------------- chord

/// One chord asked for by name.
typedef struct {
  const char *text;
  RcSymbolKind kind;
  gsize stopped_at;  ///< when unread
  RcRequest request; ///< when it is a chord
  RcKey key;         ///< for spelling
} RcQuestion;

/// Appends the ways to play each of @p questions on one keyboard. @p most bounds the rows of a table for each, 0
/// meaning all; CSV and JSON hold all. JSON is one object for one question and an array for several.
void rc_report_chord(GString *out, RcFormat format, const RcCatalogue *catalogue, const RcQuestion *questions, guint n,
                     guint most);

// ---------------------------------------------------------------------------------------------------------- tune

/// Appends what stands before the first tune.
void rc_report_tune_start(GString *out, RcFormat format, const RcLayout *layout);

/// Appends one tune; @p first says whether it is the first.
void rc_report_tune(GString *out, RcFormat format, const RcLayout *layout, const RcTune *tune, const RcChart *chart,
                    gboolean first);

/// Appends what stands behind the last tune.
void rc_report_tune_end(GString *out, RcFormat format);

// --------------------------------------------------------------------------------------------------------- listen

/// Says what is heard of the first chord of @p route, which was planned for @p tune on @p layout: the buttons with what
/// they lack and add, or the tones; a new string. Sets @p silent where nothing is heard of it.
char *rc_report_heard(const RcLayout *layout, const RcTune *tune, const RcRoute *route, RcPlay play, gboolean *silent);

/// Appends what is heard when, in seconds.
void rc_report_score(GString *out, const RcScore *score);

// ----------------------------------------------------------------------------------------------------------- keys

enum {
  RC_MOVE_LOWEST = -5, ///< semitones of the first move looked at
  RC_N_MOVES = 12
};

/// What each transposition of the tunes of a repertoire gives on one keyboard.
typedef struct RcKeysReport RcKeysReport;

/// Starts the report; @p layout must outlive it.
RcKeysReport *rc_report_keys_start(RcFormat format, const RcLayout *layout, RcVerdict accept);

/// Adds a tune and its counts when moved by #RC_MOVE_LOWEST semitones and up. A tune without chords is passed over.
void rc_report_keys_add(RcKeysReport *report, const RcTune *tune, const RcCounts counts[RC_N_MOVES]);

/// Ends and frees the report and returns its text, which the caller frees.
GString *rc_report_keys_finish(RcKeysReport *report);

// ---------------------------------------------------------------------------------------------------------- sizes

/// What a keyboard is to reach.
typedef struct {
  enum { RC_TARGET_TIME, RC_TARGET_TUNES } by; ///< of the playing time that could be read, or of the tunes
  double share;                                ///< 0 to 1
} RcTarget;

/// Appends the smallest keyboards of @p sweep that reach @p target, and in CSV and JSON all of them; @p roll is on the
/// panel of @p sweep.
void rc_report_sizes(GString *out, RcFormat format, const RcSweep *sweep, const RcRoll *roll, RcTarget target);

// ----------------------------------------------------------------------------------------------------------- heat

/// Appends the use of a keyboard's buttons; @p roll is of the same tunes.
void rc_report_heat(GString *out, RcFormat format, const RcUse *use, const RcRoll *roll);

// -------------------------------------------------------------------------------------------------------- layouts

/// Appends a list of layouts.
void rc_report_layouts(GString *out, RcFormat format, RcLayout *const *layouts, guint n);

/// Appends one layout button by button.
void rc_report_layout(GString *out, RcFormat format, const RcLayout *layout);

// ------------------------------------------------------------------------------------------------------- pictures

/// What a picture says of itself.
typedef struct {
  const char *title; ///< may be NULL
  const char *date;  ///< ISO 8601, written into a PDF; NULL for none
} RcImprint;

/// Returns the coverage chart of @p roll.
GBytes *rc_report_compare_picture(const RcRoll *roll, const RcIntake *intake, RcPicture picture,
                                  const RcImprint *imprint, GError **error);

/// Returns the landscape of all sizes, a panel for each set of rows.
GBytes *rc_report_sizes_picture(const RcSweep *sweep, const RcRoll *roll, RcTarget target, RcPicture picture,
                                const RcImprint *imprint, GError **error);

/// Returns the keyboard with the use of its buttons.
GBytes *rc_report_heat_picture(const RcUse *use, const RcRoll *roll, RcPicture picture, const RcImprint *imprint,
                               GError **error);

/// Practice sheets being drawn.
typedef struct RcSheets RcSheets;

/// Starts sheets for the keyboard of @p planner, which must outlive them, as all it is given; pages are A4 upright.
RcSheets *rc_sheets_start(const RcPlanner *planner, RcPicture picture, const RcImprint *imprint);

/// Draws the sheet of one tune, from a new page on. Nothing of @p tune and @p chart is kept.
void rc_sheets_add(RcSheets *sheets, const RcTune *tune, const RcChart *chart);

/// Returns the number of pages so far; a picture other than PDF holds one.
guint rc_sheets_pages(const RcSheets *sheets);

/// Ends and frees @p sheets; returns their bytes, or NULL with @p error set.
GBytes *rc_sheets_finish(RcSheets *sheets, GError **error);

/// Returns the drawing of @p layout.
GBytes *rc_report_layout_picture(const RcLayout *layout, RcPicture picture, const RcImprint *imprint, GError **error);

/// Returns the report of @p roll as a PDF: the coverage of all its layouts, then what becomes of the repertoire on
/// layout @p chosen, whose buttons are used as @p use says.
GBytes *rc_report_pdf(const RcRoll *roll, const RcUse *use, const RcIntake *intake, guint chosen,
                      const RcImprint *imprint, GError **error);

G_END_DECLS

#endif
