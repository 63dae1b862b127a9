// Copyright 2026 the rowcall developers
// SPDX-License-Identifier: MIT

// The routes of all tunes of a repertoire.

#ifndef ROWCALL_SRC_STUDY_ROUTES_H
#define ROWCALL_SRC_STUDY_ROUTES_H

#include "rowcall/study.h"

#include "route/router.h"

/// Is given the route of a tune, whose stops and answers stay for the moment.
typedef void (*RcRoutedFunc)(const RcTune *tune, const RcRouter *router, gpointer data);

/// Plans the routes of the tunes kept in @p rolled on the @p n of its keyboards whose indices are @p boards. Adds them
/// to @p uses, one for each of these, unless that is NULL, and gives those on the first one to @p each, unless that is
/// NULL, in the order of the tunes.
void rc_rolled_routes(const RcRolled *rolled, const guint *boards, guint n, RcUse *const *uses, RcRoutedFunc each,
                      gpointer data);

/// As rc_ladder_new() on the first of the @p n keyboards @p boards, where the player knows nothing; adds the routes of
/// all of them to @p uses.
RcLadder *rc_ladder_with_uses(const RcRolled *rolled, const guint *boards, guint n, RcUse *const *uses);

#endif
