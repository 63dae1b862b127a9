// Copyright 2026 the rowcall developers
// SPDX-License-Identifier: MIT

// Two uses of buttons beside each other: two repertoires on one board, or one repertoire on two.

#include "report/heat_text.h"

#include "report/format.h"

#include <math.h>
#include <string.h>

#define U64 G_GUINT64_FORMAT

static const char side_names[2][2] = { "A", "B" };

// ------------------------------------------------------------------------------------------------------------ finding

char *
rc_heat_pair_finding(const RcHeatPair *pair)
{
  const guint own[] = { pair->sides[0].n_own, pair->sides[1].n_own };
  if (!pair->alike) {
    return g_strdup("The two keyboards have no button in a row and a column of the same names");
  }
  if (!own[0] && !own[1]) {
    return g_strdup_printf("A and B press the same %u button%s", pair->shared, pair->shared == 1 ? "" : "s");
  }
  char *alone[2];
  for (guint i = 0; i < 2; ++i) {
    alone[i] = own[i] ? g_strdup_printf("%u", own[i]) : g_strdup("none");
  }
  char *text = g_strdup_printf("%u button%s in both, %s only in A, %s only in B", pair->shared,
                               pair->shared == 1 ? "" : "s", alone[0], alone[1]);
  g_free(alone[0]);
  g_free(alone[1]);
  return text;
}

char *
rc_heat_side_text(const RcHeatBeside *beside, guint side)
{
  const RcUse *use = beside->pair->sides[side].use;
  return g_strdup_printf("%s: %s, %" U64 " tune%s on %s", side_names[side], beside->names[side], use->counts.tunes,
                         use->counts.tunes == 1 ? "" : "s", use->layout->name);
}

// ------------------------------------------------------------------------------------------------- what only one has

// The rows, or columns, that this side touches and the other does not; names are borrowed.
static GPtrArray *
own_names(const RcHeatPair *pair, guint side, gboolean rows, RcSigns signs)
{
  const RcHeatSide *here = &pair->sides[side];
  const RcHeatSide *there = &pair->sides[!side];
  const RcLayout *layout = here->use->layout;
  GPtrArray *names = g_ptr_array_new();
  for (guint i = 0; i < (rows ? layout->rows->len : layout->columns->len); ++i) {
    const RcButtonSum *sum = rows ? &here->heat->by_row[i] : &here->heat->by_column[i];
    const int other = rows ? rc_layout_find_row(there->use->layout, g_ptr_array_index(layout->rows, i))
                           : rc_layout_find_column(there->use->layout, g_array_index(layout->columns, RcNote, i));
    const RcButtonSum *others = other < 0 ? NULL : rows ? &there->heat->by_row[other] : &there->heat->by_column[other];
    if (sum->presses && (!others || !others->presses)) {
      g_ptr_array_add(names, rows ? g_ptr_array_index(layout->rows, i)
                                  : (gpointer)rc_note_name(g_array_index(layout->columns, RcNote, i), signs));
    }
  }
  return names;
}

// Their names in a row, such as "minor and seventh rows".
static char *
own_parts(const RcHeatPair *pair, guint side, gboolean rows, RcSigns signs)
{
  GPtrArray *names = own_names(pair, side, rows, signs);
  GString *text = g_string_new(NULL);
  for (guint i = 0; i < names->len; ++i) {
    g_string_append_printf(text, "%s%s",
                           !i                    ? ""
                           : i + 1 == names->len ? " and "
                                                 : ", ",
                           (const char *)g_ptr_array_index(names, i));
  }
  if (names->len) {
    g_string_append_printf(text, " %s%s", rows ? "row" : "column", names->len == 1 ? "" : "s");
  }
  g_ptr_array_unref(names);
  return g_string_free(text, FALSE);
}

char *
rc_heat_parts_text(const RcHeatPair *pair, RcSigns signs)
{
  GString *text = g_string_new(NULL);
  for (guint side = 0; side < 2; ++side) {
    char *rows = own_parts(pair, side, TRUE, signs);
    char *columns = own_parts(pair, side, FALSE, signs);
    if (*rows || *columns) {
      g_string_append_printf(text, "%sOnly %s touches the %s%s%s.", text->len ? " " : "", side_names[side], rows,
                             *rows && *columns ? " and the " : "", columns);
    }
    g_free(rows);
    g_free(columns);
  }
  return g_string_free(text, FALSE);
}

char *
rc_heat_own_text(const RcHeatSide *side, guint nth, guint most, RcSigns signs)
{
  const RcOwnButton *own = &side->own[nth];
  const RcLayout *layout = side->use->layout;
  char percent[8];
  char *name = rc_button_describe(layout, rc_layout_button(layout, own->button), signs);
  GString *text = g_string_new(NULL);
  rc_percent_text(percent, own->ticks, side->heat->whole);
  g_string_append_printf(text, "%s, %s %%: ", name, percent);
  for (guint i = 0; i < MIN(own->n_tunes, most); ++i) {
    const RcPressing *tune = &own->tunes[i];
    g_string_append_printf(text, "%s%s", i ? "; " : "", *tune->title ? tune->title : "(untitled)");
    if (tune->presses > 1) {
      g_string_append_printf(text, " %s%" U64, signs == RC_SIGNS_ASCII ? "x" : "×", tune->presses);
    }
  }
  if (own->n_tunes > most) {
    g_string_append_printf(text, "; and %u more", own->n_tunes - most);
  }
  g_free(name);
  return g_string_free(text, FALSE);
}

char *
rc_heat_rest_text(const RcHeatSide *side, guint from, RcSigns signs)
{
  const RcLayout *layout = side->use->layout;
  GString *text = g_string_new(NULL);
  for (guint i = from; i < side->n_own; ++i) {
    char *name = rc_button_describe(layout, rc_layout_button(layout, side->own[i].button), signs);
    g_string_append_printf(text, "%s%s", i == from ? "Held for less: " : ", ", name);
    g_free(name);
  }
  return g_string_free(text, FALSE);
}

char *
rc_heat_shift_text(const RcHeatPair *pair, guint nth, RcSigns signs)
{
  const RcHeatShift *shift = &pair->shifts[nth];
  const RcLayout *layout = pair->sides[0].use->layout;
  char percents[2][8];
  char *name = rc_button_describe(layout, rc_layout_button(layout, shift->button), signs);
  const guint buttons[] = { shift->button, (guint)pair->sides[0].others[shift->button] };
  for (guint i = 0; i < 2; ++i) {
    rc_percent_text(percents[i], pair->sides[i].use->buttons[buttons[i]], pair->sides[i].heat->whole);
  }
  char *text =
    g_strdup_printf("%s, %s %% in A, %s %% in B; in %s it is held longest in %s", name, percents[0], percents[1],
                    side_names[shift->difference < 0], *shift->title ? shift->title : "an untitled tune");
  g_free(name);
  return text;
}

// -------------------------------------------------------------------------------------------------------------- table

static void
format_difference(char text[8], double difference)
{
  const int tenths = (int)(fabs(difference) * 1000 + 0.5);
  g_snprintf(text, 8, "%s%d.%d", !tenths ? "" : difference < 0 ? "-" : "+", tenths / 10, tenths % 10);
}

// Of the button at an entry of the first side: its directions of the bellows together.
static void
difference_cell(char text[8], gconstpointer data, guint entry)
{
  const RcHeatPair *pair = data;
  double sum = 0;
  guint64 presses = 0;
  for (guint i = entry; i < entry + rc_layout_entries_at(pair->sides[0].use->layout, entry); ++i) {
    const int other = pair->sides[0].others[i];
    sum += rc_heat_pair_button(pair, i);
    presses += pair->sides[0].use->presses[i] + (other < 0 ? 0 : pair->sides[1].use->presses[other]);
  }
  if (isnan(sum)) {
    g_strlcpy(text, "", 8);
  } else if (!presses) {
    g_strlcpy(text, "-", 8);
  } else {
    format_difference(text, sum);
  }
}

// A row for each row, or column, of either side.
static void
append_part(GString *out, const char *name, const RcHeatPair *pair, const RcButtonSum *const sums[2])
{
  double shares[2] = { NAN, NAN };
  rc_append_padded(out, name, 13);
  for (guint i = 0; i < 2; ++i) {
    char percent[8] = "";
    if (sums[i]) {
      rc_percent_text(percent, sums[i]->held, pair->sides[i].heat->whole);
      shares[i] = rc_heat_share(pair->sides[i].heat, sums[i]->held);
    }
    g_string_append_printf(out, " %6s", percent);
  }
  if (!isnan(shares[0] - shares[1])) {
    char difference[8];
    format_difference(difference, shares[0] - shares[1]);
    g_string_append_printf(out, " %9s", difference);
  }
  rc_end_line(out);
}

static void
append_rows(GString *out, const RcHeatPair *pair)
{
  const RcLayout *one = pair->sides[0].use->layout;
  const RcLayout *other = pair->sides[1].use->layout;
  g_string_append_printf(out, "%-13s %6s %6s %9s\n", "row", "A", "B", "A less B");
  for (guint i = 0; i < one->rows->len; ++i) {
    const int there = rc_layout_find_row(other, g_ptr_array_index(one->rows, i));
    const RcButtonSum *const sums[] = { &pair->sides[0].heat->by_row[i],
                                        there < 0 ? NULL : &pair->sides[1].heat->by_row[there] };
    append_part(out, g_ptr_array_index(one->rows, i), pair, sums);
  }
  for (guint i = 0; i < other->rows->len; ++i) {
    if (rc_layout_find_row(one, g_ptr_array_index(other->rows, i)) < 0) {
      const RcButtonSum *const sums[] = { NULL, &pair->sides[1].heat->by_row[i] };
      append_part(out, g_ptr_array_index(other->rows, i), pair, sums);
    }
  }
  g_string_append_c(out, '\n');
}

static const char *
column_name(const RcLayout *layout, guint column)
{
  return rc_note_name(g_array_index(layout->columns, RcNote, column), RC_SIGNS_ASCII);
}

static void
append_columns(GString *out, const RcHeatPair *pair)
{
  const RcLayout *one = pair->sides[0].use->layout;
  const RcLayout *other = pair->sides[1].use->layout;
  g_string_append_printf(out, "%-13s %6s %6s %9s\n", "column", "A", "B", "A less B");
  for (guint i = 0; i < one->columns->len; ++i) {
    const int there = rc_layout_find_column(other, g_array_index(one->columns, RcNote, i));
    const RcButtonSum *const sums[] = { &pair->sides[0].heat->by_column[i],
                                        there < 0 ? NULL : &pair->sides[1].heat->by_column[there] };
    append_part(out, column_name(one, i), pair, sums);
  }
  for (guint i = 0; i < other->columns->len; ++i) {
    if (rc_layout_find_column(one, g_array_index(other->columns, RcNote, i)) < 0) {
      const RcButtonSum *const sums[] = { NULL, &pair->sides[1].heat->by_column[i] };
      append_part(out, column_name(other, i), pair, sums);
    }
  }
  g_string_append_c(out, '\n');
}

static void
append_own(GString *out, const RcHeatPair *pair, guint side)
{
  enum { TUNES = 3 };
  const RcHeatSide *here = &pair->sides[side];
  g_string_append_printf(out, "Pressed in %s alone%s\n", side_names[side], here->n_own ? ":" : ": nothing.");
  for (guint i = 0; i < here->n_own; ++i) {
    char *text = rc_heat_own_text(here, i, TUNES, RC_SIGNS_ASCII);
    g_string_append(out, "  ");
    rc_append_wrapped(out, text, 4);
    g_free(text);
  }
  g_string_append_c(out, '\n');
}

static void
append_shifts(GString *out, const RcHeatPair *pair)
{
  if (pair->n_shifts) {
    g_string_append(out, "Pressed in both, but most differently:\n");
  }
  for (guint i = 0; i < pair->n_shifts; ++i) {
    char *text = rc_heat_shift_text(pair, i, RC_SIGNS_ASCII);
    g_string_append(out, "  ");
    rc_append_wrapped(out, text, 4);
    g_free(text);
  }
  g_string_append(out, pair->n_shifts ? "\n" : "");
}

// How the tunes of each side were timed, once where that is the same.
static void
append_timing(GString *out, const RcHeatBeside *beside)
{
  char *timings[] = { rc_timing_text(beside->rolls[0]), rc_timing_text(beside->rolls[1]) };
  const gboolean same = !strcmp(timings[0], timings[1]);
  for (guint i = 0; i < (same ? 1 : 2); ++i) {
    if (*timings[i]) {
      char *text = same ? g_strdup(timings[i]) : g_strdup_printf("%s: %s", side_names[i], timings[i]);
      rc_append_wrapped(out, g_strchomp(text), 0);
      g_free(text);
    }
  }
  g_free(timings[0]);
  g_free(timings[1]);
}

static void
append_table(GString *out, const RcHeatBeside *beside)
{
  const RcHeatPair *pair = beside->pair;
  char *finding = rc_heat_pair_finding(pair);
  char *parts = rc_heat_parts_text(pair, RC_SIGNS_ASCII);
  char *text = g_strdup_printf("%s.%s%s", finding, *parts ? " " : "", parts);
  rc_append_wrapped(out, text, 0);
  g_string_append_c(out, '\n');
  for (guint i = 0; i < 2; ++i) {
    char *side = rc_heat_side_text(beside, i);
    rc_append_wrapped(out, side, 3);
    g_free(side);
  }
  g_string_append_printf(out, "\nPercent of the %s each button is held for; bellows above, chin right:\n",
                         rc_share_of(&pair->sides[0].use->counts));
  for (guint i = 0; i < 2; ++i) {
    g_string_append_printf(out, "\n%s\n", side_names[i]);
    rc_heat_append_board(out, pair->sides[i].use->layout, 5, rc_heat_percent_cell, pair->sides[i].use);
  }
  if (pair->alike) {
    g_string_append_printf(out, "\nA less B, before rounding\n");
    rc_heat_append_board(out, pair->sides[0].use->layout, 6, difference_cell, pair);
  }
  g_string_append_c(out, '\n');
  append_rows(out, pair);
  append_columns(out, pair);
  append_own(out, pair, 0);
  append_own(out, pair, 1);
  append_shifts(out, pair);
  append_timing(out, beside);
  while (g_str_has_suffix(out->str, "\n\n")) {
    g_string_truncate(out, out->len - 1);
  }
  g_free(finding);
  g_free(parts);
  g_free(text);
}

// ------------------------------------------------------------------------------------------------------ CSV and JSON

static const char *
pressed_by(const guint64 presses[2])
{
  return presses[0] && presses[1] ? "both" : presses[0] ? side_names[0] : presses[1] ? side_names[1] : "neither";
}

// The titles of the tunes that press the button, where only this side does; a new string.
static char *
own_titles(const RcHeatSide *side, guint button)
{
  GString *titles = g_string_new(NULL);
  for (guint i = 0; i < side->n_own; ++i) {
    for (guint tune = 0; side->own[i].button == button && tune < side->own[i].n_tunes; ++tune) {
      g_string_append_printf(titles, "%s%s", tune ? "; " : "", side->own[i].tunes[tune].title);
    }
  }
  return g_string_free(titles, FALSE);
}

// The fields of one side; a button that it has not leaves them empty.
typedef struct {
  char *presses;
  char *quarters;
  char *percent;
  char *titles;
} Fields;

static char *
percent_field(double share)
{
  char text[G_ASCII_DTOSTR_BUF_SIZE];
  return g_strdup(g_ascii_formatd(text, sizeof text, "%.2f", share * 100));
}

static Fields
fields_of(const RcHeatSide *side, int button)
{
  const RcUse *use = side->use;
  if (button < 0) {
    return (Fields){ g_strdup(""), g_strdup(""), g_strdup(""), g_strdup("") };
  }
  return (Fields){ g_strdup_printf("%" U64, use->presses[button]),
                   rc_quarters_text(use->buttons[button] - use->made_up[button]),
                   percent_field(rc_heat_share(side->heat, use->buttons[button])), own_titles(side, (guint)button) };
}

static void
clear_fields(Fields *fields)
{
  g_free(fields->presses);
  g_free(fields->quarters);
  g_free(fields->percent);
  g_free(fields->titles);
}

// A button of either side, whose index on the other is `there` or -1.
static void
append_line(GString *out, const RcHeatPair *pair, guint side, guint here, int there)
{
  const RcHeatSide *sides = pair->sides;
  const RcLayout *layout = sides[side].use->layout;
  const RcButton *button = rc_layout_button(layout, here);
  const int indices[] = { side ? there : (int)here, side ? (int)here : there };
  guint64 presses[2];
  Fields fields[2];
  for (guint i = 0; i < 2; ++i) {
    presses[i] = indices[i] < 0 ? 0 : sides[i].use->presses[indices[i]];
    fields[i] = fields_of(&sides[i], indices[i]);
  }
  char *label = rc_button_label(button, RC_SIGNS_ASCII);
  char *difference = there < 0 ? g_strdup("") : percent_field(rc_heat_pair_button(pair, here));
  rc_append_csv(out, rc_button_row(layout, button), column_name(layout, button->column), label, fields[0].presses,
                fields[0].quarters, fields[0].percent, fields[1].presses, fields[1].quarters, fields[1].percent,
                difference, pressed_by(presses), *fields[0].titles ? fields[0].titles : fields[1].titles, NULL);
  g_free(label);
  g_free(difference);
  clear_fields(&fields[0]);
  clear_fields(&fields[1]);
}

static void
append_csv(GString *out, const RcHeatPair *pair)
{
  rc_append_csv(out, "row", "column", "sounds", "presses_a", "quarters_a", "percent_a", "presses_b", "quarters_b",
                "percent_b", "difference", "pressed_in", "tunes", NULL);
  for (guint side = 0; side < 2; ++side) {
    for (guint i = 0; i < pair->sides[side].use->layout->buttons->len; ++i) {
      const int there = pair->sides[side].others[i];
      if (!side || there < 0) {
        append_line(out, pair, side, i, there);
      }
    }
  }
}

static void
add_differences(GString *json, const RcHeatPair *pair)
{
  const RcLayout *layout = pair->sides[0].use->layout;
  rc_json_begin_array(json, "differences");
  for (guint i = 0; i < layout->buttons->len; ++i) {
    if (pair->sides[0].others[i] >= 0) {
      const RcButton *button = rc_layout_button(layout, i);
      rc_json_begin_object(json, NULL);
      rc_json_text(json, "row", rc_button_row(layout, button));
      rc_json_text(json, "column", column_name(layout, button->column));
      rc_json_bellows(json, button->bellows);
      rc_heat_add_percent(json, "difference", rc_heat_pair_button(pair, i));
      rc_json_end_object(json);
    }
  }
  rc_json_end_array(json);
}

static void
add_own(GString *json, const char *name, const RcHeatSide *side)
{
  rc_json_begin_array(json, name);
  for (guint i = 0; i < side->n_own; ++i) {
    const RcOwnButton *own = &side->own[i];
    rc_json_begin_object(json, NULL);
    rc_json_button(json, "button", side->use->layout, own->button);
    rc_json_begin_array(json, "tunes");
    for (guint tune = 0; tune < own->n_tunes; ++tune) {
      rc_json_begin_object(json, NULL);
      rc_json_text(json, "title", own->tunes[tune].title);
      rc_json_number(json, "presses", (gint64)own->tunes[tune].presses);
      rc_json_end_object(json);
    }
    rc_json_end_array(json);
    rc_json_end_object(json);
  }
  rc_json_end_array(json);
}

static void
append_json(GString *json, const RcHeatBeside *beside)
{
  const RcHeatPair *pair = beside->pair;
  char *finding = rc_heat_pair_finding(pair);
  rc_json_begin_object(json, NULL);
  rc_json_text(json, "finding", finding);
  rc_heat_add_json(json, "a", beside->names[0], pair->sides[0].use, pair->sides[0].heat);
  rc_heat_add_json(json, "b", beside->names[1], pair->sides[1].use, pair->sides[1].heat);
  add_differences(json, pair);
  add_own(json, "only_a", &pair->sides[0]);
  add_own(json, "only_b", &pair->sides[1]);
  rc_json_end_object(json);
  g_string_append_c(json, '\n');
  g_free(finding);
}

void
rc_report_heat_pair(GString *out, RcTextFormat format, const RcHeatBeside *beside)
{
  switch (format) {
  case RC_TEXT_TABLE:
    append_table(out, beside);
    break;
  case RC_TEXT_CSV:
    append_csv(out, beside->pair);
    break;
  case RC_TEXT_JSON:
    append_json(out, beside);
    break;
  }
}
