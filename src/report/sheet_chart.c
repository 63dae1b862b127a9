// Copyright 2026 the rowcall developers
// SPDX-License-Identifier: MIT

// The chart of a sheet: bars with chords where they begin in time.

#include "report/sheet_flow.h"

// In points.
static const double before_marks = 3; // after a chord
static const double marks_height = 17;
static const double bar_left = 4; // of a bar, before its first chord
static const double bar_right = 3;
static const double line_gap[] = { 6, 3, 2 }; // roomy, tight, close
static const double part_gap[] = { 4, 2, 2 };
static const double row_air[] = { 8, 6, 1 };
static const double number_points = 10;
static const double least_pickup = 20;
static const double comfortable = 14; // points; where marks beside chords make them smaller, they are put below

// A chord is as high as its capitals, which are drawn about their middle.
static double
line_height(const RcSheetFlow *flow)
{
  return flow->setting.chords * 1.2 + row_air[flow->setting.air];
}

// ---------------------------------------------------------------------------------------------------------- one bar

// A chord within a bar.
typedef struct {
  guint event;
  double at;    // when it begins, 0 to 1
  double chord; // its width in points of one point
  double marks; // theirs in points
} Block;

typedef struct {
  Block blocks[RC_SHEET_DENSEST];
  guint n;
} Blocks;

static const RcBar *
bar_at(const RcSheetFlow *flow, guint index)
{
  return &g_array_index(flow->plan->sheet->tune->bars, RcBar, index);
}

static const RcEvent *
event_at(const RcSheetFlow *flow, guint index)
{
  return &g_array_index(flow->plan->sheet->tune->events, RcEvent, index);
}

// How much of its bar a chord has to itself on paper; those without lengths share it equally.
static RcTicks
room_of(const RcEvent *event)
{
  return MAX(event->length, 1);
}

static RcTicks
bar_length(const RcSheetFlow *flow, const RcBar *bar)
{
  RcTicks length = 0;
  for (guint i = 0; i < bar->count; ++i) {
    length += room_of(event_at(flow, bar->first + i));
  }
  return MAX(length, 1);
}

static gboolean
is_dense(const RcBar *bar)
{
  return bar->count > RC_SHEET_DENSEST;
}

// The chords of a bar that is not too dense; a held one is not written again.
static Blocks
bar_blocks(RcSheetFlow *flow, const RcBar *bar)
{
  Blocks blocks = { .n = 0 };
  const RcTicks length = bar_length(flow, bar);
  RcTicks at = 0;
  for (guint i = 0; i < bar->count && !is_dense(bar); ++i) {
    const RcEvent *event = event_at(flow, bar->first + i);
    if (rc_tune_symbol(flow->plan->sheet->tune, event->symbol)->kind != RC_SYMBOL_HELD) {
      RcSheetMark marks[RC_SHEET_MOST_MARKS];
      const guint n = rc_sheet_marks(flow, bar->first + i, marks);
      blocks.blocks[blocks.n++] =
        (Block){ bar->first + i, (double)at / (double)length, rc_sheet_symbol(flow, bar->first + i)->width,
                 rc_sheet_marks_width(marks, n) };
    }
    at += room_of(event);
  }
  return blocks;
}

static double
block_width(const Block *block, double points, gboolean beside)
{
  const double chord = block->chord * points;
  return beside ? chord + (block->marks > 0 ? before_marks + block->marks : 0) : MAX(chord, block->marks);
}

static double
block_gap(double points)
{
  return points * 0.35;
}

static double
blocks_width(const Blocks *blocks, double points, gboolean beside)
{
  double width = blocks->n > 1 ? (blocks->n - 1) * block_gap(points) : 0;
  for (guint i = 0; i < blocks->n; ++i) {
    width += block_width(&blocks->blocks[i], points, beside);
  }
  return width;
}

// The largest size up to `most` in which the chords of a bar are beside one another; 0 where there is none.
static double
bar_points(const Blocks *blocks, double room, double most, gboolean beside)
{
  double points = most;
  while (points >= RC_SHEET_SMALLEST && blocks_width(blocks, points, beside) > room) {
    points -= 0.5;
  }
  return points >= RC_SHEET_SMALLEST ? points : 0;
}

// Sets `x` to the places of the chords: each where it begins in time, or as near to it as the others let it.
static void
place_blocks(const Blocks *blocks, double room, double points, gboolean beside, double x[RC_SHEET_DENSEST])
{
  double free_from = 0;
  for (guint i = 0; i < blocks->n; ++i) {
    x[i] = MAX(free_from, blocks->blocks[i].at * room);
    free_from = x[i] + block_width(&blocks->blocks[i], points, beside) + block_gap(points);
  }
  double free_to = room;
  for (guint i = blocks->n; i-- > 0;) {
    x[i] = MIN(x[i], free_to - block_width(&blocks->blocks[i], points, beside));
    free_to = x[i] - block_gap(points);
  }
}

static void
add_block(RcSheetFlow *flow, const Block *block, double x, double y, double points, gboolean beside)
{
  const double chord = block->chord * points;
  const RcBox box = { x, y + flow->setting.chords * 0.6 - points / 2, chord, points };
  rc_sheet_add(flow, RC_SHEET_CHORD, box, (RcFace){ points, FALSE }, rc_sheet_symbol(flow, block->event)->text)->index =
    block->event;
  if (beside) {
    rc_sheet_add_marks(flow, block->event, x + chord + before_marks, y + flow->setting.chords * 0.6);
  } else {
    rc_sheet_add_marks(flow, block->event, x, y + line_height(flow) - 4 + marks_height / 2);
  }
}

// ---------------------------------------------------------------------------------------------------------- one line

// Bars that are drawn side by side.
typedef struct {
  guint first;
  guint count;
  double x;      // of the first
  double width;  // of all but a pickup
  double pickup; // its width; 0 where the first bar is none
  double height; // of one row of chords
  gboolean beside;
} Line;

static gboolean
has_marks(RcSheetFlow *flow, const Line *line)
{
  RcSheetMark marks[RC_SHEET_MOST_MARKS];
  for (guint i = 0; i < line->count; ++i) {
    const RcBar *bar = bar_at(flow, line->first + i);
    for (guint j = 0; j < bar->count && !is_dense(bar); ++j) {
      if (rc_sheet_marks(flow, bar->first + j, marks)) {
        return TRUE;
      }
    }
  }
  return FALSE;
}

static double
pickup_width(RcSheetFlow *flow, guint bar)
{
  const Blocks blocks = bar_blocks(flow, bar_at(flow, bar));
  const double needed = blocks_width(&blocks, comfortable, flow->setting.beside) + bar_left + bar_right;
  const double room = flow->right - flow->label_width;
  return CLAMP(needed, least_pickup, room / 2);
}

static double
bar_width(const Line *line, guint nth)
{
  return line->pickup > 0 && !nth ? line->pickup : line->width;
}

static double
bar_room(const Line *line, guint nth)
{
  return bar_width(line, nth) - bar_left - bar_right;
}

// Whether marks have room beside the chords of a line.
static gboolean
has_room_beside(RcSheetFlow *flow, const Line *line)
{
  for (guint i = 0; i < line->count; ++i) {
    const Blocks blocks = bar_blocks(flow, bar_at(flow, line->first + i));
    if (bar_points(&blocks, bar_room(line, i), flow->setting.chords, TRUE) < RC_SHEET_SMALLEST) {
      return FALSE;
    }
  }
  return TRUE;
}

// The line that begins with this bar of a stretch that ends before `end`.
static Line
make_line(RcSheetFlow *flow, guint first, guint end)
{
  const gboolean pickup = rc_tune_bar_is_pickup(flow->plan->sheet->tune, first);
  const double room = flow->right - flow->label_width;
  Line line = { .first = first, .x = flow->label_width };
  line.count = MIN(flow->setting.across + (pickup ? 1 : 0), end - first);
  line.pickup = pickup ? pickup_width(flow, first) : 0;
  line.width = (room - line.pickup) / flow->setting.across;
  line.beside = flow->setting.beside || (flow->setting.air == RC_SHEET_CLOSE && has_room_beside(flow, &line));
  line.height = line_height(flow) + (!line.beside && has_marks(flow, &line) ? marks_height : 0);
  return line;
}

// Chords that no size puts side by side are set in several rows. Returns their number, and adds them where `add` is
// set.
static guint
flow_blocks(RcSheetFlow *flow, const Line *line, const Blocks *blocks, double x, double room, gboolean add)
{
  const double points = RC_SHEET_SMALLEST;
  double at = 0;
  guint row = 0;
  for (guint i = 0; i < blocks->n; ++i) {
    const double width = block_width(&blocks->blocks[i], points, line->beside);
    if (at > 0 && at + width > room) {
      at = 0;
      ++row;
    }
    if (add) {
      add_block(flow, &blocks->blocks[i], x + at, flow->y + 4 + row * line->height, points, line->beside);
    }
    at += width + block_gap(points);
  }
  return row + 1;
}

static void
add_dense(RcSheetFlow *flow, const RcBar *bar, double x, double room)
{
  char *text = g_strdup_printf("%u chords", bar->count);
  const RcBox box = { x, flow->y + 4, room, RC_SHEET_SMALLEST };
  rc_sheet_add(flow, RC_SHEET_TEXT, box, (RcFace){ 0, FALSE }, text)->style = RC_TEXT_BODY;
  g_free(text);
}

static void
add_bar(RcSheetFlow *flow, const Line *line, guint nth, double x)
{
  const RcBar *bar = bar_at(flow, line->first + nth);
  const double room = bar_room(line, nth);
  const Blocks blocks = bar_blocks(flow, bar);
  const double points = bar_points(&blocks, room, flow->setting.chords, line->beside);
  double places[RC_SHEET_DENSEST];
  if (is_dense(bar)) {
    add_dense(flow, bar, x + bar_left, room);
  } else if (points > 0) {
    place_blocks(&blocks, room, points, line->beside, places);
    for (guint i = 0; i < blocks.n; ++i) {
      add_block(flow, &blocks.blocks[i], x + bar_left + places[i], flow->y + 4, points, line->beside);
    }
  } else {
    flow_blocks(flow, line, &blocks, x + bar_left, room, TRUE);
  }
}

static guint
line_rows(RcSheetFlow *flow, const Line *line)
{
  guint rows = 1;
  for (guint i = 0; i < line->count; ++i) {
    const Blocks blocks = bar_blocks(flow, bar_at(flow, line->first + i));
    if (!(bar_points(&blocks, bar_room(line, i), flow->setting.chords, line->beside) > 0)) {
      rows = MAX(rows, flow_blocks(flow, line, &blocks, 0, bar_room(line, i), FALSE));
    }
  }
  return rows;
}

static void
add_rule(RcSheetFlow *flow, double x, double height, double width)
{
  rc_sheet_add(flow, RC_SHEET_RULE, (RcBox){ x, flow->y, width, height }, (RcFace){ 0, FALSE }, "");
}

static void
add_number(RcSheetFlow *flow, guint bar, double height)
{
  const RcTune *tune = flow->plan->sheet->tune;
  const guint numbered = bar + (rc_tune_bar_is_pickup(tune, bar) ? 1 : 0);
  if (numbered >= tune->bars->len) {
    return;
  }
  char text[12];
  g_snprintf(text, sizeof text, "%u", rc_tune_bar_number(tune, numbered));
  const RcBox box = { 0, flow->y + height - number_points + 0.5, flow->label_width - 5, number_points };
  rc_sheet_add(flow, RC_SHEET_NUMBER, box, (RcFace){ number_points, FALSE }, text);
}

static void
add_line(RcSheetFlow *flow, const Line *line, const char *label, gboolean ends)
{
  const double height = line->height * line_rows(flow, line);
  double x = line->x;
  rc_sheet_need(flow, height);
  if (*label) {
    rc_sheet_add_label(flow, label);
  }
  if (!(line->pickup > 0 && line->count == 1)) { // else it is no bar that players count
    add_number(flow, line->first, height);
  }
  for (guint i = 0; i < line->count; ++i) {
    add_rule(flow, x, height, *label && !i ? 1.8 : 0.9);
    add_bar(flow, line, i, x);
    x += bar_width(line, i);
  }
  add_rule(flow, x, height, ends ? 1.8 : 0.9);
  flow->y += height + line_gap[flow->setting.air];
  ++flow->line;
  ++flow->above;
}

void
rc_sheet_add_label(RcSheetFlow *flow, const char *label)
{
  const double points = flow->setting.air == RC_SHEET_CLOSE ? 9 : 10; // the number of the bar is below it
  const double room = flow->indent > 0 ? flow->label_width - 4 : flow->right;
  const double width = MIN(rc_word_width((RcFace){ points, TRUE }, label) + 8, room);
  rc_sheet_add(flow, RC_SHEET_PART, (RcBox){ 0, flow->y, width, points * 1.5 - 2 }, (RcFace){ points, TRUE }, label);
}

void
rc_sheet_add_bars(RcSheetFlow *flow, const RcPart *part)
{
  const guint end = part->first + part->count;
  for (guint bar = part->first; bar < end && !rc_sheet_is_full(flow);) {
    const Line line = make_line(flow, bar, end);
    bar += line.count;
    add_line(flow, &line, line.first == part->first ? part->label : "", bar == end);
  }
  flow->y += part_gap[flow->setting.air];
}

// ------------------------------------------------------------------------------------------------------- the setting

static gboolean
bars_fit(RcSheetFlow *flow, RcSheetSetting setting, double least)
{
  const RcTune *tune = flow->plan->sheet->tune;
  const double width = (flow->right - flow->label_width) / setting.across;
  for (guint i = 0; i < tune->bars->len; ++i) {
    const RcBar *bar = bar_at(flow, i);
    const Blocks blocks = bar_blocks(flow, bar);
    const double points = bar_points(&blocks, width - bar_left - bar_right, setting.chords, setting.beside);
    if (!is_dense(bar) && points < least && !(tune->lines->len && rc_tune_bar_is_line(tune, i))) {
      return FALSE;
    }
  }
  return TRUE;
}

gboolean
rc_sheet_has_room_for_each(RcSheetFlow *flow, RcSheetSetting setting)
{
  const RcTune *tune = flow->plan->sheet->tune;
  const double room = (flow->right - flow->label_width) / setting.across - bar_left - bar_right;
  for (guint i = 0; i < tune->bars->len; ++i) {
    const Blocks blocks = bar_blocks(flow, bar_at(flow, i));
    for (guint j = 0; j < blocks.n; ++j) {
      if (block_width(&blocks.blocks[j], RC_SHEET_SMALLEST, setting.beside) > room) {
        return FALSE;
      }
    }
  }
  return TRUE;
}

static RcSheetSetting
setting_of(guint across, gboolean beside)
{
  return (RcSheetSetting){ across, beside, RC_SHEET_ROOMY, 1, 0, across > 4 ? 18 : 20, 0 };
}

RcSheetSetting
rc_sheet_choose_setting(RcSheetFlow *flow, guint most)
{
  for (guint across = most; across > 1; across /= 2) {
    if (bars_fit(flow, setting_of(across, TRUE), comfortable)) {
      return setting_of(across, TRUE);
    }
    if (bars_fit(flow, setting_of(across, FALSE), RC_SHEET_SMALLEST)) {
      return setting_of(across, FALSE);
    }
  }
  return setting_of(1, TRUE);
}
