// Copyright 2026 the rowcall developers
// SPDX-License-Identifier: MIT

// The counts of one tune. Its chords come again and again, so each is gathered before the keyboards are asked.

#include "rowcall/coverage.h"

#include "coverage/here.h"
#include "coverage/panel.h"

#include <string.h>

// What a symbol asks for at one speed, and how often and how long it did since that was counted.
typedef struct {
  guint setting; // 1 + the one that `code` is for; 0: for none yet
  RcRequestCode code;
  RcRequest request;
  guint64 chords;
  RcTicks ticks;
} Heard;

typedef struct {
  RcPanel *panel;
  const RcRollSettings *settings;
  const RcTune *tune;
  Heard *heard;       // two a symbol, for long and for brisk chords
  RcLacking *lacking; // by keyboard
  RcCounts *counts;   // beside them
} Counting;

static void
count(RcCounts *counts, RcVerdict verdict, guint64 chords, RcTicks ticks)
{
  counts->chords[verdict] += chords;
  counts->ticks[verdict] += ticks;
}

static void
count_heard(const Counting *c, Heard *heard, guint symbol)
{
  if (!heard->chords) {
    return;
  }
  const RcAsked *asked = rc_panel_ask(c->panel, heard->code, &heard->request);
  for (guint i = 0; i < rc_panel_size(c->panel); ++i) {
    count(&c->counts[i], (RcVerdict)asked->verdicts[i], heard->chords, heard->ticks);
    if (asked->verdicts[i] > rc_panel_accept(c->panel)) {
      rc_lacking_note(&c->lacking[i], rc_tune_symbol(c->tune, symbol)->same);
    }
  }
  heard->chords = 0;
  heard->ticks = 0;
}

// Makes `heard` that of a chord as it is played.
static void
turn_to(const Counting *c, Heard *heard, const RcPlayed *played)
{
  count_heard(c, heard, played->symbol);
  heard->request = rc_roll_request(c->settings, c->tune, played);
  if (heard->setting != played->setting + 1) {
    heard->setting = played->setting + 1;
    heard->code = rc_panel_code(c->panel, &heard->request);
  }
}

static void
hear(const Counting *c, const RcPlayed *played, const RcHere *here)
{
  const gboolean brisk = rc_played_is_brisk(played, here->brisk);
  const RcPcSet melody = c->settings->no_melody ? 0 : played->melody;
  Heard *heard = &c->heard[2 * played->symbol + (brisk ? 1 : 0)];
  if (heard->setting != played->setting + 1 || (heard->request.melody ^ melody) & heard->code.melody) {
    turn_to(c, heard, played);
  }
  ++heard->chords;
  heard->ticks += played->length;
}

static void
count_unread(const Counting *c, RcTicks length)
{
  for (guint i = 0; i < rc_panel_size(c->panel); ++i) {
    count(&c->counts[i], RC_UNREAD, 1, length);
  }
}

static void
count_played(const Counting *c)
{
  RcHere here = rc_here_at(c->settings, c->tune, 0);
  RcPlayed played;
  for (RcWalk walk = rc_walk_start(c->tune); rc_walk_next(&walk, &played);) {
    const RcSymbolKind kind = rc_tune_symbol(c->tune, played.symbol)->kind;
    here = played.setting != here.setting ? rc_here_at(c->settings, c->tune, played.setting) : here;
    if (kind == RC_SYMBOL_CHORD) {
      hear(c, &played, &here);
    } else if (kind == RC_SYMBOL_UNREAD) {
      count_unread(c, played.length);
    }
  }
}

void
rc_panel_counts(RcPanel *panel, const RcRollSettings *settings, const RcTune *tune, RcCounts *counts)
{
  const guint n = rc_panel_size(panel);
  const guint heard = 2 * tune->symbols->len;
  const Counting c = { panel, settings, tune, g_new0(Heard, MAX(heard, 1)), g_new0(RcLacking, MAX(n, 1)), counts };
  memset(counts, 0, n * sizeof *counts);
  count_played(&c);
  for (guint i = 0; i < heard; ++i) {
    count_heard(&c, &c.heard[i], i / 2);
  }
  for (guint i = 0; i < n; ++i) {
    rc_counts_judge_tune(&counts[i], rc_panel_accept(panel), c.lacking[i].n);
  }
  g_free(c.lacking);
  g_free(c.heard);
}
