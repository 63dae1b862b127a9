// Copyright 2026 the rowcall developers
// SPDX-License-Identifier: MIT

// Grips for which fingers stretch beyond comfort: which, how often, and in how many tunes.

#include "study/chord_sums.h"

// One keyboard, or several that are the same.
typedef struct {
  const RcLayout *layout;
  RcPlanner *planner;
  RcRoute *route;
  GArray *grips; // of RcWideGrip
  GArray *last;  // of guint64, beside them: the number of the tune that had it last
} Board;

struct RcWideTally {
  RcVerdict accept;
  GPtrArray *boards; // of Board *: those that differ
  guint *board_of;   // by keyboard
  guint64 tunes;     // added so far
};

// ------------------------------------------------------------------------------------------------------- one board

static gboolean
is_same_button(const RcButton *a, const RcButton *b)
{
  return a->row == b->row && a->column == b->column && a->sound.kind == b->sound.kind &&
         a->sound.root == b->sound.root && a->sound.tones == b->sound.tones && a->bellows == b->bellows &&
         a->x - b->x > -0.001 && a->x - b->x < 0.001 && a->y - b->y > -0.001 && a->y - b->y < 0.001;
}

static gboolean
is_same_layout(const RcLayout *a, const RcLayout *b)
{
  gboolean same = a->mirrored == b->mirrored && a->buttons->len == b->buttons->len;
  for (guint i = 0; i < a->buttons->len && same; ++i) {
    same = is_same_button(rc_layout_button(a, i), rc_layout_button(b, i));
  }
  return same;
}

static Board *
new_board(const RcLayout *layout, const RcRouteSettings *settings)
{
  Board *board = g_new0(Board, 1);
  board->layout = layout;
  board->planner = rc_planner_new(layout, settings);
  board->route = rc_route_new(board->planner);
  board->grips = g_array_new(FALSE, FALSE, sizeof(RcWideGrip));
  board->last = g_array_new(FALSE, FALSE, sizeof(guint64));
  return board;
}

static void
free_board(gpointer data)
{
  Board *board = data;
  rc_route_free(board->route);
  rc_planner_free(board->planner);
  g_array_unref(board->grips);
  g_array_unref(board->last);
  g_free(board);
}

// The place in `grips` of this grip for this chord, where it is put if it is the first.
static guint
find_grip(GArray *grips, const RcLayout *layout, const RcChord *chord, const RcGrip *grip)
{
  for (guint i = 0; i < grips->len; ++i) {
    const RcWideGrip *known = &g_array_index(grips, RcWideGrip, i);
    if (!rc_chord_order(&known->chord, chord) && rc_grip_equal(&known->grip, grip)) {
      return i;
    }
  }
  const RcWideGrip fresh = { .chord = *chord, .grip = *grip, .mm = rc_grip_span(layout, grip) };
  g_array_append_val(grips, fresh);
  return grips->len - 1;
}

static gboolean
is_wide(const RcPlanner *planner, const RcGrip *grip, const RcFingering *fingers)
{
  return rc_grip_stretch(&rc_planner_settings(planner)->fingers, rc_planner_layout(planner), grip, fingers) > 0;
}

static void
add_step(Board *board, const RcTune *tune, guint64 number, const RcStep *step)
{
  const guint64 none = 0;
  const guint at =
    find_grip(board->grips, board->layout, &rc_tune_symbol(tune, step->played.symbol)->chord, &step->grip);
  RcWideGrip *wide = &g_array_index(board->grips, RcWideGrip, at);
  if (at == board->last->len) {
    g_array_append_val(board->last, none);
  }
  wide->tunes += g_array_index(board->last, guint64, at) != number;
  ++wide->times;
  g_array_index(board->last, guint64, at) = number;
}

// ----------------------------------------------------------------------------------------------------------- the tally

static guint
find_board(RcWideTally *tally, const RcLayout *layout, const RcSettings *settings)
{
  for (guint i = 0; i < tally->boards->len; ++i) {
    if (is_same_layout(((const Board *)g_ptr_array_index(tally->boards, i))->layout, layout)) {
      return i;
    }
  }
  g_ptr_array_add(tally->boards, new_board(layout, &settings->route));
  return tally->boards->len - 1;
}

RcWideTally *
rc_wide_tally_new(RcLayout *const *layouts, guint n, const RcSettings *settings)
{
  RcWideTally *tally = g_new0(RcWideTally, 1);
  tally->accept = settings->route.taste.accept;
  tally->boards = g_ptr_array_new_with_free_func(free_board);
  tally->board_of = g_new(guint, MAX(n, 1));
  for (guint i = 0; i < n; ++i) {
    tally->board_of[i] = find_board(tally, layouts[i], settings);
  }
  return tally;
}

void
rc_wide_tally_free(RcWideTally *tally)
{
  if (tally) {
    g_ptr_array_unref(tally->boards);
    g_free(tally->board_of);
    g_free(tally);
  }
}

void
rc_wide_tally_add(RcWideTally *tally, const RcTune *tune)
{
  ++tally->tunes;
  for (guint i = 0; i < tally->boards->len; ++i) {
    Board *board = g_ptr_array_index(tally->boards, i);
    rc_route_plan(board->route, tune);
    for (guint j = 0; j < board->route->steps->len && board->route->wide; ++j) {
      const RcStep *step = &g_array_index(board->route->steps, RcStep, j);
      if (step->held && step->verdict <= tally->accept && is_wide(board->planner, &step->grip, &step->fingers)) {
        add_step(board, tune, tally->tunes, step);
      }
    }
  }
}

// Those pressed most often first, then the widest.
static int
compare_grips(gconstpointer a, gconstpointer b)
{
  const RcWideGrip *left = a;
  const RcWideGrip *right = b;
  const int times = (left->times < right->times) - (left->times > right->times);
  const int mm = (left->mm < right->mm) - (left->mm > right->mm);
  return times ? times : mm ? mm : rc_chord_order(&left->chord, &right->chord);
}

RcWideGrip *
rc_wide_tally_grips(const RcWideTally *tally, guint index, guint *n)
{
  const Board *board = g_ptr_array_index(tally->boards, tally->board_of[index]);
  GArray *grips = g_array_copy(board->grips);
  g_array_sort(grips, compare_grips);
  *n = grips->len;
  return (RcWideGrip *)(gpointer)g_array_free(grips, FALSE);
}

RcWideGrip *
rc_wide_in_roll(const RcRoll *roll, guint index, const RcSettings *settings, guint *n)
{
  const RcLayout *layout = rc_roll_layout(roll, index);
  const RcFingers *fingers = &settings->route.fingers;
  GArray *grips = g_array_new(FALSE, FALSE, sizeof(RcWideGrip));
  for (guint i = 0; i < rc_roll_n_entries(roll); ++i) {
    const RcRollEntry entry = rc_roll_entry(roll, i);
    const RcAnswer answer = rc_roll_answer(roll, i, index);
    RcFingering ways[RC_FINGERINGS];
    if (answer.verdict <= rc_roll_accept(roll) && rc_fingers_ways(fingers, layout, &answer.grip, ways) &&
        rc_grip_stretch(fingers, layout, &answer.grip, &ways[0]) > 0) {
      const guint at = find_grip(grips, layout, &entry.request.chord, &answer.grip);
      g_array_index(grips, RcWideGrip, at).times += entry.chords;
    }
  }
  g_array_sort(grips, compare_grips);
  *n = grips->len;
  return (RcWideGrip *)(gpointer)g_array_free(grips, FALSE);
}
