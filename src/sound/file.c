// Copyright 2026 the rowcall developers
// SPDX-License-Identifier: MIT

// Files of sound, in memory.

#include "rowcall/error.h"
#include "rowcall/sound.h"

#include "sound/encode.h"
#include "sound/midi.h"

static const char *const endings[] = { ".wav", ".flac", ".mid" };

gboolean
rc_sound_file_kind(const char *path, RcSoundFile *kind)
{
  char *lower = g_ascii_strdown(path, -1);
  gboolean found = FALSE;
  for (guint i = 0; i < G_N_ELEMENTS(endings) && !found; ++i) {
    found = g_str_has_suffix(lower, endings[i]);
    *kind = found ? (RcSoundFile)i : *kind;
  }
  g_free(lower);
  return found;
}

gboolean
rc_sound_file_can(RcSoundFile kind)
{
  return kind == RC_SOUND_MIDI || rc_can_encode(kind);
}

GBytes *
rc_sound_file(const RcScore *score, RcSoundFile kind, GError **error)
{
  const double seconds = rc_score_seconds(score, score->length);
  if (seconds > RC_SOUND_MAX_SECONDS) {
    rc_fail(error, RC_ERROR_LIMIT, (RcPlace){ 0 }, "more than %d minutes of sound; hear fewer tunes or bars at once",
            RC_SOUND_MAX_SECONDS / 60);
    return NULL;
  }
  return kind == RC_SOUND_MIDI ? rc_midi_file(score) : rc_encode(score, kind, error);
}
