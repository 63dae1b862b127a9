// Copyright 2026 the rowcall developers
// SPDX-License-Identifier: MIT

#include "report/doubt_text.h"
#include "report/format.h"
#include "report/tune_text.h"
#include "report/written_json.h"

static const char *const tempo_names[] = {
  [RC_TEMPO_NONE] = "none",   [RC_TEMPO_STATED] = "stated", [RC_TEMPO_RHYTHM] = "rhythm", [RC_TEMPO_TITLE] = "title",
  [RC_TEMPO_GROUP] = "group", [RC_TEMPO_FILE] = "file",     [RC_TEMPO_METER] = "meter",   [RC_TEMPO_GIVEN] = "given",
};

static gboolean
is_substitute(RcVerdict verdict)
{
  return verdict >= RC_SAME && verdict <= RC_BORROWED;
}

static void
add_fingers(GString *json, const RcLayout *layout, const RcNeed *need)
{
  rc_json_fingers(json, layout, &need->answer.grip, &need->fingers);
  if (!need->second.found) {
    rc_json_null(json, "alternating");
    return;
  }
  rc_json_begin_object(json, "alternating");
  rc_json_button(json, "bass", layout, need->second.button);
  rc_json_number(json, "finger", rc_finger_of_player(layout, need->second.finger));
  rc_json_end_object(json);
}

static void
add_hard(GString *json, const RcTune *tune, const RcChart *chart)
{
  rc_json_begin_array(json, "hard");
  for (guint i = 0; i < chart->hard->len; ++i) {
    static const char *const kinds[] = { [RC_HARD_LEAP] = "leap", [RC_HARD_WIDE] = "wide", [RC_HARD_TURN] = "turn" };
    const RcHardSpot *spot = &g_array_index(chart->hard, RcHardSpot, i);
    rc_json_begin_object(json, NULL);
    rc_json_text(json, "kind", kinds[spot->kind]);
    rc_json_number(json, "bar", spot->bar + 1);
    rc_json_text(json, "chord", rc_tune_symbol(tune, spot->to)->text);
    if (spot->kind == RC_HARD_TURN) {
      rc_json_number(json, "milliseconds", (gint64)(spot->seconds * 1000 + 0.5));
    } else {
      rc_json_number(json, "mm", (gint64)(spot->mm + 0.5));
    }
    rc_json_number(json, "times", (gint64)spot->times);
    rc_json_end_object(json);
  }
  rc_json_end_array(json);
}

static void
add_need(GString *json, const RcLayout *layout, const RcTune *tune, const RcNeed *need)
{
  const RcSymbol *symbol = rc_tune_symbol(tune, need->symbol);
  const RcAnswer *answer = &need->answer;
  rc_json_begin_object(json, NULL);
  rc_json_text(json, "chord", symbol->text);
  rc_json_begin_array(json, "bars");
  for (guint i = 0; i < need->n_bars; ++i) {
    rc_json_number(json, NULL, need->bars[i] + 1);
  }
  rc_json_end_array(json);
  rc_json_text(json, "verdict", is_substitute(answer->verdict) ? "substitutable" : rc_verdict_name(answer->verdict));
  rc_json_number(json, "times", (gint64)need->times);
  rc_json_quarters(json, "quarters", need->ticks);
  if (need->pushed || need->pulled) {
    rc_json_number(json, "pushed", (gint64)need->pushed);
    rc_json_number(json, "pulled", (gint64)need->pulled);
  }
  if (answer->verdict < RC_IMPOSSIBLE) {
    char *press = rc_grip_describe(layout, &answer->grip, RC_SIGNS_UNICODE);
    rc_json_text(json, "press", press);
    g_free(press);
    rc_json_grip(json, layout, &answer->grip);
    rc_json_text(json, "grade", rc_verdict_name(answer->verdict));
    rc_json_likeness(json, answer->likeness);
    rc_json_tones(json, "kept", &symbol->chord, rc_tune_setting(tune, 0)->key, answer->grading.kept);
    rc_json_tones(json, "missing", &symbol->chord, rc_tune_setting(tune, 0)->key, answer->grading.missing);
    rc_json_tones(json, "added", &symbol->chord, rc_tune_setting(tune, 0)->key, answer->grading.foreign);
    rc_json_tones(json, "melody", &symbol->chord, rc_tune_setting(tune, 0)->key, answer->grading.helped);
    add_fingers(json, layout, need);
  }
  rc_json_end_object(json);
}

// By written bar, "push", "pull", "both" where the playings differ, or null, for each chord of it.
static void
add_bellows(GString *json, const RcTune *tune, const RcChart *chart)
{
  rc_json_begin_array(json, "bellows");
  for (guint i = 0; i < tune->bars->len; ++i) {
    const RcBar *bar = &g_array_index(tune->bars, RcBar, i);
    rc_json_begin_array(json, NULL);
    for (guint j = 0; j < bar->count; ++j) {
      const guint bellows = chart->bellows[bar->first + j];
      if (bellows) {
        rc_json_text(json, NULL, rc_bellows_name((RcBellows)bellows));
      } else {
        rc_json_null(json, NULL);
      }
    }
    rc_json_end_array(json);
  }
  rc_json_end_array(json);
}

// What may be meant otherwise.
static void
add_remarks(GString *json, const RcTune *tune)
{
  GArray *doubts = rc_tune_doubts(tune);
  rc_json_begin_array(json, "remarks");
  for (guint i = 0; i < doubts->len; ++i) {
    const RcDoubt *doubt = &g_array_index(doubts, RcDoubt, i);
    const gboolean of_key = doubt->kind == RC_DOUBT_KEY;
    char *meant = of_key ? rc_key_name(doubt->key, RC_SIGNS_ASCII) : rc_chord_name(&doubt->meant, RC_SIGNS_ASCII);
    char *text = rc_doubt_text(tune, doubt, RC_SIGNS_ASCII);
    rc_json_begin_object(json, NULL);
    rc_json_text(json, "kind", of_key ? "key" : "chord");
    rc_json_number(json, "line", doubt->line);
    rc_json_number(json, "column", doubt->column);
    rc_json_number(json, "bar", doubt->bar + 1);
    rc_json_text(json, "chord", rc_tune_symbol(tune, doubt->symbol)->text);
    rc_json_text(json, "meant", meant);
    rc_json_text(json, "text", text);
    rc_json_end_object(json);
    g_free(text);
    g_free(meant);
  }
  rc_json_end_array(json);
  g_array_unref(doubts);
}

void
rc_append_tune_json(GString *json, const RcLayout *layout, const RcTune *tune, const RcChart *chart)
{
  char *key = rc_key_name(rc_tune_setting(tune, 0)->key, RC_SIGNS_ASCII);
  char *meter = g_strdup_printf("%u/%u", rc_tune_setting(tune, 0)->meter.beats, rc_tune_setting(tune, 0)->meter.unit);
  rc_json_begin_object(json, NULL);
  rc_json_text(json, "title", tune->title);
  rc_json_text(json, "file", tune->file);
  rc_json_number(json, "line", tune->line);
  rc_json_text(json, "key", key);
  rc_json_text(json, "key_source", rc_tune_key_source(tune));
  rc_json_text(json, "meter", meter);
  rc_json_quarters(json, "beat", rc_meter_beat(rc_tune_setting(tune, 0)->meter));
  rc_json_decimal(json, "beats_a_minute",
                  chart->tempo.quarters * (double)RC_QUARTER / (double)rc_meter_beat(rc_tune_setting(tune, 0)->meter));
  rc_json_decimal(json, "quarters_a_minute", chart->tempo.quarters);
  rc_json_text(json, "tempo", tempo_names[chart->tempo.source]);
  rc_json_boolean(json, "lengths", !tune->unmeasured);
  rc_json_counts(json, &chart->counts);
  rc_json_boolean(json, "native", chart->counts.native > 0);
  rc_json_boolean(json, "playable", chart->counts.playable > 0);
  rc_json_number(json, "travel_mm", (gint64)(chart->travel + 0.5));
  if (rc_layout_has_bellows(layout)) {
    rc_json_number(json, "reversals", chart->reversals);
    rc_json_number(json, "hasty", chart->hasty);
    add_bellows(json, tune, chart);
  }
  rc_json_written(json, tune, chart);
  add_hard(json, tune, chart);
  add_remarks(json, tune);
  rc_json_begin_array(json, "ways");
  for (guint i = 0; i < chart->needs->len; ++i) {
    add_need(json, layout, tune, &g_array_index(chart->needs, RcNeed, i));
  }
  rc_json_end_array(json);
  rc_json_end_object(json);
  g_string_append_c(json, '\n');
  g_free(meter);
  g_free(key);
}
