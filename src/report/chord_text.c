// Copyright 2026 the rowcall developers
// SPDX-License-Identifier: MIT

#include "report/format.h"
#include "report/need_text.h"

static const char *
verdict_class(RcVerdict verdict)
{
  return verdict >= RC_SAME && verdict <= RC_BORROWED ? "substitutable" : rc_verdict_name(verdict);
}

// What to say of a text without any answer.
static const char *
why_nothing(const RcAsked *asked)
{
  return asked->kind == RC_SYMBOL_CHORD ? "impossible" : asked->kind == RC_SYMBOL_UNREAD ? "unread" : "silent";
}

// A root spelled as in the chord.
static const char *
root_name(const RcAsked *asked, guint root)
{
  return rc_tone_name(&asked->request.chord, asked->key, root, RC_SIGNS_ASCII);
}

static char *
tones_or_dash(const RcAsked *asked, RcPcSet set)
{
  char *text = rc_tones_text(&asked->request.chord, asked->key, set, RC_SIGNS_ASCII, " ");
  if (*text) {
    return text;
  }
  g_free(text);
  return g_strdup("-");
}

// ---------------------------------------------------------------------------------------------------------- table

static void
append_heading(GString *out, const RcLayout *layout, const RcAsked *asked, RcVerdict verdict)
{
  char *names = tones_or_dash(asked, asked->tones);
  char *grade = verdict >= RC_SAME && verdict <= RC_BORROWED
                  ? g_strdup_printf(", grade %s (%s)", rc_verdict_name(verdict), rc_verdict_word(verdict))
                  : g_strdup("");
  g_string_append_printf(out, "%s on %s: %s%s\n", asked->text, layout->name, verdict_class(verdict), grade);
  g_string_append_printf(out, "Wanted: %s over the bass %s; heard as a chord of %s.\n", names,
                         rc_note_name(asked->request.chord.bass, RC_SIGNS_ASCII), root_name(asked, asked->root));
  g_free(names);
  g_free(grade);
}

static void
append_way(GString *out, const RcLayout *layout, const RcAsked *asked, const RcRanked *way)
{
  const RcAnswer *answer = &way->answer;
  char *missing = tones_or_dash(asked, answer->grading.missing);
  char *added = tones_or_dash(asked, answer->grading.foreign);
  char *press = rc_grip_describe(layout, &answer->grip, RC_SIGNS_ASCII);
  const gsize start = out->len;
  g_string_append_printf(out, "%-6s %3u.%02u  %-4s  ", rc_verdict_name(answer->verdict),
                         rc_likeness_hundredths(answer->likeness) / 100, rc_likeness_hundredths(answer->likeness) % 100,
                         root_name(asked, way->root));
  rc_append_padded(out, missing, 8);
  g_string_append_c(out, ' ');
  rc_append_padded(out, added, 8);
  g_string_append_c(out, ' ');
  rc_append_wrapped(out, press, (guint)(out->len - start));
  g_free(missing);
  g_free(added);
  g_free(press);
}

static void
append_ways(GString *out, const RcLayout *layout, const RcAsked *asked, guint most)
{
  const guint n = most ? MIN(most, asked->n) : asked->n;
  g_string_append(out, "\ngrade    like  root  missing  adds     press\n");
  for (guint i = 0; i < n; ++i) {
    append_way(out, layout, asked, &asked->ways[i]);
  }
  if (n < asked->n) {
    g_string_append_printf(out, "... and %u more; --most 0 lists them all\n", asked->n - n);
  }
}

static void
append_last_resort(GString *out, const RcLayout *layout, const RcChord *chord)
{
  char *last = rc_last_resort_text(layout, chord, RC_SIGNS_ASCII);
  char *text = g_strdup_printf("No grip within one hand fits the grades: %s.", last);
  rc_append_wrapped(out, text, 0);
  g_free(text);
  g_free(last);
}

static void
append_table(GString *out, const RcLayout *layout, const RcAsked *asked, guint most)
{
  if (asked->kind == RC_SYMBOL_SILENT) {
    g_string_append_printf(out, "%s asks for no chord.\n", asked->text);
  } else if (asked->kind == RC_SYMBOL_CHORD) {
    append_heading(out, layout, asked, asked->n ? asked->ways[0].answer.verdict : RC_IMPOSSIBLE);
    if (asked->n) {
      append_ways(out, layout, asked, most);
    } else {
      append_last_resort(out, layout, &asked->request.chord);
    }
  }
}

// ------------------------------------------------------------------------------------------------------------ CSV

static void
append_csv_way(GString *out, const RcLayout *layout, const RcAsked *asked, const RcRanked *way)
{
  const RcAnswer *answer = &way->answer;
  const RcChord *chord = &asked->request.chord;
  const guint like = rc_likeness_hundredths(answer->likeness);
  char *likeness = g_strdup_printf("%u.%02u", like / 100, like % 100);
  char *press = rc_grip_describe(layout, &answer->grip, RC_SIGNS_ASCII);
  char *kept = rc_tones_text(chord, asked->key, answer->grading.kept, RC_SIGNS_ASCII, " ");
  char *missing = rc_tones_text(chord, asked->key, answer->grading.missing, RC_SIGNS_ASCII, " ");
  char *added = rc_tones_text(chord, asked->key, answer->grading.foreign, RC_SIGNS_ASCII, " ");
  rc_append_csv(out, asked->text, layout->name, rc_verdict_name(answer->verdict), likeness, press, kept, missing, added,
                root_name(asked, way->root), NULL);
  g_free(likeness);
  g_free(press);
  g_free(kept);
  g_free(missing);
  g_free(added);
}

static void
append_csv(GString *out, const RcLayout *layout, const RcAsked *asked)
{
  for (guint i = 0; i < asked->n; ++i) {
    append_csv_way(out, layout, asked, &asked->ways[i]);
  }
  if (!asked->n) {
    rc_append_csv(out, asked->text, layout->name, why_nothing(asked), "", "", "", "", "", "", NULL);
  }
}

// ----------------------------------------------------------------------------------------------------------- JSON

static void
add_way(GString *json, const RcLayout *layout, const RcAsked *asked, const RcRanked *way)
{
  const RcAnswer *answer = &way->answer;
  const RcChord *chord = &asked->request.chord;
  rc_json_begin_object(json, NULL);
  rc_json_grip(json, layout, &answer->grip);
  rc_json_text(json, "grade", rc_verdict_name(answer->verdict));
  rc_json_likeness(json, answer->likeness);
  rc_json_tones(json, "kept", chord, asked->key, answer->grading.kept);
  rc_json_tones(json, "missing", chord, asked->key, answer->grading.missing);
  rc_json_tones(json, "added", chord, asked->key, answer->grading.foreign);
  if (way->held) {
    rc_json_fingers(json, layout, &answer->grip, &way->fingers);
  } else {
    rc_json_null(json, "fingers");
  }
  rc_json_end_object(json);
}

static void
add_asked(GString *json, const RcLayout *layout, const RcAsked *asked)
{
  const char *verdict = asked->n ? verdict_class(asked->ways[0].answer.verdict) : why_nothing(asked);
  rc_json_begin_object(json, NULL);
  rc_json_text(json, "chord", asked->text);
  rc_json_text(json, "layout", layout->name);
  rc_json_text(json, "verdict", verdict);
  rc_json_begin_array(json, "grips");
  for (guint i = 0; i < asked->n; ++i) {
    add_way(json, layout, asked, &asked->ways[i]);
  }
  rc_json_end_array(json);
  rc_json_end_object(json);
}

static void
append_json(GString *json, const RcLayout *layout, RcAsked *const *asked, guint n)
{
  if (n > 1) {
    rc_json_begin_array(json, NULL);
  }
  for (guint i = 0; i < n; ++i) {
    add_asked(json, layout, asked[i]);
  }
  if (n > 1) {
    rc_json_end_array(json);
  }
  g_string_append_c(json, '\n');
}

void
rc_report_chord(GString *out, RcTextFormat format, const RcLayout *layout, RcAsked *const *asked, guint n, guint most)
{
  if (format == RC_TEXT_JSON) {
    append_json(out, layout, asked, n);
    return;
  }
  if (format == RC_TEXT_CSV) {
    rc_append_csv(out, "chord", "layout", "grade", "likeness", "press", "kept", "missing", "added", "heard root", NULL);
  }
  for (guint i = 0; i < n; ++i) {
    if (format == RC_TEXT_CSV) {
      append_csv(out, layout, asked[i]);
    } else {
      g_string_append(out, out->len ? "\n" : "");
      append_table(out, layout, asked[i], most);
    }
  }
}
