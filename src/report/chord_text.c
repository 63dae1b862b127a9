// Copyright 2026 the rowcall developers
// SPDX-License-Identifier: MIT

#include "report/format.h"
#include "report/need_text.h"

static const char *
verdict_class(RcVerdict verdict)
{
  return verdict >= RC_SAME && verdict <= RC_BORROWED ? "substitutable" : rc_verdict_name(verdict);
}

// What is said of a text without any answer.
static const char *
why_nothing(const RcQuestion *question)
{
  return question->kind == RC_SYMBOL_CHORD ? "impossible" : question->kind == RC_SYMBOL_UNREAD ? "unread" : "silent";
}

// The root a listener finds in the tones, spelled as in the chord.
static const char *
heard_root(const RcQuestion *question, RcPcSet tones)
{
  double support[12];
  const guint root = rc_root_supports(rc_root_weights_1988, tones, support);
  return rc_note_name(rc_chord_spell(&question->request.chord, question->key, root), RC_SIGNS_ASCII);
}

static char *
tones_or_dash(const RcQuestion *question, RcPcSet set)
{
  char *text = rc_tones_text(&question->request.chord, question->key, set, RC_SIGNS_ASCII, " ");
  if (*text) {
    return text;
  }
  g_free(text);
  return g_strdup("-");
}

// ---------------------------------------------------------------------------------------------------------- table

static void
append_heading(GString *out, const RcLayout *layout, const RcQuestion *question, RcVerdict verdict)
{
  const RcPcSet tones = rc_wanted_tones(&question->request.chord);
  char *names = tones_or_dash(question, tones);
  char *grade = verdict >= RC_SAME && verdict <= RC_BORROWED
                  ? g_strdup_printf(", grade %s (%s)", rc_verdict_name(verdict), rc_verdict_word(verdict))
                  : g_strdup("");
  g_string_append_printf(out, "%s on %s: %s%s\n", question->text, layout->name, verdict_class(verdict), grade);
  g_string_append_printf(out, "Wanted: %s over the bass %s; heard as a chord of %s.\n", names,
                         rc_note_name(question->request.chord.bass, RC_SIGNS_ASCII), heard_root(question, tones));
  g_free(names);
  g_free(grade);
}

static void
append_way(GString *out, const RcLayout *layout, const RcQuestion *question, const RcAnswer *answer)
{
  const RcPcSet sounded = rc_grip_tones(layout, &answer->grip);
  char *missing = tones_or_dash(question, answer->grading.missing);
  char *added = tones_or_dash(question, answer->grading.foreign);
  char *press = rc_grip_describe(layout, &answer->grip, RC_SIGNS_ASCII);
  const gsize start = out->len;
  g_string_append_printf(out, "%-6s %3u.%02u  %-4s  ", rc_verdict_name(answer->verdict),
                         rc_likeness_hundredths(answer->likeness) / 100, rc_likeness_hundredths(answer->likeness) % 100,
                         heard_root(question, sounded));
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
append_ways(GString *out, const RcLayout *layout, const RcQuestion *question, const GArray *answers, guint most)
{
  const guint n = most ? MIN(most, answers->len) : answers->len;
  g_string_append(out, "\ngrade    like  root  missing  adds     press\n");
  for (guint i = 0; i < n; ++i) {
    append_way(out, layout, question, &g_array_index(answers, RcAnswer, i));
  }
  if (n < answers->len) {
    g_string_append_printf(out, "... and %u more; --most 0 lists them all\n", answers->len - n);
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
append_table(GString *out, const RcLayout *layout, const RcQuestion *question, const GArray *answers, guint most)
{
  if (question->kind == RC_SYMBOL_SILENT) {
    g_string_append_printf(out, "%s asks for no chord.\n", question->text);
  } else if (question->kind == RC_SYMBOL_CHORD) {
    append_heading(out, layout, question, answers->len ? g_array_index(answers, RcAnswer, 0).verdict : RC_IMPOSSIBLE);
    if (answers->len) {
      append_ways(out, layout, question, answers, most);
    } else {
      append_last_resort(out, layout, &question->request.chord);
    }
  }
}

// ------------------------------------------------------------------------------------------------------------ CSV

static void
append_csv_way(GString *out, const RcLayout *layout, const RcQuestion *question, const RcAnswer *answer)
{
  const RcChord *chord = &question->request.chord;
  const guint like = rc_likeness_hundredths(answer->likeness);
  char *likeness = g_strdup_printf("%u.%02u", like / 100, like % 100);
  char *press = rc_grip_describe(layout, &answer->grip, RC_SIGNS_ASCII);
  char *kept = rc_tones_text(chord, question->key, answer->grading.kept, RC_SIGNS_ASCII, " ");
  char *missing = rc_tones_text(chord, question->key, answer->grading.missing, RC_SIGNS_ASCII, " ");
  char *added = rc_tones_text(chord, question->key, answer->grading.foreign, RC_SIGNS_ASCII, " ");
  rc_append_csv(out, question->text, layout->name, rc_verdict_name(answer->verdict), likeness, press, kept, missing,
                added, heard_root(question, rc_grip_tones(layout, &answer->grip)), NULL);
  g_free(likeness);
  g_free(press);
  g_free(kept);
  g_free(missing);
  g_free(added);
}

static void
append_csv(GString *out, const RcLayout *layout, const RcQuestion *question, const GArray *answers)
{
  for (guint i = 0; i < answers->len; ++i) {
    append_csv_way(out, layout, question, &g_array_index(answers, RcAnswer, i));
  }
  if (!answers->len) {
    rc_append_csv(out, question->text, layout->name, why_nothing(question), "", "", "", "", "", "", NULL);
  }
}

// ----------------------------------------------------------------------------------------------------------- JSON

static void
add_way(JsonBuilder *json, const RcLayout *layout, const RcQuestion *question, const RcAnswer *answer)
{
  const RcChord *chord = &question->request.chord;
  json_builder_begin_object(json);
  rc_json_grip(json, layout, &answer->grip);
  rc_json_text(json, "grade", rc_verdict_name(answer->verdict));
  rc_json_likeness(json, answer->likeness);
  rc_json_tones(json, "kept", chord, question->key, answer->grading.kept);
  rc_json_tones(json, "missing", chord, question->key, answer->grading.missing);
  rc_json_tones(json, "added", chord, question->key, answer->grading.foreign);
  json_builder_end_object(json);
}

static void
add_question(JsonBuilder *json, const RcLayout *layout, const RcQuestion *question, const GArray *answers)
{
  const char *verdict =
    answers->len ? verdict_class(g_array_index(answers, RcAnswer, 0).verdict) : why_nothing(question);
  json_builder_begin_object(json);
  rc_json_text(json, "chord", question->text);
  rc_json_text(json, "layout", layout->name);
  rc_json_text(json, "verdict", verdict);
  json_builder_set_member_name(json, "grips");
  json_builder_begin_array(json);
  for (guint i = 0; i < answers->len; ++i) {
    add_way(json, layout, question, &g_array_index(answers, RcAnswer, i));
  }
  json_builder_end_array(json);
  json_builder_end_object(json);
}

static GArray *
rank(const RcCatalogue *catalogue, RcTaste taste, const RcQuestion *question)
{
  return question->kind == RC_SYMBOL_CHORD ? rc_catalogue_rank(catalogue, taste, &question->request)
                                           : g_array_new(FALSE, FALSE, sizeof(RcAnswer));
}

static void
append_json(GString *out, const RcCatalogue *catalogue, RcTaste taste, const RcQuestion *questions, guint n)
{
  JsonBuilder *json = json_builder_new();
  if (n > 1) {
    json_builder_begin_array(json);
  }
  for (guint i = 0; i < n; ++i) {
    GArray *answers = rank(catalogue, taste, &questions[i]);
    add_question(json, rc_catalogue_layout(catalogue), &questions[i], answers);
    g_array_unref(answers);
  }
  if (n > 1) {
    json_builder_end_array(json);
  }
  rc_json_finish(out, json);
}

void
rc_report_chord(GString *out, RcTextFormat format, const RcCatalogue *catalogue, RcTaste taste,
                const RcQuestion *questions, guint n, guint most)
{
  const RcLayout *layout = rc_catalogue_layout(catalogue);
  if (format == RC_TEXT_JSON) {
    append_json(out, catalogue, taste, questions, n);
    return;
  }
  if (format == RC_TEXT_CSV) {
    rc_append_csv(out, "chord", "layout", "grade", "likeness", "press", "kept", "missing", "added", "heard root", NULL);
  }
  for (guint i = 0; i < n; ++i) {
    GArray *answers = rank(catalogue, taste, &questions[i]);
    if (format == RC_TEXT_CSV) {
      append_csv(out, layout, &questions[i], answers);
    } else {
      g_string_append(out, out->len ? "\n" : "");
      append_table(out, layout, &questions[i], answers, most);
    }
    g_array_unref(answers);
  }
}
