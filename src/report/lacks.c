// Copyright 2026 the rowcall developers
// SPDX-License-Identifier: MIT

#include "report/lacks.h"

#include "report/format.h"

static int
compare_chords(const RcChord *a, const RcChord *b)
{
  const int root = (int)rc_note_pc(a->root) - (int)rc_note_pc(b->root);
  const int bass = (int)rc_note_pc(a->bass) - (int)rc_note_pc(b->bass);
  return root ? root : bass ? bass : (a->degrees > b->degrees) - (a->degrees < b->degrees);
}

static int
compare_by_chord(gconstpointer a, gconstpointer b, gpointer data)
{
  (void)data;
  return compare_chords(&((const RcLack *)a)->chord, &((const RcLack *)b)->chord);
}

static int
compare_by_grip(gconstpointer a, gconstpointer b, gpointer layout)
{
  const RcLack *left = a;
  const RcLack *right = b;
  const int chord = compare_chords(&left->chord, &right->chord);
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
  const int chord = compare_chords(&left->chord, &right->chord);
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
  return compare_chords(&left->chord, &right->chord);
}

static void
merge_lack(RcLack *into, const RcLack *more)
{
  const RcGrading *known = &into->answer.grading;
  const RcGrading *other = &more->answer.grading;
  into->mixed |= known->missing != other->missing || known->helped != other->helped;
  into->also = more->chord.root != into->chord.root || more->chord.bass != into->chord.bass ? more->chord : into->also;
  into->best = MIN(into->best, more->best);
  if (more->answer.verdict > into->answer.verdict ||
      (more->answer.verdict == into->answer.verdict && rc_pcs_count(other->missing) > rc_pcs_count(known->missing))) {
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

static const char in_some_keys[] = "where the key allows";
static const char where_short[] = "where it is short";

// When this grip will do; empty where that is said by the melody, or always.
static const char *
condition(const RcLack *lack)
{
  if (lack->mixed || lack->answer.grading.helped) {
    return "";
  }
  return lack->answer.verdict == RC_BARE ? where_short : lack->answer.grading.foreign ? in_some_keys : "";
}

// Tells the answers to one chord apart: each holds where its condition does, the worst for what is left.
static void
explain_run(RcLack *run, guint n)
{
  gboolean all_keys = !run[n - 1].mixed;
  gboolean all_short = all_keys;
  for (guint i = 0; i + 1 < n; ++i) {
    run[i].where = condition(&run[i]);
    all_keys &= run[i].where == in_some_keys;
    all_short &= run[i].where == where_short;
  }
  if (n > 1) {
    run[n - 1].where = all_keys ? "in other keys" : all_short ? "where it is longer" : "elsewhere";
  }
}

static void
explain_lacks(GArray *lacks)
{
  guint first = 0;
  g_array_sort(lacks, compare_by_quality);
  for (guint i = 1; i <= lacks->len; ++i) {
    RcLack *run = &g_array_index(lacks, RcLack, first);
    if (i == lacks->len || compare_chords(&run->chord, &g_array_index(lacks, RcLack, i).chord) != 0) {
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
    const RcRollEntry *entry = rc_roll_entry(roll, i);
    const RcAnswer answer = rc_roll_answer(roll, i, index);
    const RcChord chord = entry->request.chord;
    const RcLack lack = {
      chord, chord, answer, entry->request, answer.verdict, FALSE, entry->chords, entry->ticks, ""
    };
    if (answer.verdict > verdict) {
      g_array_append_val(lacks, lack);
    }
  }
  return lacks;
}

GArray *
rc_lacks_find(const RcRoll *roll, guint index)
{
  GArray *lacks = collect_lacks(roll, index, RC_NATIVE);
  merge_lacks(lacks, compare_by_grip, (gpointer)rc_roll_layout(roll, index));
  explain_lacks(lacks);
  g_array_sort(lacks, compare_by_time);
  return lacks;
}

// ----------------------------------------------------------------------------------------------- what to press instead

char *
rc_lack_name(const RcLack *lack, RcSigns signs)
{
  char *name = rc_chord_name(&lack->chord, signs);
  if (lack->also.root != lack->chord.root || lack->also.bass != lack->chord.bass) {
    char *also = rc_chord_name(&lack->also, signs);
    char *both = g_strconcat(name, signs == RC_SIGNS_ASCII ? "=" : "\u00a0=\u00a0", also, NULL);
    g_free(name);
    g_free(also);
    return both;
  }
  return name;
}

GPtrArray *
rc_lacks_unplayable(const RcRoll *roll, guint index, RcSigns signs)
{
  GPtrArray *names = g_ptr_array_new_with_free_func(g_free);
  GArray *lacks = collect_lacks(roll, index, rc_roll_accept(roll));
  merge_lacks(lacks, compare_by_chord, NULL);
  g_array_sort(lacks, compare_by_time);
  for (guint i = 0; i < lacks->len; ++i) {
    g_ptr_array_add(names, rc_lack_name(&g_array_index(lacks, RcLack, i), signs));
  }
  g_array_unref(lacks);
  return names;
}

static void
append_tones(GString *text, const char *before, const RcLack *lack, RcPcSet tones)
{
  char *names = rc_tones_text(&lack->chord, (RcKey){ RC_MODE_NONE, 0 }, tones, RC_SIGNS_UNICODE, " ");
  if (*names) {
    g_string_append_printf(text, "%s%s", before, names);
  }
  g_free(names);
}

char *
rc_lack_text(const RcLayout *layout, const RcLack *lack)
{
  char *press = rc_grip_describe(layout, &lack->answer.grip, RC_SIGNS_UNICODE);
  GString *text = g_string_new(press);
  append_tones(text, "; adds ", lack, lack->answer.grading.foreign);
  append_tones(text, "; without ", lack, lack->answer.grading.missing);
  if (lack->mixed) {
    g_string_append(text, "; less is missing where the melody helps");
  } else {
    append_tones(text, "; the melody has ", lack, lack->answer.grading.helped);
  }
  g_string_append_printf(text, "%s%s", *lack->where ? "; " : "", lack->where);
  g_free(press);
  return g_string_free(text, FALSE);
}
