// Copyright 2026 the rowcall developers
// SPDX-License-Identifier: MIT

// Chords without a button of their own, in words.

#include "report/lack_text.h"

#include "report/format.h"

char *
rc_lack_name(const RcLack *lack, RcSigns signs)
{
  char *name = rc_chord_name(&lack->chord, signs);
  if (lack->also.root != lack->chord.root || lack->also.bass != lack->chord.bass) {
    char *also = rc_chord_name(&lack->also, signs);
    char *both = g_strconcat(name, signs == RC_SIGNS_ASCII ? "=" : "\u00a0=\u00a0", also, NULL);
    g_free(name);
    g_free(also);
    return both;
  }
  return name;
}

void
rc_append_unplayable(GString *text, const RcRoll *roll, guint index, RcSigns signs, guint most, guint *left)
{
  guint n = 0;
  RcLack *lacks = rc_lacks_unplayable(roll, index, &n);
  for (guint i = 0; i < MIN(n, most); ++i) {
    char *name = rc_lack_name(&lacks[i], signs);
    g_string_append_printf(text, "%s%s", i ? ", " : "", name);
    g_free(name);
  }
  *left = n - MIN(n, most);
  g_free(lacks);
}

const char *
rc_lack_where(const RcLack *lack)
{
  static const char *const words[] = { [RC_LACK_ANYWHERE] = "",
                                       [RC_LACK_KEY] = "where the key allows",
                                       [RC_LACK_OTHER_KEYS] = "in other keys",
                                       [RC_LACK_SHORT] = "where it is short",
                                       [RC_LACK_LONGER] = "where it is longer",
                                       [RC_LACK_ELSEWHERE] = "elsewhere" };
  return words[lack->where];
}

static void
append_tones(GString *text, const char *before, const RcLack *lack, RcPcSet tones)
{
  char *names = rc_tones_text(&lack->chord, (RcKey){ RC_MODE_NONE, 0 }, tones, RC_SIGNS_UNICODE, " ");
  if (*names) {
    g_string_append_printf(text, "%s%s", before, names);
  }
  g_free(names);
}

// "; borrowed 3 of these 40 times": the other grades that the same grip has.
static void
append_other_grades(GString *text, const RcLack *lack)
{
  for (guint grade = RC_SAME; grade < RC_IMPOSSIBLE; ++grade) {
    const guint64 times = lack->graded_times[grade];
    if (times && grade != lack->answer.verdict) {
      g_string_append_printf(text, "; %s %" G_GUINT64_FORMAT " of these %" G_GUINT64_FORMAT " times",
                             rc_verdict_word((RcVerdict)grade), times, lack->times);
    }
  }
}

char *
rc_lack_sound(const RcLack *lack)
{
  GString *text = g_string_new(NULL);
  append_tones(text, "; adds ", lack, lack->answer.grading.foreign);
  append_tones(text, "; without ", lack, lack->answer.grading.missing);
  if (lack->mixed) {
    g_string_append(text, "; less is missing where the melody helps");
  } else {
    append_tones(text, "; the melody has ", lack, lack->answer.grading.helped);
  }
  g_string_append_printf(text, "%s%s", lack->where ? "; " : "", rc_lack_where(lack));
  append_other_grades(text, lack);
  return g_string_free(g_string_erase(text, 0, text->len ? 2 : 0), FALSE);
}

char *
rc_lack_text(const RcLayout *layout, const RcLack *lack)
{
  char *press = rc_grip_describe(layout, &lack->answer.grip, RC_SIGNS_UNICODE);
  char *sound = rc_lack_sound(lack);
  char *text = g_strconcat(press, *sound ? "; " : "", sound, NULL);
  g_free(sound);
  g_free(press);
  return text;
}
