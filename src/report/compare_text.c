// Copyright 2026 the rowcall developers
// SPDX-License-Identifier: MIT

#include "report/format.h"

#define U64 G_GUINT64_FORMAT

int
rc_report_smallest(const RcRoll *roll, RcTarget target)
{
  for (guint i = 0; i < rc_roll_n_layouts(roll); ++i) {
    const RcCounts counts = rc_roll_counts(roll, i);
    if (rc_target_reached(target, &counts, rc_roll_accept(roll))) {
      return (int)i;
    }
  }
  return -1;
}

// ---------------------------------------------------------------------------------------------------------- table

static void
append_intake(GString *out, const RcRoll *roll, const RcIntake *intake)
{
  const RcCounts counts = rc_roll_counts(roll, 0);
  const RcTiming timing = rc_roll_timing(roll);
  char *quarters = rc_quarters_text(rc_counts_ticks(&counts));
  GString *text = g_string_new(NULL);
  g_string_append_printf(text, "%" U64 " tune%s from %" U64 " file%s: %" U64 " chords in %s quarter notes as played.",
                         intake->tunes, intake->tunes == 1 ? "" : "s", intake->files, intake->files == 1 ? "" : "s",
                         rc_counts_chords(&counts), quarters);
  if (timing.chordless) {
    g_string_append_printf(text, " %" U64 " of the tunes hold no chord and are left out below.", timing.chordless);
  }
  if (intake->problems) {
    g_string_append_printf(text, " %" U64 " more could not be read.", intake->problems);
  }
  rc_append_wrapped(out, text->str, 0);
  g_string_free(text, TRUE);
  g_free(quarters);
}

static void
append_row(GString *out, const RcLayout *layout, const RcCounts *counts, RcShare share)
{
  char text[RC_N_VERDICTS][8];
  for (guint i = 0; i < RC_N_VERDICTS; ++i) {
    if (share == RC_SHARE_TIME) {
      rc_percent_text(text[i], counts->ticks[i], rc_counts_ticks(counts));
    } else {
      rc_percent_text(text[i], (gint64)counts->chords[i], (gint64)rc_counts_chords(counts));
    }
  }
  rc_append_padded(out, layout->name, 15);
  g_string_append_printf(out, " %6s %4s %4s %4s %4s %4s %6s %6s %7" U64 " %8" U64 "\n", text[0], text[1], text[2],
                         text[3], text[4], text[5], text[6], text[7], counts->native, counts->playable);
}

static void
append_finding(GString *out, const RcRoll *roll)
{
  const int smallest = rc_report_smallest(roll, rc_target());
  const RcCounts counts = rc_roll_counts(roll, 0);
  const char *grade = rc_verdict_name(rc_roll_accept(roll));
  const char *read = counts.chords[RC_UNREAD] ? " that could be read," : "";
  const char *whole = rc_counts_measured(&counts) ? "playing time" : "chords";
  char *text = smallest < 0
                 ? g_strdup_printf("None of these carries 95 %% of the %s%s at grade %s or better.", whole, read, grade)
                 : g_strdup_printf("The first of these to carry 95 %% of the %s%s at grade %s or better: %s.", whole,
                                   read, grade, rc_roll_layout(roll, (guint)smallest)->name);
  rc_append_wrapped(out, text, 0);
  g_free(text);
}

// What the melody adds to the tunes that are playable, where it adds any.
static void
append_help(GString *out, const RcRoll *roll)
{
  GString *text = g_string_new(NULL);
  for (guint i = 0; i < rc_roll_n_layouts(roll); ++i) {
    const RcCounts counts = rc_roll_counts(roll, i);
    if (counts.playable > counts.playable_alone) {
      g_string_append_printf(text, "%s%s %" U64,
                             text->len ? ", "
                                       : "Tunes playable only because the melody has a missing "
                                         "tone: ",
                             rc_roll_layout(roll, i)->name, counts.playable - counts.playable_alone);
    }
  }
  if (text->len) {
    g_string_append_c(text, '.');
    rc_append_wrapped(out, text->str, 0);
  }
  g_string_free(text, TRUE);
}

// A warning where a melody is to be played on boards that change notes with the bellows.
static void
append_bellows(GString *out, const RcRoll *roll)
{
  GString *names = g_string_new(NULL);
  const guint64 melodies = rc_roll_timing(roll).melodies;
  for (guint i = 0; i < rc_roll_n_layouts(roll) && melodies; ++i) {
    if (rc_layout_has_bellows(rc_roll_layout(roll, i))) {
      g_string_append_printf(names, "%s%s", names->len ? ", " : "", rc_roll_layout(roll, i)->name);
    }
  }
  if (names->len) {
    char *text =
      g_strdup_printf("%s: left hand alone. %" U64 " of the tunes have a melody, which needs the bellows one way "
                      "or the other; neither that nor air is modelled.",
                      names->str, melodies);
    rc_append_wrapped(out, text, 0);
    g_free(text);
  }
  g_string_free(names, TRUE);
}

// "Bm and F#m account for 9 of them"
static void
append_chords(GString *text, const RcGain *gain, RcSigns signs)
{
  for (guint i = 0; i < gain->n_chords; ++i) {
    char *name = rc_chord_name(&gain->chords[i], signs);
    g_string_append_printf(text, "%s%s", !i ? "; " : i + 1 == gain->n_chords ? " and " : ", ", name);
    g_free(name);
  }
  if (gain->n_chords) {
    g_string_append_printf(text, " account%s for ", gain->n_chords == 1 ? "s" : "");
    if (gain->explained == gain->tunes) {
      g_string_append(text, gain->tunes == 1 ? "it" : "all of them");
    } else {
      g_string_append_printf(text, "%" U64 " of them", gain->explained);
    }
  }
}

char *
rc_gain_text(const RcRoll *roll, guint index, RcSigns signs)
{
  const RcGain gain = rc_roll_gain(roll, index);
  if (gain.next < 0) {
    return NULL;
  }
  const RcCounts counts = rc_roll_counts(roll, index);
  char percent[8];
  GString *text = g_string_new(NULL);
  rc_percent_text(percent, gain.ticks, rc_counts_read(&counts));
  g_string_append_printf(text, "From %s to %s: ", rc_roll_layout(roll, index)->name,
                         rc_roll_layout(roll, (guint)gain.next)->name);
  if (!gain.tunes && !gain.ticks) {
    g_string_append(text, "nothing more");
  } else {
    char *tunes =
      gain.tunes ? g_strdup_printf("%" U64 " tune%s", gain.tunes, gain.tunes == 1 ? "" : "s") : g_strdup("no tune");
    g_string_append_printf(text, "%s more, %s %% of the %s", tunes, gain.ticks ? percent : "0",
                           rc_counts_measured(&counts) ? "time" : "chords");
    g_free(tunes);
  }
  append_chords(text, &gain, signs);
  g_string_append_c(text, '.');
  return g_string_free(text, FALSE);
}

// What each next size that has all the buttons of one buys.
static void
append_gains(GString *out, const RcRoll *roll)
{
  gboolean any = FALSE;
  for (guint i = 0; i < rc_roll_n_layouts(roll); ++i) {
    char *text = rc_gain_text(roll, i, RC_SIGNS_ASCII);
    if (text) {
      g_string_append(out, any ? "" : "\nWhat the next size buys that has all its buttons:\n");
      g_string_append(out, "  ");
      rc_append_wrapped(out, text, 4);
      any = TRUE;
    }
    g_free(text);
  }
  g_string_append(out, any ? "\n" : "");
}

static void
append_table(GString *out, const RcRoll *roll, const RcIntake *intake, RcShare share)
{
  const RcCounts counts = rc_roll_counts(roll, 0);
  share = rc_counts_measured(&counts) ? share : RC_SHARE_CHORDS;
  append_intake(out, roll, intake);
  g_string_append_printf(out, "\n%15s %-46s%17s\n", "",
                         share == RC_SHARE_TIME ? "percent of the playing time" : "percent of the chords", "tunes");
  g_string_append(out, "layout          native    A    B    C    D    E   none unread  native playable\n");
  for (guint i = 0; i < rc_roll_n_layouts(roll); ++i) {
    const RcCounts row = rc_roll_counts(roll, i);
    append_row(out, rc_roll_layout(roll, i), &row, share);
  }
  char *timing = rc_timing_text(roll);
  char *rules =
    g_strdup_printf("A same notes, B richer, C leaner, D bare, E borrowed, none: no grip will do. A tune is "
                    "playable when each of its chords has grade %s or better; of %" U64 " tunes with chords.",
                    rc_verdict_name(rc_roll_accept(roll)), counts.tunes);
  g_string_append_c(out, '\n');
  append_finding(out, roll);
  append_help(out, roll);
  append_bellows(out, roll);
  append_gains(out, roll);
  rc_append_wrapped(out, rules, 0);
  if (*timing) {
    rc_append_wrapped(out, g_strchomp(timing), 0);
  }
  g_free(rules);
  g_free(timing);
}

// ------------------------------------------------------------------------------------------------------------ CSV

static void
append_csv_counts(GString *out, const char *layout, const char *what, const RcCounts *counts, gboolean time)
{
  char *cells[RC_N_VERDICTS + 1];
  for (guint i = 0; i < RC_N_VERDICTS; ++i) {
    cells[i] = time ? rc_quarters_text(counts->ticks[i]) : g_strdup_printf("%" U64, counts->chords[i]);
  }
  cells[RC_N_VERDICTS] =
    time ? rc_quarters_text(rc_counts_ticks(counts)) : g_strdup_printf("%" U64, rc_counts_chords(counts));
  rc_append_csv(out, layout, what, cells[RC_N_VERDICTS], cells[0], cells[1], cells[2], cells[3], cells[4], cells[5],
                cells[6], cells[7], "", NULL);
  for (guint i = 0; i <= RC_N_VERDICTS; ++i) {
    g_free(cells[i]);
  }
}

static void
append_csv_tunes(GString *out, const char *layout, const RcCounts *counts)
{
  char *total = g_strdup_printf("%" U64, counts->tunes);
  char *native = g_strdup_printf("%" U64, counts->native);
  char *playable = g_strdup_printf("%" U64, counts->playable);
  rc_append_csv(out, layout, "tunes", total, native, "", "", "", "", "", "", "", playable, NULL);
  g_free(total);
  g_free(native);
  g_free(playable);
}

static void
append_csv(GString *out, const RcRoll *roll)
{
  rc_append_csv(out, "layout", "counted", "total", "native", "A", "B", "C", "D", "E", "impossible", "unread",
                "playable", NULL);
  for (guint i = 0; i < rc_roll_n_layouts(roll); ++i) {
    const char *name = rc_roll_layout(roll, i)->name;
    const RcCounts counts = rc_roll_counts(roll, i);
    append_csv_counts(out, name, "chords", &counts, FALSE);
    append_csv_counts(out, name, "quarters", &counts, TRUE);
    append_csv_tunes(out, name, &counts);
  }
}

// ----------------------------------------------------------------------------------------------------------- JSON

static void
add_layout(JsonBuilder *json, const RcLayout *layout, const RcCounts *counts)
{
  json_builder_begin_object(json);
  rc_json_text(json, "layout", layout->name);
  rc_json_number(json, "buttons", rc_layout_count_buttons(layout));
  rc_json_counts(json, counts);
  rc_json_tunes(json, counts);
  json_builder_end_object(json);
}

static void
append_json(GString *out, const RcRoll *roll, const RcIntake *intake)
{
  JsonBuilder *json = json_builder_new();
  json_builder_begin_object(json);
  json_builder_set_member_name(json, "layouts");
  json_builder_begin_array(json);
  for (guint i = 0; i < rc_roll_n_layouts(roll); ++i) {
    const RcCounts counts = rc_roll_counts(roll, i);
    add_layout(json, rc_roll_layout(roll, i), &counts);
  }
  json_builder_end_array(json);
  rc_json_number(json, "tunes", (gint64)intake->tunes);
  rc_json_number(json, "files", (gint64)intake->files);
  rc_json_number(json, "problems", (gint64)intake->problems);
  json_builder_end_object(json);
  rc_json_finish(out, json);
}

void
rc_report_compare(GString *out, RcTextFormat format, const RcRoll *roll, const RcIntake *intake, RcShare share)
{
  switch (format) {
  case RC_TEXT_TABLE:
    append_table(out, roll, intake, share);
    break;
  case RC_TEXT_CSV:
    append_csv(out, roll);
    break;
  case RC_TEXT_JSON:
    append_json(out, roll, intake);
    break;
  }
}
