// Copyright 2026 the rowcall developers
// SPDX-License-Identifier: MIT

// What src/music knows of each degree: its name in symbols and layouts, and its place on the line of fifths.

#ifndef ROWCALL_SRC_MUSIC_DEGREE_H
#define ROWCALL_SRC_MUSIC_DEGREE_H

#include "rowcall/music.h"

typedef struct {
  const char *name;
  int fifths;
} RcDegreeInfo;

extern const RcDegreeInfo rc_degree_info[RC_N_DEGREES];

#endif
