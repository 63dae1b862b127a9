// Copyright 2026 the rowcall developers
// SPDX-License-Identifier: MIT

#include "report/lack_text.h"
#include "report/shop_answer.h"
#include "report/wide_text.h"

#define U64 G_GUINT64_FORMAT

// " for lack of Bm, F#7 and 3 chords more", those held longest first, or for text that could not be read.
static void
append_wanting(GString *text, const RcShopAnswer *a, guint index)
{
  enum { NAMED = 4 };
  guint left = 0;
  const gsize before = text->len;
  rc_append_unplayable(text, rc_tally_roll(a->tally), rc_shop_row(a, index)->offer, RC_SIGNS_ASCII, NAMED, &left);
  if (text->len > before) {
    g_string_insert(text, (gssize)before, " for lack of ");
  }
  if (left) {
    g_string_append_printf(text, " and %u chord%s more", left, left == 1 ? "" : "s");
  }
  if (rc_shop_counts(a, index).chords[RC_UNREAD]) {
    g_string_append_printf(text, "%s text that could not be read", text->len > before ? ", and for" : " for");
  }
}

// "leaves out 24 of 51 tunes for lack of Bm: A; B; C and 21 more."
static char *
left_out_text(const RcShopAnswer *a, guint index)
{
  enum { NAMED = 3 };
  const RcCounts counts = rc_shop_counts(a, index);
  GString *text = g_string_new(NULL);
  GArray *left = rc_tally_worst_first(a->tally, rc_shop_row(a, index)->offer);
  if (!left->len) {
    g_array_unref(left);
    g_string_append_printf(text, "leaves out none of the %" U64 " tunes.", counts.tunes);
    return g_string_free(text, FALSE);
  }
  g_string_append_printf(text, "leaves out %u of %" U64 " tune%s", left->len, counts.tunes,
                         counts.tunes == 1 ? "" : "s");
  append_wanting(text, a, index);
  g_string_append(text, ": ");
  for (guint i = 0; i < MIN(left->len, NAMED); ++i) {
    g_string_append_printf(text, "%s%s", i ? "; " : "",
                           rc_tally_title(a->tally, g_array_index(left, RcLeftOut, i).tune));
  }
  if (left->len > NAMED) {
    g_string_append_printf(text, " and %u more", left->len - NAMED);
  }
  g_string_append_c(text, '.');
  g_array_unref(left);
  return g_string_free(text, FALSE);
}

void
rc_shop_append_left_out(const RcShopAnswer *a)
{
  g_string_append(a->out, "\nWhat these leave out, the worst first, as `rowcall list` sorts them:\n");
  for (guint i = 0; i < a->standings->n; ++i) {
    const RcOffer *offer = rc_shop_row_offer(a, i);
    if (rc_shop_row(a, i)->beaten) {
      continue;
    }
    char *left = left_out_text(a, i);
    char *text = g_strdup_printf("%c %s %s%s%s%s", rc_shop_mark(a, i), offer->name, left, *offer->remarks ? " (" : "",
                                 offer->remarks, *offer->remarks ? ")" : "");
    rc_append_wrapped(a->out, text, 2);
    g_free(text);
    g_free(left);
  }
  g_string_append_c(a->out, '\n');
}

// ---------------------------------------------------------------------------------------------------------- repairs

// "minor C adds no tune, but makes 12 chords native again (1.2 % of the time)"
static void
append_native_again(GString *text, const RcShopAnswer *a, const char *button, const RcRepairGain *gain)
{
  g_string_append_printf(text, "%s adds no tune", button);
  if (gain->native_chords > 0) {
    char share[8];
    rc_percent_text(share, gain->native_ticks, a->standings->read);
    g_string_append_printf(text, ", but makes %" G_GINT64_FORMAT " chord%s native again", gain->native_chords,
                           gain->native_chords == 1 ? "" : "s");
    if (gain->native_ticks) { // none of chords without lengths
      g_string_append_printf(text, " (%s %% of the time)", share);
    }
  } else {
    g_string_append(text, " and no native chord");
  }
}

// "minor C adds 1.2 % of the time, 3 tunes more"
static void
append_repair(GString *text, const RcShopAnswer *a, guint index)
{
  const RcRepair *repair = &g_array_index(a->shop->repairs, RcRepair, index);
  const RcRepairGain gain = rc_repair_gain(a->shop, a->tally, index);
  char *button = rc_button_name(repair->layout, rc_layout_button(repair->layout, repair->button), RC_SIGNS_ASCII);
  char share[8];
  rc_percent_text(share, gain.ticks, a->standings->read);
  if (gain.tunes || gain.ticks) {
    g_string_append_printf(text, "%s adds %s %% of the time, ", button, share);
    if (gain.tunes) {
      g_string_append_printf(text, "%" G_GINT64_FORMAT " tune%s more", gain.tunes, gain.tunes == 1 ? "" : "s");
    } else {
      g_string_append(text, "no tune more");
    }
  } else {
    append_native_again(text, a, button, &gain);
  }
  g_free(button);
}

void
rc_shop_append_repairs(const RcShopAnswer *a)
{
  const GArray *repairs = a->shop->repairs;
  GString *text = g_string_new(NULL);
  for (guint i = 0; i < repairs->len; ++i) {
    const guint offer = g_array_index(repairs, RcRepair, i).offer;
    const gboolean first = !i || g_array_index(repairs, RcRepair, i - 1).offer != offer;
    const gboolean last = i + 1 == repairs->len || g_array_index(repairs, RcRepair, i + 1).offer != offer;
    g_string_append_printf(text, "%s%s", first ? rc_shop_offer(a->shop, offer)->name : "; ",
                           first ? ", each dead button repaired by itself: " : "");
    append_repair(text, a, i);
    if (last) {
      g_string_append_c(text, '.');
      rc_append_wrapped(a->out, text->str, 0);
      g_string_truncate(text, 0);
    }
  }
  if (a->shop->untried) {
    g_string_printf(text, "The repair of %u more dead button%s was not worked out.", a->shop->untried,
                    a->shop->untried == 1 ? "" : "s");
    rc_append_wrapped(a->out, text->str, 0);
  }
  g_string_append(a->out, repairs->len ? "\n" : "");
  g_string_free(text, TRUE);
}

// ------------------------------------------------------------------------------------------------- equal offers

// The cheapest, or the lightest, of the rows that carry the same as row `first`; -1 where nothing is known.
static int
least_alike(const RcShopAnswer *a, guint first, gboolean by_weight)
{
  int best = -1;
  gint64 least = 0;
  for (guint i = first; i < a->standings->n; ++i) {
    const RcStanding *row = rc_shop_row(a, i);
    const gint64 size = by_weight ? row->worth.grams : row->worth.cost;
    if (row->alike == first && size && (best < 0 || size < least)) {
      best = (int)i;
      least = size;
    }
  }
  return best;
}

static gboolean
is_all_known(const RcShopAnswer *a, guint first)
{
  for (guint i = first; i < a->standings->n; ++i) {
    const RcStanding *row = rc_shop_row(a, i);
    if (row->alike == first && (!row->worth.cost || !row->worth.grams)) {
      return FALSE;
    }
  }
  return TRUE;
}

// " The cheapest is Old ballroom 120, the lightest Island post 72."
static char *
choice_text(const RcShopAnswer *a, guint first)
{
  const int cheap = least_alike(a, first, FALSE);
  const int light = least_alike(a, first, TRUE);
  GString *text = g_string_new(NULL);
  if (cheap >= 0 && cheap == light) {
    g_string_append_printf(text, " The cheapest and the lightest is %s", rc_shop_row_offer(a, (guint)cheap)->name);
  } else if (cheap >= 0) {
    g_string_append_printf(text, " The cheapest is %s", rc_shop_row_offer(a, (guint)cheap)->name);
    if (light >= 0) {
      g_string_append_printf(text, ", the lightest %s", rc_shop_row_offer(a, (guint)light)->name);
    }
  } else if (light >= 0) {
    g_string_append_printf(text, " The lightest is %s", rc_shop_row_offer(a, (guint)light)->name);
  }
  if (text->len) {
    g_string_append(text, is_all_known(a, first) ? "." : ", as far as price and weight are known.");
  }
  return g_string_free(text, FALSE);
}

void
rc_shop_append_equals(const RcShopAnswer *a)
{
  for (guint i = 0; i < a->standings->n; ++i) {
    GString *text = g_string_new(rc_shop_row_offer(a, i)->name);
    guint n = rc_shop_row(a, i)->alike == i ? 1 : 0;
    for (guint j = i + 1; j < a->standings->n && n; ++j) {
      if (rc_shop_row(a, j)->alike == i) {
        g_string_append_printf(text, ", %s", rc_shop_row_offer(a, j)->name);
        ++n;
      }
    }
    if (n > 1) {
      char *choice = choice_text(a, i);
      g_string_prepend(text, "Equal in what they carry, so price and weight decide: ");
      g_string_append_printf(text, ".%s", choice);
      rc_append_wrapped(a->out, text->str, 0);
      g_free(choice);
    }
    g_string_free(text, TRUE);
  }
}

// ------------------------------------------------------------------------------------------------ what stretches

char *
rc_shop_wide_text(const RcShopAnswer *a, guint index, guint most)
{
  guint n = 0;
  RcWideGrip *grips = rc_wide_tally_grips(a->wide, rc_shop_row(a, index)->offer, &n);
  char *text = rc_wide_text(rc_shop_row_offer(a, index)->layout, grips, n, most);
  g_free(grips);
  return text;
}

// The offers that ask the same of the hand, row `first` the first of them.
static void
append_wide_group(const RcShopAnswer *a, char *const *texts, guint first)
{
  GString *text = g_string_new(NULL);
  for (guint i = 0; i < a->standings->n; ++i) {
    if (g_str_equal(texts[i], texts[first])) {
      g_string_append_printf(text, "%s%s", i == first ? "" : ", ", rc_shop_row_offer(a, i)->name);
    }
  }
  g_string_append_printf(text, ": %s.", *texts[first] ? texts[first] : "nothing");
  g_string_append(a->out, "  ");
  rc_append_wrapped(a->out, text->str, 4);
  g_string_free(text, TRUE);
}

void
rc_shop_append_wide(const RcShopAnswer *a)
{
  enum { NAMED = 3 };
  char **texts = g_new0(char *, a->standings->n + 1);
  gboolean any = FALSE;
  for (guint i = 0; i < a->standings->n; ++i) {
    texts[i] = rc_shop_wide_text(a, i, NAMED);
    any |= *texts[i] != 0;
  }
  rc_append_wrapped(a->out,
                    any ? "What stretches the hand beyond comfort (--spans says how far yours goes):"
                        : "On none of these does a grip stretch the hand beyond comfort (--spans says how far yours "
                          "goes).",
                    0);
  for (guint i = 0; i < a->standings->n && any; ++i) {
    guint first = 0;
    while (!g_str_equal(texts[first], texts[i])) {
      ++first;
    }
    if (first == i) {
      append_wide_group(a, texts, i);
    }
  }
  g_string_append_c(a->out, '\n');
  g_strfreev(texts);
}
