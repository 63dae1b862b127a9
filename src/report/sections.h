// Copyright 2026 the rowcall developers
// SPDX-License-Identifier: MIT

// The names of the sections of the report.

#ifndef ROWCALL_SRC_REPORT_SECTIONS_H
#define ROWCALL_SRC_REPORT_SECTIONS_H

#include "rowcall/report.h"

// The sections in the order of the report: name, whether the usual report has it, and whether it has something to say
// where no chord could be read.
#define RC_EACH_SECTION(SECTION)                                                                                       \
  SECTION(answer, TRUE, TRUE)                                                                                          \
  SECTION(coverage, TRUE, FALSE)                                                                                       \
  SECTION(gains, TRUE, FALSE)                                                                                          \
  SECTION(sizes, TRUE, FALSE)                                                                                          \
  SECTION(chords, TRUE, FALSE)                                                                                         \
  SECTION(heat, TRUE, FALSE)                                                                                           \
  SECTION(sheets, FALSE, FALSE)                                                                                        \
  SECTION(index, TRUE, TRUE)                                                                                           \
  SECTION(moves, TRUE, FALSE)                                                                                          \
  SECTION(rules, TRUE, TRUE)

#endif
