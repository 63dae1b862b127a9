// Copyright 2026 the rowcall developers
// SPDX-License-Identifier: MIT

// Numbers that stand for requests, so that each is answered once.

#ifndef ROWCALL_SRC_COVERAGE_REQUEST_CODE_H
#define ROWCALL_SRC_COVERAGE_REQUEST_CODE_H

#include "rowcall/coverage.h"

#include "coverage/code_map.h"

/// The number that stands for a request, but for its melody and briskness.
typedef struct {
  guint64 base;
  RcPcSet melody; // the tones by which a melody can change the answer
} RcRequestCode;

RcRequestCode rc_request_code(const RcRequest *request);

/// The number with them. Requests of equal numbers have equal answers.
guint64 rc_request_code_at(RcRequestCode code, RcPcSet melody, gboolean brisk);

/// The number of a key, in 28 bits.
guint64 rc_key_number(const RcScale *key);

/// The number of a chord as it is spelled, in a key that has a number.
guint64 rc_chord_number(const RcChord *chord, guint64 key);

/// The codes of chords that were asked for before: to look one up takes a tenth of the time of working it out.
typedef struct {
  RcCodeMap places; // by the number of a chord in a key
  GArray *codes;    // of RcRequestCode
} RcKnownCodes;

void rc_known_codes_init(RcKnownCodes *known);

void rc_known_codes_clear(RcKnownCodes *known);

/// Returns rc_request_code() of @p request.
RcRequestCode rc_known_code(RcKnownCodes *known, const RcRequest *request);

#endif
