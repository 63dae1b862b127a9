// Copyright 2026 the rowcall developers
// SPDX-License-Identifier: MIT

// What a panel takes from its catalogues.

#ifndef ROWCALL_SRC_COVERAGE_CATALOGUE_H
#define ROWCALL_SRC_COVERAGE_CATALOGUE_H

#include "rowcall/coverage.h"

/// Returns the hand whose grips the catalogue holds.
RcHand rc_catalogue_hand(const RcCatalogue *catalogue);

/// As rc_catalogue_each(), for the ways of the best rank alone.
void rc_catalogue_each_best(const RcCatalogue *catalogue, RcTaste taste, const RcRequest *request, RcWayFunc each,
                            gpointer data);

#endif
