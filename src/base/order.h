// Copyright 2026 the rowcall developers
// SPDX-License-Identifier: MIT

#ifndef ROWCALL_SRC_BASE_ORDER_H
#define ROWCALL_SRC_BASE_ORDER_H

#include <glib.h>

/// Returns which of two whole numbers comes first, as sorting asks: -1 where @p a is less, 1 where it is more, else 0.
static inline int
rc_order(gint64 a, gint64 b)
{
  return (a > b) - (a < b);
}

#endif
