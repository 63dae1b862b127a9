// Copyright 2026 the rowcall developers
// SPDX-License-Identifier: MIT

#include "rowcall/draw.h"

char *
rc_drawn_name(const RcSound *sound)
{
  const char *root = rc_note_name(sound->root, RC_SIGNS_UNICODE);
  switch (sound->kind) {
  case RC_SOUND_DIMINISHED:
    return g_strconcat(root, "°", NULL);
  case RC_SOUND_AUGMENTED:
    return g_strconcat(root, "+", NULL);
  default:
    return rc_sound_label(sound, RC_SIGNS_UNICODE);
  }
}
