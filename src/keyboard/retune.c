// Copyright 2026 the rowcall developers
// SPDX-License-Identifier: MIT

#include "keyboard/retune.h"
#include "keyboard/row_kind.h"

#include <string.h>

static gboolean
sounds_same(const RcSound *a, const RcSound *b)
{
  return a->kind == b->kind && a->tones == b->tones && (a->root == b->root || a->kind == RC_SOUND_DEAD);
}

// Makes one entry or two of the button.
void
rc_retune(RcLayout *layout, RcSpot spot, RcSound sound)
{
  const guint index = spot.index;
  const guint n = rc_layout_entries_at(layout, index);
  RcButton push = *rc_layout_button(layout, index);
  RcButton pull = *rc_layout_button(layout, index + n - 1);
  push.sound = spot.bellows == RC_BELLOWS_PULL ? push.sound : sound;
  pull.sound = spot.bellows == RC_BELLOWS_PUSH ? pull.sound : sound;
  const gboolean same = sounds_same(&push.sound, &pull.sound);
  push.bellows = same ? RC_BELLOWS_BOTH : RC_BELLOWS_PUSH;
  pull.bellows = RC_BELLOWS_PULL;
  g_array_remove_range(layout->buttons, index, n);
  g_array_insert_val(layout->buttons, index, push);
  if (!same) {
    g_array_insert_val(layout->buttons, index + 1, pull);
  }
}

gboolean
rc_sound_parse(const char *text, RcSound *sound)
{
  RcNote root = 0;
  RcDegrees degrees = 0;
  char **words = g_strsplit(text, " ", 2);
  gboolean good = words[0] && rc_note_read(words[0], &root);
  const RcRowKind *kind = good && words[1] ? rc_row_kind(words[1]) : rc_row_kind("fundamental");
  if (good && kind && (kind->kind >= RC_SOUND_MAJOR || !words[1])) {
    *sound = rc_sound_make(kind->kind, root, kind->degrees);
  } else if (good && words[1] && rc_degrees_parse(words[1], &degrees, NULL)) {
    *sound = rc_sound_make(rc_sound_kind(degrees), root, degrees);
  } else {
    good = FALSE;
  }
  g_strfreev(words);
  return good;
}

static void
silence(RcLayout *layout, RcSpot spot)
{
  rc_retune(layout, spot, (RcSound){ RC_SOUND_DEAD, rc_layout_button(layout, spot.index)->sound.root, 0 });
}

gboolean
rc_silence(RcLayout *layout, const char *text, RcPlace place, GError **error)
{
  RcSpot spot;
  if (!rc_spot_find_called(layout, text, place, &spot, error)) {
    return FALSE;
  }
  silence(layout, spot);
  return TRUE;
}

static void
say_without(RcLayout *layout, GPtrArray *buttons)
{
  g_ptr_array_add(buttons, NULL);
  char *all = g_strjoinv(", ", (char **)buttons->pdata);
  char *name = g_strdup_printf("%s-less-%u", layout->name, buttons->len - 1);
  char *title = g_strdup_printf("%s, without %s", layout->title, all);
  g_free(layout->name);
  g_free(layout->title);
  g_free(all);
  layout->name = name;
  layout->title = title;
}

// Silences a button and adds its name to those of the others; the same one twice is one.
static gboolean
silence_named(RcLayout *layout, const char *text, GPtrArray *buttons, GError **error)
{
  RcSpot spot;
  if (!rc_spot_find_called(layout, text, (RcPlace){ layout->name, 0, 0 }, &spot, error)) {
    return FALSE;
  }
  char *name = rc_spot_name(layout, spot);
  silence(layout, spot);
  if (g_ptr_array_find_with_equal_func(buttons, name, g_str_equal, NULL)) {
    g_free(name);
  } else {
    g_ptr_array_add(buttons, name);
  }
  return TRUE;
}

gboolean
rc_layout_silence(RcLayout *layout, const char *list, GError **error)
{
  char **words = g_strsplit(*list ? list : " ", ",", -1); // an empty list names one button, which is not there
  GPtrArray *buttons = g_ptr_array_new_with_free_func(g_free);
  gboolean good = TRUE;
  for (guint i = 0; words[i] && good; ++i) {
    good = silence_named(layout, g_strdelimit(g_strstrip(words[i]), ":", ' '), buttons, error);
  }
  if (good) {
    say_without(layout, buttons);
  }
  g_ptr_array_unref(buttons);
  g_strfreev(words);
  return good;
}
