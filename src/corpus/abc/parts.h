// Copyright 2026 the rowcall developers
// SPDX-License-Identifier: MIT

// Parts of an ABC tune, and the order in which its bars are played.

#ifndef ROWCALL_SRC_CORPUS_ABC_PARTS_H
#define ROWCALL_SRC_CORPUS_ABC_PARTS_H

#include "corpus/abc/music.h"

/// Sets the parts of the tune that was read and the order in which its bars are played, with remarks on what is not
/// played as it is written. Parts are those of P: lines; where there are none, what repeats and double lines separate
/// is named by letters. @p order is the P: of the heading, section 3.1.9, empty where there is none. FALSE where the
/// tune plays longer than a tune may.
gboolean abc_play(const AbcMusic *music, AbcText order);

#endif
