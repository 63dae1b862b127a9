// Copyright 2026 the rowcall developers
// SPDX-License-Identifier: MIT

// Practice sheets: a tune a page where it fits, with the chart in bars and, for each chord that has no button of its
// own, what to press instead.

#include "canvas.h"
#include "format.h"
#include "need.h"
#include "rowcall/draw.h"

#include <cairo-pdf.h>
#include <math.h>

// In points.
static const double page_width = RC_PAGE_SHORT;
static const double page_height = RC_PAGE_LONG;
static const double sheet_width = RC_PAGE_SHORT - 2 * RC_MARGIN;
static const double label_width = 44; // of a part
static const double bar_height = 34;
static const double part_gap = 7;
static const double card_gap = 14;
static const double figure_width = 138;
static const double foot = 46; // with the key to marks and pictures

struct RcSheets {
  RcCanvas canvas;
  const RcPlanner *planner;
  guint page; // pages begun
  double y;   // on the page, below what is drawn
  const RcTune *tune;
  const RcChart *chart;
};

static const RcLayout *
layout_of(const RcSheets *s)
{
  return rc_planner_layout(s->planner);
}

static const RcSymbol *
symbol_at(const RcTune *tune, guint index)
{
  return &g_array_index(tune->symbols, RcSymbol, index);
}

static double
put(RcSheets *s, RcTextStyle style, const char *text)
{
  return rc_draw_text(s->canvas.cairo, style, RC_ALIGN_LEFT, RC_MARGIN, s->y, sheet_width, 0, text);
}

// ------------------------------------------------------------------------------------------------------------ pages

static void
end_page(RcSheets *s)
{
  enum { NUMBER_WIDTH = 40 };
  static const char key[] =
    "A the same notes, B richer, C leaner, D bare, E borrowed, × no grip will do, ? no chord symbol; no mark: the "
    "chord has "
    "a button of its own. Fingers: 2 index to 5 little finger. Dark buttons are held together; a thick ring is the "
    "second "
    "bass of an alternating bass. The bellows are above, the chin is to the right. Do not force a stretch; stop if it "
    "hurts, rest, and ask a teacher or a doctor.";
  const double y = page_height - RC_MARGIN - foot + 10;
  char *number = g_strdup_printf("%u", s->page);
  rc_draw_text(s->canvas.cairo, RC_TEXT_NOTE, RC_ALIGN_LEFT, RC_MARGIN, y, sheet_width - NUMBER_WIDTH, 4, key);
  rc_draw_text(s->canvas.cairo, RC_TEXT_NOTE, RC_ALIGN_RIGHT, RC_MARGIN + sheet_width - NUMBER_WIDTH, y, NUMBER_WIDTH,
               1, number);
  cairo_show_page(s->canvas.cairo);
  g_free(number);
}

static void
begin_page(RcSheets *s)
{
  if (s->page) {
    end_page(s);
  }
  ++s->page;
  s->y = RC_MARGIN;
}

static double
room(const RcSheets *s)
{
  return page_height - RC_MARGIN - foot - s->y;
}

// Begins a page for the same tune where less than @p height is left.
static void
need_room(RcSheets *s, double height)
{
  if (height > room(s) && s->y > RC_MARGIN) {
    begin_page(s);
    char *title = g_strconcat(s->tune->title, " (continued)", NULL);
    s->y += rc_draw_text(s->canvas.cairo, RC_TEXT_STRONG, RC_ALIGN_LEFT, RC_MARGIN, s->y, sheet_width, 1, title) + 8;
    g_free(title);
  }
}

static void
add_bookmark(const RcSheets *s)
{
  if (s->canvas.picture == RC_PICTURE_PDF) {
    char *link = g_strdup_printf("page=%u pos=[0 0]", s->page);
    cairo_pdf_surface_add_outline(s->canvas.surface, CAIRO_PDF_OUTLINE_ROOT, s->tune->title, link,
                                  CAIRO_PDF_OUTLINE_FLAG_OPEN);
    g_free(link);
  }
}

// ---------------------------------------------------------------------------------------------------------- heading

static char *
facts_text(const RcSheets *s)
{
  const RcSetting *setting = rc_tune_setting(s->tune, 0);
  const RcTempo tempo = s->chart->tempo;
  char *key = rc_key_name(setting->key, RC_SIGNS_UNICODE);
  GString *text = g_string_new(NULL);
  g_string_append_printf(text, "%s  ·  %u/%u", key, setting->meter.beats, setting->meter.unit);
  if (s->tune->rhythm) {
    g_string_append_printf(text, "  ·  %s", s->tune->rhythm);
  }
  if (tempo.source != RC_TEMPO_NONE) {
    g_string_append_printf(text, "  ·  %d quarter notes a minute%s", (int)(tempo.quarters + 0.5),
                           tempo.source == RC_TEMPO_STATED  ? ""
                           : tempo.source == RC_TEMPO_GIVEN ? ", as given"
                                                            : ", the usual tempo");
  }
  g_string_append_printf(text, "  ·  for %s", layout_of(s)->title);
  g_free(key);
  return g_string_free(text, FALSE);
}

static char *
verdict_text(const RcSheets *s)
{
  const RcCounts *counts = &s->chart->counts;
  const guint64 all = rc_counts_chords(counts);
  const guint64 missing = counts->chords[RC_IMPOSSIBLE];
  GString *text = g_string_new(NULL);
  if (!counts->tunes) {
    return g_string_free(g_string_append(text, "The tune has no chords."), FALSE);
  }
  if (counts->native) {
    g_string_append(text, "Every chord has a button of its own.");
  } else {
    g_string_append_printf(text,
                           "%" G_GUINT64_FORMAT " of %" G_GUINT64_FORMAT " chords as played ha%s a button of "
                           "%s own; the others are below.",
                           counts->chords[RC_NATIVE], all, counts->chords[RC_NATIVE] == 1 ? "s" : "ve",
                           counts->chords[RC_NATIVE] == 1 ? "its" : "their");
  }
  if (missing) {
    g_string_append_printf(text, " For %" G_GUINT64_FORMAT " no grip will do: leave the left hand out there.", missing);
  }
  if (counts->chords[RC_UNREAD]) {
    g_string_append_printf(text, " %" G_GUINT64_FORMAT " could not be read.", counts->chords[RC_UNREAD]);
  }
  return g_string_free(text, FALSE);
}

static void
draw_heading(RcSheets *s)
{
  char *facts = facts_text(s);
  char *verdict = verdict_text(s);
  s->y += put(s, RC_TEXT_TITLE, s->tune->title) + 2;
  s->y += put(s, RC_TEXT_BODY, facts) + 4;
  s->y += put(s, RC_TEXT_BODY, verdict) + 12;
  g_free(facts);
  g_free(verdict);
}

// ------------------------------------------------------------------------------------------------------------ chart

static const char *
mark_of(RcVerdict verdict)
{
  return verdict == RC_NATIVE       ? NULL
         : verdict == RC_IMPOSSIBLE ? "×"
         : verdict == RC_UNREAD     ? "?"
                                    : rc_verdict_name(verdict);
}

static RcTicks
bar_length(const RcTune *tune, const RcBar *bar)
{
  RcTicks length = 0;
  for (guint i = 0; i < bar->count; ++i) {
    length += g_array_index(tune->events, RcEvent, bar->first + i).length;
  }
  return length;
}

static void
draw_mark(cairo_t *cairo, double x, double y, double width, RcVerdict verdict)
{
  const double shade = rc_verdict_shade(verdict);
  const double box = MIN(13, width);
  cairo_rectangle(cairo, x, y, box, 11);
  if (shade >= 0) {
    rc_shade(cairo, shade);
    cairo_fill(cairo);
  } else {
    cairo_set_source_rgb(cairo, 0, 0, 0);
    cairo_set_line_width(cairo, 0.8);
    cairo_stroke(cairo);
  }
  rc_draw_label(cairo, 8, x + box / 2, y + 5.5, box, shade, mark_of(verdict));
}

// Chords stand in their bar where they begin in time; a held one is not written again.
static void
draw_bar(const RcSheets *s, double x, double y, double width, const RcBar *bar)
{
  cairo_t *cairo = s->canvas.cairo;
  const RcTicks length = MAX(bar_length(s->tune, bar), 1);
  RcTicks at = 0;
  cairo_set_source_rgb(cairo, 0, 0, 0);
  cairo_set_line_width(cairo, 0.8);
  cairo_rectangle(cairo, x, y, width, bar_height);
  cairo_stroke(cairo);
  for (guint i = 0; i < bar->count; ++i) {
    const RcEvent *event = &g_array_index(s->tune->events, RcEvent, bar->first + i);
    const RcSymbol *symbol = symbol_at(s->tune, event->symbol);
    const double left = x + 4 + (width - 6) * (double)at / (double)length;
    const double share = (width - 6) * (double)event->length / (double)length - 2;
    const RcVerdict verdict = s->chart->verdicts[bar->first + i];
    at += event->length;
    if (symbol->kind == RC_SYMBOL_HELD) {
      continue;
    }
    rc_draw_fitted(cairo, 11, left, y + 3, share, symbol->text);
    if (mark_of(verdict)) {
      draw_mark(cairo, left, y + 20, share, verdict);
    }
  }
}

static guint
bars_a_line(const RcTune *tune)
{
  guint most = 1;
  for (guint i = 0; i < tune->bars->len; ++i) {
    most = MAX(most, g_array_index(tune->bars, RcBar, i).count);
  }
  return most <= 2 ? 8 : most <= 4 ? 4 : 2;
}

static void
draw_part(RcSheets *s, const RcPart *part, guint across)
{
  const double width = (sheet_width - label_width) / across;
  for (guint i = 0; i < part->count; i += across) {
    need_room(s, bar_height);
    if (!i) {
      rc_draw_text(s->canvas.cairo, RC_TEXT_STRONG, RC_ALIGN_LEFT, RC_MARGIN, s->y + 3, label_width - 4, 2,
                   part->label);
    }
    for (guint j = i; j < MIN(i + across, part->count); ++j) {
      const RcBar *bar = &g_array_index(s->tune->bars, RcBar, part->first + j);
      draw_bar(s, RC_MARGIN + label_width + (j - i) * width, s->y, width, bar);
    }
    s->y += bar_height;
  }
  s->y += part_gap;
}

static void
draw_chart(RcSheets *s)
{
  const guint across = bars_a_line(s->tune);
  for (guint i = 0; i < s->tune->parts->len; ++i) {
    draw_part(s, &g_array_index(s->tune->parts, RcPart, i), across);
  }
  char *order = rc_order_text(s->tune);
  s->y += put(s, RC_TEXT_BODY, order) + 10;
  g_free(order);
}

// ------------------------------------------------------------------------------------------------------- hard spots

static void
draw_hard(RcSheets *s)
{
  GPtrArray *texts = rc_hard_texts(s->tune, s->chart->hard);
  if (texts->len) {
    GString *text = g_string_new("Practise slowly: ");
    for (guint i = 0; i < texts->len; ++i) {
      g_string_append_printf(text, "%s%s", i ? "; " : "", (const char *)g_ptr_array_index(texts, i));
    }
    g_string_append_c(text, '.');
    need_room(s, rc_text_height(RC_TEXT_BODY, sheet_width, 0, text->str));
    s->y += put(s, RC_TEXT_BODY, text->str) + 10;
    g_string_free(text, TRUE);
  }
  g_ptr_array_unref(texts);
}

// ------------------------------------------------------------------------------------------------------------ cards

enum { MOST_MARKS = 2 + RC_GRIP_CHORDS, CARDS_ACROSS = 2 };

// What one card says.
typedef struct {
  const RcNeed *need;
  char *heading;
  char *text;
  guint first; // column
  guint last;
  RcFingerMark marks[MOST_MARKS];
  guint n_marks;
  double height;
} Card;

static const char *
hint_for(const RcNeed *need)
{
  if (need->span > RC_WIDE_MM) {
    return "Wide: do not force the stretch, stop if it hurts, and ask a teacher.";
  }
  switch (need->answer.verdict) {
  case RC_RICHER:
    return "Lean on the bass and keep the chord light.";
  case RC_BARE:
    return "Bare bass, only because it goes by fast or the tune has the third.";
  case RC_BORROWED:
    return "A makeshift: short and soft, and listen whether it passes.";
  default:
    return NULL;
  }
}

static void
append_sentence(GString *text, const char *before, const char *sentence)
{
  if (sentence && *sentence) {
    g_string_append_printf(text, "%s%s%s%s", text->len ? " " : "", before, sentence,
                           g_str_has_suffix(sentence, ".") ? "" : ".");
  }
}

static char *
card_text(const RcSheets *s, const RcNeed *need)
{
  const RcLayout *layout = layout_of(s);
  const RcSymbol *symbol = symbol_at(s->tune, need->symbol);
  GString *text = g_string_new(NULL);
  if (need->answer.verdict == RC_UNREAD) {
    g_string_append_printf(text, "This is no chord symbol: not understood from character %ld on.",
                           g_utf8_strlen(symbol->text, symbol->stopped_at) + 1);
    return g_string_free(text, FALSE);
  }
  if (need->answer.verdict == RC_IMPOSSIBLE) {
    g_string_append(text, "No grip within one hand comes near enough: no bass and chord here share two tones with it "
                          "without a tone that jars. Leave the left hand out, or play the melody alone.");
    return g_string_free(text, FALSE);
  }
  char *press = rc_need_press(layout, need, RC_SIGNS_UNICODE);
  char *differences = rc_need_differences(layout, s->tune, need, RC_SIGNS_UNICODE);
  char *second = rc_need_second(layout, need, RC_SIGNS_UNICODE);
  append_sentence(text, "", press);
  *differences = g_ascii_toupper(*differences);
  append_sentence(text, "", differences);
  append_sentence(text, "Alternating: ", second);
  append_sentence(text, "", hint_for(need));
  g_free(press);
  g_free(differences);
  g_free(second);
  return g_string_free(text, FALSE);
}

static void
add_mark(Card *card, const RcLayout *layout, guint button, guint finger, gboolean second)
{
  const guint column = rc_layout_button(layout, button)->column;
  card->first = card->n_marks ? MIN(card->first, column) : column;
  card->last = card->n_marks ? MAX(card->last, column) : column;
  card->marks[card->n_marks++] = (RcFingerMark){ button, finger, second };
}

// A column more on each side where few are in use, so that a player finds the place.
static void
widen_cut(Card *card, const RcLayout *layout)
{
  enum { FEW = 4 };
  for (guint i = 0; i < FEW && card->last - card->first + 1 < FEW; ++i) {
    if (i % 2 && card->first > 0) {
      --card->first;
    } else if (i % 2 == 0 && card->last + 1 < layout->columns->len) {
      ++card->last;
    }
  }
}

static double
text_width(const Card *card)
{
  return (sheet_width - card_gap) / CARDS_ACROSS - (card->n_marks ? figure_width + 8 : 0);
}

static Card
make_card(const RcSheets *s, const RcNeed *need)
{
  const RcLayout *layout = layout_of(s);
  const RcGrip *grip = &need->answer.grip;
  Card card = { .need = need };
  if (need->answer.verdict < RC_IMPOSSIBLE) {
    add_mark(&card, layout, grip->bass, need->fingers.bass, FALSE);
    for (guint i = 0; i < grip->n_chords; ++i) {
      add_mark(&card, layout, grip->chords[i], need->fingers.chords[i], FALSE);
    }
    if (need->second.found) {
      add_mark(&card, layout, need->second.button, need->second.finger, TRUE);
    }
    widen_cut(&card, layout);
  }
  char *bar = rc_bar_text(s->tune, need->bar);
  card.heading =
    g_strdup_printf("%s   %s · %" G_GUINT64_FORMAT " × · from %s on", symbol_at(s->tune, need->symbol)->text,
                    rc_verdict_word(need->answer.verdict), need->times, bar);
  card.text = card_text(s, need);
  const double figure = card.n_marks ? rc_grip_figure_height(layout, card.last - card.first + 1, figure_width) : 0;
  card.height = rc_text_height(RC_TEXT_STRONG, (sheet_width - card_gap) / CARDS_ACROSS, 2, card.heading) + 3 +
                MAX(figure, rc_text_height(RC_TEXT_NOTE, text_width(&card), 0, card.text)) + 12;
  g_free(bar);
  return card;
}

static void
draw_card(const RcSheets *s, const Card *card, double x, double y)
{
  const double width = (sheet_width - card_gap) / CARDS_ACROSS;
  cairo_t *cairo = s->canvas.cairo;
  y += rc_draw_text(cairo, RC_TEXT_STRONG, RC_ALIGN_LEFT, x, y, width, 2, card->heading) + 3;
  if (card->n_marks) {
    rc_draw_grip(cairo, (RcBox){ x, y, figure_width, card->height }, layout_of(s), card->first, card->last, card->marks,
                 card->n_marks);
  }
  rc_draw_text(cairo, RC_TEXT_NOTE, RC_ALIGN_LEFT, x + width - text_width(card), y, text_width(card), 0, card->text);
}

static void
free_card(gpointer data)
{
  Card *card = data;
  g_free(card->heading);
  g_free(card->text);
}

static GArray *
make_cards(const RcSheets *s)
{
  GArray *cards = g_array_new(FALSE, FALSE, sizeof(Card));
  g_array_set_clear_func(cards, free_card);
  for (guint i = 0; i < s->chart->needs->len; ++i) {
    const RcNeed *need = &g_array_index(s->chart->needs, RcNeed, i);
    if (need->answer.verdict != RC_NATIVE) {
      const Card card = make_card(s, need);
      g_array_append_val(cards, card);
    }
  }
  return cards;
}

static void
draw_cards(RcSheets *s)
{
  GArray *cards = make_cards(s);
  for (guint i = 0; i < cards->len; i += CARDS_ACROSS) {
    double height = 0;
    for (guint j = i; j < MIN(i + CARDS_ACROSS, cards->len); ++j) {
      height = MAX(height, g_array_index(cards, Card, j).height);
    }
    need_room(s, height);
    for (guint j = i; j < MIN(i + CARDS_ACROSS, cards->len); ++j) {
      const double x = RC_MARGIN + (j - i) * ((sheet_width - card_gap) / CARDS_ACROSS + card_gap);
      draw_card(s, &g_array_index(cards, Card, j), x, s->y);
    }
    s->y += height;
  }
  g_array_unref(cards);
}

// ------------------------------------------------------------------------------------------------------- the sheets

RcSheets *
rc_sheets_start(const RcPlanner *planner, RcPicture picture, const RcImprint *imprint)
{
  RcSheets *sheets = g_new0(RcSheets, 1);
  sheets->planner = planner;
  sheets->canvas = rc_canvas_start(picture, page_width, page_height, imprint);
  return sheets;
}

void
rc_sheets_add(RcSheets *s, const RcTune *tune, const RcChart *chart)
{
  s->tune = tune;
  s->chart = chart;
  begin_page(s);
  add_bookmark(s);
  draw_heading(s);
  draw_chart(s);
  draw_hard(s);
  draw_cards(s);
}

guint
rc_sheets_pages(const RcSheets *sheets)
{
  return sheets->page;
}

GBytes *
rc_sheets_finish(RcSheets *sheets, GError **error)
{
  if (sheets->page) {
    end_page(sheets);
  }
  GBytes *bytes = rc_canvas_finish(&sheets->canvas, error);
  g_free(sheets);
  return bytes;
}
