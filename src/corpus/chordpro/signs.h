// Copyright 2026 the rowcall developers
// SPDX-License-Identifier: MIT

// By what texts of songs are recognized.

#ifndef ROWCALL_SRC_CORPUS_CHORDPRO_SIGNS_H
#define ROWCALL_SRC_CORPUS_CHORDPRO_SIGNS_H

#include <glib.h>

/// Returns whether a text begins as ChordPro does: with a directive alone on its line, "{title: Weir}", which is no
/// YAML tune, or a chord in brackets.
gboolean cp_has_directive(const char *line, const char *end);

/// Returns whether somewhere in a text there is a line of chords, or some are in brackets before words; but the parts
/// of a YAML tune may have such lines too.
gboolean cp_has_chords(const char *line, const char *end);

#endif
