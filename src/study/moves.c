// Copyright 2026 the rowcall developers
// SPDX-License-Identifier: MIT

// A tune in all keys on one keyboard. Moving the tune up is moving the keyboard down.

#include "rowcall/study.h"

struct RcMoves {
  RcLayout *layouts[RC_N_MOVES];
  RcBoards *boards;
};

RcMoves *
rc_moves_new(const RcLayout *layout, const RcSettings *settings)
{
  RcMoves *moves = g_new(RcMoves, 1);
  for (int i = 0; i < RC_N_MOVES; ++i) {
    moves->layouts[i] = rc_layout_moved(layout, -(RC_MOVE_LOWEST + i));
  }
  moves->boards = rc_boards_new(moves->layouts, RC_N_MOVES, settings);
  return moves;
}

void
rc_moves_free(RcMoves *moves)
{
  if (moves) {
    rc_boards_free(moves->boards);
    for (guint i = 0; i < RC_N_MOVES; ++i) {
      rc_layout_free(moves->layouts[i]);
    }
    g_free(moves);
  }
}

static gboolean
is_nearer(const RcCounts counts[RC_N_MOVES], int move, int than)
{
  const int far = ABS(move - RC_AS_WRITTEN);
  const int known = ABS(than - RC_AS_WRITTEN);
  return far < known ||
         (far == known && rc_counts_carried(&counts[move], RC_NATIVE) >= rc_counts_carried(&counts[than], RC_NATIVE));
}

static int
nearest(const RcCounts counts[RC_N_MOVES], gboolean native)
{
  int best = RC_NO_MOVE;
  for (int i = 0; i < RC_N_MOVES; ++i) {
    const guint64 good = native ? counts[i].native : counts[i].playable;
    if (good && (best == RC_NO_MOVE || is_nearer(counts, i, best))) {
      best = i;
    }
  }
  return best;
}

// Native ones first, then those to customary keys, then the fewest semitones.
static gboolean
is_better(const RcTuneMoves *judged, const RcCustom *custom, RcKey key, int move, int than)
{
  const gboolean native = judged->counts[move].native > 0;
  const gboolean customary = rc_custom_has(custom, rc_key_moved(key, move - RC_AS_WRITTEN));
  if (native != (judged->counts[than].native > 0)) {
    return native;
  }
  return customary != rc_custom_has(custom, rc_key_moved(key, than - RC_AS_WRITTEN))
           ? customary
           : is_nearer(judged->counts, move, than);
}

static void
find_best(RcTuneMoves *judged, const RcCustom *custom, RcKey key)
{
  judged->best = judged->customary = RC_NO_MOVE;
  for (int i = 0; i < RC_N_MOVES; ++i) {
    const gboolean customary = rc_custom_has(custom, rc_key_moved(key, i - RC_AS_WRITTEN));
    if (!judged->counts[i].playable) {
      continue;
    }
    if (judged->best == RC_NO_MOVE || is_better(judged, custom, key, i, judged->best)) {
      judged->best = i;
    }
    if (customary && (judged->customary == RC_NO_MOVE || is_better(judged, custom, key, i, judged->customary))) {
      judged->customary = i;
    }
  }
  judged->best = judged->counts[RC_AS_WRITTEN].native ? RC_AS_WRITTEN : judged->best;
}

RcTuneMoves
rc_moves_judge(const RcMoves *moves, const RcTune *tune, const RcCustom *custom)
{
  RcTuneMoves result;
  rc_panel_counts(moves->boards->panel, &moves->boards->settings.route.roll, tune, result.counts);
  result.native = nearest(result.counts, TRUE);
  result.playable = nearest(result.counts, FALSE);
  find_best(&result, custom, rc_tune_setting(tune, 0)->key);
  return result;
}
