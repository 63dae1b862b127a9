// Copyright 2026 the rowcall developers
// SPDX-License-Identifier: MIT

// Directives in braces, {name: value}.

#ifndef ROWCALL_SRC_CORPUS_CHORDPRO_DIRECTIVES_H
#define ROWCALL_SRC_CORPUS_CHORDPRO_DIRECTIVES_H

#include "corpus/chordpro/form.h"
#include "corpus/chordpro/heading.h"

/// Returns the next directive after words; NULL where there is none. "{laughs}" is words.
char *cp_find_directive(char *at);

/// Follows the directive whose brace opens at @p open, a place in the line of @p song, and returns what is after it;
/// sets
/// @p ends to whether another song begins there. In a section that is skipped only its end is followed.
const char *cp_read_directive(CpForm *form, CpHeading *heading, CpSong *song, const char *open, gboolean *ends);

#endif
