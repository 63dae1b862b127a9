// Copyright 2026 the rowcall developers
// SPDX-License-Identifier: MIT

#include "report/format.h"
#include "report/need_text.h"

#include <string.h>

static const char *
verdict_class(RcVerdict verdict)
{
  return verdict >= RC_SAME && verdict <= RC_BORROWED ? "substitutable" : rc_verdict_name(verdict);
}

// What to say of a text without any answer.
static const char *
why_nothing(const RcRanking *ranking)
{
  return ranking->kind == RC_SYMBOL_CHORD ? "impossible" : ranking->kind == RC_SYMBOL_UNREAD ? "unread" : "silent";
}

// A root spelled as in the chord.
static const char *
root_name(const RcRanking *ranking, guint root)
{
  return rc_tone_name(&ranking->request.chord, ranking->key, root, RC_SIGNS_ASCII);
}

static char *
tones_or_dash(const RcRanking *ranking, RcPcSet set)
{
  char *text = rc_tones_text(&ranking->request.chord, ranking->key, set, RC_SIGNS_ASCII, " ");
  if (*text) {
    return text;
  }
  g_free(text);
  return g_strdup("-");
}

// ---------------------------------------------------------------------------------------------------------- table

static void
append_heading(GString *out, const RcLayout *layout, const RcRanking *ranking, RcVerdict verdict)
{
  char *names = tones_or_dash(ranking, ranking->tones);
  char *grade = verdict >= RC_SAME && verdict <= RC_BORROWED
                  ? g_strdup_printf(", grade %s (%s)", rc_verdict_name(verdict), rc_verdict_word(verdict))
                  : g_strdup("");
  g_string_append_printf(out, "%s on %s: %s%s\n", ranking->text, layout->name, verdict_class(verdict), grade);
  g_string_append_printf(out, "Wanted: %s over the bass %s; heard as a chord of %s.\n", names,
                         rc_note_name(ranking->request.chord.bass, RC_SIGNS_ASCII), root_name(ranking, ranking->root));
  g_free(names);
  g_free(grade);
}

static void
append_way(GString *out, const RcLayout *layout, const RcRanking *ranking, const RcRanked *way)
{
  const RcAnswer *answer = &way->answer;
  char *missing = tones_or_dash(ranking, answer->grading.missing);
  char *added = tones_or_dash(ranking, answer->grading.foreign);
  char *press = rc_grip_describe(layout, &answer->grip, RC_SIGNS_ASCII);
  const gsize start = out->len;
  g_string_append_printf(out, "%-6s %3u.%02u  %-4s  ", rc_verdict_name(answer->verdict),
                         rc_likeness_hundredths(answer->likeness) / 100, rc_likeness_hundredths(answer->likeness) % 100,
                         root_name(ranking, way->root));
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
append_ways(GString *out, const RcLayout *layout, const RcRanking *ranking, guint most)
{
  const guint n = most ? MIN(most, ranking->n) : ranking->n;
  g_string_append(out, "\ngrade    like  root  missing  adds     press\n");
  for (guint i = 0; i < n; ++i) {
    append_way(out, layout, ranking, &ranking->ways[i]);
  }
  if (n < ranking->n) {
    g_string_append_printf(out, "... and %u more; --most 0 lists them all\n", ranking->n - n);
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
append_table(GString *out, const RcLayout *layout, const RcRanking *ranking, guint most)
{
  if (ranking->kind == RC_SYMBOL_SILENT) {
    g_string_append_printf(out, "%s asks for no chord.\n", ranking->text);
  } else if (ranking->kind == RC_SYMBOL_CHORD) {
    append_heading(out, layout, ranking, ranking->n ? ranking->ways[0].answer.verdict : RC_IMPOSSIBLE);
    if (ranking->n) {
      append_ways(out, layout, ranking, most);
    } else {
      append_last_resort(out, layout, &ranking->request.chord);
    }
  }
}

// ------------------------------------------------------------------------------------------------------------ CSV

static void
append_csv_way(GString *out, const RcLayout *layout, const RcRanking *ranking, const RcRanked *way)
{
  const RcAnswer *answer = &way->answer;
  const RcChord *chord = &ranking->request.chord;
  const guint like = rc_likeness_hundredths(answer->likeness);
  char *likeness = g_strdup_printf("%u.%02u", like / 100, like % 100);
  char *press = rc_grip_describe(layout, &answer->grip, RC_SIGNS_ASCII);
  char *kept = rc_tones_text(chord, ranking->key, answer->grading.kept, RC_SIGNS_ASCII, " ");
  char *missing = rc_tones_text(chord, ranking->key, answer->grading.missing, RC_SIGNS_ASCII, " ");
  char *added = rc_tones_text(chord, ranking->key, answer->grading.foreign, RC_SIGNS_ASCII, " ");
  rc_append_csv(out, ranking->text, layout->name, rc_verdict_name(answer->verdict), likeness, press, kept, missing,
                added, root_name(ranking, way->root), NULL);
  g_free(likeness);
  g_free(press);
  g_free(kept);
  g_free(missing);
  g_free(added);
}

static void
append_csv(GString *out, const RcLayout *layout, const RcRanking *ranking)
{
  for (guint i = 0; i < ranking->n; ++i) {
    append_csv_way(out, layout, ranking, &ranking->ways[i]);
  }
  if (!ranking->n) {
    rc_append_csv(out, ranking->text, layout->name, why_nothing(ranking), "", "", "", "", "", "", NULL);
  }
}

// ----------------------------------------------------------------------------------------------------------- JSON

static void
add_way(GString *json, const RcLayout *layout, const RcRanking *ranking, const RcRanked *way)
{
  const RcAnswer *answer = &way->answer;
  const RcChord *chord = &ranking->request.chord;
  rc_json_begin_object(json, NULL);
  rc_json_grip(json, layout, &answer->grip);
  rc_json_text(json, "grade", rc_verdict_name(answer->verdict));
  rc_json_likeness(json, answer->likeness);
  rc_json_tones(json, "kept", chord, ranking->key, answer->grading.kept);
  rc_json_tones(json, "missing", chord, ranking->key, answer->grading.missing);
  rc_json_tones(json, "added", chord, ranking->key, answer->grading.foreign);
  if (way->held) {
    rc_json_fingers(json, layout, &answer->grip, &way->fingers);
  } else {
    rc_json_null(json, "fingers");
  }
  rc_json_end_object(json);
}

static void
add_ranking(GString *json, const RcLayout *layout, const RcRanking *ranking)
{
  const char *verdict = ranking->n ? verdict_class(ranking->ways[0].answer.verdict) : why_nothing(ranking);
  rc_json_begin_object(json, NULL);
  rc_json_text(json, "chord", ranking->text);
  rc_json_text(json, "layout", layout->name);
  rc_json_text(json, "verdict", verdict);
  rc_json_begin_array(json, "grips");
  for (guint i = 0; i < ranking->n; ++i) {
    add_way(json, layout, ranking, &ranking->ways[i]);
  }
  rc_json_end_array(json);
  rc_json_end_object(json);
}

static void
append_json(GString *json, const RcLayout *layout, RcRanking *const *rankings, guint n)
{
  if (n > 1) {
    rc_json_begin_array(json, NULL);
  }
  for (guint i = 0; i < n; ++i) {
    add_ranking(json, layout, rankings[i]);
  }
  if (n > 1) {
    rc_json_end_array(json);
  }
  g_string_append_c(json, '\n');
}

void
rc_report_chord(GString *out, RcTextFormat format, const RcLayout *layout, RcRanking *const *rankings, guint n,
                guint most)
{
  if (format == RC_TEXT_JSON) {
    append_json(out, layout, rankings, n);
    return;
  }
  if (format == RC_TEXT_CSV) {
    rc_append_csv(out, "chord", "layout", "grade", "likeness", "press", "kept", "missing", "added", "heard root", NULL);
  }
  for (guint i = 0; i < n; ++i) {
    if (format == RC_TEXT_CSV) {
      append_csv(out, layout, rankings[i]);
    } else {
      g_string_append(out, out->len ? "\n" : "");
      append_table(out, layout, rankings[i], most);
    }
  }
}

// ---------------------------------------------------------------------------------------------------------- unread

// A text that is written small as it would be written large; NULL where that is no chord either. A new string.
static char *
written_large(const char *text)
{
  RcChord chord;
  char *large = g_strdup(text);
  *large = g_ascii_toupper(*large);
  if (!strcmp(large, text) || rc_chord_parse(large, strlen(large), RC_NAMES_ENGLISH, &chord, NULL) != RC_SYMBOL_CHORD) {
    g_clear_pointer(&large, g_free);
  }
  return large;
}

// How a text that is no chord symbol would be one: written large, or by German names; a new string.
static char *
remedy_for(const char *text)
{
  RcChord chord;
  char *large = written_large(text);
  char *remedy = large && !large[1] ? g_strdup_printf("; did you mean `%s` or `%sm`?", large, large)
                 : large            ? g_strdup_printf("; did you mean `%s`?", large)
                                    : NULL;
  g_free(large);
  if (!remedy && rc_chord_parse(text, strlen(text), RC_NAMES_GERMAN, &chord, NULL) == RC_SYMBOL_CHORD) {
    remedy = g_strdup_printf("; %s--names german reads it", *text == 'H' ? "where H is B natural, " : "");
  }
  return remedy ? remedy : g_strdup("");
}

char *
rc_unread_text(const RcRanking *ranking)
{
  const char *left = ranking->text + ranking->stopped_at;
  char *remedy = remedy_for(ranking->text);
  char *text = g_strdup_printf("`%.80s` is no chord symbol: %s%.80s%s from character %ld on%s", ranking->text,
                               *left ? "`" : "something is missing", left, *left ? "` was not understood" : "",
                               g_utf8_strlen(ranking->text, (gssize)ranking->stopped_at) + 1, remedy);
  g_free(remedy);
  return text;
}
