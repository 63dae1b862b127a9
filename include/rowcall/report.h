// Copyright 2026 the rowcall developers
// SPDX-License-Identifier: MIT

/// @file report.h
/// Answers as tables, CSV, JSON and pictures. Text is appended to a GString, pictures come as bytes; nothing is written
/// to a file here. Tables are for terminals of 80 columns; CSV follows RFC 4180; JSON is described in README.md.

#ifndef ROWCALL_REPORT_H
#define ROWCALL_REPORT_H

#include "rowcall/coverage.h"
#include "rowcall/route.h"
#include "rowcall/shop.h"

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

// ----------------------------------------------------------------------------------------------------------- heat

/// Appends the use of a keyboard's buttons; @p roll is of the same tunes.
void rc_report_heat(GString *out, RcFormat format, const RcUse *use, const RcRoll *roll);

// ----------------------------------------------------------------------------------------------------------- shop

/// Appends the offers of @p shop as @p standings judge them by @p tally.
void rc_report_shop(GString *out, RcFormat format, const RcShop *shop, const RcTally *tally,
                    const RcStandings *standings, const RcIntake *intake);

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

/// Returns the keyboard with the use of its buttons.
GBytes *rc_report_heat_picture(const RcUse *use, const RcRoll *roll, RcPicture picture, const RcImprint *imprint,
                               GError **error);

/// Returns the offers of @p shop by price and by what they carry, those that no other beats joined by a line.
GBytes *rc_report_shop_picture(const RcShop *shop, const RcTally *tally, const RcStandings *standings,
                               RcPicture picture, const RcImprint *imprint, GError **error);

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
