// Copyright 2026 the rowcall developers
// SPDX-License-Identifier: MIT

// Files that are read whole, which have a limit.

#ifndef ROWCALL_SRC_BASE_LOAD_H
#define ROWCALL_SRC_BASE_LOAD_H

#include "rowcall/error.h"

/// Returns the bytes of the file @p path and a zero after them, to be freed with g_free(). NULL with @p error set
/// where it cannot be read (#RC_ERROR_IO) or has more than @p most bytes (#RC_ERROR_LIMIT), of which no more are read;
/// @p what says what it is: "a layout file".
char *rc_load_file(const char *path, gsize most, const char *what, gsize *length, GError **error);

#endif
