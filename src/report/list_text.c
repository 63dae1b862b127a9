// Copyright 2026 the rowcall developers
// SPDX-License-Identifier: MIT

// A list of tunes: which play on a keyboard, what the others lack, and what would help.

#include "report/format.h"
#include "report/move_text.h"
#include "report/need_text.h"

#define U64 G_GUINT64_FORMAT

enum { MOST_LACKS = 12 }; // of a tune in the table

static const char *const fares_words[RC_N_FARES] = {
  [RC_FARES_NOT] = "does not",
  [RC_FARES_UNREAD] = "unread",
  [RC_FARES_ONE_SHORT] = "one short",
  [RC_FARES_PLAYS] = "plays",
};

static gboolean
is_shown(const RcListed *listed, RcShowFares show)
{
  const RcFares fares = listed->on[0].fares;
  switch (show) {
  case RC_SHOW_ALL:
    return TRUE;
  case RC_SHOW_PLAYS:
    return fares == RC_FARES_PLAYS;
  case RC_SHOW_ONE_SHORT:
    return fares == RC_FARES_ONE_SHORT;
  case RC_SHOW_NOT:
    return fares == RC_FARES_NOT || fares == RC_FARES_UNREAD;
  }
  g_return_val_if_reached(FALSE);
}

static const char *
layout_name(const RcTuneList *list, guint nth)
{
  return list->rolled->boards->layouts[nth]->name;
}

static gboolean
has_other(const RcTuneList *list)
{
  return list->rolled->boards->n > 1;
}

static RcTicks
carried(const RcTuneList *list, const RcCounts *counts)
{
  return rc_counts_carried(counts, rc_roll_accept(list->rolled->roll));
}

static const char *
smallest_name(const RcTuneList *list, const RcListed *listed)
{
  return listed->smallest < 0 ? NULL : list->usual->layouts[listed->smallest]->name;
}

// The best move of a tune that does not play as written; else none.
static int
move_of(const RcListed *listed)
{
  return listed->moves ? listed->moves->best : RC_NO_MOVE;
}

// The best move to a customary key, where the best of all ends in none.
static int
customary_move_of(const RcListed *listed)
{
  return move_of(listed) == RC_NO_MOVE || listed->moves->customary == listed->moves->best ? RC_NO_MOVE
                                                                                          : listed->moves->customary;
}

// ------------------------------------------------------------------------------------------------------ what lacks

static char *
lack_name(const RcTune *tune, const RcTuneLack *lack)
{
  const RcSymbol *symbol = rc_tune_symbol(tune, lack->symbol);
  return lack->verdict == RC_UNREAD ? g_strdup_printf("`%s`", symbol->text)
                                    : rc_chord_name(&symbol->chord, RC_SIGNS_ASCII);
}

static char *
verdict_text(RcVerdict verdict)
{
  return verdict == RC_IMPOSSIBLE ? g_strdup("no grip")
         : verdict == RC_UNREAD   ? g_strdup("no chord symbol")
                                  : g_strdup_printf("grade %s", rc_verdict_name(verdict));
}

// "B7 x4, bar 7: no grip"
static void
append_lack(GString *text, const RcTune *tune, const RcTuneLack *lack)
{
  char *name = lack_name(tune, lack);
  char *bar = rc_bar_text(tune, lack->bar);
  char *verdict = verdict_text(lack->verdict);
  g_string_append(text, name);
  if (lack->times > 1) {
    g_string_append_printf(text, " x%" U64, lack->times);
  }
  g_string_append_printf(text, ", %s: %s", bar, verdict);
  g_free(name);
  g_free(bar);
  g_free(verdict);
}

// What a tune lacks, at most @p most chords; a new string.
static char *
lacks_text(const RcTune *tune, const RcTuneOn *on, guint most)
{
  GString *text = g_string_new(NULL);
  for (guint i = 0; i < MIN(on->n_lacks, most); ++i) {
    g_string_append(text, i ? "; " : "");
    append_lack(text, tune, &on->lacks[i]);
  }
  if (on->n_lacks > most) {
    g_string_append_printf(text, "; and %u more", on->n_lacks - most);
  }
  return g_string_free(text, FALSE);
}

// ------------------------------------------------------------------------------------------------------------ table

static void
append_lacks_line(GString *out, const RcTune *tune, const RcTuneOn *on)
{
  char *lacks = lacks_text(tune, on, MOST_LACKS);
  g_string_append(out, "    ");
  rc_append_wrapped(out, lacks, 4);
  g_free(lacks);
}

// "G, down 1"
static char *
place_text(const RcTune *tune, int move)
{
  const int semitones = move - RC_AS_WRITTEN;
  char *key = rc_move_key(tune, move, RC_SIGNS_ASCII);
  char *text = g_strdup_printf("%s%s%s %d", key, *key ? ", " : "", semitones < 0 ? "down" : "up", ABS(semitones));
  g_free(key);
  return text;
}

// The same of the best move; empty where there is none to tell.
static char *
move_text(const RcListed *listed)
{
  const int move = move_of(listed);
  return move != RC_NO_MOVE                      ? place_text(listed->tune, move)
         : listed->on[0].fares == RC_FARES_PLAYS ? g_strdup("")
                                                 : g_strdup("none");
}

// "    or to a customary key: G, down 1"
static void
append_customary(GString *out, const RcListed *listed)
{
  const int move = customary_move_of(listed);
  if (move != RC_NO_MOVE) {
    char *place = place_text(listed->tune, move);
    g_string_append_printf(out, "    or move it to a customary key: %s\n", place);
    g_free(place);
  }
}

static void
append_columns(GString *out, const char *title, const char *key, const char *fares, const char *percent,
               const char *size, const char *move)
{
  rc_append_padded(out, title, 33);
  g_string_append_c(out, ' ');
  rc_append_padded(out, key, 6);
  g_string_append_printf(out, " %-9s %5s  %-7s %s", fares, percent, size, move);
  rc_end_line(out);
}

static void
append_row(GString *out, const RcTuneList *list, const RcListed *listed)
{
  const RcTuneOn *on = &listed->on[0];
  const char *smallest = smallest_name(list, listed);
  char percent[8];
  char *key = rc_tune_short_key(listed->tune, RC_SIGNS_ASCII);
  char *move = move_text(listed);
  rc_percent_text(percent, carried(list, &on->counts), rc_counts_whole(&on->counts));
  append_columns(out, listed->tune->title, key, fares_words[on->fares], percent, smallest ? smallest : "none", move);
  if (on->n_lacks) {
    append_lacks_line(out, listed->tune, on);
  }
  append_customary(out, listed);
  g_free(key);
  g_free(move);
}

static void
append_rows(GString *out, const RcTuneList *list, RcShowFares show)
{
  guint rows = 0;
  for (guint i = 0; i < list->n; ++i) {
    if (is_shown(&list->tunes[i], show)) {
      if (!rows++) {
        append_columns(out, "tune", "key", "verdict", "time%", "size", "move to");
      }
      append_row(out, list, &list->tunes[i]);
    }
  }
  g_string_append(out, rows ? "\n" : "");
}

// The tunes that the keyboard `plays` has and the other has not, and why.
static void
append_difference(GString *out, const RcTuneList *list, RcShowFares show, guint plays)
{
  GString *rows = g_string_new(NULL);
  guint n = 0;
  for (guint i = 0; i < list->n; ++i) {
    const RcListed *listed = &list->tunes[i];
    if (is_shown(listed, show) && listed->on[plays].fares == RC_FARES_PLAYS &&
        listed->on[1 - plays].fares != RC_FARES_PLAYS) {
      ++n;
      g_string_append(rows, "  ");
      rc_append_padded(rows, listed->tune->title, 76);
      rc_end_line(rows);
      append_lacks_line(rows, listed->tune, &listed->on[1 - plays]);
    }
  }
  GString *heading = g_string_new(NULL);
  g_string_append_printf(heading, "%s from %s to %s: %u tune%s%s", plays ? "Gained" : "Lost", layout_name(list, 0),
                         layout_name(list, 1), n, n == 1 ? "" : "s", n ? ". Lacking on " : ".");
  g_string_append_printf(heading, n ? "%s:" : "%.0s", layout_name(list, 1 - plays));
  rc_append_wrapped(out, heading->str, 0);
  g_string_append(out, rows->str);
  g_string_append_c(out, '\n');
  g_string_free(heading, TRUE);
  g_string_free(rows, TRUE);
}

// "A; B; C; and 3 more", since titles have commas in them
static void
append_titles(GString *text, const char *const *titles, guint n)
{
  enum { MOST = 20 };
  for (guint i = 0; i < MIN(n, MOST); ++i) {
    g_string_append_printf(text, "%s%s", i ? "; " : "", titles[i]);
  }
  if (n > MOST) {
    g_string_append_printf(text, "; and %u more", n - MOST);
  }
}

static void
append_sentence(GString *out, const char *begins, const GPtrArray *titles)
{
  if (titles->len) {
    GString *text = g_string_new(begins);
    append_titles(text, (const char *const *)titles->pdata, titles->len);
    g_string_append_c(text, '.');
    rc_append_wrapped(out, text->str, 0);
    g_string_free(text, TRUE);
  }
}

static void
append_named(GString *out, const RcTuneList *list)
{
  GPtrArray *chordless = g_ptr_array_new();
  GPtrArray *unread = g_ptr_array_new();
  for (guint i = 0; i < list->n_chordless; ++i) {
    g_ptr_array_add(chordless, (gpointer)list->chordless[i]->title);
  }
  for (guint i = 0; i < list->n; ++i) {
    if (list->tunes[i].on[0].counts.chords[RC_UNREAD]) {
      g_ptr_array_add(unread, (gpointer)list->tunes[i].tune->title);
    }
  }
  append_sentence(out, "Without chords, and so without a row: ", chordless);
  append_sentence(out, "With text that is no chord symbol, so that nobody can say: ", unread);
  g_ptr_array_unref(chordless);
  g_ptr_array_unref(unread);
}

// "4 are one short, 7 do not play", of what there is.
static void
append_others(GString *text, const RcCounts *counts)
{
  const guint64 others = counts->tunes - counts->playable - counts->one_short;
  if (counts->one_short) {
    g_string_append_printf(text, "; %" U64 " %s one short", counts->one_short, counts->one_short == 1 ? "is" : "are");
  }
  if (others) {
    g_string_append_printf(text, "%s %" U64 " %s not play", counts->one_short ? "," : ";", others,
                           others == 1 ? "does" : "do");
  }
}

// "On 48-8x6, 40 of 51 tunes play at grade D or better, 12 of them native; 4 are one short, 7 do not play."
static void
append_summary(GString *out, const RcTuneList *list, guint nth)
{
  const RcCounts counts = rc_roll_counts(list->rolled->roll, nth);
  const char *grade = rc_verdict_name(rc_roll_accept(list->rolled->roll));
  GString *text = g_string_new(NULL);
  g_string_append_printf(text, "On %s, ", layout_name(list, nth));
  if (!counts.playable) {
    g_string_append_printf(
      text, counts.tunes == 1 ? "the tune does not play at grade %s or better" : "no tune plays at grade %s or better",
      grade);
  } else if (counts.playable == counts.tunes) {
    g_string_append_printf(
      text, counts.tunes == 1 ? "the tune plays at grade %s or better" : "all tunes play at grade %s or better", grade);
  } else {
    g_string_append_printf(text, "%" U64 " of %" U64 " tunes play%s at grade %s or better", counts.playable,
                           counts.tunes, counts.playable == 1 ? "s" : "", grade);
  }
  if (counts.playable > 1 && counts.native) {
    g_string_append_printf(text, ", %" U64 " of them native", counts.native);
  } else if (counts.playable > 1) {
    g_string_append(text, ", none of them native");
  }
  if (counts.tunes > 1) {
    append_others(text, &counts);
  } else if (counts.one_short) {
    g_string_append(text, "; it is one short");
  }
  g_string_append_c(text, '.');
  rc_append_wrapped(out, text->str, 0);
  g_string_free(text, TRUE);
}

static gboolean
any_move(const RcTuneList *list, RcShowFares show)
{
  for (guint i = 0; i < list->n; ++i) {
    if (is_shown(&list->tunes[i], show) && move_of(&list->tunes[i]) != RC_NO_MOVE) {
      return TRUE;
    }
  }
  return FALSE;
}

// What the time% of tunes is without lengths.
static void
append_unmeasured(GString *out, const RcTuneList *list)
{
  guint64 n = 0;
  for (guint i = 0; i < list->n; ++i) {
    n += list->tunes[i].tune->unmeasured ? 1 : 0;
  }
  char *text = rc_unmeasured_text(n);
  if (*text) {
    rc_append_wrapped(out, text, 0);
  }
  g_free(text);
}

static void
append_table(GString *out, const RcTuneList *list, RcShowFares show)
{
  if (has_other(list)) {
    append_difference(out, list, show, 1);
    append_difference(out, list, show, 0);
  } else {
    append_rows(out, list, show);
  }
  append_summary(out, list, 0);
  if (has_other(list)) {
    append_summary(out, list, 1);
  } else {
    rc_append_wrapped(
      out,
      "Size is the smallest usual one that plays the tune as written. A key in brackets is assumed from "
      "the chords.",
      0);
    append_unmeasured(out, list);
  }
  append_named(out, list);
  if (!has_other(list) && any_move(list, show)) {
    char *custom = rc_custom_text(&list->custom);
    rc_append_wrapped(out, custom, 0);
    g_free(custom);
  }
}

// ------------------------------------------------------------------------------------------------------ CSV and JSON

static void
append_csv_row(GString *out, const RcTuneList *list, const RcListed *listed)
{
  const RcTuneOn *on = &listed->on[0];
  const int move = move_of(listed);
  const int customary = customary_move_of(listed);
  const char *smallest = smallest_name(list, listed);
  char *key = rc_move_key(listed->tune, RC_AS_WRITTEN, RC_SIGNS_ASCII);
  char *fields[] = { g_strdup_printf("%u", listed->tune->line),
                     rc_quarters_text(rc_counts_ticks(&on->counts)),
                     rc_quarters_text(rc_measured_ticks(&on->counts, carried(list, &on->counts))),
                     g_strdup_printf("%u", on->n_lacks),
                     lacks_text(listed->tune, on, on->n_lacks),
                     move == RC_NO_MOVE ? g_strdup("") : g_strdup_printf("%d", move - RC_AS_WRITTEN),
                     move == RC_NO_MOVE ? g_strdup("") : rc_move_key(listed->tune, move, RC_SIGNS_ASCII),
                     customary == RC_NO_MOVE ? g_strdup("") : g_strdup_printf("%d", customary - RC_AS_WRITTEN),
                     customary == RC_NO_MOVE ? g_strdup("") : rc_move_key(listed->tune, customary, RC_SIGNS_ASCII),
                     has_other(list) ? lacks_text(listed->tune, &listed->on[1], listed->on[1].n_lacks) : NULL };
  rc_append_csv(out, listed->tune->file, fields[0], listed->tune->title, layout_name(list, 0), key,
                rc_tune_key_source(listed->tune), fares_words[on->fares], on->counts.native ? "yes" : "no", fields[1],
                fields[2], fields[3], fields[4], smallest ? smallest : "", fields[5], fields[6], fields[7], fields[8],
                has_other(list) ? layout_name(list, 1) : NULL, fares_words[listed->on[1].fares], fields[9], NULL);
  for (guint i = 0; i < G_N_ELEMENTS(fields); ++i) {
    g_free(fields[i]);
  }
  g_free(key);
}

static void
append_csv(GString *out, const RcTuneList *list, RcShowFares show)
{
  rc_append_csv(out, "file", "line", "title", "layout", "key", "key_source", "verdict", "native", "quarters", "carried",
                "lacking", "lacks", "smallest", "move", "move_key", "customary_move", "customary_key",
                has_other(list) ? "against" : NULL, "against_verdict", "against_lacks", NULL);
  for (guint i = 0; i < list->n; ++i) {
    if (is_shown(&list->tunes[i], show)) {
      append_csv_row(out, list, &list->tunes[i]);
    }
  }
}

static void
add_place(GString *json, const RcTune *tune)
{
  rc_json_text(json, "title", tune->title);
  rc_json_text(json, "file", tune->file);
  rc_json_number(json, "line", tune->line);
}

static void
add_on(GString *json, const RcTuneList *list, const RcTune *tune, const RcTuneOn *on)
{
  rc_json_text(json, "verdict", fares_words[on->fares]);
  rc_json_quarters(json, "quarters", rc_counts_ticks(&on->counts));
  rc_json_quarters(json, "carried", rc_measured_ticks(&on->counts, carried(list, &on->counts)));
  rc_json_boolean(json, "native", on->counts.native > 0);
  rc_json_begin_array(json, "lacks");
  for (guint i = 0; i < on->n_lacks; ++i) {
    char *name = lack_name(tune, &on->lacks[i]);
    rc_json_begin_object(json, NULL);
    rc_json_text(json, "chord",
                 on->lacks[i].verdict == RC_UNREAD ? rc_tune_symbol(tune, on->lacks[i].symbol)->text : name);
    rc_json_number(json, "times", (gint64)on->lacks[i].times);
    rc_json_quarters(json, "quarters", on->lacks[i].ticks);
    rc_json_number(json, "bar", on->lacks[i].bar + 1);
    rc_json_text(json, "grade", rc_verdict_name(on->lacks[i].verdict));
    rc_json_end_object(json);
    g_free(name);
  }
  rc_json_end_array(json);
}

static void
add_move(GString *json, const char *name, const RcListed *listed, int move)
{
  if (move == RC_NO_MOVE) {
    rc_json_null(json, name);
    return;
  }
  char *key = rc_move_key(listed->tune, move, RC_SIGNS_ASCII);
  rc_json_begin_object(json, name);
  rc_json_number(json, "semitones", move - RC_AS_WRITTEN);
  rc_json_text(json, "called", rc_move_called(move));
  rc_json_text(json, "key", key);
  rc_json_text(json, "verdict", rc_move_verdict(&listed->moves->counts[move]));
  rc_json_end_object(json);
  g_free(key);
}

static void
add_listed(GString *json, const RcTuneList *list, const RcListed *listed)
{
  char *key = rc_move_key(listed->tune, RC_AS_WRITTEN, RC_SIGNS_ASCII);
  rc_json_begin_object(json, NULL);
  add_place(json, listed->tune);
  rc_json_text(json, "key", key);
  rc_json_text(json, "key_source", rc_tune_key_source(listed->tune));
  add_on(json, list, listed->tune, &listed->on[0]);
  if (listed->smallest < 0) {
    rc_json_null(json, "smallest");
  } else {
    rc_json_text(json, "smallest", smallest_name(list, listed));
  }
  add_move(json, "move", listed, move_of(listed));
  add_move(json, "customary_move", listed, customary_move_of(listed));
  if (has_other(list)) {
    rc_json_begin_object(json, "against");
    add_on(json, list, listed->tune, &listed->on[1]);
    rc_json_end_object(json);
  }
  rc_json_end_object(json);
  g_free(key);
}

static void
append_json(GString *json, const RcTuneList *list, RcShowFares show)
{
  rc_json_begin_object(json, NULL);
  rc_json_text(json, "layout", layout_name(list, 0));
  if (has_other(list)) {
    rc_json_text(json, "against", layout_name(list, 1));
  }
  rc_json_custom(json, &list->custom);
  rc_json_begin_array(json, "tunes");
  for (guint i = 0; i < list->n; ++i) {
    if (is_shown(&list->tunes[i], show)) {
      add_listed(json, list, &list->tunes[i]);
    }
  }
  rc_json_end_array(json);
  rc_json_begin_array(json, "chordless");
  for (guint i = 0; i < list->n_chordless; ++i) {
    rc_json_begin_object(json, NULL);
    add_place(json, list->chordless[i]);
    rc_json_end_object(json);
  }
  rc_json_end_array(json);
  rc_json_end_object(json);
  g_string_append_c(json, '\n');
}

void
rc_report_tune_list(GString *out, RcTextFormat format, const RcTuneList *list, RcShowFares show)
{
  switch (format) {
  case RC_TEXT_TABLE:
    append_table(out, list, show);
    break;
  case RC_TEXT_CSV:
    append_csv(out, list, show);
    break;
  case RC_TEXT_JSON:
    append_json(out, list, show);
    break;
  }
}
