// Copyright 2026 the rowcall developers
// SPDX-License-Identifier: MIT

// What a tune wants of a hand, whatever keyboard it is on: its chords in playing order, and each different request for
// one. It is found once and asked of as many planners as there are.

#ifndef ROWCALL_SRC_ROUTE_WANTS_H
#define ROWCALL_SRC_ROUTE_WANTS_H

#include "rowcall/coverage.h"

#include "coverage/request_code.h"

/// A request for a chord, or a text that is no chord symbol.
typedef struct {
  gboolean unread;
  guint same; // the first symbol that writes it
  RcRequest request;
  guint64 number; // that stands for it; see rc_request_code_at()
  guint64 times;  // that it comes
  RcTicks ticks;  // for how long altogether
  RcTicks held;   // the same, one without a length counting one tick
} RcWant;

#define RC_NO_WANT G_MAXUINT // silence

typedef struct {
  RcPlayed played;
  guint want; // index into the wants
} RcWantStep;

typedef struct {
  const RcTune *tune; // borrowed
  GArray *steps;      // of RcWantStep
  GArray *wants;      // of RcWant; the same request may come twice among them
  GArray *known;      // of Known: two a symbol, for long and for brisk chords
  RcKnownCodes codes; // of all tunes
} RcWants;

/// Makes @p wants empty. One thread at a time.
void rc_wants_init(RcWants *wants);

/// Frees what it holds.
void rc_wants_clear(RcWants *wants);

/// Finds what @p tune wants, which must outlive that.
void rc_wants_find(RcWants *wants, const RcRollSettings *settings, const RcTune *tune);

static inline const RcWant *
rc_wants_at(const RcWants *wants, guint index)
{
  return &g_array_index(wants->wants, RcWant, index);
}

static inline const RcWantStep *
rc_wants_step(const RcWants *wants, guint index)
{
  return &g_array_index(wants->steps, RcWantStep, index);
}

#endif
