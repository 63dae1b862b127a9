// Copyright 2026 the rowcall developers
// SPDX-License-Identifier: MIT

// Text of others made safe to show. A title, a file's name or a message that quotes them may hold characters that a
// terminal obeys or that turn the order of what is read. Here they become letters, as `ls` and Git write them. Each way
// out of the program calls one of these functions once: messages, texts, CSV cells, drawn text, a PDF's metadata.

#ifndef ROWCALL_SRC_BASE_VISIBLE_H
#define ROWCALL_SRC_BASE_VISIBLE_H

#include <glib.h>

/// Returns whether @p code is never shown as it is: a control character (C0, DEL, C1), a mark, embedding, override or
/// isolate of writing direction (U+061C, U+200E, U+200F, U+202A to U+202E, U+2066 to U+2069; Unicode Standard Annex
/// #9), or a line or paragraph separator (U+2028, U+2029).
gboolean rc_is_hidden(gunichar code);

/// Returns @p text as one line, to be freed with g_free(): a tab and line ends become `\t`, `\n` and `\r`, other hidden
/// characters up to U+00FF and bytes that are no UTF-8 `\x1b`, the rest `\u202e`. Visible text stays as it is, a
/// backslash too, so that it may be called twice.
char *rc_visible(const char *text);

/// As rc_visible(), but of @p length bytes, and line ends (LF, CR LF) stay. Returns a new string, to be freed.
GString *rc_visible_lines(const char *text, gsize length);

#endif
