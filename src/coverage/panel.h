// Copyright 2026 the rowcall developers
// SPDX-License-Identifier: MIT

// How rolls ask a panel: by a number that stands for the request, once for each.

#ifndef ROWCALL_SRC_COVERAGE_PANEL_H
#define ROWCALL_SRC_COVERAGE_PANEL_H

#include "rowcall/coverage.h"

#include "coverage/request_code.h"

enum { RC_SET_BITS = 64 };

/// Returns how many words a set of @p n keyboards has.
static inline guint
rc_set_words(guint n)
{
  return n ? (n + RC_SET_BITS - 1) / RC_SET_BITS : 1;
}

/// What the keyboards of a panel answer to one request.
typedef struct {
  guint8 *verdicts;        // by keyboard
  RcAnswer *answers;       // beside them; NULL for the sizes of a sweep
  guint64 *sets;           // the three that follow, one after the other
  guint64 *native;         // the set of keyboards on which the request is native
  guint64 *accepted;       // the same for accepted
  guint64 *accepted_alone; // the same without the melody's help
  gboolean lacking;        // some keyboard does not accept it
} RcAsked;

/// Returns the next keyboard after @p index that has all its buttons, as many columns apart, and more; or -1.
int rc_panel_next(RcPanel *panel, guint index);

/// Returns rc_request_code() of @p request, which it remembers.
RcRequestCode rc_panel_code(RcPanel *panel, const RcRequest *request);

/// Returns the verdict of keyboard @p index on @p request.
RcVerdict rc_panel_verdict(RcPanel *panel, const RcRequest *request, guint index);

/// Returns the answers to @p request, whose code is @p code; they stay while the panel does.
const RcAsked *rc_panel_ask(RcPanel *panel, RcRequestCode code, const RcRequest *request);

#endif
