// Copyright 2026 the rowcall developers
// SPDX-License-Identifier: MIT

// Which tunes to move to other keys, and what each transposition of a tune would give.

#include "report/format.h"
#include "report/move_text.h"

#define U64 G_GUINT64_FORMAT

static RcVerdict
accept_of(const RcKeys *keys)
{
  return keys->rolled->boards->settings.route.taste.accept;
}

static const char *
layout_name(const RcKeys *keys)
{
  return keys->rolled->boards->layouts[0]->name;
}

static RcTicks
carried(const RcKeys *keys, const RcCounts *counts)
{
  return rc_counts_carried(counts, accept_of(keys));
}

// ------------------------------------------------------------------------------------------------------------ table

// "D4-B5", the melody after a move; empty where it is not known.
static char *
range_text(const RcTuneKeys *tune, int move)
{
  if (!tune->highest) {
    return g_strdup("");
  }
  char *lowest = rc_pitch_name(tune->tune, move, tune->lowest + move - RC_AS_WRITTEN);
  char *highest = rc_pitch_name(tune->tune, move, tune->highest + move - RC_AS_WRITTEN);
  char *text = g_strdup_printf("%s-%s", lowest, highest);
  g_free(lowest);
  g_free(highest);
  return text;
}

static void
append_columns(GString *out, const char *const columns[6])
{
  static const guint widths[] = { 28, 7, 6, 24, 7, 0 };
  for (guint i = 0; i < G_N_ELEMENTS(widths); ++i) {
    if (widths[i]) {
      rc_append_padded(out, columns[i], widths[i] - 1);
      g_string_append_c(out, ' ');
    } else {
      g_string_append(out, columns[i]);
    }
  }
  rc_end_line(out);
}

static void
append_move(GString *out, const RcTuneKeys *tune, const char *title, const char *key, const char *percent, int move)
{
  char *place = rc_move_place(tune->tune, move);
  char *range = range_text(tune, move);
  const char *const columns[] = { title, key, percent, place, rc_move_verdict(&tune->moves.counts[move]), range };
  append_columns(out, columns);
  g_free(place);
  g_free(range);
}

static void
append_row(GString *out, const RcKeys *keys, const RcTuneKeys *tune)
{
  char percent[8];
  char *key = rc_tune_short_key(tune->tune, RC_SIGNS_ASCII);
  const RcCounts *written = &tune->moves.counts[RC_AS_WRITTEN];
  rc_percent_text(percent, carried(keys, written), rc_counts_whole(written));
  append_move(out, tune, tune->tune->title, key, percent, tune->moves.best);
  if (tune->moves.customary != RC_NO_MOVE && tune->moves.customary != tune->moves.best) {
    append_move(out, tune, "  or in a customary key", "", "", tune->moves.customary);
  }
  g_free(key);
}

static void
append_moves(GString *out, const RcKeys *keys)
{
  static const char *const heading[] = { "tune to move", "key", "now %", "to", "there", "melody" };
  if (keys->n_to_move) {
    append_columns(out, heading);
  }
  for (guint i = 0; i < keys->n_to_move; ++i) {
    append_row(out, keys, &keys->tunes[keys->to_move[i]]);
  }
}

// The tune in all keys, flattest move first.
static void
append_all_keys(GString *out, const RcKeys *keys, const RcTuneKeys *tune)
{
  char *written = rc_tune_key(tune->tune, RC_SIGNS_ASCII);
  char *heading = g_strdup_printf("%s: %s", tune->tune->title, written);
  rc_append_wrapped(out, heading, 0);
  g_free(heading);
  g_free(written);
  g_string_append(out, "moved              key          native %  carried %            melody\n");
  for (int i = 0; i < RC_N_MOVES; ++i) {
    const RcCounts *counts = &tune->moves.counts[i];
    char native[8];
    char percent[8];
    char *key = rc_move_key(tune->tune, i, RC_SIGNS_ASCII);
    char *range = range_text(tune, i);
    rc_percent_text(native, rc_counts_carried(counts, RC_NATIVE), rc_counts_whole(counts));
    rc_percent_text(percent, carried(keys, counts), rc_counts_whole(counts));
    rc_append_padded(out, rc_move_called(i), 18);
    g_string_append_c(out, ' ');
    rc_append_padded(out, key, 12);
    g_string_append_printf(out, " %8s  %9s  %-8s  %s", native, percent, counts->playable ? rc_move_verdict(counts) : "",
                           range);
    rc_end_line(out);
    g_free(key);
    g_free(range);
  }
}

// " HEAD: A (to G); B (to F); and 3 more." of the tunes that @p wanted picks, with the key of their move to native
// where
// @p keyed.
static void
append_named(GString *text, const RcKeys *keys, const char *head, gboolean (*wanted)(const RcTuneKeys *tune),
             gboolean keyed)
{
  enum { MOST = 12 };
  guint n = 0;
  for (guint i = 0; i < keys->n; ++i) {
    const RcTuneKeys *tune = &keys->tunes[i];
    if (!wanted(tune) || ++n > MOST) {
      continue;
    }
    char *key = keyed ? rc_move_key(tune->tune, tune->moves.best, RC_SIGNS_ASCII) : g_strdup("");
    g_string_append_printf(text, "%s %s", n > 1 ? ";" : head, tune->tune->title);
    g_string_append_printf(text, "%s%s%s", *key ? " (" : "", key, *key ? ")" : "");
    g_free(key);
  }
  if (n > MOST) {
    g_string_append_printf(text, "; and %u more", n - MOST);
  }
  g_string_append(text, n ? "." : "");
}

static gboolean
is_easier(const RcTuneKeys *tune)
{
  const RcCounts *written = &tune->moves.counts[RC_AS_WRITTEN];
  return written->playable && !written->native && tune->moves.native != RC_NO_MOVE;
}

static gboolean
is_nowhere(const RcTuneKeys *tune)
{
  return tune->moves.best == RC_NO_MOVE;
}

static void
append_nowhere(GString *text, const RcKeys *keys)
{
  append_named(text, keys, " Playable in no key:", is_nowhere, FALSE);
  if (keys->unread) {
    g_string_append_printf(text, " Of these %" U64 " hold%s a text that is no chord symbol.", keys->unread,
                           keys->unread == 1 ? "s" : "");
  }
}

static void
append_sources(GString *text, const RcKeys *keys)
{
  guint64 assumed = 0;
  guint64 unmeasured = 0;
  for (guint i = 0; i < keys->n; ++i) {
    assumed += rc_tune_setting(keys->tunes[i].tune, 0)->key_assumed ? 1 : 0;
    unmeasured += keys->tunes[i].tune->unmeasured ? 1 : 0;
  }
  if (assumed && keys->n > 1) { // of a single tune its heading says so
    g_string_append_printf(text, " %" U64 " of the tunes state%s no key; it is assumed from %s chords, in brackets.",
                           assumed, assumed == 1 ? "s" : "", assumed == 1 ? "its" : "their");
  }
  char *shares = rc_unmeasured_text(unmeasured);
  g_string_append_printf(text, "%s%s", *shares ? " " : "", shares);
  g_free(shares);
}

// How many need no move.
static void
append_stay(GString *text, const RcKeys *keys)
{
  const char *grade = rc_verdict_name(accept_of(keys));
  if (!keys->n) {
    g_string_append(text, "No tune has a chord, so none needs a move.");
    return;
  }
  g_string_append_printf(text, "On %s, ", layout_name(keys));
  if (!keys->playable) {
    g_string_append_printf(text, "none of %u tunes is playable as written at grade %s or better.", keys->n, grade);
    return;
  }
  g_string_append_printf(text, "%" U64 " of %u tunes need%s no move: %s playable as written at grade %s or better, ",
                         keys->playable, keys->n, keys->playable == 1 ? "s" : "",
                         keys->playable == 1 ? "it is" : "they are", grade);
  if (keys->native) {
    g_string_append_printf(text, "%" U64 " of them native.", keys->native);
  } else {
    g_string_append(text, "none of them native.");
  }
}

// Of a single tune, in place of counts.
static void
append_verdict(GString *text, const RcKeys *keys, const RcTuneKeys *tune)
{
  const RcCounts *written = &tune->moves.counts[RC_AS_WRITTEN];
  const char *grade = rc_verdict_name(accept_of(keys));
  g_string_append_printf(text, "On %s it ", layout_name(keys));
  if (written->native) {
    g_string_append(text, "is native as written: it needs no move.");
  } else if (written->playable) {
    g_string_append_printf(text, "is playable as written at grade %s or better: it needs no move.", grade);
  } else if (tune->moves.best != RC_NO_MOVE) {
    g_string_append_printf(text, "is not playable as written at grade %s or better.", grade);
  } else {
    g_string_append_printf(text, "is playable in no key at grade %s or better.", grade);
  }
  if (is_easier(tune)) {
    char *place = rc_move_place(tune->tune, tune->moves.best);
    g_string_append_printf(text, " It would be native in %s.", place);
    g_free(place);
  }
}

static void
append_counts(GString *text, const RcKeys *keys)
{
  append_stay(text, keys);
  append_named(text, keys, " Native in another key, in brackets:", is_easier, TRUE);
  if (keys->n_to_move) {
    g_string_append_printf(text, " %u %s playable in another key only.", keys->n_to_move,
                           keys->n_to_move == 1 ? "is" : "are");
  }
  append_nowhere(text, keys);
}

static void
append_summary(GString *out, const RcKeys *keys)
{
  GString *text = g_string_new(NULL);
  if (keys->n == 1) {
    append_verdict(text, keys, &keys->tunes[0]);
  } else {
    append_counts(text, keys);
  }
  if (keys->outside) {
    g_string_append_printf(text,
                           " %" U64 " of the moves lead%s to a key that is not customary, since in none that is the "
                           "tune is native, or plays.",
                           keys->outside, keys->outside == 1 ? "s" : "");
  }
  append_sources(text, keys);
  char *custom = rc_custom_text(&keys->custom);
  rc_append_wrapped(out, text->str, 0);
  rc_append_wrapped(out, custom, 0);
  g_free(custom);
  g_string_free(text, TRUE);
}

static void
append_table(GString *out, const RcKeys *keys)
{
  append_moves(out, keys);
  if (keys->n == 1) {
    g_string_append(out, keys->n_to_move ? "\n" : "");
    append_all_keys(out, keys, &keys->tunes[0]);
  }
  g_string_append(out, keys->n_to_move || keys->n == 1 ? "\n" : "");
  append_summary(out, keys);
}

// ------------------------------------------------------------------------------------------------------ CSV and JSON

static void
append_csv_move(GString *out, const RcKeys *keys, const RcTuneKeys *tune, int move)
{
  const RcCounts *counts = &tune->moves.counts[move];
  char *key = rc_move_key(tune->tune, move, RC_SIGNS_ASCII);
  char *range[] = { tune->highest ? rc_pitch_name(tune->tune, move, tune->lowest + move - RC_AS_WRITTEN) : g_strdup(""),
                    tune->highest ? rc_pitch_name(tune->tune, move, tune->highest + move - RC_AS_WRITTEN)
                                  : g_strdup("") };
  char *fields[] = { g_strdup_printf("%u", tune->tune->line), g_strdup_printf("%d", move - RC_AS_WRITTEN),
                     rc_quarters_text(rc_counts_ticks(counts)), rc_quarters_text(counts->ticks[RC_NATIVE]),
                     rc_quarters_text(rc_measured_ticks(counts, carried(keys, counts))) };
  rc_append_csv(out, tune->tune->file, fields[0], tune->tune->title, layout_name(keys), fields[1], rc_move_called(move),
                key, rc_tune_key_source(tune->tune), fields[2], fields[3], fields[4], rc_move_verdict(counts),
                move == tune->moves.best        ? "best"
                : move == tune->moves.customary ? "customary"
                                                : "",
                range[0], range[1], NULL);
  for (guint i = 0; i < G_N_ELEMENTS(fields); ++i) {
    g_free(fields[i]);
  }
  g_free(range[0]);
  g_free(range[1]);
  g_free(key);
}

static void
append_csv(GString *out, const RcKeys *keys)
{
  rc_append_csv(out, "file", "line", "title", "layout", "semitones", "called", "key", "key_source", "quarters",
                "native", "carried", "verdict", "choice", "lowest", "highest", NULL);
  for (guint i = 0; i < keys->n; ++i) {
    for (int move = 0; move < RC_N_MOVES; ++move) {
      append_csv_move(out, keys, &keys->tunes[i], move);
    }
  }
}

static void
add_semitones(GString *json, const char *name, int move)
{
  if (move == RC_NO_MOVE) {
    rc_json_null(json, name);
  } else {
    rc_json_number(json, name, move - RC_AS_WRITTEN);
  }
}

static void
add_pitch(GString *json, const char *name, const RcTuneKeys *tune, int move, int pitch)
{
  char *text = rc_pitch_name(tune->tune, move, pitch + move - RC_AS_WRITTEN);
  rc_json_text(json, name, text);
  g_free(text);
}

static void
add_move(GString *json, const RcKeys *keys, const RcTuneKeys *tune, int move)
{
  const RcCounts *counts = &tune->moves.counts[move];
  char *key = rc_move_key(tune->tune, move, RC_SIGNS_ASCII);
  rc_json_begin_object(json, NULL);
  rc_json_number(json, "semitones", move - RC_AS_WRITTEN);
  rc_json_text(json, "called", rc_move_called(move));
  rc_json_text(json, "key", key);
  rc_json_text(json, "verdict", rc_move_verdict(counts));
  rc_json_quarters(json, "quarters", rc_counts_ticks(counts));
  rc_json_quarters(json, "native", counts->ticks[RC_NATIVE]);
  rc_json_quarters(json, "carried", rc_measured_ticks(counts, carried(keys, counts)));
  if (tune->highest) {
    add_pitch(json, "lowest", tune, move, tune->lowest);
    add_pitch(json, "highest", tune, move, tune->highest);
  }
  rc_json_end_object(json);
  g_free(key);
}

static void
add_tune(GString *json, const RcKeys *keys, const RcTuneKeys *tune)
{
  rc_json_begin_object(json, NULL);
  rc_json_text(json, "title", tune->tune->title);
  rc_json_text(json, "file", tune->tune->file);
  rc_json_number(json, "line", tune->tune->line);
  rc_json_text(json, "key_source", rc_tune_key_source(tune->tune));
  add_semitones(json, "nearest_native", tune->moves.native);
  add_semitones(json, "nearest_playable", tune->moves.playable);
  add_semitones(json, "best", tune->moves.best);
  add_semitones(json, "best_customary", tune->moves.customary);
  rc_json_begin_array(json, "moves");
  for (int move = 0; move < RC_N_MOVES; ++move) {
    add_move(json, keys, tune, move);
  }
  rc_json_end_array(json);
  rc_json_end_object(json);
}

static void
append_json(GString *json, const RcKeys *keys)
{
  rc_json_begin_object(json, NULL);
  rc_json_text(json, "layout", layout_name(keys));
  rc_json_custom(json, &keys->custom);
  rc_json_begin_array(json, "tunes");
  for (guint i = 0; i < keys->n; ++i) {
    add_tune(json, keys, &keys->tunes[i]);
  }
  rc_json_end_array(json);
  rc_json_end_object(json);
  g_string_append_c(json, '\n');
}

void
rc_report_keys(GString *out, RcTextFormat format, const RcKeys *keys)
{
  switch (format) {
  case RC_TEXT_TABLE:
    append_table(out, keys);
    break;
  case RC_TEXT_CSV:
    append_csv(out, keys);
    break;
  case RC_TEXT_JSON:
    append_json(out, keys);
    break;
  }
}
