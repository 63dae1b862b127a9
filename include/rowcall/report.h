// Copyright 2026 the rowcall developers
// SPDX-License-Identifier: MIT

/// @file report.h
/// Answers as tables, CSV, JSON and pictures. Text is appended to a GString, pictures come as bytes; nothing is written
/// to a file here. Tables are for terminals of 80 columns; CSV follows RFC 4180; rowcall-json(5) describes
/// JSON. A picture is freed with g_bytes_unref(); where drawing fails it is NULL, and @p error is set to #RC_ERROR_IO.

#ifndef ROWCALL_REPORT_H
#define ROWCALL_REPORT_H

#include "rowcall/coverage.h"
#include "rowcall/route.h"
#include "rowcall/shop.h"
#include "rowcall/sound.h"
#include "rowcall/study.h"

RC_BEGIN_API

/// The text formats.
typedef enum { RC_TEXT_TABLE, RC_TEXT_CSV, RC_TEXT_JSON } RcTextFormat;

/// The picture formats.
typedef enum { RC_PICTURE_PDF, RC_PICTURE_SVG, RC_PICTURE_PNG } RcPicture;

/// What shares are counted by.
typedef enum {
  RC_SHARE_TIME, ///< playing time in quarter notes
  RC_SHARE_CHORDS
} RcShare;

/// The papers of documents.
typedef enum { RC_PAPER_A4, RC_PAPER_LETTER } RcPaper;

// -------------------------------------------------------------------------------------------------------- compare

/// Appends a comparison of several layouts. @p share is for the table; the others hold both.
void rc_report_compare(GString *out, RcTextFormat format, const RcComparison *comparison, RcShare share);

/// Appends books beside each other: in the table and in CSV a row a book, with the chords that it lacks and the tunes
/// that it leaves out.
void rc_report_books(GString *out, RcTextFormat format, const RcBooks *books);

/// Appends what two repertoires share, which are called @p names: the tunes that both have, and the keys and chords of
/// both and of each alone.
void rc_report_shared(GString *out, RcTextFormat format, const RcShared *shared, const char *const names[RC_PAIR]);

// --------------------------------------------------------------------------------------------------------- chord

/// Appends the ways to play each of @p n chords on @p layout. @p most bounds the rows of a table for each, 0 meaning
/// all; CSV and JSON hold all. JSON is one object for one chord and an array for several.
void rc_report_chord(GString *out, RcTextFormat format, const RcLayout *layout, RcRanking *const *rankings, guint n,
                     guint most);

/// Says of a text that is no chord symbol what was not understood and, where that is known, how to mend it; a new
/// string.
char *rc_unread_text(const RcRanking *ranking);

// ---------------------------------------------------------------------------------------------------------- tune

/// Appends what comes before the first tune.
void rc_report_tune_start(GString *out, RcTextFormat format, const RcLayout *layout);

/// Appends one tune; @p first says whether it is the first.
void rc_report_tune(GString *out, RcTextFormat format, const RcLayout *layout, const RcTune *tune, const RcChart *chart,
                    gboolean first);

/// Appends what comes after the last tune.
void rc_report_tune_end(GString *out, RcTextFormat format, const RcLayout *layout);

// --------------------------------------------------------------------------------------------------------- listen

/// Appends what is heard when, in seconds.
void rc_report_listening(GString *out, const RcListening *listening);

// ----------------------------------------------------------------------------------------------------------- keys

/// Appends which tunes to move, and where to: those that gain most first; of a single tune all keys. CSV and JSON hold
/// all tunes in all keys.
void rc_report_keys(GString *out, RcTextFormat format, const RcKeys *keys);

// ---------------------------------------------------------------------------------------------------------- list

/// Which tunes of a list are shown.
typedef enum {
  RC_SHOW_ALL,
  RC_SHOW_PLAYS,
  RC_SHOW_ONE_SHORT,
  RC_SHOW_NOT ///< those that do neither
} RcShowFares;

/// Appends a list, a row a tune; below it what the keyboard plays in all, and which tunes are without chords or have
/// texts that are no chord symbols. Of two keyboards the table lists the tunes that only one of them plays, and why.
void rc_report_tune_list(GString *out, RcTextFormat format, const RcTuneList *list, RcShowFares show);

// ---------------------------------------------------------------------------------------------------------- learn

/// Appends an order of learning: in the table the tune of each step, what is new in it, and the tunes that need nothing
/// more; in CSV a row a tune.
void rc_report_ladder(GString *out, RcTextFormat format, const RcLadder *ladder);

// ---------------------------------------------------------------------------------------------------------- sizes

/// Appends the smallest keyboards of @p swept that reach its target, and in CSV and JSON all of them.
void rc_report_sizes(GString *out, RcTextFormat format, const RcSwept *swept);

// ----------------------------------------------------------------------------------------------------------- heat

/// Appends the use of a keyboard's buttons; @p roll is of the same tunes.
void rc_report_heat(GString *out, RcTextFormat format, const RcUse *use, const RcRoll *roll);

/// Two uses of buttons beside each other, A and B, and the names of their tunes.
typedef struct {
  const RcHeatPair *pair;
  const char *names[2];
  const RcRoll *rolls[2]; ///< of the same tunes
} RcHeatBeside;

/// Appends both: two boards on one scale, their difference, and what only one of them uses and in which tunes.
void rc_report_heat_pair(GString *out, RcTextFormat format, const RcHeatBeside *beside);

// ----------------------------------------------------------------------------------------------------------- shop

/// Appends the offers of @p shop as @p standings judge them by @p tally; @p wide is of the same tunes on the keyboards
/// of the offers, in their order.
void rc_report_shop(GString *out, RcTextFormat format, const RcShop *shop, const RcTally *tally,
                    const RcStandings *standings, const RcWideTally *wide, const RcIntake *intake);

// -------------------------------------------------------------------------------------------------------- layouts

/// A file that a page holds.
typedef struct {
  const char *name; ///< without a folder
  GBytes *content;
} RcPageFile;

/// What a browser page is given.
typedef struct {
  const RcPageFile *files; ///< of tunes
  guint n;
  const char *board;          ///< a layout that ships
  const char *own;            ///< the text of a layout file in its place; or NULL
  const char *without;        ///< dead buttons, as of RcBoardName; or NULL
  const char *const *options; ///< of hand and taste, as a command line has them (`--accept=B`); NULL-terminated
} RcPageGiven;

/// Returns the text of @p page, the assembled browser page, with what it is @p given in place of the demo. @p file
/// names the page in errors: #RC_ERROR_VALUE where @p page has no place for it.
GString *rc_report_page(const char *page, const char *file, const RcPageGiven *given, GError **error);

/// Appends a list of layouts.
void rc_report_layouts(GString *out, RcTextFormat format, RcLayout *const *layouts, guint n);

/// Appends one layout button by button.
void rc_report_layout(GString *out, RcTextFormat format, const RcLayout *layout);

/// Appends the layout of @p study button by button, and in words: what each row sounds by rule, which buttons are
/// silent, retuned or listed one by one, its spacing, which layout it resembles most, and what is doubtful.
void rc_report_layout_study(GString *out, const RcLayoutStudy *study);

// ------------------------------------------------------------------------------------------------------- pictures

/// Returns whether this library draws. Where it was built without pictures, every function below that returns one fails
/// with #RC_ERROR_IO.
gboolean rc_draws_pictures(void);

/// What a picture says of itself.
typedef struct {
  const char *title;  ///< may be NULL
  const char *date;   ///< ISO 8601, written into a PDF; NULL for none
  const char *author; ///< NULL for none
} RcImprint;

/// Returns the coverage chart of @p comparison.
GBytes *rc_report_compare_picture(const RcComparison *comparison, RcPicture picture, const RcImprint *imprint,
                                  GError **error);

/// Returns the chart of all sizes, buttons against the share carried.
GBytes *rc_report_sizes_picture(const RcSwept *swept, RcPicture picture, const RcImprint *imprint, GError **error);

/// Returns the keyboard with the use of its buttons. A PDF has pages of @p paper, on their long side where the keyboard
/// is wide; another picture is as large as what is on it.
GBytes *rc_report_heat_picture(const RcUse *use, const RcRoll *roll, RcPaper paper, RcPicture picture,
                               const RcImprint *imprint, GError **error);

/// Returns two uses beside each other, likewise: two keyboards on one scale and their difference.
GBytes *rc_report_heat_pair_picture(const RcHeatBeside *beside, RcPaper paper, RcPicture picture,
                                    const RcImprint *imprint, GError **error);

/// Returns the order of learning as a ladder. Fails with #RC_ERROR_LIMIT where there are more than #RC_MAX_PAGES, or
/// where @p picture is no PDF and there is more than one.
GBytes *rc_report_ladder_picture(const RcLadder *ladder, RcPaper paper, RcPicture picture, const RcImprint *imprint,
                                 GError **error);

/// Returns the offers of @p shop by price and by what they carry, those that no other beats joined by a line.
GBytes *rc_report_shop_picture(const RcShop *shop, const RcTally *tally, const RcStandings *standings,
                               RcPicture picture, const RcImprint *imprint, GError **error);

enum { RC_MAX_PAGES = 2000 }; ///< of a document

/// Practice sheets being drawn.
typedef struct RcSheets RcSheets;

/// Starts sheets for the keyboard @p layout, which must outlive them, as all it is given.
RcSheets *rc_sheets_start(const RcLayout *layout, RcPicture picture, RcPaper paper, const RcImprint *imprint);

/// Draws the sheet of one tune, from a new page on. Nothing of @p tune and @p chart is kept.
void rc_sheets_add(RcSheets *sheets, const RcTune *tune, const RcChart *chart);

/// Returns the number of pages so far; a picture other than PDF holds one.
guint rc_sheets_pages(const RcSheets *sheets);

/// Ends and frees @p sheets; returns their bytes, or NULL with @p error set.
GBytes *rc_sheets_finish(RcSheets *sheets, GError **error);

/// Returns the drawing of @p layout.
GBytes *rc_report_layout_picture(const RcLayout *layout, RcPicture picture, const RcImprint *imprint, GError **error);

/// Returns the name of section @p index in the order of the report and sets @p usual to whether the usual report has
/// it; NULL after the last; a constant.
const char *rc_section_name(guint index, gboolean *usual);

/// Returns the sections of the usual report, a set of bits by their index.
guint rc_sections_usual(void);

/// Reads names of sections separated by commas, or `all`, into @p set, bits by their index. Sets @p unknown to the
/// first that is none, a new string, and returns FALSE; else to NULL.
gboolean rc_sections_parse(const char *text, guint *set, char **unknown);

/// How it is printed.
typedef struct {
  const char *title;  ///< NULL for none
  const char *player; ///< NULL for none
  RcPaper paper;
  guint sections; ///< set of bits by their index; see rc_sections_parse()
} RcReportLook;

/// Returns the report. Fails with #RC_ERROR_LIMIT where there are more than #RC_MAX_PAGES, or where @p picture is no
/// PDF and there is more than one.
GBytes *rc_report_document(const RcReport *report, const RcReportLook *look, RcPicture picture,
                           const RcImprint *imprint, GError **error);

// -------------------------------------------------------------------------------------------------- other languages

/// Returns @p layout as JSON, as `rowcall layouts NAME --format json` has it. These texts are new strings.
char *rc_layout_to_json(const RcLayout *layout);

/// Returns the roll of a repertoire on several keyboards as JSON, as `rowcall compare --format json` has it.
char *rc_rolled_to_json(const RcRolled *rolled);

/// Returns how @p tune is played on @p layout as JSON: a member of `tunes` of `rowcall tune --format json`.
char *rc_chart_to_json(const RcLayout *layout, const RcTune *tune, const RcChart *chart);

RC_END_API

#endif
