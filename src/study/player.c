// Copyright 2026 the rowcall developers
// SPDX-License-Identifier: MIT

// Tunes worked out one by one on one keyboard.

#include "study/player.h"

RcPlayer *
rc_player_on(const RcLayout *layout, RcRouteSettings settings)
{
  RcPlayer *player = g_new0(RcPlayer, 1);
  player->layout = layout;
  player->planner = rc_planner_new(player->layout, &settings);
  player->route = rc_route_new(player->planner);
  if (settings.taste.prefer == RC_PREFER_EASE || (settings.turns_apart > 0 && rc_layout_has_bellows(player->layout))) {
    settings.taste.prefer = RC_PREFER_PLAIN;
    settings.turns_apart = 0;
    player->sound_planner = rc_planner_new(player->layout, &settings);
    player->sound = rc_route_new(player->sound_planner);
  }
  return player;
}

RcPlayer *
rc_player_new(const RcBoards *boards, guint index)
{
  return rc_player_on(boards->layouts[index], boards->settings.route);
}

void
rc_player_free(RcPlayer *player)
{
  if (player) {
    rc_chart_free(player->chart);
    rc_route_free(player->route);
    rc_route_free(player->sound);
    rc_planner_free(player->planner);
    rc_planner_free(player->sound_planner);
    g_free(player);
  }
}

const RcLayout *
rc_player_layout(const RcPlayer *player)
{
  return player->layout;
}

const RcChart *
rc_player_chart(RcPlayer *player, const RcTune *tune)
{
  rc_chart_free(player->chart);
  rc_route_plan(player->route, tune);
  if (player->sound) {
    rc_route_plan(player->sound, tune);
  }
  player->chart = rc_chart_new(player->planner, player->route, player->sound, tune);
  return player->chart;
}
