// Copyright 2026 the rowcall developers
// SPDX-License-Identifier: MIT

// What offers make of a repertoire, and which no other beats.

#include "rowcall/shop.h"
#include "base/order.h"
#include "rowcall/study.h"

#include <stdlib.h>
#include <string.h>

// ------------------------------------------------------------------------------------------------------------- tally

typedef struct {
  char *title;
  const char *file; // interned by the tally
  guint line;
} TalliedTune;

struct RcTally {
  RcPanel *panel;
  RcRoll *roll;
  RcRollSettings settings;
  GStringChunk *files;
  GArray *tunes;       // of TalliedTune
  GPtrArray *left_out; // of GArray * of RcLeftOut, one a keyboard
  RcCounts *counts;    // of the last tune, one a keyboard
};

static void
clear_tune(gpointer data)
{
  g_free(((TalliedTune *)data)->title);
}

RcTally *
rc_tally_new(RcPanel *panel, RcRollSettings settings)
{
  const guint n = rc_panel_size(panel);
  RcTally *tally = g_new(RcTally, 1);
  *tally = (RcTally){ .panel = panel, .roll = rc_roll_new(panel, settings), .settings = settings };
  tally->files = g_string_chunk_new(256);
  tally->tunes = g_array_new(FALSE, FALSE, sizeof(TalliedTune));
  g_array_set_clear_func(tally->tunes, clear_tune);
  tally->left_out = g_ptr_array_new_with_free_func((GDestroyNotify)g_array_unref);
  for (guint i = 0; i < n; ++i) {
    g_ptr_array_add(tally->left_out, g_array_new(FALSE, FALSE, sizeof(RcLeftOut)));
  }
  tally->counts = g_new(RcCounts, MAX(n, 1));
  return tally;
}

void
rc_tally_free(RcTally *tally)
{
  if (tally) {
    rc_roll_free(tally->roll);
    g_string_chunk_free(tally->files);
    g_array_unref(tally->tunes);
    g_ptr_array_unref(tally->left_out);
    g_free(tally->counts);
    g_free(tally);
  }
}

void
rc_tally_add(RcTally *tally, const RcTune *tune)
{
  const TalliedTune tallied = { g_strdup(tune->title), g_string_chunk_insert_const(tally->files, tune->file),
                                tune->line };
  g_array_append_val(tally->tunes, tallied);
  rc_roll_add(tally->roll, tune);
  rc_panel_counts(tally->panel, &tally->settings, tune, tally->counts);
  for (guint i = 0; i < tally->left_out->len; ++i) {
    const RcCounts *counts = &tally->counts[i];
    if (counts->tunes && !counts->playable) {
      const RcVerdict accept = rc_panel_accept(tally->panel);
      const RcTicks whole = rc_counts_whole(counts);
      const RcTicks carried = rc_counts_carried(counts, accept);
      const RcTicks missing = rc_counts_measured(counts) ? whole - carried : 0; // else chords were counted
      const RcLeftOut left = { tally->tunes->len - 1, missing, rc_counts_fares(counts, accept),
                               (double)carried / (double)MAX(whole, 1) };
      g_array_append_val((GArray *)g_ptr_array_index(tally->left_out, i), left);
    }
  }
}

const RcRoll *
rc_tally_roll(const RcTally *tally)
{
  return tally->roll;
}

const char *
rc_tally_title(const RcTally *tally, guint tune)
{
  return g_array_index(tally->tunes, TalliedTune, tune).title;
}

RcPlace
rc_tally_place(const RcTally *tally, guint tune)
{
  const TalliedTune *tallied = &g_array_index(tally->tunes, TalliedTune, tune);
  return (RcPlace){ tallied->file, tallied->line, 0 };
}

const GArray *
rc_tally_left_out(const RcTally *tally, guint index)
{
  return g_ptr_array_index(tally->left_out, index);
}

static int
compare_titles(const RcTally *tally, guint one, guint other)
{
  char *left = g_utf8_casefold(rc_tally_title(tally, one), -1);
  char *right = g_utf8_casefold(rc_tally_title(tally, other), -1);
  const int order = strcmp(left, right);
  g_free(left);
  g_free(right);
  return order;
}

static int
compare_left_out(gconstpointer a, gconstpointer b, gpointer tally)
{
  const RcLeftOut *left = a;
  const RcLeftOut *right = b;
  const int by_time = (left->carried > right->carried) - (left->carried < right->carried);
  return left->fares != right->fares ? (int)left->fares - (int)right->fares
         : by_time                   ? by_time
                                     : compare_titles(tally, left->tune, right->tune);
}

GArray *
rc_tally_worst_first(const RcTally *tally, guint index)
{
  GArray *sorted = g_array_copy(g_ptr_array_index(tally->left_out, index));
  g_array_sort_with_data(sorted, compare_left_out, (gpointer)tally); // which keeps the order of equal ones
  return sorted;
}

RcRepairGain
rc_repair_gain(const RcShop *shop, const RcTally *tally, guint index)
{
  const RcVerdict accept = rc_panel_accept(tally->panel);
  const RcCounts before = rc_roll_counts(tally->roll, g_array_index(shop->repairs, RcRepair, index).offer);
  const RcCounts after = rc_roll_counts(tally->roll, shop->offers->len + index);
  return (RcRepairGain){ (gint64)after.playable - (gint64)before.playable,
                         rc_counts_carried(&after, accept) - rc_counts_carried(&before, accept),
                         (gint64)after.chords[RC_NATIVE] - (gint64)before.chords[RC_NATIVE],
                         after.ticks[RC_NATIVE] - before.ticks[RC_NATIVE] };
}

// ------------------------------------------------------------------------------------------------------------- worth

static gboolean
is_known(const RcWorth *worth)
{
  return worth->cost && worth->grams;
}

gboolean
rc_worth_beats(const RcWorth *a, const RcWorth *b)
{
  if (!is_known(a) || !is_known(b) || a->cost > b->cost || a->grams > b->grams || a->carried < b->carried) {
    return FALSE;
  }
  return a->cost < b->cost || a->grams < b->grams || a->carried > b->carried;
}

// ---------------------------------------------------------------------------------------------------------- standing

// Orders numbers of which 0 stands for an unknown one, which comes last.
static int
compare_known(gint64 a, gint64 b)
{
  if (!a || !b) {
    return !a - !b;
  }
  return rc_order(a, b);
}

static int
compare_standings(const void *a, const void *b)
{
  const RcStanding *left = a;
  const RcStanding *right = b;
  const int cost = compare_known(left->worth.cost, right->worth.cost);
  const int grams = compare_known(left->worth.grams, right->worth.grams);
  return cost ? cost : grams ? grams : rc_order(left->offer, right->offer);
}

static RcStanding
stand(const RcShop *shop, const RcRoll *roll, guint index)
{
  const RcOffer *offer = rc_shop_offer(shop, index);
  const RcCounts counts = rc_roll_counts(roll, index);
  const RcWorth worth = { offer->cost, offer->grams, rc_counts_carried(&counts, rc_roll_accept(roll)) };
  RcStanding row = { .offer = index, .worth = worth };
  row.judged = is_known(&row.worth);
  return row;
}

static void
find_beaten(RcStandings *s)
{
  for (guint i = 0; i < s->n; ++i) {
    for (guint j = 0; j < s->n && s->rows[i].judged && !s->rows[i].beaten; ++j) {
      s->rows[i].beaten = rc_worth_beats(&s->rows[j].worth, &s->rows[i].worth);
    }
  }
}

// The first of the rows that reach the target and have the least known cost (or weight), then carry most; or -1.
static int
find_least(const RcStandings *s, gboolean by_weight)
{
  int best = -1;
  for (guint i = 0; i < s->n; ++i) {
    const RcWorth *worth = &s->rows[i].worth;
    const RcWorth *least = best < 0 ? worth : &s->rows[best].worth;
    const gint64 size = by_weight ? worth->grams : worth->cost;
    const gint64 least_size = by_weight ? least->grams : least->cost;
    const gboolean less = size < least_size || (size == least_size && worth->carried > least->carried);
    if (s->rows[i].reaches && size && (best < 0 || less)) {
      best = (int)i;
    }
  }
  return best;
}

static int
find_nearest(const RcStandings *s)
{
  int best = -1;
  RcTicks most = 0;
  for (guint i = 0; i < s->n; ++i) {
    if (s->rows[i].worth.carried > most) {
      most = s->rows[i].worth.carried;
      best = (int)i;
    }
  }
  return best;
}

static gboolean
leave_out_the_same(const GArray *a, const GArray *b)
{
  gboolean same = a->len == b->len;
  for (guint i = 0; i < a->len && same; ++i) {
    same = g_array_index(a, RcLeftOut, i).tune == g_array_index(b, RcLeftOut, i).tune;
  }
  return same;
}

static gboolean
carry_alike(const RcTally *tally, const RcStanding *a, const RcStanding *b)
{
  const RcCounts one = rc_roll_counts(tally->roll, a->offer);
  const RcCounts other = rc_roll_counts(tally->roll, b->offer);
  return a->worth.carried == b->worth.carried && one.native == other.native &&
         rc_counts_carried(&one, RC_NATIVE) == rc_counts_carried(&other, RC_NATIVE) &&
         leave_out_the_same(rc_tally_left_out(tally, a->offer), rc_tally_left_out(tally, b->offer));
}

static void
find_alike(RcStandings *s, const RcTally *tally)
{
  for (guint i = 0; i < s->n; ++i) {
    guint first = 0;
    while (first < i && (s->rows[first].alike != first || !carry_alike(tally, &s->rows[first], &s->rows[i]))) {
      ++first;
    }
    s->rows[i].alike = first;
  }
}

RcStandings
rc_shop_judge(const RcShop *shop, const RcTally *tally, guint target)
{
  RcStandings s = { g_new(RcStanding, MAX(shop->offers->len, 1)), shop->offers->len, 0, target, -1, -1, -1 };
  for (guint i = 0; i < s.n; ++i) {
    const RcCounts counts = rc_roll_counts(tally->roll, i);
    s.read = rc_counts_read(&counts);
    s.rows[i] = stand(shop, tally->roll, i);
    s.rows[i].judged &= s.read > 0;
    s.rows[i].reaches = rc_reaches(s.rows[i].worth.carried, s.read, target);
  }
  qsort(s.rows, s.n, sizeof *s.rows, compare_standings);
  find_beaten(&s);
  find_alike(&s, tally);
  s.cheapest = find_least(&s, FALSE);
  s.lightest = find_least(&s, TRUE);
  s.nearest = find_nearest(&s);
  return s;
}

void
rc_standings_clear(RcStandings *standings)
{
  g_clear_pointer(&standings->rows, g_free);
  standings->n = 0;
}
