// Copyright 2026 the rowcall developers
// SPDX-License-Identifier: MIT

// The chords that lack a button, on cards.

#include "report/document_pages.h"

#include "report/caption_text.h"
#include "report/card_pages.h"
#include "report/format.h"
#include "report/lack_text.h"
#include "report/need_text.h"

#define U64 G_GUINT64_FORMAT

enum { MOST_CARDS = 40, RARE = 5 }; // rare: less than so many thousandths of the time

static const char heading[] = "Chords without a button of their own";

static gboolean
is_same_chord(const RcLack *a, const RcLack *b)
{
  return rc_note_pc(a->chord.root) == rc_note_pc(b->chord.root) &&
         rc_note_pc(a->chord.bass) == rc_note_pc(b->chord.bass) && a->chord.degrees == b->chord.degrees;
}

// "Richer, 5.2 %, 40 ×: adds A. Lean on the bass and keep the chord light."
static char *
card_note(const RcDocument *d, const RcLack *lack, const RcHold *hold)
{
  char percent[8];
  RcLack held = *lack; // as the fingers hold it
  const RcCounts counts = d->report->comparison->sizes[d->report->chosen].counts;
  const char *word = rc_verdict_word(hold->found ? hold->answer.verdict : RC_IMPOSSIBLE);
  rc_percent_text(percent, rc_counts_measured(&counts) ? lack->ticks : (RcTicks)lack->times, rc_counts_whole(&counts));
  held.answer = hold->answer;
  char *sound = hold->found ? rc_lack_sound(&held) : rc_last_resort_text(d->layout, &lack->chord, RC_SIGNS_UNICODE);
  const char *hint = hold->found ? rc_hint_text(rc_hint(&lack->chord, &hold->answer, hold->wide)) : "";
  char *note = g_strdup_printf("%s, %s %%, %" U64 " ×%s%s.%s%s", word, percent, lack->times, *sound ? ": " : "", sound,
                               *hint ? " " : "", hint);
  *note = g_ascii_toupper(*note);
  g_free(sound);
  return note;
}

static void
add_card(const RcDocument *d, GArray *cards, const RcLack *lack)
{
  const RcHold hold = rc_hold(d->report->planner, &lack->request);
  const RcGripCard card = { .layout = d->layout,
                            .name = rc_lack_name(lack, RC_SIGNS_UNICODE),
                            .note = card_note(d, lack, &hold),
                            .press = rc_lack_text(d->layout, lack) };
  rc_grip_cards_add(cards, card, hold.found ? &hold.answer.grip : NULL, &hold.fingers, &hold.second);
}

static gboolean
is_first(const RcLack *lacks, guint index)
{
  guint i = 0;
  while (!is_same_chord(&lacks[i], &lacks[index])) {
    ++i;
  }
  return i == index;
}

// Whether a line is enough for what takes so little of the time.
static gboolean
is_rare(const RcDocument *d, const RcLack *lack)
{
  const RcCounts counts = d->report->comparison->sizes[d->report->chosen].counts;
  const RcTicks held = rc_counts_measured(&counts) ? lack->ticks : (RcTicks)lack->times;
  return held * 1000 < rc_counts_whole(&counts) * RARE;
}

// Makes cards of the ways in which the chord of `lacks[first]` is played, and adds those that are rare, or find no
// room, to `rare`, by their indices.
static void
sort_ways(const RcDocument *d, GArray *cards, GArray *rare, const RcLack *lacks, guint n, guint first)
{
  for (guint i = first; i < n; ++i) {
    if (!is_same_chord(&lacks[first], &lacks[i])) {
      continue;
    }
    if (cards->len < MOST_CARDS && !is_rare(d, &lacks[i])) {
      add_card(d, cards, &lacks[i]);
    } else {
      g_array_append_val(rare, i);
    }
  }
}

static void
sort_chords(const RcDocument *d, GArray *cards, GArray *rare, const RcLack *lacks, guint n)
{
  for (guint i = 0; i < n; ++i) {
    if (is_first(lacks, i)) {
      sort_ways(d, cards, rare, lacks, n, i);
    }
  }
}

// "Fm7: F bass + F minor, 15 ×"; one spelling, so that a line keeps its size.
static char *
rare_text(const RcDocument *d, const RcLack *lack)
{
  char *name = rc_chord_name(&lack->chord, RC_SIGNS_UNICODE);
  const RcHold hold = rc_hold(d->report->planner, &lack->request);
  char *press = hold.found ? rc_grip_describe(d->layout, &hold.answer.grip, RC_SIGNS_UNICODE)
                           : rc_last_resort_text(d->layout, &lack->chord, RC_SIGNS_UNICODE);
  char *text = g_strdup_printf("%s: %s, %" U64 "\u00a0×", name, press, lack->times);
  g_free(name);
  g_free(press);
  return text;
}

static void
draw_line(RcPages *p, double x, double width, const char *text)
{
  rc_canvas_begin(&p->canvas, "LI");
  rc_canvas_begin(&p->canvas, "LBody");
  rc_draw_fitted(p->canvas.cairo, 7.5, x, p->y, width, text);
  rc_canvas_end(&p->canvas, "LBody");
  rc_canvas_end(&p->canvas, "LI");
}

enum { LINE = 11, MOST_RARE = 100 };

// The `n` rare chords from `first` on, in two columns of so many rows.
static void
draw_rows(RcDocument *d, const GArray *rare, guint first, guint n, guint rows, const RcLack *lacks)
{
  enum { GAP = 14 };
  RcPages *p = &d->pages;
  const double width = (p->text_width - GAP) / 2;
  const double top = p->y;
  for (guint i = 0; i < n; ++i) {
    const guint column = i / rows;
    char *text = rare_text(d, &lacks[g_array_index(rare, guint, first + i)]);
    p->y = top + i % rows * LINE;
    draw_line(p, p->left + column * (width + GAP), width, text);
    g_free(text);
  }
  p->y = top + rows * LINE;
}

// The rare chords as far as the page goes, and on further ones; those beyond a number are counted.
static void
draw_rare(RcDocument *d, const GArray *rare, const RcLack *lacks)
{
  enum { FEWEST_ROWS = 4 };
  RcPages *p = &d->pages;
  const guint n = MIN(rare->len, MOST_RARE);
  p->y += 8;
  rc_pages_need(p, FEWEST_ROWS * LINE + 40.0, heading);
  const RcCounts counts = d->report->comparison->sizes[d->report->chosen].counts;
  rc_pages_text(p, RC_TEXT_HEADING,
                rc_counts_measured(&counts) ? "Held for less than 0.5 % of the time each"
                                            : "Less than 0.5 % of the chords each");
  p->y += 4;
  rc_canvas_begin(&p->canvas, "L");
  for (guint first = 0; first < n && !p->full;) {
    rc_pages_need(p, LINE, heading);
    const guint rows = MIN((n - first + 1) / 2, (guint)(rc_pages_room(p) / LINE));
    const guint here = MIN(2 * rows, n - first);
    draw_rows(d, rare, first, here, rows, lacks);
    first += here;
  }
  rc_canvas_end(&p->canvas, "L");
  p->y += 6;
  if (rare->len > n) {
    char *more = g_strdup_printf("%u more are held for less; rowcall tune lists all.", rare->len - n);
    rc_pages_paragraph(p, RC_TEXT_BODY, more, heading);
    g_free(more);
  }
}

static char *
chords_finding(const RcDocument *d, const RcLack *lacks, guint n)
{
  char percent[8];
  const RcCounts counts = d->report->comparison->sizes[d->report->chosen].counts;
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

static char *
key_text(const RcLayout *layout)
{
  char *felt = rc_felt_names(layout);
  char *ring = *felt ? g_strdup_printf(" A ring within a button marks %s, which you feel.", felt) : g_strdup("");
  char *text = g_strconcat("Dark buttons are held together, with their fingers, 2 index to 5 little finger; a frame is "
                           "the second bass of an alternating bass, without a number where the hand moves for it.",
                           ring,
                           " Bellows above, chin to the right. Do not force a stretch; stop if it hurts, rest, and ask "
                           "a teacher or a doctor.",
                           NULL);
  g_free(ring);
  g_free(felt);
  return text;
}

static char *
intro_text(const RcCounts *counts)
{
  return g_strdup_printf("Those %s first, with the best grip in place of each, or one for each surrounding that asks "
                         "for another, its share of the %s, and how often it comes.",
                         rc_counts_measured(counts) ? "held longest" : "asked for most often", rc_share_of(counts));
}

void
rc_section_chords(RcDocument *d)
{
  const RcLack *lacks = d->report->advice.lacks;
  const guint n = d->report->advice.n_lacks;
  GArray *cards = rc_grip_cards_new();
  GArray *rare = g_array_new(FALSE, FALSE, sizeof(guint));
  char *title = chords_finding(d, lacks, n);
  char *key = n ? key_text(d->layout) : NULL;
  char *intro = n ? intro_text(&d->report->comparison->sizes[d->report->chosen].counts) : NULL;
  rc_document_begin(d, heading, title, intro, key);
  sort_chords(d, cards, rare, lacks, n);
  rc_grip_cards_draw(&d->pages, cards, heading);
  if (rare->len) {
    draw_rare(d, rare, lacks);
  }
  g_array_unref(rare);
  g_array_unref(cards);
  g_free(intro);
  g_free(key);
  g_free(title);
}
