// Copyright 2026 the rowcall developers
// SPDX-License-Identifier: MIT

// What to hear: a chord as it is wanted beside its stand-in, or a tune along its route.

#include "study/player.h"

#include "rowcall/error.h"

#include <string.h>

static const char full_board[] = "120";

struct RcListening {
  RcPlayer *player;
  RcLayout *full_layout;
  RcPlayer *full; // what is wanted is heard as a full board has it
  RcMeter meter;  // of chords by themselves
  RcTempo tempo;
  RcScore *score;
  GArray *heard; // of RcHeard
};

static void
clear_heard(gpointer data)
{
  g_free(((RcHeard *)data)->text);
}

RcListening *
rc_listening_new(const RcBoards *boards, guint index)
{
  RcListening *l = g_new0(RcListening, 1);
  const RcRouteSettings usual = rc_route_settings();
  RcRouteSettings full = boards->settings.route;
  full.taste.prefer = usual.taste.prefer; // whatever the player's hand, the real chord is meant
  full.hand = usual.hand;
  l->player = rc_player_new(boards, index);
  l->full_layout = rc_layout_find(full_board, NULL);
  l->full = rc_player_on(l->full_layout, full);
  l->score = rc_score_new();
  l->heard = g_array_new(FALSE, TRUE, sizeof(RcHeard));
  g_array_set_clear_func(l->heard, clear_heard);
  rc_listening_set_meter(l, "4/4", NULL);
  return l;
}

void
rc_listening_free(RcListening *l)
{
  if (l) {
    rc_player_free(l->player);
    rc_player_free(l->full);
    rc_layout_free(l->full_layout);
    rc_score_free(l->score);
    g_array_unref(l->heard);
    g_free(l);
  }
}

const RcScore *
rc_listening_score(const RcListening *l)
{
  return l->score;
}

const RcHeard *
rc_listening_heard(const RcListening *l, guint *n)
{
  *n = l->heard->len;
  return &g_array_index(l->heard, RcHeard, 0);
}

// ------------------------------------------------------------------------------------------------------------ chords

gboolean
rc_listening_set_meter(RcListening *l, const char *text, GError **error)
{
  if (!rc_meter_parse(text, &l->meter)) {
    return rc_fail(error, RC_ERROR_VALUE, (RcPlace){ NULL, 0, 0 }, "expected a meter such as 3/4 or 6/8");
  }
  l->tempo = rc_tempo_assume(NULL, l->meter);
  return TRUE;
}

gboolean
rc_listening_set_tempo(RcListening *l, const char *text, GError **error)
{
  if (!rc_tempo_parse(text, l->meter, &l->tempo)) {
    return rc_fail(error, RC_ERROR_VALUE, (RcPlace){ NULL, 0, 0 },
                   "expected beats a minute, such as 96, or a note value and a number, such as 1/4=96");
  }
  return TRUE;
}

// As many whole bars as fit into a few seconds.
static guint
bars_to_hear(const RcListening *l)
{
  static const double seconds = 2.5;
  const double bar = rc_ticks_seconds(rc_meter_bar(l->meter), l->tempo);
  return bar < seconds ? (guint)(seconds / bar) : 1;
}

static void
add_once(RcListening *l, RcPlayer *player, const RcTune *tune, RcPlay play)
{
  const RcTicks from = l->score->length;
  const guint told = l->score->passages->len;
  rc_route_plan(player->route, tune);
  rc_score_add(l->score, player->planner, player->route, tune, (RcPlaying){ play, FALSE });
  if (l->score->passages->len == told) { // else it is silent, and that was reported
    const RcStep *step = &g_array_index(player->route->steps, RcStep, 0);
    const RcSymbol *symbol = rc_tune_symbol(tune, step->played.symbol);
    const RcHeard heard = { .kind = play == RC_PLAY_WANTED ? RC_HEARD_WANTED : RC_HEARD_STAND_IN,
                            .start = from,
                            .length = l->score->length - from,
                            .text = g_strdup(symbol->text),
                            .layout = player->layout,
                            .chord = symbol->chord,
                            .answer = { .verdict = step->verdict, .grip = step->grip, .grading = step->grading } };
    g_array_append_val(l->heard, heard);
  }
}

// What is wanted, the stand-in, and both again, with a beat between.
static void
add_comparison(RcListening *l, const RcTune *tune)
{
  enum { TIMES = 2 };
  const RcTicks beat = rc_meter_beat(l->meter);
  for (guint i = 0; i < TIMES; ++i) {
    rc_score_rest(l->score, l->score->length ? beat : 0);
    add_once(l, l->full, tune, RC_PLAY_WANTED);
    rc_score_rest(l->score, beat);
    add_once(l, l->player, tune, RC_PLAY_GRIPS);
  }
}

gboolean
rc_listening_add_chord(RcListening *l, const char *symbol, RcNames names)
{
  RcTune *tune = rc_tune_new_symbol(symbol, names, l->meter, l->tempo, bars_to_hear(l));
  const gboolean good = rc_tune_symbol(tune, 0)->kind == RC_SYMBOL_CHORD;
  if (good) {
    add_comparison(l, tune);
  }
  rc_tune_free(tune);
  return good;
}

// ------------------------------------------------------------------------------------------------------------- tunes

static gboolean
find_part(const RcTune *tune, const char *label, guint *first, guint *count)
{
  for (guint i = 0; i < tune->parts->len; ++i) {
    const RcPart *part = &g_array_index(tune->parts, RcPart, i);
    if (!g_ascii_strcasecmp(part->label, label)) {
      *first = part->first;
      *count = part->count;
      return TRUE;
    }
  }
  return FALSE;
}

// Cuts a stretch of bars to those with the numbers `from` to `to`, counted in it without pickups; one before the first
// bar belongs to it. Returns FALSE where there are none.
static gboolean
cut_stretch(const RcTune *tune, guint from, guint to, guint *first, guint *count)
{
  const guint end = *first + *count;
  guint number = 0;
  guint begin = end;
  guint last = end;
  for (guint bar = *first; bar < end && number < to; ++bar) {
    const gboolean pickup = rc_tune_bar_is_pickup(tune, bar);
    number += pickup ? 0 : 1;
    begin = begin == end && (from <= 1 || (!pickup && number == from)) ? bar : begin;
    last = bar;
  }
  *first = begin;
  *count = begin < end ? last + 1 - begin : 0;
  return *count > 0;
}

// The bars asked for; FALSE with `error` where the tune has none of them.
static gboolean
find_stretch(const RcHearing *hearing, const RcTune *tune, guint *first, guint *count, GError **error)
{
  const RcPlace place = { tune->file, tune->line, 0 };
  const guint from = MAX(hearing->first_bar, 1);
  const guint to = hearing->last_bar ? hearing->last_bar : RC_MAX_BARS;
  *first = 0;
  *count = tune->bars->len;
  if (hearing->part && !find_part(tune, hearing->part, first, count)) {
    return rc_fail(error, RC_ERROR_UNKNOWN, place, "%s has no part %s", tune->title, hearing->part);
  }
  if (!cut_stretch(tune, from, to, first, count)) {
    return rc_fail(error, RC_ERROR_UNKNOWN, place, "%s has no bar %u%s", tune->title, from,
                   hearing->part ? " there" : "");
  }
  return TRUE;
}

// The chords from `start` to `end` in one direction, which are emptied.
static void
add_stroke(RcListening *l, RcTicks start, RcTicks end, RcBellows bellows, GString *chords)
{
  if (chords->len) {
    const RcHeard heard = {
      .kind = RC_HEARD_STROKE, .start = start, .length = end - start, .text = g_strdup(chords->str), .bellows = bellows
    };
    g_array_append_val(l->heard, heard);
  }
  g_string_truncate(chords, 0);
}

static void
add_strokes(RcListening *l, const RcRoute *route, const RcTune *tune, RcTicks start)
{
  GString *chords = g_string_new(NULL);
  RcBellows bellows = RC_BELLOWS_BOTH;
  RcTicks turned = start;
  RcTicks at = start;
  for (guint i = 0; i < route->steps->len; ++i) {
    const RcStep *step = &g_array_index(route->steps, RcStep, i);
    if (step->held && step->bellows != RC_BELLOWS_BOTH) {
      if (step->bellows != bellows) {
        add_stroke(l, turned, at, bellows, chords);
        bellows = step->bellows;
        turned = at;
      }
      g_string_append_printf(chords, "%s%s", chords->len ? " " : "", rc_tune_symbol(tune, step->played.symbol)->text);
    }
    at += step->played.length;
  }
  add_stroke(l, turned, at, bellows, chords);
  g_string_free(chords, TRUE);
}

static void
add_whole(RcListening *l, const RcHearing *hearing, const RcTune *tune)
{
  const RcPlayer *player = hearing->wanted ? l->full : l->player;
  const RcPlaying playing = { hearing->wanted ? RC_PLAY_WANTED : RC_PLAY_GRIPS, hearing->melody };
  rc_score_rest(l->score, l->score->length ? 2 * rc_meter_beat(rc_tune_setting(tune, 0)->meter) : 0);
  RcHeard heard = { .kind = hearing->wanted ? RC_HEARD_TUNE_WANTED : RC_HEARD_TUNE,
                    .start = l->score->length,
                    .text = g_strdup(tune->title),
                    .layout = player->layout,
                    .tempo = rc_roll_tempo(&rc_planner_settings(player->planner)->roll, tune, 0),
                    .meter = rc_tune_setting(tune, 0)->meter,
                    .no_melody = hearing->melody && !tune->notes->len };
  rc_route_plan(player->route, tune);
  rc_score_add(l->score, player->planner, player->route, tune, playing);
  heard.length = l->score->length - heard.start;
  g_array_append_val(l->heard, heard);
  add_strokes(l, player->route, tune, heard.start);
}

gboolean
rc_listening_add_tune(RcListening *l, const RcHearing *hearing, const RcTune *tune, GError **error)
{
  guint first = 0;
  guint count = 0;
  if (rc_score_seconds(l->score, l->score->length) > RC_SOUND_MAX_SECONDS) {
    return TRUE; // there is too much already
  }
  if (!hearing->part && !hearing->first_bar) {
    add_whole(l, hearing, tune);
    return TRUE;
  }
  if (!find_stretch(hearing, tune, &first, &count, error)) {
    return FALSE;
  }
  RcTune *stretch = rc_tune_stretch(tune, first, count);
  add_whole(l, hearing, stretch);
  rc_tune_free(stretch);
  return TRUE;
}
