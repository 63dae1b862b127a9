// Copyright 2026 the rowcall developers
// SPDX-License-Identifier: MIT

#include "coverage/here.h"

RcRollSettings
rc_roll_settings(void)
{
  return (RcRollSettings){ .brisk = 1.0, .pace = 1.0, .untimed = RC_UNTIMED_ASSUME };
}

// That of the tune itself, or the usual one.
static RcTempo
own_tempo(const RcRollSettings *settings, const RcTune *tune, const RcSetting *here)
{
  if (here->tempo.source != RC_TEMPO_NONE || settings->untimed == RC_UNTIMED_LEAVE) {
    return here->tempo;
  }
  return rc_tune_usual_tempo(tune, here->meter);
}

RcTempo
rc_roll_tempo(const RcRollSettings *settings, const RcTune *tune, guint setting)
{
  const RcSetting *here = rc_tune_setting(tune, setting);
  if (settings->given.source != RC_TEMPO_NONE) {
    const double beat = settings->in_beats ? (double)rc_meter_beat(here->meter) / (double)RC_QUARTER : 1;
    return (RcTempo){ RC_TEMPO_GIVEN, CLAMP(settings->given.quarters * beat, RC_MIN_QUARTERS, RC_MAX_QUARTERS) };
  }
  RcTempo tempo = own_tempo(settings, tune, here);
  if (tempo.source != RC_TEMPO_NONE && (settings->pace < 1 || settings->pace > 1)) {
    tempo.quarters = CLAMP(tempo.quarters * settings->pace, RC_MIN_QUARTERS, RC_MAX_QUARTERS);
  }
  return tempo;
}

RcHere
rc_here_at(const RcRollSettings *settings, const RcTune *tune, guint setting)
{
  const RcSetting *here = rc_tune_setting(tune, setting);
  const RcTempo tempo = rc_roll_tempo(settings, tune, setting);
  return (RcHere){ setting, rc_key_scale(here->key, here->tones), tempo,
                   (RcTicks)(settings->brisk * tempo.quarters / 60 * (double)RC_QUARTER) };
}

RcRequest
rc_roll_request(const RcRollSettings *settings, const RcTune *tune, const RcPlayed *played)
{
  const RcChord *chord = &rc_tune_symbol(tune, played->symbol)->chord;
  const RcHere here = rc_here_at(settings, tune, played->setting);
  return (RcRequest){ *chord, here.key, settings->no_melody ? 0 : played->melody,
                      rc_played_is_brisk(played, here.brisk) };
}
