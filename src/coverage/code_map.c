// Copyright 2026 the rowcall developers
// SPDX-License-Identifier: MIT

#include "coverage/code_map.h"

enum { FIRST_SIZE = 256 };

void
rc_code_map_init(RcCodeMap *map)
{
  *map = (RcCodeMap){ g_new(guint64, FIRST_SIZE), g_new0(guint, FIRST_SIZE), FIRST_SIZE, 0 };
}

void
rc_code_map_clear(RcCodeMap *map)
{
  g_free(map->codes);
  g_free(map->values);
}

// The slot that holds `code`, or the free one where it would go.
static guint
slot_of(const RcCodeMap *map, guint64 code)
{
  const guint64 mixed = (code ^ (code >> 29U)) * G_GUINT64_CONSTANT(0x9E3779B97F4A7C15); // the golden ratio
  guint slot = (guint)(mixed >> 32U) & (map->size - 1);
  while (map->values[slot] && map->codes[slot] != code) {
    slot = (slot + 1) & (map->size - 1);
  }
  return slot;
}

gboolean
rc_code_map_find(const RcCodeMap *map, guint64 code, guint *value)
{
  const guint found = map->values[slot_of(map, code)];
  *value = found - 1;
  return found != 0;
}

static void
put(RcCodeMap *map, guint64 code, guint stored)
{
  const guint slot = slot_of(map, code);
  map->codes[slot] = code;
  map->values[slot] = stored;
}

static void
grow(RcCodeMap *map)
{
  const RcCodeMap old = *map;
  map->size = 2 * old.size;
  map->codes = g_new(guint64, map->size);
  map->values = g_new0(guint, map->size);
  for (guint i = 0; i < old.size; ++i) {
    if (old.values[i]) {
      put(map, old.codes[i], old.values[i]);
    }
  }
  g_free(old.codes);
  g_free(old.values);
}

void
rc_code_map_add(RcCodeMap *map, guint64 code, guint value)
{
  if (2 * ++map->used > map->size) {
    grow(map);
  }
  put(map, code, value + 1);
}
