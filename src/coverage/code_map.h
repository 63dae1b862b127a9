// Copyright 2026 the rowcall developers
// SPDX-License-Identifier: MIT

// A map from numbers to small numbers, for the one look-up that every chord of a repertoire costs. With a GHashTable in
// its place `compare` of 12 MB of YAML takes 5 % more time (median of 7).

#ifndef ROWCALL_SRC_COVERAGE_CODE_MAP_H
#define ROWCALL_SRC_COVERAGE_CODE_MAP_H

#include <glib.h>

typedef struct {
  guint64 *codes;
  guint *values; // 1 + value; 0: free
  guint size;    // a power of two
  guint used;
} RcCodeMap;

void rc_code_map_init(RcCodeMap *map);

void rc_code_map_clear(RcCodeMap *map);

/// Returns whether @p code is in the map and sets @p value.
gboolean rc_code_map_find(const RcCodeMap *map, guint64 code, guint *value);

/// Adds @p code, which is not in the map.
void rc_code_map_add(RcCodeMap *map, guint64 code, guint value);

#endif
