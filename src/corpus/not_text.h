// Copyright 2026 the rowcall developers
// SPDX-License-Identifier: MIT

// Files that players have and that hold no text of a tune: what they are, and what to do instead.

#ifndef ROWCALL_SRC_CORPUS_NOT_TEXT_H
#define ROWCALL_SRC_CORPUS_NOT_TEXT_H

#include <glib.h>

/// Returns what a text is that begins with these bytes and cannot be read, as what follows "FILE: is "; NULL where
/// nothing is known against it.
const char *rc_not_text(const char *head, gsize length);

/// Returns the same of a file by its name, since it may be an archive.
const char *rc_not_text_by_name(const char *name);

#endif
