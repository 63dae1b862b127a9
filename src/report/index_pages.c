// Copyright 2026 the rowcall developers
// SPDX-License-Identifier: MIT

// The index of tunes: how each fares on the keyboard that is looked at closely, and on all sizes.

#include "report/document_pages.h"

#include "draw/lines.h"
#include "report/format.h"

#include <string.h>

#define U64 G_GUINT64_FORMAT

static const char bookmark[] = "Index of tunes";

// In points.
static const double row_height = 12;
static const double bar_width = 34;
static const double percent_width = 26;
static const double page_width = 26;
static const double cell_width = 12; // of the strip
static const double column_gap = 16;
static const double names_height = 42; // of the sizes, set upright

enum { MOST_WITH_STRIP = 200, MOST_LISTED = 2500 }; // tunes

// A column of the index, or its only one.
typedef struct {
  RcDocument *d;
  gboolean strip; // the sizes are shown
  double x;
  double width;
  double title_width;
  double top; // where columns begin on this page
  const char *file;
  gboolean in_list;
  GArray *bars; // of Bar: those of this page
} Index;

// The share of a tune's time that is carried.
typedef struct {
  double x;
  double y;
  double part;
} Bar;

static guint
n_sizes(const Index *x)
{
  return x->strip ? x->d->report->comparison->n : 0;
}

static double
pages_width(const RcDocument *d)
{
  return d->sheet_pages ? page_width : 0;
}

static double
strip_x(const Index *x)
{
  return x->x + x->width - pages_width(x->d) - n_sizes(x) * cell_width;
}

static double
lacks_x(const Index *x)
{
  return x->x + x->title_width + bar_width + percent_width;
}

static void
draw_words(RcPages *p, double x, double width, RcAlign align, const char *text)
{
  rc_draw_text(p->canvas.cairo, RC_TEXT_NOTE, align, x, p->y + 1, width, 1, text);
}

// On the same line as other words: in a PDF cairo would place them by the widths before them, which it has rounded, did
// they not lie lower by more than a thousandth of their size.
static void
draw_words_apart(RcPages *p, double x, double width, const char *text)
{
  static const double lower = 0.0078; // points
  rc_draw_text(p->canvas.cairo, RC_TEXT_NOTE, RC_ALIGN_LEFT, x, p->y + 1 + lower, width, 1, text);
}

// ---------------------------------------------------------------------------------------------------------- headings

// The names of the sizes above their column, on every page; the rows say them again to those who listen.
static void
draw_sizes(const Index *x)
{
  RcPages *p = &x->d->pages;
  cairo_t *cairo = p->canvas.cairo;
  rc_canvas_begin(&p->canvas, RC_FURNITURE);
  for (guint i = 0; i < n_sizes(x); ++i) {
    cairo_save(cairo);
    cairo_translate(cairo, strip_x(x) + i * cell_width - 1, p->y + names_height);
    cairo_rotate(cairo, -G_PI / 2);
    rc_draw_text(cairo, RC_TEXT_NOTE, RC_ALIGN_LEFT, 0, 0, names_height, 1,
                 x->d->report->comparison->sizes[i].layout->name);
    cairo_restore(cairo);
  }
  rc_canvas_end(&p->canvas, RC_FURNITURE);
  p->y += n_sizes(x) ? names_height + 3 : 0;
}

static void
begin_columns(Index *x)
{
  draw_sizes(x);
  x->top = x->d->pages.y;
}

static void
begin_list(Index *x)
{
  rc_canvas_begin(&x->d->pages.canvas, "L");
  x->in_list = TRUE;
}

static void
end_list(Index *x)
{
  if (x->in_list) {
    rc_canvas_end(&x->d->pages.canvas, "L");
  }
  x->in_list = FALSE;
}

// All that are on the page, each within its frame, first all of one shade and then all of the other, since a PDF says
// each change; the figures beside them tell those who listen.
static void
draw_bars(const Index *x)
{
  RcPages *p = &x->d->pages;
  cairo_t *cairo = p->canvas.cairo;
  const double height = row_height - 5;
  rc_canvas_begin(&p->canvas, RC_FURNITURE);
  rc_shade(cairo, rc_verdict_shade(RC_NATIVE));
  for (guint i = 0; i < x->bars->len; ++i) {
    const Bar *bar = &g_array_index(x->bars, Bar, i);
    cairo_rectangle(cairo, bar->x, bar->y, (bar_width - 4) * bar->part, height);
    cairo_fill(cairo);
  }
  rc_draw_pen(cairo, 0.35, 0.5);
  for (guint i = 0; i < x->bars->len; ++i) {
    const Bar *bar = &g_array_index(x->bars, Bar, i);
    cairo_rectangle(cairo, bar->x, bar->y, bar_width - 4, height);
    cairo_stroke(cairo);
  }
  rc_canvas_end(&p->canvas, RC_FURNITURE);
  g_array_set_size(x->bars, 0);
}

// Goes on with the list on the next page.
static void
turn_page(Index *x, double height)
{
  const gboolean in_list = x->in_list;
  end_list(x);
  draw_bars(x);
  x->x = x->d->pages.left;
  rc_pages_need(&x->d->pages, height, bookmark);
  begin_columns(x);
  if (in_list) {
    begin_list(x);
  }
}

// Moves on to the second column, or to the next page, where less than @p height is left.
static void
need(Index *x, double height)
{
  RcPages *p = &x->d->pages;
  if (rc_pages_room(p) >= height) {
    return;
  }
  if (!x->strip && x->x < p->left + p->text_width / 2) {
    x->x += x->width + column_gap;
    p->y = x->top;
  } else {
    turn_page(x, height);
  }
}

static void
draw_group(Index *x, const char *text)
{
  RcPages *p = &x->d->pages;
  end_list(x);
  need(x, 4 * row_height);
  p->y += 8;
  rc_canvas_begin(&p->canvas, "H2");
  rc_draw_text(p->canvas.cairo, RC_TEXT_STRONG, RC_ALIGN_LEFT, x->x, p->y, x->width, 1, text);
  rc_canvas_end(&p->canvas, "H2");
  p->y += row_height + 2;
  x->file = NULL;
}

static void
draw_file(Index *x, const char *file)
{
  RcPages *p = &x->d->pages;
  char *name = g_path_get_basename(file);
  end_list(x);
  need(x, 2 * row_height);
  rc_canvas_begin(&p->canvas, "H3");
  cairo_set_source_rgb(p->canvas.cairo, 0.91, 0.91, 0.91);
  cairo_rectangle(p->canvas.cairo, x->x, p->y, x->width, row_height - 1);
  cairo_fill(p->canvas.cairo);
  draw_words(p, x->x + 2, x->width - 4, RC_ALIGN_LEFT, name);
  rc_canvas_end(&p->canvas, "H3");
  begin_list(x);
  p->y += row_height;
  x->file = file;
  g_free(name);
}

// -------------------------------------------------------------------------------------------------------------- a row

// "lacks F♯7 ×4, B7", or the texts that are no chord symbols.
static char *
lacks_text(const RcTune *tune, const RcTuneOn *on, guint most)
{
  GString *text = g_string_new(NULL);
  for (guint i = 0; i < MIN(on->n_lacks, most); ++i) {
    const RcTuneLack *lack = &on->lacks[i];
    const RcSymbol *symbol = rc_tune_symbol(tune, lack->symbol);
    char *name = lack->verdict == RC_UNREAD ? g_strdup_printf("“%s”", symbol->text)
                                            : rc_chord_name(&symbol->chord, RC_SIGNS_UNICODE);
    g_string_append_printf(text, "%s%s", i ? ", " : on->fares == RC_FARES_UNREAD ? "unread: " : "lacks ", name);
    if (lack->times > 1) {
      g_string_append_printf(text, "\u00a0×%" U64, lack->times);
    }
    g_free(name);
  }
  if (on->n_lacks > most) {
    g_string_append_printf(text, ", %u more", on->n_lacks - most);
  }
  return g_string_free(text, FALSE);
}

// What is carried of the tune's time, as a figure, and as a bar to be drawn with the others.
static void
draw_carried(const Index *x, const RcTuneOn *on)
{
  char percent[8];
  RcPages *p = &x->d->pages;
  const RcTicks read = rc_counts_read(&on->counts);
  const RcTicks carried = rc_counts_carried(&on->counts, x->d->report->comparison->accept);
  const Bar bar = { x->x + x->title_width, p->y + 2, (double)carried / (double)MAX(read, 1) };
  rc_percent(percent, carried, read, 0, RC_TARGET_ALL);
  char *text = g_strdup_printf("%s %%", *percent == '-' ? "0" : percent);
  draw_words_apart(p, bar.x + bar_width, percent_width, text);
  g_array_append_val(x->bars, bar);
  g_free(text);
}

// Filled: it plays; a dot: it is one short; a cross: it lacks more; a question mark: texts could not be read.
static void
draw_mark(cairo_t *cairo, double left, double top, RcFares fares)
{
  const double side = row_height - 4;
  rc_shade(cairo, rc_verdict_shade(RC_NATIVE));
  cairo_set_line_width(cairo, 1);
  switch (fares) {
  case RC_FARES_PLAYS:
    cairo_rectangle(cairo, left, top, side, side);
    cairo_fill(cairo);
    break;
  case RC_FARES_ONE_SHORT:
    cairo_new_path(cairo);
    cairo_arc(cairo, left + side / 2, top + side / 2, 2.2, 0, 2 * G_PI);
    cairo_fill(cairo);
    break;
  case RC_FARES_NOT:
    cairo_move_to(cairo, left + 1.5, top + 1.5);
    cairo_line_to(cairo, left + side - 1.5, top + side - 1.5);
    cairo_move_to(cairo, left + side - 1.5, top + 1.5);
    cairo_line_to(cairo, left + 1.5, top + side - 1.5);
    cairo_stroke(cairo);
    break;
  default:
    rc_draw_label(cairo, 7.5, left + side / 2, top + side / 2, side, -1, "?");
  }
}

static char *
strip_text(const Index *x, const RcIndexed *indexed)
{
  static const RcFares told[] = { RC_FARES_PLAYS, RC_FARES_ONE_SHORT };
  GString *text = g_string_new(NULL);
  for (guint i = 0; i < G_N_ELEMENTS(told); ++i) {
    const char *before = told[i] == RC_FARES_PLAYS ? "Playable on " : "One short on ";
    for (guint size = 0; size < n_sizes(x); ++size) {
      if (indexed->sizes[size] == told[i]) {
        g_string_append_printf(text, "%s%s", before, x->d->report->comparison->sizes[size].layout->name);
        before = ", ";
      }
    }
    g_string_append(text, *before == ',' ? ". " : "");
  }
  return g_string_free(text->len ? text : g_string_append(text, "Playable on none of these sizes."), FALSE);
}

static void
draw_strip(const Index *x, const RcIndexed *indexed)
{
  RcPages *p = &x->d->pages;
  if (!x->strip) {
    return;
  }
  char *text = strip_text(x, indexed);
  rc_canvas_begin_figure(&p->canvas, text);
  for (guint i = 0; i < n_sizes(x); ++i) {
    draw_mark(p->canvas.cairo, strip_x(x) + i * cell_width, p->y + 1.5, indexed->sizes[i]);
  }
  rc_canvas_end(&p->canvas, "Figure");
  g_free(text);
}

// The page of the tune's sheet, where the report has sheets.
static void
draw_page(const Index *x, guint number)
{
  RcDocument *d = x->d;
  if (d->sheet_pages && d->sheet_pages[number]) {
    char *text = g_strdup_printf("%u", d->sheet_pages[number]);
    char *place = g_strdup_printf("tune%u", number + 1);
    rc_pages_begin_link(&d->pages, (RcBox){ x->x, d->pages.y, x->width, row_height }, place);
    draw_words(&d->pages, x->x + x->width - page_width, page_width, RC_ALIGN_RIGHT, text);
    rc_pages_end_link(&d->pages);
    g_free(place);
    g_free(text);
  }
}

// What is said of a tune. Where other parts follow it is a part itself: cairo marks no words beside parts.
static void
draw_line(const Index *x, const RcTune *tune, const RcTuneOn *on)
{
  RcPages *p = &x->d->pages;
  const gboolean part = x->strip || x->d->sheet_pages;
  char *lacks = lacks_text(tune, on, x->strip ? 4 : 2);
  if (part) {
    rc_canvas_begin(&p->canvas, "Span");
  }
  draw_words(p, x->x, x->title_width - 6, RC_ALIGN_LEFT, tune->title);
  draw_carried(x, on);
  draw_words(p, lacks_x(x), strip_x(x) - lacks_x(x) - 6, RC_ALIGN_LEFT, lacks);
  if (part) {
    rc_canvas_end(&p->canvas, "Span");
  }
  g_free(lacks);
}

static void
draw_tune(Index *x, const RcIndexed *indexed)
{
  RcPages *p = &x->d->pages;
  const RcTune *tune = x->d->report->tunes[indexed->number];
  if (!x->file || strcmp(x->file, tune->file) != 0) {
    draw_file(x, tune->file);
  }
  need(x, row_height);
  rc_canvas_begin(&p->canvas, "LI");
  rc_canvas_begin(&p->canvas, "LBody");
  draw_line(x, tune, &indexed->on);
  draw_strip(x, indexed);
  draw_page(x, indexed->number);
  rc_canvas_end(&p->canvas, "LBody");
  rc_canvas_end(&p->canvas, "LI");
  p->y += row_height;
}

// ---------------------------------------------------------------------------------------------------------- the whole

// Of many tunes only those that do not play are named.
static gboolean
names_all(const RcTuneIndex *index)
{
  return index->n <= MOST_WITH_STRIP;
}

// Of many that are named it is only told how they fare on the chosen size.
static gboolean
has_strip(const RcTuneIndex *index)
{
  return names_all(index) || index->n - index->fare[RC_FARES_PLAYS] <= MOST_WITH_STRIP;
}

static char *
group_text(const RcTuneIndex *index, RcFares fares)
{
  static const char *const words[RC_N_FARES] = { [RC_FARES_NOT] = "lacking more",
                                                 [RC_FARES_UNREAD] = "with text that could not be read",
                                                 [RC_FARES_ONE_SHORT] = "one chord short",
                                                 [RC_FARES_PLAYS] = "playable" };
  return g_strdup_printf("%u %s", index->fare[fares], words[fares]);
}

// Draws tune by tune, or of many only those that are not played; returns how many found no room.
static guint
draw_tunes(Index *x, const RcTuneIndex *index)
{
  guint listed = 0;
  guint left = 0;
  RcFares group = RC_N_FARES;
  for (guint i = 0; i < index->n && !x->d->pages.full; ++i) {
    const RcIndexed *indexed = &index->tunes[i];
    if (!names_all(index) && indexed->on.fares == RC_FARES_PLAYS) {
      continue;
    }
    if (listed == MOST_LISTED) {
      ++left;
      continue;
    }
    if (indexed->on.fares != group) {
      group = indexed->on.fares;
      char *text = group_text(index, group);
      draw_group(x, text);
      g_free(text);
    }
    draw_tune(x, indexed);
    ++listed;
  }
  end_list(x);
  return left;
}

static Index
start_index(RcDocument *d, const RcTuneIndex *index)
{
  const gboolean strip = has_strip(index);
  Index x = { .d = d,
              .strip = strip,
              .x = d->pages.left,
              .width = d->pages.text_width,
              .bars = g_array_new(FALSE, FALSE, sizeof(Bar)) };
  x.width = strip ? x.width : (x.width - column_gap) / 2;
  x.title_width =
    (x.width - pages_width(d) - bar_width - percent_width - n_sizes(&x) * cell_width) * (strip ? 0.5 : 0.58);
  return x;
}

static char *
notes_text(const RcDocument *d, const RcTuneIndex *index)
{
  GString *text = g_string_new("The bar is the share of the tune's time that is carried.");
  if (has_strip(index)) {
    g_string_append(text,
                    " On each size: filled, it is playable; a dot, it is one chord short; a cross, it lacks more; a "
                    "question mark, text could not be read.");
  }
  if (!names_all(index)) {
    g_string_append_printf(text, " Of so many, only those that are not playable are named; %u are playable.",
                           index->fare[RC_FARES_PLAYS]);
  }
  if (index->n_chordless) {
    g_string_append_printf(text, " %u without chords %s left out.", index->n_chordless,
                           index->n_chordless == 1 ? "is" : "are");
  }
  g_string_append(text, d->sheet_pages ? " At the right is the page of the sheet." : "");
  return g_string_free(text, FALSE);
}

void
rc_section_index(RcDocument *d)
{
  const RcCounts chosen = d->report->comparison->sizes[d->report->chosen].counts;
  const RcTuneIndex *index = d->report->index;
  char *title = g_strdup_printf("%" U64 " of %" U64 " tune%s %s playable on the %s", chosen.playable, chosen.tunes,
                                chosen.tunes == 1 ? "" : "s", chosen.playable == 1 ? "is" : "are", d->layout->name);
  char *notes = notes_text(d, index);
  rc_document_begin(d, bookmark, title, notes, NULL);
  rc_pages_name(&d->pages, "index");
  Index x = start_index(d, index);
  begin_columns(&x);
  const guint left = draw_tunes(&x, index);
  if (left) {
    char *more = g_strdup_printf("and %u more; rowcall list names them all", left);
    draw_group(&x, more);
    g_free(more);
  }
  draw_bars(&x);
  g_array_unref(x.bars);
  d->pages.y = x.x > d->pages.left ? d->pages.height : d->pages.y; // the first column is full
  g_free(title);
  g_free(notes);
}
