// Copyright 2026 the rowcall developers
// SPDX-License-Identifier: MIT

// The bottom of a sheet: the whole keyboard, the stand-ins on cards and in lines, and what is to be minded with them.

#include "report/sheet_cards.h"
#include "report/sheet_flow.h"

#include <string.h>

// In points.
static const double above_board[] = { 12, 5, 4 }; // roomy, tight, close
static const double below_board[] = { 14, 10, 8 };
static const double line_height = 15.5; // of stand-ins without cards
static const double line_badge = 14;
static const double line_points = 10;
static const double between_entries = 16;

static void
add_board(RcSheetFlow *flow)
{
  const RcSheet *sheet = flow->plan->sheet;
  const double above = above_board[flow->setting.air];
  RcBox box = rc_hand_board_box(sheet->layout, 0, 0);
  rc_sheet_need(flow, above + box.height);
  box.x = (sheet->width - box.width) / 2;
  box.y = flow->y + above;
  rc_sheet_add(flow, RC_SHEET_BOARD, box, (RcFace){ 0, FALSE }, "");
  ++flow->line;
  flow->y = box.y + box.height + (flow->plan->cards->len ? below_board[flow->setting.air] : 0);
}

// ------------------------------------------------------------------------------------------------------------- cards

static gboolean
is_listed(const RcSheetFlow *flow, guint stand_in)
{
  return flow->ranks[stand_in] < flow->setting.listed;
}

static GPtrArray *
cards_drawn(const RcSheetFlow *flow)
{
  GPtrArray *cards = g_ptr_array_new();
  for (guint i = 0; i < flow->plan->cards->len; ++i) {
    if (!is_listed(flow, i)) {
      g_ptr_array_add(cards, &g_array_index(flow->plan->cards, RcGripCard, i));
    }
  }
  return cards;
}

static void
add_row(RcSheetFlow *flow, RcGripCard *const *cards, RcGripRow row)
{
  rc_sheet_need(flow, row.height);
  for (guint i = 0; i < row.count; ++i) {
    const RcBox box = { 0, flow->y, flow->plan->sheet->width, row.height };
    rc_sheet_add(flow, RC_SHEET_CARD, box, (RcFace){ 0, FALSE }, "")->index = cards[i]->number - 1;
    ++flow->line;
  }
  flow->y += row.height;
}

static void
add_cards(RcSheetFlow *flow)
{
  GPtrArray *cards = cards_drawn(flow);
  for (guint first = 0; first < cards->len && !rc_sheet_is_full(flow);) {
    RcGripCard **in_row = (RcGripCard **)cards->pdata + first;
    const RcGripRow row =
      rc_grip_row(in_row, cards->len - first, flow->plan->sheet->width, flow->setting.air == RC_SHEET_CLOSE);
    flow->y += first ? RC_GRIP_BELOW : 0;
    add_row(flow, in_row, row);
    first += row.count;
  }
  flow->y += cards->len ? 4 : 0;
  g_ptr_array_unref(cards);
}

// ------------------------------------------------------------------------------------------------- without a card

// A stand-in in a line: its badge, its chords and what to press.
static void
add_entry(RcSheetFlow *flow, guint stand_in, double *x)
{
  const RcFace strong = { line_points, TRUE };
  const RcFace face = { line_points, FALSE };
  const RcGripCard *card = &g_array_index(flow->plan->cards, RcGripCard, stand_in);
  char *text = rc_sheet_stand_in_text(flow->plan->sheet, &flow->plan->stand_ins->list[stand_in]);
  char number[12];
  g_snprintf(number, sizeof number, "%u", card->number);
  const double name_width = rc_word_width(strong, card->name);
  const double text_width = rc_word_width(face, text);
  const double width = line_badge + 4 + name_width + 5 + text_width;
  if (*x > 0 && *x + width > flow->plan->sheet->width) {
    flow->y += line_height;
    ++flow->line;
    *x = 0;
  }
  rc_sheet_need(flow, line_height);
  const double top = flow->y + (line_height - line_badge) / 2;
  double at = *x;
  rc_sheet_add(flow, RC_SHEET_BADGE, (RcBox){ at, top, line_badge, line_badge }, strong, number);
  at += line_badge + 4;
  rc_sheet_add(flow, RC_SHEET_TEXT, (RcBox){ at, top, name_width, line_badge }, strong, card->name);
  at += name_width + 5;
  rc_sheet_add(flow, RC_SHEET_TEXT, (RcBox){ at, top, text_width, line_badge }, face, text);
  *x += width + between_entries;
  g_free(text);
}

static void
add_entries(RcSheetFlow *flow)
{
  double x = 0;
  for (guint i = 0; i < flow->plan->cards->len && !rc_sheet_is_full(flow); ++i) {
    if (is_listed(flow, i)) {
      add_entry(flow, i, &x);
    }
  }
  flow->y += x > 0 ? line_height + 2 : 0;
  ++flow->line;
}

// ---------------------------------------------------------------------------------------------------- what to mind

static gboolean
has_hint(const RcTune *tune, const RcStandIn *stand_in, RcHint hint)
{
  for (guint i = 0; i < stand_in->n; ++i) {
    const RcNeed *need = stand_in->needs[i];
    if (rc_hint(&rc_tune_symbol(tune, need->symbol)->chord, &need->answer, need->wide) == hint) {
      return TRUE;
    }
  }
  return FALSE;
}

static void
append_numbers(GString *text, const RcSheetPlan *plan, RcHint hint)
{
  guint n = 0;
  for (guint i = 0; i < plan->stand_ins->n; ++i) {
    if (has_hint(plan->sheet->tune, &plan->stand_ins->list[i], hint)) {
      g_string_append_printf(text, "%s%u", n++ ? ", " : "", i + 1);
    }
  }
}

// What is to be minded with some of the stand-ins, each once.
static void
add_hints(RcSheetFlow *flow)
{
  static const struct {
    RcHint hint;
    const char *text;
  } hints[] = { { RC_HINT_WIDE, "wide; do not force the stretch, stop if it hurts, and ask a teacher or a doctor" },
                { RC_HINT_LIGHT, "lean on the bass and keep the chord light" },
                { RC_HINT_BRISK, "a bare bass, only because the chord goes by fast" },
                { RC_HINT_MAKESHIFT, "a makeshift; play it short and soft, and listen whether it passes" } };
  GString *text = g_string_new(NULL);
  for (guint i = 0; i < G_N_ELEMENTS(hints); ++i) {
    GString *numbers = g_string_new(NULL);
    append_numbers(numbers, flow->plan, hints[i].hint);
    if (numbers->len) {
      g_string_append_printf(text, "%s%s %s: %s.", text->len ? " " : "",
                             strchr(numbers->str, ',') ? "Numbers" : "Number", numbers->str, hints[i].text);
    }
    g_string_free(numbers, TRUE);
  }
  if (text->len) {
    rc_sheet_add_paragraph(flow, RC_SHEET_TEXT, RC_TEXT_BODY, text->str);
  }
  g_string_free(text, TRUE);
}

void
rc_sheet_add_bottom(RcSheetFlow *flow)
{
  flow->above = RC_SHEET_BOTTOM;
  add_board(flow);
  add_cards(flow);
  add_entries(flow);
  add_hints(flow);
}
