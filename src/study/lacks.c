// Copyright 2026 the rowcall developers
// SPDX-License-Identifier: MIT

// The chords of a roll that have no button of their own on one keyboard.

#include "study/chord_sums.h"

static int
compare_by_chord(gconstpointer a, gconstpointer b, gpointer data)
{
  (void)data;
  return rc_chord_order(&((const RcLack *)a)->chord, &((const RcLack *)b)->chord);
}

static int
compare_by_grip(gconstpointer a, gconstpointer b, gpointer layout)
{
  const RcLack *left = a;
  const RcLack *right = b;
  const int chord = rc_chord_order(&left->chord, &right->chord);
  const int none = (left->answer.verdict == RC_IMPOSSIBLE) - (right->answer.verdict == RC_IMPOSSIBLE);
  if (chord || none || left->answer.verdict == RC_IMPOSSIBLE) {
    return chord ? chord : none;
  }
  return rc_grip_compare(layout, &left->answer.grip, &right->answer.grip);
}

static int
compare_by_quality(gconstpointer a, gconstpointer b)
{
  const RcLack *left = a;
  const RcLack *right = b;
  const int chord = rc_chord_order(&left->chord, &right->chord);
  const int verdict = (int)left->answer.verdict - (int)right->answer.verdict;
  const int foreign =
    (int)rc_pcs_count(left->answer.grading.foreign) - (int)rc_pcs_count(right->answer.grading.foreign);
  return chord ? chord : verdict ? verdict : foreign;
}

static int
compare_by_time(gconstpointer a, gconstpointer b)
{
  const RcLack *left = a;
  const RcLack *right = b;
  if (left->ticks != right->ticks) {
    return left->ticks < right->ticks ? 1 : -1;
  }
  return rc_chord_order(&left->chord, &right->chord);
}

// Whether grade `a` is the one that a chord has for longer than `b`; without lengths, more often; else the better one.
static gboolean
is_usual_grade(const RcLack *lack, RcVerdict a, RcVerdict b)
{
  if (lack->graded_ticks[a] != lack->graded_ticks[b]) {
    return lack->graded_ticks[a] > lack->graded_ticks[b];
  }
  return lack->graded_times[a] != lack->graded_times[b] ? lack->graded_times[a] > lack->graded_times[b] : a < b;
}

// Adds a lack of one grade.
static void
merge_lack(RcLack *into, const RcLack *more)
{
  const RcVerdict grade = more->answer.verdict;
  const RcGrading *known = &into->answer.grading;
  const RcGrading *other = &more->answer.grading;
  into->mixed |= known->missing != other->missing; // what is helped instead differs with it
  into->also = more->chord.root != into->chord.root || more->chord.bass != into->chord.bass ? more->chord : into->also;
  into->graded_times[grade] += more->times;
  into->graded_ticks[grade] += more->ticks;
  if (grade == into->answer.verdict ? rc_pcs_count(other->missing) > rc_pcs_count(known->missing)
                                    : is_usual_grade(into, grade, into->answer.verdict)) {
    into->answer = more->answer;
    into->request = more->request;
  }
  into->times += more->times;
  into->ticks += more->ticks;
}

// Makes one of those that `compare` finds equal.
static void
merge_lacks(GArray *lacks, GCompareDataFunc compare, gpointer data)
{
  guint kept = 0;
  g_array_sort_with_data(lacks, compare, data);
  for (guint i = 1; i < lacks->len; ++i) {
    const RcLack *next = &g_array_index(lacks, RcLack, i);
    RcLack *last = &g_array_index(lacks, RcLack, kept);
    if (!compare(last, next, data)) {
      merge_lack(last, next);
    } else {
      g_array_index(lacks, RcLack, ++kept) = *next;
    }
  }
  g_array_set_size(lacks, MIN(lacks->len, kept + 1));
}

// When this grip is enough; anywhere too where the melody says when.
static RcLackWhere
condition(const RcLack *lack)
{
  if (lack->mixed || lack->answer.grading.helped) {
    return RC_LACK_ANYWHERE;
  }
  return lack->answer.verdict == RC_BARE ? RC_LACK_SHORT
         : lack->answer.grading.foreign  ? RC_LACK_KEY
                                         : RC_LACK_ANYWHERE;
}

// Tells the answers to one chord apart: each holds where its condition does, the worst for what is left.
static void
explain_run(RcLack *run, guint n)
{
  gboolean all_keys = !run[n - 1].mixed;
  gboolean all_short = all_keys;
  for (guint i = 0; i + 1 < n; ++i) {
    run[i].where = condition(&run[i]);
    all_keys &= run[i].where == RC_LACK_KEY;
    all_short &= run[i].where == RC_LACK_SHORT;
  }
  if (n > 1) {
    run[n - 1].where = all_keys ? RC_LACK_OTHER_KEYS : all_short ? RC_LACK_LONGER : RC_LACK_ELSEWHERE;
  }
}

static void
explain_lacks(GArray *lacks)
{
  guint first = 0;
  g_array_sort(lacks, compare_by_quality);
  for (guint i = 1; i <= lacks->len; ++i) {
    RcLack *run = &g_array_index(lacks, RcLack, first);
    if (i == lacks->len || rc_chord_order(&run->chord, &g_array_index(lacks, RcLack, i).chord) != 0) {
      explain_run(run, i - first);
      first = i;
    }
  }
}

// A lack for each request that is answered worse than with `verdict`.
static GArray *
collect_lacks(const RcRoll *roll, guint index, RcVerdict verdict)
{
  GArray *lacks = g_array_new(FALSE, FALSE, sizeof(RcLack));
  for (guint i = 0; i < rc_roll_n_entries(roll); ++i) {
    const RcRollEntry entry = rc_roll_entry(roll, i);
    const RcAnswer answer = rc_roll_answer(roll, i, index);
    const RcChord chord = entry.request.chord;
    RcLack lack = { chord,        chord,       answer,           entry.request, FALSE,
                    entry.chords, entry.ticks, RC_LACK_ANYWHERE, { 0 },         { 0 } };
    lack.graded_times[answer.verdict] = entry.chords;
    lack.graded_ticks[answer.verdict] = entry.ticks;
    if (answer.verdict > verdict) {
      g_array_append_val(lacks, lack);
    }
  }
  return lacks;
}

static RcLack *
steal(GArray *lacks, guint *n)
{
  *n = lacks->len;
  return (RcLack *)(gpointer)g_array_free(lacks, FALSE);
}

RcLack *
rc_lacks_find(const RcRoll *roll, guint index, guint *n)
{
  GArray *lacks = collect_lacks(roll, index, RC_NATIVE);
  merge_lacks(lacks, compare_by_grip, (gpointer)rc_roll_layout(roll, index));
  explain_lacks(lacks);
  g_array_sort(lacks, compare_by_time);
  return steal(lacks, n);
}

RcLack *
rc_lacks_unplayable(const RcRoll *roll, guint index, guint *n)
{
  GArray *lacks = collect_lacks(roll, index, rc_roll_accept(roll));
  merge_lacks(lacks, compare_by_chord, NULL);
  g_array_sort(lacks, compare_by_time);
  return steal(lacks, n);
}
