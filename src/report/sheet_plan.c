// Copyright 2026 the rowcall developers
// SPDX-License-Identifier: MIT

#include "report/sheet_plan.h"

#include "report/caption_text.h"
#include "report/doubt_text.h"
#include "report/format.h"
#include "report/need_text.h"
#include "report/sheet_flow.h"

#include <string.h>

// In points.
static const double continued_height = 22;
static const double after_heading[] = { 10, 6 }; // roomy, tight
static const double after_chart = 4;
static const double between_notes = 3;
static const double above_board[] = { 12, 5 };
static const double below_board[] = { 14, 10 };
static const double most_spread = 34; // of the lines of a chart
static const double least_label = 24;
static const double most_label = 58;

// ------------------------------------------------------------------------------------------------------- flowing down

gboolean
rc_sheet_is_full(const RcSheetFlow *flow)
{
  return flow->page >= RC_MAX_PAGES;
}

RcSheetItem *
rc_sheet_add(RcSheetFlow *flow, RcSheetKind kind, RcBox box, RcFace face, const char *text)
{
  GArray *items = flow->plan->items;
  const RcSheetItem item = { .kind = kind,
                             .page = flow->page,
                             .line = flow->line,
                             .above = flow->above,
                             .box = box,
                             .face = face,
                             .text = g_string_chunk_insert_const(flow->plan->texts, text) };
  g_array_append_val(items, item);
  return &g_array_index(items, RcSheetItem, items->len - 1);
}

static void
add_continued(RcSheetFlow *flow)
{
  char *text = g_strconcat(flow->plan->sheet->tune->title, " (continued)", NULL);
  const RcBox box = { 0, 0, flow->plan->sheet->width, continued_height };
  rc_sheet_add(flow, RC_SHEET_TEXT, box, (RcFace){ 12, TRUE }, text)->line = G_MAXUINT;
  g_free(text);
}

void
rc_sheet_need(RcSheetFlow *flow, double height)
{
  if (!flow->endless && flow->y + height > flow->plan->sheet->height && flow->y > continued_height) {
    ++flow->page;
    flow->y = continued_height;
    add_continued(flow);
  }
}

// Text over the whole width.
static void
add_paragraph(RcSheetFlow *flow, RcSheetKind kind, RcTextStyle style, const char *text)
{
  enum { MOST_LINES = 40 }; // these fit on a page
  const double width = flow->plan->sheet->width;
  const double height = rc_text_height(style, width, MOST_LINES, text);
  rc_sheet_need(flow, height);
  rc_sheet_add(flow, kind, (RcBox){ 0, flow->y, width, height }, (RcFace){ 0, FALSE }, text)->style = style;
  ++flow->line;
  flow->y += height + between_notes;
}

// ------------------------------------------------------------------------------------------------------------ heading

static void
append_tempo(GString *text, const RcSheet *s, RcMeter meter)
{
  const RcTempo tempo = s->chart->tempo;
  if (s->tune->unmeasured) {
    g_string_append(text, "  ·  chords without lengths");
  } else if (tempo.source != RC_TEMPO_NONE) {
    char *beats = rc_tempo_text(tempo, meter);
    g_string_append_printf(text, "  ·  %s%s", beats,
                           tempo.source == RC_TEMPO_STATED  ? ""
                           : tempo.source == RC_TEMPO_GIVEN ? ", as given"
                                                            : ", the usual tempo");
    g_free(beats);
  }
}

// "F major  ·  4/4  ·  swing  ·  152 quarter notes a minute  ·  Played: A A B"
static char *
facts_text(const RcSheet *s)
{
  const RcSetting *setting = rc_tune_setting(s->tune, 0);
  char *key = rc_tune_key(s->tune, RC_SIGNS_UNICODE);
  char *order = rc_order_text(s->tune);
  GString *text = g_string_new(NULL);
  g_string_append_printf(text, "%s  ·  %u/%u", key, setting->meter.beats, setting->meter.unit);
  if (s->tune->rhythm) {
    g_string_append_printf(text, "  ·  %s", s->tune->rhythm);
  }
  append_tempo(text, s, setting->meter);
  g_string_append_printf(text, "  ·  %s", order);
  g_free(order);
  g_free(key);
  return g_string_free(text, FALSE);
}

// The worst verdict of each chord, by the first of the symbols that sound the same.
static RcVerdict *
worst_verdicts(const RcSheet *s)
{
  RcVerdict *worst = g_new0(RcVerdict, MAX(s->tune->symbols->len, 1));
  for (guint i = 0; i < s->chart->needs->len; ++i) {
    const RcNeed *need = &g_array_index(s->chart->needs, RcNeed, i);
    RcVerdict *known = &worst[rc_tune_symbol(s->tune, need->symbol)->same];
    *known = MAX(*known, need->answer.verdict);
  }
  return worst;
}

// Appends the names of the chords of one verdict.
static void
append_lacking(GString *text, const RcSheet *s, const RcVerdict *verdicts, RcVerdict verdict, const char *before)
{
  enum { MOST_NAMED = 3 };
  guint n = 0;
  for (guint i = 0; i < s->tune->symbols->len; ++i) {
    if (verdicts[i] == verdict && ++n <= MOST_NAMED) {
      char *name = rc_symbol_shown(rc_tune_symbol(s->tune, i), RC_SIGNS_UNICODE);
      g_string_append_printf(text, "%s%s", n > 1 ? ", " : before, name);
      g_free(name);
    }
  }
  if (n > MOST_NAMED) {
    g_string_append_printf(text, " and %u more", n - MOST_NAMED);
  }
}

// "Does not play on the 24", "One short on the 24"; empty where it plays.
static char *
verdict_text(const RcSheet *s)
{
  const RcCounts *counts = &s->chart->counts;
  if (counts->playable || !counts->tunes) {
    return g_strdup("");
  }
  return g_strdup_printf("%s on the %s", counts->one_short ? "One short" : "Does not play", s->layout->name);
}

// ": no grip for C♯dim, F♯7; only borrowed: B7."
static char *
lacking_text(const RcSheet *s)
{
  GString *text = g_string_new(NULL);
  RcVerdict *verdicts = worst_verdicts(s);
  for (guint v = RC_UNREAD; v > (guint)s->chart->accept; --v) {
    char *before = v == RC_UNREAD       ? g_strdup("not understood: ")
                   : v == RC_IMPOSSIBLE ? g_strdup("no grip for ")
                                        : g_strdup_printf("only %s: ", rc_verdict_word((RcVerdict)v));
    char *joined = g_strconcat(text->len ? "; " : ": ", before, NULL);
    append_lacking(text, s, verdicts, (RcVerdict)v, joined);
    g_free(joined);
    g_free(before);
  }
  g_string_append_c(text, '.');
  g_free(verdicts);
  return g_string_free(text, FALSE);
}

// Whether the tune plays, where it does not: with what is lacking in a line of its own, or to spare that line, alone at
// the right of the title where it has room.
static void
add_verdict(RcSheetFlow *flow)
{
  static const RcFace face = { 10, TRUE };
  static const RcFace title_face = { 17, TRUE }; // that of RC_TEXT_TITLE
  const RcSheet *s = flow->plan->sheet;
  char *verdict = verdict_text(s);
  const double width = rc_word_width(face, verdict);
  if (*verdict && flow->setting.tight && rc_word_width(title_face, s->tune->title) + width + 12 <= s->width) {
    rc_sheet_add(flow, RC_SHEET_TEXT, (RcBox){ s->width - width, 0, width, title_face.points * 1.3 }, face, verdict);
    ++flow->line;
  } else if (*verdict) {
    char *lacking = lacking_text(s);
    char *whole = g_strconcat(verdict, lacking, NULL);
    add_paragraph(flow, RC_SHEET_TEXT, RC_TEXT_STRONG, whole);
    g_free(whole);
    g_free(lacking);
  }
  g_free(verdict);
}

static void
add_heading(RcSheetFlow *flow)
{
  static const RcFace face = { 12, FALSE };
  char *facts = facts_text(flow->plan->sheet);
  const double width = flow->plan->sheet->width;
  add_paragraph(flow, RC_SHEET_TITLE, RC_TEXT_TITLE, flow->plan->sheet->tune->title);
  if (rc_word_width(face, facts) <= width) {
    rc_sheet_add(flow, RC_SHEET_TEXT, (RcBox){ 0, flow->y, width, face.points * 1.3 }, face, facts);
    ++flow->line;
    flow->y += face.points * 1.3;
  } else {
    add_paragraph(flow, RC_SHEET_TEXT, RC_TEXT_BODY, facts);
  }
  add_verdict(flow);
  flow->y += after_heading[flow->setting.tight];
  g_free(facts);
}

// ------------------------------------------------------------------------------------------------------ below the
// chart

static gboolean
has_kind(const RcSheetFlow *flow, RcSheetKind kind, const char *text)
{
  for (guint i = 0; i < flow->plan->items->len; ++i) {
    const RcSheetItem *item = &g_array_index(flow->plan->items, RcSheetItem, i);
    if (item->kind == kind && (!text || !strcmp(item->text, text))) {
      return TRUE;
    }
  }
  return FALSE;
}

static void
append_sentence(GString *text, gboolean add, const char *sentence)
{
  if (add) {
    g_string_append_printf(text, "%s%s", text->len ? " " : "", sentence);
  }
}

static gboolean
alternates(const RcSheetPlan *plan)
{
  for (guint i = 0; i < plan->marks->len; ++i) {
    if (!g_array_index(plan->marks, RcFingerMark, i).held) {
      return TRUE;
    }
  }
  return FALSE;
}

static gboolean
has_same(const RcSheetPlan *plan)
{
  for (guint i = 0; i < plan->stand_ins->n; ++i) {
    if (plan->stand_ins->needs[i]->answer.verdict == RC_SAME) {
      return TRUE;
    }
  }
  return FALSE;
}

static void
append_felt(GString *text, const RcLayout *layout)
{
  char *names = rc_felt_names(layout);
  char *sentence = g_strdup_printf("Inner ring: %s, to be felt.", names);
  append_sentence(text, *names, sentence);
  g_free(sentence);
  g_free(names);
}

// What the marks mean that occur.
static void
add_legend(RcSheetFlow *flow)
{
  const RcSheetPlan *plan = flow->plan;
  GString *text = g_string_new(NULL);
  append_sentence(text, has_kind(flow, RC_SHEET_BADGE, NULL), "A number in a circle: see the card with that number.");
  append_sentence(text, has_same(plan), "No words there: same notes.");
  append_sentence(text, has_kind(flow, RC_SHEET_SIGN, "×"), "×: no grip.");
  append_sentence(text, has_kind(flow, RC_SHEET_SIGN, "?"), "?: no chord symbol.");
  append_sentence(text, has_kind(flow, RC_SHEET_SIGN, "▸"), "▸: push.");
  append_sentence(text, has_kind(flow, RC_SHEET_SIGN, "◂"), "◂: pull.");
  append_sentence(text, has_kind(flow, RC_SHEET_SIGN, "◂▸"), "◂▸: now pull, now push.");
  append_sentence(text, plan->marks->len > 0,
                  plan->cards->len ? "Dark: used here; on a card, press together." : "Dark: used here.");
  append_sentence(text, plan->marks->len > 0, "2 index, 5 little finger.");
  append_sentence(text, alternates(plan), "Square: second bass of an alternating bass.");
  append_felt(text, plan->sheet->layout);
  append_sentence(text, rc_layout_has_bellows(plan->sheet->layout), "Halves of a button: push above, pull below.");
  append_sentence(text, TRUE, "Bellows above, chin to the right.");
  add_paragraph(flow, RC_SHEET_TEXT, RC_TEXT_NOTE, text->str);
  g_string_free(text, TRUE);
}

// "F♯7, bars 12 and 17"
static void
append_where(GString *text, const RcTune *tune, const RcNeed *need)
{
  char *name = rc_symbol_shown(rc_tune_symbol(tune, need->symbol), RC_SIGNS_UNICODE);
  char *bars = rc_bars_text(tune, need->bars, need->n_bars);
  g_string_append_printf(text, "%s, %s", name, bars);
  g_free(bars);
  g_free(name);
}

// Whether a need belongs into a line below the chart.
typedef gboolean (*NeedTest)(const RcSheet *sheet, const RcNeed *need);

static gboolean
has_bass_alone(const RcSheet *sheet, const RcNeed *need)
{
  return need->answer.verdict == RC_IMPOSSIBLE &&
         rc_last_resort(sheet->layout, &rc_tune_symbol(sheet->tune, need->symbol)->chord).bass;
}

static gboolean
has_nothing(const RcSheet *sheet, const RcNeed *need)
{
  return need->answer.verdict == RC_IMPOSSIBLE && !has_bass_alone(sheet, need);
}

static gboolean
is_unread(const RcSheet *sheet G_GNUC_UNUSED, const RcNeed *need)
{
  return need->answer.verdict == RC_UNREAD;
}

static void
add_needs(RcSheetFlow *flow, const char *before, NeedTest test)
{
  const RcSheet *sheet = flow->plan->sheet;
  GString *text = g_string_new(NULL);
  for (guint i = 0; i < sheet->chart->needs->len; ++i) {
    const RcNeed *need = &g_array_index(sheet->chart->needs, RcNeed, i);
    if (test(sheet, need)) {
      g_string_append(text, text->len ? "; " : before);
      append_where(text, sheet->tune, need);
    }
  }
  if (text->len) {
    g_string_append_c(text, '.');
    add_paragraph(flow, RC_SHEET_TEXT, RC_TEXT_STRONG, text->str);
  }
  g_string_free(text, TRUE);
}

static void
add_bellows(RcSheetFlow *flow)
{
  const RcSheet *sheet = flow->plan->sheet;
  char *note = rc_board_note(sheet->layout, sheet->chart->melody);
  if (rc_layout_has_bellows(sheet->layout) && sheet->chart->counts.tunes) {
    char *turns = rc_turns_text(sheet->chart);
    add_paragraph(flow, RC_SHEET_TEXT, RC_TEXT_BODY, turns);
    g_free(turns);
  }
  if (*note) {
    add_paragraph(flow, RC_SHEET_TEXT, RC_TEXT_BODY, note);
  }
  g_free(note);
}

static void
add_doubts(RcSheetFlow *flow)
{
  GPtrArray *texts = rc_doubt_texts(flow->plan->sheet->tune, FALSE, RC_SIGNS_UNICODE);
  for (guint i = 0; i < texts->len; ++i) {
    char *remark = g_strconcat("Remark: ", (const char *)g_ptr_array_index(texts, i), NULL);
    add_paragraph(flow, RC_SHEET_TEXT, RC_TEXT_BODY, remark);
    g_free(remark);
  }
  g_ptr_array_unref(texts);
}

static void
add_hard(RcSheetFlow *flow)
{
  GPtrArray *texts = rc_hard_texts(flow->plan->sheet->tune, flow->plan->sheet->chart, RC_SIGNS_UNICODE);
  GString *text = g_string_new("Practise slowly: ");
  for (guint i = 0; i < texts->len; ++i) {
    g_string_append_printf(text, "%s%s", i ? "; " : "", (const char *)g_ptr_array_index(texts, i));
  }
  if (texts->len) {
    g_string_append_c(text, '.');
    add_paragraph(flow, RC_SHEET_TEXT, RC_TEXT_BODY, text->str);
  }
  g_string_free(text, TRUE);
  g_ptr_array_unref(texts);
}

static void
add_notes(RcSheetFlow *flow)
{
  flow->y += after_chart;
  if (!flow->plan->sheet->chart->counts.tunes) {
    add_paragraph(flow, RC_SHEET_TEXT, RC_TEXT_BODY, "The tune has no chords.");
  }
  add_needs(flow, "Leave out, or hold the bass: ", has_bass_alone);
  add_needs(flow, "Leave out: ", has_nothing);
  add_needs(flow, "Not understood: ", is_unread);
  add_legend(flow);
  add_bellows(flow);
  add_doubts(flow);
  add_hard(flow);
}

// ------------------------------------------------------------------------------------------------------------- bottom

static void
add_board(RcSheetFlow *flow)
{
  const RcSheet *sheet = flow->plan->sheet;
  const double above = above_board[flow->setting.tight];
  RcBox box = rc_hand_board_box(sheet->layout, 0, 0);
  rc_sheet_need(flow, above + box.height);
  box.x = (sheet->width - box.width) / 2;
  box.y = flow->y + above;
  rc_sheet_add(flow, RC_SHEET_BOARD, box, (RcFace){ 0, FALSE }, "");
  ++flow->line;
  flow->y = box.y + box.height + (flow->plan->cards->len ? below_board[flow->setting.tight] : 0);
}

static void
add_cards(RcSheetFlow *flow)
{
  const GArray *cards = flow->plan->cards;
  RcGripGrid grid;
  rc_grip_grid_start(&grid, flow->plan->sheet->width, flow->y);
  for (guint i = 0; i < cards->len && !rc_sheet_is_full(flow); ++i) {
    const RcGripCard *card = &g_array_index(cards, RcGripCard, i);
    const guint page = flow->page;
    RcBox box = rc_grip_grid_find(&grid, card);
    rc_sheet_need(flow, box.y - flow->y + box.height);
    if (flow->page != page) {
      rc_grip_grid_start(&grid, flow->plan->sheet->width, flow->y);
      box = rc_grip_grid_find(&grid, card);
    }
    rc_sheet_add(flow, RC_SHEET_CARD, box, (RcFace){ 0, FALSE }, "")->index = i;
    rc_grip_grid_take(&grid, &box);
    ++flow->line;
  }
  flow->y = rc_grip_grid_end(&grid);
}

static void
append_numbers(GString *text, const RcSheetPlan *plan, RcHint hint)
{
  guint n = 0;
  for (guint i = 0; i < plan->stand_ins->n; ++i) {
    const RcNeed *need = plan->stand_ins->needs[i];
    const RcSymbol *symbol = rc_tune_symbol(plan->sheet->tune, need->symbol);
    if (rc_hint(&symbol->chord, &need->answer, need->wide) == hint) {
      g_string_append_printf(text, "%s%u", n++ ? ", " : "", i + 1);
    }
  }
}

// What is to be minded with some of the cards, each once.
static void
add_hints(RcSheetFlow *flow)
{
  static const struct {
    RcHint hint;
    const char *text;
  } hints[] = { { RC_HINT_WIDE, "wide; do not force the stretch, stop if it hurts, and ask a teacher or a doctor" },
                { RC_HINT_LIGHT, "lean on the bass and keep the chord light" },
                { RC_HINT_BRISK, "a bare bass, only because the chord goes by fast" },
                { RC_HINT_MAKESHIFT, "a makeshift; play it short and soft, and listen whether it passes" } };
  GString *text = g_string_new(NULL);
  for (guint i = 0; i < G_N_ELEMENTS(hints); ++i) {
    GString *numbers = g_string_new(NULL);
    append_numbers(numbers, flow->plan, hints[i].hint);
    if (numbers->len) {
      g_string_append_printf(text, "%sCard%s %s: %s.", text->len ? " " : "", strchr(numbers->str, ',') ? "s" : "",
                             numbers->str, hints[i].text);
    }
    g_string_free(numbers, TRUE);
  }
  if (text->len) {
    add_paragraph(flow, RC_SHEET_TEXT, RC_TEXT_BODY, text->str);
  }
  g_string_free(text, TRUE);
}

static void
add_bottom(RcSheetFlow *flow)
{
  flow->above = RC_SHEET_BOTTOM;
  add_board(flow);
  add_cards(flow);
  add_hints(flow);
}

// ------------------------------------------------------------------------------------------------- cards and fingers

// "adds A", "bare: without F♯", "▸ push"; nothing where the notes are the same.
static char *
card_note(const RcSheet *s, const RcNeed *need)
{
  static const char *const arrows[] = { "", "▸ push", "◂ pull" };
  char *differences = rc_need_differences(s->layout, s->tune, need, RC_SIGNS_UNICODE);
  const char *arrow = arrows[rc_grip_bellows(s->layout, &need->answer.grip)];
  const gboolean named = need->answer.verdict >= RC_BARE;
  char *note =
    g_strdup_printf("%s%s%s%s%s", named ? rc_verdict_word(need->answer.verdict) : "", named && *differences ? ": " : "",
                    differences, *arrow && (*differences || named) ? ", " : "", arrow);
  g_free(differences);
  return note;
}

static GArray *
make_cards(const RcSheetPlan *plan)
{
  const RcSheet *s = plan->sheet;
  GArray *cards = rc_grip_cards_new();
  for (guint i = 0; i < plan->stand_ins->n; ++i) {
    const RcNeed *need = plan->stand_ins->needs[i];
    const RcGripCard card = { .layout = s->layout,
                              .number = i + 1,
                              .name = rc_symbol_shown(rc_tune_symbol(s->tune, need->symbol), RC_SIGNS_UNICODE),
                              .note = card_note(s, need),
                              .press = rc_need_press(s->layout, need, RC_SIGNS_UNICODE) };
    rc_grip_cards_add(cards, s->width, card, &need->answer.grip, &need->fingers, &need->second);
  }
  return cards;
}

static guint
finger_bit(const RcLayout *layout, guint finger)
{
  const guint of_player = rc_finger_of_player(layout, finger);
  return of_player ? 1U << of_player : 0;
}

// Notes what a need does with its buttons.
static void
touch(const RcLayout *layout, const RcNeed *need, RcFingerMark *marks)
{
  const RcGrip *grip = &need->answer.grip;
  for (guint i = 0; i < rc_grip_count(grip); ++i) {
    RcFingerMark *mark = &marks[rc_grip_button(grip, i)];
    mark->fingers = (mark->held ? mark->fingers : 0) | finger_bit(layout, rc_grip_finger(grip, &need->fingers, i));
    mark->held = TRUE;
  }
}

static void
touch_second(const RcLayout *layout, const RcNeed *need, RcFingerMark *marks, gboolean *alternating)
{
  RcFingerMark *mark = &marks[need->second.button];
  if (need->second.found && !mark->held) {
    mark->fingers |= finger_bit(layout, need->second.finger);
    alternating[need->second.button] = TRUE;
  }
}

static GArray *
make_marks(const RcSheet *s)
{
  const guint n = s->layout->buttons->len;
  RcFingerMark *marks = g_new0(RcFingerMark, MAX(n, 1));
  gboolean *alternating = g_new0(gboolean, MAX(n, 1));
  GArray *all = g_array_new(FALSE, FALSE, sizeof(RcFingerMark));
  for (guint i = 0; i < s->chart->needs->len; ++i) {
    touch(s->layout, &g_array_index(s->chart->needs, RcNeed, i), marks);
  }
  for (guint i = 0; i < s->chart->needs->len; ++i) {
    touch_second(s->layout, &g_array_index(s->chart->needs, RcNeed, i), marks, alternating);
  }
  for (guint i = 0; i < n; ++i) {
    marks[i].button = i;
    if (marks[i].held || alternating[i]) {
      g_array_append_val(all, marks[i]);
    }
  }
  g_free(alternating);
  g_free(marks);
  return all;
}

// ------------------------------------------------------------------------------------------------------- all together

static double
label_width(const RcTune *tune)
{
  double width = least_label;
  for (guint i = 0; i < MIN(tune->parts->len, 64); ++i) {
    width = MAX(width, rc_word_width((RcFace){ 10, TRUE }, g_array_index(tune->parts, RcPart, i).label) + 14);
  }
  return MIN(width, most_label);
}

// Columns that are too high leave no room for anything else, so that they do not make one page.
static void
add_words(RcSheetFlow *flow)
{
  if (flow->setting.columns == 1) {
    rc_sheet_add_song(flow);
  } else if (!rc_sheet_add_song_in_columns(flow)) {
    flow->y = flow->plan->sheet->height;
  }
}

// Plans everything anew in one setting.
static void
plan_in(RcSheetFlow *flow, RcSheetSetting setting)
{
  const RcTune *tune = flow->plan->sheet->tune;
  g_array_set_size(flow->plan->items, 0);
  flow->setting = setting;
  flow->y = 0;
  flow->page = flow->line = flow->above = 0;
  g_array_set_size(flow->breaks, 0);
  add_heading(flow);
  if (tune->lines->len) {
    add_words(flow);
  }
  for (guint i = 0; i < tune->parts->len && !tune->lines->len && !rc_sheet_is_full(flow); ++i) {
    rc_sheet_add_bars(flow, &g_array_index(tune->parts, RcPart, i));
  }
  add_notes(flow);
  add_bottom(flow);
  flow->plan->pages = flow->page + 1;
}

// Words as large as one page allows, in two columns where one does not do; or else of a middle size.
static void
plan_song(RcSheetFlow *flow, RcSheetSetting setting)
{
  static const struct {
    double chords;
    double words;
    guint columns;
  } tries[] = { { 18, 14, 1 },   { 16, 13, 1 },   { 14, 12, 1 },   { 14, 12, 2 },
                { 12.5, 11, 1 }, { 12.5, 11, 2 }, { 11, 10.5, 1 }, { 11, 10.5, 2 } };
  enum { MIDDLE = 2, HOPELESS = 6 };
  for (guint i = 0; i < G_N_ELEMENTS(tries) && flow->plan->pages < HOPELESS; ++i) {
    plan_in(flow, (RcSheetSetting){ setting.across, setting.beside, i > 0, tries[i].columns, tries[i].chords,
                                    tries[i].words });
    if (flow->plan->pages == 1) {
      return;
    }
  }
  plan_in(flow,
          (RcSheetSetting){ setting.across, setting.beside, FALSE, 1, tries[MIDDLE].chords, tries[MIDDLE].words });
}

static guint
count_bars(const RcTune *tune)
{
  return tune->bars->len ? rc_tune_bar_number(tune, tune->bars->len - 1) : 0;
}

static RcSheetSetting
tightened(RcSheetSetting setting)
{
  setting.tight = TRUE;
  setting.chords = MIN(setting.chords, 18);
  return setting;
}

// The usual setting, unless another spares a page: first with less air, then with eight bars a line.
static void
plan_chart(RcSheetFlow *flow)
{
  enum { FEW = 4, MANY = 8, MOST_TRIES = 4, HOPELESS = 4 };
  const gboolean few = count_bars(flow->plan->sheet->tune) <= RC_SHEET_FEW_BARS;
  const RcSheetSetting usual = rc_sheet_choose_setting(flow, few ? FEW : MANY);
  const RcSheetSetting dense = few ? rc_sheet_choose_setting(flow, MANY) : usual;
  const RcSheetSetting tries[MOST_TRIES] = { usual, tightened(usual), dense, tightened(dense) };
  guint best = 0;
  guint fewest = G_MAXUINT;
  for (guint i = 0; i < MOST_TRIES && fewest > 1 && (!i || fewest < HOPELESS); ++i) {
    plan_in(flow, tries[i]);
    best = flow->plan->pages < fewest ? i : best;
    fewest = MIN(fewest, flow->plan->pages);
  }
  if (fewest > 1 && fewest < HOPELESS) {
    plan_in(flow, tries[best]);
  }
}

// On a single page the lines of the chart spread, and what belongs at the bottom is put there.
static void
spread(RcSheetFlow *flow, guint lines)
{
  const double left = flow->plan->sheet->height - flow->y;
  const double each = lines ? MIN(left / (lines + 1), most_spread) : 0;
  for (guint i = 0; i < flow->plan->items->len; ++i) {
    RcSheetItem *item = &g_array_index(flow->plan->items, RcSheetItem, i);
    item->box.y += item->above == RC_SHEET_BOTTOM ? left : item->above * each;
  }
}

static guint
count_lines(const RcSheetPlan *plan)
{
  guint lines = 0;
  for (guint i = 0; i < plan->items->len; ++i) {
    const guint above = g_array_index(plan->items, RcSheetItem, i).above;
    lines = above == RC_SHEET_BOTTOM ? lines : MAX(lines, above);
  }
  return lines;
}

RcSheetPlan *
rc_sheet_plan_new(const RcSheet *sheet)
{
  RcSheetPlan *plan = g_new0(RcSheetPlan, 1);
  plan->sheet = sheet;
  plan->texts = g_string_chunk_new(1024);
  plan->items = g_array_new(FALSE, FALSE, sizeof(RcSheetItem));
  plan->stand_ins = rc_stand_ins_new(sheet->tune, sheet->chart);
  plan->cards = make_cards(plan);
  plan->marks = make_marks(sheet);
  RcSheetFlow flow = { .plan = plan,
                       .label_width = label_width(sheet->tune),
                       .right = sheet->width,
                       .breaks = g_array_new(FALSE, FALSE, sizeof(RcSheetBreak)),
                       .symbols = g_new0(RcSheetSymbol, MAX(sheet->tune->symbols->len, 1)) };
  flow.indent = flow.label_width;
  flow.sung = rc_sheet_measure_song(&flow);
  if (sheet->tune->lines->len) {
    plan_song(&flow, rc_sheet_choose_setting(&flow, 8));
  } else {
    plan_chart(&flow);
  }
  if (plan->pages == 1) {
    spread(&flow, count_lines(plan));
  }
  g_ptr_array_unref(flow.sung);
  g_array_unref(flow.breaks);
  g_free(flow.symbols);
  return plan;
}

void
rc_sheet_plan_free(RcSheetPlan *plan)
{
  if (plan) {
    rc_stand_ins_free(plan->stand_ins);
    g_array_unref(plan->items);
    g_array_unref(plan->cards);
    g_array_unref(plan->marks);
    g_string_chunk_free(plan->texts);
    g_free(plan);
  }
}
