// Copyright 2026 the rowcall developers
// SPDX-License-Identifier: MIT

#include "corpus/unroll.h"

#include <string.h>

#define NO_BAR G_MAXUINT

enum { RUN = 128 };

// The one jump of a tune: from behind a bar to before another, then perhaps from behind one to the coda, or up to a
// fine.
typedef struct {
  guint from; // NO_BAR: there is none
  guint to;
  guint to_coda; // NO_BAR: no coda
  guint coda;
} Jump;

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
  Jump jump;
  gboolean jumped; // it was taken: repeats are not played again
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

// Whether an ending is for this time; behind a jump the last one is.
static gboolean
is_for_now(Unroller *u, guint bar, guint64 endings)
{
  if (u->jumped) {
    u->pass = u->passes = u->passes ? u->passes : MAX(passes(u, bar), 1);
  }
  return (endings >> MIN(u->pass, 63)) & 1U;
}

// Where a jump leads from behind this bar; NO_BAR where none is taken. A fine leads to the end.
static guint
jump_from(Unroller *u, guint bar)
{
  if (!u->jumped && bar == u->jump.from) {
    u->jumped = TRUE;
    return u->jump.to;
  }
  if (u->jumped && bar == u->jump.to_coda) {
    return u->jump.coda;
  }
  return u->jumped && (marks_at(u, bar)->jumps & RC_JUMP_FINE) ? u->end : NO_BAR;
}

// Goes on behind a bar that was played: back to where its repeat began, where a jump leads, or to the next.
static guint
next_bar(Unroller *u, guint bar, gboolean *back)
{
  const RcBarMarks *m = marks_at(u, bar);
  if (m->closes && !u->jumped && u->pass < times(u, bar)) {
    ++u->pass;
    u->in_ending = FALSE;
    *back = TRUE;
    return u->start;
  }
  const guint jump = jump_from(u, bar);
  const guint next = jump != NO_BAR ? jump : bar + 1;
  if (jump != NO_BAR || ends_section(u, m, next < u->end && marks_at(u, next)->endings)) {
    begin(u, next, FALSE);
  }
  return next;
}

static gboolean
unroll(Unroller *u, guint first)
{
  gboolean back = FALSE; // the bar was reached by going back
  for (guint bar = first; bar < u->end;) {
    const RcBarMarks *m = marks_at(u, bar);
    if (m->opens && !back) {
      begin(u, bar, TRUE);
    }
    back = FALSE;
    if (m->endings && !is_for_now(u, bar, m->endings)) {
      bar = skip_ending(u, bar);
      continue;
    }
    u->in_ending |= m->endings != 0;
    if (!append(u, bar)) {
      return FALSE;
    }
    bar = next_bar(u, bar, &back);
  }
  flush(u);
  return TRUE;
}

gboolean
rc_unroll(const GArray *marks, guint first, guint end, GArray *played)
{
  Unroller u = { .played = played,
                 .marks = marks,
                 .end = end,
                 .start = first,
                 .pass = 1,
                 .jump = { .from = NO_BAR, .to_coda = NO_BAR } };
  return unroll(&u, first);
}

// ------------------------------------------------------------------------------------------------------------ jumps

// The only bar with one of these signs; NO_BAR where none has one or several have.
static guint
only_bar(const GArray *marks, guint signs)
{
  guint found = NO_BAR;
  for (guint bar = 0; bar < marks->len; ++bar) {
    if (g_array_index(marks, RcBarMarks, bar).jumps & signs) {
      if (found != NO_BAR) {
        return NO_BAR;
      }
      found = bar;
    }
  }
  return found;
}

guint
rc_all_jumps(const GArray *marks)
{
  guint signs = 0;
  for (guint bar = 0; bar < marks->len; ++bar) {
    signs |= g_array_index(marks, RcBarMarks, bar).jumps;
  }
  return signs;
}

void
rc_remark_jumps(RcTune *tune)
{
  rc_tune_remark(tune, RC_REMARK_JUMPS, 0, 0,
                 "a D.S., D.C., coda or fine does not say enough to be followed; the tune is played straight");
}

// Finds the jump, where each sign says what it needs to.
static gboolean
find_jump(const GArray *marks, guint signs, Jump *jump)
{
  const gboolean coda = (signs & (RC_JUMP_CODA | RC_JUMP_TO_CODA | RC_JUMP_AL_CODA)) != 0;
  jump->from = only_bar(marks, RC_JUMP_DA_CAPO | RC_JUMP_DAL_SEGNO);
  jump->to = signs & RC_JUMP_DAL_SEGNO ? only_bar(marks, RC_JUMP_SEGNO) : 0;
  jump->to_coda = coda ? only_bar(marks, RC_JUMP_TO_CODA) : NO_BAR;
  jump->coda = coda ? only_bar(marks, RC_JUMP_CODA) : NO_BAR;
  const gboolean both = (signs & RC_JUMP_DAL_SEGNO) && (signs & RC_JUMP_DA_CAPO);
  const gboolean lost = jump->from == NO_BAR || jump->to == NO_BAR || jump->to > jump->from || both;
  const gboolean no_coda = coda && (jump->to_coda == NO_BAR || jump->coda == NO_BAR || jump->coda <= jump->to_coda);
  return !lost && !no_coda && (!(signs & RC_JUMP_AL_FINE) || (signs & RC_JUMP_FINE));
}

gboolean
rc_unroll_all(const GArray *marks, RcTune *tune)
{
  const guint signs = rc_all_jumps(marks);
  Jump jump = { .from = NO_BAR, .to_coda = NO_BAR };
  if (signs && !find_jump(marks, signs, &jump)) {
    jump.from = NO_BAR;
    rc_remark_jumps(tune);
  }
  Unroller u = { .played = tune->played, .marks = marks, .end = marks->len, .pass = 1, .jump = jump };
  return unroll(&u, 0);
}

// ------------------------------------------------------------------------------------------------------------ parts

void
rc_add_part(RcTune *tune, const char *label, guint first, guint end)
{
  if (end > first && tune->parts->len < RC_MAX_PARTS) {
    const RcPart part = { rc_tune_text(tune, label, strlen(label)), first, end - first };
    g_array_append_val(tune->parts, part);
  }
}

void
rc_name_sections(RcTune *tune, const GArray *marks)
{
  guint first = 0;
  guint n = 0;
  char label[8];
  for (guint bar = 1; bar <= marks->len; ++bar) {
    const RcBarMarks *before = &g_array_index(marks, RcBarMarks, bar - 1);
    const RcBarMarks *here = bar < marks->len ? &g_array_index(marks, RcBarMarks, bar) : NULL;
    if (here && (here->endings || !(here->opens || before->closes || before->breaks))) {
      continue;
    }
    if (n < 26) {
      label[0] = (char)('A' + n);
      label[1] = '\0';
    } else {
      g_snprintf(label, sizeof label, "%u", n + 1);
    }
    rc_add_part(tune, label, first, bar);
    first = bar;
    ++n;
  }
}
