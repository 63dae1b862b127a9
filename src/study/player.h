// Copyright 2026 the rowcall developers
// SPDX-License-Identifier: MIT

// What a player is made of, for those in this room who listen.

#ifndef ROWCALL_SRC_STUDY_PLAYER_H
#define ROWCALL_SRC_STUDY_PLAYER_H

#include "rowcall/study.h"

struct RcPlayer {
  const RcLayout *layout;
  RcPlanner *planner;
  RcRoute *route;
  RcPlanner *sound_planner; // where ease or steady bellows are preferred, for comparison; else NULL
  RcRoute *sound;
  RcChart *chart; // of the tune before
};

/// As rc_player_new(), on a keyboard that is not asked for anything else.
RcPlayer *rc_player_on(const RcLayout *layout, RcRouteSettings settings);

#endif
