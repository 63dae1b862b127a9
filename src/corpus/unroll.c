// Copyright 2026 the rowcall developers
// SPDX-License-Identifier: MIT

#include "unroll.h"

enum { RUN = 128 };

typedef struct {
  GArray *played;
  guint run[RUN]; // bars to be appended together
  guint length;
  const GArray *marks; // of RcBarMarks
  guint end;
  guint start;        // where the repeat in force began
  guint pass;         // which time it is played, from 1
  guint passes;       // how often its endings say it is played; 0: not looked up yet
  gboolean opened;    // by a line of its own
  gboolean in_ending; // an ending is being played
} Unroller;

static const RcBarMarks *
marks_at(const Unroller *u, guint bar)
{
  return &g_array_index(u->marks, RcBarMarks, bar);
}

static guint
last_ending(guint64 endings)
{
  guint last = 0;
  for (; endings >> 1U; endings >>= 1U) {
    ++last;
  }
  return last;
}

// How often the repeat in force is played: as its line says, or as the last of its endings does.
static guint
passes(const Unroller *u, guint closing)
{
  guint most = 0;
  gboolean closed = FALSE;
  for (guint bar = u->start; bar < u->end; ++bar) {
    const RcBarMarks *m = marks_at(u, bar);
    if (bar > u->start && (m->opens || (closed && !m->endings))) {
      break;
    }
    most = MAX(most, last_ending(m->endings));
    closed = m->closes || (m->breaks && bar > closing);
  }
  return most;
}

static guint
times(Unroller *u, guint closing)
{
  u->passes = u->passes ? u->passes : MAX(passes(u, closing), 1); // the same for all of its endings
  return MAX(u->passes, marks_at(u, closing)->closes);
}

// The bar behind an ending that is not for this time.
static guint
skip_ending(const Unroller *u, guint bar)
{
  for (guint next = bar; next < u->end; ++next) {
    const RcBarMarks *m = marks_at(u, next);
    if (next > bar && m->endings) {
      return next;
    }
    if (m->closes || m->breaks) {
      return next + 1;
    }
  }
  return u->end;
}

static void
begin(Unroller *u, guint bar, gboolean opened)
{
  u->start = bar;
  u->pass = 1;
  u->passes = 0;
  u->opened = opened;
  u->in_ending = FALSE;
}

// Whether what comes behind this bar is no more part of the repeat in force: a double line within an opened one is.
static gboolean
ends_section(const Unroller *u, const RcBarMarks *m, gboolean more_endings)
{
  return !more_endings && (m->closes || (m->breaks && (!u->opened || u->in_ending)));
}

static void
flush(Unroller *u)
{
  g_array_append_vals(u->played, u->run, u->length);
  u->length = 0;
}

static gboolean
append(Unroller *u, guint bar)
{
  if (u->length == RUN) {
    flush(u);
  }
  u->run[u->length++] = bar;
  return u->played->len + u->length <= RC_MAX_PLAYED_BARS;
}

gboolean
rc_unroll(const GArray *marks, guint first, guint end, GArray *played)
{
  Unroller u = { .played = played, .marks = marks, .end = end, .start = first, .pass = 1 };
  gboolean back = FALSE; // the bar was reached by going back
  for (guint bar = first; bar < end;) {
    const RcBarMarks *m = marks_at(&u, bar);
    if (m->opens && !back) {
      begin(&u, bar, TRUE);
    }
    back = FALSE;
    if (m->endings && !((m->endings >> MIN(u.pass, 63)) & 1U)) {
      bar = skip_ending(&u, bar);
      continue;
    }
    u.in_ending |= m->endings != 0;
    if (!append(&u, bar)) {
      return FALSE;
    }
    if (m->closes && u.pass < times(&u, bar)) {
      ++u.pass;
      bar = u.start;
      u.in_ending = FALSE;
      back = TRUE;
      continue;
    }
    ++bar;
    if (ends_section(&u, m, bar < end && marks_at(&u, bar)->endings)) {
      begin(&u, bar, FALSE);
    }
  }
  flush(&u);
  return TRUE;
}
