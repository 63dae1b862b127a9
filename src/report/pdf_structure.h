// Copyright 2026 the rowcall developers
// SPDX-License-Identifier: MIT

// What cairo leaves out of a tagged PDF.

#ifndef ROWCALL_SRC_REPORT_PDF_STRUCTURE_H
#define ROWCALL_SRC_REPORT_PDF_STRUCTURE_H

#include <glib.h>

/// Returns the entry of a figure's dictionary that says @p text in its place; a new string.
char *rc_pdf_alternative(const char *text);

/// Returns the entry of the dictionary of a heading in a table: @p scope is what it heads, "Row" or "Column". A new
/// string.
char *rc_pdf_heading_scope(const char *scope);

/// Appends to @p pdf, a whole file written by cairo, an incremental update (ISO 32000-1, 7.5.6): the language English,
/// a window that shows the title, @p title as XMP too, and @p entries, strings of which each is added to the next of
/// the elements of its structure that are figures (Figure) or headings in tables (TH), in the order they were begun.
/// Cairo writes uncompressed objects and a plain cross-reference table up to PDF 1.4, which is what this reads.
void rc_pdf_complete(GByteArray *pdf, const char *title, const GPtrArray *entries);

#endif
