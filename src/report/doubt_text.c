// Copyright 2026 the rowcall developers
// SPDX-License-Identifier: MIT

#include "report/doubt_text.h"

#include "report/need_text.h"

static char *
key_question(const RcTune *tune, const RcDoubt *doubt, RcSigns signs)
{
  char *stated = rc_key_name(rc_tune_setting(tune, 0)->key, signs);
  char *meant = rc_key_name(doubt->key, signs);
  char *last = rc_symbol_shown(rc_tune_symbol(tune, doubt->symbol), signs);
  char *text =
    g_strdup_printf("%s is stated, but the chords suggest %s and end on %s: is %s meant?", stated, meant, last, meant);
  g_free(last);
  g_free(meant);
  g_free(stated);
  return text;
}

static char *
chord_question(const RcTune *tune, const RcDoubt *doubt, RcSigns signs)
{
  const char *third = rc_note_name(doubt->third, signs);
  char *meant = rc_chord_name(&doubt->meant, signs);
  char *written = rc_symbol_shown(rc_tune_symbol(tune, doubt->symbol), signs);
  char *text =
    g_strdup_printf("the melody has %s%s over %s: is %s meant?", third, third[1] ? "" : " natural", written, meant);
  g_free(written);
  g_free(meant);
  return text;
}

char *
rc_doubt_text(const RcTune *tune, const RcDoubt *doubt, RcSigns signs)
{
  return doubt->kind == RC_DOUBT_KEY ? key_question(tune, doubt, signs) : chord_question(tune, doubt, signs);
}

GPtrArray *
rc_doubt_texts(const RcTune *tune, gboolean in_file, RcSigns signs)
{
  GArray *doubts = rc_tune_doubts(tune);
  GPtrArray *texts = g_ptr_array_new_with_free_func(g_free);
  for (guint i = 0; i < doubts->len; ++i) {
    const RcDoubt *doubt = &g_array_index(doubts, RcDoubt, i);
    char *bar = rc_bar_text(tune, doubt->bar);
    char *question = rc_doubt_text(tune, doubt, signs);
    char *place = in_file ? g_strdup_printf("%s:%u:%u, ", tune->file, doubt->line, doubt->column) : g_strdup("");
    g_ptr_array_add(texts, g_strdup_printf("%s%s: %s", place, bar, question));
    g_free(place);
    g_free(question);
    g_free(bar);
  }
  g_array_unref(doubts);
  return texts;
}
