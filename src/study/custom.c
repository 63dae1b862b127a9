// Copyright 2026 the rowcall developers
// SPDX-License-Identifier: MIT

// Which keys a repertoire is used to.

#include "rowcall/error.h"
#include "rowcall/study.h"

enum { USUAL_PERCENT = 90 };

static void
add_major(RcCustom *custom, guint pc)
{
  if (!rc_pcs_has(custom->majors, pc)) {
    custom->majors |= (RcPcSet)(1U << pc);
    custom->order[custom->n++] = (guint8)pc;
  }
}

// The signature that most tunes have of those not yet customary; of several the one with fewest sharps or flats.
static guint
most_frequent(const RcCustom *custom, const guint64 counts[12])
{
  guint best = 12;
  for (int i = 0; i < 12; ++i) {
    const int fifths = i % 2 ? (i + 1) / 2 : -i / 2; // C, G, F, D, B flat, ...
    const guint pc = rc_note_pc((RcNote)fifths);
    if (!rc_pcs_has(custom->majors, pc) && (best == 12 || counts[pc] > counts[best])) {
      best = pc;
    }
  }
  return best;
}

static void
add_usual(RcCustom *custom, const guint64 counts[12])
{
  const guint percent = custom->source == RC_CUSTOM_FEW ? 100 : USUAL_PERCENT;
  while (custom->tunes * 100 < custom->keyed * percent) {
    const guint pc = most_frequent(custom, counts);
    custom->tunes += counts[pc];
    add_major(custom, pc);
  }
}

RcCustom
rc_custom_find(RcTune *const *tunes, guint n)
{
  static const RcNote common[] = { 0, 1, -1, 2, 3 }; // C, G, F, D, A
  RcCustom custom = { .source = RC_CUSTOM_TUNES };
  guint64 counts[12] = { 0 };
  for (guint i = 0; i < n; ++i) {
    const RcKey key = rc_tune_setting(tunes[i], 0)->key;
    if (key.mode != RC_MODE_NONE) {
      ++counts[rc_note_pc(rc_key_major(key))];
      ++custom.keyed;
    }
  }
  custom.source = custom.keyed < RC_CUSTOM_ENOUGH ? RC_CUSTOM_FEW : RC_CUSTOM_TUNES;
  add_usual(&custom, counts);
  for (guint i = 0; i < G_N_ELEMENTS(common) && custom.source == RC_CUSTOM_FEW; ++i) {
    add_major(&custom, rc_note_pc(common[i]));
  }
  return custom;
}

gboolean
rc_custom_read(RcCustom *custom, const char *text, RcNames names, GError **error)
{
  char **words = g_strsplit(text, ",", -1);
  gboolean good = *text != '\0';
  *custom = (RcCustom){ .source = RC_CUSTOM_GIVEN };
  for (guint i = 0; words[i] && good; ++i) {
    RcKey key;
    good = rc_key_parse(g_strstrip(words[i]), names, &key, NULL);
    if (good) {
      add_major(custom, rc_note_pc(rc_key_major(key)));
    }
  }
  g_strfreev(words);
  if (!good) {
    return rc_fail(error, RC_ERROR_VALUE, (RcPlace){ NULL, 0, 0 }, "expected keys separated by commas, such as G,D,Em");
  }
  return TRUE;
}

gboolean
rc_custom_has(const RcCustom *custom, RcKey key)
{
  return key.mode != RC_MODE_NONE && rc_pcs_has(custom->majors, rc_note_pc(rc_key_major(key)));
}
