// Copyright 2026 the rowcall developers
// SPDX-License-Identifier: MIT

// The words of a song with their chords, line by line.

#include "report/sheet_flow.h"
#include "report/song_lines.h"

// In points.
static const double before_marks = 2;
static const double after_chord = 6;
static const double line_gap = 3;
static const double blank_line = 8;
static const double label_row = 21; // where a label is above its words
static const double column_gap = 20;

static double
chord_row(const RcSheetFlow *flow)
{
  return MAX(flow->setting.chords * 1.15, 16) + 2;
}

static double
word_row(const RcSheetFlow *flow)
{
  return flow->setting.words * 1.3;
}

// A line of words on its way over the page.
typedef struct {
  gboolean sung;  // chords are over it
  gboolean words; // are under them
  double next_word;
  double next_chord;
  gboolean cut; // the last word goes on
  guint chords_left;
  gboolean leftwards; // it is read from the right to the left
  guint item;         // the first of the row
} Row;

static double
row_height(const RcSheetFlow *flow, const Row *row)
{
  return (row->sung ? chord_row(flow) : 0) + (row->words ? word_row(flow) : 0);
}

static double
words_y(const RcSheetFlow *flow, const Row *row)
{
  return flow->y + (row->sung ? chord_row(flow) : 0);
}

static double
chord_width(RcSheetFlow *flow, guint event)
{
  RcSheetMark marks[RC_SHEET_MOST_MARKS];
  const guint n = rc_sheet_marks(flow, event, marks);
  return rc_sheet_symbol(flow, event)->width * flow->setting.chords +
         (n ? before_marks + rc_sheet_marks_width(marks, n) : 0);
}

static void
add_chord(RcSheetFlow *flow, double x, guint event)
{
  const RcSheetSymbol *symbol = rc_sheet_symbol(flow, event);
  const double points = flow->setting.chords;
  const double width = symbol->width * points;
  const double middle = flow->y + chord_row(flow) / 2;
  const RcBox box = { x, middle - points / 2, width, points };
  rc_sheet_add(flow, RC_SHEET_CHORD, box, (RcFace){ points, FALSE }, symbol->text)->index = event;
  rc_sheet_add_marks(flow, event, x + width + before_marks, middle);
}

static void
add_words(RcSheetFlow *flow, const Row *row, double x, double width, const char *words)
{
  const double points = flow->setting.words;
  const RcBox box = { x, words_y(flow, row) + (word_row(flow) - points) / 2, width, points };
  rc_sheet_add(flow, RC_SHEET_SUNG, box, (RcFace){ points, FALSE }, words);
}

static void
begin_row(RcSheetFlow *flow, Row *row)
{
  row->sung = row->chords_left > 0;
  rc_sheet_need(flow, row_height(flow, row));
  row->next_word = row->next_chord = flow->indent;
  row->cut = FALSE;
  row->item = flow->plan->items->len;
}

// What was put from the left to the right is put from the right to the left.
static void
turn_row(RcSheetFlow *flow, const Row *row)
{
  for (guint i = row->item; i < flow->plan->items->len; ++i) {
    RcSheetItem *item = &g_array_index(flow->plan->items, RcSheetItem, i);
    if (item->kind != RC_SHEET_PART) {
      item->box.x = flow->indent + flow->right - item->box.x - item->box.width;
    }
  }
}

static void
end_row(RcSheetFlow *flow, const Row *row)
{
  if (row->leftwards) {
    turn_row(flow, row);
  }
  flow->y += row_height(flow, row) + line_gap;
  ++flow->line;
  ++flow->above;
}

// A dash, where a word is drawn apart.
static void
add_dash(RcSheetFlow *flow, const Row *row, double x)
{
  const double room = x - row->next_word;
  const double dash = flow->setting.words * 0.36;
  if (row->cut && room > dash) {
    add_words(flow, row, row->next_word + (room - dash) / 2, dash, "-");
  }
}

static void
add_stretch(RcSheetFlow *flow, Row *row, const RcSheetStretch *stretch)
{
  const gboolean chord = stretch->event != RC_NO_CHORD;
  const double over = chord ? chord_width(flow, stretch->event) : 0;
  const double width = stretch->width * flow->setting.words;
  double x = chord ? MAX(row->next_word, row->next_chord) : row->next_word;
  if (x > flow->indent && x + MAX(width, over) > flow->right) {
    end_row(flow, row);
    begin_row(flow, row);
    x = row->next_word;
  }
  add_dash(flow, row, x);
  if (chord) {
    add_chord(flow, x, stretch->event);
    row->next_chord = x + over + after_chord;
    --row->chords_left;
  }
  if (*stretch->words) {
    add_words(flow, row, x, width, stretch->words);
  }
  row->next_word = x + width;
  row->cut = stretch->cut;
}

static void
add_label_row(RcSheetFlow *flow, const char *label)
{
  if (label) {
    rc_sheet_need(flow, label_row + chord_row(flow) + word_row(flow));
    rc_sheet_add_label(flow, label);
    flow->y += label_row;
    ++flow->line;
  }
}

// Notes where a line begins.
static void
note_break(RcSheetFlow *flow, guint line)
{
  const GArray *lines = flow->plan->sheet->tune->lines;
  const RcLine *at = line < lines->len ? &g_array_index(lines, RcLine, line) : NULL;
  const RcLine *before = line ? &g_array_index(lines, RcLine, line - 1) : NULL;
  const RcSheetBreak here = { flow->plan->items->len, flow->above, flow->y,
                              (at && at->label) || (before && !before->sung && !*before->text) };
  g_array_append_val(flow->breaks, here);
}

// Begins a verse on the next page where it does not fit on this one, unless it is too long for that to matter.
static void
keep_verse(RcSheetFlow *flow, guint index)
{
  const GArray *lines = flow->plan->sheet->tune->lines;
  double height = 0;
  for (guint i = index; i < lines->len; ++i) {
    const RcLine *line = &g_array_index(lines, RcLine, i);
    if ((i > index && line->label) || (!line->sung && !*line->text && !line->label)) {
      break;
    }
    height += (line->sung ? chord_row(flow) : 0) + (*line->text ? word_row(flow) : 0) + line_gap;
  }
  if (height < flow->plan->sheet->height / 2) {
    rc_sheet_need(flow, height);
  }
}

static void
add_line(RcSheetFlow *flow, guint index)
{
  const RcTune *tune = flow->plan->sheet->tune;
  const RcLine *line = &g_array_index(tune->lines, RcLine, index);
  const GArray *stretches = g_ptr_array_index(flow->sung, index);
  Row row = { .words = *line->text != '\0',
              .leftwards = rc_line_is_leftwards(line),
              .chords_left = line->sung ? g_array_index(tune->bars, RcBar, line->bar).count : 0 };
  if (!stretches->len && !line->label) {
    flow->y += blank_line;
    return;
  }
  if (line->label) {
    keep_verse(flow, index);
  }
  if (line->label && flow->indent > 0) {
    row.words |= !stretches->len; // a label alone
    begin_row(flow, &row);
    rc_sheet_add_label(flow, line->label);
  } else {
    add_label_row(flow, line->label);
    begin_row(flow, &row);
  }
  for (guint i = 0; i < stretches->len && !rc_sheet_is_full(flow); ++i) {
    add_stretch(flow, &row, &g_array_index(stretches, RcSheetStretch, i));
  }
  end_row(flow, &row);
}

void
rc_sheet_add_song(RcSheetFlow *flow)
{
  const RcTune *tune = flow->plan->sheet->tune;
  for (guint i = 0; i <= tune->lines->len && !rc_sheet_is_full(flow); ++i) {
    const RcPart bars = rc_bars_before_line(tune, i);
    note_break(flow, i);
    if (bars.count) {
      rc_sheet_add_bars(flow, &bars);
    }
    if (i < tune->lines->len) {
      add_line(flow, i);
    }
  }
}

// ----------------------------------------------------------------------------------------------------------- columns

// The break that makes the higher column lowest, among those before verses or among all.
static const RcSheetBreak *
best_break(const RcSheetFlow *flow, double top, gboolean verses)
{
  const RcSheetBreak *best = NULL;
  double least = G_MAXDOUBLE;
  for (guint i = 1; i < flow->breaks->len; ++i) {
    const RcSheetBreak *here = &g_array_index(flow->breaks, RcSheetBreak, i);
    const double height = MAX(here->y - top, flow->y - here->y);
    if (height < least && (here->verse || !verses)) {
      best = here;
      least = height;
    }
  }
  return best;
}

// Puts what is below the break beside what is above it.
static void
put_beside(RcSheetFlow *flow, const RcSheetBreak *at, double top)
{
  for (guint i = at->item; i < flow->plan->items->len; ++i) {
    RcSheetItem *item = &g_array_index(flow->plan->items, RcSheetItem, i);
    item->box.x += flow->right + column_gap;
    item->box.y -= at->y - top;
    item->above -= at->above;
  }
  flow->y = MAX(at->y, top + flow->y - at->y);
  flow->above = MAX(at->above, flow->above - at->above);
}

// Whether every word is as narrow as a column.
static gboolean
have_room(const RcSheetFlow *flow)
{
  for (guint i = 0; i < flow->sung->len; ++i) {
    const GArray *stretches = g_ptr_array_index(flow->sung, i);
    for (guint j = 0; j < stretches->len; ++j) {
      if (g_array_index(stretches, RcSheetStretch, j).width * flow->setting.words > flow->right) {
        return FALSE;
      }
    }
  }
  return TRUE;
}

gboolean
rc_sheet_add_song_in_columns(RcSheetFlow *flow)
{
  const double top = flow->y;
  const double indent = flow->indent;
  const double width = flow->right;
  flow->endless = TRUE;
  flow->indent = 0;
  flow->right = (width - column_gap) / 2;
  const gboolean room = have_room(flow);
  rc_sheet_add_song(flow);
  const RcSheetBreak *verse = best_break(flow, top, TRUE);
  const RcSheetBreak *any = best_break(flow, top, FALSE);
  const double uneven = 0.65; // of the whole height
  const gboolean even = verse && MAX(verse->y - top, flow->y - verse->y) < uneven * (flow->y - top);
  if (any) {
    put_beside(flow, even ? verse : any, top);
  }
  flow->endless = FALSE;
  flow->indent = indent;
  flow->right = width;
  return room && flow->y <= flow->plan->sheet->height;
}

// --------------------------------------------------------------------------------------------------------- measuring

// Blanks at an end have no width of their own.
static double
width_of_words(const char *words)
{
  static const RcFace face = { 100, FALSE };
  char *fenced = g_strconcat(words, "|", NULL);
  const double width = rc_word_width(face, fenced) - rc_word_width(face, "|");
  g_free(fenced);
  return width / face.points;
}

static GArray *
measure_line(const RcSheetFlow *flow, const RcLine *line)
{
  GArray *stretches = rc_line_stretches(flow->plan->sheet->tune, line);
  GArray *measured = g_array_sized_new(FALSE, FALSE, sizeof(RcSheetStretch), stretches->len);
  for (guint i = 0; i < stretches->len; ++i) {
    const RcStretch *stretch = &g_array_index(stretches, RcStretch, i);
    const char *words = g_string_chunk_insert_len(flow->plan->texts, stretch->words, (gssize)stretch->length);
    const RcSheetStretch one = { stretch->event, words, *words ? width_of_words(words) : 0, stretch->cut };
    g_array_append_val(measured, one);
  }
  g_array_unref(stretches);
  return measured;
}

GPtrArray *
rc_sheet_measure_song(const RcSheetFlow *flow)
{
  const GArray *lines = flow->plan->sheet->tune->lines;
  GPtrArray *sung = g_ptr_array_new_with_free_func((GDestroyNotify)g_array_unref);
  for (guint i = 0; i < lines->len; ++i) {
    g_ptr_array_add(sung, measure_line(flow, &g_array_index(lines, RcLine, i)));
  }
  return sung;
}
