// Copyright 2026 the rowcall developers
// SPDX-License-Identifier: MIT

// Practice sheets: a tune a page where it fits, with the chart in bars, the whole keyboard, and for each chord that has
// no button of its own what to press instead.

#include "report/sheet_pages.h"

#include "report/need_text.h"
#include "report/sheet_plan.h"

struct RcSheets {
  RcPages pages;
  const RcLayout *layout;
};

// -------------------------------------------------------------------------------------------------------- the items

// What is drawn at its place on the page.
typedef struct {
  RcPages *pages;
  const RcSheetPlan *plan;
  double top;
} Drawing;

static RcBox
place_of(const Drawing *d, const RcSheetItem *item)
{
  return (RcBox){ d->pages->left + item->box.x, d->top + item->box.y, item->box.width, item->box.height };
}

static void
draw_word(const Drawing *d, const RcSheetItem *item)
{
  const RcBox box = place_of(d, item);
  const double width = d->pages->left + d->pages->text_width - box.x;
  rc_draw_word(d->pages->canvas.cairo, item->face, RC_ALIGN_LEFT, box.x, box.y + box.height / 2, width, 0, item->text);
}

static void
draw_text(const Drawing *d, const RcSheetItem *item)
{
  const RcBox box = place_of(d, item);
  if (item->face.points > 0) {
    draw_word(d, item);
  } else {
    rc_canvas_text(&d->pages->canvas, item->style, box.x, box.y, box.width, 0, item->text);
  }
}

static void
draw_badge(const Drawing *d, const RcSheetItem *item)
{
  const RcBox box = place_of(d, item);
  rc_grip_badge_draw(d->pages->canvas.cairo, box.x, box.y, box.width, item->text);
}

static void
draw_part(const Drawing *d, const RcSheetItem *item)
{
  const RcBox box = place_of(d, item);
  cairo_t *cairo = d->pages->canvas.cairo;
  cairo_set_source_rgb(cairo, 0, 0, 0);
  cairo_set_line_width(cairo, 1);
  cairo_rectangle(cairo, box.x, box.y, box.width, box.height);
  cairo_stroke(cairo);
  rc_draw_word(cairo, item->face, RC_ALIGN_CENTRE, box.x + box.width / 2, box.y + box.height / 2, box.width - 4, 0,
               item->text);
}

static void
draw_number(const Drawing *d, const RcSheetItem *item)
{
  const RcBox box = place_of(d, item);
  rc_draw_word(d->pages->canvas.cairo, item->face, RC_ALIGN_RIGHT, box.x + box.width, box.y + box.height / 2, box.width,
               0.25, item->text);
}

static void
draw_rule(const Drawing *d, const RcSheetItem *item)
{
  const RcBox box = place_of(d, item);
  cairo_t *cairo = d->pages->canvas.cairo;
  cairo_set_source_rgb(cairo, 0, 0, 0);
  cairo_set_line_width(cairo, box.width);
  cairo_move_to(cairo, box.x, box.y);
  cairo_line_to(cairo, box.x, box.y + box.height);
  cairo_stroke(cairo);
}

// "C bass with 4; C major with 3; ..."
static char *
board_text(const RcSheetPlan *plan)
{
  const RcLayout *layout = plan->sheet->layout;
  GString *text = g_string_new("The whole keyboard, with the buttons of the tune:");
  for (guint i = 0; i < plan->marks->len; ++i) {
    const RcFingerMark *mark = &g_array_index(plan->marks, RcFingerMark, i);
    char *name = rc_button_describe(layout, rc_layout_button(layout, mark->button), RC_SIGNS_UNICODE);
    g_string_append_printf(text, "%s %s%s", i ? ";" : "", name, mark->held ? "" : ", alternating");
    for (guint finger = RC_FINGER_INDEX; finger <= RC_FINGER_LITTLE; ++finger) {
      if (mark->fingers & 1U << finger) {
        g_string_append_printf(text, " %u", finger);
      }
    }
    g_free(name);
  }
  return g_string_free(text, FALSE);
}

static void
draw_board(const Drawing *d, const RcSheetItem *item)
{
  const RcBox box = place_of(d, item);
  char *text = board_text(d->plan);
  rc_canvas_begin_figure(&d->pages->canvas, text);
  rc_draw_hand_board(d->pages->canvas.cairo, box.x, box.y, d->plan->sheet->layout,
                     (const RcFingerMark *)(gconstpointer)d->plan->marks->data, d->plan->marks->len);
  rc_canvas_end(&d->pages->canvas, "Figure");
  g_free(text);
}

static void
draw_card(const Drawing *d, const RcSheetItem *item)
{
  const RcBox box = place_of(d, item);
  rc_grip_card_draw(&d->pages->canvas, &g_array_index(d->plan->cards, RcGripCard, item->index), box.x, box.y);
}

static void
draw_item(const Drawing *d, const RcSheetItem *item)
{
  static void (*const draws[])(const Drawing *, const RcSheetItem *) = {
    [RC_SHEET_TITLE] = draw_text,    [RC_SHEET_TEXT] = draw_text, [RC_SHEET_CHORD] = draw_word,
    [RC_SHEET_BADGE] = draw_badge,   [RC_SHEET_SIGN] = draw_word, [RC_SHEET_PART] = draw_part,
    [RC_SHEET_NUMBER] = draw_number, [RC_SHEET_RULE] = draw_rule, [RC_SHEET_SUNG] = draw_word,
    [RC_SHEET_BOARD] = draw_board,   [RC_SHEET_CARD] = draw_card,
  };
  draws[item->kind](d, item);
}

// Whether it is a part of the document by itself, rather than of its line.
static gboolean
stands_alone(const RcSheetItem *item)
{
  return item->kind == RC_SHEET_BOARD || item->kind == RC_SHEET_CARD ||
         ((item->kind == RC_SHEET_TITLE || item->kind == RC_SHEET_TEXT) && !(item->face.points > 0));
}

// ---------------------------------------------------------------------------------------------------------- its pages

// Draws the items from `first` on that are read in one go; returns the next one.
static guint
draw_line(const Drawing *d, guint first)
{
  const GArray *items = d->plan->items;
  const RcSheetItem *item = &g_array_index(items, RcSheetItem, first);
  const char *role = item->line == G_MAXUINT ? RC_FURNITURE : "P"; // nobody who listens has turned a page
  guint next = first;
  if (stands_alone(item)) {
    draw_item(d, item);
    return first + 1;
  }
  rc_canvas_begin(&d->pages->canvas, role);
  for (; next < items->len; ++next) {
    const RcSheetItem *other = &g_array_index(items, RcSheetItem, next);
    if (other->line != item->line || other->page != item->page || stands_alone(other)) {
      break;
    }
    draw_item(d, other);
  }
  rc_canvas_end(&d->pages->canvas, role);
  return next;
}

static void
set_foot(RcPages *p, const RcSheetPlan *plan, guint page)
{
  rc_pages_set_foot(p, g_strdup_printf("%s  ·  %s  ·  %u of %u", plan->sheet->tune->title, plan->sheet->layout->title,
                                       page + 1, plan->pages));
}

static void
draw_pages(RcPages *p, const RcSheetPlan *plan)
{
  guint page = 0;
  for (guint i = 0; i < plan->items->len && !p->full;) {
    const guint wanted = g_array_index(plan->items, RcSheetItem, i).page;
    if (wanted != page) {
      rc_pages_begin(p, NULL);
      page = wanted;
      set_foot(p, plan, page);
    }
    const Drawing d = { p, plan, p->y };
    i = draw_line(&d, i);
  }
}

void
rc_sheet_draw(RcPages *pages, const RcLayout *layout, const RcTune *tune, const RcChart *chart, const char *place)
{
  rc_pages_begin(pages, NULL);
  const RcSheet sheet = { layout, tune, chart, pages->text_width, rc_pages_room(pages) };
  RcSheetPlan *plan = rc_sheet_plan_new(&sheet);
  set_foot(pages, plan, 0);
  if (place) {
    rc_pages_name(pages, place);
    rc_pages_link(pages, (RcBox){ pages->left, pages->y, pages->text_width, 20 }, "index");
  }
  rc_pages_bookmark(pages, tune->title);
  draw_pages(pages, plan);
  rc_sheet_plan_free(plan);
}

RcSheets *
rc_sheets_start(const RcLayout *layout, RcPicture picture, RcPaper paper, const RcImprint *imprint)
{
  RcSheets *sheets = g_new0(RcSheets, 1);
  sheets->layout = layout;
  sheets->pages = rc_pages_start(picture, paper, layout->title, imprint, layout->title);
  return sheets;
}

void
rc_sheets_add(RcSheets *sheets, const RcTune *tune, const RcChart *chart)
{
  if (!sheets->pages.full) {
    rc_sheet_draw(&sheets->pages, sheets->layout, tune, chart, NULL);
  }
}

guint
rc_sheets_pages(const RcSheets *sheets)
{
  return sheets->pages.number;
}

GBytes *
rc_sheets_finish(RcSheets *sheets, GError **error)
{
  GBytes *bytes = rc_pages_finish(&sheets->pages, error);
  g_free(sheets);
  return bytes;
}
