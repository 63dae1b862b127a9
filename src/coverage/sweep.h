// Copyright 2026 the rowcall developers
// SPDX-License-Identifier: MIT

// How a panel asks all the keyboards of a sweep at once.

#ifndef ROWCALL_SRC_COVERAGE_SWEEP_H
#define ROWCALL_SRC_COVERAGE_SWEEP_H

#include "rowcall/coverage.h"

/// Sets @p verdicts, one for each size of @p sweep, to those of the best answers to @p request.
void rc_sweep_ask(const RcSweep *sweep, RcTaste taste, const RcRequest *request, guint8 *verdicts);

#endif
