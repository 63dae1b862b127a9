// Copyright 2026 the rowcall developers
// SPDX-License-Identifier: MIT

// The chords that lack a button, on cards.

#include "report/document_pages.h"

#include "route/planner.h"
#include "report/card_pages.h"
#include "report/format.h"
#include "report/lack_text.h"
#include "report/need_text.h"

#define U64 G_GUINT64_FORMAT

enum { MOST_CARDS = 40 };

// The best way that fingers can hold; NULL where there is none.
static const RcWay *
best_way(RcPlanner *planner, const RcRequest *request)
{
  const RcWays *ways = rc_planner_ask(planner, request);
  const RcWay *best = NULL;
  for (guint i = 0; i < ways->n; ++i) {
    const RcWay *way = &ways->ways[i];
    if (!best || way->verdict < best->verdict || (way->verdict == best->verdict && way->wrong < best->wrong)) {
      best = way;
    }
  }
  return best;
}

static char *
lack_words(const RcDocument *d, const RcLack *lack, const RcWay *way)
{
  if (!way) {
    char *last = rc_last_resort_text(d->layout, &lack->chord, RC_SIGNS_UNICODE);
    *last = g_ascii_toupper(*last);
    char *nothing = g_strdup_printf("Nothing on this keyboard comes near enough%s%s. %s.", lack->where ? " " : "",
                                    rc_lack_where(lack), last);
    g_free(last);
    return nothing;
  }
  char *words = rc_lack_text(d->layout, lack);
  const char *hint = rc_hint_text(rc_hint(&lack->chord, &lack->answer, way->wide));
  char *text = g_strdup_printf("%s.%s%s", words, *hint ? " " : "", hint);
  g_free(words);
  return text;
}

static void
add_card(const RcDocument *d, GArray *cards, const RcLack *lack)
{
  RcPlanner *planner = d->report->planners[d->report->chosen];
  const RcRouteSettings *settings = rc_planner_settings(planner);
  const RcWay *way = best_way(planner, &lack->request);
  const RcCounts counts = rc_roll_counts(d->report->roll, d->report->chosen);
  RcLack held = *lack; // as the fingers hold it
  if (way) {
    held.answer = (RcAnswer){
      .verdict = (RcVerdict)way->verdict, .grip = way->grip, .grading = way->grading, .likeness = lack->answer.likeness
    };
  }
  char percent[8];
  char *name = rc_lack_name(lack, RC_SIGNS_UNICODE);
  rc_percent_text(percent, rc_counts_measured(&counts) ? lack->ticks : (RcTicks)lack->times, rc_counts_whole(&counts));
  char *heading =
    g_strdup_printf("%s   %s · %s %% · %" U64 " ×", name, rc_verdict_word(held.answer.verdict), percent, lack->times);
  char *text = lack_words(d, &held, way);
  g_free(name);
  RcGripCard *card = rc_grip_cards_add(cards, d->layout, heading);
  RcSecondBass second = { 0 };
  if (way) {
    second =
      rc_second_bass(&settings->fingers, d->layout, settings->hand.reach, &lack->chord, &way->grip, &way->fingers);
  }
  rc_grip_card_way(card, text, way ? &way->grip : NULL, way ? &way->fingers : NULL, &second);
}

static char *
chords_finding(const RcDocument *d, const RcLack *lacks, guint n)
{
  char percent[8];
  const RcCounts counts = rc_roll_counts(d->report->roll, d->report->chosen);
  RcTicks ticks = 0;
  for (guint i = 0; i < n; ++i) {
    ticks += rc_counts_measured(&counts) ? lacks[i].ticks : (RcTicks)lacks[i].times;
  }
  if (!n) {
    return g_strdup_printf("Every chord that could be read has a button of its own on the %s", d->layout->name);
  }
  rc_percent_text(percent, ticks, rc_counts_whole(&counts));
  return g_strdup_printf("%s %% of the %s on the %s", percent,
                         rc_counts_measured(&counts) ? "playing time has no button of its own"
                                                     : "chords have no button of their own",
                         d->layout->name);
}

void
rc_section_chords(RcDocument *d)
{
  static const char key[] =
    "Dark buttons are held together, with their fingers, 2 index to 5 little finger; a thick ring is "
    "the second bass of an alternating bass, without a number where the hand moves for it. Bellows above, chin to the "
    "right. Do not force a "
    "stretch; stop if it hurts, rest, and ask a teacher or a doctor.";
  static const char heading[] = "Chords without a button of their own";
  const RcLack *lacks = d->report->advice.lacks;
  const guint n = d->report->advice.n_lacks;
  GArray *cards = rc_grip_cards_new();
  char *title = chords_finding(d, lacks, n);
  rc_document_begin(
    d, heading, title,
    "Those held longest first, with the best grip in place of each, its share of the playing time, and how often "
    "it comes.",
    key);
  for (guint i = 0; i < MIN(n, MOST_CARDS); ++i) {
    add_card(d, cards, &lacks[i]);
  }
  rc_grip_cards_draw(&d->pages, cards, heading);
  if (n > MOST_CARDS) {
    char *more = g_strdup_printf("%u more are held for less; `rowcall tune` lists all.", n - MOST_CARDS);
    rc_pages_paragraph(&d->pages, RC_TEXT_BODY, more, heading);
    g_free(more);
  }
  g_array_unref(cards);
  g_free(title);
}
