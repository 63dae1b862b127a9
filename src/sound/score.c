// Copyright 2026 the rowcall developers
// SPDX-License-Identifier: MIT

#include "rowcall/sound.h"

enum { PITCH_CLASSES = 12 };

static guint
pitch_from(guint lowest, guint first, guint pc)
{
  const guint start = lowest + (first + PITCH_CLASSES - lowest % PITCH_CLASSES) % PITCH_CLASSES;
  return start + (pc + PITCH_CLASSES - first) % PITCH_CLASSES;
}

guint
rc_bass_pitch(const RcLayout *layout, guint pc)
{
  return pitch_from(RC_LOWEST_BASS, layout->first_bass, pc);
}

guint
rc_chord_pitch(const RcLayout *layout, guint pc)
{
  return pitch_from(RC_LOWEST_CHORD, layout->first_chord, pc);
}

static void
clear_passage(gpointer data)
{
  g_free(((RcPassage *)data)->text);
}

RcScore *
rc_score_new(void)
{
  RcScore *score = g_new0(RcScore, 1);
  score->notes = g_array_new(FALSE, FALSE, sizeof(RcScoreNote));
  score->tempi = g_array_new(FALSE, FALSE, sizeof(RcScoreTempo));
  score->passages = g_array_new(FALSE, FALSE, sizeof(RcPassage));
  g_array_set_clear_func(score->passages, clear_passage);
  return score;
}

void
rc_score_free(RcScore *score)
{
  if (score) {
    g_array_unref(score->notes);
    g_array_unref(score->tempi);
    g_array_unref(score->passages);
    g_free(score);
  }
}

void
rc_score_rest(RcScore *score, RcTicks length)
{
  score->length += length;
}

void
rc_score_tell(RcScore *score, RcTicks start, RcTicks length, gboolean silent, const char *text)
{
  const RcPassage passage = { start, length, g_strdup(text), silent };
  g_array_append_val(score->passages, passage);
}

double
rc_score_seconds(const RcScore *score, RcTicks at)
{
  guint low = 0; // the last tempo at or before `at`
  guint high = score->tempi->len;
  if (!high) {
    return 0;
  }
  while (low + 1 < high) {
    const guint middle = low + (high - low) / 2;
    if (g_array_index(score->tempi, RcScoreTempo, middle).at <= at) {
      low = middle;
    } else {
      high = middle;
    }
  }
  const RcScoreTempo *tempo = &g_array_index(score->tempi, RcScoreTempo, low);
  return tempo->seconds + (double)(at - tempo->at) / (double)RC_QUARTER * 60 / tempo->quarters;
}
