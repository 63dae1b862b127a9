// Copyright 2026 the rowcall developers
// SPDX-License-Identifier: MIT

/// @file rowcall.h
/// The whole library.

#ifndef ROWCALL_ROWCALL_H
#define ROWCALL_ROWCALL_H

#include "rowcall/corpus.h"
#include "rowcall/coverage.h"
#include "rowcall/draw.h"
#include "rowcall/error.h"
#include "rowcall/keyboard.h"
#include "rowcall/music.h"
#include "rowcall/report.h"
#include "rowcall/route.h"
#include "rowcall/shop.h"
#include "rowcall/sound.h"

#endif
