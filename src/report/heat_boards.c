// Copyright 2026 the rowcall developers
// SPDX-License-Identifier: MIT

#include "report/heat_boards.h"

#include "report/format.h"
#include "report/heat_text.h"

static const char continued[] = "Use of the buttons";
static const double below_board = 6; // points

gboolean
rc_heat_is_wide(const RcLayout *layout, RcPaper paper)
{
  return rc_heat_board_width(layout) > rc_pages_text_width(paper, FALSE);
}

void
rc_heat_draw_key(RcPages *p, const RcCounts *counts)
{
  char *text = g_strdup_printf("Percent of all %s in which a button, or any button of a row or a column, is held:",
                               rc_share_of(counts));
  rc_pages_text(p, RC_TEXT_NOTE, text);
  g_free(text);
  rc_canvas_begin_figure(&p->canvas, "The shades of the classes of use, pale to dark.");
  p->y += rc_draw_use_classes(p->canvas.cairo, p->left, p->y + 3) + 3;
  rc_canvas_end(&p->canvas, "Figure");
  p->y += 9;
}

static void
draw_board(RcPages *p, const char *heading, const char *note, const char *text, const RcHeatBoard *board)
{
  const double height = rc_heat_board_height(board, p->text_width);
  const double noted = *note ? rc_text_height(RC_TEXT_NOTE, p->text_width, 0, note) : 0;
  rc_pages_need(p, rc_text_height(RC_TEXT_STRONG, p->text_width, 0, heading) + noted + 4 + height, continued);
  rc_pages_text(p, RC_TEXT_STRONG, heading);
  if (*note) {
    rc_pages_text(p, RC_TEXT_NOTE, note);
  }
  p->y += 4;
  const RcBox box = rc_pages_begin_figure(p, height, continued, text);
  rc_draw_heat_board(p->canvas.cairo, box.x, box.y, box.width, board);
  rc_pages_end_figure(p, height + below_board);
}

// The shares of all buttons, rows and columns, in one array.
static double *
new_shares(const RcLayout *layout, RcHeatBoard *board)
{
  double *shares = g_new0(double, layout->buttons->len + layout->rows->len + layout->columns->len);
  board->layout = layout;
  board->buttons = shares;
  board->rows = shares + layout->buttons->len;
  board->columns = board->rows + layout->rows->len;
  return shares;
}

void
rc_heat_draw_use(RcPages *p, const char *heading, const RcUse *use)
{
  RcHeatBoard board = { .differences = FALSE };
  double *shares = new_shares(use->layout, &board);
  RcHeat *heat = rc_heat_new(use);
  char *finding = rc_heat_finding(use);
  double *next = shares;
  for (guint i = 0; i < use->layout->buttons->len; ++i) {
    *next++ = rc_heat_share(heat, use->buttons[i]);
  }
  for (guint i = 0; i < use->layout->rows->len; ++i) {
    *next++ = rc_heat_share(heat, heat->by_row[i].held);
  }
  for (guint i = 0; i < use->layout->columns->len; ++i) {
    *next++ = rc_heat_share(heat, heat->by_column[i].held);
  }
  draw_board(p, heading, "", finding, &board);
  rc_heat_free(heat);
  g_free(finding);
  g_free(shares);
}

void
rc_heat_draw_difference(RcPages *p, const RcHeatPair *pair)
{
  const RcLayout *layout = pair->sides[0].use->layout;
  RcHeatBoard board = { .differences = TRUE };
  double *shares = new_shares(layout, &board);
  char *finding = rc_heat_pair_finding(pair);
  double *next = shares;
  for (guint i = 0; i < layout->buttons->len; ++i) {
    *next++ = rc_heat_pair_button(pair, i);
  }
  for (guint i = 0; i < layout->rows->len; ++i) {
    *next++ = rc_heat_pair_row(pair, i);
  }
  for (guint i = 0; i < layout->columns->len; ++i) {
    *next++ = rc_heat_pair_column(pair, i);
  }
  char *note = g_strconcat("Round and +: held longer in A. Square and −: held longer in B. Dashed: no difference.",
                           pair->alike < layout->buttons->len ? " A name alone: only A has that button." : "", NULL);
  draw_board(p, "A less B, in points of percent before rounding", note, finding, &board);
  g_free(note);
  g_free(finding);
  g_free(shares);
}
