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
append_grip(GString *text, const RcHeard *heard)
{
  char *grip = rc_grip_describe(heard->layout, &heard->answer.grip, RC_SIGNS_ASCII);
  g_string_append(text, grip);
  if (heard->answer.verdict != RC_NATIVE) {
    append_tones(text, "; lacks ", &heard->chord, heard->answer.grading.missing);
    append_tones(text, "; adds ", &heard->chord, heard->answer.grading.foreign);
  }
  g_free(grip);
}

static void
append_chord(GString *text, const RcHeard *heard)
{
  const RcVerdict verdict = heard->answer.verdict;
  const gboolean wanted = heard->kind == RC_HEARD_WANTED;
  if (wanted && verdict != RC_NATIVE) {
    append_tones(text, ", wanted, its tones themselves: ", &heard->chord, rc_chord_tones(&heard->chord));
  } else if (verdict != RC_NATIVE) {
    g_string_append_printf(text, " on %s, grade %s (%s): ", heard->layout->name, rc_verdict_name(verdict),
                           rc_verdict_word(verdict));
    append_grip(text, heard);
  } else {
    g_string_append_printf(text, wanted ? ", wanted, as a %s has it: " : " on %s, native: ", heard->layout->name);
    append_grip(text, heard);
  }
}

static void
append_tune(GString *text, const RcHeard *heard)
{
  const gboolean wanted = heard->kind == RC_HEARD_TUNE_WANTED;
  g_string_append_printf(text, ", %s%s", wanted ? "as wanted" : "on ", wanted ? "" : heard->layout->name);
  if (heard->tempo.quarters > 0) {
    char *beats = rc_tempo_text(heard->tempo, heard->meter);
    g_string_append_printf(text, ", %s", beats);
    g_free(beats);
  }
  if (heard->no_melody) {
    g_string_append(text, " (its melody is not in the file)");
  }
  if (!wanted && rc_layout_has_bellows(heard->layout)) {
    g_string_append(text, "; the bellows are planned for the left hand alone");
  }
}

static char *
heard_text(const RcHeard *heard)
{
  GString *text = g_string_new(heard->text);
  switch (heard->kind) {
  case RC_HEARD_TUNE:
  case RC_HEARD_TUNE_WANTED:
    append_tune(text, heard);
    break;
  case RC_HEARD_WANTED:
  case RC_HEARD_STAND_IN:
    append_chord(text, heard);
    break;
  case RC_HEARD_STROKE:
    g_string_printf(text, "%s %s: %s", rc_bellows_arrow(heard->bellows), rc_bellows_name(heard->bellows), heard->text);
    break;
  }
  return g_string_free(text, FALSE);
}

// ------------------------------------------------------------------------------------------------------ what and when

// A line of the answer: what is heard, or a passage of the score.
typedef struct {
  RcTicks start;
  RcTicks length;
  char *text;
  gboolean silent;
} Line;

static void
clear_line(gpointer data)
{
  g_free(((Line *)data)->text);
}

// Longer stretches before those within them, else in the order they were found.
static int
by_start(gconstpointer a, gconstpointer b)
{
  const Line *left = *(const Line *const *)a;
  const Line *right = *(const Line *const *)b;
  if (left->start != right->start) {
    return left->start < right->start ? -1 : 1;
  }
  if (left->length != right->length) {
    return left->length > right->length ? -1 : 1;
  }
  return (left > right) - (left < right); // of one array
}

// What is heard as a whole, then parts and silent chords, then how the bellows go.
static GArray *
collect_lines(const RcListening *listening)
{
  guint n = 0;
  const RcHeard *heard = rc_listening_heard(listening, &n);
  const GArray *passages = rc_listening_score(listening)->passages;
  GArray *lines = g_array_new(FALSE, FALSE, sizeof(Line));
  g_array_set_clear_func(lines, clear_line);
  for (guint strokes = 0; strokes < 2; ++strokes) {
    for (guint i = 0; i < n; ++i) {
      if ((heard[i].kind == RC_HEARD_STROKE) == (strokes > 0)) {
        const Line line = { heard[i].start, heard[i].length, heard_text(&heard[i]), FALSE };
        g_array_append_val(lines, line);
      }
    }
    for (guint i = 0; i < passages->len && !strokes; ++i) {
      const RcPassage *passage = &g_array_index(passages, RcPassage, i);
      const Line line = { passage->start, passage->length, g_strdup(passage->text), passage->silent };
      g_array_append_val(lines, line);
    }
  }
  return lines;
}

static void
append_seconds(GString *out, double seconds)
{
  const gint64 hundredths = (gint64)(seconds * 100 + 0.5);
  g_string_append_printf(out, "%4" G_GINT64_FORMAT ".%02d", hundredths / 100, (int)(hundredths % 100));
}

static void
append_line(GString *out, const RcScore *score, const Line *line)
{
  enum { INDENT = 19 };
  append_seconds(out, rc_score_seconds(score, line->start));
  g_string_append(out, " - ");
  append_seconds(out, rc_score_seconds(score, line->start + line->length));
  g_string_append(out, "  ");
  rc_append_wrapped(out, line->text, INDENT);
}

void
rc_report_listening(GString *out, const RcListening *listening)
{
  enum { MOST_SILENT = 20 };
  GArray *lines = collect_lines(listening);
  GPtrArray *sorted = g_ptr_array_new();
  guint silent = 0;
  for (guint i = 0; i < lines->len; ++i) {
    g_ptr_array_add(sorted, &g_array_index(lines, Line, i));
  }
  g_ptr_array_sort(sorted, by_start);
  g_string_append(out, "        seconds\n");
  for (guint i = 0; i < sorted->len; ++i) {
    const Line *line = g_ptr_array_index(sorted, i);
    silent += line->silent ? 1 : 0;
    if (!line->silent || silent <= MOST_SILENT) {
      append_line(out, rc_listening_score(listening), line);
    }
  }
  if (silent > MOST_SILENT) {
    g_string_append_printf(out, "... and %u silent chords more\n", silent - MOST_SILENT);
  }
  g_string_append(out, "\nThe accompaniment is a sketch; your ears decide.\n");
  g_ptr_array_unref(sorted);
  g_array_unref(lines);
}
