// Copyright 2026 the rowcall developers
// SPDX-License-Identifier: MIT

/// @file draw.h
/// Figures and text on a cairo context. Nothing here knows of files, options or pages: a figure fills the box it is
/// given. Lengths are in points (1/72 inch), y grows downwards.

#ifndef ROWCALL_DRAW_H
#define ROWCALL_DRAW_H

#include "rowcall/route.h"

#include <cairo.h>

RC_BEGIN_API

/// A box on the page.
typedef struct {
  double x;
  double y;
  double width;
  double height;
} RcBox;

/// The type scale.
typedef enum {
  RC_TEXT_TITLE,
  RC_TEXT_HEADING,
  RC_TEXT_BODY,
  RC_TEXT_STRONG, ///< body size, bold
  RC_TEXT_NOTE,
  RC_TEXT_NUMBER ///< to be read from across a room
} RcTextStyle;

/// How text is aligned in its width.
typedef enum { RC_ALIGN_LEFT, RC_ALIGN_CENTRE, RC_ALIGN_RIGHT } RcAlign;

/// Draws @p string (UTF-8) in black with its top left corner at @p x, @p y, wrapped to @p width in at most @p lines
/// lines, the last of which is shortened with an ellipsis where there is more; 0 stands for any number. Returns its
/// height.
double rc_draw_text(cairo_t *cairo, RcTextStyle style, RcAlign align, double x, double y, double width, guint lines,
                    const char *string);

/// Returns the height rc_draw_text() would return.
double rc_text_height(RcTextStyle style, double width, guint lines, const char *string);

/// Returns the width of @p string on one line.
double rc_text_width(RcTextStyle style, const char *string);

/// Draws @p string centred on @p x, @p y in @p points or smaller, so that it is at most @p width wide, in the ink of
/// @p shade (see rc_shade_ink()).
void rc_draw_label(cairo_t *cairo, double points, double x, double y, double width, double shade, const char *string);

/// The same in the grey @p ink, 0 black to 1 white.
void rc_draw_inked(cairo_t *cairo, double points, double x, double y, double width, double ink, const char *string);

/// Returns @p points, or what is smaller and lets @p string be at most @p width wide on one line.
double rc_fitted_points(double points, double width, const char *string);

/// Draws @p string in black in @p points or smaller, so that it is at most @p width wide, its top left corner at
/// @p x, @p y.
void rc_draw_fitted(cairo_t *cairo, double points, double x, double y, double width, const char *string);

/// A face of text in any size.
typedef struct {
  double points;
  gboolean bold;
} RcFace;

/// Returns the width of @p string on one line.
double rc_word_width(RcFace face, const char *string);

/// Draws @p string on one line, at @p x as @p align says and with the middle of the line at @p y, in the grey @p ink, 0
/// black to 1 white; in a smaller face where it is wider than @p width (0: any width).
void rc_draw_word(cairo_t *cairo, RcFace face, RcAlign align, double x, double y, double width, double ink,
                  const char *string);

/// The same, but nothing where the text would be smaller than @p least points. Returns whether it is drawn.
gboolean rc_draw_word_from(cairo_t *cairo, RcFace face, double least, RcAlign align, double x, double y, double width,
                           double ink, const char *string);

/// Sets the colour of @p shade, 0 (palest) to 1 (darkest), of the one sequential scale of all figures: ColorBrewer's
/// YlGnBu with nine classes, between which it is interpolated. It is safe for colour-blind eyes and falls evenly in
/// grey.
void rc_shade(cairo_t *cairo, double shade);

/// Returns the grey of text on @p shade, 0 black or 1 white: the one with the higher contrast by the formula of
/// WCAG 2.1. A negative shade means white.
double rc_shade_ink(double shade);

/// Returns the shade in which @p verdict is drawn; negative for verdicts drawn without colour.
double rc_verdict_shade(RcVerdict verdict);

/// A class of the shades in which use is drawn.
typedef struct {
  double least;      ///< the smallest share of the playing time in it, 0 to 1; it ends where the next begins
  const char *label; ///< in percent, such as "2–5"
  guchar fill[3];    ///< red, green and blue, 0 to 255
  guchar ink;        ///< of text on it: grey, 0 to 255
} RcUseClass;

enum { RC_USE_CLASSES = 7 };

/// The classes of all figures of use, whatever the repertoire and the keyboard, so that any two can be compared: never,
/// under 1, 1 to 2, 2 to 5, 5 to 10, 10 to 20 and over 20 percent. Each is darker than the one before it, in grey and
/// to colour-blind eyes too; the fills are white and colours of ColorBrewer's YlGnBu, that of 5 to 10 between two of
/// them, so that black can be read on it well. A share on a border is in the upper class.
extern const RcUseClass rc_use_classes[RC_USE_CLASSES];

/// Returns the class of a @p share of the playing time, 0 to 1, as an index into #rc_use_classes. Of a negative one,
/// where two repertoires differ, that of its size.
guint rc_use_class(double share);

/// A keyboard in a coverage chart, with what it makes of the chords that could be read and of the tunes.
typedef struct {
  const char *name;                 ///< of the layout
  const char *title;                ///< a line that describes it, drawn where there is room
  guint columns;                    ///< neighbours with as many are a group
  double shares[RC_IMPOSSIBLE + 1]; ///< of the playing time, 0 to 1, adding up to 1 or all 0
  const char *carried;              ///< the share up to the accepted grade, as text
  double native;                    ///< share of the tunes, 0 to 1
  double playable;                  ///< with the native ones
  double one_short;
  const char *tunes; ///< how many are playable, as text
  gboolean own;      ///< its row is banded and bold
} RcCoverageBar;

/// A coverage chart.
typedef struct {
  const RcCoverageBar *bars;
  guint n;
  RcVerdict accept;      ///< the worst verdict that is carried
  const char *what;      ///< heads the panel of playing time
  const char *tunes;     ///< heads the panel of tunes
  const char *all_tunes; ///< their number, the end of its scale
  double target;         ///< share of the playing time, 0 to 1
  const char *target_text;
} RcCoverageChart;

/// Returns the height of @p chart in @p width.
double rc_coverage_height(const RcCoverageChart *chart, double width);

/// Draws two panels on shared rows: of the playing time, what is carried, up to a tick with its figure, and less high
/// what is not, with a rule at the target; of the tunes, those that are native, playable and one short.
void rc_draw_coverage(cairo_t *cairo, RcBox box, const RcCoverageChart *chart);

/// The sizes with one set of rows, the best of each number of buttons.
typedef struct {
  const char *label;
  guint n;
  const guint *buttons; ///< ascending
  const double *shares; ///< beside them, 0 to 1
  gboolean dashed;
  gboolean answer; ///< the answer is one of them
} RcSizeLine;

/// A size in a chart of sizes.
typedef struct {
  const char *name; ///< NULL for none
  guint buttons;
  double share;    ///< 0 to 1
  gboolean answer; ///< it is ringed, and its name bold
} RcSizeDot;

/// What all sizes there could be carry.
typedef struct {
  const RcSizeLine *lines;
  guint n_lines;
  const RcSizeDot *dots;
  guint n_dots;
  const char *what; ///< heads the shares
  double target;    ///< share, 0 to 1
  const char *target_text;
} RcSizeChart;

/// Draws @p chart: buttons along, on a logarithmic scale, and the share upwards, with a line for each set of rows named
/// at its end, the dots named beside them, and a rule at the target.
void rc_draw_sizes(cairo_t *cairo, RcBox box, const RcSizeChart *chart);

/// Draws the scale of shades from @p least to the darkest, its top left corner at @p x, @p y, with texts at its ends
/// and its middle and @p what beside it; returns its height.
double rc_draw_scale(cairo_t *cairo, double x, double y, double least, const char *low, const char *middle,
                     const char *high, const char *what);

/// What is known of an offer, those that matter most first.
typedef enum { RC_OFFER_UNBEATEN, RC_OFFER_UNJUDGED, RC_OFFER_BEATEN, RC_OFFER_N_MARKS } RcOfferMark;

/// One offer of a figure.
typedef struct {
  const char *label;
  double price; ///< 0 where it is unknown
  double share; ///< of the playing time, 0 to 1
  RcOfferMark mark;
} RcOfferPoint;

/// What the scales of a figure of offers measure.
typedef struct {
  const char *prices;      ///< heading
  const char *shares;      ///< heading
  const char *target_text; ///< label of the target's line
  double target;           ///< share, 0 to 1
} RcOfferScales;

/// Draws @p n offers, in the order of their prices, each with its label: price along, share upwards, those without a
/// price in a strip of their own. Those that no other beats are dark and joined by a line, those that another beats
/// pale, those that are not judged hollow. Labels never overlap; where one finds no room, that is said.
void rc_draw_offers(cairo_t *cairo, RcBox box, const RcOfferPoint *points, guint n, const RcOfferScales *scales);

/// Returns what is written on a button that sounds @p sound in all figures, short enough for a small circle: C♯, CM,
/// Cm, C7, C°, C+; empty for a dead one. A new string.
char *rc_drawn_name(const RcSound *sound);

/// Returns the width of @p layout drawn in the size of the instrument.
double rc_keyboard_width(const RcLayout *layout);

/// Returns the height of @p layout drawn by rc_draw_keyboard() in @p width.
double rc_keyboard_height(const RcLayout *layout, double width);

/// Draws @p layout to scale, never larger than the instrument, the flat end left and the bellows on top, with the names
/// on its buttons and the C, E and A flat of the fundamental row ringed, as they are marked to be felt. Dead buttons
/// are crossed out.
void rc_draw_keyboard(cairo_t *cairo, RcBox box, const RcLayout *layout);

/// A board and how much it is used: shares of the playing time, 0 to 1, or differences of two shares, -1 to 1.
typedef struct {
  const RcLayout *layout;
  const double *buttons; ///< by index of the layout's buttons; NAN for one of which nothing is to be said
  const double *rows;    ///< by row
  const double *columns; ///< by column
  gboolean differences;
} RcHeatBoard;

/// Returns the width in which rc_draw_heat_board() draws @p layout where it has the room.
double rc_heat_board_width(const RcLayout *layout);

/// Returns the height of rc_draw_heat_board() in @p width.
double rc_heat_board_height(const RcHeatBoard *board, double width);

/// Draws @p board, its top left corner at @p x, @p y. Buttons are 8.5 mm wide on every board and shaded by
/// #rc_use_classes, names have 8 points, whole percents 6.5; a board wider than @p width is drawn smaller as a whole.
/// Rows have their shares and bars on the left, columns below; arrows point to the floor, the bellows and the chin.
/// What is never used is grey and dashed, a dead button crossed out, either with its name; one of which nothing is to
/// be said has its name only. A button that differs on push and on pull has an upper half for push and a lower one for
/// pull. A difference has a sign, and is round where it is positive and square where it is negative.
void rc_draw_heat_board(cairo_t *cairo, double x, double y, double width, const RcHeatBoard *board);

/// Draws #rc_use_classes with their labels in one line, its top left corner at @p x, @p y; returns its height.
double rc_draw_use_classes(cairo_t *cairo, double x, double y);

/// Draws a disc @p across points wide, its middle at @p x, @p y, in the current colour: a dot of a round pen, which
/// takes a tenth of the numbers of a circle in a file.
void rc_draw_dot(cairo_t *cairo, double x, double y, double across);

/// What a hand does with a button in a figure.
typedef struct {
  guint button;  ///< index into the layout's buttons
  guint fingers; ///< that press it: a set of bits, 1 << #RC_FINGER_INDEX and so on; 0 where the hand moves for it
  gboolean held; ///< FALSE: it is only the second bass of an alternating bass
} RcFingerMark;

/// Returns the box that rc_draw_hand_board() fills: 170 mm wide, less for a board so narrow that it would be higher
/// than 80 mm.
RcBox rc_hand_board_box(const RcLayout *layout, double x, double y);

/// Draws the whole of @p layout, its top left corner at @p x, @p y, the knee left and the bellows on top, with the
/// names on its buttons. Those with one of @p n marks are dark where they are held, framed where they are
/// only the second bass of an alternating bass, and have their fingers. C, E and A flat of the fundamental row, which
/// are felt, have a ring within. A button that differs on push and on pull has a half for each. Dead buttons are
/// crossed out.
void rc_draw_hand_board(cairo_t *cairo, double x, double y, const RcLayout *layout, const RcFingerMark *marks, guint n);

/// A part of a keyboard, cut out.
typedef struct {
  RcBox board;   ///< in mm of the board as it is drawn, from the middle of its first button
  double width;  ///< in points
  double height; ///< in points
} RcCut;

/// Returns how wide a cut of @p layout must be for @p n marks, in points.
double rc_grip_least_width(const RcLayout *layout, const RcFingerMark *marks, guint n);

/// Returns the cut of @p layout that shows @p n marks in @p width points, of all boards on one scale: buttons are 6.6
/// mm wide. It is as wide as asked for, or as the board; it begins at the bellows and ends below the last row of a
/// mark.
RcCut rc_grip_cut(const RcLayout *layout, const RcFingerMark *marks, guint n, double width);

/// Draws @p cut of @p layout, its top left corner at @p x, @p y, as rc_draw_hand_board() does, with fingers of 12
/// points. Its edges are torn where the board goes on, with the names of the next buttons.
void rc_draw_grip(cairo_t *cairo, double x, double y, const RcLayout *layout, const RcCut *cut,
                  const RcFingerMark *marks, guint n);

RC_END_API

#endif
