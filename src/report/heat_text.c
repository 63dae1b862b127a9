// Copyright 2026 the rowcall developers
// SPDX-License-Identifier: MIT

// The use of a keyboard's buttons along the routes of a repertoire.

#include "report/heat_text.h"

#include "report/format.h"

#include <math.h>

#define U64 G_GUINT64_FORMAT

// ---------------------------------------------------------------------------------------------------------- finding

// "fundamental, major and seventh"
static char *
row_names(const RcLayout *layout, guint rows, const char *last_word)
{
  GString *text = g_string_new(NULL);
  const guint n = rc_count_bits(rows);
  for (guint row = 0, named = 0; row < layout->rows->len; ++row) {
    if (rows & 1U << row) {
      g_string_append_printf(text, "%s%s",
                             !named           ? ""
                             : named + 1 == n ? last_word
                                              : ", ",
                             (const char *)g_ptr_array_index(layout->rows, row));
      ++named;
    }
  }
  return g_string_free(text, FALSE);
}

static void
append_idle(GString *text, const RcLayout *layout, guint idle)
{
  if (idle) {
    char *names = row_names(layout, idle, " and ");
    g_string_append_printf(text, "; the %s row%s never touched", names, rc_count_bits(idle) == 1 ? " is" : "s are");
    g_free(names);
  }
}

static char *
finding_text(const RcUse *use, const RcHeat *heat)
{
  static const char *const numbers[] = { "No",    "One",   "Two",  "Three", "Four",   "Five",  "Six",
                                         "Seven", "Eight", "Nine", "Ten",   "Eleven", "Twelve" };
  const RcTicks all = use->played + use->silent;
  if (!use->played) {
    return g_strdup(!use->counts.tunes                  ? "No chord is asked for, so no button is pressed"
                    : use->counts.chords[RC_IMPOSSIBLE] ? "None of the chords can be played here"
                                                        : "None of the chords could be read, so no button is pressed");
  }
  const guint n = rc_count_bits(heat->rows);
  const char *share_of = rc_share_of(&use->counts);
  if (n == use->layout->rows->len && n > 1) {
    return n == 2 ? g_strdup_printf("Both rows are needed: without either a tenth of the %s or more is lost", share_of)
                  : g_strdup_printf("All %u rows are needed: without any one of them a tenth of the %s or more is lost",
                                    n, share_of);
  }
  char percent[8];
  char *names = row_names(use->layout, heat->rows, " and ");
  GString *text = g_string_new(NULL);
  rc_percent(percent, heat->rows_ticks, all, 0, 0);
  g_string_append_printf(text, "%s row%s, %s, carr%s %s %% of the %s", numbers[n], n == 1 ? "" : "s", names,
                         n == 1 ? "ies" : "y", percent, share_of);
  append_idle(text, use->layout, heat->idle);
  g_free(names);
  return g_string_free(text, FALSE);
}

char *
rc_heat_finding(const RcUse *use)
{
  RcHeat *heat = rc_heat_new(use);
  char *text = finding_text(use, heat);
  rc_heat_free(heat);
  return text;
}

static const char *
column_name(const RcLayout *layout, guint column, RcSigns signs)
{
  return rc_note_name(g_array_index(layout->columns, RcNote, column), signs);
}

// "The 8 columns Eb to E carry"
static void
append_columns(GString *text, const RcLayout *layout, const RcHeat *heat, RcSigns signs)
{
  const char *first = column_name(layout, heat->first, signs);
  if (heat->first == heat->last) {
    g_string_append_printf(text, "The column %s carries", first);
  } else {
    g_string_append_printf(text, "The %u columns %s to %s carry", heat->last - heat->first + 1, first,
                           column_name(layout, heat->last, signs));
  }
}

// Which columns the tunes need; empty where nothing is held.
static char *
columns_text(const RcUse *use, const RcHeat *heat, RcSigns signs)
{
  const RcLayout *layout = use->layout;
  GString *text = g_string_new(NULL);
  if (!use->played) {
    return g_string_free(text, FALSE);
  }
  append_columns(text, layout, heat, signs);
  char percent[8];
  rc_percent(percent, heat->columns_ticks, use->played + use->silent, 0, 0);
  g_string_append_printf(text, " %s %% of the %s.", percent, rc_share_of(&use->counts));
  if (heat->flattest == heat->sharpest) {
    g_string_append_printf(text, " All that is played lies in the column %s.",
                           column_name(layout, heat->flattest, signs));
  } else {
    g_string_append_printf(text, " All that is played lies in %s to %s, %u of %u columns.",
                           column_name(layout, heat->flattest, signs), column_name(layout, heat->sharpest, signs),
                           heat->sharpest - heat->flattest + 1, layout->columns->len);
  }
  return g_string_free(text, FALSE);
}

// "Nothing is pressed for 8.1 % of the playing time: ..." where there is such time.
static void
append_silence(GString *text, const RcUse *use)
{
  char silent[8];
  char impossible[8];
  char unread[8];
  const RcCounts *counts = &use->counts;
  const RcTicks all = use->played + use->silent;
  if (!use->silent) {
    return;
  }
  rc_percent_text(silent, use->silent, all);
  rc_percent_text(impossible, rc_counts_of(counts, RC_IMPOSSIBLE), all);
  rc_percent_text(unread, rc_counts_of(counts, RC_UNREAD), all);
  g_string_append_printf(text, " Nothing is pressed for %s %% of the %s", silent, rc_share_of(counts));
  if (!rc_counts_of(counts, RC_UNREAD)) {
    g_string_append(text, ", where there is no grip.");
  } else if (!rc_counts_of(counts, RC_IMPOSSIBLE)) {
    g_string_append(text, ", where the chord could not be read.");
  } else {
    g_string_append_printf(text, ": there is no grip for %s %%, and for %s %% the chord could not be read.", impossible,
                           unread);
  }
}

char *
rc_heat_notes(const RcUse *use)
{
  RcHeat *heat = rc_heat_new(use);
  char *columns = columns_text(use, heat, RC_SIGNS_UNICODE);
  GString *text = g_string_new(NULL);
  g_string_append_printf(text, "%s: %s.%s%s", use->layout->name, use->layout->title, *columns ? " " : "", columns);
  if (use->played) {
    append_silence(text, use);
    g_string_append(text, " Each tune is played along its best route.");
    g_string_append(text,
                    rc_layout_has_bellows(use->layout) ? " The bellows are planned for the left hand alone." : "");
  }
  rc_heat_free(heat);
  g_free(columns);
  return g_string_free(text, FALSE);
}

// ------------------------------------------------------------------------------------------------------------ table

enum { ROW_WIDTH = 13 };

void
rc_heat_percent_cell(char text[8], gconstpointer data, guint entry)
{
  const RcUse *use = data;
  const RcTicks pull = rc_layout_entries_at(use->layout, entry) == 2 ? use->buttons[entry + 1] : 0;
  rc_percent_text(text, use->buttons[entry] + pull, use->played + use->silent);
}

void
rc_heat_append_board(GString *out, const RcLayout *layout, guint width, RcHeatCell cell, gconstpointer data)
{
  const guint most = 60 / width; // columns beside each other
  for (guint from = 0; from < layout->columns->len; from += most) {
    const guint to = MIN(from + most, layout->columns->len);
    g_string_append_printf(out, "%s%*s", from ? "\n" : "", ROW_WIDTH, "");
    for (guint nth = from; nth < to; ++nth) {
      g_string_append_printf(out, "%*s", (int)width,
                             column_name(layout, rc_layout_column_at(layout, nth), RC_SIGNS_ASCII));
    }
    g_string_append_c(out, '\n');
    for (guint row = 0; row < layout->rows->len; ++row) {
      rc_append_padded(out, g_ptr_array_index(layout->rows, row), ROW_WIDTH);
      for (guint nth = from; nth < to; ++nth) {
        char text[8];
        cell(text, data, rc_layout_entry(layout, row, rc_layout_column_at(layout, nth)));
        g_string_append_printf(out, "%*s", (int)width, text);
      }
      rc_end_line(out);
    }
  }
}

static void
append_sums(GString *out, const RcUse *use, const RcHeat *heat, gboolean by_row)
{
  char percent[8];
  const guint n = by_row ? use->layout->rows->len : use->layout->columns->len;
  g_string_append_printf(out, "%-13s presses  percent of the %s\n", by_row ? "row" : "column",
                         rc_share_of(&use->counts));
  for (guint i = 0; i < n; ++i) {
    const RcButtonSum sum = by_row ? heat->by_row[i] : heat->by_column[i];
    rc_percent_text(percent, sum.held, heat->whole);
    rc_append_padded(
      out, by_row ? (const char *)g_ptr_array_index(use->layout->rows, i) : column_name(use->layout, i, RC_SIGNS_ASCII),
      13);
    g_string_append_printf(out, " %7" U64 "  %5s\n", sum.presses, percent);
  }
  g_string_append_c(out, '\n');
}

static void
append_table(GString *out, const RcUse *use, const RcHeat *heat, const char *timing)
{
  char *finding = finding_text(use, heat);
  char *columns = columns_text(use, heat, RC_SIGNS_ASCII);
  GString *text = g_string_new(NULL);
  g_string_append_printf(text, "%s.", finding);
  rc_append_wrapped(out, text->str, 0);
  g_string_append_c(out, '\n');
  if (use->played) {
    g_string_append_printf(out, "Percent of the %s each button is held for; bellows above, chin right:\n\n",
                           rc_share_of(&use->counts));
    rc_heat_append_board(out, use->layout, 5, rc_heat_percent_cell, use);
    g_string_append_c(out, '\n');
    append_sums(out, use, heat, TRUE);
    append_sums(out, use, heat, FALSE);
  }
  g_string_printf(text,
                  "On %s: %" U64 " tune%s, %" U64
                  " chord%s as played, each tune along its best route; the hand travels "
                  "%.0f m.",
                  use->layout->name, use->counts.tunes, use->counts.tunes == 1 ? "" : "s",
                  rc_counts_chords(&use->counts), rc_counts_chords(&use->counts) == 1 ? "" : "s", use->travel / 1000);
  if (rc_layout_has_bellows(use->layout)) {
    g_string_append_printf(text, " The bellows turn %" U64 " times, planned for the left hand alone.", use->reversals);
  }
  g_string_append_printf(text, "%s%s", *columns ? " " : "", columns);
  append_silence(text, use);
  g_string_append_printf(text, "%s%s", *timing ? " " : "", timing);
  rc_append_wrapped(out, g_strchomp(text->str), 0);
  g_string_free(text, TRUE);
  g_free(finding);
  g_free(columns);
}

// ------------------------------------------------------------------------------------------------------ CSV and JSON

static void
append_csv(GString *out, const RcUse *use)
{
  rc_append_csv(out, "layout", "row", "column", "sounds", "presses", "quarters", NULL);
  for (guint i = 0; i < use->layout->buttons->len; ++i) {
    const RcButton *button = rc_layout_button(use->layout, i);
    char *label = rc_button_label(button, RC_SIGNS_ASCII);
    char *presses = g_strdup_printf("%" U64, use->presses[i]);
    char *quarters = rc_quarters_text(use->buttons[i] - use->made_up[i]);
    rc_append_csv(out, use->layout->name, rc_button_row(use->layout, button),
                  column_name(use->layout, button->column, RC_SIGNS_ASCII), label, presses, quarters, NULL);
    g_free(label);
    g_free(presses);
    g_free(quarters);
  }
}

void
rc_heat_add_percent(GString *json, const char *name, double share)
{
  const double percent = round(share * 10000) / 100;
  rc_json_decimal(json, name, percent == 0 ? 0 : percent); // not -0
}

static void
add_sums(GString *json, const RcUse *use, const RcHeat *heat, gboolean by_row)
{
  const guint n = by_row ? use->layout->rows->len : use->layout->columns->len;
  rc_json_begin_array(json, by_row ? "rows" : "columns");
  for (guint i = 0; i < n; ++i) {
    const RcButtonSum sum = by_row ? heat->by_row[i] : heat->by_column[i];
    rc_json_begin_object(json, NULL);
    rc_json_text(json, by_row ? "row" : "column",
                 by_row ? g_ptr_array_index(use->layout->rows, i) : column_name(use->layout, i, RC_SIGNS_ASCII));
    rc_json_number(json, "presses", (gint64)sum.presses);
    rc_json_quarters(json, "quarters", sum.ticks - sum.made_up);
    rc_heat_add_percent(json, "percent", rc_heat_share(heat, sum.held));
    rc_json_end_object(json);
  }
  rc_json_end_array(json);
}

void
rc_heat_add_json(GString *json, const char *name, const char *tunes, const RcUse *use, const RcHeat *heat)
{
  char *finding = finding_text(use, heat);
  rc_json_begin_object(json, name);
  if (tunes) {
    rc_json_text(json, "tunes", tunes);
  }
  rc_json_text(json, "layout", use->layout->name);
  rc_json_text(json, "finding", finding);
  rc_json_counts(json, &use->counts);
  rc_json_number(json, "travel_mm", (gint64)(use->travel + 0.5));
  if (rc_layout_has_bellows(use->layout)) {
    rc_json_number(json, "reversals", (gint64)use->reversals);
  }
  rc_json_begin_array(json, "buttons");
  for (guint i = 0; i < use->layout->buttons->len; ++i) {
    const RcButton *button = rc_layout_button(use->layout, i);
    rc_json_begin_object(json, NULL);
    rc_json_text(json, "row", rc_button_row(use->layout, button));
    rc_json_text(json, "column", column_name(use->layout, button->column, RC_SIGNS_ASCII));
    rc_json_bellows(json, button->bellows);
    rc_json_number(json, "presses", (gint64)use->presses[i]);
    rc_json_quarters(json, "quarters", use->buttons[i] - use->made_up[i]);
    rc_heat_add_percent(json, "percent", rc_heat_share(heat, use->buttons[i]));
    rc_json_end_object(json);
  }
  rc_json_end_array(json);
  add_sums(json, use, heat, TRUE);
  add_sums(json, use, heat, FALSE);
  rc_json_end_object(json);
  g_free(finding);
}

void
rc_report_heat(GString *out, RcTextFormat format, const RcUse *use, const RcRoll *roll)
{
  char *timing = rc_timing_text(roll);
  RcHeat *heat = rc_heat_new(use);
  switch (format) {
  case RC_TEXT_TABLE:
    append_table(out, use, heat, timing);
    break;
  case RC_TEXT_CSV:
    append_csv(out, use);
    break;
  case RC_TEXT_JSON:
    rc_heat_add_json(out, NULL, NULL, use, heat);
    g_string_append_c(out, '\n');
    break;
  }
  rc_heat_free(heat);
  g_free(timing);
}
