// Copyright 2026 the rowcall developers
// SPDX-License-Identifier: MIT

// Arrays that every tune fills and empties. GLib's functions cost some 70 instructions a call, which for `compare` of
// the bench's ABC and YAML comes to 5 % of all.

#ifndef ROWCALL_SRC_BASE_ARRAY_H
#define ROWCALL_SRC_BASE_ARRAY_H

#include <glib.h>

/// Makes room for @p more items after those that @p array holds, so that as many can be set and counted into its
/// length.
static inline void
rc_array_reserve(GArray *array, guint more)
{
  const guint length = array->len;
  g_array_set_size(array, length + more);
  array->len = length;
}

/// Leaves the first @p length items of @p array, which has as many and frees none by a function of its own.
static inline void
rc_array_cut(GArray *array, guint length)
{
  array->len = length;
}

#endif
