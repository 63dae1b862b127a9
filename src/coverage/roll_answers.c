// Copyright 2026 the rowcall developers
// SPDX-License-Identifier: MIT

// What a roll says once tunes were added: of all of them together, and of each alone.

#include "coverage/roll_parts.h"

const RcLayout *
rc_roll_layout(const RcRoll *roll, guint index)
{
  return rc_panel_layout(roll->panel, index);
}

guint
rc_roll_n_layouts(const RcRoll *roll)
{
  return rc_panel_size(roll->panel);
}

RcRollSettings
rc_roll_get_settings(const RcRoll *roll)
{
  return roll->settings;
}

RcVerdict
rc_roll_accept(const RcRoll *roll)
{
  return rc_panel_accept(roll->panel);
}

RcCounts
rc_roll_counts(const RcRoll *roll, guint index)
{
  RcCounts counts = { 0 };
  for (guint i = 0; i < roll->entries->len; ++i) {
    const RcEntry *entry = &g_array_index(roll->entries, RcEntry, i);
    const RcAsked *asked = g_array_index(roll->questions, RcQuestion, i).asked;
    counts.chords[asked->verdicts[index]] += entry->chords;
    counts.ticks[asked->verdicts[index]] += entry->ticks;
  }
  counts.chords[RC_UNREAD] = roll->unread_chords;
  counts.ticks[RC_UNREAD] = roll->unread_ticks;
  counts.tunes = roll->tunes_with_chords;
  counts.native = rc_set_counts_get(&roll->native_tunes, index);
  counts.playable = rc_set_counts_get(&roll->accepted_tunes, index);
  counts.playable_alone = rc_set_counts_get(&roll->alone_tunes, index);
  counts.one_short = rc_set_counts_get(&roll->short_tunes, index);
  return counts;
}

RcGain
rc_roll_gain(const RcRoll *roll, guint index)
{
  RcGain gain = { .next = index < RC_GAIN_KEYBOARDS && (roll->watched >> index) & 1U ? roll->next[index] : -1 };
  if (gain.next >= 0) {
    const RcCounts here = rc_roll_counts(roll, index);
    const RcCounts there = rc_roll_counts(roll, (guint)gain.next);
    gain.tunes = there.playable - here.playable;
    gain.ticks = rc_counts_carried(&there, rc_roll_accept(roll)) - rc_counts_carried(&here, rc_roll_accept(roll));
    rc_gains_explain(&roll->gains, index, &gain);
  }
  return gain;
}

RcTiming
rc_roll_timing(const RcRoll *roll)
{
  return roll->timing;
}

guint
rc_roll_n_entries(const RcRoll *roll)
{
  return roll->entries->len;
}

RcRollEntry
rc_roll_entry(const RcRoll *roll, guint index)
{
  const RcEntry *entry = &g_array_index(roll->entries, RcEntry, index);
  return (RcRollEntry){ g_array_index(roll->questions, RcQuestion, index).request, entry->chords, entry->ticks };
}

RcAnswer
rc_roll_answer(const RcRoll *roll, guint entry, guint index)
{
  return g_array_index(roll->questions, RcQuestion, entry).asked->answers[index];
}

// ------------------------------------------------------------------------------------------------------- single tunes

RcTuneTallies
rc_roll_tune(const RcRoll *roll, guint tune)
{
  return rc_tallies_of(&roll->kept, tune);
}

static const RcAsked *
asked_of(const RcRoll *roll, const RcTuneTally *tally)
{
  return g_array_index(roll->questions, RcQuestion, tally->entry).asked;
}

// Notes the chord of a tally where it is not accepted.
static void
note_lacking(const RcRoll *roll, const RcTuneTally *tally, RcVerdict verdict, RcLacking *lacking)
{
  if (verdict > rc_roll_accept(roll)) {
    rc_lacking_note(lacking, g_array_index(roll->entries, RcEntry, tally->entry).chord);
  }
}

RcCounts
rc_roll_tune_counts(const RcRoll *roll, guint tune, guint index)
{
  const RcTuneTallies asks = rc_roll_tune(roll, tune);
  RcCounts counts = { .chords[RC_UNREAD] = asks.unread, .ticks[RC_UNREAD] = asks.unread_ticks };
  RcLacking lacking = { 0 };
  for (guint i = 0; i < asks.n; ++i) {
    const RcTuneTally *tally = &asks.tallies[i];
    const RcVerdict verdict = (RcVerdict)asked_of(roll, tally)->verdicts[index];
    counts.chords[verdict] += tally->chords;
    counts.ticks[verdict] += tally->ticks;
    note_lacking(roll, tally, verdict, &lacking);
  }
  rc_counts_judge_tune(&counts, rc_roll_accept(roll), lacking.n);
  return counts;
}

// The first keyboards that accept all that is asked for, as many as a word has bits.
static guint64
accepted_by(const RcRoll *roll, const RcTuneTallies *asks)
{
  guint64 accepted = ~G_GUINT64_CONSTANT(0);
  for (guint i = 0; i < asks->n; ++i) {
    accepted &= g_array_index(roll->entries, RcEntry, asks->tallies[i].entry).accepted;
  }
  return accepted;
}

// On keyboard `index`; where that is known to accept all that is asked for, `accepted` says so.
static RcFares
fares_on(const RcRoll *roll, const RcTuneTallies *asks, guint index, gboolean accepted)
{
  RcLacking lacking = { 0 };
  for (guint i = 0; i < asks->n && !accepted; ++i) {
    const RcTuneTally *tally = &asks->tallies[i];
    note_lacking(roll, tally, (RcVerdict)asked_of(roll, tally)->verdicts[index], &lacking);
  }
  const gboolean whole = asks->n && !asks->unread;
  return lacking.n == 1 && whole ? RC_FARES_ONE_SHORT
         : lacking.n             ? RC_FARES_NOT
         : whole                 ? RC_FARES_PLAYS
                                 : RC_FARES_UNREAD;
}

void
rc_roll_tune_fares(const RcRoll *roll, guint tune, RcFares *fares)
{
  const RcTuneTallies asks = rc_roll_tune(roll, tune);
  const guint64 accepted = accepted_by(roll, &asks);
  for (guint i = 0; i < rc_roll_n_layouts(roll); ++i) {
    fares[i] = fares_on(roll, &asks, i, i < RC_SET_BITS && accepted >> i & 1U);
  }
}
