// Copyright 2026 the rowcall developers
// SPDX-License-Identifier: MIT

// All sizes there could be: which reach a target, and which of them is the best.

#include "rowcall/study.h"

// How far the middle of a size is from between the C and G columns, in half columns.
static int
off_centre(const RcSwept *s, const RcSize *size)
{
  const GArray *columns = rc_sweep_full(s->sweep)->columns;
  // NOLINTNEXTLINE(clang-analyzer-core.NullDereference): rc_sweep_judge() gives every one of the `n` a size
  return ABS(g_array_index(columns, RcNote, size->first) + g_array_index(columns, RcNote, size->last) - 1);
}

// Whether size `a` is better than `b` of as many buttons.
static gboolean
is_better(const RcSwept *s, guint a, guint b)
{
  const RcCounts *left = &s->sizes[a].counts;
  const RcCounts *right = &s->sizes[b].counts;
  const RcTicks time = rc_counts_carried(left, s->accept) - rc_counts_carried(right, s->accept);
  const gint64 tunes = (gint64)left->playable - (gint64)right->playable;
  const gint64 first = s->target.by == RC_TARGET_TUNES ? tunes : time;
  const gint64 second = s->target.by == RC_TARGET_TUNES ? time : tunes;
  if (first || second) {
    return first ? first > 0 : second > 0;
  }
  return off_centre(s, s->sizes[a].size) < off_centre(s, s->sizes[b].size);
}

// The smallest of @p n sizes from @p first on that reaches the target, the best of several; -1 for none.
static int
smallest(const RcSwept *s, guint first, guint n, gboolean usual_only)
{
  int best = -1;
  for (guint i = first; i < first + n; ++i) {
    const RcSweptSize *size = &s->sizes[i];
    if (!size->reaches || (usual_only && !size->size->usual)) {
      continue;
    }
    const guint known = best < 0 ? G_MAXUINT : s->sizes[best].size->buttons;
    if (size->size->buttons < known || (size->size->buttons == known && is_better(s, i, (guint)best))) {
      best = (int)i;
    }
  }
  return best;
}

static guint
count_others(const RcSwept *s, const RcSweptRows *rows)
{
  guint n = 0;
  for (guint i = rows->first; i < rows->first + rows->n && rows->smallest >= 0; ++i) {
    // NOLINTNEXTLINE(clang-analyzer-core.NullDereference): as above
    const gboolean same = s->sizes[i].size->buttons == s->sizes[rows->smallest].size->buttons;
    n += same && s->sizes[i].reaches && (int)i != rows->smallest;
  }
  return n;
}

// The best size of each number of columns with one set of rows.
static void
find_best(const RcSwept *s, RcSweptRows *rows)
{
  rows->n_best = rc_sweep_full(s->sweep)->columns->len;
  rows->best = g_new(guint, MAX(rows->n_best, 1));
  for (guint i = 0; i < rows->n_best; ++i) {
    rows->best[i] = rows->first + rows->n;
  }
  for (guint i = rows->first; i < rows->first + rows->n; ++i) {
    // NOLINTNEXTLINE(clang-analyzer-core.NullDereference): as above
    const RcSize *size = s->sizes[i].size;
    guint *best = &rows->best[size->last - size->first];
    *best = *best == rows->first + rows->n || is_better(s, i, *best) ? i : *best;
  }
}

double
rc_swept_share(const RcSwept *s, guint index)
{
  const RcCounts *counts = &s->sizes[index].counts;
  const gboolean by_tunes = s->target.by == RC_TARGET_TUNES;
  const gint64 part = by_tunes ? (gint64)counts->playable : rc_counts_carried(counts, s->accept);
  const gint64 whole = by_tunes ? (gint64)counts->tunes : rc_counts_read(counts);
  return whole ? (double)part / (double)whole : 0;
}

static void
judge_rows(RcSwept *s)
{
  s->n_rows = rc_sweep_n_row_sets(s->sweep);
  s->rows = g_new0(RcSweptRows, MAX(s->n_rows, 1));
  for (guint i = 0; i < s->n_rows; ++i) {
    RcSweptRows *rows = &s->rows[i];
    rows->n = s->n / s->n_rows;
    rows->first = i * rows->n;
    rows->smallest = smallest(s, rows->first, rows->n, FALSE);
    rows->others = count_others(s, rows);
    find_best(s, rows);
  }
}

RcSwept *
rc_sweep_judge(const RcRolled *rolled)
{
  RcSwept *s = g_new0(RcSwept, 1);
  s->rolled = rolled;
  s->sweep = rolled->boards->sweep;
  s->target = rolled->boards->settings.target;
  s->accept = rc_roll_accept(rolled->roll);
  s->n = rc_sweep_n_sizes(s->sweep);
  s->sizes = g_new0(RcSweptSize, MAX(s->n, 1));
  for (guint i = 0; i < s->n; ++i) {
    s->sizes[i].size = rc_sweep_size(s->sweep, i);
    s->sizes[i].counts = rc_roll_counts(rolled->roll, i);
    s->sizes[i].reaches = rc_target_reached(s->target, &s->sizes[i].counts, s->accept);
  }
  judge_rows(s);
  s->smallest = smallest(s, 0, s->n, FALSE);
  s->usual = smallest(s, 0, s->n, TRUE);
  return s;
}

void
rc_swept_free(RcSwept *swept)
{
  if (swept) {
    for (guint i = 0; i < swept->n_rows; ++i) {
      g_free(swept->rows[i].best);
    }
    g_free(swept->sizes);
    g_free(swept->rows);
    g_free(swept);
  }
}
