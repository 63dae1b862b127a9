// Copyright 2026 the rowcall developers
// SPDX-License-Identifier: MIT

// Any bytes as chords typed over words.

#define _GNU_SOURCE

#include "tunes.h"

int
LLVMFuzzerTestOneInput(const uint8_t *data, size_t size)
{
  return read_tunes(data, size, "words");
}
