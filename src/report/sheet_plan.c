// Copyright 2026 the rowcall developers
// SPDX-License-Identifier: MIT

#include "report/sheet_plan.h"

#include "report/sheet_cards.h"
#include "report/sheet_flow.h"

// In points.
static const double most_spread = 34; // of the lines of a chart
static const double least_label = 24;
static const double most_label = 58;

static double
label_width(const RcTune *tune)
{
  double width = least_label;
  for (guint i = 0; i < MIN(tune->parts->len, 64); ++i) {
    width = MAX(width, rc_word_width((RcFace){ 10, TRUE }, g_array_index(tune->parts, RcPart, i).label) + 14);
  }
  return MIN(width, most_label);
}

// Columns that are too high for a page do not do at all.
static gboolean
add_words(RcSheetFlow *flow)
{
  if (flow->setting.columns == 1) {
    rc_sheet_add_song(flow);
    return TRUE;
  }
  return rc_sheet_add_song_in_columns(flow);
}

// Plans everything anew in one setting.
static void
plan_in(RcSheetFlow *flow, RcSheetSetting setting)
{
  const RcTune *tune = flow->plan->sheet->tune;
  g_array_set_size(flow->plan->items, 0);
  flow->setting = setting;
  flow->y = 0;
  flow->page = flow->line = flow->above = 0;
  g_array_set_size(flow->breaks, 0);
  rc_sheet_add_heading(flow);
  const gboolean fits = !tune->lines->len || add_words(flow);
  for (guint i = 0; i < tune->parts->len && !tune->lines->len && !rc_sheet_is_full(flow); ++i) {
    rc_sheet_add_bars(flow, &g_array_index(tune->parts, RcPart, i));
  }
  rc_sheet_add_notes(flow);
  rc_sheet_add_bottom(flow);
  flow->plan->pages = fits ? flow->page + 1 : G_MAXUINT;
}

static guint
count_plain(const RcStandIns *all)
{
  guint n = 0;
  for (guint i = 0; i < all->n; ++i) {
    n += all->list[i].plain ? 1 : 0;
  }
  return n;
}

// How the words of a song may be set, the best first.
static const struct {
  double chords;
  double words;
  guint columns;
} song_tries[] = { { 18, 14, 1 },   { 16, 13, 1 },   { 14, 12, 1 },   { 14, 12, 2 },
                   { 12.5, 11, 1 }, { 12.5, 11, 2 }, { 11, 10.5, 1 }, { 11, 10.5, 2 } };

static void
try_song(RcSheetFlow *flow, RcSheetSetting setting, guint nth)
{
  setting.air = nth > 0 ? RC_SHEET_CLOSE : RC_SHEET_ROOMY;
  setting.listed = nth > 1 ? count_plain(flow->plan->stand_ins) : 0;
  setting.columns = song_tries[nth].columns;
  setting.chords = song_tries[nth].chords;
  setting.words = song_tries[nth].words;
  plan_in(flow, setting);
}

// Words as large as the fewest pages allow, in two columns where one does not do.
static void
plan_song(RcSheetFlow *flow, RcSheetSetting setting)
{
  enum { HOPELESS = 6 };
  guint best = 0;
  guint fewest = G_MAXUINT;
  for (guint i = 0; i < G_N_ELEMENTS(song_tries) && fewest > 1; ++i) {
    try_song(flow, setting, i);
    best = flow->plan->pages < fewest ? i : best;
    fewest = MIN(fewest, flow->plan->pages);
    if (!i && fewest >= HOPELESS) {
      return;
    }
  }
  if (fewest > 1) {
    try_song(flow, setting, best);
  }
}

static guint
count_bars(const RcTune *tune)
{
  return tune->bars->len ? rc_tune_bar_number(tune, tune->bars->len - 1) : 0;
}

static RcSheetSetting
with_air(RcSheetSetting setting, RcSheetAir air)
{
  setting.air = air;
  setting.chords = MIN(setting.chords, 18);
  return setting;
}

static gboolean
is_one_page(RcSheetFlow *flow, RcSheetSetting setting, guint listed)
{
  setting.listed = listed;
  plan_in(flow, setting);
  return flow->plan->pages == 1;
}

// Puts as few stand-ins as makes one page into lines: none, those that are plain, or of the others those that are held
// least, as long as some cards are left. Returns whether there is such a number. Fewer cards do not always take less
// room, as where a row loses only one of its cards, so that all numbers are tried.
static gboolean
list_some(RcSheetFlow *flow, RcSheetSetting setting)
{
  enum { FEWEST_CARDS = 3, MOST_TRIES = 20 };
  const RcStandIns *all = flow->plan->stand_ins;
  const guint plain = count_plain(all);
  const guint most = MIN(MAX(all->n, FEWEST_CARDS) - FEWEST_CARDS, plain + MOST_TRIES);
  gboolean found = is_one_page(flow, setting, 0) || is_one_page(flow, setting, plain);
  for (guint listed = plain + 1; listed <= most && !found; ++listed) {
    found = is_one_page(flow, setting, listed);
  }
  return found;
}

// Twice as many bars a line, where a few had made it fewer than `most`; the chords of these are in several rows.
static RcSheetSetting
with_more_bars(RcSheetSetting setting, guint most)
{
  setting.across = MIN(2 * setting.across, most);
  setting.beside = FALSE;
  return setting;
}

// Plans on one page what goes there: with less air, with some of the stand-ins in lines, or with as many as `most` bars
// a line all the same. Returns FALSE where nothing helps.
static gboolean
plan_one_page(RcSheetFlow *flow, RcSheetSetting usual, guint most)
{
  const RcSheetSetting close = with_air(usual, RC_SHEET_CLOSE);
  return is_one_page(flow, with_air(usual, RC_SHEET_TIGHT), 0) || list_some(flow, close) ||
         (usual.across < most && rc_sheet_has_room_for_each(flow, with_more_bars(close, most)) &&
          list_some(flow, with_more_bars(close, most)));
}

// In the usual setting, unless another spares a page. Where one page does not do, with less air only if that spares
// another.
static void
plan_chart(RcSheetFlow *flow)
{
  enum { FEW = 4, MANY = 8, HOPELESS = 4 };
  const guint most = count_bars(flow->plan->sheet->tune) <= RC_SHEET_FEW_BARS ? FEW : MANY;
  const RcSheetSetting usual = rc_sheet_choose_setting(flow, most);
  plan_in(flow, usual);
  const guint pages = flow->plan->pages;
  if (pages == 1 || pages >= HOPELESS || plan_one_page(flow, usual, most)) {
    return;
  }
  plan_in(flow, with_air(usual, RC_SHEET_TIGHT));
  if (flow->plan->pages == pages) {
    plan_in(flow, usual);
  }
}

// On a single page the lines of the chart spread, and what belongs at the bottom is put there.
static void
spread(RcSheetFlow *flow, guint lines)
{
  const double left = flow->plan->sheet->height - flow->y;
  const double each = lines ? MIN(left / (lines + 1), most_spread) : 0;
  for (guint i = 0; i < flow->plan->items->len; ++i) {
    RcSheetItem *item = &g_array_index(flow->plan->items, RcSheetItem, i);
    item->box.y += item->above == RC_SHEET_BOTTOM ? left : item->above * each;
  }
}

static guint
count_lines(const RcSheetPlan *plan)
{
  guint lines = 0;
  for (guint i = 0; i < plan->items->len; ++i) {
    const guint above = g_array_index(plan->items, RcSheetItem, i).above;
    lines = above == RC_SHEET_BOTTOM ? lines : MAX(lines, above);
  }
  return lines;
}

RcSheetPlan *
rc_sheet_plan_new(const RcSheet *sheet)
{
  RcSheetPlan *plan = g_new0(RcSheetPlan, 1);
  plan->sheet = sheet;
  plan->texts = g_string_chunk_new(1024);
  plan->items = g_array_new(FALSE, FALSE, sizeof(RcSheetItem));
  plan->stand_ins = rc_stand_ins_new(sheet->tune, sheet->chart, sheet->layout);
  plan->cards = rc_sheet_cards(plan);
  plan->marks = rc_sheet_marks_on_board(sheet);
  RcSheetFlow flow = { .plan = plan,
                       .label_width = label_width(sheet->tune),
                       .right = sheet->width,
                       .breaks = g_array_new(FALSE, FALSE, sizeof(RcSheetBreak)),
                       .symbols = g_new0(RcSheetSymbol, MAX(sheet->tune->symbols->len, 1)),
                       .ranks = rc_sheet_card_ranks(plan->stand_ins) };
  flow.indent = flow.label_width;
  flow.sung = rc_sheet_measure_song(&flow);
  if (sheet->tune->lines->len) {
    plan_song(&flow, rc_sheet_choose_setting(&flow, 8));
  } else {
    plan_chart(&flow);
  }
  if (plan->pages == 1) {
    spread(&flow, count_lines(plan));
  }
  g_ptr_array_unref(flow.sung);
  g_array_unref(flow.breaks);
  g_free(flow.symbols);
  g_free(flow.ranks);
  return plan;
}

void
rc_sheet_plan_free(RcSheetPlan *plan)
{
  if (plan) {
    rc_stand_ins_free(plan->stand_ins);
    g_array_unref(plan->items);
    g_array_unref(plan->cards);
    g_array_unref(plan->marks);
    g_string_chunk_free(plan->texts);
    g_free(plan);
  }
}
