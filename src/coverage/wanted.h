// Copyright 2026 the rowcall developers
// SPDX-License-Identifier: MIT

// A request taken apart once, so that many sounds can be graded against it.

#ifndef ROWCALL_SRC_COVERAGE_WANTED_H
#define ROWCALL_SRC_COVERAGE_WANTED_H

#include "rowcall/coverage.h"

typedef struct {
  RcPcSet tones; // all that is wanted, the bass among them
  RcPcSet root;
  RcPcSet third;     // the third or the suspended tones; empty where the chord is written without
  RcPcSet lean;      // tones that grade C may lack
  RcPcSet excused;   // a perfect fifth that does not count as missing
  RcPcSet available; // foreign tones that are usual here
  RcPcSet melody;
  guint bass;
  gboolean brisk;
} RcWanted;

RcWanted rc_wanted_new(const RcRequest *request);

/// As rc_grade().
RcGrading rc_wanted_grade(const RcWanted *wanted, RcPcSet sounded, guint bass);

#endif
