// Copyright 2026 the rowcall developers
// SPDX-License-Identifier: MIT

// What a panel takes from its catalogues.

#ifndef ROWCALL_SRC_COVERAGE_CATALOGUE_H
#define ROWCALL_SRC_COVERAGE_CATALOGUE_H

#include "coverage/sounds.h"

/// Returns the sounds of the catalogue's keyboard; borrowed.
const RcSounds *rc_catalogue_sounds(const RcCatalogue *catalogue);

#endif
