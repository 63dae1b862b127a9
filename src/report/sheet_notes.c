// Copyright 2026 the rowcall developers
// SPDX-License-Identifier: MIT

// What is said below the chart of a sheet: what to leave out, what its marks mean, and what to mind.

#include "report/caption_text.h"
#include "report/doubt_text.h"
#include "report/need_text.h"
#include "report/sheet_flow.h"

#include <string.h>

static const double after_chart = 4; // points

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

// Whether no finger is named for a second bass.
static gboolean
moves_for_second(const RcSheetPlan *plan)
{
  for (guint i = 0; i < plan->marks->len; ++i) {
    const RcFingerMark *mark = &g_array_index(plan->marks, RcFingerMark, i);
    if (!mark->held && !mark->fingers) {
      return TRUE;
    }
  }
  return FALSE;
}

static gboolean
is_same(const RcStandIn *stand_in)
{
  for (guint i = 0; i < stand_in->n; ++i) {
    if (stand_in->needs[i]->answer.verdict != RC_SAME) {
      return FALSE;
    }
  }
  return TRUE;
}

static gboolean
has_same(const RcStandIns *all)
{
  for (guint i = 0; i < all->n; ++i) {
    if (is_same(&all->list[i])) {
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

// Whether a chord is written H, or B where it is B flat.
static gboolean
is_german(const RcSymbol *symbol)
{
  const char *text = symbol->text;
  const gboolean flat =
    rc_note_pc(symbol->chord.root) == 10 && *text == 'B' && text[1] != 'b' && !g_str_has_prefix(text + 1, "♭");
  return symbol->kind == RC_SYMBOL_CHORD && (flat || strchr(text, 'H'));
}

static gboolean
has_german(const RcTune *tune)
{
  for (guint i = 0; i < tune->symbols->len; ++i) {
    if (is_german(rc_tune_symbol(tune, i))) {
      return TRUE;
    }
  }
  return FALSE;
}

// What the marks mean that occur, and names that the keyboard has for other notes.
static void
add_legend(RcSheetFlow *flow)
{
  const RcSheetPlan *plan = flow->plan;
  GString *text = g_string_new(NULL);
  append_sentence(text, has_german(plan->sheet->tune),
                  "Chords are written in German: H is B on the keyboard, B is B♭.");
  append_sentence(text, has_kind(flow, RC_SHEET_BADGE, NULL), "A number in a circle: see below.");
  append_sentence(text, has_same(plan->stand_ins), "No words there: same notes.");
  append_sentence(text, has_kind(flow, RC_SHEET_SIGN, "×"), "×: no grip.");
  append_sentence(text, has_kind(flow, RC_SHEET_SIGN, "?"), "?: no chord symbol.");
  append_sentence(text, has_kind(flow, RC_SHEET_SIGN, "▸"), "▸: push.");
  append_sentence(text, has_kind(flow, RC_SHEET_SIGN, "◂"), "◂: pull.");
  append_sentence(text, has_kind(flow, RC_SHEET_SIGN, "◂▸"), "◂▸: now pull, now push.");
  append_sentence(text, plan->marks->len > 0,
                  plan->cards->len ? "Dark: used here; on a card, press together." : "Dark: used here.");
  append_sentence(text, plan->marks->len > 0, "2 index, 5 little finger.");
  append_sentence(text, alternates(plan),
                  moves_for_second(plan)
                    ? "Frame: second bass of an alternating bass; without a number the hand moves for it."
                    : "Frame: second bass of an alternating bass.");
  append_felt(text, plan->sheet->layout);
  append_sentence(text, rc_layout_has_bellows(plan->sheet->layout), "Halves of a button: push above, pull below.");
  append_sentence(text, TRUE, "Bellows above, chin to the right.");
  rc_sheet_add_paragraph(flow, RC_SHEET_TEXT, RC_TEXT_NOTE, text->str);
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
    rc_sheet_add_paragraph(flow, RC_SHEET_TEXT, RC_TEXT_STRONG, text->str);
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
    rc_sheet_add_paragraph(flow, RC_SHEET_TEXT, RC_TEXT_BODY, turns);
    g_free(turns);
  }
  if (*note) {
    rc_sheet_add_paragraph(flow, RC_SHEET_TEXT, RC_TEXT_BODY, note);
  }
  g_free(note);
}

static void
add_doubts(RcSheetFlow *flow)
{
  GPtrArray *texts = rc_doubt_texts(flow->plan->sheet->tune, FALSE, RC_SIGNS_UNICODE);
  for (guint i = 0; i < texts->len; ++i) {
    char *remark = g_strconcat("Remark: ", (const char *)g_ptr_array_index(texts, i), NULL);
    rc_sheet_add_paragraph(flow, RC_SHEET_TEXT, RC_TEXT_BODY, remark);
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
    rc_sheet_add_paragraph(flow, RC_SHEET_TEXT, RC_TEXT_BODY, text->str);
  }
  g_string_free(text, TRUE);
  g_ptr_array_unref(texts);
}

void
rc_sheet_add_notes(RcSheetFlow *flow)
{
  flow->y += after_chart;
  if (!flow->plan->sheet->chart->counts.tunes) {
    rc_sheet_add_paragraph(flow, RC_SHEET_TEXT, RC_TEXT_BODY, "The tune has no chords.");
  }
  add_needs(flow, "Leave out, or hold the bass: ", has_bass_alone);
  add_needs(flow, "Leave out: ", has_nothing);
  add_needs(flow, "Not understood: ", is_unread);
  add_legend(flow);
  add_bellows(flow);
  add_doubts(flow);
  add_hard(flow);
}
