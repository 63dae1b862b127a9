// Copyright 2026 the rowcall developers
// SPDX-License-Identifier: MIT

/// @file api.h
/// What the shared library exports: everything that a public header declares between #RC_BEGIN_API and #RC_END_API, and
/// nothing else, since the library is compiled with hidden symbols.

#ifndef ROWCALL_API_H
#define ROWCALL_API_H

#include <glib.h>

#if defined(__GNUC__) && !defined(_WIN32)
#define RC_BEGIN_API G_BEGIN_DECLS _Pragma("GCC visibility push(default)")
#define RC_END_API _Pragma("GCC visibility pop") G_END_DECLS
#else
#define RC_BEGIN_API G_BEGIN_DECLS
#define RC_END_API G_END_DECLS
#endif

#endif
