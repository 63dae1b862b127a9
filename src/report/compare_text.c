// Copyright 2026 the rowcall developers
// SPDX-License-Identifier: MIT

#include "report/coverage_text.h"
#include "report/format.h"
#include "report/wide_text.h"

#define U64 G_GUINT64_FORMAT

// ---------------------------------------------------------------------------------------------------------- table

static void
append_intake(GString *out, const RcComparison *c)
{
  const RcIntake *intake = &c->rolled->intake;
  const RcCounts counts = c->sizes[0].counts;
  const RcTiming timing = rc_roll_timing(c->rolled->roll);
  GString *text = g_string_new(NULL);
  rc_append_music(text, intake, &counts);
  if (timing.chordless) {
    g_string_append_printf(text, " %" U64 " of the tunes %s no chord and %s left out below.", timing.chordless,
                           timing.chordless == 1 ? "holds" : "hold", timing.chordless == 1 ? "is" : "are");
  }
  rc_append_left_out(text, intake);
  rc_append_wrapped(out, text->str, 0);
  g_string_free(text, TRUE);
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
  const int name = (int)CLAMP(g_utf8_strlen(layout->name, -1), 14, 16);
  rc_append_padded(out, layout->name, (guint)name);
  g_string_append_printf(out, " %*s %4s %4s %4s %4s %4s %4s %6s %6" U64 " %8" U64 " %5" U64 "\n", 20 - name, text[0],
                         text[1], text[2], text[3], text[4], text[5], text[6], text[7], counts->native,
                         counts->playable, counts->one_short);
}

// "95 % of the playing time that could be read, at grade D or better"
static char *
goal_text(const RcComparison *c)
{
  const RcCounts *counts = &c->sizes[0].counts;
  char *percent = rc_target_text(c->target.millionths);
  char *text = g_strdup_printf("%s %% of the %s%s at grade %s or better", percent, rc_share_of(counts),
                               counts->chords[RC_UNREAD] ? " that could be read," : "", rc_verdict_name(c->accept));
  g_free(percent);
  return text;
}

// Which size is the smallest by time, and which by tunes.
static void
append_finding(GString *out, const RcComparison *c)
{
  char *goal = goal_text(c);
  char *percent = rc_target_text(c->target.millionths);
  GString *text = g_string_new(NULL);
  if (!rc_counts_read(&c->sizes[0].counts)) {
    char *nothing = rc_coverage_finding(c);
    g_string_append_printf(text, "%s.", nothing);
    g_free(nothing);
  } else if (c->by_time < 0) {
    g_string_append_printf(text, "None of these carries %s.", goal);
  } else {
    g_string_append_printf(text, "The smallest of these to carry %s: %s.", goal, c->sizes[c->by_time].layout->name);
  }
  if (c->sizes[0].counts.tunes > 1 && rc_counts_read(&c->sizes[0].counts)) {
    g_string_append_printf(
      text, c->by_tunes < 0 ? " None plays %s %% of the tunes." : " To play %s %% of the tunes: ", percent);
    g_string_append_printf(text, "%s%s", c->by_tunes < 0 ? "" : c->sizes[c->by_tunes].layout->name,
                           c->by_tunes < 0 ? "" : ".");
  }
  rc_append_wrapped(out, text->str, 0);
  g_string_free(text, TRUE);
  g_free(percent);
  g_free(goal);
}

// What the melody adds to the tunes that are playable, where it adds any.
static void
append_help(GString *out, const RcComparison *c)
{
  GString *text = g_string_new(NULL);
  for (guint i = 0; i < c->n; ++i) {
    const RcCounts counts = c->sizes[i].counts;
    if (counts.playable > counts.playable_alone) {
      g_string_append_printf(text, "%s%s %" U64,
                             text->len ? ", "
                                       : "Tunes playable only because the melody has a missing "
                                         "tone: ",
                             c->sizes[i].layout->name, counts.playable - counts.playable_alone);
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
append_bellows(GString *out, const RcComparison *c)
{
  GString *names = g_string_new(NULL);
  const guint64 melodies = rc_roll_timing(c->rolled->roll).melodies;
  for (guint i = 0; i < c->n && melodies; ++i) {
    if (rc_layout_has_bellows(c->sizes[i].layout)) {
      g_string_append_printf(names, "%s%s", names->len ? ", " : "", c->sizes[i].layout->name);
    }
  }
  if (names->len) {
    char *text =
      g_strdup_printf("%s: left hand alone. %" U64 " of the tunes %s a melody, which needs the bellows one way "
                      "or the other; neither that nor air is modelled.",
                      names->str, melodies, melodies == 1 ? "has" : "have");
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

// "; 17.9 % of the time moves from stand-ins to buttons of its own (A7, D7, E7), 0.3 % to better stand-ins"
static void
append_comfort(GString *text, const RcComparison *c, guint index, RcSigns signs)
{
  const RcStepUp *step = &c->sizes[index].step;
  const RcTicks whole = rc_counts_read(&c->sizes[index].counts);
  const gboolean measured = rc_counts_measured(&c->sizes[index].counts);
  const char *moves = measured ? "of the time moves" : "of the chords move";
  char percent[8];
  if (step->own) {
    rc_percent_text(percent, step->own, whole);
    g_string_append_printf(text, "; %s %% %s from stand-ins to buttons of %s own (", percent, moves,
                           measured ? "its" : "their");
    for (guint i = 0; i < step->n_chords; ++i) {
      char *name = rc_chord_name(&step->chords[i], signs);
      g_string_append_printf(text, "%s%s", i ? ", " : "", name);
      g_free(name);
    }
    g_string_append_c(text, ')');
  }
  if (step->better) {
    rc_percent_text(percent, step->better, whole);
    g_string_append_printf(text, step->own ? ", %s %% to better stand-ins" : "; %s %% %s to better stand-ins", percent,
                           moves);
  }
}

// "12 tunes more, 9.1 % of the time; Bm accounts for all of them"
static void
append_more(GString *text, const RcComparison *c, guint index, RcSigns signs)
{
  const RcSizeAnswer *size = &c->sizes[index];
  const RcGain *gain = &size->step.gain;
  char percent[8];
  rc_percent_text(percent, gain->ticks, rc_counts_read(&size->counts));
  if (gain->tunes) {
    g_string_append_printf(text, "%" U64 " tune%s more", gain->tunes, gain->tunes == 1 ? "" : "s");
  } else {
    g_string_append(text, "no tune more");
  }
  if (gain->ticks) {
    g_string_append_printf(text, ", %s %% of the %s", percent, rc_share_of_short(&size->counts));
  }
  append_chords(text, gain, signs);
}

char *
rc_step_text(const RcComparison *c, guint index, RcSigns signs)
{
  const RcStepUp *step = &c->sizes[index].step;
  if (step->gain.next < 0) {
    return NULL;
  }
  GString *text = g_string_new(NULL);
  g_string_append_printf(text, "From %s to %s: ", c->sizes[index].layout->name, c->sizes[step->gain.next].layout->name);
  if (step->gain.tunes || step->gain.ticks || step->own || step->better) {
    append_more(text, c, index, signs);
  } else {
    g_string_append(text, "nothing more");
  }
  append_comfort(text, c, index, signs);
  if (step->native) {
    g_string_append_printf(text, "; %" U64 " more tune%s native", step->native, step->native == 1 ? " is" : "s are");
  }
  g_string_append_c(text, '.');
  return g_string_free(text, FALSE);
}

// Says why nothing is told of the step from one keyboard to the next, a larger one that lacks rows of it.
static void
append_no_step(GString *out, const RcLayout *here, const RcLayout *next)
{
  GString *rows = g_string_new(NULL);
  for (guint i = 0; i < here->rows->len; ++i) {
    const char *row = g_ptr_array_index(here->rows, i);
    if (rc_layout_find_row(next, row) < 0) {
      g_string_append_printf(rows, "%s%s", rows->len ? ", " : "", row);
    }
  }
  if (rows->len && rc_layout_count_buttons(next) > rc_layout_count_buttons(here)) {
    char *text = g_strdup_printf("What %s buys after %s is not told, since it lacks a row that %s has: %s.", next->name,
                                 here->name, here->name, rows->str);
    g_string_append_c(out, '\n');
    rc_append_wrapped(out, text, 0);
    g_string_append_c(out, '\n');
    g_free(text);
  }
  g_string_free(rows, TRUE);
}

static gboolean
is_bought(const RcStepUp *step)
{
  return step->gain.next >= 0 && (step->gain.tunes || step->gain.ticks || step->own || step->better || step->native);
}

// What each next size that has all the buttons of one buys; where none buys anything that is said once.
static void
append_steps(GString *out, const RcComparison *c)
{
  guint steps = 0;
  guint bought = 0;
  for (guint i = 0; i < c->n; ++i) {
    steps += c->sizes[i].step.gain.next >= 0 ? 1 : 0;
    bought += is_bought(&c->sizes[i].step) ? 1 : 0;
  }
  if (steps > 1 && !bought) {
    g_string_append(out, "\nNo next size buys anything more.\n\n");
    return;
  }
  g_string_append(out, steps ? "\nWhat the next size buys that has all its buttons:\n" : "");
  for (guint i = 0; i < c->n; ++i) {
    char *text = rc_step_text(c, i, RC_SIGNS_ASCII);
    if (text) {
      g_string_append(out, "  ");
      rc_append_wrapped(out, text, 4);
    }
    g_free(text);
  }
  for (guint i = 0; !steps && i + 1 < c->n; ++i) {
    append_no_step(out, c->sizes[i].layout, c->sizes[i + 1].layout);
  }
  g_string_append(out, steps ? "\n" : "");
}

static void
append_table(GString *out, const RcComparison *c, RcShare share)
{
  const RcCounts *counts = &c->sizes[0].counts;
  share = rc_counts_measured(counts) ? share : RC_SHARE_CHORDS;
  append_intake(out, c);
  g_string_append_printf(out, "\n%14s %-44s%20s\n", "",
                         share == RC_SHARE_TIME ? "percent of the playing time" : "percent of the chords", "tunes");
  g_string_append(out, "layout         native    A    B    C    D    E none unread native playable short\n");
  for (guint i = 0; i < c->n; ++i) {
    append_row(out, c->sizes[i].layout, &c->sizes[i].counts, share);
  }
  char *timing = rc_timing_text(c->rolled->roll);
  char *rules =
    g_strdup_printf("A same notes, B richer, C leaner, D bare, E borrowed, none: no grip. A tune is "
                    "playable when each of its chords has grade %s or better, and one short where a single different "
                    "chord keeps it from that; of %" U64 " tune%s with chords.",
                    rc_verdict_name(c->accept), counts->tunes, counts->tunes == 1 ? "" : "s");
  g_string_append_c(out, '\n');
  append_finding(out, c);
  append_help(out, c);
  append_bellows(out, c);
  if (c->n_wide) {
    rc_append_wide(out, c->sizes[c->by_time].layout, c->wide, c->n_wide);
  }
  if (rc_counts_read(counts)) {
    append_steps(out, c);
  }
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
                cells[6], cells[7], "", "", "", "", "", NULL);
  for (guint i = 0; i <= RC_N_VERDICTS; ++i) {
    g_free(cells[i]);
  }
}

// Tunes, and how many more are playable and native on the next size; empty where there is none.
static void
append_csv_tunes(GString *out, const RcComparison *c, const RcSizeAnswer *size)
{
  const gboolean last = size->step.gain.next < 0;
  char *cells[] = { g_strdup_printf("%" U64, size->counts.tunes),
                    g_strdup_printf("%" U64, size->counts.native),
                    g_strdup_printf("%" U64, size->counts.playable),
                    g_strdup_printf("%" U64, size->counts.one_short),
                    last ? g_strdup("") : g_strdup_printf("%" U64, size->step.gain.tunes),
                    last ? g_strdup("") : g_strdup_printf("%" U64, size->step.native) };
  rc_append_csv(out, size->layout->name, "tunes", cells[0], cells[1], "", "", "", "", "", "", "", cells[2], cells[3],
                last ? "" : c->sizes[size->step.gain.next].layout->name, cells[4], cells[5], NULL);
  for (guint i = 0; i < G_N_ELEMENTS(cells); ++i) {
    g_free(cells[i]);
  }
}

static void
append_csv(GString *out, const RcComparison *c)
{
  rc_append_csv(out, "layout", "counted", "total", "native", "A", "B", "C", "D", "E", "impossible", "unread",
                "playable", "one short", "next", "next playable", "next native", NULL);
  for (guint i = 0; i < c->n; ++i) {
    const char *name = c->sizes[i].layout->name;
    append_csv_counts(out, name, "chords", &c->sizes[i].counts, FALSE);
    append_csv_counts(out, name, "quarters", &c->sizes[i].counts, TRUE);
    append_csv_tunes(out, c, &c->sizes[i]);
  }
}

// ----------------------------------------------------------------------------------------------------------- JSON

static void
add_layout_name(GString *json, const char *name, const RcComparison *c, int index)
{
  if (index < 0) {
    rc_json_null(json, name);
  } else {
    rc_json_text(json, name, c->sizes[index].layout->name);
  }
}

static void
add_chords(GString *json, const char *name, const RcChord *chords, guint n)
{
  rc_json_begin_array(json, name);
  for (guint i = 0; i < n; ++i) {
    char *chord = rc_chord_name(&chords[i], RC_SIGNS_ASCII);
    rc_json_text(json, NULL, chord);
    g_free(chord);
  }
  rc_json_end_array(json);
}

// What the step to the next size buys; null where there is none.
static void
add_step(GString *json, const RcComparison *c, const RcSizeAnswer *size)
{
  const RcStepUp *step = &size->step;
  if (step->gain.next < 0) {
    rc_json_null(json, "next");
    return;
  }
  rc_json_begin_object(json, "next");
  rc_json_text(json, "layout", c->sizes[step->gain.next].layout->name);
  rc_json_number(json, "playable", (gint64)step->gain.tunes);
  rc_json_number(json, "native", (gint64)step->native);
  rc_json_quarters(json, "carried", rc_measured_ticks(&size->counts, step->gain.ticks));
  rc_json_quarters(json, "better", rc_measured_ticks(&size->counts, step->better));
  rc_json_quarters(json, "own", rc_measured_ticks(&size->counts, step->own));
  add_chords(json, "carried_chords", step->gain.chords, step->gain.n_chords);
  add_chords(json, "own_chords", step->chords, step->n_chords);
  rc_json_end_object(json);
}

static void
add_size(GString *json, const RcComparison *c, const RcSizeAnswer *size)
{
  rc_json_begin_object(json, NULL);
  rc_json_text(json, "layout", size->layout->name);
  rc_json_number(json, "buttons", size->buttons);
  rc_json_counts(json, &size->counts);
  rc_json_tunes(json, &size->counts);
  add_step(json, c, size);
  rc_json_end_object(json);
}

static void
append_json(GString *json, const RcComparison *c)
{
  const RcIntake *intake = &c->rolled->intake;
  rc_json_begin_object(json, NULL);
  rc_json_begin_array(json, "layouts");
  for (guint i = 0; i < c->n; ++i) {
    add_size(json, c, &c->sizes[i]);
  }
  rc_json_end_array(json);
  rc_json_number(json, "tunes", (gint64)intake->tunes);
  rc_json_number(json, "files", (gint64)intake->files);
  rc_json_number(json, "problems", (gint64)intake->problems);
  rc_json_begin_object(json, "smallest");
  add_layout_name(json, "by_time", c, c->by_time);
  add_layout_name(json, "by_tunes", c, c->by_tunes);
  rc_json_end_object(json);
  rc_json_end_object(json);
  g_string_append_c(json, '\n');
}

void
rc_report_compare(GString *out, RcTextFormat format, const RcComparison *comparison, RcShare share)
{
  switch (format) {
  case RC_TEXT_TABLE:
    append_table(out, comparison, share);
    break;
  case RC_TEXT_CSV:
    append_csv(out, comparison);
    break;
  case RC_TEXT_JSON:
    append_json(out, comparison);
    break;
  }
}
