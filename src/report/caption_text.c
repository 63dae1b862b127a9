// Copyright 2026 the rowcall developers
// SPDX-License-Identifier: MIT

// What a drawing of a keyboard shows, in words.

#include "report/caption_text.h"

static gboolean
has_kind(const RcLayout *layout, RcSoundKind kind)
{
  for (guint i = 0; i < layout->buttons->len; ++i) {
    if (rc_layout_button(layout, i)->sound.kind == kind) {
      return TRUE;
    }
  }
  return FALSE;
}

char *
rc_felt_names(const RcLayout *layout)
{
  GString *text = g_string_new(NULL);
  GPtrArray *names = g_ptr_array_new();
  for (guint i = 0; i < layout->buttons->len; ++i) {
    const RcButton *button = rc_layout_button(layout, i);
    if (rc_button_marked(layout, button)) {
      g_ptr_array_add(names, (gpointer)rc_note_name(rc_button_column(layout, button), RC_SIGNS_UNICODE));
    }
  }
  for (guint i = 0; i < names->len; ++i) {
    const char *between = !i ? "" : i + 1 == names->len ? " and " : ", ";
    g_string_append_printf(text, "%s%s", between, (const char *)g_ptr_array_index(names, i));
  }
  g_ptr_array_unref(names);
  return g_string_free(text, FALSE);
}

static void
append_marked(GString *text, const RcLayout *layout)
{
  char *names = rc_felt_names(layout);
  if (*names) {
    g_string_append_printf(text, " Ringed: %s, marked to be felt.", names);
  }
  g_free(names);
}

static void
append_suffixes(GString *text, const RcLayout *layout)
{
  static const char *const words[] = {
    [RC_SOUND_MAJOR] = "M\u00a0a major chord", [RC_SOUND_MINOR] = "m\u00a0minor",
    [RC_SOUND_SEVENTH] = "7\u00a0seventh",     [RC_SOUND_DIMINISHED] = "°\u00a0diminished",
    [RC_SOUND_AUGMENTED] = "+\u00a0augmented", [RC_SOUND_OTHER] = "*\u00a0other tones",
  };
  const char *between = " After a name: ";
  for (guint kind = RC_SOUND_MAJOR; kind <= RC_SOUND_OTHER; ++kind) {
    if (has_kind(layout, (RcSoundKind)kind)) {
      g_string_append_printf(text, "%s%s", between, words[kind]);
      between = ", ";
    }
  }
  g_string_append(text, *between == ',' ? "." : "");
}

char *
rc_names_caption(const RcLayout *layout)
{
  GString *text = g_string_new(has_kind(layout, RC_SOUND_BASS) ? " A name alone is a single bass note." : "");
  append_suffixes(text, layout);
  append_marked(text, layout);
  g_string_append(text, layout->mirrored ? " The board is mirrored: its sharp end is at the knee." : "");
  g_string_append(text, has_kind(layout, RC_SOUND_DEAD) ? " Crossed out: no sound, or no button there." : "");
  return g_strchug(g_string_free(text, FALSE));
}

char *
rc_keyboard_caption(const RcLayout *layout)
{
  char *names = rc_names_caption(layout);
  char *text =
    g_strconcat("The bellows are above, the chin is to the right.", *names ? " " : "", names,
                rc_layout_has_bellows(layout) ? " Of two names the upper is on push, the lower on pull." : "", NULL);
  g_free(names);
  return text;
}
