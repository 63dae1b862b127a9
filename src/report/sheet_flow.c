// Copyright 2026 the rowcall developers
// SPDX-License-Identifier: MIT

#include "report/sheet_flow.h"

// In points.
static const double continued_height = 22;
static const double between_paragraphs = 3;

gboolean
rc_sheet_is_full(const RcSheetFlow *flow)
{
  return flow->page >= RC_MAX_PAGES;
}

RcSheetItem *
rc_sheet_add(RcSheetFlow *flow, RcSheetKind kind, RcBox box, RcFace face, const char *text)
{
  GArray *items = flow->plan->items;
  const RcSheetItem item = { .kind = kind,
                             .page = flow->page,
                             .line = flow->line,
                             .above = flow->above,
                             .box = box,
                             .face = face,
                             .text = g_string_chunk_insert_const(flow->plan->texts, text) };
  g_array_append_val(items, item);
  return &g_array_index(items, RcSheetItem, items->len - 1);
}

static void
add_continued(RcSheetFlow *flow)
{
  char *text = g_strconcat(flow->plan->sheet->tune->title, " (continued)", NULL);
  const RcBox box = { 0, 0, flow->plan->sheet->width, continued_height };
  rc_sheet_add(flow, RC_SHEET_TEXT, box, (RcFace){ 12, TRUE }, text)->line = G_MAXUINT;
  g_free(text);
}

void
rc_sheet_need(RcSheetFlow *flow, double height)
{
  if (!flow->endless && flow->y + height > flow->plan->sheet->height && flow->y > continued_height) {
    ++flow->page;
    flow->y = continued_height;
    add_continued(flow);
  }
}

void
rc_sheet_add_paragraph(RcSheetFlow *flow, RcSheetKind kind, RcTextStyle style, const char *text)
{
  enum { MOST_LINES = 40 }; // these fit on a page
  const double width = flow->plan->sheet->width;
  const double height = rc_text_height(style, width, MOST_LINES, text);
  rc_sheet_need(flow, height);
  rc_sheet_add(flow, kind, (RcBox){ 0, flow->y, width, height }, (RcFace){ 0, FALSE }, text)->style = style;
  ++flow->line;
  flow->y += height + between_paragraphs;
}
