// Copyright 2026 the rowcall developers
// SPDX-License-Identifier: MIT

// A tune as it is written, for whoever draws its chart.

#ifndef ROWCALL_SRC_REPORT_WRITTEN_JSON_H
#define ROWCALL_SRC_REPORT_WRITTEN_JSON_H

#include "rowcall/route.h"

/// Appends the members order, parts, written, lines and played of the object that @p tune is, as rowcall-json(5)
/// describes them; @p chart says in which way each chord is played.
void rc_json_written(GString *json, const RcTune *tune, const RcChart *chart);

#endif
