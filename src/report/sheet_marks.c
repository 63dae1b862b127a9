// Copyright 2026 the rowcall developers
// SPDX-License-Identifier: MIT

// What is told of a chord beside its name, and the name as it is drawn.

#include "report/sheet_flow.h"

#include <string.h>

// In points.
static const double badge_width = 14;
static const double sign_width = 11;
static const double arrow_width = 9;
static const double mark_gap = 1;

const RcSheetSymbol *
rc_sheet_symbol(RcSheetFlow *flow, guint event)
{
  enum { MEASURED = 100 };
  const RcTune *tune = flow->plan->sheet->tune;
  const guint index = g_array_index(tune->events, RcEvent, event).symbol;
  const RcSymbol *symbol = rc_tune_symbol(tune, index);
  RcSheetSymbol *drawn = &flow->symbols[index];
  if (!drawn->text) {
    char *text = rc_symbol_shown(symbol, RC_SIGNS_UNICODE);
    drawn->text = g_string_chunk_insert(flow->plan->texts, text);
    drawn->width = rc_word_width((RcFace){ MEASURED, FALSE }, text) / MEASURED;
    g_free(text);
  }
  return drawn;
}

static void
append_mark(RcSheetMark *marks, guint *n, RcSheetKind kind, double width, const char *text)
{
  if (*n < RC_SHEET_MOST_MARKS) {
    RcSheetMark *mark = &marks[(*n)++];
    mark->kind = kind;
    mark->width = width;
    g_strlcpy(mark->text, text, sizeof mark->text);
  }
}

// The first of the other ways in which an event is played; the rest follow.
static guint
first_other(const GArray *ways, guint event)
{
  guint first = 0;
  guint end = ways->len;
  while (first < end) {
    const guint middle = first + (end - first) / 2;
    if (g_array_index(ways, RcEventWay, middle).event < event) {
      first = middle + 1;
    } else {
      end = middle;
    }
  }
  return first;
}

static void
append_badge(RcSheetMark *marks, guint *n, guint number)
{
  char text[sizeof marks->text];
  g_snprintf(text, sizeof text, "%u", number);
  if (number && !(*n && !strcmp(marks[*n - 1].text, text))) {
    append_mark(marks, n, RC_SHEET_BADGE, badge_width, text);
  }
}

// The stand-ins of an event.
static void
append_badges(const RcSheetFlow *flow, guint event, RcSheetMark *marks, guint *n)
{
  const RcChart *chart = flow->plan->sheet->chart;
  const guint *numbers = flow->plan->stand_ins->numbers;
  const GArray *others = chart->other_ways;
  if (chart->ways[event] == RC_NO_WAY) {
    return;
  }
  append_badge(marks, n, numbers[chart->ways[event]]);
  for (guint i = first_other(others, event); i < others->len; ++i) {
    const RcEventWay *way = &g_array_index(others, RcEventWay, i);
    if (way->event != event) {
      break;
    }
    append_badge(marks, n, numbers[way->need]);
  }
}

guint
rc_sheet_marks(const RcSheetFlow *flow, guint event, RcSheetMark marks[RC_SHEET_MOST_MARKS])
{
  static const char *const arrows[] = { "", "▸", "◂", "◂▸" };
  const RcChart *chart = flow->plan->sheet->chart;
  guint n = 0;
  append_badges(flow, event, marks, &n);
  if (chart->verdicts[event] == RC_IMPOSSIBLE) {
    append_mark(marks, &n, RC_SHEET_SIGN, sign_width, "×");
  } else if (chart->verdicts[event] == RC_UNREAD) {
    append_mark(marks, &n, RC_SHEET_SIGN, sign_width, "?");
  }
  if (chart->bellows[event]) {
    append_mark(marks, &n, RC_SHEET_SIGN,
                chart->bellows[event] == (RC_BELLOWS_PUSH | RC_BELLOWS_PULL) ? 2 * arrow_width : arrow_width,
                arrows[chart->bellows[event]]);
  }
  return n;
}

double
rc_sheet_marks_width(const RcSheetMark *marks, guint n)
{
  double width = 0;
  for (guint i = 0; i < n; ++i) {
    width += marks[i].width + (i ? mark_gap : 0);
  }
  return width;
}

void
rc_sheet_add_marks(RcSheetFlow *flow, guint event, double x, double y)
{
  static const RcFace faces[] = { [RC_SHEET_BADGE] = { 10, TRUE }, [RC_SHEET_SIGN] = { 14, TRUE } };
  RcSheetMark marks[RC_SHEET_MOST_MARKS];
  const guint n = rc_sheet_marks(flow, event, marks);
  for (guint i = 0; i < n; ++i) {
    const RcBox box = { x, y - badge_width / 2, marks[i].width, badge_width };
    rc_sheet_add(flow, marks[i].kind, box, faces[marks[i].kind], marks[i].text);
    x += marks[i].width + mark_gap;
  }
}
