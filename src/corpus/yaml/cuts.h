// Copyright 2026 the rowcall developers
// SPDX-License-Identifier: MIT

// Where a text of YAML documents can be cut.

#ifndef ROWCALL_SRC_CORPUS_YAML_CUTS_H
#define ROWCALL_SRC_CORPUS_YAML_CUTS_H

#include "corpus/format.h"

/// Before a line `---`, which ends a document wherever it is, in lists, quotes and blocks too.
extern const RcCuts rc_yaml_cuts;

#endif
