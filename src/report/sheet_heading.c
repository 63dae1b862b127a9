// Copyright 2026 the rowcall developers
// SPDX-License-Identifier: MIT

// The top of a sheet: its title, what is to be known before playing, and whether the tune plays.

#include "report/format.h"
#include "report/need_text.h"
#include "report/sheet_flow.h"

static const double after_heading[] = { 10, 6, 5 }; // points: roomy, tight, close

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
  if (*verdict && flow->setting.air && rc_word_width(title_face, s->tune->title) + width + 12 <= s->width) {
    rc_sheet_add(flow, RC_SHEET_TEXT, (RcBox){ s->width - width, 0, width, title_face.points * 1.3 }, face, verdict);
    ++flow->line;
  } else if (*verdict) {
    char *lacking = lacking_text(s);
    char *whole = g_strconcat(verdict, lacking, NULL);
    rc_sheet_add_paragraph(flow, RC_SHEET_TEXT, RC_TEXT_STRONG, whole);
    g_free(whole);
    g_free(lacking);
  }
  g_free(verdict);
}

void
rc_sheet_add_heading(RcSheetFlow *flow)
{
  static const RcFace face = { 12, FALSE };
  char *facts = facts_text(flow->plan->sheet);
  const double width = flow->plan->sheet->width;
  rc_sheet_add_paragraph(flow, RC_SHEET_TITLE, RC_TEXT_TITLE, flow->plan->sheet->tune->title);
  if (rc_word_width(face, facts) <= width) {
    rc_sheet_add(flow, RC_SHEET_TEXT, (RcBox){ 0, flow->y, width, face.points * 1.3 }, face, facts);
    ++flow->line;
    flow->y += face.points * 1.3;
  } else {
    rc_sheet_add_paragraph(flow, RC_SHEET_TEXT, RC_TEXT_BODY, facts);
  }
  add_verdict(flow);
  flow->y += after_heading[flow->setting.air];
  g_free(facts);
}
