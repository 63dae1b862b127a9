// Copyright 2026 the rowcall developers
// SPDX-License-Identifier: MIT

// The grips of a tune that stand in for chords without a button, each once.

#include "rowcall/study.h"

#include <string.h>

enum { NO_ROOT = 12 }; // among pitch classes

// A stand-in in the making.
typedef struct {
  GPtrArray *needs; // of RcNeed, borrowed
  RcTicks ticks;
  guint64 times;
} Making;

static gboolean
is_stand_in(const RcNeed *need)
{
  return need->answer.verdict > RC_NATIVE && need->answer.verdict < RC_IMPOSSIBLE;
}

static gboolean
is_same_chord(const RcTune *tune, const RcNeed *a, const RcNeed *b)
{
  return rc_tune_symbol(tune, a->symbol)->same == rc_tune_symbol(tune, b->symbol)->same;
}

static gboolean
alternates_alike(const RcSecondBass *a, const RcSecondBass *b)
{
  return a->found == b->found && (!a->found || (a->button == b->button && a->finger == b->finger));
}

// One chord is shown with one second bass, that of its first way.
static gboolean
is_pressed_alike(const RcTune *tune, const RcNeed *a, const RcNeed *b)
{
  return rc_grip_equal(&a->answer.grip, &b->answer.grip) && !memcmp(&a->fingers, &b->fingers, sizeof a->fingers) &&
         (is_same_chord(tune, a, b) || alternates_alike(&a->second, &b->second));
}

// Notes what a stand-in answers.
static void
add_need(Making *making, const RcTune *tune, const RcNeed *need)
{
  making->ticks += need->ticks;
  making->times += need->times;
  for (guint i = 0; i < making->needs->len; ++i) {
    const RcNeed *known = g_ptr_array_index(making->needs, i);
    if (is_same_chord(tune, known, need)) {
      g_ptr_array_index(making->needs, i) = (gpointer)(need->answer.verdict > known->answer.verdict ? need : known);
      return;
    }
  }
  g_ptr_array_add(making->needs, (gpointer)need);
}

// The number of the stand-in that is pressed as `need` asks, a new one where there is none.
static guint
number_of(GArray *list, const RcTune *tune, const RcNeed *need)
{
  guint i = 0;
  while (i < list->len && !is_pressed_alike(tune, g_ptr_array_index(g_array_index(list, Making, i).needs, 0), need)) {
    ++i;
  }
  if (i == list->len) {
    const Making making = { .needs = g_ptr_array_new() };
    g_array_append_val(list, making);
  }
  add_need(&g_array_index(list, Making, i), tune, need);
  return i + 1;
}

// The pitch class on which a grip is a chord button over its own root, or NO_ROOT.
static guint
own_root(const RcLayout *layout, const RcGrip *grip)
{
  const RcSound *bass = &rc_layout_button(layout, grip->basses[0])->sound;
  const RcSound *chord = &rc_layout_button(layout, grip->chords[0])->sound;
  const gboolean one_of_each = grip->n_basses == 1 && grip->n_chords == 1;
  const gboolean named = chord->kind >= RC_SOUND_MAJOR && chord->kind <= RC_SOUND_AUGMENTED;
  return one_of_each && named && rc_note_pc(bass->root) == rc_note_pc(chord->root) ? rc_note_pc(bass->root) : NO_ROOT;
}

static gboolean
is_plain(const RcTune *tune, const RcLayout *layout, const GPtrArray *needs)
{
  for (guint i = 0; i < needs->len; ++i) {
    const RcNeed *need = g_ptr_array_index(needs, i);
    const RcChord *chord = &rc_tune_symbol(tune, need->symbol)->chord;
    const guint root = own_root(layout, &need->answer.grip);
    if (rc_note_pc(chord->root) != root || rc_note_pc(chord->bass) != root) {
      return FALSE;
    }
  }
  return TRUE;
}

static RcStandIn
finish(const Making *making, const RcTune *tune, const RcLayout *layout)
{
  RcStandIn stand_in = { .n = making->needs->len, .ticks = making->ticks, .times = making->times };
  stand_in.plain = is_plain(tune, layout, making->needs);
  stand_in.needs = (const RcNeed **)g_ptr_array_free(making->needs, FALSE);
  return stand_in;
}

RcStandIns *
rc_stand_ins_new(const RcTune *tune, const RcChart *chart, const RcLayout *layout)
{
  GArray *list = g_array_new(FALSE, FALSE, sizeof(Making));
  RcStandIns *all = g_new(RcStandIns, 1);
  all->numbers = g_new0(guint, MAX(chart->needs->len, 1));
  for (guint i = 0; i < chart->needs->len; ++i) {
    const RcNeed *need = &g_array_index(chart->needs, RcNeed, i);
    all->numbers[i] = is_stand_in(need) ? number_of(list, tune, need) : 0;
  }
  all->n = list->len;
  all->list = g_new(RcStandIn, MAX(list->len, 1));
  for (guint i = 0; i < list->len; ++i) {
    all->list[i] = finish(&g_array_index(list, Making, i), tune, layout);
  }
  g_array_unref(list);
  return all;
}

void
rc_stand_ins_free(RcStandIns *all)
{
  if (all) {
    for (guint i = 0; i < all->n; ++i) {
      g_free(all->list[i].needs);
    }
    g_free(all->list);
    g_free(all->numbers);
    g_free(all);
  }
}
