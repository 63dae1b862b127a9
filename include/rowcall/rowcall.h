// Copyright 2026 the rowcall developers
// SPDX-License-Identifier: MIT

/// @file rowcall.h
/// The whole library, one header a room, each of which may be included alone. tests/unit/example.c uses it. Only
/// draw.h is not included here: programs that draw on a cairo context of their own include it, and it is there only
/// where the library was built with pictures.
///
/// What holds everywhere: a result of a function named `_new`, or said to be freed, is the caller's; strings said to be
/// new are freed with g_free(); what is said to be borrowed, or is handed out as `const`, stays with the object it came
/// from and lasts as long. `_free` functions allow NULL. Arguments are not NULL where it is not said that they may be,
/// and an index is below the number of things it counts from 0. Running out of memory ends the program, as GLib does.
/// An object is used by one thread at a time where it is not said that threads may share it.

#ifndef ROWCALL_ROWCALL_H
#define ROWCALL_ROWCALL_H

#include "rowcall/corpus.h"
#include "rowcall/coverage.h"
#include "rowcall/error.h"
#include "rowcall/keyboard.h"
#include "rowcall/music.h"
#include "rowcall/report.h"
#include "rowcall/route.h"
#include "rowcall/shop.h"
#include "rowcall/sound.h"
#include "rowcall/study.h"

#endif
