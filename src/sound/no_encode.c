// Copyright 2026 the rowcall developers
// SPDX-License-Identifier: MIT

// In place of an encoder, in a build without libsndfile.

#include "sound/encode.h"

#include "rowcall/error.h"

gboolean
rc_can_encode(RcSoundFile kind G_GNUC_UNUSED)
{
  return FALSE;
}

GBytes *
rc_encode(const RcScore *score G_GNUC_UNUSED, RcSoundFile kind G_GNUC_UNUSED, GError **error)
{
  rc_fail(error, RC_ERROR_IO, (RcPlace){ 0 }, "this build writes no sound but MIDI");
  return NULL;
}
