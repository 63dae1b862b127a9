// Copyright 2026 the rowcall developers
// SPDX-License-Identifier: MIT

// The dead buttons of an offer, each repaired by itself.

#ifndef ROWCALL_SRC_STUDY_REPAIRS_H
#define ROWCALL_SRC_STUDY_REPAIRS_H

#include "rowcall/shop.h"

/// Adds to @p shop a repair of each button of its last offer that is dead on @p dead, in some direction of the bellows,
/// and sounds on @p whole; counts those beyond #RC_MAX_REPAIRS.
void rc_shop_add_repairs(RcShop *shop, const RcLayout *whole, const RcLayout *dead);

#endif
