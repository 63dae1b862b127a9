// Copyright 2026 the rowcall developers
// SPDX-License-Identifier: MIT

// A repertoire in all keys on one keyboard: which tunes to move, and where to.

#include "rowcall/study.h"

static void
find_range(RcTuneKeys *keys)
{
  for (guint i = 0; i < keys->tune->notes->len; ++i) {
    const guint8 pitch = g_array_index(keys->tune->notes, RcTuneNote, i).pitch;
    keys->lowest = i ? MIN(keys->lowest, pitch) : pitch;
    keys->highest = MAX(keys->highest, pitch);
  }
}

static void
count_tune(RcKeys *keys, guint index)
{
  const RcTuneMoves *moves = &keys->tunes[index].moves;
  const RcCounts *written = &moves->counts[RC_AS_WRITTEN];
  keys->native += written->native;
  keys->playable += written->playable;
  keys->easier += written->playable && !written->native && moves->native != RC_NO_MOVE;
  if (moves->best == RC_NO_MOVE) {
    ++keys->nowhere;
    keys->unread += written->chords[RC_UNREAD] > 0;
  } else if (!written->playable) {
    keys->outside += moves->best != moves->customary;
    keys->to_move[keys->n_to_move++] = index;
  }
}

// The share of a tune's time that it lacks as written, which a move to a key where it is playable gains.
static double
gain_of(const RcKeys *keys, guint index)
{
  const RcCounts *written = &keys->tunes[index].moves.counts[RC_AS_WRITTEN];
  const RcVerdict accept = keys->rolled->boards->settings.route.taste.accept;
  return 1 - (double)rc_counts_carried(written, accept) / (double)MAX(rc_counts_whole(written), 1);
}

static int
compare_gains(gconstpointer a, gconstpointer b, gpointer keys)
{
  const guint left = *(const guint *)a;
  const guint right = *(const guint *)b;
  const double more = gain_of(keys, right) - gain_of(keys, left);
  return more > 0 ? 1 : more < 0 ? -1 : left < right ? -1 : 1;
}

RcKeys *
rc_keys_judge(const RcRolled *rolled, const RcCustom *custom)
{
  RcKeys *keys = g_new0(RcKeys, 1);
  RcMoves *moves = rc_moves_new(rolled->boards->layouts[0], &rolled->boards->settings);
  keys->rolled = rolled;
  keys->custom = custom ? *custom : rc_custom_find(rolled->tunes, rolled->n_tunes);
  keys->tunes = g_new0(RcTuneKeys, MAX(rolled->n_tunes, 1));
  keys->to_move = g_new(guint, MAX(rolled->n_tunes, 1));
  for (guint i = 0; i < rolled->n_tunes; ++i) {
    RcTuneKeys *tune = &keys->tunes[keys->n];
    *tune = (RcTuneKeys){ .tune = rolled->tunes[i], .moves = rc_moves_judge(moves, rolled->tunes[i], &keys->custom) };
    if (tune->moves.counts[RC_AS_WRITTEN].tunes) {
      find_range(tune);
      count_tune(keys, keys->n++);
    }
  }
  g_qsort_with_data(keys->to_move, (int)keys->n_to_move, sizeof *keys->to_move, compare_gains, keys);
  rc_moves_free(moves);
  return keys;
}

void
rc_keys_free(RcKeys *keys)
{
  if (keys) {
    g_free(keys->tunes);
    g_free(keys->to_move);
    g_free(keys);
  }
}
