// Copyright 2026 the rowcall developers
// SPDX-License-Identifier: MIT

// Whether a text is a MusicXML document, told from its beginning.

#ifndef ROWCALL_SRC_CORPUS_MUSICXML_DOCUMENT_H
#define ROWCALL_SRC_CORPUS_MUSICXML_DOCUMENT_H

#include <glib.h>

/// Returns whether a text begins as XML does, also in UTF-16, and after a byte order mark.
gboolean mx_is_xml(const char *line, const char *end);

/// Returns what a document is that begins so and is no MusicXML, in words; NULL where it is, or may be. An opus is one
/// of MusicXML, though it holds no score.
const char *mx_foreign(const char *head, gsize length);

#endif
