// Copyright 2026 the rowcall developers
// SPDX-License-Identifier: MIT

// Samples as a file, where libsndfile is built in.

#ifndef ROWCALL_SRC_SOUND_ENCODE_H
#define ROWCALL_SRC_SOUND_ENCODE_H

#include "rowcall/sound.h"

/// Returns whether this build has an encoder of @p kind, WAV or FLAC: libsndfile may lack that of FLAC.
gboolean rc_can_encode(RcSoundFile kind);

/// Returns @p score as a file of @p kind, WAV or FLAC; NULL with @p error set (#RC_ERROR_IO) where it fails.
GBytes *rc_encode(const RcScore *score, RcSoundFile kind, GError **error);

#endif
