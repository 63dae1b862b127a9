// Copyright 2026 the rowcall developers
// SPDX-License-Identifier: MIT

// Pages for paper and screen: margins, running title, page numbers, bookmarks, links, and the order in which they are
// read aloud.

#ifndef ROWCALL_SRC_REPORT_PAGES_H
#define ROWCALL_SRC_REPORT_PAGES_H

#include "report/canvas.h"
#include "rowcall/draw.h"

/// A document in the making. Text and figures go to `canvas.cairo` from `left` on, `text_width` wide, at `y`.
typedef struct {
  RcCanvas canvas;
  double width; // of the paper
  double height;
  const char *running; // title at the foot of each page; borrowed
  char *foot;          // of this page in place of it; NULL for none
  char *key;           // to marks and pictures, above it; NULL for none
  guint number;        // of the page begun, 0 before the first
  double left;         // the margins are equal, as on a screen nothing is bound
  double text_width;
  double y;
  gboolean turned; // the next page has its width and height exchanged
  gboolean full;   // no page more may be begun: what is drawn further is lost, and rc_pages_finish() fails
} RcPages;

/// Starts a document whose foot says @p running, which must outlive it. @p found completes its title; see
/// rc_canvas_start().
RcPages rc_pages_start(RcPicture picture, RcPaper paper, const char *running, const RcImprint *imprint,
                       const char *found);

/// As rc_pages_start(), with pages of @p width by @p height points.
RcPages rc_pages_start_sized(RcPicture picture, double width, double height, const char *running,
                             const RcImprint *imprint, const char *found);

/// Returns the width of the text on @p paper, on its short side or, @p lying, on its long one.
double rc_pages_text_width(RcPaper paper, gboolean lying);

/// Has the pages of a PDF begun from now on stand, or lie on their long side.
void rc_pages_lay(RcPages *pages, gboolean lying);

/// Ends the page, if one is begun, and begins the next, with @p key at its foot, NULL for none. After #RC_MAX_PAGES
/// the document is full, and a long drawing stops.
void rc_pages_begin(RcPages *pages, const char *key);

/// Sets the title at the foot of the page begun, in place of the running one; takes @p text.
void rc_pages_set_foot(RcPages *pages, char *text);

/// Returns the height left on the page.
double rc_pages_room(const RcPages *pages);

/// Begins a page headed @p heading "(continued)" where less than @p height is left.
void rc_pages_need(RcPages *pages, double height, const char *heading);

/// Sets text over the whole width, as rc_canvas_text() does, and moves on below it.
void rc_pages_text(RcPages *pages, RcTextStyle style, const char *text);

/// As rc_pages_text(), beginning a page where the text does not fit.
void rc_pages_paragraph(RcPages *pages, RcTextStyle style, const char *text, const char *heading);

/// Adds a bookmark to the page begun. Nothing but in a PDF.
void rc_pages_bookmark(RcPages *pages, const char *text);

/// Names the place at the top of the page begun, for rc_pages_link().
void rc_pages_name(RcPages *pages, const char *name);

/// Begins a figure at the place reached, or on the next page where @p height does not fit, and returns its box, over
/// the whole width. @p text says what it shows. Ends with rc_pages_end_figure().
RcBox rc_pages_begin_figure(RcPages *pages, double height, const char *heading, const char *text);

/// Ends the figure and moves on below its @p height.
void rc_pages_end_figure(RcPages *pages, double height);

/// Makes @p box a link to the place called @p name. Only in a PDF, and only if that place is named before the end.
void rc_pages_link(RcPages *pages, RcBox box, const char *name);

/// The same with what is drawn until rc_pages_end_link() as its text.
void rc_pages_begin_link(RcPages *pages, RcBox box, const char *name);

/// Ends the link begun.
void rc_pages_end_link(RcPages *pages);

/// Ends the document and returns its bytes, or NULL with @p error set (#RC_ERROR_LIMIT where it was full).
GBytes *rc_pages_finish(RcPages *pages, GError **error);

#endif
