// Copyright 2026 the rowcall developers
// SPDX-License-Identifier: MIT

#include "report/move_text.h"

#include "report/format.h"

const char *
rc_move_called(int move)
{
  static const char *const words[RC_N_MOVES] = {
    "down a fourth", "down a major third", "down a minor third", "down a tone",      "down a semitone", "as written",
    "up a semitone", "up a tone",          "up a minor third",   "up a major third", "up a fourth",     "up a tritone",
  };
  return words[move];
}

static RcKey
key_after(const RcTune *tune, int move)
{
  return rc_key_moved(rc_tune_setting(tune, 0)->key, move - RC_AS_WRITTEN);
}

char *
rc_move_key(const RcTune *tune, int move, RcSigns signs)
{
  return rc_short_key(key_after(tune, move), signs);
}

char *
rc_move_place(const RcTune *tune, int move)
{
  if (move == RC_NO_MOVE) {
    return g_strdup("-");
  }
  char *key = rc_move_key(tune, move, RC_SIGNS_ASCII);
  char *text = g_strdup_printf("%s%s%s", key, *key ? ", " : "", rc_move_called(move));
  g_free(key);
  return text;
}

const char *
rc_move_verdict(const RcCounts *counts)
{
  return counts->native ? "native" : counts->playable ? "plays" : "no";
}

char *
rc_pitch_name(const RcTune *tune, int move, int pitch)
{
  const RcKey key = key_after(tune, move);
  const guint pc = (guint)(pitch + 12) % 12;
  const RcNote note = key.mode == RC_MODE_NONE ? rc_note_near((RcNote)0, pc) : rc_key_spell(key, pc);
  const int sharps = (note + 1 + 7 * 12) / 7 - 12; // F to B are the seven naturals
  return g_strdup_printf("%s%d", rc_note_name(note, RC_SIGNS_ASCII), (pitch - sharps + 12) / 12 - 2);
}

const char *
rc_custom_name(const RcCustom *custom, guint nth)
{
  const RcKey c = { RC_MODE_MAJOR, 0 };
  return rc_note_name(rc_key_moved(c, custom->order[nth]).tonic, RC_SIGNS_ASCII);
}

char *
rc_custom_text(const RcCustom *custom)
{
  GString *text = g_string_new("Customary keys: ");
  for (guint i = 0; i < custom->n; ++i) {
    g_string_append_printf(text, "%s%s", i ? ", " : "", rc_custom_name(custom, i));
  }
  g_string_append(text, " and the minor keys and modes of these signatures, ");
  switch (custom->source) {
  case RC_CUSTOM_TUNES:
    g_string_append_printf(text, "which %" G_GUINT64_FORMAT " of %" G_GUINT64_FORMAT " tunes with a key are in.",
                           custom->tunes, custom->keyed);
    break;
  case RC_CUSTOM_FEW:
    g_string_append(text, "since so few tunes do not tell: their own, and one flat to three sharps (common practice).");
    break;
  case RC_CUSTOM_GIVEN:
    g_string_append(text, "as given.");
    break;
  }
  return g_string_free(text, FALSE);
}

void
rc_json_custom(GString *json, const RcCustom *custom)
{
  rc_json_begin_array(json, "customary");
  for (guint i = 0; i < custom->n; ++i) {
    rc_json_text(json, NULL, rc_custom_name(custom, i));
  }
  rc_json_end_array(json);
}
