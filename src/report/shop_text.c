// Copyright 2026 the rowcall developers
// SPDX-License-Identifier: MIT

// Offers as a table, CSV and JSON. Rows are in the order of the standings: by price, unknown ones last.

#include "report/format.h"
#include "report/lack_text.h"
#include "report/shop_words.h"
#include "report/wide_text.h"

#include <stdlib.h>
#include <string.h>

#define U64 G_GUINT64_FORMAT

// All that is said of a shop.
typedef struct {
  GString *out;
  const RcShop *shop;
  const RcTally *tally;
  const RcStandings *standings;
  const RcWideTally *wide;
  const RcIntake *intake;
} Answer;

static const RcStanding *
row_at(const Answer *a, guint index)
{
  return &a->standings->rows[index];
}

static const RcOffer *
offer_at(const Answer *a, guint index)
{
  return rc_row_offer(a->shop, a->standings, (int)index);
}

static RcCounts
counts_at(const Answer *a, guint index)
{
  return rc_roll_counts(rc_tally_roll(a->tally), row_at(a, index)->offer);
}

static const char *
standing_word(const RcStanding *row)
{
  return !row->judged ? "unknown" : row->beaten ? "beaten" : "unbeaten";
}

static void
append_sentence(const Answer *a, char *text)
{
  rc_append_wrapped(a->out, text, 0);
  g_free(text);
}

// ------------------------------------------------------------------------------------------------------------- table

static void
append_intake(const Answer *a)
{
  const RcCounts counts = rc_roll_counts(rc_tally_roll(a->tally), 0);
  char *quarters = rc_quarters_text(rc_counts_ticks(&counts));
  GString *text = g_string_new(NULL);
  if (*a->shop->title) {
    rc_append_wrapped(a->out, a->shop->title, 0);
  }
  g_string_append_printf(
    text, "%u offer%s; %" U64 " tune%s from %" U64 " file%s: %" U64 " chords in %s quarter notes as played.",
    a->standings->n, a->standings->n == 1 ? "" : "s", a->intake->tunes, a->intake->tunes == 1 ? "" : "s",
    a->intake->files, a->intake->files == 1 ? "" : "s", rc_counts_chords(&counts), quarters);
  if (a->intake->problems) {
    g_string_append_printf(text, " %" U64 " more could not be read.", a->intake->problems);
  }
  append_sentence(a, g_string_free(text, FALSE));
  g_free(quarters);
}

static char
row_mark(const Answer *a, const RcStanding *row)
{
  if (!a->standings->read || row->beaten) {
    return ' ';
  }
  return row->judged ? '*' : '?';
}

static void
append_row(const Answer *a, guint index)
{
  const RcStanding *row = row_at(a, index);
  const RcOffer *offer = offer_at(a, index);
  const RcCounts counts = counts_at(a, index);
  char share[8];
  char *cost = rc_cost_text(offer->cost);
  char *kg = rc_kg_text(offer->grams);
  rc_offer_carried_text(share, a->standings, row);
  g_string_append_printf(a->out, "%c ", row_mark(a, row));
  rc_append_padded(a->out, offer->name, 19);
  g_string_append_c(a->out, ' ');
  rc_append_padded(a->out, offer->layout->name, 8);
  g_string_append_printf(a->out, " %4u %10s %7s %5s %6" U64 " %5" U64 " %5" U64 "\n",
                         rc_layout_count_buttons(offer->layout), cost, kg, share, counts.native, counts.playable,
                         counts.one_short);
  g_free(cost);
  g_free(kg);
}

static void
append_rows(const Answer *a)
{
  const RcCounts counts = rc_roll_counts(rc_tally_roll(a->tally), 0);
  char *of = g_strdup_printf("of %" U64, counts.tunes);
  g_string_append_printf(a->out, "\n%35s%20s%5s  tunes %s:  one\n", "but-", "", "% of", of);
  g_string_append_printf(a->out, "  %-19s %-8s %4s %10s %7s %5s %6s %5s %5s\n", "offer", "layout", "tons",
                         *a->shop->currency ? a->shop->currency : "price", "kg", "time", "native", "plays", "short");
  for (guint i = 0; i < a->standings->n; ++i) {
    append_row(a, i);
  }
  g_string_append_c(a->out, '\n');
  g_free(of);
}

// The offers that would do, but for a price or weight that is not known.
static void
append_to_ask(const Answer *a)
{
  GString *text = g_string_new(NULL);
  for (guint i = 0; i < a->standings->n; ++i) {
    const RcStanding *row = row_at(a, i);
    const RcOffer *offer = offer_at(a, i);
    if (row->reaches && !row->judged) {
      g_string_append_printf(text, "%s%s (%s)",
                             text->len ? ", " : "Ask for what is not known of those that reach it too: ", offer->name,
                             offer->cost    ? "weight"
                             : offer->grams ? "price"
                                            : "price and weight");
    }
  }
  if (text->len) {
    g_string_append_c(text, '.');
    rc_append_wrapped(a->out, text->str, 0);
  }
  g_string_free(text, TRUE);
}

static gboolean
any_unjudged(const Answer *a)
{
  for (guint i = 0; i < a->standings->n; ++i) {
    if (!row_at(a, i)->judged) {
      return TRUE;
    }
  }
  return FALSE;
}

static void
append_finding(const Answer *a)
{
  guint n = 0;
  char *names = rc_unbeaten_text(a->shop, a->standings, &n);
  char *finding = rc_shop_finding(a->shop, a->tally, a->standings);
  append_sentence(a, g_strconcat(finding, ".", NULL));
  append_to_ask(a);
  if (n) {
    append_sentence(a,
                    g_strdup_printf("* Not beaten (no other is at least as good in price, weight and playing time and "
                                    "better in one): %s.",
                                    names));
  }
  if (a->standings->read && any_unjudged(a)) {
    append_sentence(a, g_strdup("? Not judged before its price and weight are known."));
  }
  g_free(names);
  g_free(finding);
}

// " for lack of Bm, F#7 and 3 chords more", those held longest first.
static void
append_wanting(GString *text, const Answer *a, guint index)
{
  enum { NAMED = 4 };
  guint left = 0;
  const gsize before = text->len;
  rc_append_unplayable(text, rc_tally_roll(a->tally), row_at(a, index)->offer, RC_SIGNS_ASCII, NAMED, &left);
  if (text->len > before) {
    g_string_insert(text, (gssize)before, " for lack of ");
  }
  if (left) {
    g_string_append_printf(text, " and %u chord%s more", left, left == 1 ? "" : "s");
  }
}

// "leaves out 24 of 51 tunes for lack of Bm: A; B; C and 21 more."
static char *
left_out_text(const Answer *a, guint index)
{
  enum { NAMED = 3 };
  const RcCounts counts = counts_at(a, index);
  GString *text = g_string_new(NULL);
  GArray *left = rc_tally_worst_first(a->tally, row_at(a, index)->offer);
  if (!left->len) {
    g_array_unref(left);
    g_string_append_printf(text, "leaves out none of the %" U64 " tunes.", counts.tunes);
    return g_string_free(text, FALSE);
  }
  g_string_append_printf(text, "leaves out %u of %" U64 " tunes", left->len, counts.tunes);
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

static void
append_left_out(const Answer *a)
{
  g_string_append(a->out, "\nWhat these leave out, the worst first, as `rowcall list` sorts them:\n");
  for (guint i = 0; i < a->standings->n; ++i) {
    const RcOffer *offer = offer_at(a, i);
    if (row_at(a, i)->beaten) {
      continue;
    }
    char *left = left_out_text(a, i);
    char *text = g_strdup_printf("%c %s %s%s%s%s", row_mark(a, row_at(a, i)), offer->name, left,
                                 *offer->remarks ? " (" : "", offer->remarks, *offer->remarks ? ")" : "");
    rc_append_wrapped(a->out, text, 2);
    g_free(text);
    g_free(left);
  }
  g_string_append_c(a->out, '\n');
}

// ------------------------------------------------------------------------------------------ repairs, and equal offers

// "minor C adds no tune, but makes 12 chords native again (1.2 % of the time)"
static void
append_native_again(GString *text, const Answer *a, const char *button, const RcRepairGain *gain)
{
  g_string_append_printf(text, "%s adds no tune", button);
  if (gain->native_chords > 0) {
    char share[8];
    rc_percent_text(share, gain->native_ticks, a->standings->read);
    g_string_append_printf(text, ", but makes %" G_GINT64_FORMAT " chord%s native again (%s %% of the time)",
                           gain->native_chords, gain->native_chords == 1 ? "" : "s", share);
  } else {
    g_string_append(text, " and no native chord");
  }
}

// "minor C adds 1.2 % of the time, 3 tunes more"
static void
append_repair(GString *text, const Answer *a, guint index)
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

static void
append_repairs(const Answer *a)
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

// The cheapest, or the lightest, of the rows that carry the same as row `first`; -1 where nothing is known.
static int
least_alike(const Answer *a, guint first, gboolean by_weight)
{
  int best = -1;
  gint64 least = 0;
  for (guint i = first; i < a->standings->n; ++i) {
    const RcStanding *row = row_at(a, i);
    const gint64 size = by_weight ? row->worth.grams : row->worth.cost;
    if (row->alike == first && size && (best < 0 || size < least)) {
      best = (int)i;
      least = size;
    }
  }
  return best;
}

static gboolean
is_all_known(const Answer *a, guint first)
{
  for (guint i = first; i < a->standings->n; ++i) {
    const RcStanding *row = row_at(a, i);
    if (row->alike == first && (!row->worth.cost || !row->worth.grams)) {
      return FALSE;
    }
  }
  return TRUE;
}

// " The cheapest is Old ballroom 120, the lightest Island post 72."
static char *
choice_text(const Answer *a, guint first)
{
  const int cheap = least_alike(a, first, FALSE);
  const int light = least_alike(a, first, TRUE);
  GString *text = g_string_new(NULL);
  if (cheap >= 0 && cheap == light) {
    g_string_append_printf(text, " The cheapest and the lightest is %s", offer_at(a, (guint)cheap)->name);
  } else if (cheap >= 0) {
    g_string_append_printf(text, " The cheapest is %s", offer_at(a, (guint)cheap)->name);
    if (light >= 0) {
      g_string_append_printf(text, ", the lightest %s", offer_at(a, (guint)light)->name);
    }
  } else if (light >= 0) {
    g_string_append_printf(text, " The lightest is %s", offer_at(a, (guint)light)->name);
  }
  if (text->len) {
    g_string_append(text, is_all_known(a, first) ? "." : ", as far as price and weight are known.");
  }
  return g_string_free(text, FALSE);
}

static void
append_alike(const Answer *a)
{
  for (guint i = 0; i < a->standings->n; ++i) {
    GString *text = g_string_new(offer_at(a, i)->name);
    guint n = row_at(a, i)->alike == i ? 1 : 0;
    for (guint j = i + 1; j < a->standings->n && n; ++j) {
      if (row_at(a, j)->alike == i) {
        g_string_append_printf(text, ", %s", offer_at(a, j)->name);
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

static char *
wide_text(const Answer *a, guint index, guint most)
{
  guint n = 0;
  RcWideGrip *grips = rc_wide_tally_grips(a->wide, row_at(a, index)->offer, &n);
  char *text = rc_wide_text(offer_at(a, index)->layout, grips, n, most);
  g_free(grips);
  return text;
}

// The offers that ask the same of the hand, row `first` the first of them.
static void
append_wide_group(const Answer *a, char *const *texts, guint first)
{
  GString *text = g_string_new(NULL);
  for (guint i = 0; i < a->standings->n; ++i) {
    if (g_str_equal(texts[i], texts[first])) {
      g_string_append_printf(text, "%s%s", i == first ? "" : ", ", offer_at(a, i)->name);
    }
  }
  g_string_append_printf(text, ": %s.", *texts[first] ? texts[first] : "nothing");
  g_string_append(a->out, "  ");
  rc_append_wrapped(a->out, text->str, 4);
  g_string_free(text, TRUE);
}

static void
append_wide(const Answer *a)
{
  enum { NAMED = 3 };
  char **texts = g_new0(char *, a->standings->n + 1);
  gboolean any = FALSE;
  for (guint i = 0; i < a->standings->n; ++i) {
    texts[i] = wide_text(a, i, NAMED);
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

// --------------------------------------------------------------------------------------------------- the whole table

static void
append_table(const Answer *a)
{
  append_intake(a);
  append_rows(a);
  append_finding(a);
  if (a->standings->read) {
    append_alike(a);
    append_left_out(a);
    append_repairs(a);
    append_wide(a);
  } else {
    g_string_append_c(a->out, '\n');
  }
  append_sentence(a, rc_shop_notes(a->shop, a->tally));
}

// --------------------------------------------------------------------------------------------------------------- CSV

static char *
known_cost(gint64 cost)
{
  return cost ? rc_cost_text(cost) : g_strdup("");
}

// The others that carry the same, as a list; a new string.
static char *
equals_text(const Answer *a, guint index)
{
  GString *text = g_string_new(NULL);
  for (guint i = 0; i < a->standings->n; ++i) {
    if (i != index && row_at(a, i)->alike == row_at(a, index)->alike) {
      g_string_append_printf(text, "%s%s", text->len ? "; " : "", offer_at(a, i)->name);
    }
  }
  return g_string_free(text, FALSE);
}

static void
append_csv_offer(const Answer *a, guint index)
{
  const RcStanding *row = row_at(a, index);
  const RcOffer *offer = offer_at(a, index);
  const RcCounts counts = counts_at(a, index);
  char *cells[] = {
    g_strdup_printf("%u", rc_layout_count_buttons(offer->layout)),
    known_cost(offer->cents * (RC_COST_UNIT / 100)),
    known_cost(offer->cost),
    offer->grams ? rc_kg_text(offer->grams) : g_strdup(""),
    rc_quarters_text(rc_measured_ticks(&counts, a->standings->read)),
    rc_quarters_text(rc_measured_ticks(&counts, row->worth.carried)),
    g_strdup_printf("%" U64, counts.tunes),
    g_strdup_printf("%" U64, counts.native),
    g_strdup_printf("%" U64, counts.playable),
    g_strdup_printf("%" U64, counts.one_short),
    equals_text(a, index),
    wide_text(a, index, G_MAXUINT),
  };
  rc_append_csv(a->out, offer->name, "offer", offer->layout->name, cells[0], cells[1], offer->currency, cells[2],
                a->shop->currency, cells[3], cells[4], cells[5], cells[6], cells[7], cells[8], cells[9],
                standing_word(row), row->reaches ? "yes" : "no", offer->remarks, cells[10], cells[11], "", "", NULL);
  for (guint i = 0; i < G_N_ELEMENTS(cells); ++i) {
    g_free(cells[i]);
  }
}

static void
append_csv_left_out(const Answer *a, guint index)
{
  const GArray *left = rc_tally_left_out(a->tally, row_at(a, index)->offer);
  for (guint i = 0; i < left->len; ++i) {
    const RcLeftOut *tune = &g_array_index(left, RcLeftOut, i);
    const RcPlace place = rc_tally_place(a->tally, tune->tune);
    char *missing = rc_quarters_text(tune->missing);
    char *where = g_strdup_printf("%s:%u", place.file, place.line);
    rc_append_csv(a->out, offer_at(a, index)->name, "left out", "", "", "", "", "", "", "", missing, "", "", "", "", "",
                  "", "", "", "", "", rc_tally_title(a->tally, tune->tune), where, NULL);
    g_free(missing);
    g_free(where);
  }
}

static void
append_csv(const Answer *a)
{
  rc_append_csv(a->out, "offer", "line", "layout", "buttons", "price", "currency", "counted as", "in", "kg", "quarters",
                "carried", "tunes", "native", "playable", "one short", "standing", "reaches target", "remarks",
                "equal to", "stretches", "tune", "place", NULL);
  for (guint i = 0; i < a->standings->n; ++i) {
    append_csv_offer(a, i);
    append_csv_left_out(a, i);
  }
}

// -------------------------------------------------------------------------------------------------------------- JSON

// A number of @p unit parts; null for 0.
static void
add_known(GString *json, const char *name, gint64 parts, gint64 unit)
{
  if (!parts) {
    rc_json_null(json, name);
  } else if (parts % unit) {
    rc_json_decimal(json, name, (double)parts / (double)unit);
  } else {
    rc_json_number(json, name, parts / unit);
  }
}

static void
add_text_or_null(GString *json, const char *name, const char *text)
{
  if (text && *text) {
    rc_json_text(json, name, text);
  } else {
    rc_json_null(json, name);
  }
}

static void
add_beaten_by(const Answer *a, GString *json, guint index)
{
  rc_json_begin_array(json, "beaten_by");
  for (guint i = 0; i < a->standings->n; ++i) {
    if (row_at(a, index)->beaten && rc_worth_beats(&row_at(a, i)->worth, &row_at(a, index)->worth)) {
      rc_json_text(json, NULL, offer_at(a, i)->name);
    }
  }
  rc_json_end_array(json);
}

static void
add_left_out(const Answer *a, GString *json, guint index)
{
  const GArray *left = rc_tally_left_out(a->tally, row_at(a, index)->offer);
  rc_json_begin_array(json, "left_out");
  for (guint i = 0; i < left->len; ++i) {
    const RcLeftOut *tune = &g_array_index(left, RcLeftOut, i);
    const RcPlace place = rc_tally_place(a->tally, tune->tune);
    rc_json_begin_object(json, NULL);
    rc_json_text(json, "title", rc_tally_title(a->tally, tune->tune));
    rc_json_text(json, "file", place.file);
    rc_json_number(json, "line", place.line);
    rc_json_quarters(json, "quarters", tune->missing);
    rc_json_end_object(json);
  }
  rc_json_end_array(json);
}

static void
add_repairs(const Answer *a, GString *json, guint index)
{
  rc_json_begin_array(json, "repairs");
  for (guint i = 0; i < a->shop->repairs->len; ++i) {
    const RcRepair *repair = &g_array_index(a->shop->repairs, RcRepair, i);
    if (repair->offer == row_at(a, index)->offer) {
      const RcRepairGain gain = rc_repair_gain(a->shop, a->tally, i);
      char *button = rc_button_name(repair->layout, rc_layout_button(repair->layout, repair->button), RC_SIGNS_ASCII);
      rc_json_begin_object(json, NULL);
      rc_json_text(json, "button", button);
      rc_json_number(json, "tunes", gain.tunes);
      rc_json_quarters(json, "quarters", gain.ticks);
      rc_json_number(json, "native_chords", (gint64)gain.native_chords);
      rc_json_end_object(json);
      g_free(button);
    }
  }
  rc_json_end_array(json);
}

// The others that carry the same.
static void
add_equal_to(const Answer *a, GString *json, guint index)
{
  rc_json_begin_array(json, "equal_to");
  for (guint i = 0; i < a->standings->n; ++i) {
    if (i != index && row_at(a, i)->alike == row_at(a, index)->alike) {
      rc_json_text(json, NULL, offer_at(a, i)->name);
    }
  }
  rc_json_end_array(json);
}

static void
add_wide(const Answer *a, GString *json, guint index)
{
  guint n = 0;
  RcWideGrip *grips = rc_wide_tally_grips(a->wide, row_at(a, index)->offer, &n);
  rc_json_wide(json, offer_at(a, index)->layout, grips, n);
  g_free(grips);
}

static void
add_offer(const Answer *a, GString *json, guint index)
{
  const RcStanding *row = row_at(a, index);
  const RcOffer *offer = offer_at(a, index);
  const RcCounts counts = counts_at(a, index);
  rc_json_begin_object(json, NULL);
  rc_json_text(json, "offer", offer->name);
  rc_json_text(json, "layout", offer->layout->name);
  rc_json_number(json, "buttons", rc_layout_count_buttons(offer->layout));
  add_known(json, "price", offer->cents, 100);
  add_text_or_null(json, "currency", offer->currency);
  add_known(json, "cost", offer->cost, RC_COST_UNIT);
  add_known(json, "kg", offer->grams, 1000);
  add_text_or_null(json, "remarks", offer->remarks);
  rc_json_counts(json, &counts);
  rc_json_tunes(json, &counts);
  rc_json_quarters(json, "carried", rc_measured_ticks(&counts, row->worth.carried));
  rc_json_boolean(json, "reaches", row->reaches);
  rc_json_text(json, "standing", standing_word(row));
  add_beaten_by(a, json, index);
  add_equal_to(a, json, index);
  add_left_out(a, json, index);
  add_repairs(a, json, index);
  add_wide(a, json, index);
  rc_json_end_object(json);
}

static void
add_name_of(const Answer *a, GString *json, const char *name, int row)
{
  add_text_or_null(json, name, row < 0 ? NULL : offer_at(a, (guint)row)->name);
}

static void
append_json(const Answer *a)
{
  GString *json = a->out;
  rc_json_begin_object(json, NULL);
  add_text_or_null(json, "title", a->shop->title);
  add_text_or_null(json, "currency", a->shop->currency);
  add_known(json, "target", a->standings->target, RC_TARGET_ALL / 100);
  rc_json_text(json, "accept", rc_verdict_name(rc_roll_accept(rc_tally_roll(a->tally))));
  rc_json_begin_array(json, "offers");
  for (guint i = 0; i < a->standings->n; ++i) {
    add_offer(a, json, i);
  }
  rc_json_end_array(json);
  add_name_of(a, json, "cheapest", a->standings->cheapest);
  add_name_of(a, json, "lightest", a->standings->lightest);
  add_name_of(a, json, "nearest", a->standings->nearest);
  rc_json_number(json, "tunes", (gint64)a->intake->tunes);
  rc_json_number(json, "files", (gint64)a->intake->files);
  rc_json_number(json, "problems", (gint64)a->intake->problems);
  rc_json_end_object(json);
  g_string_append_c(json, '\n');
}

void
rc_report_shop(GString *out, RcTextFormat format, const RcShop *shop, const RcTally *tally,
               const RcStandings *standings, const RcWideTally *wide, const RcIntake *intake)
{
  const Answer answer = { out, shop, tally, standings, wide, intake };
  switch (format) {
  case RC_TEXT_TABLE:
    append_table(&answer);
    break;
  case RC_TEXT_CSV:
    append_csv(&answer);
    break;
  case RC_TEXT_JSON:
    append_json(&answer);
    break;
  }
}
