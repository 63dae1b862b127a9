// Copyright 2026 the rowcall developers
// SPDX-License-Identifier: MIT

// The keys of a tune in YAML.

#ifndef ROWCALL_SRC_CORPUS_YAML_KEYS_H
#define ROWCALL_SRC_CORPUS_YAML_KEYS_H

#include <glib.h>

/// Those that hold a text, and the one that holds parts.
typedef enum {
  YM_TITLE,
  YM_KEY,
  YM_METER,
  YM_TEMPO,
  YM_RHYTHM,
  YM_NAMES,
  YM_NOTE,
  YM_ORDER,
  YM_N_TEXTS,
  YM_PARTS = YM_N_TEXTS,
  YM_N_KEYS
} YmKey;

/// Their names, NULL-terminated.
extern const char *const ym_keys[];

/// Returns which key is called @p name, in any case ("Title" is title); YM_N_KEYS where none is.
YmKey ym_find_key(const char *name, gsize length);

/// As RcFormat's `foreign`.
const char *ym_foreign(const char *head, gsize length);

#endif
