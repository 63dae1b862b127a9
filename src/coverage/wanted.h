// Copyright 2026 the rowcall developers
// SPDX-License-Identifier: MIT

// A request taken apart once, so that many sounds can be graded against it.

#ifndef ROWCALL_SRC_COVERAGE_WANTED_H
#define ROWCALL_SRC_COVERAGE_WANTED_H

#include "rowcall/coverage.h"

/// Foreign tones that are allowed: some always, some only where the minor seventh or the major third sounds.
typedef struct {
  RcPcSet always;
  RcPcSet with_seventh;
  RcPcSet with_third;
} RcAllowed;

typedef struct {
  RcPcSet tones;   // all that is wanted, the bass among them
  RcPcSet implied; // neither missing nor foreign
  RcPcSet root;
  RcPcSet third;         // the third, or the suspended tones or the eleventh in its place; empty where there is none
  RcPcSet excused;       // the perfect fifth, where it is never missing under a chord button
  RcPcSet droppable;     // tones that grade C may lack
  RcPcSet bare_fifth;    // a diminished fifth that it may lack where `double_flat` sounds
  RcPcSet double_flat;   // the diminished seventh
  RcPcSet altered_fifth; // an altered fifth that it may lack where `perfect` does not sound
  RcPcSet perfect;       // the perfect fifth, wanted or not
  RcPcSet seventh;       // the minor seventh, wanted or not
  RcPcSet major_third;   // the major third, wanted or not
  RcAllowed available;   // to B and C
  RcAllowed tolerated;   // to E
  RcPcSet permitted;     // all tones that any grade may have
  RcPcSet outside;       // tones that the key lacks; none where it is not known
  RcPcSet melody;
  RcPcSet bass;
  gboolean brisk;
} RcWanted;

RcWanted rc_wanted_new(const RcRequest *request);

/// As rc_grade().
RcGrading rc_wanted_grade(const RcWanted *wanted, const RcSounding *sounding);

/// What of a key can change how grips are graded for @p chord, as a number of 15 bits.
guint rc_wanted_key_code(const RcChord *chord, const RcScale *key);

#endif
