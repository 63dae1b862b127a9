// Copyright 2026 the rowcall developers
// SPDX-License-Identifier: MIT

// What each transposition of a tune would give.

#include "report/format.h"

#include <math.h>
#include <string.h>

#define U64 G_GUINT64_FORMAT

struct RcKeysReport {
  GString *out;
  RcTextFormat format;
  const RcLayout *layout;
  RcVerdict accept;
  JsonBuilder *json;
  guint64 tunes;      // with chords
  guint64 native;     // as written
  guint64 playable;   // as written
  guint64 movable;    // not playable as written but in another key
  guint64 hopeless;   // in no key
  guint64 unread;     // for a chord that could not be read
  guint64 unmeasured; // with chords that have no length
  guint64 assumed;    // with an assumed key
  GPtrArray *to_move; // of char *: which tunes to move, and where
  char *detail;       // the first tune in all keys
};

// ------------------------------------------------------------------------------------------------------ one tune

static RcTicks
carried(const RcKeysReport *r, const RcCounts *counts)
{
  return rc_counts_carried(counts, r->accept);
}

static char *
move_text(int move)
{
  const int semitones = move - RC_AS_WRITTEN;
  return semitones > 0   ? g_strdup_printf("up %d", semitones)
         : semitones < 0 ? g_strdup_printf("down %d", -semitones)
                         : g_strdup("as written");
}

// "G, up 5"; "-" for nowhere.
static char *
place_text(RcKey key, int move)
{
  if (move == RC_NO_MOVE) {
    return g_strdup("-");
  }
  char *name = rc_short_key(rc_key_moved(key, move - RC_AS_WRITTEN), RC_SIGNS_ASCII);
  char *words = move_text(move);
  char *text = g_strdup_printf("%s%s%s", name, *name ? ", " : "", words);
  g_free(name);
  g_free(words);
  return text;
}

// ------------------------------------------------------------------------------------------------------------ table

static void
percent_text(const RcKeysReport *r, const RcCounts *counts, char text[8])
{
  rc_percent_text(text, carried(r, counts), rc_counts_whole(counts));
}

static void
append_line(RcKeysReport *r, const RcTune *tune, const RcTuneMoves *moves)
{
  const RcKey key = rc_tune_setting(tune, 0)->key;
  char percent[8];
  char *name = rc_tune_short_key(tune, RC_SIGNS_ASCII);
  char *native = place_text(key, moves->native);
  char *playable = place_text(key, moves->playable);
  percent_text(r, &moves->counts[RC_AS_WRITTEN], percent);
  rc_append_padded(r->out, tune->title, 28);
  g_string_append_c(r->out, ' ');
  rc_append_padded(r->out, name, 6);
  g_string_append_printf(r->out, " %5s  ", percent);
  rc_append_padded(r->out, native, 17);
  g_string_append_printf(r->out, " %s\n", playable);
  g_free(name);
  g_free(native);
  g_free(playable);
}

// The tune in all keys, flattest move first.
static char *
detail_text(const RcKeysReport *r, const RcTune *tune, const RcTuneMoves *moves)
{
  GString *text = g_string_new(NULL);
  const RcKey key = rc_tune_setting(tune, 0)->key;
  g_string_append(text, "\nmoved       key          native %  carried %\n");
  for (int i = 0; i < RC_N_MOVES; ++i) {
    char native[8];
    char percent[8];
    char *words = move_text(i);
    char *name = rc_short_key(rc_key_moved(key, i - RC_AS_WRITTEN), RC_SIGNS_ASCII);
    rc_percent_text(native, rc_counts_carried(&moves->counts[i], RC_NATIVE), rc_counts_whole(&moves->counts[i]));
    percent_text(r, &moves->counts[i], percent);
    rc_append_padded(text, words, 11);
    g_string_append_c(text, ' ');
    rc_append_padded(text, name, 12);
    g_string_append_printf(text, " %8s  %9s%s\n", native, percent,
                           moves->counts[i].native     ? "  native"
                           : moves->counts[i].playable ? "  playable"
                                                       : "");
    g_free(words);
    g_free(name);
  }
  return g_string_free(text, FALSE);
}

static void
note_move(RcKeysReport *r, const RcTune *tune, const RcTuneMoves *moves)
{
  const int playable = moves->playable;
  r->native += moves->counts[RC_AS_WRITTEN].native;
  r->playable += moves->counts[RC_AS_WRITTEN].playable;
  ++r->tunes;
  r->unmeasured += tune->unmeasured ? 1 : 0;
  r->assumed += rc_tune_setting(tune, 0)->key_assumed ? 1 : 0;
  if (playable == RC_NO_MOVE) {
    ++r->hopeless;
    r->unread += moves->counts[RC_AS_WRITTEN].chords[RC_UNREAD] > 0;
  } else if (playable != RC_AS_WRITTEN) {
    char *place = place_text(rc_tune_setting(tune, 0)->key, playable);
    ++r->movable;
    g_ptr_array_add(r->to_move, g_strdup_printf("%s: to %s", tune->title, place));
    g_free(place);
  }
}

static void
append_summary(RcKeysReport *r)
{
  GString *text = g_string_new(NULL);
  g_string_append_printf(text,
                         "On %s: %" U64 " of %" U64 " tunes are native as written and %" U64 " playable at grade %s or "
                         "better; %" U64 " more are playable in another key, %" U64 " in none.",
                         r->layout->name, r->native, r->tunes, r->playable, rc_verdict_name(r->accept), r->movable,
                         r->hopeless);
  if (r->unread) {
    g_string_append_printf(text, " Of the last, %" U64 " hold a chord that could not be read.", r->unread);
  }
  if (r->assumed) {
    g_string_append_printf(text, " %" U64 " of the tunes state no key; it is assumed from their chords, in brackets.",
                           r->assumed);
  }
  if (r->unmeasured) {
    g_string_append_printf(text, " %" U64 " of the tunes write chords without lengths: their shares are of the chords.",
                           r->unmeasured);
  }
  g_string_append_c(r->out, '\n');
  rc_append_wrapped(r->out, text->str, 0);
  g_string_append(r->out, r->to_move->len ? "Tunes to move, each as little as will do:\n" : "");
  for (guint i = 0; i < r->to_move->len; ++i) {
    g_string_append(r->out, "  ");
    rc_append_wrapped(r->out, g_ptr_array_index(r->to_move, i), 4);
  }
  g_string_free(text, TRUE);
}

// ------------------------------------------------------------------------------------------------------ CSV and JSON

static void
append_csv(RcKeysReport *r, const RcTune *tune, const RcTuneMoves *moves)
{
  for (int i = 0; i < RC_N_MOVES; ++i) {
    char *key = rc_short_key(rc_key_moved(rc_tune_setting(tune, 0)->key, i - RC_AS_WRITTEN), RC_SIGNS_ASCII);
    char *fields[] = { g_strdup_printf("%u", tune->line), g_strdup_printf("%d", i - RC_AS_WRITTEN),
                       rc_quarters_text(rc_counts_ticks(&moves->counts[i])),
                       rc_quarters_text(moves->counts[i].ticks[RC_NATIVE]),
                       rc_quarters_text(rc_measured_ticks(&moves->counts[i], carried(r, &moves->counts[i]))) };
    rc_append_csv(r->out, tune->file, fields[0], tune->title, r->layout->name, fields[1], key, rc_tune_key_source(tune),
                  fields[2], fields[3], fields[4],
                  moves->counts[i].native     ? "native"
                  : moves->counts[i].playable ? "playable"
                                              : "no",
                  NULL);
    for (guint j = 0; j < G_N_ELEMENTS(fields); ++j) {
      g_free(fields[j]);
    }
    g_free(key);
  }
}

static void
add_move(JsonBuilder *json, const char *name, int move)
{
  json_builder_set_member_name(json, name);
  if (move == RC_NO_MOVE) {
    json_builder_add_null_value(json);
  } else {
    json_builder_add_int_value(json, move - RC_AS_WRITTEN);
  }
}

static void
add_json(RcKeysReport *r, const RcTune *tune, const RcTuneMoves *moves)
{
  JsonBuilder *json = r->json;
  const RcKey key = rc_tune_setting(tune, 0)->key;
  json_builder_begin_object(json);
  rc_json_text(json, "title", tune->title);
  rc_json_text(json, "file", tune->file);
  rc_json_number(json, "line", tune->line);
  rc_json_text(json, "key_source", rc_tune_key_source(tune));
  add_move(json, "nearest_native", moves->native);
  add_move(json, "nearest_playable", moves->playable);
  json_builder_set_member_name(json, "moves");
  json_builder_begin_array(json);
  for (int i = 0; i < RC_N_MOVES; ++i) {
    char *name = rc_short_key(rc_key_moved(key, i - RC_AS_WRITTEN), RC_SIGNS_ASCII);
    json_builder_begin_object(json);
    rc_json_number(json, "semitones", i - RC_AS_WRITTEN);
    rc_json_text(json, "key", name);
    rc_json_quarters(json, "quarters", rc_counts_ticks(&moves->counts[i]));
    rc_json_quarters(json, "native", moves->counts[i].ticks[RC_NATIVE]);
    rc_json_quarters(json, "carried", rc_measured_ticks(&moves->counts[i], carried(r, &moves->counts[i])));
    json_builder_end_object(json);
    g_free(name);
  }
  json_builder_end_array(json);
  json_builder_end_object(json);
}

// -------------------------------------------------------------------------------------------------- tune after tune

RcKeysReport *
rc_report_keys_start(RcTextFormat format, const RcLayout *layout, RcVerdict accept)
{
  RcKeysReport *r = g_new0(RcKeysReport, 1);
  r->out = g_string_new(NULL);
  r->format = format;
  r->layout = layout;
  r->accept = accept;
  r->to_move = g_ptr_array_new_with_free_func(g_free);
  if (format == RC_TEXT_CSV) {
    rc_append_csv(r->out, "file", "line", "title", "layout", "semitones", "key", "key_source", "quarters", "native",
                  "carried", "verdict", NULL);
  } else if (format == RC_TEXT_TABLE) {
    g_string_append_printf(r->out, "%-28s %-6s %5s  %-17s %s\n", "tune", "key", "now %", "nearest native", "playable");
  } else {
    r->json = json_builder_new();
    json_builder_begin_object(r->json);
    rc_json_text(r->json, "layout", layout->name);
    json_builder_set_member_name(r->json, "tunes");
    json_builder_begin_array(r->json);
  }
  return r;
}

void
rc_report_keys_add(RcKeysReport *r, const RcTune *tune, const RcTuneMoves *moves)
{
  if (!moves->counts[RC_AS_WRITTEN].tunes) {
    return; // nothing to move
  }
  switch (r->format) {
  case RC_TEXT_TABLE:
    append_line(r, tune, moves);
    if (!r->tunes) {
      r->detail = detail_text(r, tune, moves);
    }
    break;
  case RC_TEXT_CSV:
    append_csv(r, tune, moves);
    break;
  case RC_TEXT_JSON:
    add_json(r, tune, moves);
    break;
  }
  note_move(r, tune, moves);
}

GString *
rc_report_keys_finish(RcKeysReport *r)
{
  GString *out = r->out;
  if (r->format == RC_TEXT_TABLE) {
    g_string_append(out, r->tunes == 1 ? r->detail : "");
    append_summary(r);
  } else if (r->format == RC_TEXT_JSON) {
    json_builder_end_array(r->json);
    json_builder_end_object(r->json);
    rc_json_finish(out, r->json);
  }
  g_ptr_array_unref(r->to_move);
  g_free(r->detail);
  g_free(r);
  return out;
}
