// Copyright 2026 the rowcall developers
// SPDX-License-Identifier: MIT

#include "report/format.h"

// ------------------------------------------------------------------------------------------------------- one chord

static void
append_tones(GString *text, const char *what, const RcChord *chord, RcPcSet tones)
{
  if (tones) {
    char *names = rc_tones_text(chord, (RcKey){ 0 }, tones, RC_SIGNS_ASCII, " ");
    g_string_append_printf(text, "%s%s", what, names);
    g_free(names);
  }
}

static void
append_grip(GString *text, const RcLayout *layout, const RcChord *chord, const RcStep *step)
{
  char *grip = rc_grip_describe(layout, &step->grip, RC_SIGNS_ASCII);
  g_string_append(text, grip);
  if (step->verdict != RC_NATIVE) {
    append_tones(text, "; lacks ", chord, step->grading.missing);
    append_tones(text, "; adds ", chord, step->grading.foreign);
  }
  g_free(grip);
}

char *
rc_report_heard(const RcLayout *layout, const RcTune *tune, const RcRoute *route, RcPlay play)
{
  const RcStep *step = &g_array_index(route->steps, RcStep, 0);
  const RcSymbol *symbol = &g_array_index(tune->symbols, RcSymbol, step->played.symbol);
  GString *text = g_string_new(symbol->text);
  if (play == RC_PLAY_WANTED && step->verdict != RC_NATIVE && symbol->kind == RC_SYMBOL_CHORD) {
    append_tones(text, ", wanted, its tones themselves: ", &symbol->chord, rc_chord_tones(&symbol->chord));
  } else if (step->held && step->verdict != RC_NATIVE) {
    g_string_append_printf(text, " on %s, grade %s (%s): ", layout->name, rc_verdict_name(step->verdict),
                           rc_verdict_word(step->verdict));
    append_grip(text, layout, &symbol->chord, step);
  } else if (step->held) {
    g_string_append_printf(text,
                           play == RC_PLAY_WANTED ? ", wanted, as a %s has it: " : " on %s, native: ", layout->name);
    append_grip(text, layout, &symbol->chord, step);
  }
  return g_string_free(text, FALSE);
}

// ----------------------------------------------------------------------------------------------------------- bellows

// Tells of the chords from `start` to `end` in one direction, and empties them.
static void
tell_stroke(RcScore *score, RcTicks start, RcTicks end, RcBellows bellows, GString *chords)
{
  if (chords->len) {
    char *text = g_strdup_printf("%s %s:%s", rc_bellows_arrow(bellows), rc_bellows_name(bellows), chords->str);
    rc_score_tell(score, start, end - start, FALSE, text);
    g_free(text);
  }
  g_string_truncate(chords, 0);
}

void
rc_report_bellows(RcScore *score, RcTicks start, const RcTune *tune, const RcRoute *route)
{
  GString *chords = g_string_new(NULL);
  RcBellows bellows = RC_BELLOWS_BOTH;
  RcTicks turned = start;
  RcTicks at = start;
  for (guint i = 0; i < route->steps->len; ++i) {
    const RcStep *step = &g_array_index(route->steps, RcStep, i);
    if (step->held && step->bellows != RC_BELLOWS_BOTH) {
      if (step->bellows != bellows) {
        tell_stroke(score, turned, at, bellows, chords);
        bellows = step->bellows;
        turned = at;
      }
      g_string_append_printf(chords, " %s", g_array_index(tune->symbols, RcSymbol, step->played.symbol).text);
    }
    at += step->played.length;
  }
  tell_stroke(score, turned, at, bellows, chords);
  g_string_free(chords, TRUE);
}

// ------------------------------------------------------------------------------------------------------ what and when

// Longer stretches before those within them, else in the order they were told.
static int
by_start(gconstpointer a, gconstpointer b)
{
  const RcPassage *left = *(const RcPassage *const *)a;
  const RcPassage *right = *(const RcPassage *const *)b;
  if (left->start != right->start) {
    return left->start < right->start ? -1 : 1;
  }
  if (left->length != right->length) {
    return left->length > right->length ? -1 : 1;
  }
  return (left > right) - (left < right);
}

static void
append_seconds(GString *out, double seconds)
{
  const gint64 hundredths = (gint64)(seconds * 100 + 0.5);
  g_string_append_printf(out, "%4" G_GINT64_FORMAT ".%02d", hundredths / 100, (int)(hundredths % 100));
}

static void
append_passage(GString *out, const RcScore *score, const RcPassage *passage)
{
  enum { INDENT = 19 };
  append_seconds(out, rc_score_seconds(score, passage->start));
  g_string_append(out, " - ");
  append_seconds(out, rc_score_seconds(score, passage->start + passage->length));
  g_string_append(out, "  ");
  rc_append_wrapped(out, passage->text, INDENT);
}

void
rc_report_score(GString *out, const RcScore *score)
{
  enum { MOST_SILENT = 20 };
  GPtrArray *passages = g_ptr_array_new();
  guint silent = 0;
  for (guint i = 0; i < score->passages->len; ++i) {
    g_ptr_array_add(passages, &g_array_index(score->passages, RcPassage, i));
  }
  g_ptr_array_sort(passages, by_start);
  g_string_append(out, "        seconds\n");
  for (guint i = 0; i < passages->len; ++i) {
    const RcPassage *passage = g_ptr_array_index(passages, i);
    silent += passage->silent ? 1 : 0;
    if (!passage->silent || silent <= MOST_SILENT) {
      append_passage(out, score, passage);
    }
  }
  if (silent > MOST_SILENT) {
    g_string_append_printf(out, "... and %u silent chords more\n", silent - MOST_SILENT);
  }
  g_ptr_array_unref(passages);
}
