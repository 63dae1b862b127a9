// Copyright 2026 the rowcall developers
// SPDX-License-Identifier: MIT

// A chord by itself, asked for by its symbol.

#include "rowcall/study.h"

#include "rowcall/error.h"

#include <string.h>

gboolean
rc_surroundings_set_key(RcSurroundings *around, const char *text, RcNames names, GError **error)
{
  return rc_key_parse(text, names, &around->key, NULL) ||
         rc_fail(error, RC_ERROR_VALUE, (RcPlace){ NULL, 0, 0 },
                 "expected a tonic and a mode, such as D, Bm, \"E dorian\"");
}

gboolean
rc_surroundings_set_melody(RcSurroundings *around, const char *text, GError **error)
{
  char **words = g_strsplit_set(text, " ,", -1);
  gboolean good = TRUE;
  guint tones = 0;
  for (guint i = 0; words[i] && good; ++i) {
    RcNote note = 0;
    const gsize length = strlen(words[i]);
    good = !length || rc_note_parse(words[i], length, RC_NAMES_ENGLISH, &note) == length;
    tones |= length ? 1U << rc_note_pc(note) : 0;
  }
  g_strfreev(words);
  around->melody = good ? (RcPcSet)tones : around->melody;
  return good || rc_fail(error, RC_ERROR_VALUE, (RcPlace){ NULL, 0, 0 }, "expected notes such as \"D F#\"");
}

static guint
heard_root(RcPcSet tones)
{
  double support[12];
  return rc_root_supports(rc_root_weights_1988, tones, support);
}

static void
rank(RcRanking *ranking, const RcBoards *boards, guint index)
{
  const RcLayout *layout = boards->layouts[index];
  GArray *answers = rc_catalogue_rank(boards->catalogues[index], boards->settings.route.taste, &ranking->request);
  ranking->tones = rc_wanted_tones(&ranking->request.chord);
  ranking->root = heard_root(ranking->tones);
  ranking->n = answers->len;
  ranking->ways = g_new(RcRanked, MAX(answers->len, 1));
  for (guint i = 0; i < answers->len; ++i) {
    const RcAnswer *answer = &g_array_index(answers, RcAnswer, i);
    RcFingering ways[RC_FINGERINGS] = { 0 };
    const guint n = rc_fingers_ways(&boards->settings.route.fingers, layout, &answer->grip, ways);
    ranking->ways[i] = (RcRanked){ *answer, heard_root(rc_grip_tones(layout, &answer->grip)), ways[0], n > 0 };
  }
  g_array_unref(answers);
}

RcRanking *
rc_ranking_new(const RcBoards *boards, guint index, const char *symbol, const RcSurroundings *around)
{
  RcRanking *ranking = g_new0(RcRanking, 1);
  ranking->text = g_strdup(symbol);
  ranking->key = around->key;
  ranking->kind = rc_chord_parse(symbol, strlen(symbol), boards->settings.corpus.names, &ranking->request.chord,
                                 &ranking->stopped_at);
  ranking->request.key = rc_key_scale(around->key, rc_key_tones(around->key));
  ranking->request.melody = around->melody;
  ranking->request.brisk = around->brisk;
  if (ranking->kind == RC_SYMBOL_CHORD) {
    rank(ranking, boards, index);
  }
  return ranking;
}

void
rc_ranking_free(RcRanking *ranking)
{
  if (ranking) {
    g_free(ranking->text);
    g_free(ranking->ways);
    g_free(ranking);
  }
}
