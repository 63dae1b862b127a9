// Copyright 2026 the rowcall developers
// SPDX-License-Identifier: MIT

// The layout files that are built into the program. The table is made from layouts/ by layouts/table.py.

#ifndef ROWCALL_SRC_KEYBOARD_SHIPPED_H
#define ROWCALL_SRC_KEYBOARD_SHIPPED_H

#include <glib.h>

typedef struct {
  const char *name;
  gsize length; // of the text, in bytes
  const char *text;
} RcShippedLayout;

/// By name, after the last one a row whose name is NULL.
extern const RcShippedLayout rc_shipped_layouts[];

#endif
