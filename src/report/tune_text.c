// Copyright 2026 the rowcall developers
// SPDX-License-Identifier: MIT

#include "report/doubt_text.h"
#include "report/format.h"
#include "report/need_text.h"
#include "report/tune_text.h"

#include <math.h>

#define U64 G_GUINT64_FORMAT

// ------------------------------------------------------------------------------------------------------- the heading

static const char *const tempo_sources[] = {
  [RC_TEMPO_NONE] = "untimed",
  [RC_TEMPO_STATED] = "as stated",
  [RC_TEMPO_RHYTHM] = "assumed from the rhythm",
  [RC_TEMPO_TITLE] = "assumed from the title",
  [RC_TEMPO_GROUP] = "assumed from the group",
  [RC_TEMPO_FILE] = "assumed from the file's name",
  [RC_TEMPO_METER] = "assumed from the meter",
  [RC_TEMPO_GIVEN] = "as given for all tunes",
};

static void
append_heading(GString *out, const RcTune *tune, const RcChart *chart)
{
  char *key = rc_tune_key(tune, RC_SIGNS_ASCII);
  char *place = g_strdup_printf("%s:%u", tune->file, tune->line);
  GString *line = g_string_new(NULL);
  g_string_append_printf(line, "%s, %u/%u, ", key, rc_tune_setting(tune, 0)->meter.beats,
                         rc_tune_setting(tune, 0)->meter.unit);
  if (chart->tempo.source != RC_TEMPO_NONE && !tune->unmeasured) {
    char *tempo = rc_tempo_text(chart->tempo, rc_tune_setting(tune, 0)->meter);
    g_string_append_printf(line, "%s, ", tempo);
    g_free(tempo);
  }
  g_string_append(line, tune->unmeasured ? "chords without lengths" : tempo_sources[chart->tempo.source]);
  if (!tune->unmeasured && rc_tempo_is_assumed(chart->tempo) && tune->dance) {
    g_string_append_printf(line, " (%s)", tune->dance);
  }
  rc_append_wrapped(out, tune->title, 0);
  rc_append_wrapped(out, line->str, 0);
  g_string_append_printf(out, "%s\n", place);
  g_string_free(line, TRUE);
  g_free(place);
  g_free(key);
}

static void
append_verdict(GString *out, const RcLayout *layout, const RcChart *chart)
{
  const RcCounts *counts = &chart->counts;
  const guint64 chords = rc_counts_chords(counts);
  GString *text = g_string_new(NULL);
  g_string_append_printf(text, "On %s: ", layout->name);
  if (!counts->tunes) {
    g_string_append(text, "the tune holds no chord.");
  } else if (counts->native) {
    g_string_append_printf(text, "%" U64 " chord%s as played, %s.", chords, chords == 1 ? "" : "s",
                           chords == 1 ? "native" : "all native");
  } else {
    g_string_append_printf(text, "%" U64 " chord%s as played", chords, chords == 1 ? "" : "s");
    const char *between = ": ";
    for (guint i = 0; i < RC_N_VERDICTS; ++i) {
      if (counts->chords[i]) {
        g_string_append_printf(text, "%s%" U64 " %s", between, counts->chords[i], rc_verdict_name((RcVerdict)i));
        between = ", ";
      }
    }
    g_string_append(text, counts->playable ? ". Playable." : ". Not playable throughout.");
  }
  rc_append_wrapped(out, text->str, 0);
  g_string_free(text, TRUE);
}

// ------------------------------------------------------------------------------------------------------- bar by bar

static void
append_chart(GString *out, const RcTune *tune, const RcChart *chart)
{
  if (tune->lines->len) {
    rc_append_song(out, tune, chart);
    return;
  }
  for (guint i = 0; i < tune->parts->len; ++i) {
    rc_append_bars(out, tune, chart, &g_array_index(tune->parts, RcPart, i));
  }
}

static void
append_order(GString *out, const RcTune *tune)
{
  char *order = rc_order_text(tune);
  rc_append_wrapped(out, order, 0);
  g_free(order);
}

// --------------------------------------------------------------------------------------------------- what to press

static void
append_clause(GString *text, const char *before, char *clause)
{
  if (clause && *clause) {
    g_string_append_printf(text, "; %s%s", before, clause);
  }
  g_free(clause);
}

static char *
advice(const RcLayout *layout, const RcTune *tune, const RcNeed *need)
{
  const RcSymbol *symbol = rc_tune_symbol(tune, need->symbol);
  GString *text = g_string_new(NULL);
  if (need->answer.verdict == RC_UNREAD) {
    g_string_append_printf(text, "no chord symbol: not understood from character %ld on",
                           g_utf8_strlen(symbol->text, (gssize)symbol->stopped_at) + 1);
    return g_string_free(text, FALSE);
  }
  if (need->answer.verdict == RC_IMPOSSIBLE) {
    char *last = rc_last_resort_text(layout, &symbol->chord, RC_SIGNS_ASCII);
    g_string_append_printf(text, "no grip: %s", last);
    g_free(last);
    return g_string_free(text, FALSE);
  }
  char *press = rc_need_press(layout, need, RC_SIGNS_ASCII);
  g_string_append(text, press);
  g_free(press);
  append_clause(text, "", rc_need_differences(layout, tune, need, RC_SIGNS_ASCII));
  append_clause(text, "alternating: ", rc_need_second(layout, need, RC_SIGNS_ASCII));
  if (need->sounds.verdict < RC_IMPOSSIBLE) {
    append_clause(text, need->sounds.verdict == RC_NATIVE ? "in place of the native " : "in place of ",
                  rc_grip_describe(layout, &need->sounds.grip, RC_SIGNS_ASCII));
  }
  return g_string_free(text, FALSE);
}

static guint
longest_symbol(const RcTune *tune, const RcCards *cards)
{
  guint longest = 5;
  for (guint i = 0; i < cards->n; ++i) {
    if (cards->cards[i].lacking) {
      longest = MAX(longest, (guint)g_utf8_strlen(rc_tune_symbol(tune, cards->cards[i].symbol)->text, -1));
    }
  }
  return MIN(longest, 16);
}

// A line for each way to play the chord; where there are several, with the bars that are played so.
static void
append_card(GString *out, const RcLayout *layout, const RcTune *tune, const RcCard *card, guint width)
{
  for (guint i = 0; i < card->n; ++i) {
    const RcNeed *need = card->cases[i];
    char *what = advice(layout, tune, need);
    GString *text = g_string_new(what);
    if (card->n > 1) {
      append_clause(text, "", rc_bars_text(tune, need->bars, need->n_bars));
    }
    g_string_append(out, "  ");
    rc_append_padded(out, i ? "" : rc_tune_symbol(tune, card->symbol)->text, width);
    g_string_append_printf(out, "  %-5s %4" U64 "  ", rc_verdict_mark(need->answer.verdict), need->times);
    rc_append_wrapped(out, text->str, 2 + width + 2 + 5 + 1 + 4 + 2);
    g_string_free(text, TRUE);
    g_free(what);
  }
}

static void
append_cards(GString *out, const RcLayout *layout, const RcTune *tune, const RcChart *chart)
{
  if (chart->counts.native || !chart->counts.tunes) {
    return;
  }
  RcCards *cards = rc_cards_new(tune, chart);
  const guint width = longest_symbol(tune, cards);
  g_string_append(out, "\n  ");
  rc_append_padded(out, "chord", width);
  g_string_append(out, "  grade times press\n");
  for (guint i = 0; i < cards->n; ++i) {
    if (cards->cards[i].lacking) {
      append_card(out, layout, tune, &cards->cards[i], width);
    }
  }
  rc_cards_free(cards);
}

// ---------------------------------------------------------------------------------------------------------- the hand

static gboolean
same_fingers(const RcNeed *a, const RcNeed *b)
{
  return a->fingers.basses[0] == b->fingers.basses[0] && a->fingers.chords[0] == b->fingers.chords[0];
}

// The native chords from `first` on that are held by the same fingers, unless one before it has said so.
static void
append_alike(GString *text, const RcLayout *layout, const RcTune *tune, const RcChart *chart, guint first)
{
  const RcNeed *needs = &g_array_index(chart->needs, RcNeed, 0);
  for (guint i = 0; i < first; ++i) {
    if (needs[i].answer.verdict == RC_NATIVE && same_fingers(&needs[i], &needs[first])) {
      return;
    }
  }
  g_string_append_printf(text, "%s %u and %u:", text->str[text->len - 1] == ':' ? "" : ";",
                         rc_finger_of_player(layout, needs[first].fingers.basses[0]),
                         rc_finger_of_player(layout, needs[first].fingers.chords[0]));
  for (guint i = first; i < chart->needs->len; ++i) {
    if (needs[i].answer.verdict == RC_NATIVE && same_fingers(&needs[i], &needs[first])) {
      g_string_append_printf(text, " %s%s", rc_tune_symbol(tune, needs[i].symbol)->text,
                             rc_bellows_arrow(rc_grip_bellows(layout, &needs[i].answer.grip)));
    }
  }
}

static void
append_native_fingers(GString *out, const RcLayout *layout, const RcTune *tune, const RcChart *chart)
{
  GString *text = g_string_new("Native, fingers of bass and chord:");
  for (guint i = 0; i < chart->needs->len; ++i) {
    if (g_array_index(chart->needs, RcNeed, i).answer.verdict == RC_NATIVE) {
      append_alike(text, layout, tune, chart, i);
    }
  }
  if (chart->counts.chords[RC_NATIVE]) {
    rc_append_wrapped(out, text->str, 0);
  }
  g_string_free(text, TRUE);
}

// "1.5 m", or "48 cm" of less than a metre; a new string.
static char *
way_text(double mm)
{
  char metres[G_ASCII_DTOSTR_BUF_SIZE];
  g_ascii_formatd(metres, sizeof metres, "%.1f", mm / 1000);
  return mm < 1000 ? g_strdup_printf("%.0f cm", mm / 10) : g_strdup_printf("%s m", metres);
}

static void
append_travel(GString *out, const RcLayout *layout, const RcChart *chart)
{
  GString *text = g_string_new(NULL);
  if (chart->longest > 0) {
    char *way = way_text(chart->travel);
    g_string_append_printf(text, "The hand travels %s, at most %.0f mm at once", way, chart->longest);
    g_free(way);
  } else {
    g_string_append(text, "The hand stays where it is");
  }
  if (fabs(chart->sounds - chart->travel) >= 50) {
    char *way = way_text(chart->sounds);
    g_string_append_printf(text, "; by sound alone it would travel %s", way);
    g_free(way);
  }
  g_string_append_c(text, '.');
  if (rc_layout_has_bellows(layout)) {
    char *turns = rc_turns_text(chart);
    g_string_append_printf(text, " %s", turns);
    g_free(turns);
  }
  rc_append_wrapped(out, text->str, 0);
  g_string_free(text, TRUE);
}

static gboolean
is_wide(const RcChart *chart)
{
  for (guint i = 0; i < chart->hard->len; ++i) {
    if (g_array_index(chart->hard, RcHardSpot, i).kind == RC_HARD_WIDE) {
      return TRUE;
    }
  }
  return FALSE;
}

static void
append_note(GString *out, const RcLayout *layout, const RcChart *chart)
{
  char *note = rc_board_note(layout, chart->melody);
  if (*note) {
    rc_append_wrapped(out, note, 0);
  }
  g_free(note);
}

static void
append_hard(GString *out, const RcTune *tune, const RcChart *chart)
{
  enum { MOST = 8 };
  GPtrArray *texts = rc_hard_texts(tune, chart, RC_SIGNS_ASCII);
  for (guint i = 0; i < MIN(texts->len, MOST); ++i) {
    g_string_append(out, i ? "            " : "Hard spots: ");
    rc_append_wrapped(out, g_ptr_array_index(texts, i), 12);
  }
  if (texts->len > MOST) {
    g_string_append_printf(out, "            ... and %u more; json holds all\n", texts->len - MOST);
  }
  if (is_wide(chart)) {
    rc_append_wrapped(out, rc_hint_text(RC_HINT_WIDE), 0);
  }
  g_ptr_array_unref(texts);
}

static void
append_doubts(GString *out, const RcTune *tune)
{
  enum { MOST = 8 };
  GPtrArray *texts = rc_doubt_texts(tune, TRUE, RC_SIGNS_ASCII);
  for (guint i = 0; i < MIN(texts->len, MOST); ++i) {
    g_string_append(out, i ? "         " : "Remarks: ");
    rc_append_wrapped(out, g_ptr_array_index(texts, i), 9);
  }
  if (texts->len > MOST) {
    g_string_append_printf(out, "         ... and %u more; json holds all\n", texts->len - MOST);
  }
  g_ptr_array_unref(texts);
}

static void
append_table(GString *out, const RcLayout *layout, const RcTune *tune, const RcChart *chart)
{
  append_heading(out, tune, chart);
  append_verdict(out, layout, chart);
  g_string_append_c(out, '\n');
  append_chart(out, tune, chart);
  append_order(out, tune);
  append_doubts(out, tune);
  append_cards(out, layout, tune, chart);
  if (chart->counts.tunes) {
    g_string_append_c(out, '\n');
    append_native_fingers(out, layout, tune, chart);
    append_travel(out, layout, chart);
    append_hard(out, tune, chart);
    append_note(out, layout, chart);
  }
}

// ------------------------------------------------------------------------------------------------------------ CSV

static void
append_csv_need(GString *out, const RcLayout *layout, const RcTune *tune, const RcNeed *need)
{
  const RcChord *chord = &rc_tune_symbol(tune, need->symbol)->chord;
  const gboolean has_grip = need->answer.verdict < RC_IMPOSSIBLE;
  char *line = g_strdup_printf("%u", tune->line);
  char *times = g_strdup_printf("%" U64, need->times);
  char *quarters = rc_quarters_text(need->ticks);
  char *press = has_grip ? rc_need_press(layout, need, RC_SIGNS_ASCII) : g_strdup("");
  char *second = rc_need_second(layout, need, RC_SIGNS_ASCII);
  char *missing =
    rc_tones_text(chord, rc_tune_setting(tune, 0)->key, need->answer.grading.missing, RC_SIGNS_ASCII, " ");
  char *added = rc_tones_text(chord, rc_tune_setting(tune, 0)->key, need->answer.grading.foreign, RC_SIGNS_ASCII, " ");
  rc_append_csv(out, tune->file, line, tune->title, layout->name, rc_tune_symbol(tune, need->symbol)->text, times,
                quarters, rc_verdict_name(need->answer.verdict), press, missing, added, second ? second : "", NULL);
  g_free(line);
  g_free(times);
  g_free(quarters);
  g_free(press);
  g_free(second);
  g_free(missing);
  g_free(added);
}

// --------------------------------------------------------------------------------------------------- tune after tune

void
rc_report_tune_start(GString *out, RcTextFormat format, const RcLayout *layout)
{
  if (format == RC_TEXT_CSV) {
    rc_append_csv(out, "file", "line", "title", "layout", "chord", "times", "quarters", "verdict", "press", "missing",
                  "added", "alternating", NULL);
  } else if (format == RC_TEXT_JSON) {
    rc_json_begin_object(out, NULL);
    rc_json_text(out, "layout", layout->name);
    rc_json_begin_array(out, "tunes");
    g_string_append_c(out, '\n');
  }
}

void
rc_report_tune(GString *out, RcTextFormat format, const RcLayout *layout, const RcTune *tune, const RcChart *chart,
               gboolean first)
{
  switch (format) {
  case RC_TEXT_TABLE:
    g_string_append(out, first ? "" : "\n");
    append_table(out, layout, tune, chart);
    break;
  case RC_TEXT_CSV:
    for (guint i = 0; i < chart->needs->len; ++i) {
      append_csv_need(out, layout, tune, &g_array_index(chart->needs, RcNeed, i));
    }
    break;
  case RC_TEXT_JSON:
    g_string_append(out, first ? "" : ",");
    rc_append_tune_json(out, layout, tune, chart);
    break;
  }
}

void
rc_report_tune_end(GString *out, RcTextFormat format, const RcLayout *layout)
{
  if (format == RC_TEXT_TABLE) {
    g_string_append(out, "\nUnder a chord: A same notes, B richer, C leaner, D bare, E borrowed, x no grip,\n"
                         "? no chord symbol; nothing: native, it has a button of its own.\n");
    g_string_append(out, rc_layout_has_bellows(layout)
                           ? "After it the bellows: > push, < pull, <> now one and now the other.\n"
                           : "");
  } else if (format == RC_TEXT_JSON) {
    g_string_append(out, "]}\n");
  }
}
