// Copyright 2026 the rowcall developers
// SPDX-License-Identifier: MIT

#include "report/wide_text.h"

#include "report/format.h"

#define U64 G_GUINT64_FORMAT

static void
append_times(GString *text, guint64 times)
{
  if (times == 1) {
    g_string_append(text, "once");
  } else {
    g_string_append_printf(text, "%" U64 " times", times);
  }
}

static void
append_grip(GString *text, const RcLayout *layout, const RcWideGrip *wide)
{
  char *chord = rc_chord_name(&wide->chord, RC_SIGNS_ASCII);
  char *grip = rc_grip_describe(layout, &wide->grip, RC_SIGNS_ASCII);
  g_string_append_printf(text, "%s as %s, %.0f mm, ", chord, grip, wide->mm);
  append_times(text, wide->times);
  if (wide->tunes && wide->times > 1) {
    g_string_append_printf(text, " in %" U64 " tune%s", wide->tunes, wide->tunes == 1 ? "" : "s");
  }
  g_free(chord);
  g_free(grip);
}

char *
rc_wide_text(const RcLayout *layout, const RcWideGrip *grips, guint n, guint most)
{
  guint64 rest = 0;
  GString *text = g_string_new(NULL);
  for (guint i = 0; i < MIN(n, most); ++i) {
    g_string_append(text, i ? "; " : "");
    append_grip(text, layout, &grips[i]);
  }
  for (guint i = most; i < n; ++i) {
    rest += grips[i].times;
  }
  if (n > most) {
    g_string_append_printf(text, "; and %u more, ", n - most);
    append_times(text, rest);
  }
  return g_string_free(text, FALSE);
}

void
rc_append_wide(GString *out, const RcLayout *layout, const RcWideGrip *grips, guint n)
{
  enum { NAMED = 4 };
  if (!n) {
    return;
  }
  char *named = rc_wide_text(layout, grips, n, NAMED);
  char *text = g_strdup_printf("On %s these stretch the hand beyond comfort: %s. Do not force them; if it hurts, stop, "
                               "and ask a teacher or a doctor.",
                               layout->name, named);
  rc_append_wrapped(out, text, 0);
  g_free(named);
  g_free(text);
}

void
rc_json_wide(GString *json, const RcLayout *layout, const RcWideGrip *grips, guint n)
{
  rc_json_begin_array(json, "wide");
  for (guint i = 0; i < n; ++i) {
    char *chord = rc_chord_name(&grips[i].chord, RC_SIGNS_ASCII);
    rc_json_begin_object(json, NULL);
    rc_json_text(json, "chord", chord);
    rc_json_grip(json, layout, &grips[i].grip);
    rc_json_decimal(json, "mm", (double)(gint64)(grips[i].mm * 10 + 0.5) / 10);
    rc_json_number(json, "times", (gint64)grips[i].times);
    if (grips[i].tunes) {
      rc_json_number(json, "tunes", (gint64)grips[i].tunes);
    }
    rc_json_end_object(json);
    g_free(chord);
  }
  rc_json_end_array(json);
}
