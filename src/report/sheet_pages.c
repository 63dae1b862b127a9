// Copyright 2026 the rowcall developers
// SPDX-License-Identifier: MIT

// Practice sheets: a tune a page where it fits, with the chart in bars and, for each chord that has no button of its
// own, what to press instead.

#include "report/card_pages.h"
#include "report/doubt_text.h"
#include "report/format.h"
#include "report/need_text.h"
#include "report/sheet_pages.h"
#include "report/song_lines.h"

// In points.
static const double label_width = 44; // of a part
static const double bar_height = 34;
static const double part_gap = 7;

static const char sheet_key[] =
  "A the same notes, B richer, C leaner, D bare, E borrowed, × no grip, ? no chord symbol; no mark: the chord "
  "has a "
  "button of its own. Fingers: 2 index to 5 little finger. Dark buttons are held together; a thick ring is the second "
  "bass "
  "of an alternating bass, without a number where the hand moves for it. Bellows above, chin to the right. Do not "
  "force a stretch; stop if it hurts, rest, and ask a "
  "teacher or a doctor.";

// One tune on its page.
typedef struct {
  RcPages *pages;
  const RcLayout *layout;
  const RcTune *tune;
  const RcChart *chart;
} Sheet;

struct RcSheets {
  RcPages pages;
  const RcLayout *layout;
};

// ---------------------------------------------------------------------------------------------------------- heading

static char *
facts_text(const Sheet *s)
{
  const RcSetting *setting = rc_tune_setting(s->tune, 0);
  const RcTempo tempo = s->chart->tempo;
  char *key = rc_tune_key(s->tune, RC_SIGNS_UNICODE);
  GString *text = g_string_new(NULL);
  g_string_append_printf(text, "%s  ·  %u/%u", key, setting->meter.beats, setting->meter.unit);
  if (s->tune->rhythm) {
    g_string_append_printf(text, "  ·  %s", s->tune->rhythm);
  }
  if (s->tune->unmeasured) {
    g_string_append(text, "  ·  chords without lengths");
  } else if (tempo.source != RC_TEMPO_NONE) {
    char *beats = rc_tempo_text(tempo, setting->meter);
    g_string_append_printf(text, "  ·  %s%s", beats,
                           tempo.source == RC_TEMPO_STATED  ? ""
                           : tempo.source == RC_TEMPO_GIVEN ? ", as given"
                                                            : ", the usual tempo");
    g_free(beats);
  }
  g_string_append_printf(text, "  ·  for %s", s->layout->title);
  g_free(key);
  return g_string_free(text, FALSE);
}

static char *
verdict_text(const Sheet *s)
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
    g_string_append_printf(text, " For %" G_GUINT64_FORMAT " there is no grip; their cards say what is left.", missing);
  }
  if (counts->chords[RC_UNREAD]) {
    g_string_append_printf(text, " %" G_GUINT64_FORMAT " could not be read.", counts->chords[RC_UNREAD]);
  }
  if (rc_layout_has_bellows(s->layout)) {
    char *turns = rc_turns_text(s->chart);
    g_string_append_printf(text, " %s ▸ is push, ◂ pull, ◂▸ now one and now the other.", turns);
    g_free(turns);
  }
  char *note = rc_board_note(s->layout, s->chart->melody);
  g_string_append_printf(text, "%s%s", *note ? " " : "", note);
  g_free(note);
  return g_string_free(text, FALSE);
}

static void
draw_heading(const Sheet *s)
{
  char *facts = facts_text(s);
  char *verdict = verdict_text(s);
  rc_pages_text(s->pages, RC_TEXT_TITLE, s->tune->title);
  s->pages->y += 2;
  rc_pages_text(s->pages, RC_TEXT_BODY, facts);
  s->pages->y += 4;
  rc_pages_text(s->pages, RC_TEXT_BODY, verdict);
  s->pages->y += 12;
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

// How much of its bar a chord has to itself on paper; those without lengths share it equally.
static RcTicks
room_of(const RcEvent *event)
{
  return MAX(event->length, 1);
}

static RcTicks
bar_length(const RcTune *tune, const RcBar *bar)
{
  RcTicks length = 0;
  for (guint i = 0; i < bar->count; ++i) {
    length += room_of(&g_array_index(tune->events, RcEvent, bar->first + i));
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

// After the mark of the chord, where there is one.
static void
draw_arrow(cairo_t *cairo, double x, double y, double width, guint bellows)
{
  static const char *const arrows[] = { "", "▸", "◂", "◂▸" };
  const double box = MIN(16, width);
  if (bellows && box > 0) {
    rc_draw_label(cairo, 9, x + box / 2, y + 5.5, box, -1, arrows[bellows]);
  }
}

// One size for all chords of a bar.
static double
bar_points(const Sheet *s, double width, const RcBar *bar, RcTicks length)
{
  double points = 11;
  for (guint i = 0; i < bar->count; ++i) {
    const RcEvent *event = &g_array_index(s->tune->events, RcEvent, bar->first + i);
    const double share = width * (double)room_of(event) / (double)length - 2;
    points = MIN(points, rc_fitted_points(points, share, rc_tune_symbol(s->tune, event->symbol)->text));
  }
  return points;
}

static void
draw_chord(const Sheet *s, double x, double y, double width, double points, guint event)
{
  const RcSymbol *symbol = rc_tune_symbol(s->tune, g_array_index(s->tune->events, RcEvent, event).symbol);
  const RcVerdict verdict = s->chart->verdicts[event];
  if (symbol->kind == RC_SYMBOL_HELD) {
    return;
  }
  const double after = mark_of(verdict) ? MIN(14, width) : 0;
  rc_draw_fitted(s->pages->canvas.cairo, points, x, y + 3, width, symbol->text);
  draw_arrow(s->pages->canvas.cairo, x + after, y + 20, width - after, s->chart->bellows[event]);
  if (mark_of(verdict)) {
    draw_mark(s->pages->canvas.cairo, x, y + 20, width, verdict);
  }
}

static void
frame_bar(cairo_t *cairo, double x, double y, double width)
{
  cairo_set_source_rgb(cairo, 0, 0, 0);
  cairo_set_line_width(cairo, 0.8);
  cairo_rectangle(cairo, x, y, width, bar_height);
  cairo_stroke(cairo);
}

// Chords stand in their bar where they begin in time; a held one is not written again.
static void
draw_bar(const Sheet *s, double x, double y, double width, const RcBar *bar)
{
  enum { MOST_CHORDS = 24 }; // more could not be read
  const double room = width - 6;
  const RcTicks length = MAX(bar_length(s->tune, bar), 1);
  RcTicks at = 0;
  frame_bar(s->pages->canvas.cairo, x, y, width);
  if (bar->count > MOST_CHORDS) {
    char *text = g_strdup_printf("%u chords", bar->count);
    rc_draw_fitted(s->pages->canvas.cairo, 11, x + 4, y + 3, room, text);
    g_free(text);
    return;
  }
  const double points = bar_points(s, room, bar, length);
  for (guint i = 0; i < bar->count; ++i) {
    const RcTicks lasts = room_of(&g_array_index(s->tune->events, RcEvent, bar->first + i));
    const double left = x + 4 + room * (double)at / (double)length;
    draw_chord(s, left, y, room * (double)lasts / (double)length - 2, points, bar->first + i);
    at += lasts;
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
draw_part(const Sheet *s, const RcPart *part, guint across)
{
  RcPages *p = s->pages;
  const double width = (p->text_width - label_width) / across;
  for (guint i = 0; i < part->count && !p->full; i += across) {
    rc_pages_need(p, bar_height, s->tune->title);
    if (!i) {
      rc_draw_text(p->canvas.cairo, RC_TEXT_STRONG, RC_ALIGN_LEFT, p->left, p->y + 3, label_width - 4, 2, part->label);
    }
    for (guint j = i; j < MIN(i + across, part->count); ++j) {
      const RcBar *bar = &g_array_index(s->tune->bars, RcBar, part->first + j);
      draw_bar(s, p->left + label_width + (j - i) * width, p->y, width, bar);
    }
    p->y += bar_height;
  }
  p->y += part_gap;
}

// ------------------------------------------------------------------------------------------------------------ words

static const double chord_row = 13;
static const double mark_row = 13;
static const double word_row = 14;
static const double blank_row = 7;

// Blanks at an end have no width of their own.
static double
width_of_words(const char *words)
{
  char *fenced = g_strconcat(words, "|", NULL);
  const double width = rc_text_width(RC_TEXT_BODY, fenced) - rc_text_width(RC_TEXT_BODY, "|");
  g_free(fenced);
  return width;
}

static gboolean
any_mark(const Sheet *s, const GArray *stretches)
{
  gboolean any = FALSE;
  for (guint i = 0; i < stretches->len; ++i) {
    const guint event = g_array_index(stretches, RcStretch, i).event;
    any |= event != RC_NO_CHORD && (mark_of(s->chart->verdicts[event]) || s->chart->bellows[event]);
  }
  return any;
}

static void
draw_chord_over(const Sheet *s, double x, guint event)
{
  const RcVerdict verdict = s->chart->verdicts[event];
  const char *symbol = rc_tune_symbol(s->tune, g_array_index(s->tune->events, RcEvent, event).symbol)->text;
  const double after = mark_of(verdict) ? 14 : 0;
  cairo_t *cairo = s->pages->canvas.cairo;
  rc_draw_text(cairo, RC_TEXT_STRONG, RC_ALIGN_LEFT, x, s->pages->y, s->pages->text_width, 1, symbol);
  draw_arrow(cairo, x + after, s->pages->y + chord_row, 16, s->chart->bellows[event]);
  if (mark_of(verdict)) {
    draw_mark(cairo, x, s->pages->y + chord_row, 13, verdict);
  }
}

static double
chord_width(const Sheet *s, guint event)
{
  enum { GAP = 5 };
  return event == RC_NO_CHORD
           ? 0
           : rc_text_width(RC_TEXT_STRONG,
                           rc_tune_symbol(s->tune, g_array_index(s->tune->events, RcEvent, event).symbol)->text) +
               GAP;
}

// A line of words on its way over the page.
typedef struct {
  double height;
  double words_at; // below its top
  double words;    // where the next word may begin
  double chords;   // where the next chord may
  gboolean cut;    // the last word goes on
  guint chords_left;
} Line;

// Goes on below; there are only words where no chord is left.
static void
break_line(const Sheet *s, Line *line)
{
  s->pages->y += line->height;
  if (!line->chords_left) {
    line->words_at = 0;
    line->height = word_row;
  }
  rc_pages_need(s->pages, line->height, s->tune->title);
  line->words = line->chords = s->pages->left + label_width;
  line->cut = FALSE;
}

static void
draw_stretch(const Sheet *s, Line *line, const RcStretch *stretch)
{
  RcPages *p = s->pages;
  const gboolean chord = stretch->event != RC_NO_CHORD;
  const double left = p->left + label_width;
  const double right = p->left + p->text_width;
  char *words = g_strndup(stretch->words, stretch->length);
  const double width = width_of_words(words);
  double x = chord ? MAX(line->words, line->chords) : line->words;
  if (x > left && x + MAX(width, chord_width(s, stretch->event)) > right) {
    break_line(s, line);
    x = left;
  }
  if (line->cut && x > line->words) { // a dash, where a word is drawn apart
    rc_draw_fitted(p->canvas.cairo, 9.5, line->words, p->y + line->words_at, x - line->words, "-");
  }
  if (chord) {
    draw_chord_over(s, x, stretch->event);
    line->chords = x + chord_width(s, stretch->event);
    --line->chords_left;
  }
  rc_draw_text(p->canvas.cairo, RC_TEXT_BODY, RC_ALIGN_LEFT, x, p->y + line->words_at, right - x, 1, words);
  line->words = x + width;
  line->cut = stretch->cut;
  g_free(words);
}

static void
draw_line(const Sheet *s, const RcLine *line)
{
  RcPages *p = s->pages;
  GArray *stretches = rc_line_stretches(s->tune, line);
  Line drawn = { .words_at = (line->sung ? chord_row : 0) + (any_mark(s, stretches) ? mark_row : 0) };
  drawn.height = drawn.words_at + (*line->text ? word_row : 0);
  drawn.words = drawn.chords = p->left + label_width;
  drawn.chords_left = line->sung ? g_array_index(s->tune->bars, RcBar, line->bar).count : 0;
  rc_pages_need(p, drawn.height, s->tune->title);
  if (line->label) {
    rc_draw_text(p->canvas.cairo, RC_TEXT_STRONG, RC_ALIGN_LEFT, p->left, p->y, label_width - 4, 2, line->label);
  }
  for (guint i = 0; i < stretches->len && !p->full; ++i) {
    draw_stretch(s, &drawn, &g_array_index(stretches, RcStretch, i));
  }
  p->y += stretches->len ? drawn.height : line->label ? word_row : blank_row;
  g_array_unref(stretches);
}

static void
draw_song(const Sheet *s, guint across)
{
  for (guint i = 0; i <= s->tune->lines->len && !s->pages->full; ++i) {
    const RcPart bars = rc_bars_before_line(s->tune, i);
    if (bars.count) {
      draw_part(s, &bars, across);
    }
    if (i < s->tune->lines->len) {
      draw_line(s, &g_array_index(s->tune->lines, RcLine, i));
    }
  }
  s->pages->y += part_gap;
}

static void
draw_chart(const Sheet *s)
{
  const guint across = bars_a_line(s->tune);
  if (s->tune->lines->len) {
    draw_song(s, across);
  }
  for (guint i = 0; i < s->tune->parts->len && !s->tune->lines->len; ++i) {
    draw_part(s, &g_array_index(s->tune->parts, RcPart, i), across);
  }
  char *order = rc_order_text(s->tune);
  rc_pages_paragraph(s->pages, RC_TEXT_BODY, order, s->tune->title);
  s->pages->y += 10;
  g_free(order);
}

// ------------------------------------------------------------------------------------------------------- hard spots

static void
draw_doubts(const Sheet *s)
{
  GPtrArray *texts = rc_doubt_texts(s->tune, FALSE, RC_SIGNS_UNICODE);
  for (guint i = 0; i < texts->len; ++i) {
    char *remark = g_strconcat("Remark: ", (const char *)g_ptr_array_index(texts, i), NULL);
    rc_pages_paragraph(s->pages, RC_TEXT_BODY, remark, s->tune->title);
    g_free(remark);
  }
  s->pages->y += texts->len ? 10 : 0;
  g_ptr_array_unref(texts);
}

static void
draw_hard(const Sheet *s)
{
  GPtrArray *texts = rc_hard_texts(s->tune, s->chart);
  if (texts->len) {
    GString *text = g_string_new("Practise slowly: ");
    for (guint i = 0; i < texts->len; ++i) {
      g_string_append_printf(text, "%s%s", i ? "; " : "", (const char *)g_ptr_array_index(texts, i));
    }
    g_string_append_c(text, '.');
    rc_pages_paragraph(s->pages, RC_TEXT_BODY, text->str, s->tune->title);
    s->pages->y += 10;
    g_string_free(text, TRUE);
  }
  g_ptr_array_unref(texts);
}

// ------------------------------------------------------------------------------------------------------------ cards

static void
append_sentence(GString *text, const char *before, const char *sentence)
{
  if (sentence && *sentence) {
    g_string_append_printf(text, "%s%s%s%s", text->len ? " " : "", before, sentence,
                           g_str_has_suffix(sentence, ".") ? "" : ".");
  }
}

static char *
way_text(const Sheet *s, const RcNeed *need)
{
  const RcLayout *layout = s->layout;
  const RcSymbol *symbol = rc_tune_symbol(s->tune, need->symbol);
  GString *text = g_string_new(NULL);
  if (need->answer.verdict == RC_UNREAD) {
    g_string_append_printf(text, "This is no chord symbol: not understood from character %ld on.",
                           g_utf8_strlen(symbol->text, symbol->stopped_at) + 1);
    return g_string_free(text, FALSE);
  }
  if (need->answer.verdict == RC_IMPOSSIBLE) {
    char *last = rc_last_resort_text(layout, &symbol->chord, RC_SIGNS_UNICODE);
    g_string_append(text, "No grip within one hand comes near enough. ");
    *last = g_ascii_toupper(*last);
    g_string_append_printf(text, "%s.", last);
    g_free(last);
    return g_string_free(text, FALSE);
  }
  char *press = rc_need_press(layout, need, RC_SIGNS_UNICODE);
  char *differences = rc_need_differences(layout, s->tune, need, RC_SIGNS_UNICODE);
  char *second = rc_need_second(layout, need, RC_SIGNS_UNICODE);
  append_sentence(text, "", press);
  *differences = g_ascii_toupper(*differences);
  append_sentence(text, "", differences);
  append_sentence(text, "Alternating: ", second);
  append_sentence(text, "", rc_hint_text(rc_hint(&symbol->chord, &need->answer, need->wide)));
  g_free(press);
  g_free(differences);
  g_free(second);
  return g_string_free(text, FALSE);
}

// "richer · 6 × · bars 3, 7"
static char *
way_heading(const Sheet *s, const RcNeed *need)
{
  char *bars = rc_bars_text(s->tune, need->bars, need->n_bars);
  char *text =
    g_strdup_printf("%s · %" G_GUINT64_FORMAT " × · %s", rc_verdict_word(need->answer.verdict), need->times, bars);
  g_free(bars);
  return text;
}

static void
add_way(const Sheet *s, RcGripCard *drawn, const RcCard *card, const RcNeed *need)
{
  char *text = way_text(s, need);
  if (card->n > 1) {
    char *heading = way_heading(s, need);
    char *both = g_strdup_printf("%s: %s", heading, text);
    *both = g_ascii_toupper(*both);
    g_free(heading);
    g_free(text);
    text = both;
  }
  rc_grip_card_way(drawn, text, need->answer.verdict < RC_IMPOSSIBLE ? &need->answer.grip : NULL, &need->fingers,
                   &need->second);
}

static void
add_card(const Sheet *s, GArray *drawn, const RcCard *card)
{
  enum { MOST_WAYS = 6 }; // of a chord, so that its card fits on a page
  char *what = card->n > 1 ? g_strdup_printf("%" G_GUINT64_FORMAT " × in %u ways", card->times, card->n)
                           : way_heading(s, card->cases[0]);
  char *heading = g_strdup_printf("%s   %s", rc_tune_symbol(s->tune, card->symbol)->text, what);
  RcGripCard *into = rc_grip_cards_add(drawn, s->layout, heading);
  for (guint i = 0; i < MIN(card->n, MOST_WAYS); ++i) {
    add_way(s, into, card, card->cases[i]);
  }
  if (card->n > MOST_WAYS) {
    rc_grip_card_way(into, g_strdup_printf("And %u more; `rowcall tune` lists all.", card->n - MOST_WAYS), NULL, NULL,
                     NULL);
  }
  g_free(what);
}

static void
draw_cards(const Sheet *s)
{
  RcCards *cards = rc_cards_new(s->tune, s->chart);
  GArray *drawn = rc_grip_cards_new();
  for (guint i = 0; i < cards->n; ++i) {
    if (cards->cards[i].lacking) {
      add_card(s, drawn, &cards->cards[i]);
    }
  }
  rc_grip_cards_draw(s->pages, drawn, s->tune->title);
  g_array_unref(drawn);
  rc_cards_free(cards);
}

// ------------------------------------------------------------------------------------------------------- the sheets

void
rc_sheet_draw(RcPages *pages, const RcLayout *layout, const RcTune *tune, const RcChart *chart, const char *place)
{
  const Sheet sheet = { pages, layout, tune, chart };
  rc_pages_begin(pages, sheet_key);
  if (place) {
    rc_pages_name(pages, place);
    rc_pages_link(pages, (RcBox){ pages->left, pages->y, pages->text_width, 20 }, "index");
  }
  rc_pages_bookmark(pages, tune->title);
  draw_heading(&sheet);
  draw_chart(&sheet);
  draw_doubts(&sheet);
  draw_hard(&sheet);
  draw_cards(&sheet);
}

RcSheets *
rc_sheets_start(const RcLayout *layout, RcPicture picture, RcPaper paper, const RcImprint *imprint)
{
  RcSheets *sheets = g_new0(RcSheets, 1);
  sheets->layout = layout;
  sheets->pages = rc_pages_start(picture, paper, layout->title, imprint, layout->title);
  return sheets;
}

void
rc_sheets_add(RcSheets *sheets, const RcTune *tune, const RcChart *chart)
{
  if (!sheets->pages.full) {
    rc_sheet_draw(&sheets->pages, sheets->layout, tune, chart, NULL);
  }
}

guint
rc_sheets_pages(const RcSheets *sheets)
{
  return sheets->pages.number;
}

GBytes *
rc_sheets_finish(RcSheets *sheets, GError **error)
{
  GBytes *bytes = rc_pages_finish(&sheets->pages, error);
  g_free(sheets);
  return bytes;
}
